"""What can happen: one frozen payload a kind of event. `journal.append(Event)` is the only way anything is written.

A payload carries everything its projections need; nothing is looked up when it is applied, except the state that
earlier events built. `KINDS` maps the name kept in the journal to the payload's class: names never change their
meaning; a changed payload gets a new name.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import datetime
from typing import Any

from kiosk.entities import (
    Assembly,
    Component,
    Finding,
    Label,
    LabelSighting,
    Person,
    Photo,
    PhotoOf,
    Position,
    PrintState,
    Reading,
    ServiceRecord,
    Unit,
)
from kiosk.guided import CourseKind, Outcome, StepKind
from kiosk.work_in_hand import HandOver, RoundJob, WorkKind


@dataclass(frozen=True)
class YardNamed:
    """The yard got its name."""

    name: str


@dataclass(frozen=True)
class PersonAdded:
    """Somebody joined the crew, or their entry changed (same id)."""

    person: Person


@dataclass(frozen=True)
class UnitAdded:
    """A machine joined the fleet with its assemblies and positions."""

    unit: Unit
    assemblies: tuple[Assembly, ...]
    positions: tuple[Position, ...]


@dataclass(frozen=True)
class SheetAdopted:
    """A revision of a service sheet came into force; its whole TOML text is kept."""

    sheet: str
    revision: int
    text: str


@dataclass(frozen=True)
class LabelIssued:
    """A label number was taken; it is never issued again, whatever becomes of it."""

    label: Label
    serial: int


@dataclass(frozen=True)
class LabelRetired:
    """A label no longer counts."""

    number: str
    reason: str


@dataclass(frozen=True)
class LabelReplaced:
    """A part got another label; the old one is retired. The new one was issued and belonged to nothing."""

    component_id: str
    old_number: str
    new_number: str
    reason: str


@dataclass(frozen=True)
class LabelsSwapped:
    """Two parts had each other's label; each has its own now."""

    component_id: str
    other_component_id: str
    reason: str


@dataclass(frozen=True)
class LabelFound:
    """A label was found loose, off its part; `where` says where."""

    number: str
    where: str


@dataclass(frozen=True)
class LabelSeen:
    """A label was read, and how well."""

    number: str
    sighting: LabelSighting


@dataclass(frozen=True)
class LabelPrintQueued:
    """A label is to be printed by this kiosk's printer; the event's id is the print's.

    Args:
        lines: What stands over the bars.
        reason: Why it is printed.
    """

    number: str
    lines: tuple[str, ...]
    copies: int
    reason: str


@dataclass(frozen=True)
class LabelPrintMoved:
    """A print went on, or back into the queue by somebody's word.

    Args:
        print_id: Id of the event that queued it.
        note: The printer's words, or the person's reason.
        job: The printer's number of it, None while it has none.
    """

    print_id: str
    state: PrintState
    note: str = ""
    job: int | None = None


@dataclass(frozen=True)
class ComponentInstalled:
    """A part was put on record at an empty position, with its label."""

    component: Component


@dataclass(frozen=True)
class ComponentReplaced:
    """One part went, another came, at the same position: one act, one event.

    Args:
        old_component_id: The part that was taken off; retired with `reason` at the record's hours.
        new_component: With its label, already issued and read back.
        record: The replace job's service record, on the old component.
        read_back: How the new label was read before it was bound ('camera', 'scanner').
    """

    old_component_id: str
    reason: str
    new_component: Component
    record: ServiceRecord
    read_back: str


@dataclass(frozen=True)
class HoursRead:
    """An hour meter was read. `hours` is the running total of all meters. [h]"""

    unit_id: str
    hours: float


@dataclass(frozen=True)
class CautionsConfirmed:
    """The badge's owner confirmed these cautions for this unit and shift (`shift` as '2026-03-02 early').

    `how`: 'touch', 'own badge' (scanned once for each card), or 'touch and own badge'.
    """

    unit_id: str
    shift: str
    cautions: tuple[str, ...]
    how: str = "touch"


@dataclass(frozen=True)
class JobDone:
    """A job was saved, with the findings it opened and the ids of those it closed.

    Args:
        new_properties: Changes to the component's properties (a spliced belt's length and splices), may be empty.
    """

    record: ServiceRecord
    findings_opened: tuple[Finding, ...] = ()
    findings_closed: tuple[str, ...] = ()
    new_properties: dict[str, object] | None = None


@dataclass(frozen=True)
class FindingOpened:
    """Somebody saw something wrong outside a job."""

    finding: Finding


@dataclass(frozen=True)
class FindingClosed:
    """A finding was closed with a reason, by a lead or supervisor."""

    finding_id: str
    reason: str


@dataclass(frozen=True)
class PhotoAdded:
    """A photo was put to a record or a finding. The picture is a file beside the records; its hash is here."""

    of: PhotoOf
    subject_id: str
    photo: Photo


