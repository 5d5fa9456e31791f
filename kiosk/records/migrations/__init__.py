"""Numbered changes of the database, applied in order when it is opened; the number of the last is in user_version.

A migration is a module with NUMBER, TITLE, SQL (scripts in order) and REBUILD (make the tables again from the
journal afterwards). It is frozen once it was released. Each runs in one transaction; before each, a database that
already holds records is copied, verified, to `<name>.before-migration-<number>.db` beside it.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import Protocol

from kiosk.records import undo
from kiosk.records.migrations import (
    m0001_journal_and_tables,
    m0002_label_prints,
    m0003_history_and_holds,
    m0004_pins,
    m0005_clock,
    m0006_photos,
    m0007_courses,
    m0008_work_in_hand,
    m0009_several_kiosks,
    m0010_restored,
)
from kiosk.records.store import Store
from kiosk.records.troubles import Trouble, unavailable


class Migration(Protocol):
    """What a migration module holds."""

    @property
    def NUMBER(self) -> int: ...

    @property
    def TITLE(self) -> str: ...

    @property
    def REBUILD(self) -> bool: ...

    @property
    def SQL(self) -> Sequence[str]: ...


MIGRATIONS: tuple[Migration, ...] = (
    m0001_journal_and_tables, m0002_label_prints, m0003_history_and_holds, m0004_pins, m0005_clock,
    m0006_photos, m0007_courses, m0008_work_in_hand, m0009_several_kiosks, m0010_restored)


def version(store: Store) -> int:
    """Return the number of the last migration that the database has had; 0 for an empty one.

    Raises:
        StoreUnavailable: the file is a database of something else.
    """
    number = int(store.sql("PRAGMA user_version")[0][0])
    tables = {name for (name,) in store.sql("SELECT name FROM sqlite_master WHERE type = 'table'")}
    if tables and (number == 0 or "journal" not in tables):
        raise unavailable(Trouble.FOREIGN, store.path, f"user_version {number}, tables {sorted(tables)}")
    return number


def migrate(store: Store, backup: Callable[[Path], object], rebuild: Callable[[], object],
            migrations: Sequence[Migration] = MIGRATIONS) -> list[int]:
    """Bring the database to the newest version and return the numbers of the migrations that ran.

    Args:
        backup: Copies and verifies the database; called before each migration of records that exist.
        rebuild: Makes the tables again from the journal, inside the transaction it is called in.

    Raises:
        StoreUnavailable: written by a newer program, or of something else.
    """
    have = version(store)
    if have > migrations[-1].NUMBER:
        raise unavailable(Trouble.NEWER, store.path, f"version {have}, this program knows {migrations[-1].NUMBER}")
    due = [migration for migration in migrations if have < migration.NUMBER]
    for migration in due:
        if have:  # a file made just now holds nothing to be kept
            backup(backup_path(store.path, migration))
        _run(store, migration, rebuild)
    if not undo.has_triggers(store.connection()):
        with store.transaction() as connection:
            undo.make_triggers(connection)
    return [migration.NUMBER for migration in due]


def backup_path(path: Path, migration: Migration) -> Path:
    """Return where the copy made before a migration goes; a name not yet taken."""
    stem = f"{path.stem}.before-migration-{migration.NUMBER:04d}"
    candidates = (path.with_name(f"{stem}{again}.db") for again in ["", *(f"-{n}" for n in range(2, 1000))])
    return next(candidate for candidate in candidates if not candidate.exists())


def _run(store: Store, migration: Migration, rebuild: Callable[[], object]) -> None:
    with store.transaction() as connection:
        if version(store) >= migration.NUMBER:  # another program was quicker
            return
        undo.lay_down(connection)
        for script in migration.SQL:
            for statement in statements(script):
                connection.execute(statement)
        if migration.REBUILD:
            rebuild()
        connection.execute(f"PRAGMA user_version = {migration.NUMBER:d}")


def statements(script: str) -> list[str]:
    """Return the statements of a script; executescript() would commit each by itself."""
    found: list[str] = []
    begun = ""
    for piece in script.split(";")[:-1]:
        begun += f"{piece};"
        if sqlite3.complete_statement(begun):  # a trigger, or a text, may hold semicolons of its own
            found.append(begun.strip())
            begun = ""
    return found
