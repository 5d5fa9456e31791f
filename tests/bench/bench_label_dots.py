"""How labels fall on the printer's dots: X per stock and resolution, and how far edges are off theirs once rendered.

The peer is python-barcode's own picture writer at the same X, written in mm to two places as its users would.
"""

from __future__ import annotations

import sys
import tempfile
from collections.abc import Iterator
from pathlib import Path

import numpy as np
from barcode.codex import Code128
from barcode.writer import ImageWriter
from figures import Figure, beside

sys.path.insert(0, str(Path(__file__).parents[1] / "data"))

from label_checks import by_ghostscript, by_poppler, edges_in_picture, edges_of_layout

from labels.layout import LabelLayout, LabelStock, lay_out
from labels.number import Kind, compose
from labels.pdf import picture_of, write_labels
from labels.stock import PRESETS, RESOLUTIONS, stock_named

NUMBERS = [compose(Kind.COMPONENT, kiosk=1, serial=serial).digits for serial in range(3)]
RENDERERS = (picture_of, by_poppler, by_ghostscript)


def run() -> list[Figure]:
    """Measure every stock at every resolution."""
    return [figure for name in PRESETS for dpi in RESOLUTIONS for figure in _of_stock(name, stock_named(name, dpi))]


def _of_stock(name: str, stock: LabelStock) -> Iterator[Figure]:
    layouts = [lay_out(number, ["Upper shaft bearing, left"], stock) for number in NUMBERS]
    module_dots = layouts[0].module_dots
    at = f"{name} mm, {stock.dots_per_inch} dpi"
    yield Figure("label-dots", f"X, {at}", module_dots, "dots")
    yield Figure("label-dots", f"X, {at}", round(stock.mm(module_dots), 4), "mm")
    ours = max(_edges_off(layout) for layout in layouts)
    theirs = max(_peer_edges_off(layout) for layout in layouts)
    yield beside("label-dots", f"edge farthest off its dot, {at}", ours, "dots", "picture writer of the library",
                 theirs, len(layouts) * len(RENDERERS))


def _edges_off(layout: LabelLayout) -> float:
    """Return the largest error of an edge over all renderers. [dots]"""
    wanted = edges_of_layout(layout)
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "label.pdf"
        write_labels([layout], path)
        found = [edges_in_picture(render(path, dots_per_inch=layout.stock.dots_per_inch), layout)
                 for render in RENDERERS]
    return float(max(np.abs(np.subtract(edges, wanted)).max() if len(edges) == len(wanted) else len(wanted)
                     for edges in found))


def _peer_edges_off(layout: LabelLayout) -> float:
    """Return the largest error of an edge from its multiple of X in the library's own picture. [dots]"""
    module_mm = round(layout.stock.mm(layout.module_dots), 2)
    picture = Code128(layout.number.digits, writer=ImageWriter()).render(
        {"module_width": module_mm, "module_height": 10, "dpi": layout.stock.dots_per_inch, "write_text": False})
    row = np.asarray(picture.convert("L"))[picture.height // 2] < 128
    edges = np.flatnonzero(np.diff(row.astype(int)))
    wanted = np.array(edges_of_layout(layout))
    return float(np.abs((edges - edges[0]) - (wanted - wanted[0])).max())
