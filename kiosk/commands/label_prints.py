"""Printing labels from the command line: which ones, as pages or sheets, through the queue, by a person's word."""

from __future__ import annotations

import argparse
import time
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path

from kiosk.commands.common import find_component, find_unit, print_json
from kiosk.entities import Component, LabelKind, PrintState
from kiosk.errors import NotAllowed, NotFound
from kiosk.language import tr
from kiosk.presenters.command_card import COMMANDS
from kiosk.print_queue import PrintQueue, print_sentence
from kiosk.set_up.label_sheets import component_label, unit_labels
from kiosk.shop import Shop
from labels.number import parse

BLANK_LINES = ("part: ______________________",)
PRINTED_AGAIN = "printed again"
# How long the command waits for the printer; what is not out by then stays in the queue for the kiosk.
WAIT_S = 20.0
_UNDER_WAY = (PrintState.QUEUED, PrintState.SENDING, PrintState.SENT)


@dataclass(frozen=True)
class PrintedLabel:
    """A label and where it went.

    `number` is '' for one that a dry run did not issue, `file` its page, '' in a dry run, `state` what the printer
    says, '' without one.
    """

    number: str
    lines: list[str]
    file: str
    state: str = ""


def print_labels(shop: Shop, options: argparse.Namespace) -> int:
    """Print every label that the options name."""
    wanted = [*_wanted(shop, options), *_blank(shop, options)]
    if not wanted and not options.blank:
        print("Nothing to print: name a part, --unit, --list, --crew, --command-cards or --blank.")
        return 0
    return tell(options, _printed(shop, options, wanted))


def _printed(shop: Shop, options: argparse.Namespace, wanted: Sequence[tuple[str, list[str]]]) -> list[PrintedLabel]:
    if options.dry_run:
        return [PrintedLabel(number, lines, "") for number, lines in wanted]
    if options.sheet and options.command_cards and all(number in _cards(shop) for number, _ in wanted):
        title = tr("Command card · {yard}").format(yard=shop.records.yard_name())
        path = shop.press.print_card(title, [(number, lines[0]) for number, lines in wanted], options.sheet)
        return [PrintedLabel(number, lines, str(path)) for number, lines in wanted]
    if options.sheet:
        path = shop.press.print_sheets(wanted, options.sheet)
        return [PrintedLabel(number, lines, str(path)) for number, lines in wanted]
    by = person_id(shop, options.by) if options.by else None
    reason = options.reason or PRINTED_AGAIN
    files = ["" if is_waiting(shop, number) else str(shop.press.print_again(number, lines, reason, by))
             for number, lines in wanted]
    wait_for_printer(shop.press.queue, [number for number, _ in wanted], shop)
    return [PrintedLabel(number, lines, file, state_of(shop, number))
            for (number, lines), file in zip(wanted, files, strict=True)]


def tell(options: argparse.Namespace, labels: Sequence[PrintedLabel]) -> int:
    """Print what became of labels."""
    if options.json:
        print_json(labels)
        return 0
    for label in labels:
        print(f"{label.number or 'not issued'}  {' / '.join(filter(None, label.lines))}  {label.file or 'not printed'}")
        if label.state:
            print(f"            {label.state}")
    return 0


def wait_for_printer(queue: PrintQueue | None, numbers: Sequence[str], shop: Shop, seconds: float = WAIT_S) -> None:
    """Take the queue on until these labels are out, the printer has a trouble, or the time is up."""
    end = time.monotonic() + seconds
    while queue is not None and time.monotonic() < end:
        queue.step()
        prints = [shop.records.last_label_print(number) for number in numbers]
        if queue.trouble or not any(one is not None and one.state in _UNDER_WAY for one in prints):
            return
        time.sleep(0.1)


def state_of(shop: Shop, number: str) -> str:
    """Return how a label's print is; '' where there is no printer."""
    progress = shop.press.progress(number)
    return progress.text if progress else ""


def is_waiting(shop: Shop, number: str) -> bool:
    """Return whether a label is in the printer's queue already, so that it is not put there once more."""
    progress = shop.press.progress(number)
    return progress is not None and progress.is_waiting


# --- which labels ---


