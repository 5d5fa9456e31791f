"""What presenters ask of the rest, as Protocols: records, sheets, labels, clock. Fakes stand in for them in tests.

`kiosk.records` answers `Records` (its `Queries` and `Journal` behind one object), `kiosk.sheets` answers `Sheets`,
`app.py` gives the others. Everything returned is an entity or a plain value; nothing here knows SQL or Kivy.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from pathlib import Path
from typing import Any, Protocol

from kiosk.entities import (
    Assembly,
    ChainCheck,
    Component,
    Conflict,
    Correction,
    Finding,
    HistoryFilter,
    HistoryScope,
    HoursReading,
    HubStanding,
    KeptPhoto,
    Label,
    LabelKind,
    LabelMoment,
    LabelPrint,
    LabelSighting,
    LastDone,
    News,
    Person,
    Photo,
    PhotoOf,
    Position,
    SeriesPoint,
    ServiceRecord,
    Side,
    Unit,
    UnitHold,
)
from kiosk.errors import KioskError, NotFound
from kiosk.events import ClockDoubted, ClockTrusted, Event, JournalEntry
from kiosk.guided import Course, CourseStep, ScheduledJob
from kiosk.service_sheet import ReadingSpec, ServiceSheet
from kiosk.work_in_hand import Round, Work

EVERYTHING = HistoryFilter()


class Records(Protocol):
    """Queries over the projections, and the one way to write."""

    @property
    def can_save(self) -> bool:
        """Whether anything can be put on record; not where a copy is open to be read."""
        ...

    def append(self, event: Event) -> JournalEntry: ...

    def append_all(self, events: Sequence[Event]) -> tuple[JournalEntry, ...]:
        """Append several events in one transaction: all or none."""
        ...

    def head(self) -> str:
        """Return the hash of this kiosk's last journal entry."""
        ...

    def news(self, since: int) -> News:
        """Return how far the journal is, and what the entries after `since` speak of; 0 stands for never looked."""
        ...

    def yard_name(self) -> str: ...
    def units(self) -> tuple[Unit, ...]: ...
    def unit(self, unit_id: str) -> Unit: ...
    def assemblies(self, unit_id: str) -> tuple[Assembly, ...]: ...
    def positions(self, unit_id: str) -> tuple[Position, ...]: ...
    def position(self, position_id: str) -> Position: ...
    def people(self) -> tuple[Person, ...]: ...
    def person(self, person_id: str) -> Person: ...
    def pin_was_set(self, person_id: str) -> bool:
        """Return whether a person was ever given a PIN at this kiosk, by what the journal says."""
        ...

    def label(self, number: str) -> Label | None: ...
    def issued_numbers(self) -> tuple[str, ...]: ...
    def next_serial(self) -> int: ...
    def label_sightings_of_unit(self, unit_id: str, since: datetime) -> Mapping[str, tuple[LabelSighting, ...]]:
        """Return {component id: how its label read since it was last printed, newest first}."""
        ...

    def sightings_before_failures(self, reasons: Sequence[str]) -> tuple[tuple[LabelSighting, ...], ...]:
        """Return how labels read, newest first, before they were printed again or replaced for these reasons."""
        ...

    def last_label_print(self, number: str) -> LabelPrint | None:
        """Return the newest print of a label number, None if it was never sent to a printer."""
        ...

    def component(self, component_id: str) -> Component: ...
    def component_at(self, position_id: str) -> Component | None: ...
    def components_of_unit(self, unit_id: str) -> tuple[Component, ...]:
        """Return the parts that sit on the unit now, by position's walk order."""
        ...

    def components_at(self, position_id: str) -> tuple[Component, ...]:
        """Return every part that sat at the position, newest first."""
        ...

    def lives(self, sheet: str) -> tuple[Component, ...]:
        """Return every part that a sheet serves, those that sit now and those that went, in the order they came."""
        ...

    def entries_between(self, since: datetime, until: datetime) -> Iterator[JournalEntry]:
        """Yield the entries of what happened from `since` until before `until`."""
        ...

    def record(self, record_id: str) -> ServiceRecord: ...
    def component_history(
        self, component_id: str, filter: HistoryFilter = EVERYTHING, before: tuple[datetime, str] | None = None,
        limit: int = 50,
    ) -> tuple[ServiceRecord, ...]:
        """Return one page of records, newest first, older than the (at, id) in `before`."""
        ...

    def position_history(
        self, position_id: str, filter: HistoryFilter = EVERYTHING, before: tuple[datetime, str] | None = None,
        limit: int = 50,
    ) -> tuple[ServiceRecord, ...]: ...
    def unit_history(
        self, unit_id: str, filter: HistoryFilter = EVERYTHING, before: tuple[datetime, str] | None = None,
        limit: int = 50,
    ) -> tuple[ServiceRecord, ...]: ...
    def person_history(
        self, person_id: str, filter: HistoryFilter = EVERYTHING, before: tuple[datetime, str] | None = None,
        limit: int = 50,
    ) -> tuple[ServiceRecord, ...]: ...
    def history_page(
        self, scope: HistoryScope, subject_id: str, filter: HistoryFilter = EVERYTHING,
        before: tuple[datetime, str] | None = None, limit: int = 50,
    ) -> tuple[ServiceRecord, ...]:
        """Return one page of a part's, a position's, a unit's or a person's records, newest first."""
        ...

    def chain_check(self, event_id: str) -> ChainCheck:
        """Return where an entry stands in the journal and whether it is as it was saved."""
        ...

    def label_moments(self, number: str) -> tuple[LabelMoment, ...]:
        """Return what happened to a label, newest first."""
        ...

    def photos_of(self, of: PhotoOf, subject_ids: Iterable[str]) -> tuple[KeptPhoto, ...]:
        """Return the photos of records or findings, oldest first."""
        ...

    def corrections(self, record_ids: Iterable[str]) -> Mapping[str, Correction]:
        """Return {record id: its correction} for those of the records that were corrected or annulled."""
        ...

    def correction_that_made(self, record_id: str) -> Correction | None:
        """Return the correction that brought a record in the place of another, None for an ordinary record."""
        ...

    def entry(self, event_id: str) -> JournalEntry: ...
    def finding(self, finding_id: str) -> Finding: ...
    def hold_of(self, unit_id: str) -> UnitHold | None:
        """Return why a unit is held out of service now, None if it may go out."""
        ...

    def holds(self) -> tuple[UnitHold, ...]:
        """Return every unit that is held out of service now."""
        ...

    def last_done(self, unit_id: str) -> Mapping[tuple[str, str], LastDone]:
        """Return {(component id, job): last time} for the parts that sit on the unit now."""
        ...

    def strokes_since(self, component_id: str, since: datetime) -> tuple[tuple[datetime, int], ...]: ...
    def series(self, component_id: str, quantity: str, side: Side | None = None, newest: int | None = None
               ) -> tuple[SeriesPoint, ...]:
        """Return the readings of one quantity on one part, oldest first; with `newest` only so many of the last."""
        ...

    def open_conflicts(self) -> tuple[Conflict, ...]:
        """Return what two kiosks entered against each other and nobody settled yet, oldest first."""
        ...

    def open_findings(self, *, unit_id: str | None = None, component_id: str | None = None) -> tuple[Finding, ...]: ...
    def hours(self, unit_id: str) -> HoursReading | None: ...
    def hours_per_day(self, unit_id: str, today: date, over_days: int = 60) -> float | None:
        """Return the unit's running hours per calendar day over the last `over_days`, None if unknown."""
        ...

    def work(self, work_id: str) -> Work: ...
    def work_in_hand(self, unit_id: str) -> tuple[Work, ...]:
        """Return what anybody has in hand on a unit now, the oldest first."""
        ...

    def open_rounds(self) -> tuple[Round, ...]:
        """Return the rounds that go on, the oldest first."""
        ...

    def round(self, round_id: str) -> Round: ...
    def rounds_between(self, since: datetime, until: datetime) -> tuple[Round, ...]:
        """Return the rounds that went on in a span of time, `until` left out, the oldest first."""
        ...

    def cautions_confirmed(self, unit_id: str, person_id: str, shift: str) -> frozenset[str]: ...
    def course(self, course_id: str) -> Course: ...
    def open_courses(self, unit_id: str | None = None) -> tuple[Course, ...]:
        """Return the guided work under way on a unit or in the whole yard, oldest first."""
        ...

    def open_course(self, position_id: str, job: str) -> Course | None:
        """Return a job's guided work that is under way at a position, None if there is none."""
        ...

    def course_steps(self, course_id: str) -> tuple[CourseStep, ...]: ...
    def scheduled_jobs(self, unit_id: str) -> tuple[ScheduledJob, ...]:
        """Return the jobs put on the due list once that were not done since."""
        ...


