"""A backup is taken while the kiosk works, verified before it counts, and never overwrites anything."""

from __future__ import annotations

import sqlite3
import threading
from contextlib import closing
from pathlib import Path

import pytest
from small_yard import done, record

from kiosk.errors import RecordError, StoreUnavailable
from kiosk.records import YardRecords, backup
from kiosk.records.restore import restore


def test_backup__opens_by_itself_and_holds_everything(story: YardRecords, tmp_path: Path) -> None:
    """The copy is one file, with the same journal, tables and heads."""
    report = story.backup(tmp_path / "copy.db")
    assert (report.entries, report.heads) == (story.verify().entries, story.verify().heads)
    assert report.size_bytes == report.path.stat().st_size
    assert {path.name for path in tmp_path.glob("copy*")} == {"copy.db"}
    copy = YardRecords.open(report.path, 7)
    assert copy.verify() == story.verify()
    assert copy.tables_unlike_journal() == []
    copy.append(done(record(30, component_id="bearing-left-2")))
    copy.close()


def test_backup__file_is_there__is_refused(yard: YardRecords, tmp_path: Path) -> None:
    """A backup never overwrites a file."""
    (tmp_path / "copy.db").write_text("precious")
    with pytest.raises(RecordError, match="never overwrites"):
        yard.backup(tmp_path / "copy.db")
    assert (tmp_path / "copy.db").read_text() == "precious"


def test_backup__while_another_writes__is_one_moment(yard: YardRecords, tmp_path: Path) -> None:
    """Entries saved meanwhile are in the records, not half in the copy."""
    reports: list[backup.BackupReport] = []
    worker = threading.Thread(target=lambda: reports.append(yard.backup(tmp_path / "copy.db")))
    worker.start()
    for job in range(50):
        yard.append(done(record(1 + job / 100)))
    worker.join()
    assert yard.verify().entries == 60
    assert 10 <= reports[0].entries <= 60


def test_backup__tells_its_progress(yard: YardRecords, tmp_path: Path) -> None:
    """The last step says that all pages are copied."""
    steps: list[tuple[int, int]] = []
    yard.backup(tmp_path / "copy.db", lambda copied, total: steps.append((copied, total)))
    assert steps and steps[-1][0] == steps[-1][1] > 0


def test_backup__of_a_tampered_journal__does_not_count(yard: YardRecords, tmp_path: Path) -> None:
    """A copy whose chain is broken is no backup, and leaves no file."""
    with closing(sqlite3.connect(yard.path)) as connection, connection:
        connection.execute("DROP TRIGGER journal_is_never_changed")
        connection.execute("UPDATE journal SET body = replace(body, 'Ada', 'Ida') WHERE seq = 2")
    with pytest.raises(RecordError, match=r"does not count\. Entry 2"):
        yard.backup(tmp_path / "copy.db")
    assert list(tmp_path.glob("copy*")) == []


def test_backup__folder_is_gone__says_so(yard: YardRecords, tmp_path: Path) -> None:
    """A stick that was pulled out is named."""
    with pytest.raises(StoreUnavailable) as error:
        yard.backup(tmp_path / "stick" / "copy.db")
    assert error.value.kind == "gone"


def test_backup__damaged_on_the_way__does_not_count(
    yard: YardRecords, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A copy that does not hold what the original held is thrown away."""
    copied = backup._copy

    def lossy(source: Path, part: Path, progress: backup.Progress | None) -> dict[str, int]:
        counts = copied(source, part, progress)
        with closing(sqlite3.connect(part)) as connection, connection:
            connection.execute("DELETE FROM person WHERE id = 'lead'")
        return counts

    monkeypatch.setattr(backup, "_copy", lossy)
    with pytest.raises(RecordError, match="does not hold"):
        yard.backup(tmp_path / "copy.db")
    assert list(tmp_path.glob("copy*")) == []


def _spare(records: YardRecords, tmp_path: Path) -> Path:
    return records.backup(tmp_path / "spare.db").path


def test_restore__good_copy__takes_the_place_and_the_old_file_is_kept(yard: YardRecords, tmp_path: Path) -> None:
    """After a restore the records are the copy's; what was there before is kept beside them."""
    copy = _spare(yard, tmp_path)
    yard.append(done(record()))
    yard.close()
    kept = restore(copy, yard.path, keep_newer=False).kept
    assert kept is not None
    with closing(sqlite3.connect(kept)) as connection:
        assert connection.execute("SELECT count(*) FROM record").fetchone() == (1,)
    restored = YardRecords.open(yard.path, 7)
    assert restored.component_history("bearing-left-1") == ()
    assert copy.exists()
    restored.close()


def test_restore__twice__keeps_both_old_files(yard: YardRecords, tmp_path: Path) -> None:
    """A file that was kept aside is never overwritten."""
    copy = _spare(yard, tmp_path)
    yard.close()
    assert restore(copy, yard.path).kept != restore(copy, yard.path).kept


def test_restore__nothing_there__keeps_nothing(yard: YardRecords, tmp_path: Path) -> None:
    """A lost file is put back from its copy."""
    copy = _spare(yard, tmp_path)
    assert restore(copy, tmp_path / "fresh.db").kept is None
    assert YardRecords.open(tmp_path / "fresh.db", 7).yard_name() == "Quay Yard"


def test_restore__copy_is_not_good__changes_nothing(yard: YardRecords, tmp_path: Path) -> None:
    """A tampered, damaged or missing copy never takes the place of the records."""
    tampered = _spare(yard, tmp_path)
    with closing(sqlite3.connect(tampered)) as connection, connection:
        connection.execute("DROP TRIGGER journal_is_never_changed")
        connection.execute("UPDATE journal SET body = replace(body, 'Ada', 'Ida') WHERE seq = 2")
    yard.close()
    before = yard.path.read_bytes()
    (tmp_path / "rubbish.db").write_bytes(b"no database" * 999)
    for bad in (tampered, tmp_path / "rubbish.db", tmp_path / "missing.db"):
        with pytest.raises(RecordError):
            restore(bad, yard.path)
        assert yard.path.read_bytes() == before
    assert list(tmp_path.glob("*restoring*")) == []
