"""The card of command labels: what a mechanic with greasy gloves may say by scanner instead of by touch.

A command does what the screen's own button does, with the same refusals. No command confirms a caution: that is done
by touch, card by card, by the badge's owner.
"""

from __future__ import annotations

from kiosk.errors import NotAllowed
from kiosk.language import N_, tr
from kiosk.presenters.adjustment import AdjustmentPresenter
from kiosk.presenters.base import ScreenPresenter
from kiosk.presenters.cautions import CautionsPresenter
from kiosk.presenters.component import ComponentPresenter
from kiosk.presenters.form import FormPresenter
from kiosk.presenters.replace import ReplacePresenter
from kiosk.presenters.splice import SplicePresenter
from kiosk.presenters.step_list import StepListPresenter

SAVE, NEXT, BACK, DONE, RUB_OUT, POINT = "save", "next", "back", "done", "rub-out", "point"
KEYS = {RUB_OUT: "back", POINT: ".", **{digit: digit for digit in "0123456789"}}
"""Commands that press a key, with the key."""
COMMANDS: dict[str, str] = {
    SAVE: N_("Save, or go on"),
    NEXT: N_("Next field"),
    RUB_OUT: N_("Rub out the last"),
    BACK: N_("Back one screen"),
    DONE: N_("Done: to the start"),
    POINT: N_("Decimal point"),
    **{digit: f"Digit {digit}" for digit in "0123456789"},
}
"""What stands under each command's bars, by the key that its label bears."""


def save(screen: ScreenPresenter) -> None:
    """Do what the screen's main button does.

    Raises:
        NotAllowed: nothing on this screen can be saved.
    """
    if isinstance(screen, ComponentPresenter):
        screen.save_quick()
    elif isinstance(screen, CautionsPresenter):
        screen.go_on()
    elif isinstance(screen, FormPresenter | SplicePresenter | ReplacePresenter | AdjustmentPresenter
                    | StepListPresenter):
        screen.save()
    else:
        raise NotAllowed(tr("There is nothing to save on this screen. Scan a part first."))


def next_field(screen: ScreenPresenter) -> None:
    """Go to the form's next field.

    Raises:
        NotAllowed: this screen has no fields.
    """
    if not isinstance(screen, FormPresenter | SplicePresenter | AdjustmentPresenter | StepListPresenter):
        raise NotAllowed(tr("This screen has no next field."))
    screen.next_row()
