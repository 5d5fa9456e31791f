"""The camera on its threads, with a real video file in OpenCV's own reader, and a camera that is missing."""

import time
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

import cv2
import numpy as np
import pytest

from kiosk.scan.camera import Camera, CameraBack, CameraGone, CameraRead
from labels.number import Kind, compose
from labels.symbol import symbol_modules

NUMBER = compose(Kind.COMPONENT, kiosk=1, serial=42).digits


@dataclass
class Decoded:
    number: str | None
    how: str = "plain"


class PlainDecoder:
    """Pyzbar on the whole frame."""

    def read(self, image: np.ndarray) -> Decoded:
        from pyzbar.pyzbar import ZBarSymbol, decode

        found = decode(image, symbols=[ZBarSymbol.CODE128])
        return Decoded(found[0].data.decode() if found else None)


def write_clip(path: Path, with_label: bool = True) -> None:
    """Write one second of video of a label lying still."""
    frame = np.full((360, 640, 3), 200, np.uint8)
    if with_label:
        bars = np.repeat(np.array(symbol_modules(NUMBER), dtype=bool), 4)
        frame[120:240, 100 : 100 + bars.size][:, bars] = 0
    writer = cv2.VideoWriter(str(path), cv2.VideoWriter_fourcc(*"MJPG"), 15, (640, 360))
    for _ in range(15):
        writer.write(frame)
    writer.release()


def wait_for(condition: Callable[[], bool], seconds: float = 10.0) -> None:
    """Wait until `condition` holds; fail after `seconds`."""
    until = time.monotonic() + seconds
    while not condition():
        assert time.monotonic() < until, "nothing came from the camera in time"
        time.sleep(0.02)


@pytest.fixture
def run_camera():
    """Start cameras and stop them at the end, whatever happened."""
    running: list[Camera] = []

    def start(source: str) -> Camera:
        camera = Camera(source, PlainDecoder, preview_width=320)
        running.append(camera)
        camera.start()
        return camera

    yield start
    for camera in running:
        camera.stop()


def test_label_in_a_clip_is_read_once(tmp_path: Path, run_camera) -> None:
    """A label that stays in view of a looping clip is one scan, and its picture reaches the screen scaled."""
    write_clip(tmp_path / "clip.avi")
    camera = run_camera(str(tmp_path / "clip.avi"))
    events: list = []
    wait_for(lambda: events.extend(camera.take_events()) or bool(events))
    time.sleep(1.5)
    events += camera.take_events()
    assert events == [CameraRead(NUMBER, "plain")]
    wait_for(lambda: (frame := camera.newest_frame()) is not None and frame.shape == (180, 320, 3))


def test_missing_camera_says_so_once_and_comes_back(tmp_path: Path, run_camera) -> None:
    """A camera that is not there is reported once, and gives scans when it is plugged in."""
    clip = tmp_path / "clip.avi"
    camera = run_camera(str(clip))
    events: list = []
    wait_for(lambda: events.extend(camera.take_events()) or bool(events))
    assert [type(event) for event in events] == [CameraGone]
    assert "hand scanner" in events[0].message
    write_clip(clip)
    wait_for(lambda: events.extend(camera.take_events()) or CameraBack() in events)
    wait_for(lambda: events.extend(camera.take_events()) or CameraRead(NUMBER, "plain") in events)
    assert sum(isinstance(event, CameraGone) for event in events) == 1
