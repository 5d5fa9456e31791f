"""The records behind one object: the one way to write, every question, and what keeps the journal trustworthy."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from contextlib import AbstractContextManager, contextmanager
from datetime import datetime
from pathlib import Path
from typing import Self

from kiosk.entities import ChainCheck
from kiosk.errors import RecordError, StoreUnavailable
from kiosk.events import Event, JournalEntry
from kiosk.language import tr
from kiosk.records import backup as backups
from kiosk.records import incoming, journal, migrations, rebuild, scrub, verify
from kiosk.records.chain_check import chain_check
from kiosk.records.head_note import HeadNote, noted_heads
from kiosk.records.instants import utc_text
from kiosk.records.queries import (
    CourseQueries,
    FindingQueries,
    HistoryQueries,
    HourQueries,
    HubQueries,
    LabelLifeQueries,
    NewsQueries,
    PartQueries,
    PhotoQueries,
    WorkInHandQueries,
    WorkQueries,
    YardQueries,
)
from kiosk.records.store import BUSY_TIMEOUT_MS, Store
from kiosk.records.troubles import Trouble, translated, unavailable

_KIOSKS = range(100)


class _SaveWaits(Exception):
    """Somebody's save waits for the database."""


class YardRecords(YardQueries, PartQueries, LabelLifeQueries, HistoryQueries, WorkQueries, WorkInHandQueries,
                  HourQueries, FindingQueries, PhotoQueries, CourseQueries, NewsQueries, HubQueries):
    """A yard's records, open. Made by `open`, closed by `close`."""

    @classmethod
    def open(cls, path: Path | str, kiosk_number: int, busy_timeout_ms: int = BUSY_TIMEOUT_MS) -> Self:
        """Open the records at `path`, made if they are not there, and bring them to the newest version.

        Args:
            kiosk_number: Of this kiosk, 0..99; its entries form a chain of their own.
            busy_timeout_ms: How long a save waits for another program's. [ms]

        Raises:
            StoreUnavailable: the file cannot be opened, is damaged, of something else, or of a newer program.
        """
        if kiosk_number not in _KIOSKS:
            raise RecordError(tr("A kiosk's number is 0 to 99, not {kiosk_number}.").format(kiosk_number=kiosk_number))
        if not Path(path).exists() and (noted := noted_heads(Path(path))):
            # A new file in its place would look as if nothing had ever been saved.
            raise unavailable(Trouble.GONE, Path(path), f"noted {noted}")
        store = Store(Path(path), busy_timeout_ms)
        records = cls(store, kiosk_number)
        try:
            migrations.migrate(store, records.backup, lambda: rebuild.rebuild(store.connection()))
            records._demand_all_that_was_noted()
        except BaseException:
            records.close()
            raise
        return records

    def __init__(self, store: Store, kiosk: int) -> None:
        super().__init__(store, kiosk)
        self._note = HeadNote(store.path, kiosk)
        self._saves_waiting = 0  # by the screen's thread alone; other threads look at it

    def _demand_all_that_was_noted(self) -> None:
        """Refuse records whose end is gone: their log was lost, or somebody cut it off."""
        noted = self._note.read()
        if noted is None:
            return
        with translated(self.path):
            last = journal.head(self._store.connection(), self._kiosk)[0]
        if last < noted.seq:
            raise StoreUnavailable(
                tr("The last {seq} saved entries are not in the records any more: the log file '{path}-wal' was "
                   "lost or damaged. Put it back, or restore the last backup. To go on without them, remove the "
                   "file '{path_2}'.").format(
                    seq=noted.seq - last, path=self.path.name,
                    path_2=self._note.path.name), f"noted {noted}, have {last}", "damaged")

    @property
    def can_save(self) -> bool:
        """Whether anything can be put on record; not where a copy is open to be read."""
        return True

    @property
    def path(self) -> Path:
        """Where the records are."""
        return self._store.path

    def close(self) -> None:
        """Close the records; closing twice does no harm."""
        self._note.close()
        self._store.close()

    def in_worker(self) -> AbstractContextManager[None]:
        """Give a worker thread its own connection for the time of a `with` block."""
        return self._store.in_worker()

    def append(self, event: Event) -> JournalEntry:
        """Save one event with all that follows from it; it is durable when this returns.

        Raises:
            RecordError: it may not be put on record, or cannot be; nothing was saved. NotAllowed, NotFound and
                StoreUnavailable are kinds of it.
        """
        return self.append_all([event])[0]

    def append_all(self, events: Sequence[Event]) -> tuple[JournalEntry, ...]:
        """Save several events in one transaction: all or none."""
        with self._saving(), self._store.transaction() as connection:
            appender = journal.Appender(connection, self._kiosk)
            appended = tuple(appender.append(event) for event in events)
        self._note.write(appender.head)
        return appended

    @contextmanager
    def _saving(self) -> Iterator[None]:
        """Have whoever works others' entries in make room: nobody waits for that at the screen."""
        self._saves_waiting += 1
        try:
            yield
        finally:
            self._saves_waiting -= 1

    def take_in(self, rows: Sequence[incoming.Row], now: datetime) -> tuple[int, dict[int, incoming.Stop]]:
        """Take entries of other kiosks into the journal; `work_in` then brings them into the tables.

        Returns:
            How many were taken in, and {kiosk: why the rest of its entries was not}.
        """
        with self._store.transaction() as connection:
            before = journal.head(connection, self._kiosk)
            found = incoming.take_in(connection, rows, now)
            after = journal.head(connection, self._kiosk)
        if after != before:  # own entries came back from the hub
            self._note.write(verify.Head(*after))
        return found

    def work_in(self) -> bool:
        """Bring what was taken in into the tables; False when it gave way to somebody's save and is to be tried again.
        """
        try:
            with self._store.transaction() as connection:
                incoming.work_all_in(connection, self._give_way)
        except _SaveWaits:
            return False
        return True

    def note_contact(self, at: datetime, seq: int) -> None:
        """Note that everything was exchanged with the hub, whose last entry of ours is `seq`."""
        with self._store.transaction() as connection:
            incoming.write_note(connection, "contact", utc_text(at))
            incoming.write_note(connection, "seq", str(seq))
            incoming.forget_old_steps(connection)

    def write_hub_note(self, key: str, value: str) -> None:
        """Keep a word about the exchange."""
        with self._store.transaction() as connection:
            incoming.write_note(connection, key, value)

    def try_again_with_all(self) -> None:
        """Forget what was kept apart and the last trouble: the next exchange looks at everything anew."""
        with self._store.transaction() as connection:
            incoming.forget_apart(connection)

    def _give_way(self) -> None:
        if self._saves_waiting:
            raise _SaveWaits

    def entry(self, event_id: str) -> JournalEntry:
        """Return the journal's entry of an event; NotFound if there is none."""
        with translated(self.path):
            return journal.entry_by_id(self._store.connection(), event_id)

    def chain_check(self, event_id: str) -> ChainCheck:
        """Return where an event stands in the journal and whether it fits its neighbours; NotFound without one."""
        with translated(self.path):
            return chain_check(self._store.connection(), event_id)

    def entries(self) -> Iterator[JournalEntry]:
        """Yield every entry in the order in which the entries came to this database."""
        with translated(self.path):
            yield from journal.entries(self._store.connection())

    def entries_between(self, since: datetime, until: datetime) -> Iterator[JournalEntry]:
        """Yield the entries of what happened from `since` until before `until`."""
        with translated(self.path):
            yield from journal.entries_between(self._store.connection(), since, until)

    def head(self) -> str:
        """Return the hash of this kiosk's last entry: written down elsewhere, it proves the chain up to there."""
        with translated(self.path):
            return journal.head(self._store.connection(), self._kiosk)[1]

    def verify(self, known_heads: Mapping[int, verify.Head] | None = None) -> verify.ChainReport:
        """Walk the journal's hash chains and name the first entry that is not as it was saved."""
        with translated(self.path):
            return verify.verify(self._store.connection(), known_heads)

    def rebuild(self) -> int:
        """Make all tables again from the journal and return how many entries were read."""
        with self._store.transaction() as connection:
            return rebuild.rebuild(connection)

    def tables_unlike_journal(self) -> list[str]:
        """Return the names of the tables that a rebuild would change; [] if all are what the journal says."""
        return scrub.tables_unlike(self.path)

    def backup(self, path: Path, progress: backups.Progress | None = None) -> backups.BackupReport:
        """Copy the records to a new file; they count as copied only when the copy was verified."""
        return backups.backup(self.path, Path(path), progress)
