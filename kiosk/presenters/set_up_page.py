"""The root of the set-up's pages: only a supervisor gets in, fields ask for a text, what was refused stays typed."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from kiosk.entities import Person, Role
from kiosk.errors import KioskError, NotAllowed
from kiosk.language import N_, tr
from kiosk.presenters.base import action
from kiosk.presenters.navigation import Navigation
from kiosk.presenters.pages import PagePresenter
from kiosk.presenters.parts import PageRow
from kiosk.presenters.session import Session
from kiosk.presenters.set_up_ports import SetUp
from kiosk.presenters.words import NOT_TAKEN, NOTHING
from labels.errors import LabelError

LANGUAGES = {"en": "English", "es": "Español", "de": "Deutsch", "fr": "Français"}
"""Each by its own name, as somebody who speaks no other finds it."""
LENGTHS = {"in": N_("inches with fractions"), "mm": N_("millimetres")}


def require_supervisor(session: Session) -> Person:
    """Return the supervisor who is signed in.

    Raises:
        NotAllowed: somebody else is, or nobody.
    """
    person = session.worker()
    if person.role is not Role.SUPERVISOR:
        raise NotAllowed(tr("This takes a supervisor; you are signed in as {role}.").format(role=tr(person.role)))
    return person


class SetUpPage(PagePresenter):
    """A page of fields and ways on."""

    def __init__(self, desk: Navigation) -> None:
        super().__init__(desk)
        self._refused: dict[str, tuple[str, str]] = {}

    def admit(self) -> None:
        """Let only a supervisor in."""
        require_supervisor(self.desk.session)

    @property
    def set_up(self) -> SetUp:
        """What does the work.

        Raises:
            NotAllowed: this kiosk was put together without it.
        """
        if self.helpers.set_up is None:
            raise NotAllowed(tr("The set-up cannot be changed at this kiosk."))
        return self.helpers.set_up

    @property
    def by(self) -> str:
        """The id of the supervisor who does it."""
        return require_supervisor(self.desk.session).id

    def field(self, key: str, title: str, shown: str, asks: str, *lines: str) -> PageRow:
        """Return a row that asks for a text, beginning with what it says now, or with what was refused."""
        if key in self._refused:
            typed, why = self._refused[key]
            return PageRow(key, title, (f"“{typed}”", why), NOT_TAKEN, asks, begins=typed)
        return PageRow(key, title, (shown or tr("nothing yet"), *lines), NOTHING, asks, begins=shown)

    @action
    def take_text(self, key: str, text: str) -> None:
        """Take the text that a row asked for; a refused one stays on its row, with the reason."""
        self.admit()
        if not text.strip():
            return
        try:
            self.typed_text(key, text.strip())
        except (KioskError, LabelError) as error:
            self._refused[key] = (text, error.operator_message)
            raise
        self._refused.pop(key, None)

    def done(self, note: str) -> None:
        """Say what was done."""
        self.note = note
        self.helpers.feedback("saved")


class ChoicePage(SetUpPage):
    """One of several to choose; back to where one came from then.

    Args:
        options: (key, title, line below it).
        take: Gets the key that was chosen.
        admit: Who gets in, as on the page one came from.
    """

    def __init__(self, desk: Navigation, title: str, options: Sequence[tuple[str, str, str]],
                 take: Callable[[str], None], admit: Callable[[], None] | None = None) -> None:
        self._admit = admit
        super().__init__(desk)
        self.title, self._options, self._take = title, options, take

    def admit(self) -> None:
        """Let in whom the page before let in."""
        if self._admit is None:
            super().admit()
        else:
            self._admit()

    def rows(self) -> tuple[PageRow, ...]:
        """Return what there is to choose."""
        return tuple(PageRow(key, title, (line,) if line else (), NOTHING) for key, title, line in self._options)

    def pressed(self, key: str) -> None:
        """Take the choice, and go back unless that led to another page."""
        self._take(key)
        if self.desk.is_current(self):
            self.desk.back()


def next_of(options: Sequence[str], now: str) -> str:
    """Return the option after the one that holds now, the first after the last."""
    return options[(options.index(now) + 1) % len(options)] if now in options else options[0]
