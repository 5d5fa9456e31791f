"""Work the kiosk's window as a person does: scanner keys and touches as real events through the X server.

The kiosk runs on the main thread; the script runs beside it and sees only what is on screen: it finds what to touch by
the words on it. Used by the demo without a display and by the walk-through tests.
"""

from __future__ import annotations

import os
import subprocess
import threading
import time
import traceback
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any, TypeVar

from kiosk.app import KioskApp
from kiosk.shop import Shop

T = TypeVar("T")
SETTLE_S = 0.15
MOST_PAGES = 12


class NotOnScreen(AssertionError):
    """What the script wanted to touch or see did not come."""


class Driver:
    """One kiosk, worked by a script.

    Args:
        shop: Open. `pictures`: folder for `picture`, made if it is missing.
    """

    def __init__(self, shop: Shop, pictures: Path) -> None:
        self.shop = shop
        self.app = KioskApp(shop, on_shown=self._shown)
        self.touches = 0
        self.scans = 0
        self.digits = 0
        self._pictures = pictures
        self._state: object = None
        self._ready = threading.Event()
        self._error: BaseException | None = None

    def run(self, script: Callable[[Driver], None], limit_s: float = 180.0) -> None:
        """Run the kiosk and the script; return when the script ends, raising what it raised."""
        thread = threading.Thread(target=self._script, args=(script,), name="driver", daemon=True)
        guard = threading.Timer(limit_s, self._stop_late)
        guard.daemon = True
        guard.start()
        thread.start()
        self.app.run()
        guard.cancel()
        if self._error is not None:
            raise self._error

    # --- what a person does ---

    def scan(self, number: str) -> None:
        """Send a label number as a hand scanner does: fast keys, then Enter."""
        self.scans += 1
        # One stream, as a scanner sends it: an Enter that comes late on a busy computer would count as a person's.
        _xdotool("type", "--delay", "3", "--args", "1", number, "key", "Return")
        time.sleep(SETTLE_S)

    def touch(self, words: str, place: int = 0) -> None:
        """Touch the `place`-th thing that carries these words, from the top of the screen."""
        x, y = self._wait(lambda: self._at_rest(words, place), f"'{words}' to touch")
        self.touch_at(x, y)

    def touch_in_list(self, words: str) -> None:
        """Touch something of a list, paging down to it where the screen is too small to show it at once."""
        for _ in range(MOST_PAGES):
            # A list that just came may show a row that goes to another page once it is laid out.
            if any(self._at_rest(words, 0) for _ in range(4)) and self._at_rest(words, 0):
                break
            # The lowest and rightmost: rows may carry the word too, and of two lists the right one is to choose from.
            self.touch("down", sum(_carries(text, "down") for text in self.words_on_screen()) - 1)
        self.touch(words)

    def touch_at(self, x: float, y: float) -> None:
        """Touch a point of the window, from its left and upper edge. [px]"""
        self.touches += 1
        _xdotool("mousemove", str(round(x)), str(round(y)), "click", "1")
        time.sleep(SETTLE_S)

    def keys(self, *keys: str) -> None:
        """Touch keys of the keypad one after the other; they are counted among the touches and by themselves."""
        for key in keys:
            self.touch(key)
            self.digits += 1

    # --- what a person sees ---

    def see(self, kind: type[T] | tuple[type[T], ...], such: Callable[[T], bool] = lambda state: True,
            seconds: float = 15.0) -> T:
        """Wait until a screen's state of this kind is shown that is such, and return it."""

        def shown() -> T | None:
            state = self._state
            return state if isinstance(state, kind) and such(state) else None

        return self._wait(shown, f"{kind}; shown is {self._state!r:.600}", seconds)

    def words_on_screen(self) -> list[str]:
        """Return the words on everything that can be touched."""
        return self._ask(lambda: [text for _, text in _touchables(self.app.shell.stage)])

    def picture(self, name: str) -> Path:
        """Save what the window shows as PNG and return where."""
        self._pictures.mkdir(parents=True, exist_ok=True)
        path = self._pictures / f"{name}.png"
        time.sleep(SETTLE_S)
        self._ask(lambda: _save_picture(path))
        return path

    # --- inside ---

    def _script(self, script: Callable[[Driver], None]) -> None:
        try:
            if not self._ready.wait(60):
                raise NotOnScreen("the kiosk's window did not come")
            time.sleep(0.5)
            script(self)
        except BaseException as error:
            traceback.print_exc()
            self._error = error
            self._try_picture()
        finally:
            self._ask_later(self.app.shell.stop)

    def _try_picture(self) -> None:
        try:
            print(f"what was on screen: {self.picture('failure')}; to touch: {self.words_on_screen()}")
        except Exception as error:
            print(f"no picture of the failure: {error!r}")

    def _stop_late(self) -> None:
        self._error = self._error or NotOnScreen("the script did not end in time")
        self._ask_later(self.app.shell.stop)

    def _shown(self, state: object) -> None:
        self._state = state
        self._ready.set()

    def _at_rest(self, words: str, place: int) -> tuple[float, float] | None:
        """Return where it is once it stands still: a screen that just came is still being laid out."""
        first = self._centre(words, place)
        time.sleep(0.06)
        return first if first is not None and first == self._centre(words, place) else None

    def _centre(self, words: str, place: int) -> tuple[float, float] | None:
        found = self._ask(lambda: [_centre_of(widget) for widget, text in _touchables(self.app.shell.stage)
                                   if _carries(text, words) and _is_in_window(widget)])
        found.sort(key=lambda point: (point[1], point[0]))
        return found[place] if place < len(found) else None

    def _wait(self, look: Callable[[], T | None], what: str, seconds: float = 15.0) -> T:
        until = time.monotonic() + seconds
        while (found := look()) is None:
            if time.monotonic() > until:
                raise NotOnScreen(f"waited {seconds:g} s for {what}")
            time.sleep(0.05)
        return found

    def _ask(self, look: Callable[[], T]) -> T:
        """Look at the window on its own thread."""
        answer: list[T] = []
        failure: list[Exception] = []
        done = threading.Event()

        def look_now(_seconds: float) -> None:
            try:
                answer.append(look())
            except Exception as error:
                failure.append(error)
            done.set()

        from kivy.clock import Clock

        Clock.schedule_once(look_now)
        if not done.wait(20):
            raise NotOnScreen("the window does not answer")
        if failure:
            raise failure[0]
        return answer[0]

    @staticmethod
    def _ask_later(act: Callable[[], None]) -> None:
        from kivy.clock import Clock

        Clock.schedule_once(lambda _seconds: act())


