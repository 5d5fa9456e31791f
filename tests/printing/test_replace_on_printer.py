"""Replacing a bearing in the demo yard with a real IPP printer program: printed, rasterised, read back, then bound.

The same shop, desk and worker as the window has, without the window.
"""

from __future__ import annotations

import csv
import time
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from label_checks import picture_of_raster
from printer_programs import NEEDED, LabelPrinterProgram, missing, wait_until

from kiosk.entities import PrintState, Scan, ScanSource
from kiosk.pin_desk import PinDesk, at_once
from kiosk.presenters.desk import Desk
from kiosk.presenters.helpers import Helpers
from kiosk.presenters.states import CautionsState, ReplaceState, SavedState
from kiosk.print_worker import PrintWorker
from kiosk.records.ids import new_id
from kiosk.shop import Shop, floor_settings, utc_now
from labels.reading import Reader

pytestmark = [pytest.mark.slow,
              pytest.mark.skipif(bool(missing(NEEDED)), reason=f"not installed: {missing(NEEDED)}")]


class Floor:
    """A mechanic at a kiosk of the demo yard that has a printer."""

    def __init__(self, folder: Path, address: str) -> None:
        with (folder / "kiosk.toml").open("a") as settings:
            settings.write(f'\nprinter = "{address}"\n')
        self.shop = Shop.open(folder)
        self.state: object = None
        shop = self.shop
        self.desk = Desk(Helpers(shop.records, shop.sheets, shop.press, shop.reports, utc_now, new_id,
                                 floor_settings(shop.config), lambda _: None, PinDesk(shop.pins, at_once)), self._show)
        with (folder / "labels.csv").open(newline="", encoding="utf-8") as book:
            self.book = list(csv.DictReader(book))
        self.desk.start()
        self.worker = self.switch_on()

    def _show(self, state: object, _presenter: object) -> None:
        self.state = state

    def switch_on(self) -> PrintWorker:
        """Start the worker that takes the queue on."""
        self.worker = PrintWorker(self.shop.records, self.shop.press.queue, every_s=0.1)
        self.worker.start()
        return self.worker

    def scan(self, number: str, source: ScanSource = ScanSource.SCANNER) -> None:
        """Scan a label."""
        self.desk.scan(Scan(number, source, utc_now()))

    def number(self, sheet: str) -> str:
        """Return the label of the first part of a kind."""
        return next(row["number"] for row in self.book if row["sheet"] == sheet)

    def replace_until_the_label(self) -> str:
        """Sign in, open a bearing's replacement, confirm the cautions, choose a reason, print; return the number."""
        self.scan(next(row["number"] for row in self.book if row["kind"] == "badge" and "mechanic" in row["what"]))
        self.scan(self.number("shaft-bearing"))
        part = self.state.component_id
        self.desk.open_job(part, "replace")
        if isinstance(self.state, CautionsState):
            self._confirm()
        screen = self.desk.current
        screen.choose_reason(self.state.reasons[0].key)
        screen.issue_label()
        assert isinstance(self.state, ReplaceState), self.state
        return self.state.label.number.replace(" ", "")

    def _confirm(self) -> None:
        screen = self.desk.current
        while open_cards := [card for card in self.state.cards if not card.confirmed]:
            screen.confirm(open_cards[0].key)
        if self.state.hours is not None and not self.state.hours.confirmed:
            screen.confirm_hours()
        screen.go_on()

    def until(self, is_so: Callable[[], object], seconds: float = 15.0) -> None:
        """Let the kiosk run until something is so."""
        def tried() -> object:
            if self.worker.has_news():
                self.desk.print_changed()
            return is_so()
        wait_until(tried, seconds)

    def print_state(self, number: str) -> PrintState:
        """Return how far the label is."""
        return self.shop.records.last_label_print(number).state


@pytest.fixture
def program(tmp_path: Path) -> Iterator[LabelPrinterProgram]:
    """A printer that is switched on."""
    started = LabelPrinterProgram(tmp_path / "printer")
    started.start()
    yield started
    started.stop()


@pytest.fixture
def floor(yard: Path, program: LabelPrinterProgram) -> Iterator[Floor]:
    """The mechanic at the kiosk."""
    made = Floor(yard, program.address)
    yield made
    made.worker.stop()
    made.shop.close()