class Sheets(Protocol):
    """The service sheets in force."""

    def sheet(self, key: str) -> ServiceSheet: ...
    def sheets(self) -> tuple[ServiceSheet, ...]: ...


@dataclass(frozen=True)
class IssuedLabel:
    """A label number just issued, with its printed page."""

    number: str
    pdf: Path


@dataclass(frozen=True)
class PrintProgress:
    """How a label's print is, in words.

    Args:
        asks: Somebody must look at the printer and say what to do.
        is_waiting: It waits for the printer or for that word, so that it must not be printed once more.
    """

    text: str
    asks: bool = False
    is_waiting: bool = False


class LabelDesk(Protocol):
    """Issues a number, prints its label, tells whether a scan reads it back."""

    def print_again(self, number: str, lines: Sequence[str], reason: str = "printed again",
                    person_id: str | None = None) -> Path:
        """Print the label of a number that was issued before; returns its page."""
        ...

    def progress(self, number: str) -> PrintProgress | None:
        """Return how a label's print is, None where labels go to PDF."""
        ...

    def send_again(self, number: str, person_id: str | None, reason: str) -> None:
        """Send a label to the printer again, by a person's word."""
        ...

    def cancel_print(self, number: str, person_id: str | None, reason: str) -> None:
        """Take a label out of the printer's queue."""
        ...

    def came_out(self, number: str, person_id: str | None) -> None:
        """Take a person's word that a label came out of the printer."""
        ...

    def was_read(self, number: str, how: str, person_id: str | None) -> None:
        """Note that a label was read by 'scanner' or 'camera' after it was printed."""
        ...

    def issue(self, kind: LabelKind, lines: Sequence[str]) -> IssuedLabel:
        """Issue a number (already in the journal when this returns) and print its label, or queue it."""
        ...

    def read_back(self, label: IssuedLabel) -> str | None:
        """Decode the printed page as a picture and return the number read, None if it cannot be read.

        Raises:
            KioskError: the label went to a printer, so that only a scan of it proves anything.
        """
        ...


