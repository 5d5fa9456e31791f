"""A label set out on the printer's dots, checked by two independent renderers and two independent decoders."""

import subprocess
from pathlib import Path

import cv2
import numpy as np
import pytest
import zxingcpp
from pyzbar.pyzbar import ZBarSymbol, decode

from labels.errors import NotALabelNumber
from labels.layout import LabelDoesNotFit, LabelStock, lay_out
from labels.number import Kind, compose
from labels.pdf import picture_of, write_labels

STOCKS = [(51, 25), (70, 30), (38, 19)]
RESOLUTIONS = [203, 300, 600]
NUMBER = compose(Kind.COMPONENT, kiosk=1, serial=42).digits


def by_pdftoppm(path: Path, dots_per_inch: int) -> np.ndarray:
    """Return the first page as poppler prints it."""
    subprocess.run(["pdftoppm", "-r", str(dots_per_inch), "-gray", str(path), str(path.with_suffix(""))], check=True)
    return cv2.imread(str(next(path.parent.glob(path.stem + "-*.pgm"))), cv2.IMREAD_GRAYSCALE)


@pytest.mark.parametrize("dots_per_inch", RESOLUTIONS)
@pytest.mark.parametrize("size", STOCKS, ids=lambda size: f"{size[0]}x{size[1]}")
@pytest.mark.parametrize("render", [picture_of, by_pdftoppm], ids=["pdfium", "poppler"])
def test_every_bar_is_whole_dots_and_reads(tmp_path: Path, size, dots_per_inch: int, render) -> None:
    """Each bar and gap is an exact multiple of X in dots, in both renderers, and both decoders read the number."""
    layout = lay_out(NUMBER, ["Upper shaft bearing, left"], LabelStock(*size, dots_per_inch))
    path = tmp_path / "label.pdf"
    write_labels([layout], path)
    picture = render(path, dots_per_inch=dots_per_inch)
    bar = layout.bars[0]
    row = picture[picture.shape[0] - bar.y - bar.height // 2] < 128
    edges = np.flatnonzero(np.diff(row.astype(int))) + 1
    assert [int(edge) for edge in edges] == [edge for bar in layout.bars for edge in (bar.x, bar.x + bar.width)]
    assert [found.data.decode() for found in decode(picture, symbols=[ZBarSymbol.CODE128])] == [NUMBER]
    assert [found.text for found in zxingcpp.read_barcodes(picture)] == [NUMBER]


def test_quiet_zones_are_ten_modules_iso_15417() -> None:
    """ISO/IEC 15417 asks for 10 X of light on each side of the symbol."""
    for size in STOCKS:
        layout = lay_out(NUMBER, [], LabelStock(*size))
        last = layout.bars[-1]
        assert layout.bars[0].x >= 10 * layout.module_dots
        assert layout.stock.width_dots - last.x - last.width >= 10 * layout.module_dots


def test_symbol_is_ninety_modules_wide() -> None:
    """Five digit pairs in code set C: start, five, check, stop = 11 x 7 + 13 modules (ISO/IEC 15417)."""
    layout = lay_out(NUMBER)
    last = layout.bars[-1]
    assert last.x + last.width - layout.bars[0].x == 90 * layout.module_dots


def test_too_narrow_label_is_refused_with_the_reason() -> None:
    """A label on which the bars would be too thin says so instead of printing it."""
    with pytest.raises(LabelDoesNotFit, match="too narrow at 203 dots per inch"):
        lay_out(NUMBER, [], LabelStock(25, 25))


def test_too_many_lines_are_refused_with_the_reason() -> None:
    """Text never eats the bars."""
    with pytest.raises(LabelDoesNotFit, match="Use fewer lines"):
        lay_out(NUMBER, ["one", "two", "three", "four", "five"], LabelStock(51, 25))


def test_long_text_is_refused_rather_than_made_unreadable() -> None:
    """Type never becomes smaller than can be read at arm's length."""
    with pytest.raises(LabelDoesNotFit, match="Shorten it"):
        lay_out(NUMBER, ["a very long name for a position that nobody would ever read on a label of this size"])


def test_wrong_check_digit_is_refused_before_drawing() -> None:
    """A slip of the finger never becomes a good label for another part."""
    wrong = NUMBER[:-1] + str((int(NUMBER[-1]) + 1) % 10)
    with pytest.raises(NotALabelNumber):
        lay_out(wrong)
