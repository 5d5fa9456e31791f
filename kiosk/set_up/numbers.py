"""Label numbers for a set-up that is put on record in one act: taken one after the other, nothing saved in between."""

from __future__ import annotations

from kiosk.entities import LabelKind
from kiosk.presenters.ports import Records
from labels.number import IssuedNumbers, Kind, issue, kiosk_and_serial, parse

_KINDS = dict(zip(LabelKind, Kind, strict=True))


class NumberSource:
    """The numbers that may be taken next.

    Args:
        records: What was issued before. `kiosk`: this kiosk's number.
    """

    def __init__(self, records: Records, kiosk: int) -> None:
        self._issued = IssuedNumbers(records.issued_numbers())
        self._next, self._kiosk = records.next_serial(), kiosk

    def take(self, kind: LabelKind) -> tuple[str, int]:
        """Return the next number of a kind, with its serial.

        Raises:
            OutOfNumbers: the kiosk's numbers are used up.
        """
        number, serial = issue(_KINDS[kind], self._kiosk, self._next, self._issued)
        self._issued.add(number)
        self._next = serial + 1
        return number.digits, serial

    def keep(self, number: str) -> int:
        """Keep a number that came from elsewhere from being taken, and return its serial."""
        kiosk, serial = kiosk_and_serial(number)
        self._issued.add(number)
        if kiosk == self._kiosk:
            self._next = max(self._next, serial + 1)
        return serial


def kind_of(number: str) -> LabelKind:
    """Return what a number labels.

    Raises:
        LabelError: it is no label number.
    """
    kind = parse(number).kind
    return next(ours for ours, theirs in _KINDS.items() if theirs is kind)
