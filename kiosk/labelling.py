"""Issue a label number, print its label, read the print back: `labels` put to work for the kiosk's presenters.

A number is in the journal before its label is drawn, so that a crash between the two wastes a number and never issues
one twice. A shop with a printer has its labels queued for it (a page as PDF is kept beside); there only a scan of the
label itself proves that it reads. What draws pages is loaded with the first one: it takes longer than the first screen.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

from kiosk.entities import Label, LabelKind, LabelPrint, PrintState
from kiosk.errors import KioskError
from kiosk.events import Event, LabelIssued, LabelPrintMoved, LabelPrintQueued
from kiosk.language import tr
from kiosk.presenters.ports import Clock, IssuedLabel, NewId, PrintProgress, Records
from labels.errors import LabelError
from labels.number import IssuedNumbers, Kind, issue
from labels.stock import LabelStock

if TYPE_CHECKING:
    from kiosk.print_queue import PrintQueue

_KIND_DIGIT = dict(zip(LabelKind, Kind, strict=True))
# Printed pages are looked at as finely as a good camera would; the label's own dots would do for a perfect page only.
READ_BACK_DPI = 406
# Laser printers print sheets; a label's own resolution is that of its printer's head.
SHEET_DPI = 600


class LabelRefused(KioskError):
    """No label was made; the sentence says why."""


class LabelPress:
    """Answers `ports.LabelDesk` on the shop's label stock.

    Args:
        records: Where numbers are issued. `kiosk`: this kiosk's number.
        folder: Where label pages go. `stock`: size and resolution of the labels.
        queue: The queue before the printer, None in a shop without one.
    """

    def __init__(self, records: Records, kiosk: int, folder: Path, stock: LabelStock, clock: Clock, new_id: NewId,
                 queue: PrintQueue | None = None) -> None:
        self._records, self._kiosk, self._folder, self._stock = records, kiosk, folder, stock
        self._clock, self._new_id = clock, new_id
        self._issued: IssuedNumbers | None = None
        self.queue = queue

    def issue(self, kind: LabelKind, lines: Sequence[str]) -> IssuedLabel:
        """Issue a number and print its label to PDF, and to the printer where there is one.

        Raises:
            LabelRefused: the text does not fit, or the file cannot be written; a number already issued stays so.
        """
        from labels.layout import lay_out

        try:
            number, serial = issue(_KIND_DIGIT[kind], self._kiosk, self._records.next_serial(), self._known())
            lay_out(number.digits, lines, self._stock)
            self._record(number.digits, kind, serial, lines)
            return IssuedLabel(number.digits, self._drawn(number.digits, lines))
        except LabelError as error:
            raise LabelRefused(error.operator_message, error.details) from error

    def issue_ahead(self, kind: LabelKind, count: int) -> list[str]:
        """Issue numbers that belong to nothing yet; each is bound when it is first scanned. Nothing is printed.

        Raises:
            LabelRefused: the kiosk's numbers are used up.
        """
        return [self.issue_for(kind, None) for _ in range(count)]

    def issue_for(self, kind: LabelKind, subject_id: str | None) -> str:
        """Issue one number for what it belongs to from the start, None for nothing yet. Nothing is printed.

        Raises:
            LabelRefused: the kiosk's numbers are used up.
        """
        try:
            number, serial = issue(_KIND_DIGIT[kind], self._kiosk, self._records.next_serial(), self._known())
        except LabelError as error:
            raise LabelRefused(error.operator_message, error.details) from error
        now = self._clock()
        label = Label(number.digits, kind, subject_id, now)
        self._records.append(Event(self._new_id(), now, None, LabelIssued(label, serial)))
        self._known().add(number)
        return number.digits

    def print_sheets(self, labels: Sequence[tuple[str, Sequence[str]]], paper: str) -> Path:
        """Write labels to one PDF of sheets with cut marks, for a laser printer.

        Raises:
            LabelRefused: a text or the labels do not fit, or the file cannot be written.
        """
        from labels.layout import lay_out
        from labels.pdf import write_pages
        from labels.sheet import sheets

        stock = replace(self._stock, dots_per_inch=SHEET_DPI)
        path = self._folder / f"labels-{self._clock():%Y-%m-%d-%H%M%S}.pdf"
        try:
            self._make_folder()
            write_pages(sheets([lay_out(number, lines, stock) for number, lines in labels], paper), path)
        except LabelError as error:
            raise LabelRefused(error.operator_message, error.details) from error
        return path

    def print_card(self, title: str, commands: Sequence[tuple[str, str]], paper: str) -> Path:
        """Write a card of commands, (number, words) each, to one PDF page to be laminated.

        Raises:
            LabelRefused: they do not fit, or the file cannot be written.
        """
        from labels.card import card_page
        from labels.pdf import write_pages

        path = self._folder / f"command-card-{self._clock():%Y-%m-%d-%H%M%S}.pdf"
        try:
            self._make_folder()
            write_pages([card_page(title, commands, paper)], path)
        except LabelError as error:
            raise LabelRefused(error.operator_message, error.details) from error
        return path

    def print_again(self, number: str, lines: Sequence[str], reason: str = "printed again",
                    person_id: str | None = None) -> Path:
        """Print the label of a number that was issued before: the page as PDF, and a place in the printer's queue.

        Raises:
            LabelRefused: the text does not fit, or the file cannot be written.
        """
        try:
            path = self._drawn(number, lines)
            self._records.append_all(self._print_events(number, lines, reason, person_id, path))
            return path
        except LabelError as error:
            raise LabelRefused(error.operator_message, error.details) from error

    def read_back(self, label: IssuedLabel) -> str | None:
        """Decode the printed page as a picture and return the number read, None if it cannot be read.

        Raises:
            LabelRefused: the label went to a printer: only a scan of it proves that it reads.
        """
        from labels.pdf import picture_of

        if self.queue is not None:
            raise LabelRefused(tr("Scan the label that came out of the printer: only one that reads may go on the "
                                  "part. ")
                               + self.queue.sentence(label.number))
        try:
            picture = picture_of(label.pdf, dots_per_inch=READ_BACK_DPI)
        except LabelError:
            return None
        from labels.reading import Reader  # half a second to import, and needed only here

        return Reader(None).read(picture).number

    # --- the printer ---

    def progress(self, number: str) -> PrintProgress | None:
        """Return how a label's print is, None where labels go to PDF."""
        newest = None if self.queue is None else self._records.last_label_print(number)
        if self.queue is None or newest is None:
            return None
        from kiosk.print_queue import print_sentence

        return PrintProgress(print_sentence(newest, self.queue.trouble), newest.state.asks, newest.state.is_waiting)

    def send_again(self, number: str, person_id: str | None, reason: str) -> None:
        """Send a label to the printer again, by a person's word."""
        queue, newest = self._at_printer(number)
        queue.print_again(newest.id, person_id, reason)

    def cancel_print(self, number: str, person_id: str | None, reason: str) -> None:
        """Take a label out of the printer's queue.

        Raises:
            LabelRefused: it was not sent there, the printer is through with it or does not answer.
        """
        queue, newest = self._at_printer(number)
        try:
            queue.cancel(newest.id, person_id, reason)
        except LabelError as error:
            raise LabelRefused(error.operator_message, error.details) from error

    def came_out(self, number: str, person_id: str | None) -> None:
        """Take a person's word that a label came out of the printer."""
        queue, newest = self._at_printer(number)
        queue.came_out(newest.id, person_id)

    def was_read(self, number: str, how: str, person_id: str | None) -> None:
        """Note that a label was read by 'scanner' or 'camera' after it was printed."""
        newest = self._records.last_label_print(number)
        if newest is not None and newest.state.could_be_out:
            moved = LabelPrintMoved(newest.id, PrintState.READ_BACK, how)
            self._records.append(Event(self._new_id(), self._clock(), person_id, moved))

    def _at_printer(self, number: str) -> tuple[PrintQueue, LabelPrint]:
        newest = self._records.last_label_print(number)
        if self.queue is None or newest is None:
            raise LabelRefused(tr("This label was not sent to a printer."))
        return self.queue, newest

    def _known(self) -> IssuedNumbers:
        if self._issued is None:
            self._issued = IssuedNumbers(self._records.issued_numbers())
        return self._issued

    def _record(self, number: str, kind: LabelKind, serial: int, lines: Sequence[str]) -> None:
        """Put number and print on record in one act: a number whose label nobody prints would be lost."""
        now = self._clock()
        events = [Event(self._new_id(), now, None, LabelIssued(Label(number, kind, None, now), serial))]
        if self.queue is not None:
            events.append(Event(self._new_id(), now, None, LabelPrintQueued(number, tuple(lines), 1, "new label")))
        self._records.append_all(events)
        self._known().add(number)

    def _print_events(self, number: str, lines: Sequence[str], reason: str, person_id: str | None, path: Path
                      ) -> list[Event]:
        """Return what puts a print on record: into the queue, or done where labels are pages."""
        queued = Event(self._new_id(), self._clock(), person_id, LabelPrintQueued(number, tuple(lines), 1, reason))
        if self.queue is not None:
            return [queued]
        printed = LabelPrintMoved(queued.id, PrintState.PRINTED, f"as the page {path.name}")
        return [queued, Event(self._new_id(), self._clock(), person_id, printed)]

    def _drawn(self, number: str, lines: Sequence[str]) -> Path:
        from labels.layout import lay_out
        from labels.pdf import write_labels

        path = self._folder / f"label-{number}.pdf"
        self._make_folder()
        write_labels([lay_out(number, lines, self._stock)], path)
        return path

    def _make_folder(self) -> None:
        try:
            self._folder.mkdir(parents=True, exist_ok=True)
        except OSError as error:
            raise LabelRefused(tr("The folder for labels, {folder}, cannot be made: {strerror}.").format(
                                   folder=self._folder, strerror=error.strerror)) from error
