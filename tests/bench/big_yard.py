"""A big yard to measure on: sixty units, ten years, as many journal events as KIOSK_BENCH_EVENTS says.

The yard is made through the kiosk's own journal: people, sheets, units, parts, and every replacement of a part. The
everyday events (jobs, hour meters, badges) are true journal rows as well, chained and hashed, with the rows that the
projections would make; but they are written from templates that the kiosk's own encoder made, straight into the
tables, with the indexes of records made afterwards: ten million events in minutes, not hours. A test builds a small
one and holds it against the kiosk: the chain verifies, and a rebuild changes no table.

The file is kept in $KIOSK_BENCH_CACHE (default ~/.cache/shaft-and-belt-kiosk) and built once.
"""

from __future__ import annotations

import os
import random
import sqlite3
from collections.abc import Iterator
from contextlib import closing
from dataclasses import dataclass, replace
from datetime import UTC, datetime, timedelta
from itertools import cycle
from pathlib import Path

from demo_shop.build import SHEETS
from demo_shop.parts import new_part
from demo_shop.pen import Pen, reading, worst
from demo_shop.yard import CREW, MACHINES, YARD_NAME, Machine, assembly_of, positions_of, unit_of
from kiosk.entities import Component, JobType, LabelKind, Phase, Position, ServiceRecord
from kiosk.events import (
    ComponentInstalled,
    ComponentReplaced,
    Event,
    HoursRead,
    JobDone,
    JournalEntry,
    Payload,
    PersonAdded,
    SheetAdopted,
    SignedIn,
    UnitAdded,
    YardNamed,
)
from kiosk.records import YardRecords, chain, codec
from kiosk.records.migrations import migrate
from kiosk.records.models import (
    HourReadingRow,
    JournalRow,
    LastDoneRow,
    ReadingRow,
    RecordRow,
    insert_statement,
)
from kiosk.records.projections import project
from kiosk.records.rebuild import rebuild
from kiosk.records.store import Store
from kiosk.service_sheet import JobSpec, ServiceSheet
from kiosk.sheets import SheetShelf

KIOSK, UNITS, DAYS = 1, 60, 3650
LAYOUT = 1
"""Counts up when a yard is built otherwise, so that one from the cache is built anew."""
DEFAULT_EVENTS = 200_000
WORKED_RECORDS = 20_000
"""So many records are on one part, whatever the size of the yard."""
END = datetime(2026, 3, 2, 12, 0, tzinfo=UTC)
_START = END - timedelta(days=DAYS)
_LIFE_DAYS = 900
_HOURS_PER_DAY = 5.25
_BATCH = 20_000
_EPOCH = datetime(1970, 1, 1, tzinfo=UTC)
# Stand in a template for what differs from event to event; no value of a real record looks like one of these.
_ID, _AT, _HOURS, _PERSON = "@id@", datetime(2001, 1, 1, tzinfo=UTC), 765432.125, "@person@"


@dataclass(frozen=True)
class BigYard:
    """Where it is, and the part and position that most was done on."""

    path: Path
    events: int
    component_id: str
    position_id: str


def wanted_events() -> int:
    """Return how many events the yard is to have."""
    return int(os.environ.get("KIOSK_BENCH_EVENTS", DEFAULT_EVENTS))


def big_yard(events: int | None = None, folder: Path | None = None) -> BigYard:
    """Return the yard, built now if it is not in the cache yet."""
    events = events or wanted_events()
    folder = folder or Path(os.environ.get("KIOSK_BENCH_CACHE", Path.home() / ".cache" / "shaft-and-belt-kiosk"))
    path = folder / f"yard-{events}-{LAYOUT}.db"
    if not path.exists():
        folder.mkdir(parents=True, exist_ok=True)
        unfinished = path.with_suffix(".unfinished")
        for leftover in folder.glob(f"{unfinished.name}*"):
            leftover.unlink()
        _Builder(unfinished, events).build()
        unfinished.rename(path)
    _bring_up_to_date(path)
    with closing(sqlite3.connect(path)) as connection:
        component_id, position_id = connection.execute(
            "SELECT id, position_id FROM component WHERE id = ?", (_worked_id(),)).fetchone()
    return BigYard(path, events, component_id, position_id)


