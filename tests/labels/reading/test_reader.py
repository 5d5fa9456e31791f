"""The ladder: what is read, by which rung, and what is refused."""

import cv2
import numpy as np
import pytest

from labels import errors
from labels.number import Kind, compose
from labels.reading import FrameAccumulator, Reader, advice, read_any

READABLE = [
    ("clean", 1), ("scale", 3), ("scale", 4), ("rotation", 5), ("tilt", 3), ("curved along", 4),
    ("curved across", 5), ("defocus", 3), ("motion", 3), ("low light", 4), ("grease", 3), ("scratches", 4),
    ("torn", 2), ("fading", 3), ("printer", 3), ("JPEG", 4),
]


@pytest.mark.parametrize(("kind", "severity"), READABLE)
def test_read__reads_a_label_in_trouble(reader, draw, kind, severity):
    """Each kind of trouble at a middling severity is overcome."""
    picture = draw(kind, severity)
    assert reader.read(picture.image).number == picture.number


@pytest.mark.parametrize("kind", ["clean", "scale", "defocus", "low light"])
def test_read__without_issued_set_reads_by_the_check_digits(free_reader, draw, kind):
    """Where no issued numbers are known both check digits vouch for a number."""
    picture = draw(kind, 3, seed=3)
    assert free_reader.read(picture.image).number == picture.number


def test_read__clean_label_is_read_plainly(reader, draw):
    """A clean label needs no matching."""
    assert reader.read(draw("clean", 1).image).how == "plain"


def test_read__torn_label_is_shown_as_matched(reader, draw):
    """A torn label has lost an end, so no decoder reads it; the issued set does, and says so."""
    reading = reader.read(draw("torn", 2).image)
    assert reading.how == "matched"
    assert reading.evidence <= 0


def test_read__grey_and_colour_give_the_same(reader, draw):
    """A grey picture and the same in colour are read alike."""
    picture = draw("rotation", 3)
    colour = cv2.cvtColor(picture.image, cv2.COLOR_GRAY2BGR)
    assert reader.read(colour).number == reader.read(picture.image).number == picture.number


def test_read__upside_down(reader, draw):
    """A label is read whichever way up it is."""
    picture = draw("defocus", 2)
    assert reader.read(cv2.rotate(picture.image, cv2.ROTATE_180)).number == picture.number


def test_read__very_near_label(reader, draw):
    """A label that fills the frame has bars wider than a cell of the search, and is read all the same."""
    picture = draw("clean", 2)
    x, y = picture.corners.mean(axis=0)
    part = picture.image[max(0, int(y) - 180) : int(y) + 180, max(0, int(x) - 320) : int(x) + 320]
    large = cv2.resize(part, None, fx=3, fy=3, interpolation=cv2.INTER_CUBIC)
    assert reader.read(large).number == picture.number


def test_read__corners_lie_round_the_bars(reader, draw):
    """The box that is shown lies where the bars are."""
    picture = draw("clean", 3)
    corners = reader.read(picture.image).corners
    assert np.linalg.norm(corners.mean(axis=0) - picture.corners.mean(axis=0)) < 25


@pytest.mark.parametrize("sort", ["no label", "foreign symbol", "never issued"])
@pytest.mark.parametrize("seed", range(12))
def test_read__never_a_wrong_number(reader, draw_negative, sort, seed):
    """Texture, other symbols and labels never issued are no issued label."""
    assert reader.read(draw_negative(sort, seed).image).number is None


@pytest.mark.parametrize("kind", ["torn", "glare", "grease", "mixed"])
def test_read__right_or_nothing_at_the_worst_severity(reader, draw, kind):
    """What cannot be read is not guessed."""
    for seed in range(4):
        picture = draw(kind, 5, seed)
        assert reader.read(picture.image).number in (None, picture.number)


def test_read__label_never_issued_is_refused_with_its_number(reader, issued):
    """A clean label that this yard never issued is not read, and the reading says which it was."""
    import label_pictures

    number = compose(Kind.COMPONENT, 95, 12).digits
    assert number not in issued
    reading = reader.read(label_pictures.draw("clean", 1, 4, number).image)
    assert (reading.number, reading.refused, reading.hint) == (None, number, advice.NOT_ISSUED)


def test_read__empty_scene_says_no_label(reader):
    """A blank frame has no label and takes no time to say so."""
    reading = reader.read(np.full((720, 1280), 128, np.uint8))
    assert (reading.number, reading.corners, reading.hint) == (None, None, advice.NO_LABEL)


def test_hint__glare_is_named(reader, draw):
    """Where glare hides the bars the hint says so."""
    readings = [reader.read(draw("glare", 4, seed).image) for seed in range(6)]
    assert advice.GLARE in [reading.hint for reading in readings]


@pytest.mark.parametrize("image", [
    None, "text", np.zeros((0, 5), np.uint8), np.zeros((50, 50), np.float32), np.zeros((4, 5, 6, 7), np.uint8),
    np.zeros((50, 50, 2), np.uint8),
])
def test_read__refuses_what_is_no_picture(reader, image):
    """What is no picture is refused with a sentence."""
    with pytest.raises(errors.ImageUnreadable):
        reader.read(image)


@pytest.mark.parametrize("shape", [(1, 1), (1, 4000), (4000, 1), (7, 7), (16, 16), (33, 2000)])
def test_read__odd_sizes_do_no_harm(reader, shape):
    """Pictures too small or too narrow for a label are read as none."""
    noise = np.random.default_rng(1).integers(0, 256, shape, np.uint8)
    assert reader.read(noise).number is None


def test_reader__refuses_a_wrong_issued_number():
    """An issued set with a slip in it is refused."""
    with pytest.raises(errors.WrongCheckDigit):
        Reader(["1234567890"])


def test_read_any__reads_another_makers_symbol():
    """Any Code 128 text is read, not only label numbers."""
    import zxingcpp

    symbol = zxingcpp.create_barcode("ELV-0042-SH3", zxingcpp.BarcodeFormat.Code128).to_image(scale=3)
    page = np.full((400, 800), 255, np.uint8)
    drawn = np.array(symbol)
    page[100 : 100 + drawn.shape[0], 100 : 100 + drawn.shape[1]] = drawn
    assert read_any(page) == ["ELV-0042-SH3"]


def test_frame_accumulator__sums_frames_until_sure(reader, draw):
    """Frames that say too little alone say enough together; none says a wrong number."""
    adding = FrameAccumulator(reader, clock=lambda: 0.0)
    numbers = {adding.add(draw("low light", 5, seed=2).image).number for _ in range(3)}
    assert numbers <= {None, draw("low light", 5, seed=2).number}


def test_frame_accumulator__never_sums_texture_to_a_number(reader, draw_negative):
    """The same texture seen again and again stays no label."""
    adding = FrameAccumulator(reader, clock=lambda: 0.0)
    frame = draw_negative("no label", 5).image
    assert {adding.add(frame).number for _ in range(8)} == {None}


def test_frame_accumulator__forgets_after_its_time(reader, draw):
    """Frames older than a second do not count, and the ring starts anew."""
    now = [0.0]
    adding = FrameAccumulator(reader, seconds=1.0, clock=lambda: now[0])
    adding.add(draw("mixed", 5, 1).image)
    now[0] = 0.5
    half = adding.progress
    now[0] = 2.0
    adding.add(np.full((200, 300), 128, np.uint8))
    assert half in (0.0, 0.5)
    assert adding.progress == 0.0
