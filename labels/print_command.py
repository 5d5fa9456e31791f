"""`python -m labels print`: labels as PDF, PNG or SVG, one a page, two side by side or many on a sheet."""

from __future__ import annotations

import argparse
from collections.abc import Sequence
from pathlib import Path

from labels.errors import LabelError
from labels.layout import lay_out
from labels.page import Page, single, two_up
from labels.pdf import write_pages
from labels.printer import Printer, describe
from labels.raster import write_png
from labels.sheet import PAPERS, sheets
from labels.stock import stock_named
from labels.svg import write_svg

HELP = "print labels to a file or to a printer"
LOGBOOK_LINE = "Logbook"


class NowhereToPrint(LabelError):
    """The file's name says no kind of file that labels are written as."""


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Declare the command's options."""
    parser.add_argument("number", nargs="+", help="label number, ten digits")
    target = parser.add_mutually_exclusive_group(required=True)
    target.add_argument("--to", type=Path, metavar="FILE", help="FILE.pdf, FILE.png or FILE.svg")
    target.add_argument("--printer", metavar="URI", help="an IPP printer or queue: ipp://host/ipp/print")
    parser.add_argument("--line", action="append", default=[], metavar="TEXT", help="a line over the bars; repeatable")
    parser.add_argument("--stock", default="51x25", metavar="WxH", help="size of a label in mm (51x25)")
    parser.add_argument("--dpi", type=int, default=203, help="the printer's dots per inch (203)")
    parser.add_argument("--bar-reduction", type=int, default=0, metavar="DOTS", help="draw each bar this much narrower")
    parser.add_argument("--this-way-up", action="store_true", help="arrows beside the number")
    parser.add_argument("--two-up", action="store_true", help="beside each label a second one for the logbook")
    parser.add_argument("--sheet", choices=sorted(PAPERS), help="many labels on a sheet, with cut marks")
    parser.add_argument("--copies", type=int, default=1, help="how often the printer prints it (1)")


def run(options: argparse.Namespace) -> int:
    """Print what was asked for.

    Raises:
        LabelError: a number, the stock, the file or the printer is not as it must be; its sentence says why.
    """
    pages = pages_of(options)
    if options.printer:
        job = Printer(options.printer).print_pages(pages, title=f"Label {options.number[0]}", copies=options.copies)
        print(describe(job))
    else:
        write(pages, options.to)
        print(options.to)
    return 0


def pages_of(options: argparse.Namespace) -> list[Page]:
    """Return the pages that the options ask for."""
    stock = stock_named(options.stock, options.dpi, options.bar_reduction)
    layouts = [lay_out(number, options.line, stock, options.this_way_up) for number in options.number]
    if options.sheet:
        return sheets(layouts, options.sheet)
    if options.two_up:
        copies = [lay_out(number, [LOGBOOK_LINE, *options.line], stock) for number in options.number]
        return [two_up(part, copy) for part, copy in zip(layouts, copies, strict=True)]
    return [single(layout) for layout in layouts]


def write(pages: Sequence[Page], path: Path) -> None:
    """Write pages to the kind of file that the name says; pictures hold one page.

    Raises:
        NowhereToPrint: another kind of file, or several pages for a picture.
        LabelNotWritten: the file cannot be written.
    """
    kind = path.suffix.lower()
    if kind == ".pdf":
        write_pages(pages, path)
        return
    if kind not in (".png", ".svg"):
        raise NowhereToPrint(f"Labels are written as .pdf, .png or .svg; '{path.name}' is none of these.")
    if len(pages) > 1:
        raise NowhereToPrint(f"A {kind} file holds one page and these are {len(pages)}: write them to a .pdf file.")
    (write_png if kind == ".png" else write_svg)(pages[0], path)
