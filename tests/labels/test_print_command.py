"""`python -m labels print`: files of each kind, sheets, two-up, and what it refuses with a sentence and exit code 1."""

import subprocess
import sys
from pathlib import Path

import cv2
import pypdfium2
import pytest
from label_checks import by_poppler
from pyzbar.pyzbar import ZBarSymbol, decode

from labels.__main__ import main
from labels.number import Kind, compose

NUMBERS = [compose(Kind.COMPONENT, kiosk=1, serial=serial).digits for serial in (5, 6, 7)]


def read(picture) -> list[str]:
    """Return the numbers in a picture, sorted."""
    return sorted(found.data.decode() for found in decode(picture, symbols=[ZBarSymbol.CODE128]))


def test_print_to_pdf_writes_one_label_of_its_size(tmp_path: Path) -> None:
    """The contract's command, as its own process: a page of 51 x 25 mm that reads."""
    path = tmp_path / "label.pdf"
    done = subprocess.run([sys.executable, "-m", "labels", "print", NUMBERS[0], "--to", str(path)],
                          capture_output=True, text=True, check=True)
    assert done.stdout == f"{path}\n"
    width_pt, height_pt = pypdfium2.PdfDocument(str(path))[0].get_size()
    assert (width_pt / 72 * 25.4, height_pt / 72 * 25.4) == pytest.approx((51, 25), abs=0.13)
    assert read(by_poppler(path, 203)) == [NUMBERS[0]]


def test_png_has_the_lines_and_options(tmp_path: Path) -> None:
    """A PNG of another stock and resolution reads."""
    path = tmp_path / "label.png"
    assert main(["print", NUMBERS[1], "--to", str(path), "--stock", "70x30", "--dpi", "300", "--line", "Lower roller",
                 "--this-way-up", "--bar-reduction", "1"]) == 0
    picture = cv2.imread(str(path), cv2.IMREAD_GRAYSCALE)
    assert picture.shape == (354, 826) and read(picture) == [NUMBERS[1]]


def test_two_up_prints_a_second_one_for_the_logbook(tmp_path: Path) -> None:
    """Both labels of the page read."""
    assert main(["print", NUMBERS[0], "--to", str(tmp_path / "two.pdf"), "--two-up"]) == 0
    picture = by_poppler(tmp_path / "two.pdf", 406)
    left, right = picture[:, : picture.shape[1] // 2], picture[:, picture.shape[1] // 2 :]
    assert read(left) == read(right) == [NUMBERS[0]]


def test_sheet_has_all_labels(tmp_path: Path) -> None:
    """Three labels on a sheet of Letter."""
    assert main(["print", *NUMBERS, "--to", str(tmp_path / "sheet.pdf"), "--sheet", "Letter", "--dpi", "600"]) == 0
    assert read(by_poppler(tmp_path / "sheet.pdf", 300)) == sorted(NUMBERS)


@pytest.mark.parametrize(("words", "sentence"), [
    pytest.param([NUMBERS[0], "--to", "label.doc"], "none of these", id="kind-of-file"),
    pytest.param([NUMBERS[0], NUMBERS[1], "--to", "label.png"], "holds one page", id="two-pages-in-a-picture"),
    pytest.param(["1234567890", "--to", "label.pdf"], "check digit does not fit", id="check-digit"),
    pytest.param([NUMBERS[0], "--to", "label.pdf", "--stock", "huge"], "no size of label", id="stock"),
    pytest.param([NUMBERS[0], "--to", "label.pdf", "--dpi", "5"], "is not known", id="dpi"),
    pytest.param([NUMBERS[0], "--to", "missing/label.pdf"], "cannot be written", id="folder"),
    pytest.param([NUMBERS[0], "--printer", "http://nowhere"], "no printer's address", id="address"),
])
def test_refusal_is_one_sentence_and_exit_code_1(tmp_path: Path, monkeypatch, capsys, words: list[str], sentence: str
                                                 ) -> None:
    """What cannot be printed says why on stderr and leaves no file."""
    monkeypatch.chdir(tmp_path)
    assert main(["print", *words]) == 1
    said = capsys.readouterr()
    assert sentence in said.err and said.err.count("\n") == 1 and said.out == ""
    assert list(tmp_path.iterdir()) == []


def test_no_target_is_a_usage_error() -> None:
    """Neither file nor printer: exit code 2."""
    with pytest.raises(SystemExit) as stopped:
        main(["print", NUMBERS[0]])
    assert stopped.value.code == 2
