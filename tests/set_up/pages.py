"""A kiosk's desk with the set-up on a real shop, without the window."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import UTC, datetime
from typing import Any

from kiosk.entities import Person, Role
from kiosk.pin_desk import PinDesk, at_once
from kiosk.presenters.desk import Desk
from kiosk.presenters.helpers import Helpers
from kiosk.records.ids import new_id
from kiosk.set_up.desk import SetUpDesk
from kiosk.shop import Shop, floor_settings

NOON = datetime(2026, 3, 30, 12, 0, tzinfo=UTC)


@dataclass
class Pages:
    """A desk and what it showed."""

    shop: Shop
    founded: list[Any] = field(default_factory=list)
    shown: list[Any] = field(default_factory=list)

    def __post_init__(self) -> None:
        shop = self.shop
        self.set_up = SetUpDesk(shop, new_id, self.founded.append)
        self.desk = Desk(
            Helpers(shop.records, shop.sheets, shop.press, shop.reports, lambda: NOON, new_id,
                    floor_settings(shop.config), lambda _: None, PinDesk(shop.pins, at_once), set_up=self.set_up),
            lambda state, _: self.shown.append(state))
        self.desk.start()

    @property
    def state(self) -> Any:
        """The state shown last."""
        return self.shown[-1]

    @property
    def screen(self) -> Any:
        """The presenter shown last."""
        return self.desk.current

    def sign_in(self, person: Person) -> None:
        """Sign somebody in, their PIN taken for granted."""
        self.desk.session.sign_in(person)

    def row(self, words: str) -> Any:
        """Return the first row whose title begins with these words."""
        return next(row for row in self.state.rows if row.title.startswith(words))

    def press(self, *words: str) -> None:
        """Press rows, one after the other, each on the page that the one before brought."""
        for title in words:
            self.screen.press(self.row(title).key)

    def type(self, words: str, text: str) -> None:
        """Answer what a row asks."""
        self.screen.take_text(self.row(words).key, text)

    def hand(self, role: Role) -> Person:
        """Put somebody of a role on record."""
        return self.set_up.add_person(f"Somebody, {role}", role, None)
