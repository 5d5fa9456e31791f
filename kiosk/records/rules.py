"""What may be put on record, and by whom: checked in one place, before anything is written.

Types were checked when the event was read back from its canonical form (`codec`); here is what types cannot say:
lengths of ids, things that must be known, places that must be free, roles. A refusal is a plain sentence.
"""

from __future__ import annotations

import re
import sqlite3
from functools import singledispatch

from kiosk.entities import Assembly, Component, Finding, JobType, PhotoOf, Position, ServiceRecord
from kiosk.errors import NotFound, RecordError
from kiosk.events import (
    CautionsConfirmed,
    ComponentInstalled,
    ComponentReplaced,
    ConflictSettled,
    CourseBegun,
    CourseEnded,
    CourseStepped,
    Event,
    FindingClosed,
    FindingOpened,
    HoursRead,
    JobDone,
    JobScheduled,
    LabelFound,
    LabelIssued,
    LabelPrintMoved,
    LabelPrintQueued,
    LabelReplaced,
    LabelRetired,
    LabelSeen,
    LabelsSwapped,
    PersonAdded,
    PersonLocked,
    PersonUnlocked,
    PhotoAdded,
    PinSet,
    RecordCorrected,
    RoundBegun,
    RoundEnded,
    RoundJobSkipped,
    SheetAdopted,
    UnitAdded,
    UnitHeld,
    UnitReleased,
    WorkClosed,
    WorkHandedOver,
    WorkOpened,
    YardNamed,
)
from kiosk.language import number, tr
from kiosk.records import course_rules, label_rules, work_rules
from kiosk.records.ids import MAX_ID_LENGTH
from kiosk.records.known import Known
from kiosk.records.permissions import check_permission

MOST_HOURS = 1_000_000.0
MOST_STROKES = 1_000
LABEL_DIGITS = 10
_SHA256 = re.compile("[0-9a-f]{64}")


def check(event: Event, connection: sqlite3.Connection) -> None:
    """Refuse an event that may not be put on record.

    Raises:
        NotAllowed: the person's role does not permit it.
        NotFound: it speaks of something that is not on record.
        RecordError: it cannot be right.
    """
    known = Known(connection)
    _check_id(event.id, "event")
    check_permission(event, known)
    _check_payload(event.payload, event, known)


@singledispatch
def _check_payload(payload: object, event: Event, known: Known) -> None:
    """Nothing to refuse in a payload that is not named below."""


@_check_payload.register
def _(payload: YardNamed, event: Event, known: Known) -> None:
    _check_text(payload.name, "yard's name")


@_check_payload.register
def _(payload: PersonAdded, event: Event, known: Known) -> None:
    person = payload.person
    _check_id(person.id, "person")
    _check_text(person.name, "person's name")
    _check_label_free(person.badge, person.id, known)


@_check_payload.register
def _(payload: UnitAdded, event: Event, known: Known) -> None:
    unit = payload.unit
    _check_id(unit.id, "unit")
    _check_text(unit.name, "unit's name")
    _check_label_free(unit.label, unit.id, known)
    assemblies = {assembly.id for assembly in payload.assemblies}
    places: tuple[Assembly | Position, ...] = (*payload.assemblies, *payload.positions)
    for thing in places:
        _check_id(thing.id, "place")
        _demand(thing.unit_id == unit.id, tr("'{thing}' does not belong to the unit {unit}.").format(
                                              thing=thing.name, unit=unit.name))
    for position in payload.positions:
        _demand(known.unit_of_position(position.id) in (None, unit.id), f"'{position.name}' is on another unit.")
        _demand(position.assembly_id in assemblies, tr("'{position}' is on no assembly of the unit {unit}.").format(
                                                        position=position.name, unit=unit.name))
        _demand(0 <= position.x <= 1 and 0 <= position.y <= 1, tr("'{position}' lies outside its drawing.").format(
                                                                   position=position.name))


@_check_payload.register
def _(payload: SheetAdopted, event: Event, known: Known) -> None:
    _check_id(payload.sheet, "service sheet")
    _demand(payload.revision > 0, tr("A service sheet's revision counts from 1."))
    have = known.sheet_text(payload.sheet, payload.revision)
    _demand(have in (None, payload.text),
            tr("Revision {revision} of the sheet '{sheet}' is in force with another text. Give the changed sheet a "
               "new revision.").format(revision=payload.revision, sheet=payload.sheet))


