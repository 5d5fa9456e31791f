"""The yard's things as frozen dataclasses that all layers share: units, positions, components, people, records.

No layer's rules live here: an entity only says what it is made of and in which unit. Ids are opaque text of at most
64 characters; a new one is a UUIDv7. Lengths are mm, hours are hour-meter hours, instants are aware UTC datetimes.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import date, datetime
from enum import StrEnum
from typing import Any


class Verdict(StrEnum):
    """What a reading says of its limits (ISO 14253-1 zones, in the shop's words)."""

    WITHIN = "within"
    TOO_CLOSE = "too close to call"
    OUTSIDE = "outside"


class Role(StrEnum):
    """What a person may do; enforced where events are appended."""

    MECHANIC = "mechanic"
    LEAD = "lead"
    SUPERVISOR = "supervisor"


class Side(StrEnum):
    """Side of the machine, seen in the direction it drives; BOTH where a thing has no sides."""

    LEFT = "left"
    RIGHT = "right"
    BOTH = "both"


class Phase(StrEnum):
    """When in a job a reading was taken."""

    AS_FOUND = "as found"
    AS_LEFT = "as left"


class JobType(StrEnum):
    """The kinds of work a service sheet can describe."""

    GREASE = "grease"
    ADJUST = "adjust"
    INSPECT = "inspect"
    CLEAN = "clean"
    SPLICE = "splice"
    REPLACE = "replace"
    NOTE = "note"


class LabelKind(StrEnum):
    """What a label number labels; the first digit of the number, in this order from 1."""

    COMPONENT = "component"
    UNIT = "unit"
    BADGE = "badge"
    POSITION = "position"
    COMMAND = "command"


class ScanSource(StrEnum):
    """How a number reached the kiosk."""

    SCANNER = "scanner"
    CAMERA = "camera"
    KEYPAD = "keypad"


@dataclass(frozen=True)
class Scan:
    """A label number as it arrived, not yet looked up.

    Args:
        number: What was read; ten digits if it is a label of ours, anything if it is foreign.
        source: Scanner, camera or keypad.
        at: When. Aware UTC.
        how: 'plain' for an ordinary read, 'matched' for one matched against the issued numbers.
        tries: Pictures with bars in them that the camera needed. `took_ms`: from the first of them. [ms]
        grade: Print grade as far as a camera can judge, 4 best to 0; None where nothing was graded.
    """

    number: str
    source: ScanSource
    at: datetime
    how: str = "plain"
    tries: int = 1
    took_ms: float = 0.0
    grade: float | None = None


@dataclass(frozen=True)
class Person:
    """One of the crew. `badge` is a label number; `units` is 'in' or 'mm'."""

    id: str
    name: str
    role: Role
    badge: str
    units: str = "in"
    language: str = "en"


@dataclass(frozen=True)
class Unit:
    """One machine of the fleet. `design` names the diagram and the assemblies ('flight elevator' …)."""

    id: str
    name: str
    design: str
    label: str
    description: str = ""


@dataclass(frozen=True)
class Assembly:
    """The elevator, conveyor or floor on a unit."""

    id: str
    unit_id: str
    name: str
    design: str


@dataclass(frozen=True)
class Position:
    """A place on an assembly where a part sits. It stays when parts change.

    Args:
        sheet: Key of the service sheet that serves the part here ('shaft-bearing').
        side: Left, right or both.
        x, y: Place on the assembly's drawn diagram, each 0..1 from its left and lower edge.
        walk_order: Order in which a person walking round the machine comes past.
    """

    id: str
    unit_id: str
    assembly_id: str
    name: str
    sheet: str
    side: Side
    x: float
    y: float
    walk_order: int


@dataclass(frozen=True)
class Component:
    """The part that sits, or sat, at a position from one date and hour-meter reading to another.

    Args:
        properties: What its computations need and its sheet does not say: `belt_length_mm`, `cleat_pitch_mm`,
            `splices_mm` (distances of the splices from the datum mark), `links`, `bearing` ('UC208') …
        installed_hours: Unit's hour meter when it was fitted. [h]
    """

    id: str
    sheet: str
    position_id: str
    unit_id: str
    description: str
    label: str
    installed_at: datetime
    installed_hours: float
    retired_at: datetime | None = None
    retired_hours: float | None = None
    retired_reason: str = ""
    replaced_by: str | None = None
    properties: dict[str, Any] = field(default_factory=dict)


@dataclass(frozen=True)
class Label:
    """A label number and what it belongs to. `subject_id` is the component's, unit's, person's … id.

    `retired_reason` is '' while the label is good; `subject_id` is None for a number issued but not yet bound.
    """

    number: str
    kind: LabelKind
    subject_id: str | None
    issued_at: datetime
    retired_at: datetime | None = None
    retired_reason: str = ""


class PrintState(StrEnum):
    """How far a label is on its way through the printer."""

    QUEUED = "queued"
    SENDING = "sending"
    SENT = "sent"
    UNCERTAIN = "uncertain"
    REFUSED = "refused"
    PRINTED = "printed"
    READ_BACK = "read back"
    CANCELLED = "cancelled"

    @property
    def is_over(self) -> bool:
        """Whether nothing more happens with it."""
        return self in (PrintState.READ_BACK, PrintState.CANCELLED)

    @property
    def is_waiting(self) -> bool:
        """Whether it still waits for the printer or for somebody's word, so that a second one would be one too many."""
        return not self.is_over and self is not PrintState.PRINTED

    @property
    def could_be_out(self) -> bool:
        """Whether the label could have come out, so that a scan may prove it."""
        return self in (PrintState.SENT, PrintState.UNCERTAIN, PrintState.PRINTED)

    @property
    def asks(self) -> bool:
        """Whether a person must say what to do."""
        return self in (PrintState.UNCERTAIN, PrintState.REFUSED)


@dataclass(frozen=True)
class LabelPrint:
    """One label to be printed on the printer.

    Args:
        number: The label number. `lines`: what stands over the bars.
        reason: Why it is printed ('new part', 'wearing' …).
        state: How far it is; `note` the printer's words about it. `job`: the printer's number of it.
        queued_at: When it was asked for. `moved_at`: when its state last changed.
    """

    id: str
    number: str
    lines: tuple[str, ...]
    copies: int
    reason: str
    state: PrintState
    note: str
    job: int | None
    queued_at: datetime
    moved_at: datetime


@dataclass(frozen=True)
class LabelSighting:
    """How well a label read, once.

    Args:
        how: 'plain' for an ordinary read, or what the camera had to do ('deskewed', 'averaged', 'matched').
        tries: Pictures with bars in them that it took. `took_ms`: from the first of them to the read. [ms]
        grade: Print grade as far as a camera can judge, 4 best to 0; None where nothing was graded.
    """

    at: datetime
    source: ScanSource
    how: str = "plain"
    tries: int = 1
    took_ms: float = 0.0
    grade: float | None = None


@dataclass(frozen=True)
class HoursReading:
    """An hour-meter reading. `hours` counts on through meter replacements (the sum of all meters). [h]"""

    unit_id: str
    hours: float
    at: datetime
    person_id: str | None = None


@dataclass(frozen=True)
class Reading:
    """One measured value with what it was judged against on its day.

    Args:
        quantity: Key of the sheet's reading ('upper-strand-sag').
        typed: What the mechanic typed, as typed.
        value: In the quantity's unit inside the code. [unit]
        unit: 'mm', 'h', 'degC', 'count' …
        standard_uncertainty: u of the reading, from its resolution. [unit]
        lower, upper: Limits that held, None where one-sided. [unit]
        rule: Decision rule's name.
        limit_source: Where the limits come from.
    """

    quantity: str
    side: Side
    phase: Phase
    typed: str
    value: float
    unit: str
    standard_uncertainty: float
    lower: float | None
    upper: float | None
    rule: str
    limit_source: str
    verdict: Verdict


@dataclass(frozen=True)
class ServiceRecord:
    """One job done, kept for ever; its id is the id of the event that brought it.

    Args:
        job: Key of the job on its sheet; `job_type` its kind of work.
        sheet_revision: So that the record is judged by the limits of its day.
        at: When the work was done. `hours`: the unit's hour meter then. [h]
        verdict: Worst verdict of what was left (of what was found where nothing was left); None without readings.
        strokes: Grease strokes given, None for other work. `grease`: which.
        advice: What the screen advised, line by line.
        cautions: Keys of the cautions that held, each confirmed by the person in this shift.
        override_reason: Why a stop was overridden, '' if none was.
        details: The job's own results: splice plan chosen, turns made, old and new part …
    """

    id: str
    component_id: str
    position_id: str
    unit_id: str
    sheet: str
    sheet_revision: int
    job: str
    job_type: JobType
    at: datetime
    hours: float
    person_id: str
    readings: tuple[Reading, ...] = ()
    verdict: Verdict | None = None
    strokes: int | None = None
    grease: str = ""
    advice: tuple[str, ...] = ()
    cautions: tuple[str, ...] = ()
    override_reason: str = ""
    note: str = ""
    details: dict[str, Any] = field(default_factory=dict)
    scan_source: ScanSource = ScanSource.SCANNER


class Severity(StrEnum):
    """How soon a finding must be put right, in plain words; common practice, no source."""

    NOT_SAID = ""
    WATCH = "keep an eye on it"
    NEXT_SERVICE = "repair at the next service"
    BEFORE_USE = "repair before it goes out"


@dataclass(frozen=True)
class Finding:
    """Something left out of limits or seen wrong; open until a record or the supervisor closes it."""

    id: str
    unit_id: str
    position_id: str
    component_id: str
    text: str
    opened_at: datetime
    opened_by: str
    record_id: str | None = None
    closed_at: datetime | None = None
    closed_by: str | None = None
    closed_reason: str = ""
    severity: Severity = Severity.NOT_SAID


class PhotoOf(StrEnum):
    """What a photo shows: the work of a record, or what is wrong."""

    RECORD = "record"
    FINDING = "finding"


@dataclass(frozen=True)
class Photo:
    """A picture kept beside the records, named by its content.

    Args:
        sha256: Hex SHA-256 of the file's bytes; also the file's name.
        width_px, height_px: Size of the picture. [px] `size_bytes`: of the file. [B]
    """

    sha256: str
    width_px: int
    height_px: int
    size_bytes: int


@dataclass(frozen=True)
class KeptPhoto:
    """A photo with what it belongs to, and who took it when. `subject_id`: the record's or finding's."""

    photo: Photo
    of: PhotoOf
    subject_id: str
    at: datetime
    person_id: str | None


@dataclass(frozen=True)
class UnitHold:
    """That a unit is held out of service, or was until `released_at`. `id` is the event's that held it."""

    id: str
    unit_id: str
    reason: str
    held_at: datetime
    held_by: str
    released_at: datetime | None = None
    released_by: str | None = None
    released_reason: str = ""


@dataclass(frozen=True)
class OtherKiosk:
    """Another kiosk of the yard, as it was known at the last contact with the hub.

    Args:
        last_here: Number of its last entry here. `last_at_hub`: of its last one at the hub.
        seen_at: When it was last at the hub, by the hub's clock. None for never.
        waiting: Entries that waited there when it last said so.
        trouble: Why its entries are not taken in, in a sentence; '' if all is well. `chain`: what it says of its own.
        left: Whether it took its leave.
    """

    number: int
    last_here: int
    last_at_hub: int
    seen_at: datetime | None
    waiting: int
    trouble: str = ""
    chain: str = ""
    left: bool = False


@dataclass(frozen=True)
class HubStanding:
    """How this kiosk stands with the hub.

    Args:
        contact_at: The last time everything was exchanged. None for never.
        is_alone: Whether the hub could not be reached, or would not have us, at the last try. `why`: in a sentence.
        waiting: Own entries that are not at the hub yet. `coming`: others' entries that are there and not here.
        trouble: What must be looked into here: a number used twice, entries lost and come back. '' if all is well.
    """

    contact_at: datetime | None
    is_alone: bool
    why: str
    waiting: int
    coming: int = 0
    trouble: str = ""
    kiosks: tuple[OtherKiosk, ...] = ()


class ConflictKind(StrEnum):
    """What two kiosks can enter against each other, neither knowing of the other's entry."""

    POSITION = "two new parts at one position"
    GREASE = "greased at two kiosks within the hour"
    HELD = "work on a unit that was held"
    SHEET = "one sheet revised twice"
    ASIDE = "entry set aside"


@dataclass(frozen=True)
class Conflict:
    """What two kiosks entered against each other; it is in no table twice and lost in none.

    Args:
        text: What was entered where, and by which rule it stands now.
        event_id: The later entry in the yard's order. `other_id`: the earlier one, None where it is not told.
        unit_id: The unit, None where it concerns none. `finding_id`: the finding it was made, None for none.
    """

    id: str
    kind: ConflictKind
    text: str
    at: datetime
    event_id: str
    other_id: str | None
    unit_id: str | None
    finding_id: str | None


@dataclass(frozen=True)
class DueItem:
    """A job that is due, or will be. `driver` is 'hours' or 'days', whichever comes first.

    Args:
        due: Date on which it is due by the driver.
        hours_left, days_left: Negative when overdue; None where that kind of interval is not set.
    """

    unit_id: str
    position_id: str
    component_id: str
    job: str
    job_title: str
    due: date
    driver: str
    overdue: bool
    hours_left: float | None
    days_left: int | None
    last_at: datetime | None
    last_person_id: str | None


class HistoryScope(StrEnum):
    """Whose records a history holds."""

    PART = "part"
    POSITION = "position"
    UNIT = "unit"
    PERSON = "person"


@dataclass(frozen=True)
class ChainCheck:
    """Where an entry stands in the journal, and whether it and its neighbours are as they were saved.

    Args:
        kiosk, seq: The kiosk that took it and its number there, from 1.
        hash, previous_hash: Hex SHA-256 of the entry, and of the one before it.
        trouble: What does not fit, in a sentence; '' if all does.
    """

    kiosk: int
    seq: int
    hash: str
    previous_hash: str
    trouble: str = ""


@dataclass(frozen=True)
class LabelMoment:
    """Something that happened to a label: 'issued', 'print asked for', 'seen', 'found loose' …; `detail` in words."""

    at: datetime
    what: str
    detail: str = ""
    person_id: str | None = None


@dataclass(frozen=True)
class News:
    """How far the journal is, and which units the entries since the last look speak of; None for any of them."""

    arrival: int
    unit_ids: frozenset[str] | None


@dataclass(frozen=True)
class HistoryFilter:
    """Which records of a history are wanted; None means any. `hours_from` is in, `hours_until` is out. [h]"""

    job: str | None = None
    verdict: str | None = None
    person_id: str | None = None
    since: datetime | None = None
    until: datetime | None = None
    hours_from: float | None = None
    hours_until: float | None = None


@dataclass(frozen=True)
class SeriesPoint:
    """One reading of one quantity for a trend. `phase` as in the record; `hours` total unit hours. [h]"""

    at: datetime
    hours: float
    value: float
    phase: str
    side: str


@dataclass(frozen=True)
class LastDone:
    """When a job was last done on the part that sits at a position now."""

    at: datetime
    hours: float
    person_id: str
    record_id: str


@dataclass(frozen=True)
class Correction:
    """That a record was corrected, or annulled where `replacement_id` is None. `event_id` brought the correction."""

    record_id: str
    event_id: str
    at: datetime
    person_id: str | None
    reason: str
    replacement_id: str | None
