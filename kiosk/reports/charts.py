"""Draw readings over operating hours, with limits as bands, adjustments, replacements and the trend; and bars by month.

One piece of code for the screen, the report's page, a PNG and an SVG, on matplotlib. Importing it is slow (a third of
a second), so it is imported only when a chart is drawn. Nothing is worked out here: see `series`.
"""

from __future__ import annotations

import io
import logging
from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from kiosk.entities import Phase, SeriesPoint, Side
from kiosk.language import number, tr

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure
    from matplotlib.ticker import MaxNLocator

# Okabe and Ito's colours, told apart with any colour vision; each side has its own marker as well.
LEFT_COLOUR, RIGHT_COLOUR, LIMIT_COLOUR, MARK_COLOUR = "#0072B2", "#D55E00", "#000000", "#555555"
OUTSIDE_COLOUR, WITHIN_COLOUR = "#F3D9CF", "#E3F0E6"
MM_PER_INCH = 25.4
SCREEN_TEXT_PX = 11.0
# The smallest text of a chart; what is larger is so in proportion.
SMALLEST_TEXT_PT = 7.0
# What a column of the legend and a figure on the axis need at that size. [inch]
LEGEND_COLUMN_INCH, TICK_INCH = 1.05, 0.62


@dataclass(frozen=True)
class TrendLine:
    """The line through the readings of one side since its last adjustment, on to where it meets the limit.

    Args:
        hours: Places on the hour meter. [h] `values`, `lows`, `highs`: the line and the prediction band there.
        meets_hours: Hour meter at which the line meets its limit, None where it does not.
        early_hours, late_hours: Bounds of that. [h]
    """

    side: Side
    hours: tuple[float, ...]
    values: tuple[float, ...]
    lows: tuple[float, ...]
    highs: tuple[float, ...]
    meets_hours: float | None
    early_hours: float | None = None
    late_hours: float | None = None


@dataclass(frozen=True)
class SeriesChart:
    """What to draw of one quantity.

    Args:
        title: 'Upper strand sag'.
        points: Readings, oldest first, all sides. [value in the quantity's unit]
        unit: 'mm' …; lengths are drawn in inches when `in_inches`.
        lower, upper: Limits in force, None where one-sided.
        replaced_hours: Hours at which the part was replaced. `adjusted_hours`: at which it was adjusted. [h]
        lines: Trends that the readings bear.
        note: What is to be said below, such as why there is no forecast.
        is_bare: Without title and name of the hours' axis, where there is little room.
    """

    title: str
    points: tuple[SeriesPoint, ...]
    unit: str
    lower: float | None
    upper: float | None
    in_inches: bool = False
    replaced_hours: tuple[float, ...] = ()
    adjusted_hours: tuple[float, ...] = ()
    lines: tuple[TrendLine, ...] = ()
    note: str = ""
    is_bare: bool = False

    def png(self, width_px: int, height_px: int, text_px: float = SCREEN_TEXT_PX) -> bytes:
        """Return the chart as a PNG of this size for a screen."""
        return screen_png(self, width_px, height_px, text_px)


@dataclass(frozen=True)
class BarChart:
    """Counts side by side: one bar a name, or several stacked where there are several series.

    Args:
        names: Under the bars. `series`: {what: one number a name}.
    """

    title: str
    names: tuple[str, ...]
    series: dict[str, tuple[float, ...]]
    axis: str = "jobs"

    def png(self, width_px: int, height_px: int, text_px: float = SCREEN_TEXT_PX) -> bytes:
        """Return the chart as a PNG of this size for a screen."""
        return screen_png(self, width_px, height_px, text_px)


@dataclass(frozen=True)
class LifeChart:
    """Share of parts that failed by an age: Kaplan-Meier steps, and the Weibull curve where there is one.

    Args:
        steps: (age [h], share failed). `running`: ages of parts that still run. [h]
        curve: (age [h], share failed) of the fit, () without one.
        b10_hours: Age by which a tenth has failed, None without a fit.
    """

    title: str
    steps: tuple[tuple[float, float], ...]
    running: tuple[float, ...]
    curve: tuple[tuple[float, float], ...] = ()
    b10_hours: float | None = None

    def png(self, width_px: int, height_px: int, text_px: float = SCREEN_TEXT_PX) -> bytes:
        """Return the chart as a PNG of this size for a screen."""
        return screen_png(self, width_px, height_px, text_px)


Chart = SeriesChart | BarChart | LifeChart


def chart_png(chart: Chart, width_inch: float = 7.0, height_inch: float = 2.6, dpi: float = 160) -> bytes:
    """Return the chart as PNG."""
    return _drawn(chart, width_inch, height_inch, "png", dpi)


