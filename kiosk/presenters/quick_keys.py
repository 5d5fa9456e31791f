"""The keys of a one-touch job, the same on every screen that shows one: a part's page and the round."""

from __future__ import annotations

from abc import abstractmethod

from kiosk.presenters.base import ScreenPresenter, action
from kiosk.presenters.quick import QuickJob


class QuickKeys(ScreenPresenter):
    """A screen with a one-touch job in hand."""

    @abstractmethod
    def the_quick(self) -> QuickJob:
        """Return the job in hand.

        Raises:
            NotAllowed: there is none.
        """

    @action
    def more_strokes(self) -> None:
        """One stroke more."""
        self.the_quick().more_strokes()

    @action
    def fewer_strokes(self) -> None:
        """One stroke fewer."""
        self.the_quick().fewer_strokes()

    @action
    def usual_strokes(self) -> None:
        """The strokes that the sheet says."""
        self.the_quick().usual_strokes()

    @action
    def choose_reason(self, key: str) -> None:
        """Choose why a stop is overridden."""
        self.the_quick().choose_reason(key)

    @action
    def type_reason(self, text: str) -> None:
        """Type why a stop is overridden."""
        self.the_quick().type_reason(text)
