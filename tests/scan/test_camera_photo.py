"""A photo by the real capture: a frame of the demo yard's camera clip, taken while the camera reads labels too."""

from __future__ import annotations

import hashlib
import time
from pathlib import Path

import cv2
import numpy as np
import pytest

from demo_shop.clip import write_clip
from kiosk.errors import CameraLost
from kiosk.photo_desk import PhotoDesk
from kiosk.photos import PhotoBook
from kiosk.scan.camera import Camera
from labels.number import Kind, compose


class NothingRead:
    """A reader that finds no label."""

    number = how = corners = None

    def read(self, image: object) -> NothingRead:
        return self


def test_photo__of_the_demo_clip__is_one_of_its_frames(tmp_path: Path) -> None:
    """What is kept is what the camera saw: as near to a frame of the clip as JPEG leaves it, named by its SHA-256."""
    clip = write_clip(tmp_path / "camera.avi", compose(Kind.COMPONENT, 1, 7).digits, seconds=1)
    camera = Camera(str(clip), NothingRead)  # type: ignore[arg-type]
    desk = PhotoDesk(PhotoBook(tmp_path / "photos"), camera)
    camera.start()
    try:
        deadline = time.monotonic() + 20
        while camera.still() is None and time.monotonic() < deadline:
            time.sleep(0.02)
        photo = desk.take()
    finally:
        camera.stop()
    content = desk.path(photo.sha256).read_bytes()
    assert hashlib.sha256(content).hexdigest() == photo.sha256
    seen = cv2.imdecode(np.frombuffer(content, np.uint8), cv2.IMREAD_COLOR).astype(float)
    capture, nearest = cv2.VideoCapture(str(clip)), np.inf
    while (frame := capture.read())[0]:
        nearest = min(nearest, float(np.abs(seen - frame[1]).mean()))
    assert nearest < 4.0  # grey levels of 255, on average


def test_photo__without_a_picture__is_refused(tmp_path: Path) -> None:
    """A camera that gives none, and a kiosk without one, say so; nothing is written."""
    for camera in (None, Camera("no-such-file.avi", NothingRead)):  # type: ignore[arg-type]
        with pytest.raises(CameraLost):
            PhotoDesk(PhotoBook(tmp_path / "photos"), camera).take()
    assert not (tmp_path / "photos").exists()
