"""The page of command symbols: each reads as its number by an independent decoder, alone and among the others."""

from pathlib import Path

import pypdf
import pytest
import zxingcpp

from labels.card import COLUMNS, CardTooFull, card_page
from labels.number import Kind, compose
from labels.pdf import picture_of, write_pages
from labels.sheet import PAPERS, UnknownPaper

COMMANDS = [(compose(Kind.COMMAND_CARD, kiosk=1, serial=serial).digits, f"Command {serial}") for serial in range(1, 26)]
DOTS_PER_INCH = 300


@pytest.mark.parametrize("paper", PAPERS)
def test_card__every_symbol__reads_as_its_number(paper: str, tmp_path: Path) -> None:
    """Twenty-five symbols on one page of the paper's size, all of them found by zxing-cpp."""
    write_pages([card_page("Command card", COMMANDS, paper)], tmp_path / "card.pdf")
    found = zxingcpp.read_barcodes(picture_of(tmp_path / "card.pdf", dots_per_inch=DOTS_PER_INCH),
                                   formats=zxingcpp.BarcodeFormat.Code128)
    assert sorted(one.text for one in found) == sorted(number for number, _ in COMMANDS)


def test_card__words__stand_on_one_page_of_the_papers_size(tmp_path: Path) -> None:
    """The words are text, so that the page can be searched and printed sharp; A4 by ISO 216."""
    write_pages([card_page("Command card", COMMANDS, "A4")], tmp_path / "card.pdf")
    (page,) = pypdf.PdfReader(tmp_path / "card.pdf").pages
    assert [round(float(side) / 72 * 25.4) for side in (page.mediabox.width, page.mediabox.height)] == [210, 297]
    text = page.extract_text()
    assert all(words in text for _, words in COMMANDS)


def test_card__frames__stay_clear_of_the_quiet_zones() -> None:
    """ISO/IEC 15417 wants ten modules of white on either side; the frames leave more."""
    page = card_page("Command card", COMMANDS, "A4")
    bars = [mark for mark in page.marks if mark.width > 1 and mark.height < page.height_dots / 12 and mark.height > 100]
    frames = [mark for mark in page.marks if mark.width == 1]
    row = [mark for mark in bars if mark.y == bars[0].y]
    assert len({bar.y for bar in bars}) == -(-len(COMMANDS) // COLUMNS)
    assert min(abs(bar.x + edge - frame.x) for bar in row for frame in frames for edge in (0, bar.width)) >= 10 * 4


@pytest.mark.parametrize(("commands", "paper", "error"), [
    (COMMANDS * 3, "A4", CardTooFull), (COMMANDS, "A5", UnknownPaper),
    ([(COMMANDS[0][0], "a command with far too many words for its little box on the page")], "A4", CardTooFull),
])
def test_card__that_does_not_fit__is_refused(commands: list, paper: str, error: type) -> None:
    """Nothing is printed illegibly small."""
    with pytest.raises(error):
        card_page("Command card", commands, paper)
