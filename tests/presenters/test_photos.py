"""Photos of records and findings: taken, kept or thrown away, shown only as what was taken."""

from __future__ import annotations

import pytest

from kiosk.entities import Finding, PhotoOf
from kiosk.events import PhotoAdded
from kiosk.presenters.photo_page import PhotoPage
from kiosk.presenters.states import ComponentState, PhotosState


@pytest.fixture
def camera(yard):
    """Return the yard with a camera, Ana signed in, and an open finding 'f-1' on the bearing."""
    yard.photos.has_camera = True
    yard.sign_in()
    yard.records.findings["f-1"] = Finding("f-1", "u4", "p-bearing", "c-bearing", "seal lifted", yard.clock(), "ana")
    return yard


def open_page(yard, takes=False):
    yard.desk.open_page(PhotoPage(yard.desk, PhotoOf.FINDING, "f-1", "upper shaft bearing, left", takes))
    return yard.state


def test_photo__taken_and_kept__is_on_record_with_its_hash(camera):
    """The camera's picture first, then what was taken, then one entry that names finding and hash."""
    assert open_page(camera).looks
    camera.screen.take()
    assert camera.state.is_taken and camera.state.photo.path.endswith(".jpg")
    camera.screen.keep()
    (payload,) = camera.records.payloads(PhotoAdded)
    assert (payload.of, payload.subject_id, payload.photo) == (PhotoOf.FINDING, "f-1", camera.photos.taken[0])
    assert (camera.state.count, camera.state.is_taken, camera.state.looks) == (1, False, False)
    assert camera.state.photo.text.startswith("Ana, ")


def test_photo__taken_again_or_left__is_thrown_away(camera):
    """What was not kept leaves no file and no entry."""
    open_page(camera)
    camera.screen.take()
    camera.screen.again()
    assert camera.state.looks
    camera.screen.take()
    camera.screen.back()
    assert camera.photos.forgotten == [photo.sha256 for photo in camera.photos.taken]
    assert camera.records.payloads(PhotoAdded) == []


def test_photos__several__are_turned_through(camera):
    """One at a time, after the last the first."""
    open_page(camera)
    for _ in range(2):
        camera.screen.take()
        camera.screen.keep()
        camera.screen.take()
    camera.screen.back()
    open_page(camera)
    assert (camera.state.number, camera.state.count) == (1, 2)
    camera.screen.turn()
    assert camera.state.number == 2
    camera.screen.turn()
    assert camera.state.number == 1


def test_photo__whose_file_is_not_what_was_taken__is_not_shown(camera):
    """The page says what is wrong, who took it and when."""
    open_page(camera)
    camera.screen.take()
    camera.screen.keep()
    camera.photos.broken.add(camera.photos.taken[0].sha256)
    state = open_page(camera)
    assert state.photo.path == "" and "not there" in state.photo.trouble


def test_photo__nobody_signed_in_or_no_camera__cannot_be_taken(camera):
    """The page can be looked at all the same."""
    camera.desk.sign_out()
    assert not open_page(camera).can_take
    camera.screen.take()
    assert "Nobody is signed in" in camera.message.text
    camera.photos.has_camera = False
    assert open_page(camera).hint == "This kiosk has no camera."


def test_finding_by_hand__offers_a_photo(camera):
    """After 'how soon', one touch leads to the camera; back leads to the part."""
    camera.scan(camera.label_of("c-bearing"))
    camera.screen.report_finding("seal lifted")
    camera.screen.answer("BEFORE_USE")
    assert [action.key for action in camera.message.actions] == ["photo", "no"]
    camera.screen.answer("photo")
    assert isinstance(camera.state, PhotosState) and camera.state.looks
    camera.screen.back()
    assert isinstance(camera.state, ComponentState)
