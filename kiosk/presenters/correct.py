"""A record is corrected, or annulled, with a reason: the old one stays, a new one takes its place.

What can be put right here: readings, strokes, the hour meter and the note. Readings are judged again by the limits of
their own day. Who did the work, and when, stays as it was.
"""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from kiosk.calc.tolerance import judge
from kiosk.entities import Phase, Reading, Verdict
from kiosk.errors import NotAllowed, RecordError
from kiosk.events import RecordCorrected
from kiosk.language import tr
from kiosk.presenters.navigation import Navigation
from kiosk.presenters.pages import PagePresenter
from kiosk.presenters.parts import PageRow
from kiosk.presenters.quantities import read_quantity, show_quantity
from kiosk.presenters.rows import job_title
from kiosk.presenters.words import NOTHING, hours_text, side_text, verdict_mark, worst

SAVE, ANNUL = "save", "annul"


class CorrectPage(PagePresenter):
    """One record's values, each to be typed anew."""

    def __init__(self, desk: Navigation, record_id: str) -> None:
        super().__init__(desk)
        records = self.helpers.records
        self._old = records.record(record_id)
        if records.corrections([record_id]):
            raise NotAllowed(tr("This record was corrected already; open the one that took its place."))
        self._new = self._old
        self.title = tr("Correct: {job_title}").format(job_title=job_title(self.helpers, self._old))

    @property
    def unsaved(self) -> str:
        """What would be lost by leaving."""
        return "" if self._new == self._old else "A correction"

    def rows(self) -> tuple[PageRow, ...]:
        """Return what can be typed anew, then saving and annulling."""
        old, new = self._old, self._new
        rows = [self._reading_row(number, reading) for number, reading in enumerate(new.readings)]
        if old.strokes is not None:
            rows.append(self._row("strokes", tr("Strokes"), str(new.strokes), new.strokes != old.strokes))
        rows.append(self._row("hours", tr("Hour meter"), hours_text(new.hours), new.hours != old.hours))
        rows.append(self._row("note", tr("Note"), new.note or tr("none"), new.note != old.note))
        rows.append(PageRow(SAVE, tr("Save the correction"), (tr("the old record stays in sight"),), NOTHING,
                            tr("Why is the record corrected?"), enabled=new != old))
        rows.append(PageRow(ANNUL, tr("Annul the record"), (tr("as if it had not been; it stays in sight"),), NOTHING,
                            tr("Why is the record annulled?")))
        return tuple(rows)

    def _row(self, key: str, title: str, value: str, changed: bool) -> PageRow:
        return PageRow(
            key,
            f"{title}: {value}",
            (tr("changed"),) if changed else (),
            NOTHING,
            tr("{title} should be").format(title=title),
        )

    def _reading_row(self, number: int, reading: Reading) -> PageRow:
        units = self.desk.session.units
        try:
            name = self.helpers.sheets.sheet(self._old.sheet).reading(reading.quantity).title
        except (KeyError, RecordError):
            name = reading.quantity
        title = " ".join(part for part in (name, side_text(reading.side), tr(reading.phase.value)) if part)
        before = self._old.readings[number]
        lines = () if reading == before else (tr("was {before}").format(
                                                  before=show_quantity(before.value, before.unit, units)),)
        return PageRow(
            f"reading {number}",
            f"{title}: {show_quantity(reading.value, reading.unit, units)}",
            (tr(reading.verdict.value), *lines),
            verdict_mark(reading.verdict),
            tr("{title} should be").format(title=title),
        )

    def typed_text(self, key: str, text: str) -> None:
        """Take a value anew, or the reason to save or annul."""
        if key == SAVE:
            self._save(text)
        elif key == ANNUL:
            self._append(RecordCorrected(self._old.id, text, None), "")
        elif key.startswith("reading "):
            self._retype(int(key.removeprefix("reading ")), text)
        else:
            self._new = replace(self._new, **_field(key, text))

    def _retype(self, number: int, text: str) -> None:
        units = self.desk.session.units
        reading = self._new.readings[number]
        value = read_quantity(text, reading.unit, units)
        verdict = Verdict(judge(value, reading.lower, reading.upper, reading.standard_uncertainty,
                                reading.rule).verdict)
        anew = replace(reading, typed=f"{text} ({units})", value=value, verdict=verdict)
        readings = (*self._new.readings[:number], anew, *self._new.readings[number + 1 :])
        self._new = replace(self._new, readings=readings, verdict=_verdict(readings))

    def _save(self, reason: str) -> None:
        event_id = self.helpers.new_id()
        self._append(RecordCorrected(self._old.id, reason, replace(self._new, id=event_id)), event_id)

    def _append(self, payload: RecordCorrected, event_id: str) -> None:
        self.helpers.records.append(self.desk.session.event(payload, event_id=event_id))
        self.helpers.feedback("saved")
        self._new = self._old
        self.desk.open_history(self._old.component_id, event_id or self._old.id)


def _field(key: str, text: str) -> dict[str, Any]:
    """Return a plain field of a record from what was typed.

    Raises:
        RecordError: it is no number.
    """
    if key == "note":
        return {"note": text}
    try:
        return {"strokes": int(text)} if key == "strokes" else {"hours": float(text.replace(",", ""))}
    except ValueError as error:
        raise RecordError(tr("'{text}' is not a number. Type figures only.").format(text=text)) from error


def _verdict(readings: tuple[Reading, ...]) -> Verdict | None:
    """Return the worst verdict of what was left, of what was found where nothing was left."""
    left = [reading for reading in readings if reading.phase is Phase.AS_LEFT]
    return worst([reading.verdict for reading in (left or readings)])
