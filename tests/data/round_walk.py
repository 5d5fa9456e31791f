"""Rounds in a real window, one process a part, so that the program starts anew between them.

`python round_walk.py begin|take-up|hands-free|budget SHOP OUT SIZE` works the kiosk of a shop by scanner keys and
touches, and prints what it did as a line of JSON: scans and touches of each kind of job. For walk-through and bench.
"""

from __future__ import annotations

import csv
import json
import re
import sqlite3
import statistics
import sys
import time
from contextlib import closing
from dataclasses import replace
from pathlib import Path
from typing import Any

from demo_shop.drive import PANELS_PPI
from demo_shop.driver import Driver
from kiosk.presenters.states import (
    CautionsState,
    ComponentState,
    FormState,
    HistoryState,
    RoundState,
    SavedState,
    State,
    UnitState,
)
from kiosk.shop import Shop

FIRST, SECOND = "Mette Sandvik", "Tomas Reyl"
UNIT, OTHER_UNIT = "Unit 1 Gannet", "Unit 2 Fulmar"
DONE_BEFORE_THE_BREAK = 5
READ_A_CARD_S = 2.2
MM_PER_INCH = 25.4


class Mechanic:
    """Somebody at the kiosk, who knows the yard's labels.

    Args:
        counted: Gets {kind of job: [(scans, touches, digits among them), …]}.
    """

    def __init__(self, driver: Driver, folder: Path, hands_free: bool = False) -> None:
        self.driver, self.hands_free = driver, hands_free
        with (folder / "labels.csv").open(newline="", encoding="utf-8") as file:
            self.book = list(csv.DictReader(file))
        self.commands = command_numbers(folder)
        self.counted: dict[str, list[tuple[int, ...]]] = {}
        self._from = (0, 0, 0)

    # --- by scan, and by touch or by a command label ---

    def scan_named(self, kind: str, name: str) -> None:
        """Scan the label of a person or unit by its name."""
        self.driver.scan(next(row["number"] for row in self.book if row["kind"] == kind
                              and name in (row["what"].partition(",")[0], row["unit"])))

    def command(self, key: str) -> None:
        """Scan a label of the command card, and wait until the screen followed."""
        before = self.state()
        self.driver.scan(self.commands[key])
        self.driver.see(State, lambda state: state is not before)

    def main_button(self, words: str) -> None:
        """Press the screen's main button, or say 'save' by card."""
        self.command("save") if self.hands_free else self.driver.touch(words)

    def state(self) -> Any:
        """Return the state shown now."""
        return self.driver.see(State)

    def count_from_here(self) -> None:
        """Begin to count scans and touches."""
        self._from = self._counts()

    def _counts(self) -> tuple[int, int, int]:
        return self.driver.scans, self.driver.touches, self.driver.digits

    def counted_as(self, name: str) -> None:
        """Put down what was counted."""
        counts = tuple(now - then for now, then in zip(self._counts(), self._from, strict=True))
        self.counted.setdefault(name, []).append(counts)

    # --- the round ---

    def begin(self, unit: str, person: str, words: str = "Round:") -> None:
        """Sign in, scan the unit, begin its round, and confirm what is asked."""
        self.scan_named("badge", person)
        self.scan_named("unit", unit)
        self.driver.see(UnitState)
        self.main_button(words)
        self.driver.see((CautionsState, RoundState))

    def confirm(self, person: str) -> None:
        """Confirm the cautions and the hour meter as they come up."""
        while isinstance(self.state(), CautionsState):
            state = before = self.state()
            open_card = next((card for card in state.cards if not card.confirmed), None)
            if open_card is not None:
                self._confirm_card(open_card.hazard, person)
            elif state.hours is not None and not state.hours.confirmed:
                self.command("save") if self.hands_free else self.driver.touch("Hours are right")
            else:
                self.main_button("Go on")
            self.driver.see(State, lambda state, before=before: state is not before)

    def _confirm_card(self, hazard: str, person: str) -> None:
        if self.hands_free:
            time.sleep(READ_A_CARD_S)
            self.scan_named("badge", person)
        else:
            self.driver.touch(hazard)

    def fitting(self, label: str, person: str) -> None:
        """Do everything of the round at one fitting, from the scan of its label."""
        self.count_from_here()
        self.driver.scan(label)
        self.driver.see(RoundState, lambda state: bool(state.here))
        while (state := self.driver.see(RoundState)).here:
            if state.quick is not None and state.quick.stop is not None:
                self._override(state)
            self._job(state, person)
            self.count_from_here()

    def _override(self, state: RoundState) -> None:
        if self.hands_free:
            self.command("1")
        else:
            self.driver.touch("Give a reason")
            self.driver.touch(state.quick.stop.reasons[0].label)  # type: ignore[union-attr]

    def _job(self, before: RoundState, person: str) -> None:
        job = before.here
        name = "job with readings" if before.form is not None else "fitting"
        self.main_button(before.form.label if before.form else before.quick.button)  # type: ignore[union-attr]
        if before.form is not None:
            self.fill(self.driver.see(FormState), person)
        self.driver.see(RoundState, lambda state: state.here != job)
        self.counted_as(name)

    def fill(self, form: FormState, person: str) -> None:
        """Fill every row as found, and save."""
        for number, row in enumerate(form.rows):
            if number:
                self.command("next") if self.hands_free else self.driver.touch("next")
            for key in self._reading(row.limits, form.unit):
                self._key(key)
        self.main_button("Save")
        after = self.driver.see((FormState, RoundState), lambda state: isinstance(state, RoundState)
                                or state.frame.message is not None)
        if isinstance(after, FormState):
            self.command("2") if self.hands_free else self.driver.touch("No, save it as typed")

    def _reading(self, limits: str, unit: str) -> str:
        """Return a reading well within the limits that the screen shows, to be typed in a unit."""
        inches = [_inches(text) for text in re.findall(r"(\d+/\d+|\d+ \d+/\d+|\d+)(?= in)", limits)]
        value = statistics.mean(inches) if len(inches) > 1 else inches[0] * (0.5 if "most" in limits else 1.5)
        return f"{value * MM_PER_INCH:.0f}" if unit == "mm" else f"{value:.2f}"

    def _key(self, key: str) -> None:
        if self.hands_free:
            self.command("point" if key == "." else key)
        else:
            before = self.state()
            self.driver.keys(key)
            self.driver.see(State, lambda state: state is not before)


