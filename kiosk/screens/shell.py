"""The Kivy application: window, scanner keys, the clock, slow work. It knows the stage and nothing of the job.

`app.py` builds it with callbacks and calls `show`, `set_preview`, `run_slow`. Import it only after
`kiosk.screens.settings.prepare_kivy`.
"""

from __future__ import annotations

import gc
import logging
import time
from collections.abc import Callable
from concurrent.futures import Future, ThreadPoolExecutor
from typing import Any

from kivy.app import App
from kivy.base import ExceptionHandler, ExceptionManager
from kivy.clock import Clock
from kivy.core.window import Window

from kiosk.language import tr
from kiosk.screens.stage import Stage
from kiosk.widgets.sounds import feedback
from kiosk.widgets.theme import theme

_log = logging.getLogger(__name__)
SPINNER_AFTER_S = 0.2
PROGRESS_AFTER_S = 1.0
SETTLED_AFTER_S = 2.0
ENTER_KEYS = (13, 271)


class KioskShell(App):
    """The kiosk's window.

    Args:
        on_character: Called with (character, seconds) for every character that a scanner or keyboard sends.
        on_enter: Called with (seconds) for Enter.
        on_frame: Called with (seconds) once a frame.
        on_tick: Called once a second.
        on_touch: Called with every touch, before the screen has it.
        on_ready: Called once, when the window is there; must call `show`.
        on_error: Called with an exception that nobody caught; returns True if the kiosk goes on.
        ppi: The panel's pixels per inch; targets are laid out by it.
        theme_name: 'day' or 'night'.
    """

    def __init__(
        self,
        *,
        on_character: Callable[[str, float], None],
        on_enter: Callable[[float], None],
        on_frame: Callable[[float], None],
        on_tick: Callable[[], None],
        on_touch: Callable[[], None],
        on_ready: Callable[[], None],
        on_error: Callable[[Exception], bool],
        ppi: float,
        theme_name: str = "day",
    ) -> None:
        super().__init__()
        self._on_character, self._on_enter, self._on_frame = on_character, on_enter, on_frame
        self._on_tick, self._on_touch, self._on_ready, self._on_error = on_tick, on_touch, on_ready, on_error
        self._workers = ThreadPoolExecutor(max_workers=2, thread_name_prefix="slow")
        self._under_way = 0
        self._doing, self._doing_since = "", 0.0
        self._share: float | None = None
        self.stage: Stage | None = None
        theme.choose(theme_name)
        theme.fit_panel(Window.width, Window.height, ppi)

    # --- what app.py calls ---

    def show(self, state: object, presenter: object) -> None:
        """Show a state; taps go to `presenter`."""
        if self.stage is None:
            self.stage = Stage(state=state, presenter=presenter)
            Window.add_widget(self.stage)
        else:
            self.stage.show(state, presenter)

    def set_preview(self, frame: bytes, size: tuple[int, int]) -> None:
        """Show a camera frame: uint8, BGR, rows from the top, `size` = (width, height) [px]."""
        if self.stage is not None:
            self.stage.set_preview(frame, size)

    def clear_preview(self) -> None:
        """Show that the camera gives no picture."""
        if self.stage is not None:
            self.stage.clear_preview()

    def feedback(self, name: str) -> None:
        """Play 'read', 'refused', 'saved' or 'timer'."""
        feedback(name)

    def run_slow(self, work: Callable[[], Any], done: Callable[[Any], None], failed: Callable[[Exception], None],
                 text: str = "") -> None:
        """Run `work` on a worker, then `done(result)` or `failed(error)` on the window's thread.

        `work` touches no widget and no database connection of this thread. A spinner with `text` turns after a moment.
        """
        self._under_way += 1
        self._doing, self._doing_since, self._share = text, time.monotonic(), None
        Clock.schedule_once(lambda _: self._show_spinner(text), SPINNER_AFTER_S)
        future = self._workers.submit(work)
        future.add_done_callback(lambda future: Clock.schedule_once(lambda _: self._finish(future, done, failed)))

    def tell_progress(self, share: float) -> None:
        """Say how much of the slow work is done, 0..1; may be called on any thread."""
        self._share = share

    # --- Kivy ---

    def build(self) -> None:
        """Listen to keys, touches and the clock; the stage comes with the first state."""
        self.title = tr("Shaft and belt kiosk")
        Window.bind(on_key_down=self._key_down, on_textinput=self._text_input, on_touch_down=self._touched)
        Clock.schedule_interval(self._each_frame, 0)
        Clock.schedule_interval(lambda _: self._on_tick(), 1)
        ExceptionManager.add_handler(_Keeper(self._on_error))

    def on_start(self) -> None:
        """Say that the window is there."""
        self._on_ready()
        Clock.schedule_once(lambda _: _settle_memory(), SETTLED_AFTER_S)

    def on_stop(self) -> None:
        """Let the workers end."""
        self._workers.shutdown(wait=False, cancel_futures=True)

    def open_settings(self, *_: object) -> bool:
        """Kivy's own settings stay closed, whatever key is pressed."""
        return False

    def _each_frame(self, _seconds: float) -> None:
        self._keep_keyboard()
        self._show_progress()
        self._on_frame(time.monotonic())

    def _keep_keyboard(self) -> None:
        """Keep a keyboard requested: without one, SDL sends no text, and a scanner would go unheard."""
        if Window._system_keyboard.callback is None:
            Window.request_keyboard(lambda: None, self.stage or Window)

    def _text_input(self, _window: object, text: str) -> bool:
        for character in text:
            self._on_character(character, time.monotonic())
        return True

    def _key_down(self, _window: object, key: int, _scan_code: int, _character: str, _modifiers: object) -> bool:
        if key in ENTER_KEYS:
            self._on_enter(time.monotonic())
        return True

    def _touched(self, *_: object) -> bool:
        self._on_touch()
        return False

    def _show_spinner(self, text: str) -> None:
        if self._under_way and self.stage is not None:
            self.stage.busy_text = text
            self.stage.is_busy = True

    def _show_progress(self) -> None:
        """After a second the spinner says how far the work is, or for how long it has been going on."""
        if not self._under_way or self.stage is None or not self.stage.is_busy:
            return
        since_s = time.monotonic() - self._doing_since
        if self._share is not None:
            self.stage.busy_text = f"{self._doing} {round(self._share * 100)} %"
        elif since_s >= PROGRESS_AFTER_S:
            self.stage.busy_text = f"{self._doing} {int(since_s)} s"

    def _finish(self, future: Future[Any], done: Callable[[Any], None], failed: Callable[[Exception], None]) -> None:
        self._under_way -= 1
        if not self._under_way and self.stage is not None:
            self.stage.is_busy = False
        error = future.exception()
        if error is None:
            done(future.result())
        elif isinstance(error, Exception):
            failed(error)
        else:
            raise error


def _settle_memory() -> None:
    """Take what was built so far out of Python's searches for garbage, which would each stop a keystroke for long."""
    gc.collect()
    gc.freeze()


class _Keeper(ExceptionHandler):
    """Keeps the window open when something nobody caught comes up."""

    def __init__(self, on_error: Callable[[Exception], bool]) -> None:
        super().__init__()
        self._on_error = on_error

    def handle_exception(self, inst: Exception) -> int:
        """Tell the app; go on if it says so."""
        _log.error("not caught", exc_info=inst)
        return int(ExceptionManager.PASS if self._on_error(inst) else ExceptionManager.RAISE)
