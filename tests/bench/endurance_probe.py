"""A month of shifts in one process and one window: `python endurance_probe.py SHOP EVENTS`; prints a line of JSON.

The kiosk runs its own loop on its own window. Each step of the script below is done between two frames that are really
drawn; the kiosk's clock goes on by minutes with every job, so that shifts change, people idle out and cautions come
again. What is measured: resident memory, open files, threads, and
the time from the end of one step to the next, by the clock and by the processor.
"""

from __future__ import annotations

import gc
import json
import os
import random
import statistics
import sys
import threading
import time
from collections.abc import Iterator
from dataclasses import dataclass, field, replace
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

from demo_shop.book import read_book
from kiosk.app import KioskApp
from kiosk.entities import Scan, ScanSource
from kiosk.presenters.states import CautionsState, ComponentState, FormState, SavedState
from kiosk.shop import Shop

PIN = "8264913"
# Of all events, so many are gone through before the first look: caches fill, screens are built once.
WARM_UP = 0.25
LOOKS = 12


class MovedClock:
    """The kiosk's clock, moved by the script."""

    doubt = None

    def __init__(self, now: datetime) -> None:
        self.now = now

    def __call__(self) -> datetime:
        return self.now

    def news(self) -> None:
        """Nothing is ever wrong with it."""

    def recorded(self) -> None:
        """Nothing to take note of."""

    def take_system(self) -> None:
        """Nothing to believe."""


@dataclass
class Look:
    """The process at one moment."""

    events: int
    memory_mb: float
    files: int
    threads: int


@dataclass
class Month:
    """The script: what the crew does, frame by frame."""

    app: KioskApp
    shop: Shop
    clock: MovedClock
    events: int
    looks: list[Look] = field(default_factory=list)
    frames_ms: list[float] = field(default_factory=list)
    work_ms: list[float] = field(default_factory=list)
    scans: int = 0
    screens: int = 0

    def script(self) -> Iterator[None]:
        """Yield once for every frame wanted."""
        chance = random.Random(7)
        book = read_book(self.shop.folder)
        parts = [row["number"] for row in book if row["kind"] == "component"]
        units = [row["number"] for row in book if row["kind"] == "unit"]
        hands = [row["number"] for row in book if row["kind"] == "badge" and "mechanic" in row["what"]]
        lead = next(row["number"] for row in book if row["kind"] == "badge" and "lead" in row["what"])
        begun, next_look = self._count(), self.events * WARM_UP
        while (done := self._count() - begun) < self.events:
            if done >= next_look:
                self._look(done)
                next_look += self.events * (1 - WARM_UP) / LOOKS
            yield from self._round(chance, parts, units, chance.choice(hands))
            if chance.random() < 0.1:
                yield from self._lead_looks(lead)
            self.clock.now += timedelta(hours=chance.choice((0.2, 1, 4)))
            self.app.desk.tick()
            yield
        self._look(self._count() - begun)

    def _round(self, chance: random.Random, parts: list[str], units: list[str], badge: str) -> Iterator[None]:
        """One hand's round: badge, a unit, a dozen parts; what can be is saved, some forms are left half typed."""
        yield from self._scan(badge)
        yield from self._scan(chance.choice(units))
        for number in chance.sample(parts, 12):
            self.clock.now += timedelta(minutes=2)
            yield from self._scan(number)
            yield from self._save_quick()
            what = chance.random()
            if what < 0.15:
                yield from self._history()
            elif what < 0.3:
                yield from self._half_a_form(number)
        self.app.desk.home()
        yield

    def _scan(self, number: str) -> Iterator[None]:
        self.scans += 1
        self.app.desk.scan(Scan(number, ScanSource.SCANNER, self.clock()))
        self.app.desk.current.answer("go")  # leave what is not saved; nothing happens without that question
        yield

    def _save_quick(self) -> Iterator[None]:
        for _ in range(3):
            state: Any = self.app.desk.current.state
            if not isinstance(state, ComponentState) or state.quick is None:
                return
            if state.quick.stop is not None and state.quick.stop.reasons:
                self._presenter.choose_reason(state.quick.stop.reasons[0].key)
            self._presenter.save_quick()
            yield
            yield from self._cautions()
            if isinstance(self.app.desk.current.state, SavedState):
                return

    def _cautions(self) -> Iterator[None]:
        for _ in range(30):
            state: Any = self.app.desk.current.state
            if not isinstance(state, CautionsState):
                return
            card = next((card for card in state.cards if not card.confirmed), None)
            if card is not None:
                self._presenter.confirm(card.key)
            elif state.hours is not None and not state.hours.confirmed:
                self._presenter.confirm_hours()
            elif state.ready:
                self._presenter.go_on()
            else:
                self._presenter.next_page()
            yield

    def _history(self) -> Iterator[None]:
        self.app.desk.back()
        if isinstance(self.app.desk.current.state, ComponentState):
            self._presenter.open_history()
            self.screens += 1
            yield
            self._presenter.back()
            yield

    def _half_a_form(self, number: str) -> Iterator[None]:
        yield from self._scan(number)
        state: Any = self.app.desk.current.state
        if not isinstance(state, ComponentState) or not state.jobs:
            return
        self._presenter.open_job(state.jobs[-1].key)
        self.screens += 1
        yield
        yield from self._cautions()
        if isinstance(self.app.desk.current.state, FormState):
            for key in ("1", "2"):
                self._presenter.key(key)
                yield

    def _lead_looks(self, badge: str) -> Iterator[None]:
        """A lead signs in by badge and PIN; the hash is worked out beside the window."""
        yield from self._scan(badge)
        for _ in range(2):
            for key in (*PIN, "enter"):
                self.app.desk.pin_key(key)
            until = time.monotonic() + 5
            while time.monotonic() < until and self.app.desk.frame(None).pin_pad is not None:
                yield
                if not self.app.desk.frame(None).pin_pad or not self.app.desk.frame(None).pin_pad.busy:  # type: ignore[union-attr]
                    break
        self.app.desk.sign_out()
        yield

    @property
    def _presenter(self) -> Any:
        return self.app.desk.current

    def _count(self) -> int:
        return int(self.shop.records._store.sql("SELECT max(arrival) FROM journal")[0][0])

    def _look(self, events: int) -> None:
        gc.collect()
        pages = int(Path("/proc/self/statm").read_text().split()[1])
        self.looks.append(Look(events, pages * 4096 / 1e6, len(os.listdir("/proc/self/fd")), threading.active_count()))


