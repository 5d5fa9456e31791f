"""A run or a wait as screens show it: what is left by word, shape and ring."""

from __future__ import annotations

from datetime import datetime

from kiosk.language import N_, number, tr
from kiosk.presenters.parts import DUE, GOOD, NEUTRAL, RunState
from kiosk.presenters.run_timer import Timer
from kiosk.presenters.words import mark

RUNNING = mark(N_("running"), DUE)
TIME_IS_UP = mark(N_("time is up"), GOOD)
NOT_STARTED = mark(N_("not started"), NEUTRAL)


def run_state(timer: Timer | None, revolutions: float | None, minutes: float, now: datetime) -> RunState:
    """Return how a run stands.

    Args:
        timer: None while it has not begun. `now`: aware UTC.
        revolutions: How many it takes, None for a plain wait. `minutes`: how long. [min]
    """
    if timer is None:
        return RunState(_amount(revolutions, minutes), 1.0, NOT_STARTED, False, False)
    if timer.is_over(now):
        return RunState(_amount(timer.revolutions, timer.minutes), 0.0, TIME_IS_UP, False, True)
    left = tr("{amount} left").format(amount=_amount(timer.revolutions_left(now), timer.minutes_left(now)))
    return RunState(left, timer.share_left(now), RUNNING, True, False)


def _amount(revolutions: float | None, minutes: float) -> str:
    whole, seconds = divmod(round(minutes * 60), 60)
    time = tr("{minutes}:{seconds} min").format(minutes=whole, seconds=f"{seconds:02d}")
    if revolutions is None:
        return time
    turns = tr("{revolutions} revolutions").format(revolutions=number(revolutions, ".0f"))
    return f"{turns}, {time}"
