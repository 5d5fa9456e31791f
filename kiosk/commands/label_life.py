"""What becomes of a label, from the command line: another number, retired, swapped, found loose. One event each."""

from __future__ import annotations

import argparse

from kiosk.commands.common import find_component, print_json
from kiosk.commands.label_prints import PrintedLabel, of_component, person_id, state_of, tell, wait_for_printer
from kiosk.entities import Component, LabelKind
from kiosk.errors import NotAllowed, NotFound
from kiosk.events import Event, LabelFound, LabelReplaced, LabelRetired, LabelsSwapped, Payload
from kiosk.records.ids import new_id
from kiosk.shop import Shop, utc_now
from labels.number import LabelNumber, parse


def replace(shop: Shop, options: argparse.Namespace) -> int:
    """Print a label of a new number for a part; the part has it once the label was read.

    As a page it is read here and bound. From a printer it must be scanned, the part's old label first.
    """
    component = find_component(shop, options.replace)
    reason = _reason(options)
    if options.dry_run:
        print(f"{component.label} would be retired ({reason}) and a new number printed for {_what(shop, component)}.")
        return 0
    _, lines = of_component(shop, component)
    issued = shop.press.issue(LabelKind.COMPONENT, lines)
    if shop.press.queue is not None:
        wait_for_printer(shop.press.queue, [issued.number], shop)
        then = "Scan the part's old label at the kiosk, then this one: it is bound then."
        state = f"{state_of(shop, issued.number)} {then}"
        return tell(options, [PrintedLabel(issued.number, lines, str(issued.pdf), state)])
    if shop.press.read_back(issued) != issued.number:
        raise NotAllowed(f"The new label {issued.pdf} cannot be read; {component.label} stays on the part.")
    _append(shop, options, LabelReplaced(component.id, component.label, issued.number, reason))
    return tell(options, [PrintedLabel(issued.number, lines, str(issued.pdf))])


def retire(shop: Shop, options: argparse.Namespace) -> int:
    """Retire a label."""
    number, reason = parse(options.retire), _reason(options)
    return _do(shop, options, LabelRetired(number.digits, reason), f"Label {number.grouped} is retired: {reason}.")


def swap(shop: Shop, options: argparse.Namespace) -> int:
    """Let two labels change places on record."""
    one, other = (find_component(shop, what) for what in options.swap)
    done = f"{other.label} is on {_what(shop, one)}, {one.label} on {_what(shop, other)}."
    return _do(shop, options, LabelsSwapped(one.id, other.id, _reason(options)), done)


def found(shop: Shop, options: argparse.Namespace) -> int:
    """Note where a label was found, and say whose it is."""
    number, where = parse(options.found[0]), options.found[1]
    whose = f"{_whose(shop, number)}{_found_before(shop, number)}"
    if options.json and not options.dry_run:
        _append(shop, options, LabelFound(number.digits, where))
        print_json({"number": number.digits, "found": where, "belongs_to": whose})
        return 0
    return _do(shop, options, LabelFound(number.digits, where), f"Label {number.grouped}: {whose}")


def _whose(shop: Shop, number: LabelNumber) -> str:
    label = shop.records.label(number.digits)
    if label is None:
        raise NotFound(f"The label {number.grouped} was never issued here.")
    if label.kind is not LabelKind.COMPONENT:
        return f"it is the label of a {label.kind}."
    if label.subject_id is None:
        return "it is blank and belongs to no part."
    component = shop.records.component(label.subject_id)
    was_on = "belongs to" if component.retired_at is None else "belonged to"
    last = "is on" if component.retired_at is None else f"was last on, until {component.retired_at:%Y-%m-%d},"
    retired = f" The label was retired: {label.retired_reason}." if label.retired_at else ""
    return f"{was_on} {component.description or 'a part'}, which {last} {_place(shop, component)}.{retired}"


def _found_before(shop: Shop, number: LabelNumber) -> str:
    last = shop.records.last_found(number.digits)
    return "" if last is None else f" Found before on {last[0].astimezone(shop.zone):%Y-%m-%d}: {last[1]}."


def _what(shop: Shop, component: Component) -> str:
    return f"{component.description or 'the part'} at {_place(shop, component)}"


def _place(shop: Shop, component: Component) -> str:
    return f"{shop.records.unit(component.unit_id).name}, {shop.records.position(component.position_id).name}"


def _do(shop: Shop, options: argparse.Namespace, payload: Payload, done: str) -> int:
    if options.dry_run:
        print(f"Would be put on record: {done}")
        return 0
    _append(shop, options, payload)
    print_json({"done": done}) if options.json else print(done)
    return 0


def _append(shop: Shop, options: argparse.Namespace, payload: Payload) -> None:
    by = person_id(shop, options.by) if options.by else None
    shop.records.append(Event(new_id(), utc_now(), by, payload))


def _reason(options: argparse.Namespace) -> str:
    if not options.reason.strip():
        raise NotAllowed("Say why: --reason TEXT.")
    return str(options.reason).strip()