def _touchables(root: Any) -> Iterator[tuple[Any, str]]:
    """Yield everything that can be touched now, with its words, topmost layers last."""
    from kiosk.widgets.press import Touch

    for widget in root.walk():
        if isinstance(widget, Touch) and not widget.disabled and widget.opacity > 0 and widget.get_root_window():
            yield widget, _words_of(widget)


def _words_of(widget: Any) -> str:
    words = [str(getattr(widget, name, "")) for name in ("text", "title", "name", "typed")]
    words += [str(line) for line in getattr(widget, "lines", ())]
    words.append(str(getattr(getattr(widget, "row", None), "hazard", "")))
    return " | ".join(word for word in words if word) or str(getattr(widget, "icon", ""))


def _carries(text: str, words: str) -> bool:
    """A key's words are the whole of it; longer words may be a part."""
    return text == words or (len(words) > 2 and words.lower() in text.lower())


def _centre_of(widget: Any) -> tuple[float, float]:
    from kivy.core.window import Window

    x, y = widget.to_window(*widget.center)
    return Window.left + x, Window.top + Window.height - y


def _is_in_window(widget: Any) -> bool:
    """Whether it stands where a finger reaches it; a closed letter board waits beside the window."""
    from kivy.core.window import Window

    x, y = widget.to_window(*widget.center)
    return 0 <= x <= Window.width and 0 <= y <= Window.height


def _save_picture(path: Path) -> None:
    from kivy.core.window import Window

    made = Path(Window.screenshot(name=str(path.resolve())))
    os.replace(made, path)


def _xdotool(*arguments: str) -> None:
    # OpenCV leaves its own library folder in the environment, which other programs must not load from.
    clean = {name: value for name, value in os.environ.items() if name != "LD_LIBRARY_PATH"}
    subprocess.run(["xdotool", *arguments], check=True, env=clean, timeout=20)
