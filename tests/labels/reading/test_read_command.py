"""The command `python -m labels read`: one line a picture, whatever the picture."""

import subprocess
import sys

import cv2
import numpy as np
import pytest

from labels.__main__ import main


@pytest.fixture
def pictures(tmp_path, draw):
    """A readable label, another, a picture without one, and files that are no pictures."""
    one, other = draw("clean", 1, 1), draw("rotation", 4, 2)
    cv2.imwrite(str(tmp_path / "one.png"), one.image)
    cv2.imwrite(str(tmp_path / "other.jpg"), other.image)
    cv2.imwrite(str(tmp_path / "blank.png"), np.full((300, 400), 200, np.uint8))
    (tmp_path / "text.jpg").write_text("not a picture")
    (tmp_path / "empty.png").write_bytes(b"")
    whole = (tmp_path / "one.png").read_bytes()
    (tmp_path / "cut.png").write_bytes(whole[: len(whole) // 4])
    return tmp_path, one.number, other.number


def _lines(capsys) -> list[str]:
    return capsys.readouterr().out.splitlines()


def test_read__one_line_a_picture_in_order(pictures, capsys):
    """Each path comes back with its number or a dash, in the order given."""
    folder, one, other = pictures
    paths = [str(folder / name) for name in ("other.jpg", "blank.png", "one.png")]
    assert main(["read", *paths]) == 0
    assert _lines(capsys) == [f"{paths[0]}\t{other}", f"{paths[1]}\t-", f"{paths[2]}\t{one}"]


def test_read__bad_files_get_a_dash_and_a_sentence(pictures, capsys):
    """Files that are no pictures lose nothing of the others."""
    folder, one, _ = pictures
    names = ("text.jpg", "empty.png", "cut.png", "gone.png", "one.png")
    assert main(["read", *(str(folder / name) for name in names)]) == 1
    out = capsys.readouterr()
    numbers = [line.split("\t")[1] for line in out.out.splitlines()]
    assert numbers[:2] == ["-", "-"]
    assert numbers[3:] == ["-", one]
    assert "gone.png cannot be opened" in out.err


def test_read__a_single_picture_runs_in_this_process(pictures, capsys):
    """One picture needs no worker."""
    folder, one, _ = pictures
    assert main(["read", str(folder / "one.png")]) == 0
    assert _lines(capsys) == [f"{folder / 'one.png'}\t{one}"]


def test_read__issued_file_stops_numbers_that_were_not_issued(pictures, tmp_path, capsys):
    """With an issued set, a number outside it is not believed."""
    folder, one, other = pictures
    (tmp_path / "issued.txt").write_text(f"# issued\n{one}\n\n")
    paths = [str(folder / name) for name in ("one.png", "other.jpg")]
    assert main(["read", *paths, "--issued", str(tmp_path / "issued.txt")]) == 0
    assert [line.split("\t")[1] for line in _lines(capsys)] == [one, "-"]
    assert other != one


def test_read__a_slip_in_the_issued_file_is_named_with_its_line(pictures, tmp_path, capsys):
    """A wrong issued number is refused before anything is read."""
    folder, one, _ = pictures
    (tmp_path / "issued.txt").write_text(f"{one}\n1234567890\n")
    assert main(["read", str(folder / "one.png"), "--issued", str(tmp_path / "issued.txt")]) == 1
    out = capsys.readouterr()
    assert out.out == ""
    assert "line 2" in out.err


def test_read__any_prints_foreign_texts(tmp_path, capsys):
    """With --any a text that is no label number is printed; without it is not."""
    import zxingcpp

    symbol = np.array(zxingcpp.create_barcode("PUMP-7/B", zxingcpp.BarcodeFormat.Code128).to_image(scale=3))
    page = np.full((300, 700), 255, np.uint8)
    page[100 : 100 + symbol.shape[0], 100 : 100 + symbol.shape[1]] = symbol
    path = str(tmp_path / "pump.png")
    cv2.imwrite(path, page)
    assert main(["read", path, "--any"]) == 0
    assert main(["read", path]) == 0
    assert _lines(capsys) == [f"{path}\tPUMP-7/B", f"{path}\t-"]


def test_read__usage_is_exit_code_two():
    """Without a picture the command says how it is used."""
    done = subprocess.run([sys.executable, "-m", "labels", "read"], capture_output=True, check=False)
    assert done.returncode == 2


def test_read__huge_picture_is_read_reduced(tmp_path, issued, draw, capsys):
    """A picture of 60 million picture elements is read at a fraction of its size."""
    picture = draw("clean", 1, 1)
    huge = cv2.resize(picture.image, None, fx=8, fy=8, interpolation=cv2.INTER_LINEAR)
    path = str(tmp_path / "huge.jpg")
    cv2.imwrite(path, huge)
    assert main(["read", path]) == 0
    assert _lines(capsys) == [f"{path}\t{picture.number}"]
