"""A new yard in a real window: empty folder, yard, supervisor with PIN, unit, labels, mechanic, one greasing saved.

Run as `first_run.py SHOP OUT SIZE`; writes account.json and pictures into OUT.
"""

from __future__ import annotations

import json
import sys
from dataclasses import replace
from pathlib import Path

from demo_shop.drive import Account, Worker
from demo_shop.driver import Driver
from kiosk.presenters.set_up_ports import FirstYard
from kiosk.presenters.states import ComponentState, IdleState, PageState, SavedState
from kiosk.set_up.founding import make_folder
from kiosk.shop import Shop

PPI = {"1280x800": 126.0, "1024x600": 119.0}
ACCENTS = "ñ"


def type_text(driver: Driver, text: str) -> None:
    """Type on the letter board as a person does: the first letter is a capital by itself."""
    for at, letter in enumerate(text):
        if letter.isdigit():
            driver.touch("12.")
            driver.touch(letter)
            driver.touch("abc")
        elif letter in ACCENTS:
            driver.touch("12.")
            driver.touch("áñü")
            driver.touch(letter)
            driver.touch("abc")
        elif letter == " ":
            driver.touch("space")
        elif letter.isupper() and at:
            driver.touch("Aa")
            driver.touch(letter)
        else:
            driver.touch(letter.lower())


def answer(driver: Driver, text: str) -> None:
    """Type a text and hand it over."""
    type_text(driver, text)
    driver.touch("done")


def page(driver: Driver, title: str) -> PageState:
    """Wait for a page by its title."""
    return driver.see(PageState, lambda state: state.title == title)


def walk(driver: Driver, account: dict[str, str]) -> None:
    """From nothing to the first greasing."""
    make_the_yard(driver)
    add_a_unit(driver, account)
    add_a_mechanic(driver, account)
    grease(driver, account)


def make_the_yard(driver: Driver) -> None:
    """Yard, supervisor, time zone; a PIN chosen twice."""
    page(driver, "A new yard")
    driver.picture("first-run")
    driver.touch_in_list("Yard")
    type_text(driver, "Kelp L")
    driver.picture("letters")
    answer(driver, "ane")
    driver.touch_in_list("First supervisor")
    answer(driver, "Ana Peña")
    driver.touch_in_list("Time zone")
    page(driver, "Part of the world")
    driver.touch_in_list("Europe")
    page(driver, "Time zone")
    driver.touch_in_list("Madrid")
    page(driver, "A new yard")
    driver.touch_in_list("Make the yard")
    driver.see(IdleState, lambda state: state.frame.message is not None)
    driver.picture("badge")
    driver.touch("Go on")
    for _ in range(2):
        driver.see(IdleState, lambda state: state.frame.pin_pad is not None)
        driver.keys("4", "7", "1", "1")
        driver.touch("Sign in")
    page(driver, "Set up the yard")
    driver.picture("set-up")


def add_a_unit(driver: Driver, account: dict[str, str]) -> None:
    """A flight elevator from its template, and all its labels on sheets."""
    driver.touch_in_list("Units")
    driver.touch_in_list("Add a unit")
    driver.touch_in_list("flight elevator")
    page(driver, "A new unit")
    driver.touch_in_list("Name")
    answer(driver, "Unit 1")
    driver.touch_in_list("Hour meter")
    answer(driver, "12x")
    state = driver.see(PageState, lambda state: state.frame.message is not None)
    account["refused"] = next(row.begins for row in state.rows if row.key == "hours")
    driver.picture("refused")
    driver.touch_in_list("Hour meter")
    driver.touch("rub_out")
    driver.touch("done")
    driver.touch_in_list("Put it on record")
    page(driver, "Unit 1")
    driver.picture("unit")
    driver.touch_in_list("Print all labels")
    state = driver.see(PageState, lambda state: state.note.startswith("Printed as"), 60)
    account["labels"] = state.note.removeprefix("Printed as ")
    driver.touch("Back")
    page(driver, "Units")
    driver.touch("Back")


def add_a_mechanic(driver: Driver, account: dict[str, str]) -> None:
    """A mechanic with a printed badge."""
    page(driver, "Set up the yard")
    driver.touch_in_list("Crew and badges")
    driver.touch_in_list("Add somebody")
    answer(driver, "Bo Lind")
    driver.touch_in_list("Mechanic")
    state = driver.see(PageState, lambda state: "is printed" in state.note)
    driver.picture("person")
    account["badge_page"] = state.note.rpartition(": ")[2]
    records = driver.app.shop.records
    account["badge"] = driver._ask(lambda: next(one.badge for one in records.people() if one.name == "Bo Lind"))
    account["bearing"] = driver._ask(lambda: next(
        part.label for part in records.components_of_unit("unit-1") if part.sheet == "shaft-bearing"))
    driver.touch("Start")
    driver.see(IdleState)


def grease(driver: Driver, account: dict[str, str]) -> None:
    """The mechanic's first job: badge, label, cautions, saved."""
    driver.scan(account["badge"])
    driver.see(IdleState, lambda state: state.frame.header.person == "Bo Lind")
    driver.scan(account["bearing"])
    driver.see(ComponentState, lambda state: state.quick is not None)
    driver.touch("Cautions first")
    Worker(driver, [], Account()).cautions()
    driver.see(ComponentState)
    driver.picture("component")
    driver.touch("Save 2 strokes")
    driver.see(SavedState)
    driver.picture("saved")


def main(shop_folder: str, out: str, size: str) -> None:
    """Run the kiosk on a new folder with somebody in front of it."""
    width, _, height = size.partition("x")
    account: dict[str, str] = {}
    make_folder(Path(shop_folder), FirstYard(units="mm", page="A4"))
    with Shop.open(Path(shop_folder)) as shop:
        config = replace(shop.config, width=int(width), height=int(height), ppi=PPI[size])
        driver = Driver(replace(shop, config=config), Path(out))
        driver.run(lambda driver: walk(driver, account))
    (Path(out) / "account.json").write_text(json.dumps(account), encoding="utf-8")


if __name__ == "__main__":
    main(*sys.argv[1:])
