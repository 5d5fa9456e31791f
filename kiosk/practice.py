"""A practice yard in a folder of its own that goes when practice ends: the demo yard's program builds it."""

from __future__ import annotations

import importlib.util
import shutil
import subprocess
import sys
import tempfile
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

from kiosk.entities import Component, Role
from kiosk.errors import NotFound
from kiosk.language import current, tr
from kiosk.presenters.base import ScreenPresenter
from kiosk.presenters.desk import Desk, Show
from kiosk.presenters.helpers import Helpers
from kiosk.presenters.ports import Clock
from kiosk.presenters.states import State
from kiosk.presenters.tour import Tour, TourLabels
from kiosk.records.ids import new_id
from kiosk.shop import Shop, floor_settings
from kiosk.spoken_sheets import SpokenSheets

MAKER = "demo_shop.build"
DAYS = 30
_BUILD_TIMEOUT_S = 300
IDLE_S = 300
"""Practice that nobody touched for so long has ended. [s]"""


def is_possible() -> bool:
    """Say whether the program that builds the practice yard is installed."""
    return importlib.util.find_spec("demo_shop") is not None


def build_yard() -> Path:
    """Build a practice yard in a new folder; takes a few seconds, so run it slow.

    Raises:
        NotFound: it could not be built.
    """
    folder = Path(tempfile.mkdtemp(prefix="kiosk-practice-"))
    source = Path(__file__).resolve().parent.parent
    done = subprocess.run([sys.executable, "-m", MAKER, "--to", str(folder / "shop"), "--days", str(DAYS)],
                          capture_output=True, text=True, timeout=_BUILD_TIMEOUT_S, check=False, cwd=source)
    if done.returncode:
        raise NotFound(tr("The practice yard could not be set up. Try again, or ask the supervisor."), done.stderr)
    return folder


class Practice:
    """A desk on a practice yard, with the tour. Close it; its folder goes with it.

    Args:
        folder: What `build_yard` returned.
        helpers: Of the real desk; records, sheets, labels, reports and drafts are the practice yard's own.
        show: Shows a state. `clock`: the time now.
        end: Ends practice.
    """

    def __init__(self, folder: Path, helpers: Helpers, show: Show, clock: Clock, end: Callable[[], None]) -> None:
        self._folder = folder
        self.shop = Shop.open(folder / "shop")
        self._show = show
        settings = replace(floor_settings(self.shop.config), is_practice=True, pin_for="nobody", idle_logout_s=IDLE_S,
                           units=helpers.settings.units, language=helpers.settings.language)
        own = Helpers(records=self.shop.records, sheets=SpokenSheets(self.shop.sheets), labels=self.shop.press,
                      reports=self.shop.reports, clock=clock, new_id=new_id, settings=settings,
                      feedback=helpers.feedback, pins=helpers.pins, practise=end, run_slow=helpers.run_slow)
        self.desk = Desk(own, self._shown)
        self._tour = Tour(self.desk, _labels(self.shop))

    def begin(self) -> None:
        """Show the start, with the first step of the tour."""
        self.desk.start()
        self._tour.begin()

    def close(self) -> None:
        """Close the practice yard and remove it."""
        self.shop.close()
        shutil.rmtree(self._folder, ignore_errors=True)

    def _shown(self, state: State, presenter: ScreenPresenter) -> None:
        self._show(state, presenter)
        self._tour.shown(state)


def _labels(shop: Shop) -> TourLabels:
    crew = [person for person in shop.records.people() if person.role is Role.MECHANIC]
    badge = next((person.badge for person in crew if person.language in ("", current())), crew[0].badge)
    parts = [part for unit in shop.records.units() for part in shop.records.components_of_unit(unit.id)]
    return TourLabels(badge, _of_sheet(parts, "shaft-bearing").label, _of_sheet(parts, "flight-chain").label)


def _of_sheet(parts: list[Component], sheet: str) -> Component:
    return next(part for part in parts if part.sheet == sheet)
