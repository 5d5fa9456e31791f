"""A mechanic replaces a bearing in a real window while the printer fails: run as a program by the walk-through test.

`python printing_walk.py SHOP OUT PRINTER_FOLDER` sets the shop's printer, drives the window, and leaves pictures and
`account.json` in OUT.
"""

from __future__ import annotations

import csv
import json
import sys
from pathlib import Path

from printer_programs import LabelPrinterProgram

from demo_shop.drive import MECHANIC, Account, Worker
from demo_shop.driver import Driver
from kiosk.presenters.states import ComponentState, IdleState, ReplaceState, SavedState
from kiosk.shop import Shop


def walk(driver: Driver, worker: Worker, program: LabelPrinterProgram) -> dict[str, object]:
    """Replace the bearing: the printer is off, then killed in the middle, then prints; return what happened."""
    driver.see(IdleState)
    driver.scan(worker.badge(MECHANIC))
    driver.see(IdleState, lambda state: bool(state.frame.header.person))
    old = worker.label("shaft-bearing")
    driver.scan(old)
    driver.see(ComponentState)
    driver.touch("Jobs")
    driver.touch_in_list("Change the bearing")
    worker.cautions()
    driver.see(ReplaceState)
    driver.touch_in_list("seized")
    driver.touch("Print label")
    driver.see(ReplaceState, lambda state: state.label is not None and "does not answer" in state.label.text)
    driver.picture("printer-off")
    program.behave("sleep 30\n")
    program.start()
    driver.see(ReplaceState, lambda state: "at the printer" in state.label.text)
    program.stop()
    program.behave("")
    program.start()
    driver.see(ReplaceState, lambda state: "Look whether" in (state.frame.message.text if state.frame.message else ""))
    driver.picture("printer-asks")
    before_the_word = len(program.came_out())
    driver.touch("It did not: print it again")
    driver.see(ReplaceState, lambda state: "should be out" in state.label.text)
    driver.picture("label-out")
    number = driver.see(ReplaceState).label.number.replace(" ", "")
    driver.scan(number)
    state = driver.see(ReplaceState, lambda state: state.label.read_back)
    driver.touch(state.save.text)
    record_id = driver.see(SavedState).record_id
    return {"old": old, "number": number, "record_id": record_id, "before_the_word": before_the_word,
            "came_out": [str(path) for path in program.came_out()]}


def main() -> int:
    shop_folder, out, printer_folder = map(Path, sys.argv[1:4])
    out.mkdir(parents=True, exist_ok=True)
    program = LabelPrinterProgram(printer_folder)
    with (shop_folder / "kiosk.toml").open("a", encoding="utf-8") as settings:
        settings.write(f'\nprinter = "{program.address}"\n')
    with (shop_folder / "labels.csv").open(newline="", encoding="utf-8") as book:
        rows = list(csv.DictReader(book))
    account: dict[str, object] = {}
    try:
        with Shop.open(shop_folder) as shop:
            driver = Driver(shop, out)
            driver.run(lambda driver: account.update(walk(driver, Worker(driver, rows, Account()), program)))
    finally:
        program.stop()
    (out / "account.json").write_text(json.dumps(account), encoding="utf-8")
    return 0 if account else 1


if __name__ == "__main__":
    sys.exit(main())
