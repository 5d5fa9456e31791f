"""A supervisor's morning in a real window: badge, findings, what is coming, a unit held, histories filtered and on a
stick, life of parts, a trend, a record corrected, a finding by hand with a photo, a report.

Run as `supervisor_morning.py SHOP OUT SIZE`; writes account.json and pictures into OUT.
"""

from __future__ import annotations

import csv
import json
import sys
import time
from dataclasses import replace
from pathlib import Path

import cv2
import numpy as np

from demo_shop.driver import Driver
from kiosk.presenters.states import ComponentState, HistoryState, IdleState, PageState, PhotosState
from kiosk.report_press import ReportPress
from kiosk.shop import Shop, floor_settings

LONGEST_S = 420.0
PICTURE = Path(__file__).parents[1] / "data" / "photo_sample.jpg"


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
    look_at_what_is_coming(driver)
    look_through_histories(driver, book, account)
    hold_a_unit(driver)
    look_at_life(driver)
    correct_a_record(driver, book, account)
    report_with_a_photo(driver, book, account)
    write_a_report(driver, account)


def type_text(driver: Driver, text: str) -> None:
    """Type on the letter board."""
    for letter in text:
        driver.touch("space" if letter == " " else letter)
    driver.touch("done")


def close_a_finding(driver: Driver) -> None:
    """Close the oldest finding with a reason."""
    driver.touch_in_list("Open findings")
    state = driver.see(PageState, lambda state: state.title == "Open findings")
    driver.picture("findings")
    driver.touch(state.rows[0].title)
    driver.see(PageState, lambda page: page.title == state.rows[0].title)
    driver.picture("finding")
    driver.touch_in_list("Close the finding")
    type_text(driver, "seen to")
    driver.see(PageState, lambda state: "closed" in state.note)
    driver.touch("Back")
    driver.see(PageState, lambda state: state.title == "Open findings")
    driver.touch("Back")
    driver.see(PageState, lambda state: state.title == "Supervisor")


def look_at_what_is_coming(driver: Driver) -> None:
    """Look at what is overdue, due this shift and this week, and open what is due this shift."""
    driver.touch_in_list("What is coming")
    state = driver.see(PageState, lambda state: state.title == "What is coming")
    driver.picture("coming")
    driver.touch(next(row.title for row in state.rows if row.key == "shift"))
    driver.see(PageState, lambda state: state.title == "Due this shift" and len(state.rows) > 3)
    driver.picture("due-this-shift")
    for _ in range(2):
        driver.touch("Back")
    driver.see(PageState, lambda state: state.title == "Supervisor")


def look_through_histories(driver: Driver, book: list[dict[str, str]], account: dict[str, str]) -> None:
    """Look through a unit's history, one kind of work and the last year only, and write it to the USB stick, on A4."""
    driver.touch_in_list("Histories")
    driver.see(PageState, lambda state: state.title == "Histories")
    driver.touch_in_list(next(row["unit"] for row in book if row["sheet"] == "flight-chain"))
    driver.see(HistoryState, lambda state: state.scope == "unit" and state.has_more)
    driver.picture("unit-history")
    driver.touch_in_list("Older records")
    driver.see(HistoryState, lambda state: state.has_newer)
    driver.touch("Filter")
    driver.touch_in_list("Days")
    driver.touch_in_list("The last year")
    driver.see(HistoryState, lambda state: "The last year" in state.count_text)
    driver.touch("Filter")
    driver.touch_in_list("Verdict")
    driver.touch_in_list("outside")
    driver.see(HistoryState, lambda state: all(row.mark.word == "outside" for row in state.rows))
    driver.picture("unit-history-filtered")
    driver.touch("Files")
    driver.touch("Paper: Letter")
    driver.touch_in_list("Saved to: report folder of the kiosk")
    driver.picture("files")
    driver.touch_in_list("Write it as PDF")
    state = driver.see(HistoryState, lambda state: state.exported.startswith("Saved as"), 60)
    account["on stick"] = state.exported.removeprefix("Saved as ")
    for _ in range(2):
        driver.touch("Back")
    driver.see(PageState, lambda state: state.title == "Supervisor")


