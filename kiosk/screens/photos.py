"""Photos of a record or finding: one large, or the camera's picture while another is taken."""

from __future__ import annotations

from kiosk.screens.base import KioskScreen
from kiosk.widgets import faces as _faces  # noqa: F401  used by the .kv file
from kiosk.widgets import photo as _photo  # noqa: F401  used by the .kv file
from kiosk.widgets import preview as _preview  # noqa: F401  used by the .kv file
from kiosk.widgets.theme import load_kv


class PhotosScreen(KioskScreen):
    """Shows a `PhotosState`."""

    def act(self) -> None:
        """Keep what was taken, else take."""
        if self.state.is_taken:
            self.presenter.keep()
        else:
            self.presenter.take()

    def turn(self) -> None:
        """Take it again when it was taken just now, else show the next photo."""
        if self.state.is_taken:
            self.presenter.again()
        else:
            self.presenter.turn()


load_kv(__file__)
