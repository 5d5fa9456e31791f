"""A real window for tests and pictures of screens: shows samples, taps them, measures what stands where."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import Any

import guided_samples
import screen_samples
import set_up_samples
from spoken_samples import spoken

from kiosk.language import speak
from kiosk.screens.settings import prepare_kivy

SAMPLES = screen_samples.SAMPLES | guided_samples.SAMPLES | set_up_samples.SAMPLES
FACES = screen_samples.FACES | guided_samples.FACES


class Asked:
    """Stands in for any presenter and remembers what it was asked."""

    def __init__(self) -> None:
        self.calls: list[tuple[Any, ...]] = []

    def __getattr__(self, name: str) -> Any:
        return lambda *given: self.calls.append((name, *given))


class SampleWindow:
    """One window with a stage of its own."""

    def __init__(self, home: Path, width: int, height: int, ppi: float, theme_name: str = "day") -> None:
        prepare_kivy(home, width, height)
        from kivy.base import EventLoop
        from kivy.core.window import Window

        from kiosk.widgets.theme import theme

        self.window, self._loop, self.theme = Window, EventLoop, theme
        Window.size = (width, height)
        theme.choose(theme_name)
        theme.fit_panel(width, height, ppi)
        EventLoop.ensure_window()
        if EventLoop.status != "started":
            EventLoop.start()
        self.presenter = Asked()
        self.stage: Any = None

    def step(self, frames: int = 6) -> None:
        """Let some frames pass."""
        for _ in range(frames):
            self._loop.idle()

    def show(self, state: Any) -> None:
        """Show a state with a new presenter."""
        from kiosk.screens.stage import Stage

        self.presenter = Asked()
        if self.stage is None:
            self.stage = Stage(state=state, presenter=self.presenter)
            self.window.add_widget(self.stage)
        else:
            self.stage.show(state, self.presenter)
        self.step()

    def sample_faces(self) -> Iterator[tuple[str, str]]:
        """Yield every sample's name with each of its faces, '' first."""
        for name in SAMPLES:
            for face in ("", *FACES.get(name, ())):
                yield name, face

    def show_sample(self, name: str, face: str = "", language: str = "en") -> None:
        """Show a sample in a language, turned to a face."""
        speak(language)
        self.show(spoken(SAMPLES[name], language))
        self.stage.screen.face = face
        self.step()

    def picture(self, path: Path) -> None:
        """Write what the window shows to a PNG."""
        self.stage.export_to_png(str(path))

    def tap(self, widget: Any) -> None:
        """Touch the middle of a widget and let go."""
        self.tap_at(*widget.to_window(*widget.center))

    def tap_at(self, x: float, y: float) -> None:
        """Touch the window at a point [px] and let go."""
        from kivy.input.motionevent import MotionEvent

        class Finger(MotionEvent):
            def depack(self, args: Any) -> None:
                self.sx, self.sy = args
                self.profile = ["pos"]
                super().depack(args)

        finger = Finger("test", 1, (x / self.window.width, y / self.window.height), is_touch=True)
        for part in ("begin", "end"):
            self._loop.post_dispatch_input(part, finger)
            self.step()

    def close(self) -> None:
        """Take the stage off, so that another one can come; in English again."""
        speak("en")
        for child in self.window.children[:]:
            self.window.remove_widget(child)
        self.stage = None