@dataclass(frozen=True)
class HistoryRequest:
    """Whose history is wanted as a file: a part's, its position's through every part, a unit's, a person's."""

    subject_id: str
    scope: HistoryScope = HistoryScope.PART
    filter: HistoryFilter = EVERYTHING


@dataclass(frozen=True)
class FileWish:
    """How a file is wanted.

    Args:
        kind: 'pdf', 'csv' or 'jsonl'. `page`: 'Letter' or 'A4', '' as the shop has it.
        place: Key of one of `Reports.places()`, '' for the shop's report folder.
    """

    kind: str = "pdf"
    page: str = ""
    place: str = ""


Progress = Callable[[float], None]
"""Called with 0..1 from the thread that works."""


def no_progress(_share: float) -> None:
    """Tell nobody."""


class Drawing(Protocol):
    """A chart that can be drawn, on any thread."""

    def png(self, width_px: int, height_px: int, text_px: float = 11.0) -> bytes:
        """Return the chart as a PNG of this size, its smallest text so high."""
        ...


@dataclass(frozen=True)
class LifePicture:
    """What lives of parts say: (heading, text) each, and the curve of all of them."""

    lines: tuple[tuple[str, str], ...]
    drawing: Drawing | None


class Reports(Protocol):
    """Writes files for the supervisor into the shop's report folder."""

    @property
    def page(self) -> str:
        """The shop's paper, 'Letter' or 'A4'."""
        ...

    def places(self) -> Mapping[str, str]:
        """Return {key: name} of the USB sticks that are plugged in."""
        ...

    def history(self, request: HistoryRequest, wish: FileWish, progress: Progress = no_progress) -> Path:
        """Write a history and return where it was saved. Takes long; runs on any thread."""
        ...

    def report(self, kind: str, wish: FileWish, progress: Progress = no_progress) -> Path:
        """Write a supervisor's report ('shift', 'month', 'findings', 'audit') and return where it was saved."""
        ...

    def chart(self, spec: ReadingSpec, points: Sequence[SeriesPoint], in_inches: bool) -> Drawing:
        """Return the chart of one quantity's readings; what is worked out for it is worked out when it is drawn."""
        ...

    def life_picture(self, sheet: str) -> LifePicture:
        """Return what the lives of a kind of part say, with the curve."""
        ...


