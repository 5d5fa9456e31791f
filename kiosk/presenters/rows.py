"""Rows that several screens show: due jobs, records, findings. Entities in, finished texts out."""

from __future__ import annotations

from datetime import date, datetime
from typing import Protocol

from kiosk.entities import Correction, DueItem, Finding, Reading, ServiceRecord
from kiosk.errors import KioskError
from kiosk.language import tr
from kiosk.presenters.due_list import due_mark, due_text
from kiosk.presenters.helpers import Helpers
from kiosk.presenters.parts import DueRow, FindingRow, RecordRow
from kiosk.presenters.ports import Records
from kiosk.presenters.quantities import show_short
from kiosk.presenters.words import FINE, counted, hours_text, side_text, verdict_mark, when_text


class WithRecords(Protocol):
    """Whoever has the records at hand: the presenters' helpers, the reports."""

    @property
    def records(self) -> Records: ...


def person_name(helpers: WithRecords, person_id: str | None) -> str:
    """Return a person's name; one who is not on record any more is 'somebody'."""
    if person_id is None:
        return tr("the kiosk")
    try:
        return helpers.records.person(person_id).name
    except KioskError:
        return "somebody"


def due_row(helpers: Helpers, item: DueItem, place: str, today: date) -> DueRow:
    """Return a due job as a row."""
    now, zone = helpers.clock(), helpers.settings.zone
    last = tr("never done on this part") if item.last_at is None else (
        tr("last {last_at}, {person_name}").format(
            last_at=when_text(item.last_at, now, zone), person_name=person_name(helpers, item.last_person_id)))
    return DueRow(
        key=item.job, component_id=item.component_id, position_id=item.position_id, title=item.job_title, place=place,
        when=due_text(item, today), last=last, mark=due_mark(item, today),
    )


def record_row(helpers: Helpers, record: ServiceRecord, units: str, now: datetime,
               correction: Correction | None = None, place: str = "", has_photo: bool = False) -> RecordRow:
    """Return a service record in one line; one that holds no more says so first, and where it is, if that is said."""
    said = "" if correction is None else f"{correction_word(correction)}: {correction.reason} · "
    summary = (place, said + record_summary(record, units), tr("with a photo") if has_photo else "")
    return RecordRow(
        record_id=record.id, when=when_text(record.at, now, helpers.settings.zone), job=job_title(helpers, record),
        person=person_name(helpers, record.person_id), hours=hours_text(record.hours),
        summary=" · ".join(text for text in summary if text),
        mark=verdict_mark(record.verdict) if record.verdict else FINE,
    )


def correction_word(correction: Correction) -> str:
    """Return what became of a record."""
    return tr("annulled") if correction.replacement_id is None else tr("corrected")


def job_title(helpers: Helpers, record: ServiceRecord) -> str:
    """Return a job's title by the sheet in force, or its key when the sheet has it no more."""
    try:
        return helpers.sheets.sheet(record.sheet).job(record.job).title
    except (KioskError, KeyError):
        return record.job


def record_summary(record: ServiceRecord, units: str) -> str:
    """Return what a record says in a few words."""
    parts = []
    if record.strokes is not None:
        parts.append(f"{counted(record.strokes, 'stroke')} {record.grease}".strip())
    parts += _readings_text(record.readings, units)
    if record.override_reason:
        parts.append(tr("overridden: {override_reason}").format(override_reason=record.override_reason))
    if record.note:
        parts.append(record.note)
    if record.details.get("time"):
        parts.append(tr("time {details}").format(details=record.details["time"]))
    if record.details.get("reason"):
        parts.append(tr("old part off: {details}").format(details=record.details["reason"]))
    return " · ".join(parts) or "done"


def _readings_text(readings: tuple[Reading, ...], units: str) -> list[str]:
    """Return the values left (found, where none were left), at most four of them."""
    left = [reading for reading in readings if reading.phase == "as left"]
    shown = (left or list(readings))[:4]
    return [
        " ".join(part for part in (side_text(reading.side), show_short(
            reading.value, reading.unit, units, _limits(reading))) if part)
        for reading in shown
    ]


def _limits(reading: Reading) -> tuple[float, ...]:
    return tuple(limit for limit in (reading.lower, reading.upper) if limit is not None)


def finding_row(helpers: Helpers, finding: Finding, place: str = "", resolves: bool = False,
                can_resolve: bool = False) -> FindingRow:
    """Return an open finding as a row."""
    opened = when_text(finding.opened_at, helpers.clock(), helpers.settings.zone)
    since = tr("since {opened}, {person_name}").format(
                opened=opened, person_name=person_name(helpers, finding.opened_by))
    return FindingRow(finding.id, finding.text, since, place, resolves, can_resolve, finding.position_id)
