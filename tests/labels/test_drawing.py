"""Pages of labels drawn as PDF, PNG, SVG and printer raster: every bar whole dots, by outside renderers; all read."""

import struct
import xml.etree.ElementTree as ElementTree
from pathlib import Path

import cv2
import numpy as np
import pytest
import zxingcpp
from hypothesis import given, settings
from hypothesis import strategies as st
from label_checks import (
    by_ghostscript,
    by_poppler,
    edges_in_picture,
    edges_of_layout,
    page_size,
    unpacked_raster,
    with_light_round,
)
from PIL import Image
from pyzbar.pyzbar import ZBarSymbol, decode

from labels.layout import LabelStock, lay_out
from labels.number import Kind, compose
from labels.page import LabelsDiffer, single, two_up
from labels.pdf import LabelNotWritten, picture_of, write_labels, write_pages
from labels.raster import dots_of, packed_lines, pwg_raster, write_png
from labels.reading import Reader
from labels.stock import PRESETS, RESOLUTIONS, stock_named
from labels.svg import svg_text

NUMBER = compose(Kind.COMPONENT, kiosk=1, serial=42).digits
OTHER = compose(Kind.COMPONENT, kiosk=1, serial=43).digits
LINES = ["Upper shaft bearing, left", "Sweeper 7"]
EVERY_STOCK = [stock_named(name, dpi) for name in PRESETS for dpi in RESOLUTIONS]
DECODERS = {
    "zbar": lambda picture: [found.data.decode() for found in decode(picture, symbols=[ZBarSymbol.CODE128])],
    "zxing": lambda picture: [found.text for found in zxingcpp.read_barcodes(picture)],
    "own": lambda picture: [Reader(None).read(picture).number],
}


def stock_id(stock: LabelStock) -> str:
    """Name a test's row."""
    return f"{stock.width_mm:g}x{stock.height_mm:g}-{stock.dots_per_inch}"


@pytest.mark.parametrize("stock", EVERY_STOCK, ids=stock_id)
@pytest.mark.parametrize("render", [picture_of, by_poppler, by_ghostscript], ids=["pdfium", "poppler", "ghostscript"])
def test_every_bar_is_whole_dots_in_every_renderer(tmp_path: Path, stock: LabelStock, render) -> None:
    """The bars of the PDF come out of three renderers exactly on the dots they were set on, at the label's size."""
    layout = lay_out(NUMBER, LINES, stock)
    path = tmp_path / "label.pdf"
    write_labels([layout], path)
    picture = render(path, dots_per_inch=stock.dots_per_inch)
    assert picture.shape[:2] == page_size(single(layout))
    assert edges_in_picture(picture, layout) == edges_of_layout(layout)


@pytest.mark.parametrize("decoder", DECODERS)
@pytest.mark.parametrize("stock", EVERY_STOCK, ids=stock_id)
def test_every_size_and_resolution_reads_by_every_decoder(stock: LabelStock, decoder: str) -> None:
    """Sizes x resolutions x decoders: the drawn dots read as the number they were drawn for."""
    picture = np.where(dots_of(single(lay_out(NUMBER, LINES, stock, this_way_up=True))), 0, 255).astype(np.uint8)
    assert DECODERS[decoder](with_light_round(picture)) == [NUMBER]


@pytest.mark.parametrize("dots_per_inch", RESOLUTIONS)
def test_narrowed_bars_read_before_they_spread(dots_per_inch: int) -> None:
    """A bar-width reduction of one dot leaves a symbol that both outside decoders read."""
    page = single(lay_out(NUMBER, [], LabelStock(dots_per_inch=dots_per_inch, bar_reduction_dots=1)))
    picture = with_light_round(np.where(dots_of(page), 0, 255).astype(np.uint8))
    assert DECODERS["zbar"](picture) == DECODERS["zxing"](picture) == [NUMBER]


