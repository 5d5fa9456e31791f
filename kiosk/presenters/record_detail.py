"""A service record opened to everything: readings beside their limits of the day, advice, cautions, overrides."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from kiosk.entities import Correction, PhotoOf, Reading, ServiceRecord
from kiosk.errors import KioskError
from kiosk.language import tr
from kiosk.presenters.advice.turns import CYCLES, STORY
from kiosk.presenters.helpers import Helpers
from kiosk.presenters.parts import DetailLine, ReadingDetail, RecordDetail
from kiosk.presenters.quantities import show_limits, show_quantity
from kiosk.presenters.rows import correction_word, job_title, person_name
from kiosk.presenters.session_story import cycle_lines
from kiosk.presenters.words import clock_text, counted, hours_text, side_text, verdict_mark


def record_detail(helpers: Helpers, record: ServiceRecord, units: str) -> RecordDetail:
    """Return everything that a record says."""
    lines = (*_corrections(helpers, record, units), *_head(helpers, record), *_work(record), *_advice(record),
             *_cautions(helpers, record), *_story(record.details, units), *_details(record.details),
             *_chain(helpers, record))
    return RecordDetail(record.id, job_title(helpers, record), lines,
                        tuple(_reading(helpers, record, reading, units) for reading in record.readings),
                        len(helpers.records.photos_of(PhotoOf.RECORD, [record.id])))


def _chain(helpers: Helpers, record: ServiceRecord) -> tuple[DetailLine, ...]:
    """Return where the record stands in the journal, and whether it was held against its neighbours just now."""
    check = helpers.records.chain_check(record.id)
    said = check.trouble or tr("checked now: as it was saved, and chained to the entries before and after it")
    entry = tr("kiosk {kiosk}, entry {seq}").format(kiosk=check.kiosk, seq=f"{check.seq:,}")
    return (DetailLine(tr("Journal"), f"{entry}; {said}"), DetailLine(tr("Its hash"), _grouped(check.hash)),
            DetailLine(tr("The hash before it"), _grouped(check.previous_hash)))


def _grouped(hash: str) -> str:
    return " ".join(hash[start : start + 8] for start in range(0, len(hash), 8))


def _corrections(helpers: Helpers, record: ServiceRecord, units: str) -> tuple[DetailLine, ...]:
    """Return that the record was corrected or annulled, or took another's place; by whom, when and why."""
    zone, records = helpers.settings.zone, helpers.records
    lines = []
    for correction, title in ((records.corrections([record.id]).get(record.id), ""),
                              (records.correction_that_made(record.id), tr("Took the place of another record"))):
        if correction is not None:
            who = person_name(helpers, correction.person_id)
            lines.append(DetailLine(title or correction_word(correction).capitalize(),
                                    f"{correction.reason} ({who}, {clock_text(correction.at, zone)})"))
            lines += _changes(helpers, correction, units)
    return tuple(lines)


def _changes(helpers: Helpers, correction: Correction, units: str) -> list[DetailLine]:
    """Return what a correction changed, each value before and after."""
    if correction.replacement_id is None:
        return []
    before, after = (helpers.records.record(each) for each in (correction.record_id, correction.replacement_id))
    told = [(tr("Strokes"), before.strokes, after.strokes), (tr("Hour meter"), before.hours, after.hours),
            (tr("Note"), before.note, after.note), (tr("Verdict"), before.verdict, after.verdict)]
    said, none = tr("{before} before, {after} now"), tr("none")
    lines = [DetailLine(name, said.format(before=old or none, after=new or none))
             for name, old, new in told if old != new]
    for old, new in zip(before.readings, after.readings, strict=False):
        if old != new:
            values = [f"{show_quantity(each.value, each.unit, units)} ({each.verdict.value})" for each in (old, new)]
            lines.append(DetailLine(_quantity_title(helpers, before, old),
                                    said.format(before=values[0], after=values[1])))
    return lines


