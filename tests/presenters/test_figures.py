"""Figures of a part's page: what is worked out from its records and its sheet, checked by hand, or the plain reason."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime

import pytest

from kiosk.calc.computations import FIGURES
from kiosk.entities import Component, Phase, SeriesPoint, Side
from kiosk.presenters.figures import MAKERS, figures_of_part
from kiosk.presenters.helpers import part_of
from kiosk.service_sheet import ComputationSpec, ReadingSpec

START = datetime(2025, 3, 1, 6, 0, tzinfo=UTC)
PRACTICE = "common practice, no source"
LIFE = {"planned_cost": 1, "failure_cost": 4, "order_hours": 100, "assumed_shape": 2.0}
SPEC = ReadingSpec("temperature", "Gap", "mm", (Side.BOTH,), 10.0, 20.0, 1.0, "rule", PRACTICE)


def ask(yard, name, spec=SPEC, **parameters):
    """Return {title: row} of one figure on the bearing c-bearing."""
    sheet = yard.sheets.known["bearing"]
    yard.sheets.known["bearing"] = replace(sheet, readings=(spec,), figures=(ComputationSpec(name, parameters),))
    return {row.title: row for row in figures_of_part(yard.helpers, part_of(yard.helpers, "c-bearing"), "mm")}


def retire(yard, *ages):
    """Put parts before the bearing at its place, each failed at an age. [h]"""
    now = yard.records.components["c-bearing"]
    start, before = 0.0, {}
    for number, age in enumerate(ages):
        before[f"old-{number}"] = Component(
            f"old-{number}", now.sheet, now.position_id, now.unit_id, "old", str(number), START, start,
            retired_at=START, retired_hours=start + age, retired_reason="worn")
        start += age
    yard.records.components = {**before, **yard.records.components}


def read(yard, *points, phase=Phase.AS_FOUND):
    yard.records.series_points["c-bearing", "temperature"] = [
        SeriesPoint(START, hours, value, phase.value, Side.BOTH.value) for hours, value in points]


def test_every_figure_of_the_catalogue_is_made():
    """What a sheet may name is worked out, and nothing else is."""
    assert set(MAKERS) == set(FIGURES)


@pytest.mark.parametrize("name", sorted(name for name, known in FIGURES.items() if known.parameters))
def test_a_figure_whose_sheet_lost_its_parameters_says_so(yard, name):
    """One sentence for the supervisor, and the page opens all the same."""
    rows = ask(yard, name)
    assert [row for row in rows.values() if "Tell the supervisor" in row.note]


# --- life of parts ---


def test_life__fewer_than_three_failures__plain_reason(yard):
    """With one failure there is no curve, and the page says how many are missing."""
    retire(yard, 400.0)
    rows = ask(yard, "life of parts", **LIFE)
    assert rows["Weibull life at this place"].note == "1 failure here; 3 are needed for a curve."


def test_life__kaplan_meier__hand_three_failures(yard):
    """Ages 100, 200, 300 failed and the one running older than all: half are gone at 200 h only if two of four are."""
    retire(yard, 100.0, 200.0, 300.0)
    yard.records.components["c-bearing"] = replace(yard.records.components["c-bearing"], installed_hours=600.0)
    rows = ask(yard, "life of parts", **LIFE)
    assert rows["Half of them last"].value == "200 h"
    assert rows["Parts at this place"].value == "3 replaced, 1 running"


def test_life__weibull__bounds_of_both_libraries_and_the_choice(yard):
    """From three failures on there is a curve, with both scales of bounds and why one is used."""
    retire(yard, 100.0, 200.0, 300.0)
    shape = next(row for title, row in ask(yard, "life of parts", **LIFE).items() if title.startswith("Weibull shape"))
    assert "log scale" in shape.sure and "linear" in shape.sure
    assert "Good libraries differ; the log scale is used" in shape.note


def test_life__no_failure__hand_low_bound(yard):
    """One part at 636.5 h, shape 2, 90 %: 636.5 / sqrt(ln 10) is 419 h."""
    yard.records.components["c-bearing"] = replace(yard.records.components["c-bearing"], installed_hours=600.0)
    rows = ask(yard, "life of parts", **LIFE)
    assert "above 419 h" in next(row.value for title, row in rows.items() if "no failure yet" in title)


# --- wear ---


def test_wear__hand__both_slopes_and_the_odd_reading(yard):
    """Five readings 1 mm in 100 h and one 3 mm too high: the median stays at 1 mm, the line does not."""
    read(yard, (0, 10.0), (100, 11.0), (200, 12.0), (300, 13.0), (400, 14.0), (500, 18.0))
    slopes = ask(yard, "how it wears")["Gap, change in 100 h"]
    assert "1 mm" in slopes.value.partition("by the line, ")[2]
    assert not slopes.value.startswith("1 mm")
    assert "one bad reading cannot bend the median" in slopes.note


def test_wear__too_few_readings__says_how_many(yard):
    """Two readings are no trend."""
    read(yard, (0, 10.0), (100, 11.0))
    assert ask(yard, "how it wears")["Gap, change"].note == "2 readings since the last adjustment; three are needed."


def test_wear__mann_kendall__five_rising_readings_are_a_trend(yard):
    """All ten pairs rise; z is 9/sqrt(16.67) = 2.2, so the trend shows at 5 %."""
    read(yard, (0, 10.0), (100, 11.0), (200, 12.0), (300, 13.0), (400, 14.0))
    assert ask(yard, "how it wears")["Gap, trend"].value == "rising"


# --- readings ---


def test_reading__hand__scatter_is_the_term_to_improve(yard):
    """A rule of 1 mm gives u = 0.29 mm; readings that jump by 4 mm scatter far more."""
    read(yard, (0, 12.0), (100, 16.0), (200, 12.0), (300, 16.0), (400, 12.0), (500, 16.0))
    row = ask(yard, "how sure a reading is")["Gap, what to improve"]
    assert row.value == "scatter of the readings"
    assert row.note == "Measure more often, at the same spot and in the same way."


def test_reading__hand__test_uncertainty_ratio(yard):
    """Half of 10 mm over 2 x 1/sqrt(12) mm is 8.7."""
    read(yard, (0, 12.0), (100, 13.0))
    assert ask(yard, "how sure a reading is")["Gap, test uncertainty ratio TUR"].value == "8.7"


def test_setting__nist_handbook__capability_in_words(yard):
    """Settings 14, 15, 16 between 10 and 20: s = 1, so both are 5/3."""
    read(yard, (0, 14.0), (100, 15.0), (200, 16.0), phase=Phase.AS_LEFT)
    row = ask(yard, "how well it is set")["Gap, as left"]
    assert row.value == "15 mm (19/32 in) on average, fits, with room"
    assert "spread fits 1.7 times" in row.sure
