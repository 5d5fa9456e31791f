"""The label stock: size of a label, resolution of the printer, and how much its bars spread. Pure."""

from __future__ import annotations

import math
import re
from dataclasses import dataclass

from labels.errors import LabelError

MM_PER_INCH = 25.4
POINTS_PER_INCH = 72.0
# Width and height of the stocks that label printers' rolls come in. [mm]
PRESETS: dict[str, tuple[float, float]] = {"51x25": (51.0, 25.0), "70x30": (70.0, 30.0), "38x19": (38.0, 19.0)}
# Two heads of thermal printers and a laser printer. [dots per inch]
RESOLUTIONS = (203, 300, 600)
_OWN_SIZE = re.compile(r"(\d{1,3}(?:\.\d{1,2})?)x(\d{1,3}(?:\.\d{1,2})?)")
_LEAST_MM, _MOST_MM = 10.0, 300.0


class UnknownStock(LabelError, ValueError):
    """The text names no size of label."""


@dataclass(frozen=True)
class LabelStock:
    """A size of label and the printer's resolution. Default: the yard's ordinary label.

    Attributes:
        width_mm, height_mm: Size of one label.
        dots_per_inch: The printer's resolution.
        bar_reduction_dots: Each bar is drawn this much narrower, for printers whose bars spread. [dots]
    """

    width_mm: float = 51.0
    height_mm: float = 25.0
    dots_per_inch: int = 203
    bar_reduction_dots: int = 0

    @property
    def width_dots(self) -> int:
        """Whole dots across."""
        return self.whole_dots(self.width_mm)

    @property
    def height_dots(self) -> int:
        """Whole dots down."""
        return self.whole_dots(self.height_mm)

    def whole_dots(self, length_mm: float) -> int:
        """Return how many whole dots a length holds."""
        return math.floor(length_mm * self.dots_per_inch / MM_PER_INCH + 1e-9)

    def mm(self, dots: float) -> float:
        """Return dots as mm."""
        return dots * MM_PER_INCH / self.dots_per_inch


def stock_named(name: str, dots_per_inch: int = 203, bar_reduction_dots: int = 0) -> LabelStock:
    """Return the stock of a name: a preset or the yard's own size.

    Args:
        name: Width and height, '51x25' or '60.5x40'. [mm]
        dots_per_inch: The printer's resolution.
        bar_reduction_dots: See `LabelStock`. [dots]

    Raises:
        UnknownStock: the name is no size, or none that a label can have.
    """
    match = _OWN_SIZE.fullmatch(name.strip().lower())
    if match is None:
        raise UnknownStock(f"'{name}' is no size of label. Write width and height in mm, like 51x25.")
    width_mm, height_mm = float(match[1]), float(match[2])
    if not (_LEAST_MM <= width_mm <= _MOST_MM and _LEAST_MM <= height_mm <= _MOST_MM):
        raise UnknownStock(f"A label of {name} mm cannot be printed: sides are {_LEAST_MM:g} to {_MOST_MM:g} mm.")
    if not 100 <= dots_per_inch <= 2400:
        raise UnknownStock(f"A printer of {dots_per_inch} dots per inch is not known; 100 to 2400 can be set.")
    return LabelStock(width_mm, height_mm, dots_per_inch, bar_reduction_dots)
