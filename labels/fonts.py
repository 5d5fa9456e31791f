"""The two faces a label is set in: Bitstream Vera, which comes with reportlab and is embedded, so print is the same
everywhere. Its glyphs cover Western European languages.
"""

from __future__ import annotations

from functools import cache
from pathlib import Path

import reportlab
from reportlab.pdfbase import pdfmetrics
from reportlab.pdfbase.ttfonts import TTFont

REGULAR = "Vera"
BOLD = "VeraBd"


@cache
def register_fonts() -> None:
    """Make both faces known to reportlab; does nothing the second time."""
    folder = Path(reportlab.__file__).parent / "fonts"
    for name in (REGULAR, BOLD):
        pdfmetrics.registerFont(TTFont(name, str(folder / f"{name}.ttf")))


def text_width_pt(text: str, font: str, size_pt: float) -> float:
    """Return how wide a line of text is. [pt]"""
    register_fonts()
    return float(pdfmetrics.stringWidth(text, font, size_pt))