@pytest.mark.parametrize("serial", range(0, 1000, 83))
def test_modules_equal_those_of_an_independent_encoder(serial: int) -> None:
    """zxing-cpp's own writer sets the same bars for the same digits (ISO/IEC 15417)."""
    number = compose(Kind.COMPONENT, kiosk=9, serial=serial).digits
    layout = lay_out(number)
    row = dots_of(single(layout))[-layout.bars[0].y - 1]
    first, last = layout.bars[0].x, layout.bars[-1].x + layout.bars[-1].width
    ours = row[first : last : layout.module_dots]
    made = zxingcpp.create_barcode(number, zxingcpp.BarcodeFormat.Code128)
    theirs = np.array(zxingcpp.write_barcode_to_image(made, scale=1, add_quiet_zones=False))
    dark = theirs[theirs.shape[0] // 2] < 128
    assert ours.tolist() == dark[np.flatnonzero(dark)[0] : np.flatnonzero(dark)[-1] + 1].tolist()


def test_png_is_one_bit_and_carries_its_resolution(tmp_path: Path) -> None:
    """A picture of a label prints at its true size."""
    page = single(lay_out(NUMBER, LINES, LabelStock(dots_per_inch=300)))
    write_png(page, tmp_path / "label.png")
    with Image.open(tmp_path / "label.png") as picture:
        assert picture.mode == "1" and picture.size == (page.width_dots, page.height_dots)
        assert picture.info["dpi"] == pytest.approx((300, 300), abs=0.05)


@pytest.mark.parametrize("stock", EVERY_STOCK, ids=stock_id)
def test_ink_stays_inside_the_label_and_out_of_the_quiet_zones(stock: LabelStock) -> None:
    """Nothing is drawn on the outermost 0.5 mm nor beside the bars for 10 X."""
    layout = lay_out(NUMBER, [*LINES, "2026-03-14"], stock, this_way_up=True)
    ink = dots_of(single(layout))
    edge = stock.whole_dots(0.5)
    inner = ink[edge:-edge, edge:-edge]
    assert inner.sum() == ink.sum()
    bar, last = layout.bars[0], layout.bars[-1]
    rows = ink[ink.shape[0] - bar.y - bar.height : ink.shape[0] - bar.y]
    assert not rows[:, : bar.x].any() and not rows[:, last.x + last.width :].any()


def test_svg_sets_each_bar_on_its_dots_in_millimetres() -> None:
    """The drawing has the label's size in mm, and each bar's box lies inside its own dots."""
    layout = lay_out(NUMBER, ["Left & right <1>"])
    root = ElementTree.fromstring(svg_text(single(layout)))
    width_mm = float(root.attrib["width"].removesuffix("mm"))
    assert width_mm == pytest.approx(layout.stock.mm(layout.stock.width_dots), abs=1e-3)
    boxes = [box.attrib for box in root if box.tag.endswith("rect")][1:]
    assert [(float(box["x"]), float(box["width"])) for box in boxes] == [
        (bar.x + 0.25, bar.width - 0.5) for bar in layout.bars]
    assert [text.text for text in root if text.tag.endswith("text")] == [layout.number.grouped, "Left & right <1>"]


@pytest.mark.parametrize("stock", EVERY_STOCK, ids=stock_id)
def test_printer_raster_unpacks_to_the_drawn_dots_pwg_5102_4(stock: LabelStock) -> None:
    """What the printer unpacks is dot by dot what was drawn."""
    page = single(lay_out(NUMBER, LINES, stock))
    assert np.array_equal(unpacked_raster(pwg_raster([page])), dots_of(page))


def test_two_up_has_the_part_and_the_logbook_each_on_whole_dots(tmp_path: Path) -> None:
    """Two labels side by side read both, and the second one's bars are exact too."""
    part, logbook = lay_out(NUMBER, LINES), lay_out(NUMBER, ["Logbook", "Sweeper 7"])
    page = two_up(part, logbook)
    write_pages([page], tmp_path / "two.pdf")
    picture = picture_of(tmp_path / "two.pdf", dots_per_inch=203)
    assert edges_in_picture(picture, part) == [*edges_of_layout(part), *edges_of_layout(logbook, page.placed[1].x)]
    assert DECODERS["zxing"](picture) == [NUMBER, NUMBER]


def test_two_labels_of_different_stock_are_refused() -> None:
    """A page has one resolution."""
    with pytest.raises(LabelsDiffer):
        two_up(lay_out(NUMBER), lay_out(OTHER, stock=LabelStock(dots_per_inch=300)))


def test_folder_that_is_not_there_is_a_sentence(tmp_path: Path) -> None:
    """A label that cannot be written says where."""
    with pytest.raises(LabelNotWritten, match="cannot be written to"):
        write_labels([lay_out(NUMBER)], tmp_path / "missing" / "label.pdf")


def test_page_that_is_no_pdf_is_a_sentence(tmp_path: Path) -> None:
    """A label's file that was damaged is not read back as something else."""
    (tmp_path / "label.pdf").write_bytes(b"%PDF-1.4 rubbish")
    with pytest.raises(LabelNotWritten, match="cannot be read back"):
        picture_of(tmp_path / "label.pdf")


def test_png_reads_from_the_file(tmp_path: Path) -> None:
    """The file itself, opened by another library, reads as the number."""
    write_png(single(lay_out(NUMBER)), tmp_path / "label.png")
    assert DECODERS["zbar"](cv2.imread(str(tmp_path / "label.png"), cv2.IMREAD_GRAYSCALE)) == [NUMBER]


@settings(max_examples=200)
@given(st.binary(min_size=1, max_size=700), st.integers(1, 400))
def test_printer_raster_packs_any_line_pwg_5102_4(line: bytes, times: int) -> None:
    """Runs, single bytes and repeated lines of whatever dots come back as they were."""
    lines = np.repeat(np.frombuffer(line, np.uint8)[None, :], times, axis=0)
    page = single(lay_out(NUMBER))
    header = bytearray(pwg_raster([page])[: 4 + 1796])
    struct.pack_into(">2I", header, 4 + 372, len(line) * 8, times)
    struct.pack_into(">I", header, 4 + 392, len(line))
    packed = bytes(header) + b"".join(packed_lines(lines))
    assert np.array_equal(np.packbits(unpacked_raster(packed), axis=1), lines)
