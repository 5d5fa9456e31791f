"""A supervisor restores damaged records in a real window. Run as `restore_walk.py SHOP OUT SIZE`.

Writes account.json (whether the kiosk wants to start again) and pictures into OUT.
"""

from __future__ import annotations

import json
import sys
from dataclasses import replace
from pathlib import Path

from demo_shop.book import read_book
from demo_shop.driver import Driver
from kiosk.presenters.states import IdleState, PageState
from kiosk.shop import Shop

PIN = "8264913"


def walk(driver: Driver, badge: str, part: str) -> None:
    """Read why nothing can be saved, look at a history all the same, then restore."""
    state = driver.see(IdleState, lambda state: state.frame.message is not None)
    assert state.frame.message is not None and "damaged" in state.frame.message.text
    driver.picture("damaged")
    driver.scan(badge)
    driver.see(IdleState, lambda state: state.frame.pin_pad is not None)
    driver.keys(*PIN)
    driver.touch("Sign in")
    driver.see(IdleState, lambda state: state.frame.message is not None and state.frame.message.kind == "question")
    driver.picture("offer")
    driver.touch("Look at the backups")
    state = driver.see(PageState, lambda state: state.title.startswith("Restore"))
    driver.picture("backups")
    driver.touch(state.rows[0].title)
    driver.see(PageState, lambda state: state.title == "This is what would be there", 60)
    driver.picture("rehearsed")
    driver.touch_in_list("Restore now")
    driver.see(PageState, lambda state: state.frame.message is not None)
    driver.picture("sure")
    driver.touch("Yes, restore")
    driver._wait(lambda: driver.app.again, "the kiosk to start again", 60)


def main(shop_folder: str, out: str, size: str) -> None:
    """Run the kiosk on a shop with damaged records."""
    folder = Path(shop_folder)
    width, _, height = size.partition("x")
    book = read_book(folder)
    badge = next(row["number"] for row in book if row["kind"] == "badge" and "supervisor" in row["what"])
    part = next(row["number"] for row in book if row["sheet"] == "shaft-bearing")
    with Shop.open(folder, at_window=True) as shop:
        config = replace(shop.config, width=int(width), height=int(height))
        driver = Driver(replace(shop, config=config), Path(out))
        driver.run(lambda driver: walk(driver, badge, part))
    Path(out, "account.json").write_text(json.dumps({"again": driver.app.again.value if driver.app.again else ""}))


if __name__ == "__main__":
    main(*sys.argv[1:])
