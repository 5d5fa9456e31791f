"""Power cuts: workloads of the kiosk written down step by step, and what the kiosk finds on each disk left by a cut.

An act is one save: the events of one transaction. A workload marks each act as begun, and as saved when the records
said so. After a cut every act that was saved must be there, one that was begun may be, whole or not at all; the chain
ends in the hash it had, and the tables are those that a rebuild makes from as many acts.
"""

from __future__ import annotations

import multiprocessing
import os
import shutil
import signal
import sqlite3
import tempfile
from collections import Counter
from collections.abc import Callable, Iterator, Sequence
from contextlib import ExitStack, closing, contextmanager
from dataclasses import dataclass, field
from itertools import chain, islice
from pathlib import Path
from typing import Any

from disk_log import DiskLog, Image, images
from disk_watch import watched
from small_yard import done, label_issued, reading, record, story_events, yard_events

from kiosk.entities import Phase, Side
from kiosk.events import Event
from kiosk.records import YardRecords, backup, journal, store
from kiosk.records.models import PROJECTIONS, column_names, table_name
from kiosk.records.restore import restore

KIOSK = 7
NAME = "yard.db"
CHECKPOINT_PAGES = 40  # keeps the log, and with it every image, small
OLD_FILE = Path(__file__).parent / "records_of_migration_1.sql"
_TABLES = tuple(f"SELECT {', '.join(column_names(model))} FROM {table_name(model)}" for model in PROJECTIONS)

Act = Sequence[Event]


def ram_disk() -> str | None:
    """Return a folder in memory, None where there is none."""
    return "/dev/shm" if os.access("/dev/shm", os.W_OK) else None


@dataclass(frozen=True)
class Known:
    """What must be found after so many acts. `tables`: the rows of each."""

    entries: int
    head: str
    tables: tuple[frozenset[tuple[Any, ...]], ...]


@dataclass(frozen=True)
class Recording:
    """A workload written down. `knowns[n]`: what must be found after n acts; `acts[n]`: the one that comes next.

    `only`: the only numbers of acts that may be found, None for any between saved and begun.
    """

    name: str
    log: DiskLog
    acts: Sequence[Act]
    knowns: Sequence[Known]
    by_apsw: bool = False
    only: frozenset[int] | None = None


@dataclass
class Tally:
    """What was found on the images that were opened."""

    counts: Counter[tuple[str, str]] = field(default_factory=Counter)
    lost: int = 0
    doubled: int = 0
    half: int = 0
    unopened: int = 0
    examples: list[str] = field(default_factory=list)

    @property
    def images(self) -> int:
        """How many images were opened."""
        return self.counts.total()

    @property
    def bad(self) -> int:
        """How many images were not as they must be."""
        return self.lost + self.doubled + self.half + self.unopened

    def add(self, other: Tally) -> None:
        """Add what another worker found."""
        self.counts.update(other.counts)
        self.lost, self.doubled = self.lost + other.lost, self.doubled + other.doubled
        self.half, self.unopened = self.half + other.half, self.unopened + other.unopened
        self.examples = (self.examples + other.examples)[:10]

    def by_kind(self) -> str:
        """Return the counts as lines of text."""
        lines = [f"{workload:<24} {kind:<10} {count:>7}" for (workload, kind), count in sorted(self.counts.items())]
        return "\n".join([*lines, f"{'all':<35} {self.images:>7}  lost {self.lost}, doubled {self.doubled}, "
                                  f"half {self.half}, not opened {self.unopened}"])


# What the kiosk does


def work_acts() -> list[Act]:
    """Return events of every kind on the small yard, most one by one, some two at once."""
    story = story_events()
    jobs = [done(record(30 + day, component_id="bearing-left-2", note="dark grease " * (day % 7 * 8), readings=(
        reading(70.0 + day), reading(72.0, Side.RIGHT), reading(88.9, phase=Phase.AS_LEFT)))) for day in range(16)]
    return [*([each] for each in story), *([one, two] for one, two in zip(jobs[::2], jobs[1::2], strict=True)),
            *([label_issued(f"10000001{number:02d}", 100 + number, 60)] for number in range(4))]


@contextmanager
def small_log() -> Iterator[None]:
    """Have the log brought into the database often."""
    original = store._pragmas
    store._pragmas = lambda busy: [*original(busy), ("wal_autocheckpoint", CHECKPOINT_PAGES)]
    try:
        yield
    finally:
        store._pragmas = original