def screen_png(chart: Chart, width_px: int, height_px: int, text_px: float) -> bytes:
    """Return the chart as PNG of this size, its smallest text `text_px` high: the same drawing, seen from nearer."""
    dpi = text_px * 72 / SMALLEST_TEXT_PT
    if isinstance(chart, SeriesChart):  # the screen says above and below what the page says inside
        chart = replace(chart, title="", note="", is_bare=True)
    return chart_png(chart, width_px / dpi, height_px / dpi, dpi)


def chart_svg(chart: Chart, width_inch: float = 7.0, height_inch: float = 2.6) -> bytes:
    """Return the chart as SVG."""
    return _drawn(chart, width_inch, height_inch, "svg", 72)


def _drawn(chart: Chart, width_inch: float, height_inch: float, kind: str, dpi: float) -> bytes:
    logging.getLogger("matplotlib").setLevel(logging.WARNING)  # else it tells of every font it looked at
    from matplotlib.backends.backend_agg import FigureCanvasAgg
    from matplotlib.figure import Figure

    figure = Figure(figsize=(width_inch, height_inch), dpi=dpi, layout="constrained")
    FigureCanvasAgg(figure)
    draw = {SeriesChart: _draw_series, BarChart: _draw_bars, LifeChart: _draw_life}[type(chart)]
    draw(figure, chart)  # type: ignore[operator]
    out = io.BytesIO()
    figure.savefig(out, format=kind, metadata={"Date": None} if kind == "svg" else None)
    return out.getvalue()


# --- readings over hours ---


def _draw_series(figure: Figure, chart: SeriesChart) -> None:
    axes = figure.add_subplot()
    scale = 1 / MM_PER_INCH if chart.in_inches and chart.unit == "mm" else 1.0
    for side, colour, marker in ((Side.LEFT, LEFT_COLOUR, "o"), (Side.RIGHT, RIGHT_COLOUR, "s"),
                                 (Side.BOTH, LEFT_COLOUR, "o")):
        _draw_side(axes, [point for point in chart.points if point.side == side], side, colour, marker, scale)
        for line in chart.lines:
            if line.side is side:
                _draw_line(axes, line, colour, scale)
    _mark_hours(axes, chart.adjusted_hours, (0, (1, 2)), "adjusted")
    _mark_hours(axes, chart.replaced_hours, "-", "replaced")
    _fit_height(axes, chart, scale)
    _draw_limits(axes, chart, scale)
    across = "" if chart.is_bare else tr("unit hours")
    _dress(axes, chart.title, across, "in" if scale != 1.0 else chart.unit, in_hours=True)
    if chart.note:
        axes.annotate(chart.note, (0.99, 0.02), xycoords="axes fraction", ha="right", va="bottom", fontsize=7,
                      bbox={"facecolor": "white", "alpha": 0.8, "edgecolor": "none", "pad": 1.5})


def _draw_side(axes: Axes, points: Sequence[SeriesPoint], side: Side, colour: str, marker: str, scale: float) -> None:
    if not points:
        return
    name = "" if side is Side.BOTH else f"{side}, "
    axes.plot([point.hours for point in points], [point.value * scale for point in points], color=colour,
              linewidth=0.7, alpha=0.5)
    for phase, face in ((Phase.AS_FOUND, colour), (Phase.AS_LEFT, "white")):
        chosen = [point for point in points if point.phase == phase]
        if chosen:
            axes.plot([point.hours for point in chosen], [point.value * scale for point in chosen], linestyle="none",
                      marker=marker, markersize=3, markerfacecolor=face, markeredgecolor=colour,
                      label=f"{name}{phase}")


def _draw_line(axes: Axes, line: TrendLine, colour: str, scale: float) -> None:
    axes.fill_between(line.hours, [low * scale for low in line.lows], [high * scale for high in line.highs],
                      color=colour, alpha=0.15, linewidth=0)
    axes.plot(line.hours, [value * scale for value in line.values], color=colour, linewidth=1.6)
    if line.meets_hours is not None:
        axes.axvline(line.meets_hours, color=colour, linewidth=1.0, linestyle="--")
        up = 12 if line.side is Side.RIGHT else 3  # the sides may meet their limits at the same hours
        axes.annotate(f"{line.meets_hours:,.0f} h", (line.meets_hours, 0), xycoords=("data", "axes fraction"),
                      xytext=(-3, up), textcoords="offset points", ha="right", va="bottom", fontsize=7, color=colour,
                      bbox={"facecolor": "white", "alpha": 0.8, "edgecolor": "none", "pad": 0.8})


def _mark_hours(axes: Axes, places: Sequence[float], style: object, name: str) -> None:
    for place, hours in enumerate(places):
        axes.axvline(hours, color=MARK_COLOUR, linewidth=1.0, linestyle=style,
                     label=name if place == 0 else None)


