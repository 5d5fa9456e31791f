"""One picture in, one label number or none out: the ladder, cheapest first, stopping at the first sure answer.

1. plain: zbar on the part of the frame where bars were found.
2. deskewed: zbar on that part turned upright, straightened and enlarged.
3. averaged: zbar on the mean of the straightened rows.
4. matched: the profile against every issued number, or without an issued set against all well-formed numbers.
5. plain again on the whole frame, for symbols that the search for bar fields missed.

A decoded text must be a label number with the right check digit and, where an issued set is given, issued.
"""

from __future__ import annotations

import time
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Literal

import cv2
import numpy as np

from labels.number import LabelNumber
from labels.reading import advice
from labels.reading.arrays import Floats, Image
from labels.reading.decide import Candidate, candidates, is_sure
from labels.reading.decode import code128_texts, label_numbers
from labels.reading.locate import BarField, find_bar_fields
from labels.reading.match import IssuedIndex
from labels.reading.picture import LEAST_SIDE_PX, grey_of
from labels.reading.rectify import Crop, rectify

How = Literal["plain", "deskewed", "averaged", "matched"]

_PLAIN_MARGIN = 0.2
# The part is searched as it is only when that costs little; deskewed it is smaller and reads better anyway.
_PLAIN_PIXELS = 250_000
# A label whole enough for zbar is among the first of the boxes.
_DECODED_FIELDS = 3
# Larger frames are not searched as a whole by zbar: it would take longer than a mechanic waits.
_WHOLE_FRAME_PIXELS = 6_000_000


@dataclass(frozen=True, slots=True)
class Reading:
    """What one picture gave.

    Attributes:
        number: The label number's ten digits, None when no answer is sure.
        how: Which rung of the ladder read it; 'matched' means from a damaged label and wants a person's yes.
        evidence: How sure a matched number is: its log likelihood less that of all strings, 0 at best. [nats]
        corners: The bar field in the picture, shape (4, 2), None when none was found. [px]
        took_ms: How long it took. [ms]
        hint: What would help when nothing was read, '' when something was.
        refused: A label number that was read but is not in the issued set, '' otherwise.
    """

    number: str | None
    how: How | None = None
    evidence: float = 0.0
    corners: Floats | None = None
    took_ms: float = 0.0
    hint: str = ""
    refused: str = ""


class Reader:
    """Reads label numbers from pictures. Keeps nothing between pictures; one a thread or process is plenty.

    Args:
        issued: The yard's issued numbers, which damaged symbols may be matched against. None when unknown: then
            only numbers that both check digits vouch for are read.

    Raises:
        NotALabelNumber: an issued number is no label number.
    """

    def __init__(self, issued: Iterable[LabelNumber | str] | None = None) -> None:
        self.issued = None if issued is None else IssuedIndex(issued)

    def read(self, image: Image) -> Reading:
        """Return the label number in a picture.

        Args:
            image: uint8, shape (height, width, 3) BGR or (height, width) grey.

        Raises:
            ImageUnreadable: this is no picture.
        """
        start = time.perf_counter()
        look = Look(self, grey_of(image))
        reading = look.reading()
        return _timed(reading, start)


def _timed(reading: Reading, start: float) -> Reading:
    took_ms = (time.perf_counter() - start) * 1000.0
    return Reading(reading.number, reading.how, reading.evidence, reading.corners, took_ms, reading.hint,
                   reading.refused)


class Look:
    """One look at one picture, with what each rung found out for the next.

    Args:
        reader: Who looks.
        grey: The picture, uint8, shape (height, width).
    """

    def __init__(self, reader: Reader, grey: Image) -> None:
        self._issued = reader.issued
        self.grey = grey
        self.fields: list[BarField] = []
        self.crops: list[Crop] = []
        self.candidates: list[Candidate] = []
        self._refused = ""

    def reading(self) -> Reading:
        """Climb the ladder."""
        if min(self.grey.shape) < LEAST_SIDE_PX:
            return Reading(None, hint=advice.NO_LABEL)
        self.fields = find_bar_fields(self.grey)
        for field in self.fields:
            found = self._decoded(field) or self._matched()
            if found is not None:
                return found
        return self._whole_frame() or Reading(
            None, corners=self.fields[0].corners() if self.fields else None,
            hint=advice.hint(self.grey, self.crops, bool(self._refused)), refused=self._refused)

    def _accepted(self, numbers: list[str]) -> str | None:
        """Return the one number that may be believed; two different ones in one place are none."""
        known = [one for one in numbers if self._issued is None or one in self._issued]
        if not known and numbers:
            self._refused = numbers[0]
        return known[0] if len(known) == 1 else None

    def _decoded(self, field: BarField) -> Reading | None:
        """Climb the rungs of the general decoder."""
        part = _upright_part(self.grey, field)
        is_cheap = not self.crops and part.size <= _PLAIN_PIXELS
        number = self._accepted(label_numbers(part)) if is_cheap else None
        if number:
            return Reading(number, "plain", corners=field.corners())
        crop = rectify(self.grey, field)
        self.crops.append(crop)
        if len(self.crops) > _DECODED_FIELDS:
            return None
        number = self._accepted(label_numbers(_enlarged(crop.rows)))
        if number:
            return Reading(number, "deskewed", corners=field.corners())
        number = self._accepted(label_numbers(_enlarged(crop.strips.mean(axis=0, keepdims=True))))
        if number:
            return Reading(number, "averaged", corners=field.corners())
        return None

    def _matched(self) -> Reading | None:
        """Match the newest crop."""
        if self._refused:
            # Read well, but not issued: matching could only make another number of it.
            return None
        crop = self.crops[-1]
        for candidate in candidates(crop, self._issued):
            self.candidates.append(candidate)
            if is_sure(candidate, self._issued):
                return Reading(candidate.match.digits, "matched", candidate.match.evidence,
                               crop.field.corners())
        return None

    def _whole_frame(self) -> Reading | None:
        if self.grey.size > _WHOLE_FRAME_PIXELS:
            return None
        number = self._accepted(label_numbers(self.grey))
        return Reading(number, "plain") if number else None


def _upright_part(grey: Image, field: BarField) -> Image:
    """Return the part of the frame round a box, with some quiet zone."""
    corners = field.corners()
    margin = _PLAIN_MARGIN * field.length
    left, top = np.maximum(corners.min(axis=0) - margin, 0).astype(int)
    right, bottom = (corners.max(axis=0) + margin).astype(int)
    return np.asarray(grey[top : max(bottom, top + 2), left : max(right, left + 2)])


def _enlarged(rows: Floats) -> Image:
    """Return straightened rows as a picture for zbar, twice as wide, contrast stretched."""
    low, high = np.percentile(rows, (1, 99))
    grey = np.clip((rows - low) * (255.0 / max(1.0, float(high - low))), 0, 255).astype(np.uint8)
    height = max(16, grey.shape[0])
    return np.asarray(cv2.resize(grey, (grey.shape[1] * 2, height), interpolation=cv2.INTER_CUBIC))


def read_any(image: Image) -> list[str]:
    """Return every Code 128 text in a picture, of whatever maker.

    Args:
        image: uint8, shape (height, width, 3) BGR or (height, width) grey.

    Raises:
        ImageUnreadable: this is no picture.
    """
    grey = grey_of(image)
    texts = code128_texts(grey)
    for field in find_bar_fields(grey):
        crop = rectify(grey, field)
        texts += code128_texts(_enlarged(crop.rows))
        texts += code128_texts(_enlarged(crop.strips.mean(axis=0, keepdims=True)))
    return list(dict.fromkeys(texts))
