"""One process with one window, measured from outside: `python window_probe.py bare|kiosk|scans SHOP`.

Prints a line of JSON. 'bare' is the smallest Kivy window; 'kiosk' the kiosk up to its first frame; 'scans' goes on to
scan parts and save a job, from the scan to the frame that shows it.
"""

from __future__ import annotations

import json
import statistics
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path
from typing import Any

SCANS = 40
SAVES = 15


def resident_mb() -> float:
    """Return this process's resident memory. [MB]"""
    pages = int(Path("/proc/self/statm").read_text().split()[1])
    return pages * 4096 / 1e6


def bare() -> dict[str, float]:
    """Open the smallest window with the same settings, draw it, draw it again some times."""
    from kiosk.screens.settings import prepare_kivy

    prepare_kivy(Path(tempfile.mkdtemp()), 1280, 800)
    from kivy.app import App
    from kivy.uix.label import Label

    class Bare(App):
        def build(self) -> Label:
            return Label(text="bare window")

    answer: dict[str, float] = {}

    def measure(step: Callable[[], None]) -> None:
        answer.update(first_frame_at=time.time(), memory_mb=resident_mb())
        label = app.root
        times = []
        for number in range(SCANS):
            start = time.perf_counter()
            label.text = f"frame {number}"
            step()
            times.append((time.perf_counter() - start) * 1000)
        answer["frame_ms"] = statistics.median(times)

    app = Bare()
    _run(app, measure)
    return answer


def kiosk(shop_folder: str, with_scans: bool) -> dict[str, float]:
    """Open the kiosk on a shop; scan and save too if asked."""
    from kiosk.app import KioskApp
    from kiosk.shop import Shop

    answer: dict[str, float] = {}
    with Shop.open(Path(shop_folder)) as shop:
        app = KioskApp(shop)

        def measure(step: Callable[[], None]) -> None:
            answer.update(first_frame_at=time.time(), memory_mb=resident_mb())
            if with_scans:
                answer.update(_scans(app, shop, step))
                answer["memory_after_mb"] = resident_mb()

        _run(app.shell, measure, app.run)
    return answer


def _scans(app: Any, shop: Any, step: Callable[[], None]) -> dict[str, float]:
    from demo_shop.book import read_book
    from kiosk.entities import Scan, ScanSource
    from kiosk.presenters.states import ComponentState, SavedState
    from kiosk.shop import utc_now

    book = read_book(shop.folder)
    parts = [row for row in book if row["kind"] == "component"]

    def scan(number: str) -> None:
        app.desk.scan(Scan(number, ScanSource.SCANNER, utc_now()))

    scan(next(row["number"] for row in book if row["kind"] == "badge" and "mechanic" in row["what"]))
    step()
    to_form = []
    for row in parts[:: max(1, len(parts) // SCANS)]:
        start = time.perf_counter()
        scan(row["number"])
        assert isinstance(app.desk.current.state, ComponentState)
        step()
        to_form.append((time.perf_counter() - start) * 1000)
    to_saved: list[float] = []
    for row in parts:
        if len(to_saved) == SAVES:
            break
        scan(row["number"])
        step()
        if app.desk.current.state.quick is not None:
            app.desk.current.save_quick()
            _through_cautions(app.desk)
            step()
            start = time.perf_counter()
            app.desk.current.save_quick() if isinstance(app.desk.current.state, ComponentState) else None
            step()
            if isinstance(app.desk.current.state, SavedState):
                to_saved.append((time.perf_counter() - start) * 1000)
    return {"scan_to_form_ms": statistics.median(to_form), "scan_to_form_worst_ms": max(to_form),
            "touch_to_saved_ms": statistics.median(to_saved), "scans": len(to_form), "saves": len(to_saved)}


def _through_cautions(desk: Any) -> None:
    """Confirm the cards and the hour meter where they are asked for."""
    from kiosk.presenters.states import CautionsState

    while isinstance(desk.current.state, CautionsState):
        state = desk.current.state
        for card in state.cards:
            if not card.confirmed:
                desk.current.confirm(card.key)
        if state.hours is not None and not state.hours.confirmed:
            desk.current.confirm_hours()
        if desk.current.state.ready:
            desk.current.go_on()


def _run(app: Any, measure: Callable[[Callable[[], None]], None], run: Callable[[], None] | None = None) -> None:
    """Run an app; after its first drawn frame call `measure(step)`, where `step()` draws one frame; then stop."""
    from kivy.base import EventLoop
    from kivy.clock import Clock
    from kivy.core.window import Window

    def step() -> None:
        EventLoop.window.canvas.ask_update()
        Clock.tick_draw()
        EventLoop.window.dispatch("on_draw")
        EventLoop.window.dispatch("on_flip")

    def drawn(*_: object) -> None:
        Window.unbind(on_flip=drawn)
        Clock.schedule_once(lambda _seconds: finish())

    def finish() -> None:
        try:
            measure(step)
        finally:
            app.stop()

    Window.bind(on_flip=drawn)
    (run or app.run)()


if __name__ == "__main__":
    kind = sys.argv[1]
    print(json.dumps(bare() if kind == "bare" else kiosk(sys.argv[2], kind == "scans")))