@contextmanager
def on_apsw() -> Iterator[None]:
    """Have the store use apsw's SQLite; backups are then another process's, as two libraries must not share files."""
    from playhouse.apsw_ext import APSWDatabase

    database, take = store._Database, backup.backup
    store._Database = APSWDatabase  # type: ignore[assignment,misc]
    backup.backup = _in_child(take)  # type: ignore[assignment]
    try:
        yield
    finally:
        store._Database, backup.backup = database, take  # type: ignore[misc]


def _in_child(take: Callable[..., object]) -> Callable[..., None]:
    def run(*arguments: Any) -> None:
        pid = os.fork()
        if pid == 0:
            code = 1
            try:
                take(*arguments)
                code = 0
            finally:
                os._exit(code)
        assert os.waitstatus_to_exitcode(os.waitpid(pid, 0)[1]) == 0
    return run


def knowns_of(folder: Path, before: Sequence[Event], acts: Sequence[Act]) -> list[Known]:
    """Return what must be found after each act, the tables as a rebuild makes them."""
    records = YardRecords.open(folder / "known.db", KIOSK)
    if before:
        records.append_all(before)
    found = [known(records)]
    for act in acts:
        records.append_all(act)
        records.rebuild()
        found.append(known(records))
    records.close()
    return found


def known(records: YardRecords) -> Known:
    """Return what is in the records now."""
    connection = records._store.connection()
    return Known(connection.execute("SELECT count(*) FROM journal").fetchone()[0], records.head(),
                 tuple(frozenset(connection.execute(statement)) for statement in _TABLES))


@contextmanager
def _recorded(folder: Path, log: DiskLog, by_apsw: bool) -> Iterator[None]:
    """Write down what is done in a folder, by one SQLite or the other."""
    log.begin_with(folder)
    with ExitStack() as stack:
        stack.enter_context(small_log())
        if by_apsw:
            stack.enter_context(on_apsw())
        stack.enter_context(watched(folder, log, by_apsw))
        yield


@contextmanager
def new_folder() -> Iterator[Path]:
    """Return a folder on the RAM disk, removed at the end."""
    with tempfile.TemporaryDirectory(dir=ram_disk()) as folder:
        yield Path(folder)


def fresh(by_apsw: bool = False, lies: tuple[str, ...] = ()) -> Recording:
    """Write down how a database is made where there was none, and its first saves."""
    log, acts = DiskLog(lies), [yard_events(), *([each] for each in story_events()[:3])]
    with new_folder() as folder, new_folder() as aside:
        knowns = knowns_of(aside, (), acts)
        with _recorded(folder, log, by_apsw):
            records = YardRecords.open(folder / NAME, KIOSK)
            _save(records, acts, log)
            records.close()
    return Recording("fresh database", log, acts, knowns, by_apsw)


def work(by_apsw: bool = False, lies: tuple[str, ...] = (), early: bool = False, extras: bool = True) -> Recording:
    """Write down the work of many days: every kind of event, a backup and a rebuild among them.

    Args:
        early: Plant a fault: say 'saved' when all was written, before it is committed.
        extras: Whether a backup and a rebuild come in between.
    """
    before, acts, log = yard_events(), work_acts(), DiskLog(lies)
    half = len(acts) // 2
    with new_folder() as folder, new_folder() as aside:
        knowns = knowns_of(aside, before, acts)
        _fill(folder / NAME, before)
        with _recorded(folder, log, by_apsw):
            records = YardRecords.open(folder / NAME, KIOSK)
            log.mark("phase saves")
            _save(records, acts[:half], log, 0, early)
            if extras:
                log.mark("phase backup")
                records.backup(folder / "copy.db")
                log.mark("phase rebuild")
                records.rebuild()
            log.mark("phase saves")
            _save(records, acts[half:], log, half, early)
            log.mark("phase close")
            records.close()
    return Recording("work", log, acts, knowns, by_apsw)


def migration(by_apsw: bool = False) -> Recording:
    """Write down how a database of the first version is brought to the newest, with the copies made before."""
    log = DiskLog()
    act = [label_issued("1000000777", 777, 90)]
    with new_folder() as folder, new_folder() as aside:
        for path in (folder / NAME, aside / "known.db"):
            with closing(sqlite3.connect(path)) as connection:
                connection.executescript(OLD_FILE.read_text("utf-8"))
                connection.execute("PRAGMA journal_mode = WAL")
        knowns = knowns_of(aside, (), [act])
        with _recorded(folder, log, by_apsw):
            log.mark("phase migration")
            records = YardRecords.open(folder / NAME, KIOSK)
            _save(records, [act], log)
            records.close()
    return Recording("migration", log, [act], knowns, by_apsw)


