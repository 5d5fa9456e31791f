"""Sheets of labels on Letter and A4: how many, all read, exact bars, cut marks outside the labels."""

from itertools import pairwise
from pathlib import Path

import numpy as np
import pytest
import zxingcpp
from label_checks import by_poppler, edges_of_layout

from labels.layout import LabelStock, lay_out
from labels.number import Kind, compose
from labels.page import LabelsDiffer
from labels.pdf import write_pages
from labels.raster import dots_of
from labels.sheet import PAPERS, UnknownPaper, grid, sheets
from labels.stock import PRESETS, stock_named

NUMBERS = [compose(Kind.COMPONENT, kiosk=2, serial=serial).digits for serial in range(60)]


def laid_out(count: int, stock: LabelStock) -> list:
    """Return so many labels on a stock."""
    return [lay_out(number, ["Lower roller bearing"], stock) for number in NUMBERS[:count]]


@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize("name", PRESETS)
def test_labels_stay_on_the_paper_and_apart(paper: str, name: str) -> None:
    """Every place lies inside the paper's printable part, and no two overlap."""
    places = grid(paper, stock_named(name, 600))
    corners = [places.corner(place) for place in range(places.places)]
    margin = places.stock.whole_dots(9.5)
    width, height = (places.stock.whole_dots(side) for side in PAPERS[paper])
    assert all(margin <= x <= width - margin - places.stock.width_dots for x, _ in corners)
    assert all(margin <= y <= height - margin - places.stock.height_dots for _, y in corners)
    xs, ys = sorted({x for x, _ in corners}), sorted({y for _, y in corners})
    assert all(b - a > places.stock.width_dots for a, b in pairwise(xs))
    assert all(b - a > places.stock.height_dots for a, b in pairwise(ys))


def test_many_labels_go_on_several_sheets_in_order() -> None:
    """Sixty labels of 51 x 25 mm fill two sheets of 27 and six places of a third."""
    pages = sheets(laid_out(60, LabelStock()), "Letter")
    assert [len(page.placed) for page in pages] == [27, 27, 6]
    assert [label.layout.number.digits for page in pages for label in page.placed] == NUMBERS


def test_used_places_of_the_first_sheet_stay_empty() -> None:
    """A sheet of which three labels are gone is used on from the fourth place."""
    page = sheets(laid_out(2, LabelStock()), "A4", used_places=3)[0]
    places = grid("A4", LabelStock())
    assert [(label.x, label.y) for label in page.placed] == [places.corner(3), places.corner(4)]


@pytest.mark.parametrize("paper", PAPERS)
def test_whole_sheet_reads_and_its_bars_are_exact(tmp_path: Path, paper: str) -> None:
    """A sheet at 600 dots per inch, rendered by an outside program: all labels read, every edge on its dot."""
    page = sheets(laid_out(27, stock_named("51x25", 600)), paper)[0]
    write_pages([page], tmp_path / "sheet.pdf")
    picture = by_poppler(tmp_path / "sheet.pdf", 600)
    assert sorted(found.text for found in zxingcpp.read_barcodes(picture)) == sorted(NUMBERS[:27])
    for label in page.placed:
        bar = label.layout.bars[0]
        row = picture[picture.shape[0] - label.y - bar.y - bar.height // 2]
        dark = row[label.x : label.x + label.layout.stock.width_dots] < 128
        edges = [int(edge) + 1 for edge in np.flatnonzero(np.diff(dark.astype(int)))]
        assert edges == edges_of_layout(label.layout)


def test_cut_marks_leave_the_labels_alone() -> None:
    """No mark lies on a label; each label has two strokes at each of its four corners."""
    page = sheets(laid_out(27, LabelStock()), "Letter")[0]
    stock = LabelStock()
    for label in page.placed:
        for mark in page.marks:
            apart = (mark.x + mark.width <= label.x or mark.x >= label.x + stock.width_dots
                     or mark.y + mark.height <= label.y or mark.y >= label.y + stock.height_dots)
            assert apart
    assert len(page.marks) == 27 * 8 + 3


def test_ruler_is_50_mm_long() -> None:
    """The ruler under the labels measures 50 mm within half a dot, so a scaled print shows."""
    stock = stock_named("51x25", 600)
    page = sheets(laid_out(1, stock), "Letter")[0]
    ruler = max(page.marks, key=lambda mark: mark.width)
    assert stock.mm(ruler.width) == pytest.approx(50.0, abs=stock.mm(1))


def test_ruler_and_its_note_are_drawn_apart() -> None:
    """The bottom line of the sheet holds ruler and note, side by side."""
    page = sheets(laid_out(1, stock_named("51x25", 300)), "Letter")[0]
    ink = dots_of(page)
    ruler = max(page.marks, key=lambda mark: mark.width)
    rows = ink[-ruler.y - 20 : -ruler.y + 10]
    assert not rows[:, ruler.x + ruler.width + 2 : ruler.x + ruler.width + 20].any()
    assert rows[:, ruler.x + ruler.width + 20 :].any()


def test_other_paper_is_refused() -> None:
    """Only papers whose size is known are set."""
    with pytest.raises(UnknownPaper, match="Letter or A4"):
        grid("Tabloid", LabelStock())


def test_label_larger_than_the_paper_is_refused() -> None:
    """A label that does not fit on the paper is not cut off."""
    with pytest.raises(UnknownPaper, match="does not fit"):
        grid("A4", LabelStock(250, 25))


def test_more_used_places_than_a_sheet_has_are_refused() -> None:
    """A slip in the number of used places does not print into nothing."""
    with pytest.raises(UnknownPaper, match="holds 27"):
        sheets(laid_out(1, LabelStock()), "A4", used_places=27)


def test_mixed_stocks_are_refused() -> None:
    """One sheet, one size."""
    with pytest.raises(LabelsDiffer):
        sheets([lay_out(NUMBERS[0]), lay_out(NUMBERS[1], stock=LabelStock(70, 30))], "A4")


def test_no_labels_make_no_sheet() -> None:
    """Nothing asked, nothing printed."""
    assert sheets([], "A4") == []
