"""Charts of readings: trends only where the readings bear them, anew at each adjustment, one for each side."""

from __future__ import annotations

import io
from datetime import UTC, datetime, timedelta

import pytest
from PIL import Image

from kiosk.entities import Phase, SeriesPoint, Side
from kiosk.reports.charts import BarChart, Chart, LifeChart, chart_png, chart_svg
from kiosk.reports.series import NOT_ENOUGH, series_chart
from kiosk.service_sheet import ReadingSpec

START = datetime(2026, 3, 2, tzinfo=UTC)
SPEC = ReadingSpec("sag", "Sag", "mm", (Side.LEFT, Side.RIGHT), 10.0, 40.0, 1.0, "rule", "yard instruction 3")


def point(hours: float, value: float, side: Side = Side.LEFT, phase: Phase = Phase.AS_FOUND) -> SeriesPoint:
    return SeriesPoint(START + timedelta(hours=hours), hours, value, phase.value, side.value)


RISING = [point(hours, 20 + hours / 100 + (hours % 3 - 1) * 0.05) for hours in range(0, 1500, 100)]


def test_trend__rising_by_1_mm_per_100_h__meets_40_mm_at_2000_h() -> None:
    """20 mm at 0 h and 1 mm more each 100 h: the limit of 40 mm at 2000 h, worked out by hand."""
    (line,) = series_chart(SPEC, RISING).lines
    assert line.side is Side.LEFT
    assert line.meets_hours == pytest.approx(2000, abs=20)
    assert line.early_hours is not None and line.late_hours is not None
    assert line.early_hours < 2000 < line.late_hours
    assert all(low < value < high for low, value, high in zip(line.lows, line.values, line.highs, strict=True))


def test_trend__each_side_has_its_own() -> None:
    """Left rises, right falls: two lines, each to the limit on its own way."""
    falling = [point(hours, 30 - hours / 100 + (hours % 3 - 1) * 0.05, Side.RIGHT) for hours in range(0, 1500, 100)]
    lines = series_chart(SPEC, [*RISING, *falling]).lines
    assert [(line.side, line.values[-1] > line.values[0]) for line in lines] == [(Side.LEFT, True), (Side.RIGHT, False)]


@pytest.mark.parametrize(("points", "replaced"), [
    (RISING[:2], ()),
    ([*RISING, point(1450, 20.0, phase=Phase.AS_LEFT)], ()),
    (RISING, (1350.0,)),
    ([point(hours, 25.0 + hours % 7 / 10) for hours in range(0, 1500, 100)], ()),
], ids=["two-readings", "just-adjusted", "just-replaced", "level"])
def test_trend__readings_do_not_bear_one__says_so(points: list[SeriesPoint], replaced: tuple[float, ...]) -> None:
    """No line is drawn, and the chart says why."""
    chart = series_chart(SPEC, points, replaced)
    assert chart.lines == () and chart.note == NOT_ENOUGH


def test_adjustments__are_where_something_was_left() -> None:
    """Readings as left mark the hours of an adjustment."""
    chart = series_chart(SPEC, [*RISING, point(1450, 20.0, phase=Phase.AS_LEFT)])
    assert chart.adjusted_hours == (1450,)


CHARTS: list[Chart] = [
    series_chart(SPEC, RISING, (300.0,), in_inches=True), series_chart(SPEC, []),
    BarChart("Jobs", ("Mon", "Tue"), {"grease": (1.0, 2.0), "adjust": (0.0, 1.0)}),
    LifeChart("Bearings", ((100.0, 0.2), (200.0, 0.6)), (50.0, 150.0), ((50.0, 0.1), (200.0, 0.5)), 60.0),
    LifeChart("Bearings", (), ()),
]


@pytest.mark.parametrize("chart", CHARTS)
def test_chart__same_code__gives_png_of_the_size_asked_for_and_svg(chart: Chart) -> None:
    """The screen asks in pixels, the page in inches; the same chart comes as vector."""
    assert Image.open(io.BytesIO(chart.png(660, 330))).size == (660, 330)
    assert chart_png(chart).startswith(b"\x89PNG") and b"<svg" in chart_svg(chart)
