"""A job's form without its screen: its rows, what each side was left at, what saving opens and closes. Pure."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

from kiosk.entities import Phase, Side, Verdict
from kiosk.errors import NotFound
from kiosk.language import N_, tr
from kiosk.presenters.advice.turns import TURNS_MADE
from kiosk.presenters.drafts import FormDraft, Typed
from kiosk.presenters.helpers import Part
from kiosk.presenters.parts import AdviceLine
from kiosk.presenters.quantities import show_limits, show_quantity
from kiosk.presenters.readings import Judged, judge_typed, row_key, side_difference
from kiosk.presenters.words import side_text, worst
from kiosk.service_sheet import JobSpec, ReadingSpec

LEARNS_FROM_TURNS = "belt tracking"
TURNS = ReadingSpec(
    key=TURNS_MADE, title=N_("Flats really turned (up +, down −; as advised if left empty)"), unit="count",
    sides=(Side.LEFT, Side.RIGHT), lower=None, upper=None, resolution=1.0, instrument=N_("count the flats"),
    source=N_("no limit, the adviser learns from it"),
)


@dataclass(frozen=True)
class FormRows:
    """All rows of a form with what was typed in them."""

    found: tuple[Judged, ...]
    left: tuple[Judged, ...]

    def of(self, phase: str) -> tuple[Judged, ...]:
        """Return the rows of a phase."""
        return self.left if phase == Phase.AS_LEFT else self.found

    def all(self) -> tuple[Judged, ...]:
        """Return every row."""
        return self.found + self.left

    def final(self) -> tuple[Judged, ...]:
        """Return how each reading was left: as left where that was measured, as found otherwise."""
        left = {(row.spec.key, row.side): row for row in self.left if row.value is not None}
        rows = (left.get((row.spec.key, row.side), row) for row in self.found)
        return tuple(row for row in rows if row.value is not None)

    def measured_left(self) -> tuple[Judged, ...]:
        """Return the rows measured after the work, without the turns made."""
        return tuple(row for row in self.left if row.value is not None and row.spec.key != TURNS_MADE)

    def turns_made(self) -> dict[str, int]:
        """Return the flats typed as really turned, {'left': …, 'right': …}; {} if none were typed."""
        return {row.side.value: int(row.value) for row in self.left
                if row.spec.key == TURNS_MADE and row.value is not None}

    def verdict(self) -> Verdict | None:
        """Return the worst verdict of how it was left, None without readings."""
        return worst([row.verdict for row in self.final() if row.verdict is not None])


def specs_of(part: Part, job: JobSpec) -> tuple[ReadingSpec, ...]:
    """Return the readings of a job in the order of the form.

    Raises:
        NotFound: the sheet names a reading that it does not have.
    """
    try:
        return tuple(part.sheet.reading(key) for key in job.readings)
    except KeyError as error:
        raise NotFound(tr("The sheet '{sheet}' lacks the reading {error}. Tell the supervisor.").format(
                           sheet=part.sheet.title, error=error)) from error


def form_rows(specs: Sequence[ReadingSpec], job: JobSpec, draft: FormDraft) -> FormRows:
    """Return the form's rows, each judged as it stands."""
    learns = job.computation is not None and job.computation.name == LEARNS_FROM_TURNS
    left_specs = [*specs, _turns()] if learns else specs
    return FormRows(_rows(specs, Phase.AS_FOUND, draft), _rows(left_specs, Phase.AS_LEFT, draft))


def _turns() -> ReadingSpec:
    """Return the field for the turns really made, in the language spoken."""
    return replace(TURNS, title=tr(TURNS.title), instrument=tr(TURNS.instrument), source=tr(TURNS.source))


def _rows(specs: Sequence[ReadingSpec], phase: Phase, draft: FormDraft) -> tuple[Judged, ...]:
    return tuple(
        judge_typed(spec, side, phase, draft.typed.get(key, Typed("", draft.unit)), draft.repeats.get(key, ()))
        for spec in specs for side in spec.sides if (key := row_key(phase, spec.key, side))
    )


def row_name(row: Judged) -> str:
    """Return what a row is called in a sentence: 'chain sag, left, as found'."""
    return ", ".join(part for part in (row.spec.title, side_text(row.side), tr(row.phase.value)) if part)


def missing_text(rows: FormRows) -> str:
    """Return what must still be measured or corrected before saving, '' if nothing."""
    row = missing_row(rows)
    if row is None:
        return ""
    if row.typed.text.strip():
        return tr("Cannot be read: {row}.").format(row=row_name(row))
    return tr("Still to measure: {row}.").format(row=row_name(row))


def missing_row(rows: FormRows) -> Judged | None:
    """Return the first row to correct or measure before saving, None if there is none."""
    unreadable = [row for row in rows.all() if row.typed.text.strip() and row.value is None]
    return next(iter((*unreadable, *(row for row in rows.found if row.value is None))), None)


def slips(rows: FormRows) -> tuple[Judged, ...]:
    """Return the rows that look like a slip of unit or decimal point."""
    return tuple(row for row in rows.all() if row.meant)


def differences(rows: Iterable[Judged], units: str) -> tuple[AdviceLine, ...]:
    """Return what the two sides say of each other, for every reading."""
    read = list(rows)
    keys = dict.fromkeys(row.spec.key for row in read)
    lines = (side_difference([row for row in read if row.spec.key == key], units) for key in keys)
    return tuple(line for line in lines if line is not None)


def finding_texts(rows: FormRows, units: str) -> tuple[str, ...]:
    """Return the findings that saving will open: what was left outside its limits, and sides left unlike."""
    outside = [row for row in rows.final() if row.verdict is Verdict.OUTSIDE]
    unlike = [line.text for line in differences(rows.final(), units) if line.weight == "stop"]
    return tuple(_finding_text(row, units) for row in outside) + tuple(unlike)


def _finding_text(row: Judged, units: str) -> str:
    spec = row.spec
    side = side_text(row.side)
    name = tr("{spec}, {side} side,").format(spec=spec.title, side=side) if side else spec.title
    limits = [limit for limit in (spec.lower, spec.upper) if limit is not None]
    shown = show_quantity(row.value or 0.0, spec.unit, units, limits)
    return tr("{name} was left at {shown}; it should be {show_limits}.").format(
               name=name, shown=shown, show_limits=show_limits(spec.lower, spec.upper, spec.unit, units))