def test_replacing_a_bearing_ends_with_a_label_printed_and_read_back(floor: Floor, program: LabelPrinterProgram
                                                                     ) -> None:
    """Printed on the printer, its dots read by the kiosk's own reader, scanned, and only then bound to the new part."""
    old = floor.shop.records.label(floor.number("shaft-bearing")).subject_id
    number = floor.replace_until_the_label()
    floor.desk.current.save()
    assert "Read the new label back" in floor.state.frame.message.text
    floor.until(lambda: floor.print_state(number) is PrintState.PRINTED)
    (came_out,) = program.came_out()
    reading = Reader(floor.shop.records.issued_numbers()).read(picture_of_raster(came_out))
    assert (reading.number, reading.how) == (number, "plain")
    floor.scan(reading.number, ScanSource.CAMERA)
    assert floor.state.label.read_back and floor.print_state(number) is PrintState.READ_BACK
    floor.desk.current.save()
    assert isinstance(floor.state, SavedState)
    new = floor.shop.records.component(floor.shop.records.label(number).subject_id)
    assert floor.shop.records.component(old).replaced_by == new.id and new.label == number


def test_read_it_back_from_the_page_is_refused_where_there_is_a_printer(floor: Floor) -> None:
    """The page as PDF proves nothing about the label that came out."""
    floor.replace_until_the_label()
    floor.desk.current.read_back()
    assert "Scan the label that came out of the printer" in floor.state.frame.message.text
    assert not floor.state.label.read_back


def test_printer_off__the_label_waits_and_comes_out_when_it_is_on(floor: Floor, program: LabelPrinterProgram) -> None:
    """The screen says what is the matter; nothing is lost and nothing twice."""
    program.stop()
    number = floor.replace_until_the_label()
    floor.until(lambda: "does not answer" in floor.state.label.text)
    program.start()
    floor.until(lambda: floor.print_state(number) is PrintState.PRINTED)
    assert len(program.came_out()) == 1


def test_out_of_labels__the_screen_says_so_until_the_roll_is_in(floor: Floor, program: LabelPrinterProgram) -> None:
    """The printer holds the label; the words go when it is out."""
    go = program.folder / "go"
    program.behave(f"echo 'STATE: +media-empty' >&2\nwhile [ ! -e {go} ]; do sleep 0.05; done\n"
                   "echo 'STATE: -media-empty' >&2\n")
    number = floor.replace_until_the_label()
    floor.until(lambda: "out of labels" in floor.state.label.text)
    assert floor.print_state(number) is PrintState.SENT
    go.touch()
    floor.until(lambda: floor.print_state(number) is PrintState.PRINTED)
    assert "out of labels" not in floor.state.label.text and len(program.came_out()) == 1


def test_printer_killed_in_the_middle__the_screen_asks_before_it_prints_again(
    floor: Floor, program: LabelPrinterProgram
) -> None:
    """Nobody can know whether it came out: the kiosk asks, and prints a second time only by the mechanic's word."""
    program.behave("sleep 30\n")
    number = floor.replace_until_the_label()
    floor.until(lambda: floor.print_state(number) is PrintState.SENT)
    program.stop()
    program.behave("")
    program.start()
    floor.until(lambda: floor.print_state(number) is PrintState.UNCERTAIN)
    floor.until(lambda: floor.state.frame.message is not None)
    message = floor.state.frame.message
    assert "Look whether the label came out" in message.text
    assert [answer.key for answer in message.actions] == ["out", "again"]
    time.sleep(0.5)
    assert program.came_out() == []
    floor.desk.current.answer("again")
    floor.until(lambda: floor.print_state(number) is PrintState.PRINTED)
    assert len(program.came_out()) == 1


def test_kiosk_killed_with_labels_waiting__they_come_out_once_after_the_restart(
    floor: Floor, program: LabelPrinterProgram
) -> None:
    """The queue is in the journal: a kiosk that was switched off prints what waited, once."""
    program.stop()
    number = floor.replace_until_the_label()
    floor.worker.stop()
    floor.shop.close()
    shop = Shop.open(floor.shop.folder)
    program.start()
    worker = PrintWorker(shop.records, shop.press.queue, every_s=0.1)
    worker.start()
    wait_until(lambda: shop.records.last_label_print(number).state is PrintState.PRINTED)
    worker.stop()
    shop.close()
    assert len(program.came_out()) == 1
