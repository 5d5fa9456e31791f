"""What happens to a disk and to a file: each ends in a plain sentence with its kind, and what was saved stays."""

from __future__ import annotations

import os
import shutil
import sqlite3
import subprocess
import sys
import tempfile
import threading
from collections.abc import Callable, Iterator
from contextlib import closing
from pathlib import Path

import pytest
from small_yard import done, record, yard_events

from kiosk.errors import RecordError, StoreUnavailable
from kiosk.events import JobDone
from kiosk.records import YardRecords
from kiosk.records.store import Store

KIOSK = 7
NOBODY = 65534
is_root = os.geteuid() == 0


def _fill(records: YardRecords, events: int = 400) -> int:
    """Save jobs with long notes until one is refused, and return how many were saved."""
    for saved in range(events):
        try:
            records.append(done(record(1 + saved / 100, note="grease came out dark. " * 200)))
        except StoreUnavailable:
            return saved
    raise AssertionError("nothing was refused")


# Pragmas


def test_store__pragmas__are_in_effect(yard: YardRecords) -> None:
    """Each commit is durable, references are checked, writers wait for one another."""
    ask = yard._store.sql
    assert ask("PRAGMA journal_mode") == [("wal",)]
    assert ask("PRAGMA synchronous") == [(2,)]  # FULL
    assert ask("PRAGMA foreign_keys") == [(1,)]
    assert ask("PRAGMA busy_timeout") == [(5000,)]
    assert ask("PRAGMA recursive_triggers") == [(1,)]