@dataclass(frozen=True)
class UnitHeld:
    """A lead or supervisor holds a unit out of service."""

    unit_id: str
    reason: str


@dataclass(frozen=True)
class UnitReleased:
    """A unit that was held may go out again."""

    unit_id: str
    reason: str


@dataclass(frozen=True)
class WorkOpened:
    """Somebody has a unit in hand now: a job's form was opened, a session begun, a lock-out noted.

    Args:
        what: In words, for whoever comes next.
        component_id, job: Of a job's form, '' otherwise.
    """

    unit_id: str
    kind: WorkKind
    what: str
    component_id: str = ""
    job: str = ""


@dataclass(frozen=True)
class WorkHandedOver:
    """Work, a round among it, came into other hands. The taker is the event's person.

    Args:
        work_id: Id of the event that opened it.
        together: The giver stays with it: both have it now.
        reason: Why it was taken without the giver, '' where both showed their badge.
    """

    work_id: str
    giver_id: str
    together: bool
    how: HandOver
    reason: str = ""


@dataclass(frozen=True)
class WorkClosed:
    """Nobody has this work in hand any more. `reason`: 'saved', 'left without an entry', 'lock taken off' …"""

    work_id: str
    reason: str


@dataclass(frozen=True)
class RoundBegun:
    """A round was begun: its jobs in the order of the walk. The event's id is the round's.

    Args:
        unit_id: None for a round of the whole yard.
        what: In words: 'Round of Unit 4'.
    """

    unit_id: str | None
    what: str
    shift: str
    jobs: tuple[RoundJob, ...]


@dataclass(frozen=True)
class RoundJobSkipped:
    """A job of a round is left out, for a reason."""

    round_id: str
    component_id: str
    job: str
    reason: str


@dataclass(frozen=True)
class RoundEnded:
    """A round is over: each of its jobs was done, or left out for a reason."""

    round_id: str


@dataclass(frozen=True)
class RecordCorrected:
    """A record was corrected (`replacement` given) or annulled (None); the old one stays visible.

    Args:
        replacement: The record that holds now; its id is the event's.
        new_properties: What the replacement changes of its part's properties; None leaves the old record's changes.
    """

    record_id: str
    reason: str
    replacement: ServiceRecord | None
    new_properties: dict[str, object] | None = None


@dataclass(frozen=True)
class CourseBegun:
    """Guided work began on a part; the event's id is the course's."""

    kind: CourseKind
    unit_id: str
    position_id: str
    component_id: str
    job: str
    sheet: str
    sheet_revision: int


@dataclass(frozen=True)
class CourseStepped:
    """One step of guided work was done.

    Args:
        details: What was turned, run, ticked, printed or fitted, by name with unit suffix.
        readings: What was measured.
    """

    course_id: str
    kind: StepKind
    details: dict[str, Any] = field(default_factory=dict)
    readings: tuple[Reading, ...] = ()


@dataclass(frozen=True)
class CourseEnded:
    """Guided work ended; given up only with a reason. `record_id`: the record that tells it, if one does."""

    course_id: str
    outcome: Outcome
    reason: str = ""
    record_id: str | None = None


@dataclass(frozen=True)
class JobScheduled:
    """A job was put on the due list once, beside its interval; the event's id is its own.

    Args:
        hours: The unit's hour meter now; it is due `after_hours` on it, or after so many days. [h]
    """

    unit_id: str
    component_id: str
    job: str
    reason: str
    hours: float
    after_hours: float | None
    after_days: int | None


@dataclass(frozen=True)
class SignedIn:
    """A badge was accepted at this kiosk. `proof`: what showed who it was: 'badge' or 'badge and PIN'."""

    shift: str
    proof: str = "badge"


@dataclass(frozen=True)
class SignedOut:
    """A person left, or was logged out after idling (`reason` 'idle')."""

    reason: str


@dataclass(frozen=True)
class PinSet:
    """A person got a PIN at this kiosk. Nothing of the PIN or its hash is here: the journal is exported and backed up.

    Args:
        method: How it is hashed, in words: 'scrypt n=32768 r=8 p=1'.
    """

    person_id: str
    method: str


@dataclass(frozen=True)
class PersonLocked:
    """So many wrong PINs in a row: the person's PIN is not taken at this kiosk before `until`. Aware UTC."""

    person_id: str
    until: datetime
    wrong_tries: int


@dataclass(frozen=True)
class PersonUnlocked:
    """A person's PIN is taken again: the time ran out, or somebody let them in (`reason`)."""

    person_id: str
    reason: str


@dataclass(frozen=True)
class ClockDoubted:
    """The system's clock cannot be right: set back, or far ahead. Entries go on from the last sure time. Aware UTC.

    Args:
        system_at: What the system's clock said. `kiosk_at`: the time that the kiosk went by instead.
    """

    system_at: datetime
    kiosk_at: datetime


@dataclass(frozen=True)
class ClockTrusted:
    """The clock is believed again: it came right by itself, or somebody said that it is (`reason`)."""

    reason: str


