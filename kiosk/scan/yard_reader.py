"""The camera's label reader on a yard whose numbers go on being issued while it runs.

A number that was read well but is not among the numbers known here is handed on as it was read: the desk asks the
records, which know the label printed a moment ago, and says so when it was never issued. Damaged labels are matched
against a copy of the issued numbers that is looked up anew now and then.
"""

from __future__ import annotations

import dataclasses
import time
from collections.abc import Callable, Sequence

from kiosk.errors import RecordError
from labels.reading import Reader, Reading
from labels.reading.arrays import Image

RELOAD_S = 30.0


class YardReader:
    """Answers `camera.Decoder`; lives on the decode thread.

    Args:
        issued_numbers: Looks up every number issued so far.
        clock: Steady seconds. [s]
    """

    def __init__(self, issued_numbers: Callable[[], Sequence[str]], clock: Callable[[], float] = time.monotonic
                 ) -> None:
        self._look_up, self._clock = issued_numbers, clock
        self._load(issued_numbers())

    def read(self, image: Image) -> Reading:
        """Return what a picture gives; see `labels.reading.Reader.read`."""
        if self._clock() - self._loaded_at > RELOAD_S:
            self._reload()
        reading = self._reader.read(image)
        if not reading.refused:
            return reading
        return dataclasses.replace(reading, number=reading.refused, how="plain", refused="", hint="")

    def _reload(self) -> None:
        try:
            numbers = self._look_up()
        except RecordError:  # the records say so on the screen; the camera goes on with the numbers it knows
            self._loaded_at = self._clock()
            return
        if len(numbers) == self._count:  # numbers are only ever added
            self._loaded_at = self._clock()
        else:
            self._load(numbers)

    def _load(self, numbers: Sequence[str]) -> None:
        self._reader = Reader(numbers or None)
        self._count = len(numbers)
        self._loaded_at = self._clock()
