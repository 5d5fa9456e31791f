"""The card of command labels: what a mechanic with greasy gloves may say by scanner instead of by touch.

A command does what the screen's own button does, with the same refusals. No command confirms a caution: that is done
card by card by the badge's owner, by touch or by scanning their own badge once more for each card.
"""

from __future__ import annotations

from kiosk.errors import NotAllowed
from kiosk.language import N_, tr
from kiosk.presenters.adjustment import AdjustmentPresenter
from kiosk.presenters.base import ScreenPresenter
from kiosk.presenters.cautions import CautionsPresenter
from kiosk.presenters.component import ComponentPresenter
from kiosk.presenters.form import FormPresenter
from kiosk.presenters.quick_keys import QuickKeys
from kiosk.presenters.replace import ReplacePresenter
from kiosk.presenters.rounds import RoundPresenter
from kiosk.presenters.splice import SplicePresenter
from kiosk.presenters.step_list import StepListPresenter
from kiosk.presenters.unit import UnitPresenter

SAVE, NEXT, BACK, DONE, RUB_OUT, POINT = "save", "next", "back", "done", "rub-out", "point"
STROKES, MORE, FEWER, TIMER, HELP = "strokes", "plus", "minus", "timer", "help"
_FRACTIONS = {"half": "1/2", "quarter": "1/4", "eighth": "1/8", "sixteenth": "1/16"}
KEYS = {RUB_OUT: "back", POINT: ".", **_FRACTIONS, **{digit: digit for digit in "0123456789"}}
"""Commands that press a key, with the key."""
COMMANDS: dict[str, str] = {
    SAVE: N_("Save, go on"),
    NEXT: N_("Next field"),
    BACK: N_("Back"),
    DONE: N_("Done, end"),
    STROKES: N_("Usual strokes"),
    MORE: N_("One more"),
    FEWER: N_("One fewer"),
    TIMER: N_("Start timer"),
    HELP: N_("Help"),
    RUB_OUT: N_("Rub out"),
    POINT: N_("Point ."),
    **{name: f"{key} in" for name, key in _FRACTIONS.items()},
    **{digit: digit for digit in "0123456789"},
}
"""What stands under each command's bars, by the key that its label bears."""


def is_done_by_screen(screen: ScreenPresenter, command: str) -> bool:
    """Do what a command means on the screen that is shown; False where it is the desk's to do.

    Raises:
        NotAllowed: the screen has no such thing.
    """
    if command == SAVE:
        save(screen)
    elif command == NEXT:
        next_field(screen)
    elif command in (STROKES, MORE, FEWER):
        strokes(screen, command)
    elif command == TIMER:
        screen.start_timer()
    elif command == HELP:
        show_help(screen)
    elif command == DONE and isinstance(screen, RoundPresenter) and screen.progress:
        screen.end()
    else:
        return command.isdigit() and screen.is_asking and screen.answer_number(int(command))
    return True


def save(screen: ScreenPresenter) -> None:
    """Do what the screen's main button does.

    Raises:
        NotAllowed: nothing on this screen can be saved.
    """
    if isinstance(screen, ComponentPresenter | RoundPresenter):
        screen.save_quick()
    elif isinstance(screen, UnitPresenter):
        screen.begin_round()
    elif isinstance(screen, CautionsPresenter):
        screen.save_by_card()
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
    if isinstance(screen, CautionsPresenter):
        screen.confirm_hours()
        return
    if not isinstance(screen, FormPresenter | SplicePresenter | AdjustmentPresenter | StepListPresenter):
        raise NotAllowed(tr("This screen has no next field."))
    screen.next_row()


def strokes(screen: ScreenPresenter, command: str) -> None:
    """Set the grease strokes: the sheet's usual ones, one more, one fewer.

    Raises:
        NotAllowed: this screen counts no strokes.
    """
    if not isinstance(screen, QuickKeys):
        raise NotAllowed(tr("This screen counts no strokes."))
    {STROKES: screen.usual_strokes, MORE: screen.more_strokes, FEWER: screen.fewer_strokes}[command]()


def show_help(screen: ScreenPresenter) -> None:
    """Say what the card can do on this screen."""
    screen.tell(_help(screen))


def _help(screen: ScreenPresenter) -> str:
    if isinstance(screen, RoundPresenter):
        return tr("Scan the next fitting's label, then 'Save'. 'Done' ends the round; digits choose a reason.")
    if isinstance(screen, CautionsPresenter):
        return tr("Read the next card, then scan your own badge for it. Digits for the hour meter, then 'Save'.")
    if isinstance(screen, ComponentPresenter):
        return tr("'Save' saves the job shown; 'One more' and 'One fewer' change the strokes.")
    if isinstance(screen, UnitPresenter):
        return tr("'Save' begins the round of this unit, or goes on with it.")
    if isinstance(screen, FormPresenter):
        return tr("Digits and fractions fill the field, 'Next' goes on, 'Save' saves.")
    return tr("Scan a label, or a command of this screen: save, next, back, done.")