def _head(helpers: Helpers, record: ServiceRecord) -> tuple[DetailLine, ...]:
    return (
        DetailLine(tr("When"), clock_text(record.at, helpers.settings.zone)),
        DetailLine(tr("Hour meter"), hours_text(record.hours)),
        DetailLine(
            tr("By"),
            tr("{person_name}, part found by {scan_source}").format(
                person_name=person_name(helpers, record.person_id), scan_source=tr(record.scan_source.value)
            ),
        ),
        DetailLine(
            tr("Sheet"),
            tr("{sheet}, revision {sheet_revision}").format(sheet=record.sheet, sheet_revision=record.sheet_revision),
        ),
    )


def _work(record: ServiceRecord) -> tuple[DetailLine, ...]:
    lines = []
    if record.verdict is not None:
        lines.append(DetailLine(tr("Verdict"), tr(record.verdict.value)))
    if record.strokes is not None:
        lines.append(DetailLine(tr("Grease"), tr("{strokes} of {grease}").format(
                                              strokes=counted(record.strokes, "stroke"), grease=record.grease)))
    if record.override_reason:
        lines.append(DetailLine(tr("Stop overridden"), record.override_reason))
    if record.note:
        lines.append(DetailLine(tr("Note"), record.note))
    return tuple(lines)


def _advice(record: ServiceRecord) -> tuple[DetailLine, ...]:
    return tuple(DetailLine(tr("Advice shown") if place == 0 else "", text) for place, text in enumerate(record.advice))


def _cautions(helpers: Helpers, record: ServiceRecord) -> tuple[DetailLine, ...]:
    if not record.cautions:
        return ()
    who = person_name(helpers, record.person_id)
    named = ", ".join(key.replace("-", " ") for key in record.cautions)
    return (DetailLine(tr("Cautions confirmed"), tr("{named} (by {who}, in that shift)").format(named=named, who=who)),)


def _details(details: Mapping[str, Any]) -> tuple[DetailLine, ...]:
    """Return the job's own results; ids mean nothing to a reader, and what is empty says nothing."""
    return tuple(DetailLine(tr(name.replace("_", " ")).capitalize(), _value(value)) for name, value in details.items()
                 if value not in ("", None) and not name.endswith("_id") and name not in (CYCLES, STORY))


def _story(details: Mapping[str, Any], units: str) -> tuple[DetailLine, ...]:
    """Return a session's cycles, a line each: what was turned, the run, what it did."""
    return tuple(DetailLine(tr("Session") if place == 0 else "", text)
                 for place, text in enumerate(cycle_lines(details, units)))


def _value(value: Any) -> str:
    if isinstance(value, Mapping):
        return ", ".join(f"{str(name).replace('_', ' ')} {_value(one)}" for name, one in value.items())
    if isinstance(value, (list, tuple)):
        return ", ".join(_value(one) for one in value)
    return f"{value:.6g}" if isinstance(value, float) else str(value)


def _reading(helpers: Helpers, record: ServiceRecord, reading: Reading, units: str) -> ReadingDetail:
    limits = [limit for limit in (reading.lower, reading.upper) if limit is not None]
    shown = show_quantity(reading.value, reading.unit, units, limits)
    return ReadingDetail(
        title=_quantity_title(helpers, record, reading), side=side_text(reading.side), phase=reading.phase.value,
        value=tr("{shown}, typed {typed}").format(shown=shown, typed=reading.typed),
        limits=f"{show_limits(reading.lower, reading.upper, reading.unit, units)}; {reading.rule}; "
               f"{reading.limit_source}",
        mark=verdict_mark(reading.verdict if limits else None),
    )


def _quantity_title(helpers: Helpers, record: ServiceRecord, reading: Reading) -> str:
    try:
        return helpers.sheets.sheet(record.sheet).reading(reading.quantity).title
    except (KioskError, KeyError):
        return reading.quantity.replace("-", " ").capitalize()
