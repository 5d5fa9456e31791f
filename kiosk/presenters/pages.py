"""A page of rows: what a supervisor opens from the start: rows to press, some asking for a text, perhaps a chart.

Each page is a presenter of its own; one screen shows them all. Only a lead or supervisor gets in.
"""

from __future__ import annotations

from abc import abstractmethod
from collections.abc import Callable

from kiosk.entities import Person, Role
from kiosk.errors import NotAllowed
from kiosk.language import N_, tr
from kiosk.presenters.base import ScreenPresenter, action
from kiosk.presenters.navigation import Navigation
from kiosk.presenters.parts import FrameState, PageRow
from kiosk.presenters.ports import Drawing
from kiosk.presenters.session import Session
from kiosk.presenters.states import PageState

LEADS = (Role.LEAD, Role.SUPERVISOR)


def is_lead(session: Session) -> bool:
    """Say whether a lead or supervisor is signed in."""
    return session.person is not None and session.person.role in LEADS


def require_lead(session: Session) -> Person:
    """Return the lead or supervisor who is signed in.

    Raises:
        NotAllowed: somebody else is, or nobody.
    """
    person = session.worker()
    if person.role not in LEADS:
        raise NotAllowed(tr("This takes a lead or a supervisor; you are signed in as {role}.").format(
            role=tr(person.role)))
    return person


class PagePresenter(ScreenPresenter):
    """Root of the pages. `press` and `take_text` are what the screen calls."""

    title = ""
    empty_text = N_("Nothing.")

    def __init__(self, desk: Navigation) -> None:
        super().__init__(desk)
        self.admit()
        self.note = ""

    def admit(self) -> None:
        """Let only a lead or supervisor in; NotAllowed for anybody else."""
        require_lead(self.desk.session)

    def build(self, frame: FrameState) -> PageState:
        """Return the page."""
        return PageState(frame, tr(self.title), self.note, self.rows(), tr(self.empty_text), self.drawing())

    @abstractmethod
    def rows(self) -> tuple[PageRow, ...]:
        """Return the rows of the page."""

    def drawing(self) -> Drawing | None:
        """Return the chart beside the rows, None for none."""
        return None

    @action
    def press(self, key: str) -> None:
        """Take a press on a row."""
        self.admit()
        self.pressed(key)

    @action
    def take_text(self, key: str, text: str) -> None:
        """Take the text that a row asked for; an empty one changes nothing."""
        self.admit()
        if text.strip():
            self.typed_text(key, text.strip())

    def pressed(self, key: str) -> None:
        """Do what a row is for."""

    def typed_text(self, key: str, text: str) -> None:
        """Do what a row is for with its text."""

    def later(self, work: Callable[[], str], doing: str) -> None:
        """Run slow work off the screen's thread; what it returns is noted on the page when it is done."""
        self.note = f"{doing} …"
        self.helpers.run_slow(work, self._done, self._failed, doing)

    def _done(self, text: str) -> None:
        self.note = text
        self.helpers.feedback("saved")
        if self.desk.is_current(self):
            self.refresh()

    def _failed(self, error: Exception) -> None:
        self.note = ""
        self.refuse(getattr(error, "operator_message", "") or tr("That did not work; try again, or ask for help."))