def main(folder: str, events: int) -> dict[str, Any]:
    """Run the month and return what was measured."""
    with Shop.open(Path(folder)) as opened:
        clock = MovedClock(datetime.now(UTC))
        shop = replace(opened, clock=clock)  # type: ignore[arg-type]
        app = KioskApp(shop)
        month = Month(app, shop, clock, events)
        _drive(app, month)
    return {"looks": [look.__dict__ for look in month.looks], "frames_ms": month.frames_ms, "work_ms": month.work_ms,
            "scans": month.scans,
            "screens": month.screens}


def _drive(app: KioskApp, month: Month) -> None:
    """Do one step of the script between two frames; time how long the frame between them took."""
    from kivy.clock import Clock

    Clock._max_fps = 0  # frames one after the other, as fast as they are drawn
    script, ended, worked = month.script(), [0.0], [0.0]

    def step(_seconds: float) -> None:
        if ended[0]:
            month.frames_ms.append((time.perf_counter() - ended[0]) * 1000)
            month.work_ms.append((time.process_time() - worked[0]) * 1000)
        if app.shell.stage is None:
            return
        try:
            next(script)
        except StopIteration:
            app.shell.stop()
        ended[0], worked[0] = time.perf_counter(), time.process_time()

    Clock.schedule_interval(step, 0)
    app.run()


def p95(values: list[float]) -> float:
    """Return the 95th percentile."""
    return statistics.quantiles(values, n=20)[-1]


if __name__ == "__main__":
    print(json.dumps(main(sys.argv[1], int(sys.argv[2]))), flush=True)
