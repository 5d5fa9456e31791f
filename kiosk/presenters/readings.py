"""One reading judged as it is typed: text → value → verdict, gauge and, when it looks like a slip, a question.

Nothing typed is ever lost or corrected: a text that is no number stays with a sentence beside it.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from kiosk import units
from kiosk.calc import tolerance
from kiosk.entities import Phase, Reading, Side, Verdict
from kiosk.errors import KioskError
from kiosk.language import N_, number, tr
from kiosk.presenters.drafts import Typed
from kiosk.presenters.gauge import gauge_state, limits_of
from kiosk.presenters.parts import ActionState, AdviceLine, ReadingRow
from kiosk.presenters.quantities import is_length, read_quantity, show_limits, show_quantity
from kiosk.presenters.words import sentence, side_text, verdict_mark
from kiosk.service_sheet import ReadingSpec

NO_LIMITS = N_("no limits")
MOST_REPEATS = 9


@dataclass(frozen=True)
class Judged:
    """One row of a form with what its text means.

    Args:
        earlier: Readings of the same thing, typed before this one and kept.
        value: None while the text is empty or unreadable; the mean where there are earlier ones. [unit of the spec]
        combined: Mean and uncertainty of several readings, None for a single one.
        judgement: None without a value or without limits.
        message: What is wrong with the text, or the question about a slip.
        meant: What a slip probably meant, as a text to type; '' if nothing looks like a slip.
    """

    spec: ReadingSpec
    side: Side
    phase: Phase
    typed: Typed
    value: float | None = None
    judgement: tolerance.Judgement | None = None
    message: str = ""
    meant: str = ""
    earlier: tuple[Typed, ...] = ()
    combined: tolerance.Combined | None = None

    @property
    def key(self) -> str:
        """The row's name on the form."""
        return row_key(self.phase, self.spec.key, self.side)

    @property
    def verdict(self) -> Verdict | None:
        """The verdict, None without one."""
        return Verdict(self.judgement.verdict) if self.judgement else None


    @property
    def standard_uncertainty(self) -> float:
        """u of the value: of its instrument, or of the mean of several readings. [unit of the spec]"""
        return self.combined.standard_uncertainty if self.combined else standard_uncertainty(self.spec)

    @property
    def can_repeat(self) -> bool:
        """Whether what stands in the field may be kept as one reading of several."""
        return bool(self.typed.text.strip()) and self.value is not None and len(self.earlier) < MOST_REPEATS


def row_key(phase: Phase, quantity: str, side: Side) -> str:
    """Return the name of a form's row."""
    return f"{phase.value}|{quantity}|{side.value}"


def judge_typed(spec: ReadingSpec, side: Side, phase: Phase, typed: Typed, earlier: tuple[Typed, ...] = ()) -> Judged:
    """Return what a typed text means for one reading, with the earlier readings of the same thing; never raises."""
    texts = [one for one in (*earlier, typed) if one.text.strip()]
    if not texts:
        return Judged(spec, side, phase, typed)
    try:
        values = [read_quantity(one.text, spec.unit, one.unit) for one in texts]
        combined = tolerance.combine_readings(values, spec.resolution) if len(values) > 1 else None
        value = combined.mean if combined else values[0]
        judgement = judge_value(spec, value, combined.standard_uncertainty if combined else None)
    except KioskError as error:
        return Judged(spec, side, phase, typed, message=error.operator_message, earlier=earlier)
    slip = _slip(spec, values[-1], texts[-1])
    message, meant = (slip.question, slip.text) if slip else (_too_close(spec, judgement, combined), "")
    return Judged(spec, side, phase, typed, value, judgement, message, meant, earlier, combined)


def judge_value(spec: ReadingSpec, value: float, uncertainty: float | None = None) -> tolerance.Judgement | None:
    """Return the judgement of a value in the spec's unit, None where the sheet sets no limit.

    Args:
        spec: The reading.
        value: In its unit.
        uncertainty: Its standard uncertainty, None for that of the instrument. [its unit]
    """
    if spec.lower is None and spec.upper is None:
        return None
    u = standard_uncertainty(spec) if uncertainty is None else uncertainty
    return tolerance.judge(value, spec.lower, spec.upper, u, spec.rule)


def _too_close(spec: ReadingSpec, judgement: tolerance.Judgement | None, combined: tolerance.Combined | None) -> str:
    """Return which term of the uncertainty to improve where the verdict is too close to call, '' elsewhere."""
    if judgement is None or judgement.verdict != tolerance.TOO_CLOSE:
        return ""
    if combined is None:
        return (tr("Too close to call: the step of the {instrument} is all the doubt that is known. Measure again, "
                   "the mean counts, or take a finer instrument.").format(instrument=spec.instrument))
    largest = tolerance.largest_term(combined.terms)
    what = tr("that the readings differ") if largest.name == "repeat" else tr("the step of the {instrument}").format(
                                                                           instrument=spec.instrument)
    return tr("Still too close to call; {share} of the doubt is {what}. {advice}").format(
               share=number(largest.share, ".0%"), what=what, advice=largest.advice)


def standard_uncertainty(spec: ReadingSpec) -> float:
    """Return the standard uncertainty of a reading from its instrument's resolution. [its unit]"""
    return tolerance.standard_uncertainty("resolution", spec.resolution)


