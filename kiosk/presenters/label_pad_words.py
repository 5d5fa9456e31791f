"""What the pad for typing a label's number says."""

from __future__ import annotations

from kiosk.language import tr
from kiosk.presenters.parts import LabelPadState
from kiosk.presenters.words import counted
from labels.number import DIGITS


def label_pad_state(typed: str | None) -> LabelPadState | None:
    """Return the pad with what is typed so far, None while it is shut."""
    if typed is None:
        return None
    missing = DIGITS - len(typed)
    hint = tr("ready") if missing == 0 else tr("{missing} to go").format(missing=counted(missing, "digit"))
    return LabelPadState(_grouped(typed), hint)


def _grouped(digits: str) -> str:
    """Return digits in the groups in which a label prints them."""
    groups = (digits[:1], digits[1:5], digits[5:9], digits[9:])
    return " ".join(group for group in groups if group)
