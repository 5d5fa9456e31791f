"""The camera's reader while labels go on being issued: pictures drawn by the generator of the benches."""

import label_pictures
import pytest

from kiosk.errors import StoreUnavailable
from kiosk.scan.yard_reader import RELOAD_S, YardReader
from labels.number import Kind, compose

NEW = compose(Kind.COMPONENT, kiosk=3, serial=77).digits


@pytest.fixture
def yard() -> list[str]:
    """Return a yard's issued numbers; a test may issue more."""
    return [number for number in label_pictures.issued_numbers(200) if number != NEW]


def test_label_printed_a_moment_ago_is_read(yard) -> None:
    """A label issued after the reader was made is handed on, so that it can be read back at once."""
    reader = YardReader(lambda: yard)
    yard.append(NEW)
    reading = reader.read(label_pictures.draw("clean", 1, 0, NEW).image)
    assert (reading.number, reading.how) == (NEW, "plain")


def test_label_that_was_never_issued_is_handed_on_to_be_refused(yard) -> None:
    """The desk, not the camera, says that a well-read label was never issued; silence would leave a person waiting."""
    reading = YardReader(lambda: yard).read(label_pictures.draw("clean", 1, 0, NEW).image)
    assert (reading.number, reading.how) == (NEW, "plain")


def test_damaged_new_label_is_matched_after_the_numbers_were_looked_up_again(yard) -> None:
    """A torn label is matched against the numbers known; a new one's turn comes with the next look-up."""
    now = [0.0]
    reader = YardReader(lambda: yard, clock=lambda: now[0])
    torn = label_pictures.draw("torn", 2, 0, NEW).image
    yard.append(NEW)
    assert reader.read(torn).number is None
    now[0] += RELOAD_S + 1
    reading = reader.read(torn)
    assert (reading.number, reading.how) == (NEW, "matched")


def test_numbers_are_not_looked_up_for_every_frame(yard) -> None:
    """An idle camera does not ask the records thirty times a second."""
    asked = []
    reader = YardReader(lambda: asked.append(1) or yard, clock=lambda: 0.0)
    for _ in range(3):
        reader.read(label_pictures.draw_negative("no label", 1).image[:200, :200])
    assert len(asked) == 1


def test_yard_without_any_number_yet_reads_all_the_same() -> None:
    """A first-run kiosk has issued nothing, and its camera works."""
    assert YardReader(lambda: ()).read(label_pictures.draw("clean", 1, 0, NEW).image).number == NEW


def test_records_that_cannot_be_read_leave_the_camera_reading(yard) -> None:
    """A locked or lost database never ends the camera's thread."""
    now, trouble = [0.0], []

    def look_up() -> list[str]:
        if trouble:
            raise StoreUnavailable("The records are locked.")
        return yard

    reader = YardReader(look_up, clock=lambda: now[0])
    trouble.append(True)
    now[0] += RELOAD_S + 1
    assert reader.read(label_pictures.draw("clean", 1, 0, yard[3]).image).number == yard[3]