@_check_payload.register
def _(payload: LabelIssued, event: Event, known: Known) -> None:
    number = payload.label.number
    # Files are named by it, so nothing else gets in, whoever sends the entry.
    _demand(len(number) == LABEL_DIGITS and number.isascii() and number.isdigit(),
            tr("A label's number has {label_digits} digits.").format(label_digits=LABEL_DIGITS))
    _demand(payload.serial >= 0, tr("A label's serial is never negative."))
    _demand(known.label(number) is None, tr("The label {number} was issued before; a number is issued once.").format(
                                             number=number))


@_check_payload.register
def _(payload: LabelRetired, event: Event, known: Known) -> None:
    if known.label(payload.number) is None:
        raise NotFound(tr("The label {number} was never issued.").format(number=payload.number))
    _check_text(payload.reason, "reason")


@_check_payload.register
def _(payload: LabelReplaced, event: Event, known: Known) -> None:
    label_rules.check_replaced(payload, known)


@_check_payload.register
def _(payload: LabelsSwapped, event: Event, known: Known) -> None:
    label_rules.check_swapped(payload, known)


@_check_payload.register
def _(payload: LabelFound, event: Event, known: Known) -> None:
    label_rules.check_found(payload, known)


@_check_payload.register
def _(payload: LabelSeen, event: Event, known: Known) -> None:
    label_rules.check_seen(payload, known)


@_check_payload.register
def _(payload: LabelPrintQueued, event: Event, known: Known) -> None:
    label_rules.check_queued(payload, known)


@_check_payload.register
def _(payload: LabelPrintMoved, event: Event, known: Known) -> None:
    label_rules.check_moved(payload, event, known)


@_check_payload.register
def _(payload: ComponentInstalled, event: Event, known: Known) -> None:
    component = payload.component
    _check_component(component, known)
    _demand(known.part_at(component.position_id) is None,
            tr("A part sits at this position already. Replace it by the job 'replace'."))


@_check_payload.register
def _(payload: ComponentReplaced, event: Event, known: Known) -> None:
    new, record = payload.new_component, payload.record
    _check_id(payload.old_component_id, "part")
    _check_record(record, event, known)
    _check_component(new, known)
    _check_text(payload.reason, "reason")
    _demand(record.job_type is JobType.REPLACE, tr("A part is replaced by a job of the kind 'replace'."))
    _demand(record.component_id == payload.old_component_id, tr("The record of a replacement is on the old part."))
    _demand(new.position_id == record.position_id, tr("The new part goes where the old one sat."))


@_check_payload.register
def _(payload: HoursRead, event: Event, known: Known) -> None:
    _check_unit(payload.unit_id, known)
    _check_hours(payload.hours)


@_check_payload.register
def _(payload: CautionsConfirmed, event: Event, known: Known) -> None:
    _check_unit(payload.unit_id, known)
    _check_text(payload.shift, "shift")


@_check_payload.register
def _(payload: JobDone, event: Event, known: Known) -> None:
    _check_record(payload.record, event, known)
    _demand(payload.record.job_type is not JobType.REPLACE, tr("A replacement is saved with the new part."))
    for finding in payload.findings_opened:
        _check_finding(finding, known)
    for finding_id in payload.findings_closed:
        if not known.is_finding(finding_id):
            raise NotFound(tr("The finding '{finding_id}' is not on record.").format(finding_id=finding_id))


@_check_payload.register
def _(payload: FindingOpened, event: Event, known: Known) -> None:
    _check_finding(payload.finding, known)


@_check_payload.register
def _(payload: FindingClosed, event: Event, known: Known) -> None:
    if not known.is_finding(payload.finding_id):
        raise NotFound(tr("The finding '{finding_id}' is not on record.").format(finding_id=payload.finding_id))
    _demand(known.is_open_finding(payload.finding_id), tr("This finding is closed already."))
    _check_text(payload.reason, "reason")


