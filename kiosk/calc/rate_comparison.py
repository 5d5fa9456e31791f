"""Whether one place has more failures than its share of the running hours makes likely by chance."""

from __future__ import annotations

from kiosk.calc import guards
from kiosk.errors import OutOfRange

MOST_FAILURES = 1_000_000


def chance_of_as_many(failures: int, hours: float, other_failures: int, other_hours: float) -> float:
    """Return the probability that chance alone gives a place as many of all the failures as it had, or more.

    Args:
        failures: Failures at the place. 0 or more
        hours: Running hours there. [h] above 0
        other_failures: Failures at all other places of its kind. 0 or more
        other_hours: Running hours there. [h] above 0

    Returns:
        One-sided probability; 1 for a place without a failure. [-]

    Raises:
        OutOfRange: an argument is not possible.

    Source:
        With one rate everywhere, and so many failures in all, those at a place are binomial with its share of the
        hours (conditional test of two Poisson counts; from memory of J. Przyborowski and H. Wilenski, Biometrika 31,
        1940). The tail is the incomplete beta function.

    Example, by hand: 4 of 5 failures in half of the hours, (5 + 1) / 2**5
        >>> round(chance_of_as_many(4, 100.0, 1, 100.0), 6)
        0.1875
    """
    from scipy.special import betainc

    own = guards.count("failures", failures, 0, MOST_FAILURES)
    others = guards.count("other_failures", other_failures, 0, MOST_FAILURES)
    here, there = guards.positive("hours", hours, "h"), guards.positive("other_hours", other_hours, "h")
    if own == 0:
        return 1.0
    share = here / (here + there)
    if not 0 < share < 1:
        raise OutOfRange("hours", hours, "h")
    return float(betainc(own, others + 1, share))
