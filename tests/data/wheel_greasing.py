"""One greasing on an installed kiosk, by scanner keys and touches: `python wheel_greasing.py SHOP` exits 0 when saved.

Run with the environment's own Python outside the checkout, so that only what the wheel brought is there.
"""

from __future__ import annotations

import csv
import sys
from pathlib import Path

import kiosk
from demo_shop.drive import Account, Worker
from demo_shop.driver import Driver
from kiosk.presenters.states import IdleState
from kiosk.shop import Shop


def main(folder: Path) -> int:
    """Sign in, grease the first bearing, and say where the program came from."""
    book = list(csv.DictReader((folder / "labels.csv").open(encoding="utf-8", newline="")))
    account = Account()
    with Shop.open(folder) as shop:
        driver = Driver(shop, folder / "pictures")
        driver.run(lambda driver: _grease(Worker(driver, book, account)))
    print(kiosk.__file__)
    return 0 if account.jobs.get("grease") else 1


def _grease(worker: Worker) -> None:
    worker.driver.see(IdleState)
    worker.driver.scan(worker.badge("Tomas Reyl"))
    worker.driver.see(IdleState, lambda state: bool(state.frame.header.person))
    worker.grease_first()


if __name__ == "__main__":
    sys.exit(main(Path(sys.argv[1])))
