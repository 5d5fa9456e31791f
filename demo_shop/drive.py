"""Work through the main jobs on the demo yard, by real key and touch events, with nobody at the kiosk.

`python -m demo_shop.drive --out FOLDER` leaves pictures of every screen, the new label, the history and an account of
what was saved (`account.json`) in the folder, and exits 0 only if every job was saved. Needs a display; without one it
starts a virtual one (Xvfb).
"""

from __future__ import annotations

import argparse
import csv
import json
import os
import shutil
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import asdict, dataclass, field, replace
from pathlib import Path
from typing import Any

from demo_shop.driver import Driver
from kiosk.presenters.states import (
    CautionsState,
    ComponentState,
    FormState,
    HistoryState,
    IdleState,
    ReplaceState,
    SavedState,
    SpliceState,
    UnitState,
)
from kiosk.shop import Shop

HERE = Path(__file__).resolve().parent
MECHANIC = "Tomas Reyl"
PANELS_PPI = {(1280, 800): 126.0, (1024, 600): 119.0}
"""Pixels per inch of the two panels, 12 and 10 inches across; another size keeps the shop's own. [1/in]"""


@dataclass
class Account:
    """What the run did; the tests hold the database and the files against it."""

    jobs: dict[str, dict[str, Any]] = field(default_factory=dict)
    files: dict[str, str] = field(default_factory=dict)