def hold_a_unit(driver: Driver) -> None:
    """Hold unit 2 out of service."""
    driver.touch_in_list("Hold a unit")
    driver.see(PageState, lambda state: state.title.startswith("Hold"))
    driver.touch("Unit 2 Fulmar")
    type_text(driver, "brake")
    driver.see(PageState, lambda state: "held out" in state.note)
    driver.picture("hold")
    driver.touch("Back")


def look_at_life(driver: Driver) -> None:
    """Look at the life of shaft bearings."""
    driver.touch_in_list("Which parts do not last")
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


def report_with_a_photo(driver: Driver, book: list[dict[str, str]], account: dict[str, str]) -> None:
    """Look at a chain's trend, write down what is wrong with it, how soon it must be put right, and take its photo."""
    driver.scan(next(row["number"] for row in book if row["sheet"] == "flight-chain"))
    driver.see(ComponentState, lambda state: state.has_trend)
    driver.touch("Trend")
    driver.see(ComponentState, lambda state: state.trend is not None)
    time.sleep(3)  # the chart is drawn on a worker
    driver.picture("trend")
    for words in ("Figures", "The part", "Jobs"):
        driver.touch(words)
    driver.touch_in_list("Report a finding")
    type_text(driver, "link cracked")
    driver.touch("Repair before it goes out")
    driver.touch("Take a photo of it")
    driver.see(PhotosState, lambda state: state.looks)
    time.sleep(1)  # the camera's picture comes
    driver.picture("photo-looking")
    driver.touch("Take")
    driver.see(PhotosState, lambda state: state.is_taken)
    driver.touch("Keep it")
    state = driver.see(PhotosState, lambda state: state.count == 1 and not state.is_taken)
    driver.picture("photo")
    assert state.photo is not None
    account["photo"] = state.photo.path
    driver.touch("Start")
    driver.see(IdleState)


def write_a_report(driver: Driver, account: dict[str, str]) -> None:
    """Write the month's summary."""
    driver.touch("Supervisor")
    driver.touch_in_list("Reports")
    driver.touch_in_list("Monthly summary")
    state = driver.see(PageState, lambda state: state.note.startswith("Saved as"), 60)
    driver.picture("reports")
    account["report"] = state.note.removeprefix("Saved as ")


def clip_of(picture: Path, folder: Path) -> Path:
    """Return a clip that stands in for the camera: the picture, held in an unsteady hand; no label is in it."""
    folder.mkdir(parents=True, exist_ok=True)
    image = cv2.imread(str(picture))
    height, width = image.shape[:2]
    clip = folder / "camera.avi"
    writer = cv2.VideoWriter(str(clip), cv2.VideoWriter_fourcc(*"MJPG"), 15.0, (width, height))
    for place in range(30):
        shift = np.float32([[1, 0, place % 5], [0, 1, place % 3]])
        writer.write(cv2.warpAffine(image, shift, (width, height)))
    writer.release()
    return clip


def main(shop_folder: str, out: str, size: str) -> None:
    """Run the kiosk on a shop with the supervisor in front of it."""
    width, _, height = size.partition("x")
    with (Path(shop_folder) / "labels.csv").open(newline="", encoding="utf-8") as file:
        book = list(csv.DictReader(file))
    account: dict[str, str] = {}
    with Shop.open(Path(shop_folder)) as shop:
        config = replace(shop.config, width=int(width), height=int(height), pin_for="nobody",
                         camera=str(clip_of(PICTURE, Path(out))))
        stick = Path(out) / "STICK"
        stick.mkdir(parents=True)
        # The stick is a folder: what the system has mounted is the only thing that stands in for a real one.
        reports = ReportPress(shop.records, shop.sheets, shop.folder / config.reports, floor_settings(config),
                              config.page, shop.clock, lambda: {"STICK": stick}, shop.photos.path)
        driver = Driver(replace(shop, config=config, reports=reports), Path(out))
        driver.run(lambda driver: morning(driver, book, account), LONGEST_S)
    (Path(out) / "account.json").write_text(json.dumps(account), encoding="utf-8")


if __name__ == "__main__":
    main(*sys.argv[1:])
