"""What the kiosk advised when an adjustment was found out of limits: asked of the advice itself, as its screen does.

Tracking is left out: its adviser weighs a belt's whole past, which takes too long for three years of ten belts.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from kiosk.calc.takeup import in_turns_and_flats
from kiosk.entities import Component, Reading
from kiosk.presenters.advice import AdviceContext, advise
from kiosk.presenters.drafts import Typed
from kiosk.presenters.readings import judge_typed
from kiosk.service_sheet import JobSpec, ServiceSheet


def advised(sheet: ServiceSheet, job: JobSpec, component: Component, found: Sequence[Reading], units: str
            ) -> tuple[tuple[str, ...], dict[str, Any]]:
    """Return the lines of advice and the numbers behind them, as a record keeps them."""
    judged = tuple(judge_typed(sheet.reading(one.quantity), one.side, one.phase, Typed(one.typed, units))
                   for one in found)
    advice = advise(judged, AdviceContext(units, component, job))
    return tuple(line.text for line in advice.lines), dict(advice.details)


def tracking_words(turned: Mapping[str, int], settle_revolutions: int) -> tuple[str, ...]:
    """Return what was turned to bring a belt back, in words."""
    side = max(turned, key=lambda side: turned[side])
    return (f"Raise the {side} take-up by {in_turns_and_flats(turned[side])}: the belt runs to that side.",
            f"Run {settle_revolutions} belt revolutions, lock out, and measure again.")