@_check_payload.register
def _(payload: PhotoAdded, event: Event, known: Known) -> None:
    photo = payload.photo
    # Files are named by it, so nothing else gets in, whoever sends the entry.
    _demand(_SHA256.fullmatch(photo.sha256) is not None, tr("A photo is named by the SHA-256 of its file."))
    _demand(min(photo.width_px, photo.height_px, photo.size_bytes) > 0, tr("A photo without a size is none."))
    is_there = known.is_record if payload.of is PhotoOf.RECORD else known.is_finding
    if not is_there(payload.subject_id):
        raise NotFound(tr("The {of} '{subject_id}' of this photo is not on record.").format(
                           of=payload.of, subject_id=payload.subject_id))


@_check_payload.register
def _(payload: UnitHeld, event: Event, known: Known) -> None:
    _check_unit(payload.unit_id, known)
    _check_text(payload.reason, "reason")
    _demand(not known.is_held(payload.unit_id), tr("This unit is held out of service already."))


@_check_payload.register
def _(payload: UnitReleased, event: Event, known: Known) -> None:
    _check_unit(payload.unit_id, known)
    _check_text(payload.reason, "reason")
    _demand(known.is_held(payload.unit_id), tr("This unit is not held out of service."))


@_check_payload.register
def _(payload: WorkOpened, event: Event, known: Known) -> None:
    _check_unit(payload.unit_id, known)
    _check_text(payload.what, "work")


@_check_payload.register
def _(payload: WorkHandedOver, event: Event, known: Known) -> None:
    work_rules.check_handed_over(payload, event, known)


@_check_payload.register
def _(payload: WorkClosed, event: Event, known: Known) -> None:
    work_rules.check_closed(payload, event, known)


@_check_payload.register
def _(payload: RoundBegun, event: Event, known: Known) -> None:
    work_rules.check_begun(payload, known)


@_check_payload.register
def _(payload: RoundJobSkipped, event: Event, known: Known) -> None:
    work_rules.check_skipped(payload, event, known)


@_check_payload.register
def _(payload: RoundEnded, event: Event, known: Known) -> None:
    work_rules.check_ended(payload, event, known)


@_check_payload.register
def _(payload: RecordCorrected, event: Event, known: Known) -> None:
    corrected_by = known.correction_of(payload.record_id)
    if corrected_by is None:
        raise NotFound(tr("The record '{record_id}' is not there.").format(record_id=payload.record_id))
    _demand(corrected_by == "", tr("This record was corrected already; correct the one that took its place."))
    _check_text(payload.reason, "reason")
    if payload.replacement is not None:
        _check_record_of_correction(payload.replacement, event, known)
    if known.job_type_of(payload.record_id) is JobType.REPLACE:
        _check_correction_of_replacement(payload, known)


@_check_payload.register
def _(payload: ConflictSettled, event: Event, known: Known) -> None:
    _demand(known.is_open_conflict(payload.conflict_id), "This is settled already.")
    _check_text(payload.reason, "reason")


@_check_payload.register
def _(payload: CourseBegun, event: Event, known: Known) -> None:
    course_rules.check_begun(payload, known)


@_check_payload.register
def _(payload: CourseStepped, event: Event, known: Known) -> None:
    course_rules.check_stepped(payload, known)


@_check_payload.register
def _(payload: CourseEnded, event: Event, known: Known) -> None:
    course_rules.check_ended(payload, known)


@_check_payload.register
def _(payload: JobScheduled, event: Event, known: Known) -> None:
    _check_hours(payload.hours)
    course_rules.check_scheduled(payload, known)


@_check_payload.register
def _(payload: PinSet, event: Event, known: Known) -> None:
    _check_person(payload.person_id, known)
    _demand(len(payload.method) <= MAX_ID_LENGTH, tr("How a PIN is hashed is said in a few words."))


@_check_payload.register
def _(payload: PersonLocked, event: Event, known: Known) -> None:
    _check_person(payload.person_id, known)


@_check_payload.register
def _(payload: PersonUnlocked, event: Event, known: Known) -> None:
    _check_person(payload.person_id, known)
    _check_text(payload.reason, "reason")