class Worker:
    """A mechanic at the kiosk: knows the yard's labels and goes about the jobs."""

    def __init__(self, driver: Driver, book: list[dict[str, str]], account: Account) -> None:
        self.driver, self.book, self.account = driver, book, account
        self._counted_from: tuple[int, ...] = (0, 0, 0)

    def label(self, sheet: str) -> str:
        """Return the number of the first part of a kind."""
        return next(row["number"] for row in self.book if row["sheet"] == sheet)

    def badge(self, name: str) -> str:
        """Return the number of somebody's badge."""
        return next(row["number"] for row in self.book if row["kind"] == "badge" and name in row["what"])

    def work(self) -> None:
        """Do all the jobs, one after the other."""
        driver = self.driver
        driver.see(IdleState)
        driver.picture("idle")
        driver.scan(self.badge(MECHANIC))
        driver.see(IdleState, lambda state: bool(state.frame.header.person))
        self.grease_first()
        self.grease_again()
        self.look_at_the_unit()
        self.adjust()
        self.splice()
        self.replace()
        self.pull_the_history()

    # --- the jobs ---

    def grease_first(self) -> None:
        """The first greasing of the shift asks for the cautions and the hour meter."""
        driver = self.driver
        self.count_from_here()
        number = self.label("shaft-bearing")
        driver.scan(number)
        driver.see(ComponentState, lambda state: state.quick is not None)
        driver.picture("component")
        driver.touch("Cautions first")
        self.cautions()
        driver.see(ComponentState)
        driver.touch("Save 2 strokes")
        self.saved("grease", number)

    def grease_again(self) -> None:
        """The next bearing of the round costs one scan and one touch."""
        driver = self.driver
        number = [row["number"] for row in self.book if row["sheet"] == "shaft-bearing"][1]
        self.count_from_here()
        driver.scan(number)
        driver.see(ComponentState, lambda state: state.quick is not None)
        driver.touch("Save 2 strokes")
        self.saved("grease again", number)

    def look_at_the_unit(self) -> None:
        """From the part to its unit and back."""
        self.driver.touch("To the unit")
        self.driver.see(UnitState)
        self.driver.picture("unit")

    def adjust(self) -> None:
        """Chain sag: as found outside, turned as advised, as left within."""
        driver = self.driver
        self.count_from_here()
        number = self.label("flight-chain")
        driver.scan(number)
        driver.see(ComponentState)
        driver.touch("Jobs")
        driver.touch_in_list("Set the sag")
        self.cautions()
        driver.see(FormState)
        self.type_length("2 3/4")
        driver.touch("next")
        self.type_length("2 5/8")
        driver.see(FormState, lambda state: bool(state.advice))
        driver.picture("form-as-found")
        driver.touch("as left")
        self.type_length("1 5/8")
        driver.touch("next")
        self.type_length("1 5/8")
        state = driver.see(FormState, lambda state: state.save.enabled)
        driver.picture("form-as-left")
        driver.touch(state.save.text)
        self.saved("adjust", number)

    def splice(self) -> None:
        """A bad length near the middle of a belt is cut out, the joint tightened from the centre outward."""
        driver = self.driver
        self.count_from_here()
        number = self.label("cleated-belt")
        driver.scan(number)
        driver.see(ComponentState)
        driver.touch("Jobs")
        driver.touch_in_list("Cut out and splice")
        self.cautions()
        driver.see(SpliceState)
        self.type_length("48")
        driver.touch("next")
        self.type_length("51")
        driver.touch("Go on")
        state = driver.see(SpliceState, lambda state: bool(state.plans))
        driver.touch_in_list(state.plans[0].title)
        driver.see(SpliceState, lambda state: state.plans[0].chosen)
        driver.picture("splice-plan")
        driver.touch("Go on")
        self.step_list()
        order = []
        state = driver.see(SpliceState, lambda state: bool(state.bolts))
        for ticked in range(1, len(state.bolts) + 1):
            order.append(next(bolt.number for bolt in state.bolts if bolt.next))
            driver.touch("bolt is tight")
            state = driver.see(SpliceState, lambda state, n=ticked: sum(bolt.ticked for bolt in state.bolts) == n)
            if ticked == len(state.bolts) // 2:
                driver.picture("splice-joint")
        driver.touch("Save the splice")
        self.saved("splice", number, bolts=order)

    def step_list(self) -> None:
        """Tick the steps before the joint, one after the other."""
        driver = self.driver
        state = driver.see(SpliceState, lambda state: state.stage in ("steps", "joint"))
        while state.stage == "steps":
            assert state.step is not None
            driver.touch("Done")
            state = driver.see(SpliceState, lambda now, before=state.step: now.step != before)

    def replace(self) -> None:
        """A seized bearing goes, a new one comes with its label, read back before it counts."""
        driver = self.driver
        self.count_from_here()
        number = self.label("shaft-bearing")
        driver.scan(number)
        driver.see(ComponentState)
        driver.touch("Jobs")
        driver.touch_in_list("Change the bearing")
        self.cautions()
        driver.see(ReplaceState)
        driver.touch_in_list("seized")
        driver.touch("Print label")
        state = driver.see(ReplaceState, lambda state: state.label is not None)
        driver.touch("Read it back")
        state = driver.see(ReplaceState, lambda state: state.label is not None and state.label.read_back)
        driver.picture("replace")
        assert state.label is not None
        self.account.files["label"] = str(state.label.pdf)
        driver.touch(state.save.text)
        self.saved("replace", number, new_label=state.label.number.replace(" ", ""))

    def pull_the_history(self) -> None:
        """The new part's whole position on paper and as a file."""
        driver = self.driver
        driver.touch("Back to the part")
        driver.see(ComponentState)
        driver.touch("History")
        driver.see(HistoryState)
        driver.touch("Whose")
        driver.touch("Whole place")
        driver.see(HistoryState, lambda state: len(state.rows) > 3)
        driver.picture("history")
        for name in ("PDF", "CSV"):
            driver.touch("Files")
            driver.touch(f"Write it as {name}")
            state = driver.see(HistoryState, lambda state, name=name: state.exported.endswith(name.lower()))
            self.account.files[f"history {name}"] = state.exported.removeprefix("Saved as ")
        self.account.jobs["history"] = {"rows": len(state.rows)}

    # --- what they share ---

    def cautions(self) -> None:
        """Confirm every card by touch, then the hour meter; nothing to do where both are fresh."""
        driver = self.driver
        state = driver.see((CautionsState, FormState, SpliceState, ReplaceState))
        if not isinstance(state, CautionsState):
            return
        driver.picture("cautions")
        before = self._counts()
        while open_cards := [card for card in driver.see(CautionsState).cards if not card.confirmed]:
            card = open_cards[0]
            driver.touch_in_list(card.hazard)
            driver.see(CautionsState, lambda state, key=card.key: all(
                other.confirmed for other in state.cards if other.key == key))
        state = driver.see(CautionsState)
        if state.hours is not None and not state.hours.confirmed:
            driver.touch("Hours are right")
            driver.see(CautionsState, lambda state: state.ready)
        driver.touch("Go on")
        took = [now - then for now, then in zip(self._counts(), before, strict=True)]
        self._counted_from = tuple(count + more for count, more in zip(self._counted_from, took, strict=True))

    def count_from_here(self) -> None:
        """Begin to count a job's scans and touches; cautions, asked once a shift, are left out of it."""
        self._counted_from = self._counts()

    def _counts(self) -> tuple[int, ...]:
        return self.driver.scans, self.driver.touches, self.driver.digits

    def type_length(self, text: str) -> None:
        """Type a length in inches on the keypad, as it is written: '2 3/4'."""
        whole, _, fraction = text.partition(" ")
        self.driver.keys(*whole)
        if fraction:
            top, _, bottom = fraction.partition("/")
            self.driver.keys("and", *top, f"□/{bottom}")

    def saved(self, job: str, label: str, **more: Any) -> None:
        """Wait until the kiosk says that it is saved, and note it down."""
        state = self.driver.see(SavedState)
        self.driver.picture(f"saved-{job.replace(' ', '-')}")
        scans, touches, digits = (now - then for now, then in zip(self._counts(), self._counted_from, strict=True))
        self.account.jobs[job] = {"record_id": state.record_id, "label": label, "scans": scans, "touches": touches,
                                  "digits": digits, **more}


