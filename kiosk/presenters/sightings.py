"""How well each accepted scan read, kept in the journal; written when nobody waits, never between scan and form."""

from __future__ import annotations

import contextlib

from kiosk.entities import LabelKind, LabelSighting, Scan, ScanSource
from kiosk.errors import KioskError
from kiosk.events import Event, LabelSeen
from kiosk.presenters.helpers import Helpers
from labels.number import is_label_number, parse

TYPED = "typed"


class Sightings:
    """Scans that were accepted and are not in the journal yet."""

    def __init__(self, helpers: Helpers) -> None:
        self._helpers = helpers
        self._kept: list[tuple[Scan, str | None]] = []

    def note(self, scan: Scan, person_id: str | None) -> None:
        """Keep an accepted scan until `write`."""
        self._kept.append((scan, person_id))

    def write(self) -> None:
        """Write what was kept; a read that cannot be kept is no reason to disturb anybody."""
        kept, self._kept = self._kept, []
        for scan, person_id in kept:
            with contextlib.suppress(KioskError, ValueError):
                self._write(scan, person_id)

    def _write(self, scan: Scan, person_id: str | None) -> None:
        if not is_label_number("".join(scan.number.split())):
            return
        number = parse(scan.number).digits
        label = self._helpers.records.label(number)
        if label is None:
            return
        how = TYPED if scan.source is ScanSource.KEYPAD else scan.how
        seen = LabelSighting(scan.at, scan.source, how, scan.tries, scan.took_ms, scan.grade)
        self._helpers.records.append(
            Event(self._helpers.new_id(), self._helpers.clock(), person_id, LabelSeen(number, seen)))
        # A part's label is read back on its own page, where its old label with the same number can be told apart.
        if label.kind is not LabelKind.COMPONENT and scan.source is not ScanSource.KEYPAD:
            self._helpers.labels.was_read(number, scan.source.value, person_id)
