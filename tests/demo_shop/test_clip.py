"""The film that stands in for a camera: small, the same every time, and its label can be read."""

from pathlib import Path

import cv2
import pytest

from demo_shop.clip import FRAMES_PER_SECOND, HEIGHT, SECONDS, WIDTH, draw_label, write_clip
from kiosk.errors import ConfigError
from labels.number import Kind, compose
from labels.reading import Reader

NUMBER = compose(Kind.COMPONENT, 1, 77).digits


@pytest.fixture(scope="module")
def film(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return write_clip(tmp_path_factory.mktemp("film") / "camera.avi", NUMBER, ("Upper roller bearing, left", "Unit 6"))


def frames(path: Path) -> list:
    capture = cv2.VideoCapture(str(path))
    pictures = []
    while (got := capture.read())[0]:
        pictures.append(got[1])
    return pictures


def test_film_is_six_seconds_of_small_size(film: Path) -> None:
    """Built on demand, never kept in the repository."""
    pictures = frames(film)
    assert len(pictures) == FRAMES_PER_SECOND * SECONDS
    assert pictures[0].shape == (HEIGHT, WIDTH, 3)
    assert film.stat().st_size < 6_000_000


def test_same_film_every_time(tmp_path: Path) -> None:
    """To the last byte."""
    one, two = (write_clip(tmp_path / name, NUMBER, seconds=1) for name in ("one.avi", "two.avi"))
    assert one.read_bytes() == two.read_bytes()


def test_label_is_out_of_view_at_both_ends_and_read_in_between(film: Path) -> None:
    """Nothing else is ever read from it."""
    reader = Reader(None)
    read = [reader.read(picture).number for picture in [*frames(film)[::9], frames(film)[-1]]]
    assert read[0] is None and read[-1] is None
    assert set(read) == {None, NUMBER}
    assert read.count(NUMBER) >= 5


def test_drawn_label_reads_its_own_number() -> None:
    """The picture that is moved about."""
    assert Reader(None).read(draw_label(NUMBER)).number == NUMBER


def test_film_into_no_folder_is_refused(tmp_path: Path) -> None:
    """A plain sentence."""
    with pytest.raises(ConfigError, match="cannot be written"):
        write_clip(tmp_path / "absent" / "camera.avi", NUMBER)
