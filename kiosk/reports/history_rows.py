"""A service record in the words of a report: one `HistoryRow` for print, flat rows for a spreadsheet."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from datetime import tzinfo
from typing import Any

from kiosk import units
from kiosk.entities import Correction, Reading, ServiceRecord, Side
from kiosk.language import tr


@dataclass(frozen=True)
class Names:
    """What ids are called in print. Each mapping may lack an entry; the id is printed then."""

    people: Mapping[str, str]
    positions: Mapping[str, str]
    components: Mapping[str, str]
    units: Mapping[str, str]
    jobs: Mapping[tuple[str, str], str]
    quantities: Mapping[tuple[str, str], str]


@dataclass(frozen=True)
class HistoryRow:
    """One record as the report prints it."""

    when: str
    hours: str
    job: str
    person: str
    verdict: str
    lines: tuple[str, ...]


def history_row(record: ServiceRecord, names: Names, zone: tzinfo, in_inches: bool,
                correction: Correction | None = None) -> HistoryRow:
    """Return a record as one row of print; one that was corrected or annulled says so first, and why."""
    said = () if correction is None else (correction_line(correction, names, zone),)
    return HistoryRow(
        when=record.at.astimezone(zone).strftime("%Y-%m-%d %H:%M"),
        hours=f"{record.hours:,.1f}",
        job=names.jobs.get((record.sheet, record.job), record.job),
        person=names.people.get(record.person_id, record.person_id),
        verdict=str(record.verdict or ""),
        lines=(*said, *_lines(record, names, in_inches)),
    )


def correction_line(correction: Correction, names: Names, zone: tzinfo) -> str:
    """Return who corrected or annulled a record, when and why."""
    what = "ANNULLED" if correction.replacement_id is None else tr("CORRECTED, see the record that took its place")
    who = names.people.get(correction.person_id or "", correction.person_id or "the kiosk")
    return f"{what}: {correction.reason} ({who}, {correction.at.astimezone(zone):%Y-%m-%d %H:%M})"


def _lines(record: ServiceRecord, names: Names, in_inches: bool) -> Iterator[str]:
    for reading in record.readings:
        title = names.quantities.get((record.sheet, reading.quantity), reading.quantity)
        yield _reading_line(reading, title, in_inches)
    if record.strokes is not None:
        yield tr("{strokes} strokes {grease}").format(strokes=record.strokes, grease=record.grease).strip()
    yield from (f"{key.replace('_', ' ')}: {value}" for key, value in record.details.items() if _is_plain(value))
    if record.override_reason:
        yield tr("Overridden: {override_reason}").format(override_reason=record.override_reason)
    if record.note:
        yield tr("Note: {note}").format(note=record.note)


def _is_plain(value: Any) -> bool:
    return isinstance(value, str | int | float) and value != ""


def _reading_line(reading: Reading, title: str, in_inches: bool) -> str:
    side = "" if reading.side is Side.BOTH else f" {reading.side}"
    return (tr("{title}{side}, {phase}: {shown} (limits {limits}) {verdict}").format(
                title=title, side=side, phase=reading.phase, shown=_shown(reading.value, reading.unit, in_inches),
                limits=_limits(reading, in_inches), verdict=reading.verdict))


def _shown(value: float, unit: str, in_inches: bool) -> str:
    if unit == "mm":
        return units.format_length(value, "in" if in_inches else "mm")
    return f"{value:g} {unit}".strip()


def _limits(reading: Reading, in_inches: bool) -> str:
    low, high = ("" if limit is None else _shown(limit, reading.unit, in_inches)
                 for limit in (reading.lower, reading.upper))
    if low and high:
        return tr("{low} to {high}").format(low=low, high=high)
    return tr("at least {low}").format(low=low) if low else tr("at most {high}").format(high=high) if high else "none"


CSV_COLUMNS = (
    "record", "at_utc", "at_local", "unit", "position", "component", "component_id", "sheet", "sheet_revision",
    "job", "job_type", "unit_hours", "person", "record_verdict", "quantity", "side", "phase", "typed", "value",
    "value_unit", "lower", "upper", "standard_uncertainty", "reading_verdict", "rule", "limit_source", "strokes",
    "grease", "override_reason", "note", "advice", "state", "correction_reason",
)
NO_CORRECTIONS: Mapping[str, Correction] = {}


def csv_rows(records: Iterable[ServiceRecord], names: Names, zone: tzinfo,
             corrections: Mapping[str, Correction] = NO_CORRECTIONS) -> Iterator[tuple[Any, ...]]:
    """Yield one row a reading, and one for a record without readings; columns as in `CSV_COLUMNS`.

    `state` is 'holds', 'corrected' or 'annulled': who counts or draws leaves out what does not hold.
    """
    for record in records:
        head = (
            record.id, record.at.isoformat(), record.at.astimezone(zone).isoformat(timespec="minutes"),
            names.units.get(record.unit_id, record.unit_id),
            names.positions.get(record.position_id, record.position_id),
            names.components.get(record.component_id, record.component_id), record.component_id, record.sheet,
            record.sheet_revision, record.job, str(record.job_type), record.hours,
            names.people.get(record.person_id, record.person_id), str(record.verdict or ""),
        )
        tail = (record.strokes, record.grease, record.override_reason, record.note, " | ".join(record.advice),
                *_state(corrections.get(record.id)))
        for reading in record.readings or (None,):
            yield (*head, *_reading_cells(reading), *tail)


def _state(correction: Correction | None) -> tuple[str, str]:
    if correction is None:
        return "holds", ""
    return "annulled" if correction.replacement_id is None else "corrected", correction.reason


def _reading_cells(reading: Reading | None) -> tuple[Any, ...]:
    if reading is None:
        return ("",) * 12
    return (reading.quantity, str(reading.side), str(reading.phase), reading.typed, reading.value, reading.unit,
            reading.lower, reading.upper, reading.standard_uncertainty, str(reading.verdict), reading.rule,
            reading.limit_source)
