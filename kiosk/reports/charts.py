"""Draw a quantity's readings over operating hours, with limits, adjustments and the line through them.

One piece of code for the report's page, a PNG and an SVG, on matplotlib. Importing it is slow (a third of a second), so
it is imported only when a chart is drawn.
"""

from __future__ import annotations

import io
from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from kiosk.entities import Phase, SeriesPoint, Side

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

# Okabe and Ito's colours, told apart with any colour vision; each side has its own marker as well.
LEFT_COLOUR, RIGHT_COLOUR, LIMIT_COLOUR = "#0072B2", "#D55E00", "#000000"
MM_PER_INCH = 25.4


@dataclass(frozen=True)
class SeriesChart:
    """What to draw.

    Args:
        title: 'Upper strand sag'.
        points: Readings, oldest first, all sides. [value in the quantity's unit]
        unit: 'mm' …; lengths are drawn in inches when `in_inches`.
        lower, upper: Limits in force, None where one-sided.
        replaced_hours: Hours at which the part was replaced.
    """

    title: str
    points: tuple[SeriesPoint, ...]
    unit: str
    lower: float | None
    upper: float | None
    in_inches: bool = False
    replaced_hours: tuple[float, ...] = ()


def chart_png(chart: SeriesChart, width_inch: float = 7.0, height_inch: float = 2.6, dpi: int = 160) -> bytes:
    """Return the chart as PNG."""
    return _drawn(chart, width_inch, height_inch, "png", dpi)


def chart_svg(chart: SeriesChart, width_inch: float = 7.0, height_inch: float = 2.6) -> bytes:
    """Return the chart as SVG."""
    return _drawn(chart, width_inch, height_inch, "svg", 72)


def _drawn(chart: SeriesChart, width_inch: float, height_inch: float, kind: str, dpi: int) -> bytes:
    from matplotlib.backends.backend_agg import FigureCanvasAgg
    from matplotlib.figure import Figure

    figure = Figure(figsize=(width_inch, height_inch), dpi=dpi, layout="constrained")
    FigureCanvasAgg(figure)
    _draw(figure, chart)
    out = io.BytesIO()
    figure.savefig(out, format=kind, metadata={"Date": None} if kind == "svg" else None)
    return out.getvalue()


def _draw(figure: Figure, chart: SeriesChart) -> None:
    axes = figure.add_subplot()
    scale = 1 / MM_PER_INCH if chart.in_inches and chart.unit == "mm" else 1.0
    for side, colour, marker in ((Side.LEFT, LEFT_COLOUR, "o"), (Side.RIGHT, RIGHT_COLOUR, "s"),
                                 (Side.BOTH, LEFT_COLOUR, "o")):
        _draw_side(axes, [point for point in chart.points if point.side == side], side, colour, marker, scale)
    _draw_limits(axes, chart, scale)
    for hours in chart.replaced_hours:
        axes.axvline(hours, color="0.4", linewidth=1.2, linestyle=(0, (1, 2)))
    axes.set_title(chart.title, fontsize=10, loc="left")
    axes.set_xlabel("unit hours", fontsize=8)
    axes.set_ylabel("in" if scale != 1.0 else chart.unit, fontsize=8)
    axes.tick_params(labelsize=8)
    axes.grid(True, linewidth=0.4, color="0.85")
    if axes.get_legend_handles_labels()[0]:
        axes.legend(fontsize=7, loc="upper left", framealpha=0.9)


def _draw_side(axes: Axes, points: Sequence[SeriesPoint], side: Side, colour: str, marker: str, scale: float) -> None:
    if not points:
        return
    name = "" if side is Side.BOTH else f"{side}, "
    for phase, face in ((Phase.AS_FOUND, colour), (Phase.AS_LEFT, "white")):
        chosen = [point for point in points if point.phase == phase]
        axes.plot([point.hours for point in chosen], [point.value * scale for point in chosen], linestyle="none",
                  marker=marker, markersize=4, markerfacecolor=face, markeredgecolor=colour, label=f"{name}{phase}")
    axes.plot([point.hours for point in points], [point.value * scale for point in points], color=colour,
              linewidth=0.7, alpha=0.6)


def _draw_limits(axes: Axes, chart: SeriesChart, scale: float) -> None:
    limits = [limit * scale for limit in (chart.lower, chart.upper) if limit is not None]
    for limit in limits:
        axes.axhline(limit, color=LIMIT_COLOUR, linewidth=1.2, linestyle="--")
    if len(limits) == 2:
        axes.axhspan(limits[0], limits[1], color="0.9", zorder=0)
