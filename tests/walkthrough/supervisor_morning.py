"""A supervisor's morning in a real window: badge, findings, a unit held, a record corrected, life of parts, a report.

Run as `supervisor_morning.py SHOP OUT SIZE`; writes account.json and pictures into OUT.
"""

from __future__ import annotations

import csv
import json
import sys
import time
from dataclasses import replace
from pathlib import Path

from demo_shop.driver import Driver
from kiosk.presenters.states import ComponentState, HistoryState, IdleState, PageState
from kiosk.shop import Shop


def morning(driver: Driver, book: list[dict[str, str]], account: dict[str, str]) -> None:
    """Work through the morning."""
    badge = next(row["number"] for row in book if row["kind"] == "badge" and "supervisor" in row["what"])
    driver.see(IdleState)
    driver.scan(badge)
    driver.see(IdleState, lambda state: state.frame.header.role == "supervisor")
    driver.picture("idle")
    driver.touch("Supervisor")
    driver.see(PageState, lambda state: state.title == "Supervisor")
    driver.picture("supervisor")
    close_a_finding(driver)
    hold_a_unit(driver)
    look_at_life(driver)
    correct_a_record(driver, book, account)
    write_a_report(driver, account)


def type_text(driver: Driver, text: str) -> None:
    """Type on the letter board."""
    for letter in text:
        driver.touch("space" if letter == " " else letter)
    driver.touch("done")


def close_a_finding(driver: Driver) -> None:
    """Close the oldest finding with a reason."""
    driver.touch("Open findings")
    state = driver.see(PageState, lambda state: state.title == "Open findings")
    driver.picture("findings")
    driver.touch(state.rows[0].title)
    type_text(driver, "seen to")
    driver.see(PageState, lambda state: "closed" in state.note)
    driver.touch("Back")


def hold_a_unit(driver: Driver) -> None:
    """Hold unit 2 out of service."""
    driver.touch("Hold a unit")
    driver.see(PageState, lambda state: state.title.startswith("Hold"))
    driver.touch("Unit 2 Fulmar")
    type_text(driver, "brake")
    driver.see(PageState, lambda state: "held out" in state.note)
    driver.picture("hold")
    driver.touch("Back")


def look_at_life(driver: Driver) -> None:
    """Look at the life of shaft bearings."""
    driver.touch("Which parts do not last")
    driver.touch_in_list("Shaft bearing")
    driver.see(PageState, lambda state: state.drawing is not None)
    time.sleep(3)  # the curve is drawn on a worker
    driver.picture("life")
    driver.touch("Start")


def correct_a_record(driver: Driver, book: list[dict[str, str]], account: dict[str, str]) -> None:
    """Scan a bearing of the held unit, open its last greasing and put the strokes right."""
    number = next(row["number"] for row in book
                  if row["sheet"] == "shaft-bearing" and row["unit"] == "Unit 2 Fulmar")
    driver.scan(number)
    state = driver.see(ComponentState, lambda state: state.frame.message is not None)
    assert "held out of service" in state.frame.message.text
    driver.picture("held")
    driver.touch("History")
    state = driver.see(HistoryState)
    row = next(row for row in state.rows if "stroke" in row.summary)
    account["record"] = row.record_id
    driver.touch(f"{row.when}  {row.job}")
    driver.see(HistoryState, lambda state: state.opened is not None)
    driver.touch("Correct")
    state = driver.see(PageState, lambda state: state.title.startswith("Correct"))
    driver.picture("correct")
    driver.touch(next(row.title for row in state.rows if row.key == "strokes"))
    for key in ("12.", "3", "done"):
        driver.touch(key)
    driver.see(PageState, lambda state: any(row.lines == ("changed",) for row in state.rows))
    driver.touch("Save the correction")
    type_text(driver, "miscounted")
    driver.see(HistoryState, lambda state: state.opened is not None)
    driver.picture("corrected")
    for shown in (HistoryState, ComponentState, IdleState):
        driver.touch("Back")
        driver.see(shown)


def write_a_report(driver: Driver, account: dict[str, str]) -> None:
    """Write the month's summary."""
    driver.touch("Supervisor")
    driver.touch("Reports")
    driver.touch("Monthly summary")
    state = driver.see(PageState, lambda state: state.note.startswith("Saved as"), 60)
    driver.picture("reports")
    account["report"] = state.note.removeprefix("Saved as ")


def main(shop_folder: str, out: str, size: str) -> None:
    """Run the kiosk on a shop with the supervisor in front of it."""
    width, _, height = size.partition("x")
    with (Path(shop_folder) / "labels.csv").open(newline="", encoding="utf-8") as file:
        book = list(csv.DictReader(file))
    account: dict[str, str] = {}
    with Shop.open(Path(shop_folder)) as shop:
        config = replace(shop.config, width=int(width), height=int(height), pin_for="nobody")
        driver = Driver(replace(shop, config=config), Path(out))
        driver.run(lambda driver: morning(driver, book, account))
    (Path(out) / "account.json").write_text(json.dumps(account), encoding="utf-8")


if __name__ == "__main__":
    main(*sys.argv[1:])