def _slip(spec: ReadingSpec, value: float, typed: Typed) -> units.UnitSlip | None:
    if not is_length(spec.unit) or value <= 0:
        return None
    low = spec.lower if spec.lower is not None and spec.lower > 0 else None
    unit = "mm" if any(letter.isalpha() for letter in typed.text) else typed.unit
    return units.suspect_unit_slip(value, low, spec.upper, unit)


def reading_row(judged: Judged, shown_units: str, active: bool) -> ReadingRow:
    """Return a row as the form shows it."""
    spec = judged.spec
    verdict = verdict_mark(judged.verdict)
    suggestion = ActionState("suggestion", tr("Yes, {meant}").format(meant=judged.meant)) if judged.meant else None
    return ReadingRow(
        key=judged.key, title=spec.title, side=side_text(judged.side), phase=judged.phase.value,
        typed=judged.typed.text,
        shown="" if judged.value is None else show_quantity(judged.value, spec.unit, shown_units, limits_of(spec)),
        limits=show_limits(spec.lower, spec.upper, spec.unit, shown_units), how=spec.how, instrument=spec.instrument,
        gauge=gauge_state(spec, judged.value, judged.judgement, shown_units, verdict),
        verdict=None if judged.judgement is None else verdict,
        message=judged.message, suggestion=suggestion, why=_why(judged), active=active, again=_again(judged),
        unit=bare_unit(judged.typed, spec.unit), picture=spec.picture,
    )


def _again(judged: Judged) -> ActionState | None:
    """Return the key that keeps this reading for a mean: offered where the verdict hangs on it, or once begun."""
    if judged.meant or not judged.can_repeat or not (judged.earlier or judged.verdict is Verdict.TOO_CLOSE):
        return None
    return ActionState("again", tr("Measure again, keep {strip}").format(strip=judged.typed.text.strip()))


def _why(judged: Judged) -> str:
    """Return how sure the verdict is, why the limit is what it is, and where it comes from."""
    source = " ".join(filter(None, (judged.spec.reason, tr("Limits: {source}.").format(source=judged.spec.source))))
    if judged.judgement is None:
        return source
    count = len(judged.earlier) + bool(judged.typed.text.strip())
    several = tr("Mean of {count} readings. ").format(count=count) if judged.combined else ""
    sure = several + sentence(tolerance.probability_in_words(judged.judgement.probability_within))
    coarse = "" if judged.judgement.gauge_capable else (
        tr(" No reading with {instrument} could be called within: use a finer instrument.").format(
            instrument=judged.spec.instrument))
    return tr("{sure}{coarse} Rule: {rule}. {source}").format(
               sure=sure, coarse=coarse, rule=judged.judgement.rule, source=source)


def side_difference(judged: Iterable[Judged], shown_units: str) -> AdviceLine | None:
    """Return what the two sides say of each other, None until both are read or where it does not matter."""
    rows = [row for row in judged if row.value is not None]
    if len(rows) != 2 or rows[0].spec.largest_difference is None:
        return None
    spec, largest = rows[0].spec, rows[0].spec.largest_difference
    difference = abs((rows[0].value or 0.0) - (rows[1].value or 0.0))
    shown = _difference_text(difference, spec, shown_units, largest)
    most = _difference_text(largest, spec, shown_units)
    if difference < spec.resolution / 2:
        return AdviceLine("check", tr("{spec}: both sides are alike.").format(spec=spec.title))
    if difference <= largest:
        return AdviceLine("check", tr("{spec}: the sides differ by {shown}; up to {most} is right.").format(
                                       spec=spec.title, shown=shown, most=most))
    return AdviceLine("stop", tr("{spec}: the sides differ by {shown}, more than {most}. Set both sides alike.").format(
                                  spec=spec.title, shown=shown, most=most))


def _difference_text(difference: float, spec: ReadingSpec, shown_units: str, limit: float | None = None) -> str:
    if not is_length(spec.unit):
        return f"{difference:.4g}"
    return show_quantity(difference, spec.unit, shown_units, () if limit is None else (limit,))


def kept_reading(judged: Judged) -> Reading | None:
    """Return the reading as the record keeps it, None for a row without a value."""
    if judged.value is None:
        return None
    spec, judgement = judged.spec, judged.judgement
    return Reading(
        quantity=spec.key, side=judged.side, phase=judged.phase,
        typed=_typed_with_unit(judged), value=judged.value, unit=spec.unit,
        standard_uncertainty=judged.standard_uncertainty, lower=spec.lower, upper=spec.upper,
        rule=judgement.rule if judgement else NO_LIMITS, limit_source=spec.source,
        verdict=judged.verdict or Verdict.WITHIN,
    )


def _typed_with_unit(judged: Judged) -> str:
    """Return every text of the reading, each with the unit in brackets that a bare number was read in."""
    texts = [one for one in (*judged.earlier, judged.typed) if one.text.strip()]
    return "; ".join(_text_with_unit(one, judged.spec) for one in texts)


def _text_with_unit(typed: Typed, spec: ReadingSpec) -> str:
    unit = bare_unit(typed, spec.unit)
    return f"{typed.text.strip()} ({unit})" if unit else typed.text.strip()


def bare_unit(typed: Typed, unit: str) -> str:
    """Return the unit that a bare length is read in, '' where the text names its own or it is no length."""
    bare = is_length(unit) and not any(letter.isalpha() or letter in "'\"" for letter in typed.text)
    return typed.unit if bare else ""
