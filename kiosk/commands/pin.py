"""`kiosk pin set NAME`, `unlock NAME`, `list`: the crew's PINs at this kiosk. A PIN is asked for, never an argument."""

from __future__ import annotations

import argparse

from kiosk.commands.common import add_json, add_shop, ask_hidden, find_person, print_json
from kiosk.entities import Person
from kiosk.errors import NotAllowed
from kiosk.events import Event, Payload, PersonUnlocked, PinSet
from kiosk.records.ids import new_id
from kiosk.shop import Shop, utc_now


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Declare the command's options."""
    add_shop(parser)
    parser.add_argument("do", choices=("set", "unlock", "list"), help="what to do")
    parser.add_argument("name", nargs="?", help="the person's name, badge number or id")
    add_json(parser)


def run(options: argparse.Namespace) -> int:
    """Set a PIN, let somebody in again, or list who has one."""
    with Shop.open(options.shop) as shop:
        if options.do == "list":
            _list(shop, options.json)
            return 0
        person = find_person(shop, options.name or "")
        said = _set(shop, person) if options.do == "set" else _unlock(shop, person)
    if options.json:
        print_json({"person": person.id, "done": said})
    else:
        print(said)
    return 0


def _set(shop: Shop, person: Person) -> str:
    first = ask_hidden(f"New PIN of {person.name}: ")
    if first != ask_hidden("The same PIN once more: "):
        raise NotAllowed("The two were not the same. Nothing was changed.")
    _append(shop, PinSet(person.id, shop.pins.set(person.id, first)))
    return f"{person.name} has a new PIN at this kiosk."


def _unlock(shop: Shop, person: Person) -> str:
    if not shop.pins.unlock(person.id):
        return f"{person.name} is not locked."
    _append(shop, PersonUnlocked(person.id, "unlocked at the desk"))
    return f"{person.name} may try again."


def _append(shop: Shop, payload: Payload) -> None:
    shop.records.append(Event(new_id(), utc_now(), None, payload))


def _list(shop: Shop, as_json: bool) -> None:
    tries, now = shop.pins.people(), utc_now()
    rows = [{"person": person.name, "role": person.role.value, "pin": person.id in tries,
             "locked": person.id in tries and tries[person.id].is_locked(now)} for person in shop.records.people()]
    if as_json:
        print_json(rows)
        return
    for row in rows:
        state = ("locked" if row["locked"] else "PIN set") if row["pin"] else "no PIN"
        print(f"{row['person']}, {row['role']}: {state}")
