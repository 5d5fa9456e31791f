"""Adding up what several frames of a hand-held label say.

Each frame's log likelihoods are for the number, not for the picture, so they can be added whatever the label's place.
Frames of one scene share their faults (the same smear, the same glare), so n frames count as fewer: never more than
about three. The rules for accepting are those of a single frame.
"""

from __future__ import annotations

import time
from collections import deque

import numpy as np

from labels.reading.arrays import Image
from labels.reading.decide import Candidate, candidate_of_table, is_sure
from labels.reading.picture import grey_of
from labels.reading.reader import Look, Reader, Reading

# How alike the faults of two frames are; 1 would make the second frame worthless.
_SHARED_FAULTS = 0.3
_MOST_FRAMES = 45


class FrameAccumulator:
    """Evidence over the frames of about a second.

    Args:
        reader: Reads the single frames.
        seconds: How long evidence is gathered; older frames are forgotten. [s]
        clock: Gives the time, for tests. [s]
    """

    def __init__(self, reader: Reader, seconds: float = 1.0, clock: object = time.monotonic) -> None:
        self._reader, self.seconds = reader, seconds
        self._clock = clock if callable(clock) else time.monotonic
        self._kept: deque[tuple[float, Candidate]] = deque(maxlen=_MOST_FRAMES)
        self._began: float | None = None

    @property
    def progress(self) -> float:
        """How much of the time has passed since a label came into view, 0 to 1: the growing ring."""
        if self._began is None:
            return 0.0
        return min(1.0, max(0.0, (float(self._clock()) - self._began) / self.seconds))

    def reset(self) -> None:
        """Forget everything, when another label comes or the operator goes back."""
        self._kept.clear()
        self._began = None

    def add(self, frame: Image) -> Reading:
        """Return what this frame and those before it say together.

        Args:
            frame: uint8, shape (height, width, 3) BGR or (height, width) grey.

        Raises:
            ImageUnreadable: this is no picture.
        """
        now, start = float(self._clock()), time.perf_counter()
        self._forget_before(now - self.seconds)
        look = Look(self._reader, grey_of(frame))
        reading = look.reading()
        if reading.number is None and look.candidates:
            self._began = now if self._began is None else self._began
            self._kept.append((now, max(look.candidates, key=lambda one: one.likeness)))
            reading = self._together() or reading
        took_ms = (time.perf_counter() - start) * 1000.0
        return Reading(reading.number, reading.how, reading.evidence,
                       look.fields[0].corners() if look.fields else None, took_ms, reading.hint, reading.refused)

    def _forget_before(self, moment: float) -> None:
        while self._kept and self._kept[0][0] < moment:
            self._kept.popleft()
        if not self._kept:
            self._began = None

    def _together(self) -> Reading | None:
        count = len(self._kept)
        if count < 2:
            return None
        worth = 1.0 / (1.0 + _SHARED_FAULTS * (count - 1))
        kept = [candidate for _, candidate in self._kept]
        table = np.sum([candidate.table for candidate in kept], axis=0) * np.float32(worth)
        start, stop = (float(np.mean([getattr(one, name) for one in kept])) for name in ("start", "stop"))
        # The same texture seen again is no more like a label, so likeness is not added up.
        like = float(np.mean([one.likeness for one in kept]))
        joint = candidate_of_table(table, start, stop, like, self._reader.issued)
        if not is_sure(joint, self._reader.issued):
            return None
        return Reading(joint.match.digits, "matched", joint.match.evidence)
