"""One reading: from text to verdict, gauge and kept reading, whatever is typed."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kiosk.entities import Phase, Side, Verdict
from kiosk.presenters.drafts import Typed
from kiosk.presenters.gauge import gauge_state, scale_of
from kiosk.presenters.quantities import read_quantity, show_limits, show_quantity
from kiosk.presenters.readings import NO_LIMITS, judge_typed, kept_reading, reading_row
from kiosk.presenters.words import NOTHING
from kiosk.service_sheet import ReadingSpec


def spec(lower=76.2, upper=101.6, unit="mm", resolution=1.5875, **more):
    return ReadingSpec("sag", "Sag", unit, (Side.BOTH,), lower, upper, resolution, "tape", "common practice, no source",
                       **more)


def judged(text, unit="in", **limits):
    return judge_typed(spec(**limits), Side.BOTH, Phase.AS_FOUND, Typed(text, unit))


@given(st.text(alphabet="0123456789./ -'\"inmxé½⅝,", max_size=50))
def test_any_text_is_judged_without_an_error_and_stays(text):
    """Whatever is typed, the row holds the text and either a value or a sentence (or nothing for nothing)."""
    row = judged(text)
    assert row.typed.text == text
    assert (row.value is not None) or bool(row.message) or not text.strip()


@given(st.text(alphabet="0123456789./ -", max_size=45))
def test_any_text_makes_a_row_that_can_be_drawn(text):
    """The gauge's places are 0..1 or None."""
    gauge = reading_row(judged(text), "in", True).gauge
    places = (gauge.lower, gauge.upper, gauge.value, gauge.value_low, gauge.value_high)
    assert all(place is None or 0 <= place <= 1 for place in places)


@pytest.mark.parametrize(("lower", "upper"), [(76.2, 101.6), (None, 12.7), (2.0, None), (None, 0.0), (-5.0, 5.0),
                                              (10.0, 10.0), (None, None), (None, -3.0)])
def test_scale_holds_its_limits(lower, upper):
    """Every limit lies on the scale, which has a length."""
    low, high = scale_of(spec(lower, upper))
    assert low < high
    assert all(low <= limit <= high for limit in (lower, upper) if limit is not None)


def test_value_beyond_the_scale_is_marked(yard):
    """A value far off is held at the end and told."""
    assert reading_row(judged("40", "in"), "in", True).gauge.off_scale == "high"
    assert reading_row(judged("1 mm", "in"), "in", True).gauge.off_scale == "low"


def test_gauge_without_a_value_shows_the_limits_only():
    """Before anything is typed the limits stand on the scale."""
    gauge = gauge_state(spec(), None, None, "in", NOTHING)
    assert (gauge.value, gauge.lower_text, gauge.upper_text) == (None, "3 in", "4 in")


def test_uncertainty_is_drawn_about_the_value():
    """Expanded uncertainty of a 1/16 in tape: 2 · 1.5875/√12 = 0.917 mm, by hand."""
    gauge = reading_row(judged("3 1/2"), "mm", True).gauge
    low, high = scale_of(spec())
    assert (gauge.value_high - gauge.value) * (high - low) == pytest.approx(2 * 1.5875 / math.sqrt(12))
    assert gauge.uncertainty_text == "± 0.917 mm"


def test_gauge_that_can_never_pass_is_said():
    """A window narrower than the instrument's guard bands cannot be met."""
    row = reading_row(judged("10 mm", lower=9.9, upper=10.1, resolution=1.0), "mm", True)
    assert "use a finer instrument" in row.why


def test_reading_without_limits_is_kept_without_a_verdict_to_speak_of():
    """No limits, no judgement; the record says so."""
    row = judged("10 mm", lower=None, upper=None)
    assert reading_row(row, "mm", True).verdict is None
    kept = kept_reading(row)
    assert (kept.rule, kept.verdict) == (NO_LIMITS, Verdict.WITHIN)


def test_empty_row_keeps_nothing():
    """A row left empty is no reading."""
    assert kept_reading(judged("")) is None


@pytest.mark.parametrize(("text", "typed"), [("3 1/2", "3 1/2 (in)"), ("89 mm", "89 mm"), ('3.5"', '3.5"')])
def test_kept_text_says_its_unit(text, typed):
    """A bare number keeps the unit that it was read in."""
    assert kept_reading(judged(text)).typed == typed


def test_count_must_be_whole():
    """Half a link is no count."""
    row = judge_typed(spec(unit="count"), Side.BOTH, Phase.AS_FOUND, Typed("3.5", "in"))
    assert "whole number" in row.message


@pytest.mark.parametrize(("text", "unit", "typed_unit", "value"), [
    ("212", "degC", "in", 100.0), ("100", "degC", "mm", 100.0), ("-4", "degC", "in", -20.0), ("7", "count", "in", 7.0),
    ("1 5/8", "mm", "in", 41.275), ("12.5", "percent", "in", 12.5),
])
def test_quantities_are_read_in_the_persons_units(text, unit, typed_unit, value):
    """Inches go with °F, mm with °C; other quantities have one unit."""
    assert read_quantity(text, unit, typed_unit) == pytest.approx(value)


def test_quantities_are_shown_in_both_units():
    """The person's own first."""
    assert show_quantity(100.0, "degC", "in") == "212 °F (100 °C)"
    assert show_quantity(41.275, "mm", "mm") == "41.3 mm (1 5/8 in)"
    assert show_quantity(5.0, "count", "in") == "5"


@pytest.mark.parametrize(("lower", "upper", "words"), [
    (76.2, 101.6, "between 3 in (76.2 mm) and 4 in (101.6 mm)"), (None, 12.7, "at most 1/2 in (12.7 mm)"),
    (50.8, None, "at least 2 in (50.8 mm)"), (None, None, "no limits"),
])
def test_limits_in_words(lower, upper, words):
    """Two-sided, one-sided and none."""
    assert show_limits(lower, upper, "mm", "in") == words


def test_shown_value_stays_on_its_side_of_the_limit():
    """76.19 mm is not shown as the 3 in that it fails to reach."""
    row = reading_row(judged("76.19 mm"), "in", True)
    assert not row.shown.startswith("3 in")