def _wanted(shop: Shop, options: argparse.Namespace) -> Iterator[tuple[str, list[str]]]:
    for what in [*options.part, *_listed(options.list)]:
        yield of_component(shop, find_component(shop, what))
    if options.unit:
        yield from unit_labels(shop.records, find_unit(shop, options.unit), shop.zone)
    if options.crew:
        for person in shop.records.people():
            yield person.badge, [person.name, str(person.role)]
    if options.command_cards:
        yield from _command_cards(shop, options.dry_run)


def of_component(shop: Shop, component: Component) -> tuple[str, list[str]]:
    """Return a part's number and the lines of its label."""
    return component_label(shop.records, component, shop.zone)


def _listed(path: Path | None) -> list[str]:
    if path is None:
        return []
    try:
        lines = path.read_text(encoding="utf-8").splitlines()
    except (OSError, UnicodeDecodeError) as error:
        raise NotFound(f"The list {path} cannot be read.", repr(error)) from error
    return [line.strip() for line in lines if line.strip() and not line.startswith("#")]


def _cards(shop: Shop) -> set[str]:
    return {card.number for card in shop.records.labels_of_kind(LabelKind.COMMAND)}


def _command_cards(shop: Shop, dry_run: bool) -> Iterator[tuple[str, list[str]]]:
    """Yield every command's label; a command that has none yet is given one, in a dry run none ('')."""
    numbers = {card.subject_id: card.number for card in shop.records.labels_of_kind(LabelKind.COMMAND)}
    for key, words in COMMANDS.items():
        number = numbers.get(key) or ("" if dry_run else shop.press.issue_for(LabelKind.COMMAND, key))
        yield number, [words, "command card"]


def _blank(shop: Shop, options: argparse.Namespace) -> Iterator[tuple[str, list[str]]]:
    """Issue numbers ahead; in a dry run none is taken."""
    if options.blank and options.dry_run:
        print(f"{options.blank} numbers would be issued ahead.")
    elif options.blank:
        for number in shop.press.issue_ahead(LabelKind.COMPONENT, options.blank):
            yield number, list(BLANK_LINES)


# --- the queue ---


def show_queue(shop: Shop, options: argparse.Namespace) -> int:
    """List what is not over yet."""
    queue = _queue(shop)
    queue.step()
    prints = shop.records.open_label_prints()
    if options.json:
        print_json(prints)
        return 0
    for one in prints:
        print(f"{one.number}  {one.reason}  {print_sentence(one, queue.trouble)}")
    print(queue.trouble or ("The queue is empty." if not prints else ""))
    return 0


def print_again(shop: Shop, options: argparse.Namespace) -> int:
    """Send a label again by a person's word."""
    number = parse(options.again).digits
    shop.press.send_again(number, _person_needed(shop, options), options.reason or "it had not come out")
    wait_for_printer(shop.press.queue, [number], shop)
    print(state_of(shop, number))
    return 0


def came_out(shop: Shop, options: argparse.Namespace) -> int:
    """Take a person's word that a label came out."""
    number = parse(options.came_out).digits
    shop.press.came_out(number, _person_needed(shop, options))
    print(state_of(shop, number))
    return 0


def cancel(shop: Shop, options: argparse.Namespace) -> int:
    """Take a label out of the queue."""
    number = parse(options.cancel).digits
    by = person_id(shop, options.by) if options.by else None
    shop.press.cancel_print(number, by, options.reason or "cancelled")
    print(state_of(shop, number))
    return 0


def person_id(shop: Shop, who: str) -> str:
    """Return the id of the person that a badge number, id or name means.

    Raises:
        NotFound: nobody of the crew.
    """
    plain = "".join(who.split())
    for person in shop.records.people():
        if who in (person.id, person.name) or plain == person.badge:
            return person.id
    raise NotFound(f"Nobody of the crew is '{who}'.")


def _person_needed(shop: Shop, options: argparse.Namespace) -> str:
    if not options.by:
        raise NotAllowed("Say who looked at the printer: --by with a badge number or name.")
    return person_id(shop, options.by)


def _queue(shop: Shop) -> PrintQueue:
    if shop.press.queue is None:
        raise NotFound("No label printer is set in kiosk.toml; labels are written as PDF.")
    return shop.press.queue
