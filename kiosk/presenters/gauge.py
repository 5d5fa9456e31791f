"""A reading's gauge: limits, value and expanded uncertainty on a scale of 0..1, with finished labels."""

from __future__ import annotations

from kiosk.calc.tolerance import Judgement
from kiosk.presenters.parts import GaugeState, Mark
from kiosk.presenters.quantities import show_short
from kiosk.service_sheet import ReadingSpec

# A one-sided scale has no window to take its size from; this many steps of the instrument are shown at least.
_LEAST_STEPS = 10


def scale_of(spec: ReadingSpec) -> tuple[float, float]:
    """Return the two ends of a reading's scale, wide enough for half a window beyond each limit. [its unit]"""
    least = _LEAST_STEPS * spec.resolution
    if spec.lower is not None and spec.upper is not None:
        beyond = max((spec.upper - spec.lower) / 2, least / 2)
        return _from_zero(spec.lower - beyond, spec.lower), spec.upper + beyond
    limit = spec.upper if spec.upper is not None else spec.lower
    if limit is None:
        return 0.0, least
    beyond = max(abs(limit), least)
    return _from_zero(limit - beyond, limit), limit + beyond


def _from_zero(low: float, limit: float) -> float:
    return max(low, 0.0) if limit >= 0 else low


def gauge_state(spec: ReadingSpec, value: float | None, judgement: Judgement | None, shown_units: str,
                mark: Mark) -> GaugeState:
    """Return the gauge of one reading; `value` None while nothing readable is typed."""
    low, high = scale_of(spec)
    spread = judgement.expanded_uncertainty if judgement else 0.0

    def at(point: float) -> float:
        return min(max((point - low) / (high - low), 0.0), 1.0)

    def text(point: float | None) -> str:
        return "" if point is None else show_short(point, spec.unit, shown_units)

    return GaugeState(
        lower=None if spec.lower is None else at(spec.lower),
        upper=None if spec.upper is None else at(spec.upper),
        value=None if value is None else at(value),
        value_low=None if value is None else at(value - spread),
        value_high=None if value is None else at(value + spread),
        off_scale=_off_scale(value, low, high),
        lower_text=text(spec.lower),
        upper_text=text(spec.upper),
        value_text="" if value is None else show_short(value, spec.unit, shown_units, limits_of(spec)),
        uncertainty_text=f"± {_spread_text(spread, spec, shown_units)}" if value is not None and spread else "",
        scale_low_text=text(low),
        scale_high_text=text(high),
        mark=mark,
    )


def limits_of(spec: ReadingSpec) -> tuple[float, ...]:
    """Return the limits that a shown value must keep its side of."""
    return tuple(limit for limit in (spec.lower, spec.upper) if limit is not None)


def _off_scale(value: float | None, low: float, high: float) -> str:
    if value is None or low <= value <= high:
        return ""
    return "low" if value < low else "high"


def _spread_text(spread: float, spec: ReadingSpec, shown_units: str) -> str:
    """Return the uncertainty as words; a span of degrees is no temperature, so it keeps its own unit."""
    if spec.unit == "degC":
        return f"{spread * 1.8:.2g} °F" if shown_units == "in" else f"{spread:.2g} °C"
    return show_short(spread, spec.unit, shown_units) if spec.unit == "mm" else f"{spread:.2g}"