def _inches(text: str) -> float:
    whole, _, part = text.rpartition(" ") if "/" in text else (text, "", "0/1")
    top, _, bottom = part.partition("/")
    return float(whole or 0) + float(top) / float(bottom)


def command_numbers(folder: Path) -> dict[str, str]:
    """Return {command: label number} of the shop's command card, {} while none was printed."""
    with closing(sqlite3.connect(f"file:{folder / 'kiosk.db'}?mode=ro", uri=True)) as connection:
        return dict(connection.execute("SELECT subject_id, number FROM label WHERE kind = 'command'"))


def begin(mechanic: Mechanic) -> dict[str, Any]:
    """Begin a round and do the first fittings; the program ends with the round half done."""
    driver = mechanic.driver
    mechanic.begin(UNIT, FIRST)
    mechanic.confirm(FIRST)
    state = driver.see(RoundState)
    driver.picture("round-begun")
    fittings = _fittings(driver, state)
    for number, label in enumerate(fittings[:DONE_BEFORE_THE_BREAK]):
        if number == 1:
            driver.scan(label)
            driver.see(RoundState, lambda state: bool(state.here))
            driver.picture("round-fitting")
        mechanic.fitting(label, FIRST)
    driver.picture("round-half-done")
    return {"fittings": len(fittings), "jobs": len(state.rows), "scans": driver.scans, "touches": driver.touches,
            "progress": driver.see(RoundState).progress}


def take_up(mechanic: Mechanic) -> dict[str, Any]:
    """Start anew: the next person hears whose round it is, takes it up, leaves the last fitting out, and ends it."""
    driver = mechanic.driver
    driver.see(State)
    driver.picture("round-on-start")
    mechanic.scan_named("badge", SECOND)
    mechanic.scan_named("unit", UNIT)
    told = driver.see(UnitState, lambda state: bool(state.in_hand)).in_hand
    driver.picture("round-told")
    driver.touch("Round:")
    driver.see(UnitState, lambda state: bool(state.frame.message and state.frame.message.actions))
    driver.picture("round-take-up")
    driver.touch("They left: take it up")
    state = driver.see(RoundState)
    left = [label for label in _fittings(driver, state, only_open=True)]
    for label in left[:-1]:
        driver.scan(label)
        driver.see(RoundState, lambda state: bool(state.here))
        if not mechanic.counted:
            driver.touch(_button(driver.see(RoundState)))
            driver.see(CautionsState)
            mechanic.confirm(SECOND)
            mechanic.counted["own cautions"] = [(0, 0, 0)]
        mechanic.fitting(label, SECOND)
    driver.touch("End round")
    driver.see(RoundState, lambda state: state.ending is not None)
    driver.picture("round-ending")
    while not driver.see(RoundState).is_over:
        driver.touch("cannot get at it")
        time.sleep(0.3)
    driver.picture("round-over")
    over = driver.see(RoundState, lambda state: state.is_over)
    return {"told": told, "story": over.story, "scans": driver.scans, "touches": driver.touches}