@dataclass(frozen=True)
class PinsPaused:
    """Too many wrong PINs by whomever: this kiosk takes no PIN at all before `until`. Aware UTC."""

    until: datetime
    wrong_tries: int


@dataclass(frozen=True)
class SeenHead:
    """The last entry of another kiosk that had come here. `digits`: the first 16 of its hash."""

    seq: int
    digits: str


@dataclass(frozen=True)
class HeadsSeen:
    """What had come from the other kiosks when this kiosk put its next entry on record.

    It says which entries the kiosk knew of, so that all kiosks can bring the entries into one order, and it writes the
    others' heads down in this kiosk's chain.

    Args:
        heads: {kiosk's number as text: its last entry here}, only of those with news since the last time.
    """

    heads: dict[str, SeenHead]


@dataclass(frozen=True)
class ConflictSettled:
    """A lead or supervisor looked at what two kiosks had entered against each other, and says what became of it."""

    conflict_id: str
    reason: str


@dataclass(frozen=True)
class RecordsRestored:
    """The records were put back from a backup at this kiosk.

    Args:
        backup: The backup's file name. `entries`: how many it held; `carried`: newer ones kept from the old file.
        lost: Entries that are known to have been saved before and are gone.
        next_serial: No label with a serial below it is issued from now on: what was lost may have issued them.
    """

    backup: str
    entries: int
    carried: int
    lost: int
    next_serial: int


Payload = (
    YardNamed | PersonAdded | UnitAdded | SheetAdopted | LabelIssued | LabelRetired | LabelReplaced | LabelsSwapped
    | LabelFound | LabelSeen | LabelPrintQueued | LabelPrintMoved | ComponentInstalled | ComponentReplaced | HoursRead
    | CautionsConfirmed | JobDone | FindingOpened | FindingClosed | PhotoAdded | UnitHeld | UnitReleased | WorkOpened
    | WorkHandedOver | WorkClosed | RoundBegun | RoundJobSkipped | RoundEnded | RecordCorrected | CourseBegun
    | CourseStepped | CourseEnded | JobScheduled | SignedIn | SignedOut | HeadsSeen | ConflictSettled
    | PinSet | PersonLocked | PersonUnlocked | PinsPaused | ClockDoubted | ClockTrusted
    | RecordsRestored
)

KINDS: dict[str, type] = {
    "yard named": YardNamed,
    "person added": PersonAdded,
    "unit added": UnitAdded,
    "sheet adopted": SheetAdopted,
    "label issued": LabelIssued,
    "label retired": LabelRetired,
    "label replaced": LabelReplaced,
    "labels swapped": LabelsSwapped,
    "label found": LabelFound,
    "label seen": LabelSeen,
    "label print queued": LabelPrintQueued,
    "label print moved": LabelPrintMoved,
    "component installed": ComponentInstalled,
    "component replaced": ComponentReplaced,
    "hours read": HoursRead,
    "cautions confirmed": CautionsConfirmed,
    "job done": JobDone,
    "finding opened": FindingOpened,
    "finding closed": FindingClosed,
    "photo added": PhotoAdded,
    "unit held": UnitHeld,
    "unit released": UnitReleased,
    "work opened": WorkOpened,
    "work handed over": WorkHandedOver,
    "work closed": WorkClosed,
    "round begun": RoundBegun,
    "round job skipped": RoundJobSkipped,
    "round ended": RoundEnded,
    "record corrected": RecordCorrected,
    "course begun": CourseBegun,
    "course stepped": CourseStepped,
    "course ended": CourseEnded,
    "job scheduled": JobScheduled,
    "signed in": SignedIn,
    "signed out": SignedOut,
    "heads seen": HeadsSeen,
    "conflict settled": ConflictSettled,
    "pin set": PinSet,
    "person locked": PersonLocked,
    "person unlocked": PersonUnlocked,
    "pins paused": PinsPaused,
    "clock doubted": ClockDoubted,
    "clock trusted": ClockTrusted,
    "records restored": RecordsRestored,
}
KIND_OF: dict[type, str] = {payload: kind for kind, payload in KINDS.items()}


@dataclass(frozen=True)
class Event:
    """One thing that happened.

    Args:
        id: UUIDv7; appending the same id again changes nothing.
        at: When it happened. Aware UTC.
        person_id: Who did it; None for what the kiosk or the set-up did.
        payload: What happened.
    """

    id: str
    at: datetime
    person_id: str | None
    payload: Payload


@dataclass(frozen=True)
class JournalEntry:
    """An event as the journal keeps it.

    Args:
        kiosk: Number of the kiosk that appended it, 0..99; `seq` its gapless sequence there, from 1.
        previous_hash, hash: Hex SHA-256 of the chain: hash = SHA-256(previous ‖ canonical JSON of the event).
    """

    kiosk: int
    seq: int
    event: Event
    previous_hash: str
    hash: str
