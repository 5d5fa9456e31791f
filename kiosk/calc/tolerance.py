"""From a reading to a verdict: uncertainty, guard bands, the three zones, and how sure the answer is.

All quantities of one call share one unit, whichever it is. The verdict follows ISO 14253-1:2017,
ILAC-G8:09/2019 or simple acceptance, by name; probabilities follow JCGM 106:2012, uncertainties JCGM
100:2008. Risks over a whole population of parts are in `risk`.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from types import MappingProxyType

from kiosk.calc import guards
from kiosk.errors import CalcError, NoTableRow, OutOfRange
from kiosk.language import N_, tr

WITHIN = "within"
TOO_CLOSE = "too close to call"
OUTSIDE = "outside"

# Guard factor k of each decision rule: the guard band is k standard uncertainties wide.
RULES: Mapping[str, float] = MappingProxyType({
    "guarded 95 %": 1.6448536269514722,  # ISO 14253-1:2017, 95 % one-sided
    "guarded k=2": 2.0,  # ILAC-G8:09/2019, w = U
    "simple acceptance": 0.0,  # ILAC-G8:09/2019, w = 0: up to half of the parts at the limit pass wrongly
})

# Coverage factor of an expanded uncertainty, when none is said.
COVERAGE_FACTOR = 2.0

# Divisor that makes a standard uncertainty of a limit or a resolution.
_DIVISORS = {
    "resolution": math.sqrt(12.0),
    "rectangular": math.sqrt(3.0),
    "triangular": math.sqrt(6.0),
    "u-shaped": math.sqrt(2.0),
    "standard": 1.0,
}

# A value this close to a bound, relative, stands on it: 76.2 typed as 3 in must not miss 76.2.
_ROUNDING = 1e-12


@dataclass(frozen=True)
class Judgement:
    """What a reading means against its limits.

    Args:
        verdict: 'within', 'too close to call' or 'outside'.
        probability_within: Probability that the true value is inside the limits. [-]
        guard_band: Distance kept from each limit, k u. [as the reading]
        expanded_uncertainty: 2 u. [as the reading]
        rule: Name of the decision rule.
        gauge_capable: False when no reading could pass with this instrument.
    """

    verdict: str
    probability_within: float
    guard_band: float
    expanded_uncertainty: float
    rule: str
    gauge_capable: bool


@dataclass(frozen=True)
class Combined:
    """Repeat readings made into one.

    Args:
        mean: [as the readings]
        standard_deviation: Of the readings, n - 1; 0 for a single one. [as the readings]
        repeat_uncertainty: Of the mean, from the scatter. [as the readings]
        standard_uncertainty: All terms combined. [as the readings]
        terms: Each term by name. [as the readings]
    """

    mean: float
    standard_deviation: float
    repeat_uncertainty: float
    standard_uncertainty: float
    terms: Mapping[str, float]


@dataclass(frozen=True)
class LargestTerm:
    """The term of the uncertainty that is worth improving.

    Args:
        name: 'repeat', 'resolution', 'calibration' or the caller's own.
        share: Its part of the combined variance, 0 to 1. [-]
        advice: What the mechanic can do about it.
    """

    name: str
    share: float
    advice: str


_ADVICE = {
    "repeat": N_("Measure more often, at the same spot and in the same way."),
    "resolution": N_("Use an instrument with a finer scale."),
    "calibration": N_("Use an instrument that was checked more closely."),
    "temperature": N_("Let the part come to the temperature of the workshop."),
}


def _advice(term: str) -> str:
    return tr(_ADVICE[term]) if term in _ADVICE else tr("Improve the {term} first.").format(term=term)


# --- verdicts ---


def judge(value: float, lower: float | None, upper: float | None, standard_uncertainty: float,
          rule: str = "guarded 95 %", never_negative: bool = False) -> Judgement:
    """Return the verdict on one reading against its limits.

    Args:
        value: The reading. [any one unit]
        lower: Lower limit, None where there is none. [same]
        upper: Upper limit, None where there is none. [same]
        standard_uncertainty: u of the reading. [same] above 0
        rule: 'guarded 95 %', 'guarded k=2' or 'simple acceptance'.
        never_negative: The quantity cannot be below zero, such as a run-out: takes the impossible side out of
            the probability, and calls the gauge incapable when not even a reading of zero could pass.

    Returns:
        The judgement. A value on the guarded bound is within.

    Raises:
        OutOfRange: an argument is not an ordinary number, the uncertainty is not above zero, there is no
            limit at all, or the limits are crossed.
        NoTableRow: no such rule.

    Source:
        ISO 14253-1:2017; ILAC-G8:09/2019; JCGM 106:2012, 8.

    Example, ILAC-G8: limit 0.003, U = 0.0010, so up to 0.002 is within:
        >>> judge(0.0017, -0.003, 0.003, 0.0005, "guarded k=2").verdict
        'within'
    """
    if rule not in RULES:
        raise NoTableRow("decision rules", rule, tuple(RULES))
    return _judge(value, lower, upper, standard_uncertainty, rule, RULES[rule], never_negative)


def judge_with_factor(value: float, lower: float | None, upper: float | None, standard_uncertainty: float,
                      guard_factor: float) -> Judgement:
    """Return the verdict under a guard factor of the yard's own; see `judge`.

    Args:
        value: The reading. [any one unit]
        lower: Lower limit, None where there is none. [same]
        upper: Upper limit, None where there is none. [same]
        standard_uncertainty: u of the reading. [same] above 0
        guard_factor: k, the guard band in standard uncertainties. [-] 0 to 10

    Returns:
        The judgement, its rule written as 'guarded k=…'.

    Raises:
        OutOfRange: as in `judge`, or a guard factor outside 0 to 10.

    Source:
        JCGM 106:2012, 8.

    Example, by hand: the band is 2 x 0.08 on each side of a limit, wider than the window:
        >>> judge_with_factor(10.0, 9.9, 10.1, 0.08, 2.0).gauge_capable
        False
    """
    factor = guards.number("guard_factor", guard_factor, "", 0.0, 10.0)
    return _judge(value, lower, upper, standard_uncertainty, f"guarded k={factor:g}", factor, False)


def conformance_probability(value: float, lower: float | None, upper: float | None, standard_uncertainty: float,
                            never_negative: bool = False) -> float:
    """Return the probability that the true value is inside the limits.

    Args:
        value: The reading. [any one unit]
        lower: Lower limit, None where there is none. [same]
        upper: Upper limit, None where there is none. [same]
        standard_uncertainty: u of the reading. [same] above 0
        never_negative: The quantity cannot be below zero; see `judge`.

    Returns:
        Probability. [-] Near-normal uncertainty and little prior knowledge are taken for granted; for a
        quantity near zero it is approximate.

    Raises:
        OutOfRange: as in `judge`.

    Source:
        JCGM 106:2012, 7: Phi((TU - y)/u) - Phi((TL - y)/u).

    Example, on the limit it is even chances:
        >>> conformance_probability(25.0, None, 25.0, 0.02)
        0.5
    """
    reading, low, high, u = _checked(value, lower, upper, standard_uncertainty)
    return _probability(reading, low, high, u, never_negative)


def _judge(value: float, lower: float | None, upper: float | None, standard_uncertainty: float, rule: str,
           guard_factor: float, never_negative: bool) -> Judgement:
    reading, low, high, u = _checked(value, lower, upper, standard_uncertainty)
    guard = guard_factor * u
    return Judgement(
        verdict=_zone(reading, low, high, guard),
        probability_within=_probability(reading, low, high, u, never_negative),
        guard_band=guard,
        expanded_uncertainty=COVERAGE_FACTOR * u,
        rule=rule,
        gauge_capable=_is_capable(low, high, guard, never_negative),
    )


def _checked(value: float, lower: float | None, upper: float | None,
             standard_uncertainty: float) -> tuple[float, float, float, float]:
    """Return reading, limits (infinite where there is none) and uncertainty, each checked."""
    reading = guards.number("value", value)
    if lower is None and upper is None:
        raise OutOfRange("lower", lower, source="a reading is judged against one limit at the least")
    low = -math.inf if lower is None else guards.number("lower", lower)
    high = math.inf if upper is None else guards.number("upper", upper, low=None if lower is None else low)
    return reading, low, high, guards.positive("standard_uncertainty", standard_uncertainty)


def _zone(reading: float, low: float, high: float, guard: float) -> str:
    slack = _ROUNDING * max(abs(reading), guard)
    if low + guard - slack <= reading <= high - guard + slack:
        return WITHIN
    if reading <= low - guard + slack or reading >= high + guard - slack:
        return OUTSIDE
    return TOO_CLOSE


def _is_capable(low: float, high: float, guard: float, never_negative: bool) -> bool:
    """Say whether any reading at all could pass."""
    lowest_pass, highest_pass = low + guard, high - guard
    if never_negative:
        lowest_pass = max(lowest_pass, 0.0)
    return lowest_pass <= highest_pass + _ROUNDING * guard


def _probability(reading: float, low: float, high: float, u: float, never_negative: bool) -> float:
    if not never_negative:
        return _below(high, reading, u) - _below(low, reading, u)
    possible = _below(reading, 0.0, u)  # the share of the reading's distribution above zero
    inside = _below(high, reading, u) - _below(max(low, 0.0), reading, u)
    return max(0.0, inside) / possible if possible > 0.0 else 0.0


def _below(limit: float, mean: float, u: float) -> float:
    return 0.5 * math.erfc((mean - limit) / (u * math.sqrt(2.0)))


_WORDS = (
    (0.999, N_("as good as certain to be within")),
    (0.95, N_("within, 19 times out of 20 or better")),
    (0.85, N_("probably within, about 9 times out of 10")),
    (0.65, N_("more likely within than not, about 3 times out of 4")),
    (0.35, N_("as likely outside as within")),
    (0.15, N_("more likely outside than not, about 3 times out of 4")),
    (0.05, N_("probably outside, about 9 times out of 10")),
    (0.001, N_("outside, 19 times out of 20 or better")),
    (0.0, N_("as good as certain to be outside")),
)


def probability_in_words(probability: float) -> str:
    """Return a probability of being within as a mechanic would say it.

    Args:
        probability: Probability that the true value is inside the limits. [-] 0 to 1

    Returns:
        Words, without a capital or a full stop.

    Raises:
        OutOfRange: not between 0 and 1.

    Source:
        Common practice, no source: whole odds are understood better than per cent.

    Example:
        >>> probability_in_words(0.9)
        'probably within, about 9 times out of 10'
    """
    chance = guards.number("probability", probability, "", 0.0, 1.0)
    return tr(next(words for least, words in _WORDS if chance >= least))


# --- uncertainties ---


def standard_uncertainty(kind: str, size: float, coverage_factor: float = COVERAGE_FACTOR) -> float:
    """Return the standard uncertainty of what is known about an instrument.

    Args:
        kind: 'resolution' (last digit or scale mark), 'rectangular', 'triangular' or 'u-shaped' (half
            widths), 'expanded' (from a certificate, with its factor) or 'standard'.
        size: The resolution, half width or uncertainty. [any unit] 0 or more
        coverage_factor: k of an expanded uncertainty. [-] above 0

    Returns:
        u. [as size]

    Raises:
        OutOfRange: not an ordinary number, or negative.
        NoTableRow: no such kind.

    Source:
        JCGM 100:2008, 4.3.7, 4.3.9 and F.2.2.1.

    Example, by hand: a scale of 1/16 in is 1.5875 mm, divided by the root of 12:
        >>> round(standard_uncertainty("resolution", 1.5875), 4)
        0.4583
    """
    amount = guards.number("size", size, "", 0.0)
    if kind == "expanded":
        return amount / guards.positive("coverage_factor", coverage_factor)
    if kind not in _DIVISORS:
        raise NoTableRow("kinds of uncertainty", kind, (*_DIVISORS, "expanded"))
    return amount / _DIVISORS[kind]


def combine_readings(readings: Sequence[float], resolution: float, calibration_uncertainty: float = 0.0,
                     further: Mapping[str, float] | None = None) -> Combined:
    """Return the mean of repeat readings with its standard uncertainty.

    Args:
        readings: One or more readings of the same thing. [any one unit]
        resolution: Last digit or scale mark of the instrument. [same] 0 or more
        calibration_uncertainty: Standard uncertainty of the instrument. [same] 0 or more
        further: Other standard uncertainties by name, such as 'temperature'. [same]

    Returns:
        Mean, scatter and uncertainty. A single reading shows no scatter; the resolution keeps u above zero.

    Raises:
        OutOfRange: no reading, or an argument is not an ordinary number or negative.
        CalcError: nothing is known of the uncertainty: no scatter, no resolution, no other term.

    Source:
        JCGM 100:2008, 4.2 and 5.1.2: u = sqrt(s**2/n + d**2/12 + ...).

    Example, by hand: equal readings leave the resolution, 0.5 divided by the root of 12:
        >>> round(combine_readings([10.0, 10.0, 10.0], 0.5).standard_uncertainty, 4)
        0.1443
    """
    values = guards.numbers("readings", readings)
    mean = math.fsum(values) / len(values)
    spread = _standard_deviation(values, mean)
    terms = {
        "repeat": spread / math.sqrt(len(values)),
        "resolution": standard_uncertainty("resolution", guards.number("resolution", resolution, "", 0.0)),
        "calibration": guards.number("calibration_uncertainty", calibration_uncertainty, "", 0.0),
        **{name: guards.number(name, u, "", 0.0) for name, u in (further or {}).items()},
    }
    combined = math.hypot(*terms.values())
    if combined == 0.0:
        raise CalcError(tr("A reading needs the resolution of its instrument before it can be judged."))
    return Combined(mean, spread, terms["repeat"], combined, MappingProxyType(terms))


def _standard_deviation(values: Sequence[float], mean: float) -> float:
    if len(values) < 2:
        return 0.0
    return math.sqrt(math.fsum((value - mean) ** 2 for value in values) / (len(values) - 1))


def largest_term(terms: Mapping[str, float]) -> LargestTerm:
    """Return the term of an uncertainty that is worth improving first.

    Args:
        terms: Standard uncertainties by name, all in one unit, as in `Combined.terms`.

    Returns:
        The largest term, its share of the variance, and what to do.

    Raises:
        OutOfRange: no term, or one is negative or not an ordinary number.
        CalcError: all terms are zero.

    Source:
        JCGM 100:2008, 5.1.2: the variances add.

    Example, by hand: 0.4 squared is 0.16 of a variance of 0.25:
        >>> round(largest_term({"resolution": 0.4, "repeat": 0.3}).share, 9)
        0.64
    """
    sizes = dict(zip(terms, guards.numbers("terms", list(terms.values()), "", 0.0), strict=True))
    name = max(sizes, key=lambda key: sizes[key])
    variance = math.fsum(size**2 for size in sizes.values())
    if variance == 0.0:
        raise CalcError(tr("No term of the uncertainty is above zero, so none can be improved."))
    return LargestTerm(name, sizes[name] ** 2 / variance, _advice(name))


def coarsest_resolution(lower: float, upper: float, rule: str = "guarded 95 %") -> float:
    """Return the coarsest scale with which a reading could still pass between two limits.

    Args:
        lower: Lower limit. [any one unit]
        upper: Upper limit. [same] above lower
        rule: Name of the decision rule; not 'simple acceptance', which leaves no room for a gauge.

    Returns:
        Resolution at which the two guard bands fill the window, when nothing but the scale counts. [same]

    Raises:
        OutOfRange: limits are crossed, equal or not ordinary numbers.
        NoTableRow: no such guarded rule.

    Source:
        ISO 14253-1:2017 with JCGM 100:2008 F.2.2.1.

    Example, by hand: 1 in between the limits; 25.4 x root of 12 over 2 x 1.645:
        >>> round(coarsest_resolution(76.2, 101.6), 1)
        26.7
    """
    low = guards.number("lower", lower)
    width = guards.positive("upper minus lower", guards.number("upper", upper) - low)
    factor = RULES.get(rule, 0.0)
    if factor == 0.0:
        raise NoTableRow("guarded decision rules", rule, tuple(name for name, k in RULES.items() if k))
    return width * math.sqrt(12.0) / (2.0 * factor)


def uncertainty_ratio(lower: float, upper: float, expanded_uncertainty: float) -> float:
    """Return how many times finer the instrument is than the limits, TUR.

    Explains why a rule good to 1/16 in cannot judge limits of ±1/32 in. Custom asks for 4 or more (common
    practice, no source).

    Args:
        lower: Lower limit. [any one unit]
        upper: Upper limit. [same] above lower
        expanded_uncertainty: U of the instrument, k = 2. [same] above 0

    Returns:
        Half the width between the limits over U. [-]

    Raises:
        OutOfRange: limits are crossed, equal or not ordinary numbers, or U is not above zero.

    Source:
        ILAC-G8:09/2019, test uncertainty ratio.

    Example, by hand:
        >>> uncertainty_ratio(-4.0, 4.0, 1.0)
        4.0
    """
    low = guards.number("lower", lower)
    width = guards.positive("upper minus lower", guards.number("upper", upper) - low)
    return width / 2.0 / guards.positive("expanded_uncertainty", expanded_uncertainty)
