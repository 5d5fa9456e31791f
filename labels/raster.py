"""Draw a page as the printer's own dots, and write them as a 1-bit PNG or as printer raster.

Bars, marks and arrows are set dot by dot, so no renderer stands between the layout and the print. Printer raster is
PWG 5102.4 (PWG Raster Format): a page header of 1,796 bytes in network order, then lines packed in runs.
"""

from __future__ import annotations

import struct
from collections.abc import Iterable, Iterator
from functools import cache
from io import BytesIO
from pathlib import Path

import cv2
import numpy as np
from numpy.typing import NDArray
from PIL import Image, ImageDraw, ImageFont

from labels.fonts import font_file
from labels.layout import Arrow, Bar, TextItem
from labels.page import Mark, Page
from labels.pdf import write_file
from labels.stock import MM_PER_INCH, POINTS_PER_INCH

_SYNC_WORD = b"RaS2"
_HEADER_BYTES = 1796
# PWG 5102.4, table of values of cupsColorSpace: 3 is 'black', where a set bit is ink.
_COLOR_SPACE_BLACK = 3
_HIGHEST_RUN = 128
_HIGHEST_REPEAT = 256


def dots_of(page: Page) -> NDArray[np.bool_]:
    """Return the page's dots as they are printed.

    Returns:
        bool, shape (height_dots, width_dots), True where there is ink, the upper row first. [-]
    """
    picture = Image.new("1", (page.width_dots, page.height_dots), 1)
    draw = ImageDraw.Draw(picture)
    per_mm = page.dots_per_inch / MM_PER_INCH
    for label in page.placed:
        for text in label.layout.texts:
            centre = label.x + label.layout.stock.width_mm * per_mm / 2
            _draw_text(draw, text, centre, label.y, page)
    for note in page.notes:
        _draw_text(draw, note.item, note.centre_mm * per_mm, 0, page)
    ink = ~np.asarray(picture, dtype=bool)
    for mark in page.marks:
        _set_box(ink, mark, 0, 0)
    for label in page.placed:
        for bar in label.layout.bars:
            _set_box(ink, bar, label.x, label.y)
        for arrow in label.layout.arrows:
            _set_arrow(ink, arrow, label.x, label.y, per_mm)
    return ink


def _draw_text(draw: ImageDraw.ImageDraw, text: TextItem, centre: float, bottom: int, page: Page) -> None:
    font = _face(text.font, text.size_pt * page.dots_per_inch / POINTS_PER_INCH)
    baseline = page.height_dots - bottom - text.baseline_mm * page.dots_per_inch / MM_PER_INCH
    draw.text((round(centre), round(baseline)), text.text, font=font, fill=0, anchor="ms")


@cache
def _face(font: str, size_px: float) -> ImageFont.FreeTypeFont:
    return ImageFont.truetype(str(font_file(font)), size_px, layout_engine=ImageFont.Layout.BASIC)


def _set_box(ink: NDArray[np.bool_], box: Bar | Mark, left: int, bottom: int) -> None:
    height = ink.shape[0]
    top = height - bottom - box.y - box.height
    ink[max(0, top) : height - bottom - box.y, left + box.x : left + box.x + box.width] = True


def _set_arrow(ink: NDArray[np.bool_], arrow: Arrow, left: int, bottom: int, per_mm: float) -> None:
    height = ink.shape[0]
    outline = np.array([(left + x * per_mm, height - 1 - bottom - y * per_mm) for x, y in arrow.outline_mm])
    drawn = np.zeros(ink.shape, np.uint8)
    cv2.fillPoly(drawn, [np.rint(outline).astype(np.int32)], 1)
    ink |= drawn.astype(bool)


def png_bytes(page: Page) -> bytes:
    """Return the page as a PNG of one bit a dot, which carries the resolution."""
    target = BytesIO()
    Image.fromarray(~dots_of(page)).save(target, "PNG", dpi=(page.dots_per_inch, page.dots_per_inch), optimize=True)
    return target.getvalue()


def write_png(page: Page, path: Path) -> None:
    """Write the page as PNG.

    Raises:
        LabelNotWritten: the file cannot be written.
    """
    write_file(path, png_bytes(page))


def pwg_raster(pages: Iterable[Page]) -> bytes:
    """Return pages as printer raster of one bit a dot, black.

    Source:
        PWG 5102.4-2012, PWG Raster Format
    """
    return _SYNC_WORD + b"".join(_raster_page(page) for page in pages)


def _raster_page(page: Page) -> bytes:
    lines = np.packbits(dots_of(page), axis=1)
    return _page_header(page, lines.shape[1]) + b"".join(packed_lines(lines))


def _page_header(page: Page, bytes_per_line: int) -> bytes:
    """Return the page header; the offsets are those of PWG 5102.4, everything not set here is zero there."""
    header = bytearray(_HEADER_BYTES)
    header[0:9] = b"PwgRaster"
    size_pt = [round(mm / MM_PER_INCH * POINTS_PER_INCH) for mm in (page.width_mm, page.height_mm)]
    words = {
        276: (page.dots_per_inch, page.dots_per_inch),
        340: (1,),  # NumCopies; the job's own copies are asked for through IPP
        352: size_pt,
        372: (page.width_dots, page.height_dots),
        384: (1, 1, bytes_per_line, 0, _COLOR_SPACE_BLACK),  # bits a colour, bits a dot, bytes a line, order, space
        420: (1,),  # NumColors
        452: (1, 1, 1),  # TotalPageCount, CrossFeedTransform, FeedTransform
        480: (2**24 - 1,),  # AlternatePrimary: white
    }
    for offset, values in words.items():
        struct.pack_into(f">{len(values)}I", header, offset, *values)
    size_name = f"om_label_{page.width_mm:g}x{page.height_mm:g}mm".encode()
    header[1732 : 1732 + len(size_name)] = size_name
    return bytes(header)


def packed_lines(lines: NDArray[np.uint8]) -> Iterator[bytes]:
    """Give each line packed, equal ones once with a count before them.

    Args:
        lines: uint8, shape (rows, bytes a line). [-]

    Source:
        PWG 5102.4-2012, compression of pages
    """
    row = 0
    while row < len(lines):
        again = row + 1
        while again < len(lines) and again - row < _HIGHEST_REPEAT and np.array_equal(lines[again], lines[row]):
            again += 1
        yield bytes([again - row - 1]) + _packed(lines[row].tobytes())
        row = again


def _packed(line: bytes) -> bytes:
    """Return a line's bytes as runs: n - 1 and a byte for n equal ones, 257 - n and n bytes for different ones."""
    out, at = bytearray(), 0
    while at < len(line):
        end = at + 1
        while end < len(line) and end - at < _HIGHEST_RUN and line[end] == line[at]:
            end += 1
        if end - at == 1:
            while end < len(line) and end - at < _HIGHEST_RUN and (end + 1 == len(line) or line[end] != line[end + 1]):
                end += 1
        if end - at == 1 or line[at] == line[at + 1]:
            out += bytes([end - at - 1, line[at]])
        else:
            out += bytes([257 - (end - at)]) + line[at:end]
        at = end
    return bytes(out)