def _check_correction_of_replacement(payload: RecordCorrected, known: Known) -> None:
    new = payload.replacement
    _demand(new is not None, tr("A replacement cannot be annulled. Replace the part again to put the old one back."))
    same = new is not None and (new.job_type, new.component_id) == (
        JobType.REPLACE, known.component_of_record(payload.record_id))
    _demand(same, tr("The record of a replacement stays on its part."))


def _check_record(record: ServiceRecord, event: Event, known: Known) -> None:
    """A new record: of the event, by its person, on a part that still sits on the machine."""
    _demand(record.person_id == event.person_id, tr("A record is saved by the one who did the work."))
    _check_record_of_correction(record, event, known)
    part = known.part(record.component_id)
    _demand(part is not None and part.retired_at is None,
            tr("This part was replaced; the work belongs on the record of the part that sits here now."))


def _check_record_of_correction(record: ServiceRecord, event: Event, known: Known) -> None:
    _demand(record.id == event.id, tr("A record bears the id of the event that brings it."))
    _check_place(record.component_id, record.position_id, record.unit_id, known)
    _check_hours(record.hours)
    _check_id(record.job, "job")
    _check_person(record.person_id, known)
    _demand(record.strokes is None or 0 <= record.strokes <= MOST_STROKES,
            tr("{strokes} strokes cannot be right.").format(strokes=record.strokes))
    for reading in record.readings:
        _demand(reading.standard_uncertainty >= 0, tr("The uncertainty of '{quantity}' is negative.").format(
                                                       quantity=reading.quantity))


def _check_finding(finding: Finding, known: Known) -> None:
    _check_id(finding.id, "finding")
    _demand(not known.is_finding(finding.id), tr("This finding is on record already."))
    _check_place(finding.component_id, finding.position_id, finding.unit_id, known)
    _check_text(finding.text, "finding")


def _check_component(component: Component, known: Known) -> None:
    _check_id(component.id, "part")
    _demand(known.part(component.id) is None, tr("The part '{id}' is on record already.").format(id=component.id))
    unit_id = known.unit_of_position(component.position_id)
    if unit_id is None:
        raise NotFound(tr("The position '{position_id}' is not on record.").format(position_id=component.position_id))
    _demand(unit_id == component.unit_id, tr("The part's position is on another unit."))
    _check_hours(component.installed_hours)
    _demand(component.retired_at is None, tr("A part is put on record when it is fitted, not when it is gone."))
    if known.label(component.label) is None:
        raise NotFound(tr("The label {label} was never issued. Issue and print the part's label first.").format(
                           label=component.label))
    _check_label_free(component.label, component.id, known)


def _check_place(component_id: str, position_id: str, unit_id: str, known: Known) -> None:
    part = known.part(component_id)
    if part is None:
        raise NotFound(tr("The part '{component_id}' is not on record.").format(component_id=component_id))
    _demand((part.position_id, part.unit_id) == (position_id, unit_id), tr("The part sits at another position."))


def _check_person(person_id: str, known: Known) -> None:
    if known.role(person_id) is None:
        raise NotFound(tr("Nobody of the crew is on record as '{person_id}'.").format(person_id=person_id))


def _check_unit(unit_id: str, known: Known) -> None:
    if not known.is_unit(unit_id):
        raise NotFound(tr("The unit '{unit_id}' is not on record.").format(unit_id=unit_id))


def _check_label_free(number: str, subject_id: str, known: Known) -> None:
    label = known.label(number)
    if label is None:
        return
    _demand(label.retired_at is None, tr("The label {number} is retired.").format(number=number))
    _demand(label.subject_id in (None, subject_id), tr("The label {number} belongs to something else.").format(
                                                        number=number))


def _check_hours(hours: float) -> None:
    _demand(0 <= hours <= MOST_HOURS, tr("An hour meter cannot stand at {hours} h.").format(hours=number(hours, "g")))


def _check_id(text: str, what: str) -> None:
    _demand(0 < len(text) <= MAX_ID_LENGTH, tr("The {what}'s id must have 1 to {max_id_length} characters.").format(
                                                what=what, max_id_length=MAX_ID_LENGTH))


def _check_text(text: str, what: str) -> None:
    _demand(bool(text.strip()), tr("The {what} is missing.").format(what=what))


def _demand(holds: bool, sentence: str) -> None:
    if not holds:
        raise RecordError(sentence)
