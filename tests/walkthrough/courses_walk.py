"""Guided work in a real window: a tracking session with a restart in its run, a splice with a piece, two bearings.

Run as `courses_walk.py SHOP OUT SIZE PART`; writes pictures and `PART.json` with touches and scans into OUT.
"""

from __future__ import annotations

import csv
import json
import sys
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

from demo_shop.drive import MECHANIC, PANELS_PPI, Account, Worker
from demo_shop.driver import Driver
from kiosk.presenters.states import (
    AdjustmentState,
    CautionsState,
    ComponentState,
    IdleState,
    SpliceState,
    StepListState,
)
from kiosk.shop import Shop

GUIDED = (CautionsState, AdjustmentState, StepListState, SpliceState)


class Guide(Worker):
    """A mechanic who works by the kiosk's guidance."""

    def open_guided(self, sheet: str, words: str) -> str:
        """Sign in, scan the first part of a kind, and open a job as guided work; return the part's number."""
        driver, number = self.driver, self.label(sheet)
        driver.see(IdleState)
        driver.scan(self.badge(MECHANIC))
        driver.see(IdleState, lambda state: bool(state.frame.header.person))
        driver.scan(number)
        driver.see(ComponentState)
        driver.touch("Jobs")
        driver.touch_in_list(words)
        self.confirm_all()
        return number

    def confirm_all(self) -> None:
        """Confirm every caution by touch, then the hour meter, where they are asked."""
        driver = self.driver
        while isinstance(state := driver.see(GUIDED), CautionsState):
            open_cards = [card for card in state.cards if not card.confirmed]
            if open_cards:
                driver.touch_in_list(open_cards[0].hazard)
            elif state.hours is not None and not state.hours.confirmed:
                driver.touch("Hours are right")
            elif state.ready:
                driver.touch("Go on")
                driver.see((AdjustmentState, StepListState, SpliceState))
            elif state.page < state.pages:
                driver.touch("down")

    def type_fraction(self, text: str) -> None:
        """Type an inch fraction on the keypad: '13/16'."""
        top, _, bottom = text.partition("/")
        self.driver.keys(*top, *([f"□/{bottom}"] if bottom else []))

    # --- a tracking session ---

    def measure(self, *texts: str) -> None:
        """Type every reading of a measuring and put it on record."""
        driver = self.driver
        driver.see(AdjustmentState, lambda state: state.stage == "measure")
        for place, text in enumerate(texts):
            if place:
                driver.touch("next")
            self.type_fraction(text)
        state = driver.see(AdjustmentState, lambda state: state.save.enabled)
        driver.touch(state.go_on_text)
        driver.see(AdjustmentState, lambda state: state.stage != "measure")

    def turn(self) -> None:
        """Take what is advised as turned; one flat more on the left where nothing is."""
        driver = self.driver
        state = driver.see(AdjustmentState, lambda state: state.stage == "turn")
        if all("not turned" in row.amount for row in state.turns):
            driver.touch("up")
        driver.touch("Turned so")
        driver.see(AdjustmentState, lambda state: state.stage == "run")

    def session_begins(self) -> None:
        """Two cycles, the second's run left in the middle: the kiosk is shut down."""
        driver = self.driver
        self.open_guided("cleated-belt", "Track the belt: turn")
        driver.picture("session-measure")
        self.measure("13/16", "1/8", "7/16", "7/16")
        driver.picture("session-turn")
        self.turn()
        driver.touch("Start the run")
        driver.see(AdjustmentState, lambda state: state.run is not None and state.run.running)
        driver.picture("session-run")
        driver.see(AdjustmentState, lambda state: state.run is not None and state.run.over, 60.0)
        driver.touch("Measure again")
        self.measure("3/4", "1/8", "7/16", "7/16")
        self.turn()
        driver.touch("Start the run")
        driver.see(AdjustmentState, lambda state: state.run is not None and state.run.running)

    def session_goes_on(self) -> None:
        """After the restart: it rings, is taken up, measured, turned, run and measured within."""
        driver = self.driver
        driver.see(IdleState, lambda state: state.frame.message is not None
                   and "Time is up" in state.frame.message.text, 60.0)
        driver.picture("session-rings")
        self.open_guided("cleated-belt", "Take up: Track the belt")
        driver.see(AdjustmentState, lambda state: state.run is not None and state.run.over)
        driver.picture("session-time-is-up")
        driver.touch("Measure again")
        self.measure("23/32", "5/32", "7/16", "7/16")
        self.turn()
        driver.touch("Start the run")
        driver.see(AdjustmentState, lambda state: state.run is not None and state.run.over, 60.0)
        driver.touch("Measure again")
        self.measure("7/16", "7/16", "7/16", "7/16")
        driver.touch("So far")
        driver.picture("session-story")
        driver.touch("So far")
        driver.touch("Save: within")
        self.saved("session", self.label("cleated-belt"))

    # --- a splice with a piece put in ---

    def splice_with_insert(self) -> None:
        """A bad length goes out, a piece comes in: two joints, each bolt ticked in its order."""
        driver = self.driver
        number = self.open_guided("cleated-belt", "Cut out and splice")
        self.type_length("48")
        driver.touch("next")
        self.type_length("51")
        driver.touch("Go on")
        state = driver.see(SpliceState, lambda state: bool(state.plans))
        plan = next(plan for plan in state.plans if plan.feasible and "cleat section" in plan.title)
        driver.touch_in_list(plan.title)
        driver.see(SpliceState, lambda state: any(one.chosen for one in state.plans))
        driver.picture("splice-insert")
        driver.touch("Go on")
        driver.see(SpliceState, lambda state: state.step is not None)
        driver.picture("splice-step")
        self.step_list()
        orders: list[list[int]] = [[], []]
        while not (state := driver.see(SpliceState, lambda state: bool(state.bolts))).save.enabled:
            joint = 0 if "1 of 2" in state.joint else 1
            orders[joint].append(next(bolt.number for bolt in state.bolts if bolt.next))
            driver.touch("bolt is tight")
            driver.see(SpliceState, lambda now, before=state: now.bolts != before.bolts)
        driver.picture("splice-second-joint")
        driver.touch("Save the splice")
        self.saved("splice", number, orders=orders)

    # --- two bearings of one shaft ---

    def two_bearings(self) -> None:
        """Both bearings of a shaft by the step list, their labels printed in one go and scanned on the machine."""
        driver = self.driver
        number = self.open_guided("shaft-bearing", "Change the bearing, step by step")
        state = driver.see(StepListState)
        other = next(part for part in state.parts if not part.chosen)
        driver.touch_in_list(other.title)
        driver.see(StepListState, lambda state: sum(part.chosen for part in state.parts) == 2)
        driver.touch_in_list("seized")
        driver.picture("bearing-parts")
        driver.touch("Print labels")
        state = driver.see(StepListState, lambda state: state.stage == "step")
        driver.picture("bearing-step")
        labels = [part.label.replace(" ", "") for part in state.parts]
        while (state := driver.see(StepListState)).stage == "step":
            self.step(state, labels)
        driver.touch("Save")
        self.saved("bearing", number, labels=labels)

    def step(self, state: StepListState, labels: list[str]) -> None:
        """Do what the step at hand takes."""
        driver = self.driver
        driver.picture(f"bearing-{state.kind}")
        if state.kind == "label":
            driver.scan(labels[sum(part.state.word == "on the machine" for part in state.parts)])
        elif state.kind == "bolts":
            driver.touch("bolt is tight")
        elif state.kind == "timer":
            driver.touch(state.go_on_text)
            if state.go_on_text == "Stop early":
                driver.touch("Go on now")
        elif state.kind == "reading":
            driver.keys(*("0", ".", "0", "1") if state.length_keys else ("9", "5"))
            driver.touch(driver.see(StepListState, lambda now: now.save.enabled).go_on_text)
        else:
            driver.touch("Done")
        driver.see(StepListState, lambda now: (now.progress, now.kind, now.bolts, now.parts, now.run, now.stage) != (
            state.progress, state.kind, state.bolts, state.parts, state.run, state.stage))


PARTS: dict[str, Callable[[Guide], None]] = {
    "session-1": Guide.session_begins, "session-2": Guide.session_goes_on, "splice": Guide.splice_with_insert,
    "bearing": Guide.two_bearings,
}


def main() -> None:
    """Open the shop at a size and do one part of the work."""
    folder, out, size, part = Path(sys.argv[1]), Path(sys.argv[2]), sys.argv[3], sys.argv[4]
    width, height = map(int, size.split("x"))
    account = Account()
    with (folder / "labels.csv").open(newline="", encoding="utf-8") as file:
        book = list(csv.DictReader(file))
    with Shop.open(folder) as shop:
        config = replace(shop.config, width=width, height=height, ppi=PANELS_PPI[width, height], camera="")
        driver = Driver(replace(shop, config=config), out)
        driver.run(lambda driver: PARTS[part](Guide(driver, book, account)), limit_s=200)
        counted = {"touches": driver.touches, "scans": driver.scans}
    (out / f"{part}.json").write_text(json.dumps({"jobs": account.jobs, **counted}), encoding="utf-8")


if __name__ == "__main__":
    main()