def hands_free(mechanic: Mechanic) -> dict[str, Any]:
    """Do a whole round by the scanner alone."""
    driver, person = mechanic.driver, SECOND
    mechanic.begin(OTHER_UNIT, person)
    mechanic.confirm(person)
    state = driver.see(RoundState)
    fittings = _fittings(driver, state)
    for label in fittings[:-1]:
        mechanic.fitting(label, person)
    mechanic.command("done")
    driver.see(RoundState, lambda state: state.ending is not None)
    while not driver.see(RoundState).is_over:
        mechanic.command("4")
        time.sleep(0.3)
    over = driver.see(RoundState, lambda state: state.is_over)
    return {"fittings": len(fittings), "jobs": len(state.rows), "story": over.story, "scans": driver.scans,
            "touches": driver.touches}


def _button(state: RoundState) -> str:
    return state.form.label if state.form else state.quick.button  # type: ignore[union-attr]


def _fittings(driver: Driver, state: RoundState, only_open: bool = False) -> list[str]:
    """Return the labels of a round's fittings in the order of its list, each once."""
    parts = dict.fromkeys(row.key.partition("|")[0] for row in state.rows
                          if not only_open or row.mark.english == "to do")
    return [driver.shop.records.component(part).label for part in parts]


def budget(mechanic: Mechanic) -> dict[str, Any]:
    """Count the small things: hour meter, greasing, the last jobs of a part, its history on paper."""
    driver, person = mechanic.driver, SECOND
    bearing, other = [row["number"] for row in mechanic.book if row["sheet"] == "shaft-bearing"][:2]
    mechanic.scan_named("badge", person)
    driver.scan(bearing)
    last = driver.see(ComponentState)
    mechanic.counted["last three jobs"] = [(0, 0, 0)] if len(last.records) >= 3 else []
    driver.touch("Cautions first")
    for card in driver.see(CautionsState).cards:
        driver.touch(card.hazard)
    hours = driver.see(CautionsState, lambda state: all(card.confirmed for card in state.cards)).hours
    mechanic.count_from_here()
    driver.keys(*(hours.typed if hours else ""))
    driver.touch("Hours are right")
    driver.touch("Go on")
    driver.see(ComponentState)
    mechanic.counted_as("hour meter")
    driver.scan(other)
    driver.see(ComponentState, lambda state: state.component_id != last.component_id)
    mechanic.count_from_here()
    driver.touch("Save 2 strokes")
    driver.see(SavedState)
    mechanic.counted_as("grease")
    driver.scan(other)
    driver.see(ComponentState)
    mechanic.count_from_here()
    driver.touch("History")
    driver.see(HistoryState)
    driver.touch("Files")
    driver.touch("Write it as PDF")
    driver.see(HistoryState, lambda state: state.exported.endswith("pdf"), seconds=60)
    mechanic.counted_as("history on paper")
    return {}


PARTS = {"begin": begin, "take-up": take_up, "hands-free": hands_free, "budget": budget}


def main(part: str, folder: Path, out: Path, size: str) -> None:
    """Work one part of the walk and print its account."""
    width, height = (int(number) for number in size.split("x"))
    account: dict[str, Any] = {}
    with Shop.open(folder) as shop:
        ppi = PANELS_PPI.get((width, height), shop.config.ppi)
        shop = replace(shop, config=replace(shop.config, width=width, height=height, ppi=ppi))
        driver = Driver(shop, out)

        def script(driver: Driver) -> None:
            mechanic = Mechanic(driver, folder, hands_free=part == "hands-free")
            account.update(PARTS[part](mechanic), counted=mechanic.counted)

        driver.run(script, limit_s=400)
    print(json.dumps(account))


if __name__ == "__main__":
    main(sys.argv[1], Path(sys.argv[2]), Path(sys.argv[3]), sys.argv[4])