def recoveries(of: Recording, number: int) -> list[Recording]:
    """Write down what the kiosk does on some of the disks that a cut left: a second cut may come in there."""
    many = sum(_is_hot(image) for image in images(of.log, 1))  # counted first: together they would fill the memory
    hot = (image for image in images(of.log, 1) if _is_hot(image))
    return [_recovery(of, image) for image in islice(hot, 0, None, max(1, many // number))][:number]


def _is_hot(image: Image) -> bool:
    return any(name.endswith(("-wal", "-journal")) and len(content) > 1000 for name, content in image.files.items())


def _recovery(of: Recording, image: Image) -> Recording:
    log = DiskLog()
    with new_folder() as folder:
        image.put_into(folder)
        with _recorded(folder, log, of.by_apsw):
            log.mark(f"begun {image.begun}")  # first: nothing can be saved that was not begun
            log.mark(f"saved {image.saved}")
            records = YardRecords.open(folder / NAME, KIOSK)
            have = [each.entries for each in of.knowns].index(known(records).entries)
            _save(records, of.acts[have:have + 1], log, have)
            records.close()
    return Recording(f"recovery of {of.name}", log, of.acts, of.knowns, of.by_apsw)


def restoring(keep_newer: bool) -> Recording:
    """Write down how a backup is put in the place of records whose last saves are in the log only."""
    before, log, acts = yard_events(), DiskLog(), [[each] for each in story_events()[:12]]
    of_copy = len(acts) // 2
    with new_folder() as folder, new_folder() as aside:
        knowns = knowns_of(aside, before, acts)
        _fill(folder / NAME, [*before, *chain.from_iterable(acts[:of_copy])])
        backup.backup(folder / NAME, folder / "spare.db")
        _save_and_die(folder / NAME, acts[of_copy:])
        with _recorded(folder, log, by_apsw=False):
            log.mark(f"begun {len(acts)}")
            log.mark(f"saved {of_copy}")
            log.mark("phase restore")
            restore(folder / "spare.db", folder / NAME, keep_newer)
    only = frozenset({len(acts)} if keep_newer else {of_copy, len(acts)})
    return Recording("restore", log, acts, knowns, only=only)


def _save_and_die(path: Path, acts: Sequence[Act]) -> None:
    """Leave saves in the log, as a kiosk does that is killed."""
    pid = os.fork()
    if pid == 0:
        records = YardRecords.open(path, KIOSK)
        for act in acts:
            records.append_all(act)
        os.kill(os.getpid(), signal.SIGKILL)
    os.waitpid(pid, 0)


def _fill(path: Path, events: Sequence[Event]) -> None:
    records = YardRecords.open(path, KIOSK)
    records.append_all(events)
    records.close()


def _save(records: YardRecords, acts: Sequence[Act], log: DiskLog, before: int = 0, early: bool = False) -> None:
    for number, act in enumerate(acts, before + 1):
        log.mark(f"begun {number}")
        if early:
            with records._store.transaction() as connection:
                appender = journal.Appender(connection, KIOSK)
                for event in act:
                    appender.append(event)
                log.mark(f"saved {number}")
        else:
            records.append_all(act)
        log.mark(f"saved {number}")


# Many recordings, many images

CAMPAIGN: Sequence[tuple[Callable[[], Sequence[Recording]], int]] = (
    (lambda: [work()], 9), (lambda: [work(by_apsw=True)], 9),
    (lambda: [fresh()], 2), (lambda: [fresh(by_apsw=True)], 2),
    (lambda: [migration()], 3), (lambda: [migration(by_apsw=True)], 4),
    (lambda: [restoring(True), restoring(False)], 2),
    (lambda: recoveries(work(), 20), 9), (lambda: recoveries(fresh(), 3), 2),
)
"""Workloads, each with how many random selections are tried at every cut."""


def look_at_campaign(workers: int = 2) -> Tally:
    """Record every workload, open every image of each, and return what was found."""
    recordings = [(recording, orders) for make, orders in CAMPAIGN for recording in make()]
    shares = [(recording, orders, (share, workers)) for recording, orders in recordings for share in range(workers)]
    _shares.extend(shares)
    tally = Tally()
    with multiprocessing.get_context("fork").Pool(workers) as pool:
        for found in pool.imap_unordered(_look_at_share, range(len(shares))):
            tally.add(found)
    _shares.clear()
    return tally


_shares: list[tuple[Recording, int, tuple[int, int]]] = []  # the workers inherit it: a recording is never copied


def _look_at_share(number: int) -> Tally:
    recording, orders, share = _shares[number]
    return look_at_all(recording, orders, share)


# What the kiosk finds


def look_at_all(recording: Recording, orders: int, share: tuple[int, int] = (0, 1), enough: int | None = None) -> Tally:
    """Open every image of one worker's share and return what was found.

    Args:
        orders: Random selections at each cut. `enough`: stop after so many bad ones, None to go on.
    """
    tally = Tally()
    with new_folder() as folder, small_log():
        for number, image in enumerate(images(recording.log, orders, share)):
            if enough is not None and tally.bad >= enough:
                break
            here = folder / str(number)
            here.mkdir()
            image.put_into(here)
            _look_at(recording, image, here, number, tally)
            shutil.rmtree(here)
    return tally


def _look_at(recording: Recording, image: Image, folder: Path, number: int, tally: Tally) -> None:
    tally.counts[recording.name + (" (apsw)" if recording.by_apsw else ""), image.kind] += 1
    with ExitStack() as stack:
        # Every second image that apsw's SQLite wrote is opened by apsw's, the others by the kiosk's own.
        if recording.by_apsw and number % 2 and recording.name != "migration":
            stack.enter_context(on_apsw())
        try:
            what = _what_is_wrong(recording, image, folder, number)
        except Exception as error:  # whatever it is, the kiosk did not open
            what = "unopened", repr(error)
    if what is not None:
        kind, sentence = what
        setattr(tally, kind, getattr(tally, kind) + 1)
        tally.examples = [*tally.examples, f"{recording.name}, {image.phase}, cut {image.cut}, {image.kind}: {kind}, "
                                           f"{sentence}"][:10]


def _what_is_wrong(recording: Recording, image: Image, folder: Path, number: int) -> tuple[str, str] | None:
    records = YardRecords.open(folder / NAME, KIOSK)
    try:
        report, found = records.verify(), known(records)
        if report.first_bad is not None:
            return "half", report.first_bad.reason
        entries = [each.entries for each in recording.knowns]
        if found.entries < entries[image.saved]:
            return "lost", f"{found.entries} entries, {entries[image.saved]} were saved"
        if found.entries > entries[image.begun]:
            return "doubled", f"{found.entries} entries, no more than {entries[image.begun]} were begun"
        if found.entries not in entries or found != recording.knowns[acts := entries.index(found.entries)]:
            return "half", f"{found.entries} entries, tables or head are not the ones of so many"
        if recording.only is not None and acts not in recording.only:
            return "lost", f"{acts} acts, neither the old records nor the copy's"
        return _closer_look(recording, records, acts, number)
    finally:
        records.close()


def _closer_look(recording: Recording, records: YardRecords, acts: int, number: int) -> tuple[str, str] | None:
    """Do on some of the images what takes long: save again, have SQLite check itself, rebuild, open copies."""
    if number % 10 == 0:
        again = recording.acts[max(0, acts - 1):acts + 1]
        for act in again:
            records.append_all(act)
        if known(records) != recording.knowns[min(acts + 1, len(recording.acts))]:
            return "doubled", "saving again did not end in what was to be saved"
    if number % 20 == 1 and (answer := records._store.sql("PRAGMA integrity_check(1)")) != [("ok",)]:
        return "half", str(answer)
    if number % 50 == 2 and not recording.by_apsw and (unlike := records.tables_unlike_journal()):
        return "half", f"a rebuild makes other tables: {unlike}"
    if number % 5 == 3:
        for copy in records.path.parent.glob("*.db"):
            if copy != records.path and not _is_whole(copy):
                return "half", f"the copy {copy.name} is not whole"
    return None


def _is_whole(copy: Path) -> bool:
    with closing(sqlite3.connect(copy)) as connection:
        if connection.execute("SELECT count(*) FROM sqlite_master").fetchone() == (0,):
            return False
        return backup.verify(connection).first_bad is None
