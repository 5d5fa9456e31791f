"""Issue a label number, print its label, read the print back: `labels` put to work for the kiosk's presenters.

A number is in the journal before its label is drawn, so that a crash between the two wastes a number and never
issues one twice.
"""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from kiosk.entities import Label, LabelKind
from kiosk.errors import KioskError
from kiosk.events import Event, LabelIssued
from kiosk.presenters.ports import Clock, IssuedLabel, NewId, Records
from labels.errors import LabelError
from labels.layout import LabelStock, lay_out
from labels.number import IssuedNumbers, Kind, issue
from labels.pdf import picture_of, write_labels
from labels.reading import Reader

_KIND_DIGIT = dict(zip(LabelKind, Kind, strict=True))
# Printed pages are looked at as finely as a good camera would; the label's own dots would do for a perfect page only.
READ_BACK_DPI = 406


class LabelRefused(KioskError):
    """No label was made; the sentence says why."""


class LabelPress:
    """Answers `ports.LabelDesk` on the shop's label stock.

    Args:
        records: Where numbers are issued. `kiosk`: this kiosk's number.
        folder: Where label pages go. `stock`: size and resolution of the labels.
    """

    def __init__(self, records: Records, kiosk: int, folder: Path, stock: LabelStock, clock: Clock, new_id: NewId
                 ) -> None:
        self._records, self._kiosk, self._folder, self._stock = records, kiosk, folder, stock
        self._clock, self._new_id = clock, new_id
        self._issued: IssuedNumbers | None = None

    def issue(self, kind: LabelKind, lines: Sequence[str]) -> IssuedLabel:
        """Issue a number and print its label to PDF.

        Raises:
            LabelRefused: the text does not fit, or the file cannot be written; a number already issued stays so.
        """
        try:
            number, serial = issue(_KIND_DIGIT[kind], self._kiosk, self._records.next_serial(), self._known())
            layout = lay_out(number.digits, lines, self._stock)
            self._record(number.digits, kind, serial)
            return IssuedLabel(number.digits, self._printed(layout.number.digits, lines))
        except LabelError as error:
            raise LabelRefused(error.operator_message, error.details) from error

    def print_again(self, number: str, lines: Sequence[str]) -> Path:
        """Print the label of a number that was issued before."""
        try:
            return self._printed(number, lines)
        except LabelError as error:
            raise LabelRefused(error.operator_message, error.details) from error

    def read_back(self, label: IssuedLabel) -> str | None:
        """Decode the printed page as a picture and return the number read, None if it cannot be read."""
        try:
            picture = picture_of(label.pdf, dots_per_inch=READ_BACK_DPI)
        except LabelError:
            return None
        return Reader(None).read(picture).number

    def _known(self) -> IssuedNumbers:
        if self._issued is None:
            self._issued = IssuedNumbers(self._records.issued_numbers())
        return self._issued

    def _record(self, number: str, kind: LabelKind, serial: int) -> None:
        now = self._clock()
        self._records.append(Event(self._new_id(), now, None, LabelIssued(Label(number, kind, None, now), serial)))
        self._known().add(number)

    def _printed(self, number: str, lines: Sequence[str]) -> Path:
        path = self._folder / f"label-{number}.pdf"
        try:
            self._folder.mkdir(parents=True, exist_ok=True)
        except OSError as error:
            raise LabelRefused(f"The folder for labels, {self._folder}, cannot be made: {error.strerror}.") from error
        write_labels([lay_out(number, lines, self._stock)], path)
        return path
