"""A kiosk on a real shop as the window has it, without the window: desk, records, vault, and a clock to move."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, field, replace
from datetime import UTC, datetime, timedelta
from typing import Any

from small_yard import yard_events

from kiosk.entities import Label, LabelKind, Scan, ScanSource
from kiosk.events import Event, LabelIssued, PersonAdded
from kiosk.pin_desk import PinDesk, at_once
from kiosk.pins import PinVault
from kiosk.presenters.cautions import CautionsPresenter
from kiosk.presenters.desk import Desk
from kiosk.presenters.helpers import Helpers
from kiosk.records.ids import new_id
from kiosk.shop import Shop, floor_settings
from labels.number import Kind, compose

MORNING = datetime(2026, 3, 30, 6, 30, tzinfo=UTC)
BADGES = {person: compose(Kind.CREW_BADGE, 7, serial).digits
          for serial, person in enumerate(("mechanic", "lead", "boss"), start=11)}


@dataclass
class Kiosk:
    """A desk on a shop, with a clock that stands until it is moved."""

    shop: Shop
    now: datetime = MORNING
    shown: list[Any] = field(default_factory=list)
    run_slow: Callable[..., None] = at_once
    restores: Any = None

    def __post_init__(self) -> None:
        self.vault = PinVault(self.shop.folder / "pins.json", self.shop.folder / "pin.pepper", lambda: self.now)
        shop = self.shop
        self.desk = Desk(
            Helpers(shop.records, shop.sheets, shop.press, shop.reports, lambda: self.now, new_id,
                    floor_settings(shop.config), lambda _: None, PinDesk(self.vault, self.run_slow),
                    restores=self.restores),
            lambda state, _: self.shown.append(state))
        self.desk.start()

    @property
    def frame(self) -> Any:
        """What surrounds the screen shown last."""
        return self.shown[-1].frame

    def badge(self, person_id: str) -> None:
        """Scan a badge."""
        self.desk.scan(Scan(BADGES[person_id], ScanSource.SCANNER, self.now))

    def pin(self, digits: str) -> None:
        """Type a PIN on the pad and send it."""
        for key in (*digits, "enter"):
            self.desk.current.pin_key(key)

    def wait(self, **time: float) -> None:
        """Let time go by."""
        self.now += timedelta(**time)
        self.desk.tick()

    def payloads(self, *kinds: type) -> list[Any]:
        """Return what was put on record of these kinds, in order."""
        return [entry.event.payload for entry in self.shop.records.entries() if isinstance(entry.event.payload, kinds)]


def crew_events() -> Iterator[Event]:
    """Yield the small yard's events, its crew with badges of the right form."""
    for serial, number in enumerate(BADGES.values(), start=900):
        yield Event(new_id(), MORNING, None, LabelIssued(Label(number, LabelKind.BADGE, None, MORNING), serial))
    for event in yard_events():
        if isinstance(event.payload, PersonAdded):
            person = event.payload.person
            event = replace(event, payload=PersonAdded(replace(person, badge=BADGES[person.id])))
        yield event


def through_cautions(desk: Desk) -> None:
    """Confirm every card and the hour meter, and go on."""
    for _ in range(60):
        if not isinstance(desk.current, CautionsPresenter):
            return
        state: Any = desk.current.state
        card = next((card for card in state.cards if not card.confirmed), None)
        if card is not None:
            desk.current.confirm(card.key)
        elif state.hours is not None and not state.hours.confirmed:
            desk.current.confirm_hours()
        elif state.ready:
            desk.current.go_on()
        else:
            desk.current.next_page()


def grease_a_bearing(desk: Desk, shop: Shop) -> None:
    """Scan the first shaft bearing of the demo yard and save its greasing."""
    part = next(part for unit in shop.records.units() for part in shop.records.components_of_unit(unit.id)
                if part.sheet == "shaft-bearing")
    desk.scan(Scan(part.label, ScanSource.SCANNER, desk.helpers.clock()))
    screen: Any = desk.current
    screen.save_quick()
    through_cautions(desk)
    screen = desk.current
    screen.save_quick()