def test_store__mode_is_not_wal__is_refused(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """SQLite answers with the mode it could set; any but 'wal' loses commits in a power cut."""
    monkeypatch.setattr("kiosk.records.store._pragmas", lambda _: [("journal_mode", "DELETE")])
    with pytest.raises(StoreUnavailable):
        Store(tmp_path / "yard.db")


def test_transaction__takes_the_write_lock_at_once(yard: YardRecords) -> None:
    """Two writers never both read first and then fail to write."""
    with (yard._store.transaction(), closing(sqlite3.connect(yard.path, timeout=0)) as other,
          pytest.raises(sqlite3.OperationalError, match="locked")):
        other.execute("BEGIN IMMEDIATE")


# Full


def test_full__size_limit__is_reported_and_nothing_is_lost(yard: YardRecords) -> None:
    """A full file refuses with a sentence, keeps what was saved, and takes the entry when there is room again."""
    connection = yard._store.connection()
    pages = connection.execute("PRAGMA page_count").fetchone()[0]
    connection.execute(f"PRAGMA max_page_count = {pages + 20}")
    before = yard.verify().entries
    saved = _fill(yard)
    refused = done(record(50, note="x" * 20_000))
    with pytest.raises(StoreUnavailable, match="disk is full") as error:
        yard.append(refused)
    assert error.value.kind == "full"
    assert yard.verify().entries == before + saved
    connection.execute("PRAGMA max_page_count = 1000000")
    yard.append(refused)
    assert yard.tables_unlike_journal() == []


@pytest.fixture
def small_disk(tmp_path: Path) -> Iterator[Path]:
    """Return a folder on a RAM disk of 2 MB; needs root."""
    folder = tmp_path / "small"
    folder.mkdir()
    made = is_root and subprocess.run(
        ["mount", "-t", "tmpfs", "-o", "size=2m", "tmpfs", str(folder)], capture_output=True).returncode == 0
    if not made:
        pytest.skip("no RAM disk can be mounted here")
    yield folder
    subprocess.run(["umount", "-l", str(folder)], check=True)


def test_full__real_disk__is_reported_as_full_and_heals(small_disk: Path) -> None:
    """The commit itself fails on a full disk: the sentence says so, not that a rollback failed."""
    records = YardRecords.open(small_disk / "yard.db", KIOSK)
    records.append_all(yard_events())
    ballast = small_disk / "ballast"
    ballast.write_bytes(b"x" * 1_000_000)
    before = records.verify().entries
    saved = _fill(records)
    refused = done(record(50, note="x" * 20_000))
    with pytest.raises(StoreUnavailable) as error:
        records.append(refused)
    assert (error.value.kind, "disk is full" in error.value.operator_message) == ("full", True)
    assert records.verify().entries == before + saved
    ballast.unlink()
    records.append(refused)
    assert records.verify().entries == before + saved + 1
    records.close()


def test_full__before_the_first_opening__is_reported_as_full(small_disk: Path) -> None:
    """No room even for an empty database is a full disk, and no half database is taken for a good one."""
    (small_disk / "ballast").write_bytes(b"x" * (2 * 1024 * 1024 - 8192))
    with pytest.raises(StoreUnavailable) as error:
        YardRecords.open(small_disk / "yard.db", KIOSK)
    assert error.value.kind == "full"
    (small_disk / "ballast").unlink()
    YardRecords.open(small_disk / "yard.db", KIOSK).close()


# Read-only

_ASK_AS_NOBODY = """
import os, sys
sys.path[:0] = sys.argv[3:]
from kiosk.errors import StoreUnavailable
from kiosk.records import YardRecords
from kiosk.records.codec import encode
from small_yard import done, record
saved = done(record())
YardRecords.open(sys.argv[2], 7).close()  # loads what this account may read
encode(saved.payload)
if os.geteuid() == 0:
    os.setgid({nobody}); os.setuid({nobody})
try:
    records = YardRecords.open(sys.argv[1], 7)
    records.append(saved)
    print("saved")
except StoreUnavailable as error:
    print(error.kind)
"""


@pytest.fixture
def open_folder() -> Iterator[Path]:
    """Return a folder that every account can reach."""
    folder = Path(tempfile.mkdtemp())
    folder.chmod(0o755)
    yield folder
    folder.chmod(0o755)
    shutil.rmtree(folder)


def _ask_as_nobody(path: Path, other: Path) -> str:
    """Try to save as an account that owns nothing."""
    program = _ASK_AS_NOBODY.format(nobody=NOBODY)
    command = [sys.executable, "-c", program, str(path), str(other), *sys.path]
    answer = subprocess.run(command, capture_output=True, text=True)
    assert answer.returncode == 0, answer.stderr
    return answer.stdout.strip()


@pytest.mark.parametrize(("file_mode", "folder_mode"), [
    pytest.param(0o444, 0o777, id="file"), pytest.param(0o444, 0o555, id="file-and-folder"),
    pytest.param(0o666, 0o555, id="folder"),
])
def test_read_only__says_so(open_folder: Path, tmp_path: Path, file_mode: int, folder_mode: int) -> None:
    """A file or folder that may not be written is 'read-only', not 'damaged' or 'gone'."""
    path = open_folder / "yard.db"
    records = YardRecords.open(path, KIOSK)
    records.append_all(yard_events())
    records.close()
    path.chmod(file_mode)
    open_folder.chmod(folder_mode)
    assert _ask_as_nobody(path, tmp_path / "other.db") == "read-only"


def test_read_only__disk__says_so(small_disk: Path) -> None:
    """A disk that went read-only, as file systems do after an error, is named."""
    records = YardRecords.open(small_disk / "yard.db", KIOSK)
    records.append_all(yard_events())
    records.close()
    subprocess.run(["mount", "-o", "remount,ro", str(small_disk)], check=True)
    with pytest.raises(StoreUnavailable) as error:
        YardRecords.open(small_disk / "yard.db", KIOSK)
    assert error.value.kind == "read-only"


# Locked, and a second process


def test_locked__by_another_program__says_so_after_waiting(opened: Callable[..., YardRecords]) -> None:
    """A save that cannot get the lock says that another program holds it, and can be tried again."""
    records = opened(busy_timeout_ms=50)
    records.append_all(yard_events())
    saved = done(record())
    with closing(sqlite3.connect(records.path, isolation_level=None)) as other:
        other.execute("BEGIN IMMEDIATE")
        with pytest.raises(StoreUnavailable, match="Another program") as error:
            records.append(saved)
        other.execute("ROLLBACK")
    assert error.value.kind == "locked"
    records.append(saved)


def _save_in_child(path: Path, kiosk: int, jobs: int) -> int:
    pid = os.fork()
    if pid == 0:
        try:
            records = YardRecords.open(path, kiosk)
            for job in range(jobs):
                records.append(done(record(1 + job / 100)))
        except BaseException:
            os._exit(1)
        os._exit(0)
    return pid


@pytest.mark.parametrize("kiosks", [(7, 7, 7), (7, 8, 9)], ids=["same-number", "three-numbers"])
def test_second_process__saving_at_the_same_time__chains_stay_whole(
    opened: Callable[..., YardRecords], kiosks: tuple[int, ...]
) -> None:
    """Programs that save into the same file wait for one another; no sequence gets a gap or a double."""
    records = opened()
    records.append_all(yard_events())
    path, before = records.path, records.verify().entries
    records.close()
    children = [_save_in_child(path, kiosk, 25) for kiosk in kiosks]
    assert [os.waitstatus_to_exitcode(os.waitpid(child, 0)[1]) for child in children] == [0, 0, 0]
    report = records.verify()
    assert report.first_bad is None
    jobs = [each for each in records.entries() if isinstance(each.event.payload, JobDone)]
    assert len(jobs) == 75
    assert report.entries == before + 75 or len(set(kiosks)) > 1  # several also say what they had seen of the others
    assert records.tables_unlike_journal() == []


# Damaged, foreign, newer, gone


@pytest.fixture
def yard_file(yard: YardRecords) -> Path:
    """Return the path of the small yard's records, closed."""
    yard.append_all([done(record(1 + day / 100, note="dark grease " * 50)) for day in range(100)])
    yard.close()
    return yard.path


def _spoil(path: Path, offset: int, content: bytes) -> None:
    with path.open("r+b") as file:
        file.seek(offset)
        file.write(content)


@pytest.mark.parametrize("spoil", [
    pytest.param(lambda path: _spoil(path, 0, os.urandom(100)), id="header"),
    pytest.param(lambda path: path.write_bytes(os.urandom(50_000)), id="random-bytes"),
    pytest.param(lambda path: _spoil(path, 100, b"\xff" * 3000), id="schema-page"),
    pytest.param(lambda path: path.write_bytes(b"not a database at all, but a long enough text" * 50), id="text"),
])
def test_damaged__at_opening__is_refused_and_left_alone(yard_file: Path, spoil: Callable[[Path], object]) -> None:
    """A damaged file is named as damaged and not written to."""
    spoil(yard_file)
    before = yard_file.read_bytes()
    with pytest.raises(StoreUnavailable, match="damaged") as error:
        YardRecords.open(yard_file, KIOSK)
    assert error.value.kind == "damaged"
    assert yard_file.read_bytes() == before


def test_damaged__cut_short__is_named_when_met(yard_file: Path) -> None:
    """A file cut short ends in a sentence wherever it is first noticed."""
    with yard_file.open("r+b") as file:
        file.truncate(yard_file.stat().st_size // 2)
    with pytest.raises(StoreUnavailable) as error:
        records = YardRecords.open(yard_file, KIOSK)
        records.verify()
        records.tables_unlike_journal()
    assert error.value.kind == "damaged"


def test_damaged__one_byte_inside_an_entry__the_chain_names_it(yard_file: Path) -> None:
    """SQLite's own checks miss a byte inside a text; the entry's hash does not."""
    name = b'"name":"Ada Okoro"'
    _spoil(yard_file, yard_file.read_bytes().index(name), name.replace(b"Ada", b"Ida"))
    with closing(sqlite3.connect(yard_file)) as connection:
        assert connection.execute("PRAGMA integrity_check").fetchone() == ("ok",)
    records = YardRecords.open(yard_file, KIOSK)
    spoiled = records.verify().first_bad
    records.close()
    assert spoiled is not None and spoiled.seq == 2


def test_foreign__database_of_something_else__is_refused(tmp_path: Path) -> None:
    """A database that is not ours gets no tables of ours."""
    path = tmp_path / "other.db"
    with closing(sqlite3.connect(path)) as connection, connection:
        connection.execute("CREATE TABLE songs (title TEXT)")
    with pytest.raises(StoreUnavailable, match="does not hold a yard's records") as error:
        YardRecords.open(path, KIOSK)
    assert error.value.kind == "foreign"


def test_gone__no_such_folder__is_named(tmp_path: Path) -> None:
    """A shop's folder that is not there is said to be gone."""
    with pytest.raises(StoreUnavailable, match="cannot be opened") as error:
        YardRecords.open(tmp_path / "nowhere" / "yard.db", KIOSK)
    assert error.value.kind == "gone"


def test_gone__a_folder_in_its_place__is_named(tmp_path: Path) -> None:
    """A folder where the file should be cannot be opened."""
    with pytest.raises(StoreUnavailable) as error:
        YardRecords.open(tmp_path, KIOSK)
    assert error.value.kind == "gone"


@pytest.mark.parametrize("kiosk", [-1, 100])
def test_kiosk_number__out_of_range__is_refused(tmp_path: Path, kiosk: int) -> None:
    """Label numbers have two digits for the kiosk."""
    with pytest.raises(RecordError, match="0 to 99"):
        YardRecords.open(tmp_path / "yard.db", kiosk)


def test_close__twice__does_no_harm(yard: YardRecords) -> None:
    """Closing what is closed is no error."""
    yard.close()
    yard.close()


def test_worker__reads_beside_the_kiosk__and_leaves_no_connection(yard: YardRecords) -> None:
    """A report on a worker thread reads through a connection of its own."""
    names: list[str] = []

    def work() -> None:
        with yard.in_worker():
            names.append(yard.yard_name())

    thread = threading.Thread(target=work)
    thread.start()
    thread.join()
    assert names == ["Quay Yard"]


@pytest.mark.skipif(not is_root, reason="only root can ask as another account")
def test_wrong_owner__file_of_another_account__says_so(open_folder: Path, tmp_path: Path) -> None:
    """Records that belong to another account are neither damaged nor empty: the account is named."""
    path = open_folder / "yard.db"
    records = YardRecords.open(path, KIOSK)
    records.append_all(yard_events())
    records.close()
    path.chmod(0o600)
    open_folder.chmod(0o777)
    assert _ask_as_nobody(path, tmp_path / "other.db") == "gone"
    assert _spoiled_by_nobody(path) is False


def _spoiled_by_nobody(path: Path) -> bool:
    with closing(sqlite3.connect(path)) as connection:
        return connection.execute("SELECT count(*) FROM journal").fetchone() != (len(yard_events()),)