@dataclass(frozen=True)
class PinAnswer:
    """What became of a PIN that was tried.

    Args:
        right: Whether it was the person's.
        wait_s: How long until the next one is taken; above 0 with `right` False means that this one was not even
            looked at, or was wrong. [s]
        looked_at: False when it came too early and counts for nothing.
        tries_left: Until the person is locked. `wrong_tries`: in a row, by the person; `kiosk_tries`: by whomever.
        locked_until: Set when this try locked the person. Aware UTC.
        paused_until: Set when this try made the kiosk take no PINs at all. Aware UTC.
        was_locked: A lock had run out when this was tried.
    """

    right: bool
    wait_s: float = 0.0
    looked_at: bool = True
    tries_left: int = 0
    wrong_tries: int = 0
    kiosk_tries: int = 0
    locked_until: datetime | None = None
    paused_until: datetime | None = None
    was_locked: bool = False


@dataclass(frozen=True)
class BackupCopy:
    """A backup of the records. `taken_at`: by its name; `is_here`: on the kiosk's own disk, else on the second one.

    `size_bytes`: of the file. [B]
    """

    path: str
    taken_at: datetime | None
    size_bytes: int
    is_here: bool


@dataclass(frozen=True)
class RestoreOutcome:
    """What comes, or came, of putting a backup in the place of the records.

    Args:
        entries: How many the backup holds. `until`: time of its last one.
        carried: Newer entries that can be read in the old file and are kept.
        lost: Entries that are known to have been saved and are in neither. `stranded`: of them, those that can be read
            but do not follow from what is kept.
        is_known: Whether the old file, or the note beside it, tells how much was saved; else more may be lost.
        kept: Where the old file is kept, '' for a rehearsal.
    """

    entries: int
    until: datetime | None
    carried: int
    lost: int
    stranded: int
    is_known: bool
    kept: str = ""


class Restores(Protocol):
    """Puts a backup in the place of the records. What takes long runs off the screen's thread."""

    @property
    def can_restore(self) -> bool:
        """Whether the records are open to be read only, so that a backup may take their place now."""
        ...

    @property
    def shown(self) -> str:
        """Name of the backup that is shown in the records' place, '' if they are themselves."""
        ...

    def backups(self) -> tuple[BackupCopy, ...]:
        """Return the backups that are there, newest first."""
        ...

    def rehearse(self, copy: str) -> RestoreOutcome:
        """Do it all on the side and say what would come of it; nothing is changed."""
        ...

    def restore(self, copy: str, person_id: str) -> RestoreOutcome:
        """Put the backup in the place of the records, in a person's name; the old file is kept aside."""
        ...

    def make_tables_anew(self) -> int:
        """Make all tables again from the journal; returns how many entries were read."""
        ...

    def start_again(self, to_restore: bool = False) -> None:
        """End the kiosk and open it again, the records only to be read where they are to be restored."""
        ...


class Photos(Protocol):
    """Takes photos with the kiosk's camera and keeps them as files."""

    @property
    def has_camera(self) -> bool:
        """Whether photos can be taken."""
        ...

    def take(self) -> Photo:
        """Take and keep what the camera sees now; CameraLost where it gives no picture."""
        ...

    def path(self, sha256: str) -> Path:
        """Return a photo's file, held against its hash.

        Raises:
            RecordError: it is missing, or not what was taken.
        """
        ...

    def forget(self, sha256: str) -> None:
        """Remove a photo that is on no record."""
        ...


