"""A camera that turns label pictures into scans: one thread grabs, one decodes the newest frame, nothing waits.

The source is a device number, a video file (played in a loop at its own rate) or a stream URL. The screen polls
`newest_frame` and `take_events` from its own thread. A camera that is missing or pulled out is reported once, and
tried again every two seconds until it is back.
"""

from __future__ import annotations

import queue
import threading
import time
from collections.abc import Callable
from dataclasses import dataclass, field
from pathlib import Path
from typing import Protocol

import cv2
import numpy as np
from numpy.typing import NDArray

from kiosk.language import tr
from kiosk.scan.effort import Effort, EffortCounter
from kiosk.scan.gate import SteadyGate

Frame = NDArray[np.uint8]
RETRY_S = 2.0
PLAIN = "plain"
# OpenCV spreads over all cores by default, and then the screen stutters.
cv2.setNumThreads(1)


class Decoder(Protocol):
    """What the decode thread asks of a reader (`labels.reading.Reader`)."""

    def read(self, image: Frame) -> Decoded: ...


class Decoded(Protocol):
    """One frame's result: the number or None, how it was read ('plain', 'matched' …), where bars are or None."""

    @property
    def number(self) -> str | None: ...
    @property
    def how(self) -> str | None: ...
    @property
    def corners(self) -> object: ...


@dataclass(frozen=True)
class CameraRead:
    """A number that passed the steady-read gate, and what it took to read it."""

    number: str
    how: str
    tries: int = field(default=1, compare=False)
    took_ms: float = field(default=0.0, compare=False)
    grade: float | None = field(default=None, compare=False)


@dataclass(frozen=True)
class CameraGone:
    """The camera cannot be opened or stopped giving pictures; `message` is for the operator."""

    message: str


@dataclass(frozen=True)
class CameraBack:
    """The camera gives pictures again."""


CameraEvent = CameraRead | CameraGone | CameraBack


class Camera:
    """Grabs and decodes in the background until `stop`.

    Args:
        source: '0', '1' … for a device, a video file's path, or a stream URL.
        make_decoder: Called once on the decode thread; the reader may be slow to build.
        preview_width: Frames for the screen are scaled to this width. [px]
        grade_of: Grades the label of a number in a frame, on the decode thread, once a scan; None if it cannot.
    """

    def __init__(self, source: str, make_decoder: Callable[[], Decoder], preview_width: int = 640,
                 grade_of: Callable[[Frame, str], float | None] = lambda _frame, _number: None) -> None:
        self._source = source
        self._make_decoder = make_decoder
        self._preview_width = preview_width
        self._grade_of = grade_of
        self._gate = SteadyGate()
        self._events: queue.SimpleQueue[CameraEvent] = queue.SimpleQueue()
        self._lock = threading.Lock()
        self._frame: Frame | None = None
        self._frame_number = 0
        self._shown_number = 0
        self._fresh = threading.Event()
        self._stopping = threading.Event()
        self._threads = [
            threading.Thread(target=self._grab, name="camera-grab", daemon=True),
            threading.Thread(target=self._decode, name="camera-decode", daemon=True),
        ]

    def start(self) -> None:
        """Start both threads; returns at once."""
        for thread in self._threads:
            thread.start()

    def stop(self) -> None:
        """Stop both threads and let go of the device."""
        self._stopping.set()
        self._fresh.set()
        for thread in self._threads:
            if thread.is_alive():
                thread.join(timeout=3)

    def newest_frame(self) -> Frame | None:
        """Return the newest picture, scaled for the screen, once; None if there is none since the last call.

        Returns:
            uint8, shape (height, width, 3), BGR.
        """
        with self._lock:
            if self._frame is None or self._frame_number == self._shown_number:
                return None
            frame, self._shown_number = self._frame, self._frame_number
        height = round(frame.shape[0] * self._preview_width / frame.shape[1])
        return np.asarray(cv2.resize(frame, (self._preview_width, height), interpolation=cv2.INTER_AREA), np.uint8)

    def still(self) -> Frame | None:
        """Return the newest picture in its full size, None while the camera gives none."""
        with self._lock:
            return None if self._frame is None else self._frame.copy()

    def take_events(self) -> list[CameraEvent]:
        """Return what happened since the last call."""
        events = []
        while not self._events.empty():
            events.append(self._events.get())
        return events

    # --- grab thread ---------------------------------------------------------------------------------------

    def _grab(self) -> None:
        reported_gone = False
        while not self._stopping.is_set():
            capture = self._open()
            if capture is not None and self._run(capture, reported_gone):
                reported_gone = False
            if self._stopping.is_set():
                return
            if not reported_gone:
                self._events.put(CameraGone(_gone_message(self._source)))
                reported_gone = True
            self._stopping.wait(RETRY_S)

    def _open(self) -> cv2.VideoCapture | None:
        source = int(self._source) if self._source.isdigit() else self._source
        capture = cv2.VideoCapture(source)
        return capture if capture.isOpened() else None

    def _run(self, capture: cv2.VideoCapture, was_gone: bool) -> bool:
        """Grab until the camera ends; return True if it gave any picture."""
        is_file = Path(self._source).is_file()
        pause_s = 1.0 / (capture.get(cv2.CAP_PROP_FPS) or 15.0) if is_file else 0.0
        gave_any = False
        while not self._stopping.is_set():
            ok, frame = capture.read()
            if not ok and is_file and gave_any:
                capture.set(cv2.CAP_PROP_POS_FRAMES, 0)  # a clip stands in for a camera: play it round
                ok, frame = capture.read()
            if not ok:
                break
            if not gave_any and was_gone:
                self._events.put(CameraBack())
            gave_any = True
            self._publish(np.asarray(frame, np.uint8))
            if pause_s:
                self._stopping.wait(pause_s)
        capture.release()
        return gave_any

    def _publish(self, frame: Frame) -> None:
        with self._lock:
            self._frame = frame
            self._frame_number += 1
        self._fresh.set()

    # --- decode thread -------------------------------------------------------------------------------------

    def _decode(self) -> None:
        decoder = self._make_decoder()
        effort = EffortCounter()
        while not self._stopping.is_set():
            self._fresh.wait()
            self._fresh.clear()
            with self._lock:
                frame = self._frame
            if frame is None or self._stopping.is_set():
                continue
            decoded, now = decoder.read(frame), time.monotonic()
            taken = effort.saw_bars(now) if decoded.number or decoded.corners is not None else Effort(0, 0.0)
            if decoded.number and self._gate.offer(decoded.number, now):
                grade = self._grade_of(frame, decoded.number)
                self._events.put(CameraRead(decoded.number, decoded.how or PLAIN, taken.tries, taken.took_ms, grade))
                effort.was_read()


def _gone_message(source: str) -> str:
    where = tr("camera {source}").format(source=source) if source.isdigit() else tr("the camera")
    return tr("No picture from {where}. Check its plug; use the hand scanner or type the number meanwhile.").format(
               where=where)
