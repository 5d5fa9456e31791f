"""A newcomer's first five minutes in a real window: the tour from 'Practise' to the end of practice.

Run as `first_day.py SHOP OUT SIZE`; writes pictures into OUT.
"""

from __future__ import annotations

import sys
from dataclasses import replace
from pathlib import Path

from demo_shop.drive import PANELS_PPI, Account, Worker
from demo_shop.driver import Driver
from kiosk.presenters.states import ComponentState, FormState, HistoryState, IdleState, SavedState, UnitState
from kiosk.shop import Shop


def says(driver: Driver, words: str) -> None:
    """Wait for the tour to say something."""
    # the practice yard is built in a few seconds; on a busy machine, in many
    driver.see(object, lambda state: state.frame.message is not None and words in state.frame.message.text, 90.0)


def first_day(driver: Driver) -> None:
    """Do what the tour says."""
    newcomer = Worker(driver, [], Account())
    driver.see(IdleState)
    driver.touch("Practise")
    says(driver, "Step 1 of 7")
    driver.picture("tour-1")
    driver.touch("Scan it for me")
    says(driver, "Step 2 of 7")
    driver.touch("Scan it for me")
    says(driver, "Step 3 of 7")
    driver.picture("tour-3")
    driver.touch("I try it")
    driver.see(ComponentState, lambda state: state.quick is not None)
    driver.touch("Cautions first")
    newcomer.cautions()
    state = driver.see(ComponentState, lambda state: state.quick is not None and state.quick.enabled)
    driver.touch(state.quick.button)
    driver.see(SavedState)
    says(driver, "Step 4 of 7")
    driver.touch("Scan it for me")
    says(driver, "Step 5 of 7")
    driver.touch("I try it")
    driver.touch("Jobs")
    driver.touch_in_list("Set the sag")
    newcomer.cautions()
    sag = "1 5/8" if driver.see(FormState).unit == "in" else "41"
    says(driver, "Step 6 of 7")
    driver.picture("tour-6")
    driver.touch("I try it")
    driver.picture("tour-6-form")
    newcomer.type_length(sag)
    driver.touch("next")
    newcomer.type_length(sag)
    driver.touch("as left")
    newcomer.type_length(sag)
    driver.touch("next")
    newcomer.type_length(sag)
    form = driver.see(FormState, lambda state: state.save.enabled)
    driver.touch(form.save.text)
    driver.see(SavedState)
    says(driver, "Step 7 of 7")
    driver.touch("I try it")
    driver.touch("Back to the part")
    driver.see(ComponentState)
    driver.touch("History")
    driver.see(HistoryState)
    says(driver, "all there is to it")
    driver.picture("tour-end")
    driver.touch("Go on")
    driver.see(HistoryState, lambda state: state.frame.message is None)
    driver.touch("Back")
    driver.see(ComponentState)
    driver.touch("Back")
    if not isinstance(driver.see((IdleState, UnitState)), IdleState):
        driver.touch("Back")
    driver.touch("End practice")
    driver.see(IdleState, lambda state: "PRACTICE" not in state.frame.header.yard)
    driver.picture("after-practice")


def main() -> None:
    """Open the shop at a size and let the newcomer in."""
    folder, out, size = Path(sys.argv[1]), Path(sys.argv[2]), sys.argv[3]
    width, height = map(int, size.split("x"))
    with Shop.open(folder) as shop:
        config = replace(shop.config, width=width, height=height, ppi=PANELS_PPI[width, height], camera="")
        Driver(replace(shop, config=config), out).run(first_day)


if __name__ == "__main__":
    main()