def _fit_height(axes: Axes, chart: SeriesChart, scale: float) -> None:
    """Show all readings and limits; a band that flies far off does not press them together."""
    seen = [point.value for point in chart.points]
    seen += [limit for limit in (chart.lower, chart.upper) if limit is not None]
    if seen:
        margin = 0.12 * (max(seen) - min(seen)) or 1.0
        axes.set_ylim((min(seen) - margin) * scale, (max(seen) + margin) * scale)


def _draw_limits(axes: Axes, chart: SeriesChart, scale: float) -> None:
    """Within the limits is light green, outside light red; the limit itself is a dashed line."""
    bottom, top = axes.get_ylim()
    low = bottom if chart.lower is None else chart.lower * scale
    high = top if chart.upper is None else chart.upper * scale
    if (chart.lower, chart.upper) == (None, None):
        return
    axes.axhspan(low, high, color=WITHIN_COLOUR, zorder=0)
    for edge, beyond, limit in ((low, bottom, chart.lower), (high, top, chart.upper)):
        if limit is not None:
            axes.axhspan(min(edge, beyond), max(edge, beyond), color=OUTSIDE_COLOUR, zorder=0)
            axes.axhline(edge, color=LIMIT_COLOUR, linewidth=1.2, linestyle="--")
    axes.set_ylim(bottom, top)


def _dress(axes: Axes, title: str, across: str, up: str, in_hours: bool = False) -> None:
    if title:
        axes.set_title(title, fontsize=10, loc="left")
    if across:
        axes.set_xlabel(across, fontsize=8)
    axes.set_ylabel(up, fontsize=8)
    axes.tick_params(labelsize=8)
    if in_hours:
        axes.xaxis.set_major_formatter(_thousands if across else _hours)
        axes.xaxis.set_major_locator(_places_for(axes))
    axes.grid(True, linewidth=0.4, color="0.85")
    if axes.get_legend_handles_labels()[0]:
        figure = axes.get_figure(root=True)
        assert figure is not None
        columns = max(1, int(figure.get_figwidth() / LEGEND_COLUMN_INCH))
        figure.legend(fontsize=7, loc="outside lower center", frameon=False, ncols=columns, handlelength=1.2,
                      columnspacing=1.0, handletextpad=0.5, borderpad=0.2)


def _places_for(axes: Axes) -> MaxNLocator:
    """Return as many places for figures on the hours' axis as stand free of each other."""
    from matplotlib.ticker import MaxNLocator

    figure = axes.get_figure(root=True)
    assert figure is not None
    return MaxNLocator(nbins=max(2, min(8, int(figure.get_figwidth() / TICK_INCH))))


def _thousands(value: float, _place: object) -> str:
    return f"{value:,.0f}"


def _hours(value: float, _place: object) -> str:
    return f"{value:,.0f} h"


# --- counts, and life ---


def _draw_bars(figure: Figure, chart: BarChart) -> None:
    axes = figure.add_subplot()
    colours = (LEFT_COLOUR, RIGHT_COLOUR, "#009E73", "#E69F00", "#56B4E9", "#CC79A7", "#999999")
    floor = [0.0] * len(chart.names)
    for place, (name, values) in enumerate(chart.series.items()):
        axes.bar(chart.names, values, bottom=floor, color=colours[place % len(colours)], width=0.75,
                 label=name if len(chart.series) > 1 else None)
        floor = [low + value for low, value in zip(floor, values, strict=True)]
    _dress(axes, chart.title, "", chart.axis)
    axes.grid(False, axis="x")
    if len(chart.names) > 12:
        axes.tick_params(axis="x", labelrotation=60, labelsize=7)


def _draw_life(figure: Figure, chart: LifeChart) -> None:
    axes = figure.add_subplot()
    if chart.steps:
        ages, shares = zip(*chart.steps, strict=True)
        axes.step((0.0, *ages), (0.0, *(100 * share for share in shares)), where="post", color=LEFT_COLOUR,
                  linewidth=1.6, label=tr("failed, by count (Kaplan-Meier)"))
    if chart.running:
        axes.plot(chart.running, [1.0] * len(chart.running), linestyle="none", marker="|", markersize=7,
                  color=MARK_COLOUR, label=tr("still running"))
    if chart.curve:
        axes.plot([age for age, _ in chart.curve], [100 * share for _, share in chart.curve], color=RIGHT_COLOUR,
                  linewidth=1.4, linestyle="--", label=tr("Weibull"))
    if chart.b10_hours is not None:
        axes.axvline(chart.b10_hours, color=RIGHT_COLOUR, linewidth=1.0, linestyle=(0, (1, 2)),
                     label=tr("a tenth by {b10_hours} h").format(b10_hours=number(chart.b10_hours, ",.0f")))
    axes.set_ylim(0, 102)
    _dress(axes, chart.title, tr("running hours"), "% failed", in_hours=True)
