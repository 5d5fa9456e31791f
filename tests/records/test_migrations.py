"""Migrations: an old file opens with all it holds, a copy is taken before each, and none runs halfway."""

from __future__ import annotations

import sqlite3
from collections.abc import Callable, Sequence
from contextlib import closing
from dataclasses import dataclass
from pathlib import Path

import pytest

from kiosk.errors import RecordError, StoreUnavailable
from kiosk.records import YardRecords, migrations
from kiosk.records.migrations import MIGRATIONS, statements
from kiosk.records.models import LOCAL_TABLES, PROJECTIONS, JournalRow, column_names, table_name

OLD_FILE = Path(__file__).parents[1] / "data" / "records_of_migration_1.sql"


@pytest.fixture
def old(tmp_path: Path) -> Path:
    """Return a database as the first released version of the kiosk left it."""
    path = tmp_path / "old.db"
    with closing(sqlite3.connect(path)) as connection:
        connection.executescript(OLD_FILE.read_text("utf-8"))
    return path


@dataclass(frozen=True)
class Trial:
    """A migration made up for a test."""

    NUMBER: int
    SQL: Sequence[str]
    TITLE: str = "trial"
    REBUILD: bool = False


NEXT = MIGRATIONS[-1].NUMBER + 1
ADDS = Trial(NEXT, ["CREATE TABLE trial (id INTEGER PRIMARY KEY) STRICT; INSERT INTO trial VALUES (1);"])
ADDS_MORE = Trial(NEXT + 1, ["INSERT INTO trial VALUES (2);"])
FAILS = Trial(NEXT, ["CREATE TABLE trial (id INTEGER PRIMARY KEY) STRICT; INSERT INTO nowhere VALUES (1);"])
REBUILDS = Trial(NEXT, ["DELETE FROM last_done;"], REBUILD=True)


def _open_with(monkeypatch: pytest.MonkeyPatch, path: Path, *more: Trial) -> YardRecords:
    original: Callable[..., list[int]] = migrations.migrate
    monkeypatch.setattr(migrations, "migrate",
                        lambda *arguments: original(*arguments, migrations=[*MIGRATIONS, *more]))
    try:
        return YardRecords.open(path, 7)
    finally:
        monkeypatch.undo()


def test_numbers__count_from_1_without_gap() -> None:
    """Migrations are numbered in their order."""
    assert [migration.NUMBER for migration in MIGRATIONS] == list(range(1, len(MIGRATIONS) + 1))


def test_old_file__of_migration_1__opens_with_all_it_holds(old: Path) -> None:
    """The file of the first version opens: chain whole, tables as a rebuild makes them, history there."""
    records = YardRecords.open(old, 7)
    assert records.verify().first_bad is None
    assert records.verify().entries == 26
    assert records.tables_unlike_journal() == []
    assert records.yard_name() == "Quay Yard"
    assert [each.job for each in records.position_history("u1-left")][:2] == ["replace", "splice"]
    records.close()


@pytest.mark.parametrize("model", [JournalRow, *PROJECTIONS], ids=table_name)
def test_models__columns__are_those_of_the_tables(empty: YardRecords, model: type) -> None:
    """The models name the columns that the migrations made, in their order."""
    columns = [row[1] for row in empty._store.sql(f"PRAGMA table_info({table_name(model)})")]
    assert list(column_names(model)) == columns


def test_tables__all_have_a_model(empty: YardRecords) -> None:
    """No table is left out of a rebuild but those that are no kiosk's records."""
    tables = {name for (name,) in empty._store.sql("SELECT name FROM sqlite_master WHERE type = 'table'")}
    assert tables == {*LOCAL_TABLES, *(table_name(model) for model in (JournalRow, *PROJECTIONS))}


def test_tables__are_strict(empty: YardRecords) -> None:
    """SQLite takes any word in any column unless a table is STRICT."""
    lax = empty._store.sql("SELECT name FROM pragma_table_list WHERE schema = 'main' AND strict = 0 "
                           "AND name NOT LIKE 'sqlite%'")
    assert lax == []


def test_migrate__new_file__takes_no_copy(empty: YardRecords, tmp_path: Path) -> None:
    """Nothing was there to be kept."""
    assert list(tmp_path.glob("*before-migration*")) == []


def test_migrate__old_file__takes_a_verified_copy_before_each(
    old: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Before every migration there is a copy that opens by itself, one without what that migration made."""
    entries = 26
    _open_with(monkeypatch, old, ADDS, ADDS_MORE).close()
    copies = sorted(old.parent.glob("old.before-migration-*.db"))
    assert [copy.name for copy in copies] == [
        f"old.before-migration-{number:04d}.db" for number in range(2, NEXT + 2)]
    with closing(sqlite3.connect(old)) as connection:
        assert connection.execute("SELECT id FROM trial").fetchall() == [(1,), (2,)]
    with closing(sqlite3.connect(copies[0])) as connection:
        assert connection.execute("SELECT count(*) FROM sqlite_master WHERE name = 'trial'").fetchone() == (0,)
    restored = YardRecords.open(copies[0], 7)
    assert restored.verify().entries == entries
    restored.close()


def test_migrate__again__does_nothing(old: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A migration that has run does not run again, and no copy is taken."""
    _open_with(monkeypatch, old, ADDS).close()
    copies = list(old.parent.glob("*before*"))
    _open_with(monkeypatch, old, ADDS).close()
    assert list(old.parent.glob("*before*")) == copies


def test_migrate__fails_halfway__leaves_the_file_as_it_was(old: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A migration is one transaction; after a failure the records still open."""
    with pytest.raises(RecordError):
        _open_with(monkeypatch, old, FAILS)
    records = YardRecords.open(old, 7)
    assert records._store.sql("SELECT name FROM sqlite_master WHERE name = 'trial'") == []
    assert records.tables_unlike_journal() == []
    records.close()


def test_migrate__that_changes_tables__makes_them_again(old: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A migration may have the tables made again from the journal."""
    records = _open_with(monkeypatch, old, REBUILDS)
    assert records.tables_unlike_journal() == []
    records.close()


def test_migrate__copy_cannot_be_taken__does_not_run(old: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Without a good copy there is no migration."""
    with closing(sqlite3.connect(old)) as connection, connection:
        connection.execute("DROP TRIGGER journal_is_never_changed")
        connection.execute("UPDATE journal SET body = replace(body, 'Quay', 'Other')")
    with pytest.raises(RecordError, match="does not count"):
        _open_with(monkeypatch, old, ADDS)
    with closing(sqlite3.connect(old)) as connection:
        assert connection.execute("PRAGMA user_version").fetchone() == (1,)


def test_open__written_by_a_newer_program__is_refused(old: Path) -> None:
    """An older program does not touch what it does not understand."""
    with closing(sqlite3.connect(old)) as connection:
        connection.execute("PRAGMA user_version = 999")
    with pytest.raises(StoreUnavailable, match="newer kiosk program") as error:
        YardRecords.open(old, 7)
    assert error.value.kind == "newer"


def test_statements__of_a_script__triggers_stay_whole() -> None:
    """A trigger's inner semicolons do not cut it."""
    script = "CREATE TABLE t (a); CREATE TRIGGER g BEFORE DELETE ON t BEGIN\n SELECT 1;\n SELECT 2;\nEND;\n"
    assert [each.split()[1] for each in statements(script)] == ["TABLE", "TRIGGER"]
