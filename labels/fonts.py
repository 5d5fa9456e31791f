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
    for name in (REGULAR, BOLD):
        pdfmetrics.registerFont(TTFont(name, str(font_file(name))))


def text_width_pt(text: str, font: str, size_pt: float) -> float:
    """Return how wide a line of text is. [pt]"""
    register_fonts()
    return float(pdfmetrics.stringWidth(text, font, size_pt))


def font_file(font: str) -> Path:
    """Return the face's file."""
    return Path(reportlab.__file__).parent / "fonts" / f"{font}.ttf"


def missing_characters(text: str, font: str) -> str:
    """Return the characters of a text that the face cannot print, in the order in which they stand."""
    register_fonts()
    glyphs = pdfmetrics.getFont(font).face.charToGlyph
    return "".join(character for character in text if ord(character) not in glyphs)
