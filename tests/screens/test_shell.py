"""The window's own work: scanner keys reach the app wherever the focus is, slow work comes back on its thread."""

from __future__ import annotations

import threading
import time
from collections.abc import Callable
from typing import Any

import pytest
import screen_samples as samples

pytestmark = pytest.mark.window


@pytest.fixture
def shell(open_window: Callable[..., Any]) -> Any:
    """Return (shell, window, what the app was told); the shell shows the waiting screen."""
    window = open_window()
    from kiosk.screens.shell import KioskShell

    told: list[tuple[Any, ...]] = []

    def tell(name: str) -> Callable[..., None]:
        return lambda *given: told.append((name, *given[:1]) if name == "character" else (name,))

    shell = KioskShell(
        on_character=tell("character"), on_enter=tell("enter"), on_frame=lambda at: None, on_tick=lambda: None,
        on_touch=tell("touch"), on_ready=lambda: None, on_error=lambda error: True, ppi=126.0,
    )
    shell.build()
    shell.show(samples.IDLE, window.presenter)
    window.step()
    yield shell, window, told
    shell.on_stop()


def test_scanner_keys__reach_the_app_in_order(shell: Any) -> None:
    """Every character of a scan arrives once, then Enter."""
    _, window, told = shell
    for character in "1283":
        window.window.dispatch("on_key_down", ord(character), 0, character, [])
        window.window.dispatch("on_textinput", character)
    window.window.dispatch("on_key_down", 13, 0, None, [])
    assert told == [("character", "1"), ("character", "2"), ("character", "8"), ("character", "3"), ("enter",)]


def test_keyboard__requested_again_after_it_was_released(shell: Any) -> None:
    """Without a requested keyboard SDL sends no text; the next frame asks for it again."""
    _, window, _ = shell
    window.window.release_all_keyboards()
    window.step()
    assert window.window._system_keyboard.callback is not None


def test_escape__does_not_close_the_kiosk(shell: Any) -> None:
    """Escape is taken like any other key."""
    _, window, _ = shell
    assert window.window.dispatch("on_key_down", 27, 0, None, [])


def test_touch__is_told_and_still_reaches_the_button(shell: Any) -> None:
    """A touch keeps the person signed in and presses what it hits."""
    shell_app, window, told = shell
    button = next(widget for widget in shell_app.stage.walk() if getattr(widget, "text", "") == "Type number")
    window.tap(button)
    assert ("touch",) in told
    assert window.presenter.calls == [("open_label_pad",)]


def wait_for(window: Any, is_done: Callable[[], bool]) -> None:
    """Let frames pass until something has happened."""
    until = time.monotonic() + 10
    while not is_done() and time.monotonic() < until:
        window.step(1)


def test_slow_work__done_on_the_window_thread(shell: Any) -> None:
    """Work runs on a worker, its result arrives on the window's thread."""
    shell_app, window, _ = shell
    got: list[tuple[str, bool]] = []
    window_thread = threading.current_thread()
    shell_app.run_slow(lambda: threading.current_thread().name,
                       lambda name: got.append((name, threading.current_thread() is window_thread)), got.append)
    wait_for(window, lambda: bool(got))
    assert got[0][0].startswith("slow")
    assert got[0][1]


def test_slow_work__failure_arrives_too(shell: Any) -> None:
    """An error of the work comes to `failed` and to nobody else."""
    shell_app, window, _ = shell
    failed: list[Exception] = []

    def work() -> None:
        raise OSError("no paper")

    shell_app.run_slow(work, lambda _: None, failed.append)
    wait_for(window, lambda: bool(failed))
    assert str(failed[0]) == "no paper"


def test_slow_work__spinner_turns_and_goes(shell: Any) -> None:
    """After a moment a spinner says what is being done, and buttons wait; then it goes."""
    shell_app, window, _ = shell
    go_on = threading.Event()
    done: list[None] = []
    shell_app.run_slow(lambda: go_on.wait(10), lambda _: done.append(None), lambda _: None, "Printing the label")
    wait_for(window, lambda: shell_app.stage.is_busy)
    assert shell_app.stage.busy_text == "Printing the label"
    assert shell_app.stage.ids.place.disabled
    go_on.set()
    wait_for(window, lambda: bool(done))
    assert not shell_app.stage.is_busy


def test_slow_work__tells_its_share__else_how_long_it_takes(shell: Any) -> None:
    """After a second one sees that it goes on: by its share where the work tells it, by seconds where not."""
    shell_app, window, _ = shell
    go_on, halfway = threading.Event(), threading.Event()
    done: list[None] = []

    def work() -> None:
        halfway.wait(10)
        shell_app.tell_progress(0.5)
        go_on.wait(10)

    shell_app.run_slow(work, lambda _: done.append(None), lambda _: None, "Trying the backup")
    shell_app._doing_since -= 3
    wait_for(window, lambda: shell_app.stage.is_busy)
    shell_app._each_frame(0)
    assert shell_app.stage.busy_text == "Trying the backup 3 s"
    halfway.set()
    wait_for(window, lambda: shell_app._share is not None)
    shell_app._each_frame(0)
    assert shell_app.stage.busy_text == "Trying the backup 50 %"
    go_on.set()
    wait_for(window, lambda: bool(done))
    assert not shell_app.stage.is_busy


def test_preview__shows_a_frame(shell: Any) -> None:
    """A camera's frame becomes the waiting screen's picture."""
    shell_app, _, _ = shell
    shell_app.set_preview(bytes(64 * 36 * 3), (64, 36))
    assert shell_app.stage.screen.ids.preview.texture.size == (64, 36)
    shell_app.clear_preview()
    assert shell_app.stage.screen.ids.preview.texture is None


def test_feedback__silent_without_a_sound_device(shell: Any) -> None:
    """Every sound can be asked for; an unknown one is nothing."""
    shell_app, _, _ = shell
    for name in ("read", "refused", "saved", "timer", "no such sound"):
        shell_app.feedback(name)