class NoPhotos:
    """Stands where there is no camera and no folder of photos."""

    has_camera = False

    def take(self) -> Photo:
        """Refuse."""
        raise NotFound("This kiosk has no camera.")

    def path(self, sha256: str) -> Path:
        """Refuse."""
        raise NotFound("The photo's file is not there.")

    def forget(self, sha256: str) -> None:
        """Forget nothing."""


Failed = Callable[[Exception], None]


class Pins(Protocol):
    """Keeps and checks PINs. Answers come later, on the thread that asked: hashing takes its time on another."""

    def is_set(self, person_id: str) -> bool:
        """Return whether this kiosk keeps a PIN of a person."""
        ...

    def wait_s(self, person_id: str) -> float:
        """Return how long until a PIN of this person is taken here. [s] 0 for now"""
        ...

    def locks(self) -> Mapping[str, datetime | None]:
        """Return everybody who has a PIN here, by id, with the time until which it is locked; None if it is not."""
        ...

    def unlock(self, person_id: str) -> None:
        """Take a person's PIN again, and end a pause of all PINs."""
        ...

    def check(self, person_id: str, pin: str, done: Callable[[PinAnswer], None], failed: Failed) -> None:
        """Try a PIN; the try counts before it is looked at."""
        ...

    def choose(self, person_id: str, pin: str, done: Callable[[str], None], failed: Failed) -> None:
        """Keep a PIN; `done` gets how it is hashed, in words."""
        ...


class ClockWatch(Protocol):
    """Tells whether the system's clock can be right, and what the kiosk goes by when it cannot."""

    @property
    def doubt(self) -> tuple[datetime, datetime] | None:
        """What the system says and what the kiosk goes by, None when all is well. Aware UTC."""
        ...

    def news(self) -> ClockDoubted | ClockTrusted | None:
        """Return what is to be put on record because the doubt began or ended."""
        ...

    def recorded(self) -> None:
        """Take note that the news is on record."""
        ...

    def take_system(self) -> None:
        """Believe the system's clock from now on, by a person's word."""
        ...


@dataclass(frozen=True)
class PartCheck:
    """One part of the kiosk tried: what it is, whether it works, what was found, what to do if it does not."""

    part: str
    works: bool
    found: str
    advice: str = ""


@dataclass(frozen=True)
class DeviceChoice:
    """A device that could be used: its name, and the setting that means it."""

    name: str
    setting: str


class ThisKiosk(Protocol):
    """The computer that the kiosk stands on. Everything here may take seconds: run it slow."""

    @property
    def program(self) -> str:
        """Return the version that runs."""
        ...

    @property
    def can_start_again(self) -> bool:
        """Return whether something starts the kiosk again when it ends."""
        ...

    def checks(self) -> Sequence[PartCheck]:
        """Try every part."""
        ...

    def setting(self, device: str) -> str:
        """Return the setting of a 'scanner', 'camera' or 'printer' in kiosk.toml, '' for none."""
        ...

    def devices(self, device: str) -> Sequence[DeviceChoice]:
        """Return what is plugged in and could serve."""
        ...

    def choose(self, device: str, setting: str) -> None:
        """Write the setting into kiosk.toml; it holds from the next start on."""
        ...

    def updates(self) -> Sequence[Path]:
        """Return the updates on the sticks that are plugged in, the newest first."""
        ...

    def update(self, path: Path) -> str:
        """Install an update; returns the version that runs from the next start on."""
        ...

    def start_again(self) -> None:
        """End the kiosk, so that it is started again."""
        ...


class HubWatch(Protocol):
    """Tells how this kiosk stands with the hub."""

    def standing(self) -> HubStanding | None:
        """Return how things stood after the last try, None before the first."""
        ...


Clock = Callable[[], datetime]


class RunSlow(Protocol):
    """Runs work off the screen's thread, with its own way to the records, then `done` or `failed` back on it."""

    def __call__(self, work: Callable[[], Any], done: Callable[[Any], None], failed: Callable[[Exception], None],
                 text: str = "") -> None: ...


def run_at_once(work: Callable[[], Any], done: Callable[[Any], None], failed: Callable[[Exception], None],
                text: str = "") -> None:
    """Run work where nobody waits for a screen."""
    try:
        result = work()
    except KioskError as error:
        failed(error)
    else:
        done(result)


NewId = Callable[[], str]