def _bring_up_to_date(path: Path) -> None:
    """Run migrations that came after the yard was built; a yard that can be built again needs no copy before it."""
    store = Store(path)
    migrate(store, lambda copy: None, lambda: rebuild(store.connection()))
    store.close()


def _worked_id() -> str:
    return "part-0-0"


@dataclass
class _Work:
    """One job of one part, as a template: body, and the rows it makes in the tables."""

    component: Component
    job: str
    body: str
    verdict: str | None
    strokes: int | None
    job_type: str
    readings: tuple[tuple[str, str, str, float], ...]


@dataclass
class _Place:
    """A position with the part that sits there, and that part's jobs."""

    number: int
    machine: Machine
    position: Position
    component: Component
    works: list[_Work]
    generation: int = 0


class _Builder:
    """Builds the file once."""

    def __init__(self, path: Path, events: int) -> None:
        self._path, self._events = path, events
        self._shelf = SheetShelf.load(SHEETS)
        self._pen = Pen(1, KIOSK)
        self._chance = random.Random(1)
        self._machines = [replace(machine, number=number) for number, machine in
                          zip(range(1, UNITS + 1), cycle(MACHINES), strict=False)]
        self._people = [hand.id for hand in CREW]
        self._places: list[_Place] = []
        self._last_done: dict[tuple[str, str], tuple[object, ...]] = {}
        self._rows: dict[str, list[tuple[object, ...]]] = {name: [] for name in _STATEMENTS}

    def build(self) -> None:
        """Write the whole file."""
        records = YardRecords.open(self._path, KIOSK)
        records.append_all(list(self._set_up()))
        records.close()
        with closing(sqlite3.connect(self._path, isolation_level=None)) as connection:
            self._connection = connection
            kept = _without_brakes(connection)
            self._seq, self._hash = connection.execute(
                "SELECT seq, hash FROM journal ORDER BY seq DESC LIMIT 1").fetchone()
            connection.execute("BEGIN")
            self._ten_years()
            self._flush()
            connection.executemany(insert_statement(LastDoneRow), self._last_done.values())
            connection.execute("COMMIT")
            for statement in kept:
                connection.execute(statement)
            connection.execute("PRAGMA journal_mode = WAL")

    # --- the yard, through the kiosk's own journal ---

    def _set_up(self) -> Iterator[Event]:
        pen = self._pen
        yield pen.event(_START, None, YardNamed(YARD_NAME))
        for hand in CREW:
            badge, issued = pen.label(LabelKind.BADGE, _START)
            yield issued
            yield pen.event(_START, None, PersonAdded(hand.person(badge)))
        for sheet in self._shelf.sheets():
            yield pen.event(_START, None, SheetAdopted(sheet.key, sheet.revision, self._shelf.text(sheet.key)))
        for machine in self._machines:
            label, issued = pen.label(LabelKind.UNIT, _START)
            yield issued
            yield pen.event(_START, None, UnitAdded(
                unit_of(machine, label), (assembly_of(machine),), positions_of(machine)))
            for position in positions_of(machine):
                yield from self._first_part(machine, position)

    def _first_part(self, machine: Machine, position: Position) -> Iterator[Event]:
        component, issued = self._part(len(self._places), 0, machine, position, _START)
        yield issued
        yield self._pen.event(_START, None, ComponentInstalled(component))
        self._places.append(_Place(len(self._places), machine, position, component, []))
        self._learn(self._places[-1])

    def _part(self, place: int, generation: int, machine: Machine, position: Position,
              at: datetime) -> tuple[Component, Event]:
        label, issued = self._pen.label(LabelKind.COMPONENT, at)
        part = new_part(machine, position.sheet)
        hours = machine.first_hours + _HOURS_PER_DAY * (at - _START).days
        return Component(f"part-{place}-{generation}", position.sheet, position.id, machine.id, part.description,
                         label, at, hours, properties=part.properties), issued

    def _learn(self, place: _Place) -> None:
        """Make the templates of a part's jobs."""
        sheet = self._shelf.sheet(place.component.sheet)
        place.works = [self._work(place.component, sheet, job) for job in sheet.jobs
                       if job.type not in (JobType.REPLACE, JobType.SPLICE)]

    def _work(self, component: Component, sheet: ServiceSheet, job: JobSpec) -> _Work:
        specs = [(sheet.reading(key), side) for key in job.readings for side in sheet.reading(key).sides]
        readings = tuple(
            reading(spec, side, phase, _middle(spec.lower, spec.upper), "in")
            for phase in ((Phase.AS_FOUND, Phase.AS_LEFT) if job.type is JobType.ADJUST else (Phase.AS_FOUND,))
            for spec, side in specs)
        strokes = job.grease.strokes if job.grease else None
        record = ServiceRecord(
            _ID, component.id, component.position_id, component.unit_id, sheet.key, sheet.revision, job.key, job.type,
            _AT, _HOURS, _PERSON, readings, worst(readings), strokes, job.grease.grease if job.grease else "",
            cautions=job.cautions)
        body = codec.encode(JobDone(record)).replace("%", "%%")
        for token, name in ((f'"{_ID}"', '"%(id)s"'), ("2001-01-01T00:00:00Z", "%(at)s"),
                            (f"{_HOURS}", "%(hours)s"), (f'"{_PERSON}"', '"%(person)s"')):
            assert body.count(token) == 1
            body = body.replace(token, name)
        return _Work(component, job.key, body, record.verdict, strokes, job.type.value,
                     tuple((each.quantity, each.side.value, each.phase.value, each.value) for each in readings))

    # --- ten years of everyday work, straight into the tables ---

    def _ten_years(self) -> None:
        (worked, *others) = self._places
        chances = [(place, index) for place in others for index in range(len(place.works))]
        self._chance.shuffle(chances)
        turn, worked_turn = cycle(chances), cycle(range(len(worked.works)))
        everyday = self._events - self._seq
        made = 0
        for day in range(DAYS):
            due = everyday * (day + 1) // DAYS - made
            made += due
            due -= self._replace_some(day)
            own = WORKED_RECORDS * (day + 1) // DAYS - WORKED_RECORDS * day // DAYS
            for n in range(max(due, own)):
                at = _START + timedelta(days=day, seconds=21_600 + 57_600 * n // max(due, own, 1))
                if n < own:
                    self._do(worked, next(worked_turn), day, at)
                elif n % 12 == 11:
                    self._be_there(n, day, at)
                else:
                    self._do(*next(turn), day, at)

    def _replace_some(self, day: int) -> int:
        """Replace the parts whose turn it is today, through the kiosk's own projections; return how many events."""
        count = 0
        for place in self._places[1 + day % _LIFE_DAYS :: _LIFE_DAYS]:
            if day < _LIFE_DAYS // 3:
                continue
            self._replace(place, _START + timedelta(days=day, seconds=21_000 + count))
            count += 2
        return count

    def _replace(self, place: _Place, at: datetime) -> None:
        self._flush()
        job = next((job for job in self._shelf.sheet(place.component.sheet).jobs if job.type is JobType.REPLACE), None)
        if job is None:
            return
        place.generation += 1
        old = place.component
        new, issued = self._part(place.number, place.generation, place.machine, place.position, at)
        person = self._people[place.number % len(self._people)]
        event_id = self._pen.new_id(at)
        record = ServiceRecord(event_id, old.id, old.position_id, old.unit_id, old.sheet, 1, job.key, job.type, at,
                               new.installed_hours, person)
        self._append(issued)
        self._append(Event(event_id, at, person, ComponentReplaced(old.id, "worn", new, record, "scanner")))
        place.component = new
        self._learn(place)

    def _append(self, event: Event) -> None:
        """Write any event with the kiosk's own encoder and projections."""
        body = codec.encode(event.payload)
        self._journal(event.id, _utc(event.at), codec.kind_of(event.payload), event.person_id, body)
        self._flush()
        entry = _entry(self._seq, event)
        project(event.payload, entry, self._connection)

    def _do(self, place: _Place, index: int, day: int, at: datetime) -> None:
        work = place.works[index % len(place.works)]
        person = self._people[self._seq % len(self._people)]
        # Ends in a binary fraction, so that JSON writes it as Python does.
        hours = int(place.machine.first_hours) + int(_HOURS_PER_DAY * day) + 0.5
        event_id, moment = self._next_id(at), _utc(at)
        body = work.body % {"id": event_id, "at": moment[:19] + "Z", "hours": hours, "person": person}
        self._journal(event_id, moment, "job done", person, body)
        part = work.component
        rows = self._rows
        rows["record"].append((event_id, part.id, part.position_id, part.unit_id, work.job, moment, hours, person,
                               work.verdict, work.strokes, None, work.job_type, self._seq))
        rows["hour_reading"].append((part.unit_id, moment, event_id, hours, person))
        for number, (quantity, side, phase, value) in enumerate(work.readings):
            rows["reading"].append((part.id, quantity, moment, event_id, number, side, phase, hours, value))
        self._last_done[part.id, work.job] = (part.id, work.job, moment, event_id, hours, person)

    def _be_there(self, n: int, day: int, at: datetime) -> None:
        """A badge, or an hour meter that was read."""
        machine, person = self._machines[n // 12 % UNITS], self._people[n // 12 % len(self._people)]
        event_id, moment = self._next_id(at), _utc(at)
        hours = int(machine.first_hours) + int(_HOURS_PER_DAY * day) + 0.5
        payload: Payload = HoursRead(machine.id, hours) if n % 24 == 23 else SignedIn(f"{at:%Y-%m-%d} early")
        self._journal(event_id, moment, codec.kind_of(payload), person, codec.encode(payload))
        if isinstance(payload, HoursRead):
            self._rows["hour_reading"].append((machine.id, moment, event_id, hours, person))

    def _next_id(self, at: datetime) -> str:
        """Return a version 7 UUID whose random part counts on."""
        text = f"{(at - _EPOCH) // timedelta(milliseconds=1):012x}"
        low = f"{self._seq + 1:012x}"
        return f"{text[:8]}-{text[8:]}-7000-8000-{low}"

    def _journal(self, event_id: str, at: str, kind: str, person: str | None, body: str) -> None:
        envelope = chain.envelope(kiosk=KIOSK, seq=self._seq + 1, event_id=event_id, at=at, person_id=person,
                                  kind=kind, body=body)
        own = chain.link(self._hash, envelope)
        self._seq += 1
        self._rows["journal"].append(
            (self._seq, KIOSK, self._seq, event_id, at, kind, person, body, self._hash, own))
        self._hash = own
        if len(self._rows["journal"]) >= _BATCH:
            self._flush()

    def _flush(self) -> None:
        for name, rows in self._rows.items():
            if rows:
                self._connection.executemany(_STATEMENTS[name], rows)
                rows.clear()


_STATEMENTS = {
    "journal": insert_statement(JournalRow), "record": insert_statement(RecordRow),
    "hour_reading": insert_statement(HourReadingRow), "reading": insert_statement(ReadingRow),
}


def _without_brakes(connection: sqlite3.Connection) -> list[str]:
    """Take off what slows a bulk load down; return the statements that put it back."""
    for pragma in ("journal_mode = OFF", "synchronous = OFF", "foreign_keys = OFF", "cache_size = -1500000",
                   "locking_mode = EXCLUSIVE"):
        connection.execute(f"PRAGMA {pragma}")
    taken = connection.execute("""SELECT type, name, sql FROM sqlite_master WHERE sql IS NOT NULL
        AND (type = 'trigger' OR (type = 'index' AND tbl_name = 'record'))""").fetchall()
    for kind, name, _ in taken:
        connection.execute(f"DROP {kind} {name}")
    return [statement for _, _, statement in taken]


def _middle(lower: float | None, upper: float | None) -> float:
    if lower is not None and upper is not None:
        return (lower + upper) / 2
    return lower + 1 if lower is not None else (upper or 2.0) / 2


def _utc(at: datetime) -> str:
    return at.strftime("%Y-%m-%dT%H:%M:%S.000000Z")


def _entry(seq: int, event: Event) -> JournalEntry:
    return JournalEntry(KIOSK, seq, event, "", "")