def work_through(shop_folder: Path, out: Path, size: str = "1280x800") -> Account:
    """Run the kiosk on a shop and the worker in front of it; return the account, also written to `out`."""
    width, _, height = size.partition("x")
    account = Account()
    with (shop_folder / "labels.csv").open(newline="", encoding="utf-8") as file:
        book = list(csv.DictReader(file))
    with Shop.open(shop_folder) as shop:
        ppi = PANELS_PPI.get((int(width), int(height)), shop.config.ppi)
        shop = replace(shop, config=replace(shop.config, width=int(width), height=int(height), ppi=ppi))
        driver = Driver(shop, out)
        driver.run(lambda driver: Worker(driver, book, account).work())
    for name, file_name in account.files.items():
        shutil.copy(file_name, out)
        account.files[name] = str(out / Path(file_name).name)
    (out / "account.json").write_text(json.dumps(asdict(account), indent=1), encoding="utf-8")
    return account


@contextmanager
def a_display(size: str) -> Iterator[None]:
    """Have a display: the one there is, or a virtual one of this size while it is needed."""
    if os.environ.get("DISPLAY"):
        yield
        return
    number = next(n for n in range(91, 200) if not Path(f"/tmp/.X{n}-lock").exists())
    server = subprocess.Popen(["Xvfb", f":{number}", "-screen", "0", f"{size}x24", "-nolisten", "tcp"],
                              stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
    os.environ["DISPLAY"] = f":{number}"
    try:
        _wait_for_socket(Path(f"/tmp/.X11-unix/X{number}"))
        yield
    finally:
        del os.environ["DISPLAY"]
        server.terminate()


def _wait_for_socket(path: Path) -> None:
    for _ in range(100):
        if path.exists():
            return
        time.sleep(0.1)


def main() -> int:
    """Work through a copy of the demo shop, so that it stays as it was built; or through the shop itself."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--shop", type=Path, default=HERE / "shop")
    parser.add_argument("--out", type=Path, default=HERE / "out")
    parser.add_argument("--size", default="1280x800")
    parser.add_argument("--in-place", action="store_true", help="work on the shop itself instead of a copy")
    options = parser.parse_args()
    options.out.mkdir(parents=True, exist_ok=True)
    with tempfile.TemporaryDirectory() as folder, a_display(options.size):
        shop = options.shop
        if not options.in_place:
            shop = Path(folder) / "shop"
            shutil.copytree(options.shop, shop)
        try:
            account = work_through(shop, options.out, options.size)
        except AssertionError as error:
            print(f"Not every job was saved: {error}", file=sys.stderr)
            return 1
    for job, facts in account.jobs.items():
        print(f"  saved: {job:12} {facts}")
    print(f"Pictures, the label and the history are in {options.out}.")
    return 0


if __name__ == "__main__":
    sys.exit(main())
