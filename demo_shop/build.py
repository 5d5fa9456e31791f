"""Build the demo shop: `python -m demo_shop.build`. Three years of records take a quarter of a minute.

Everything is made anew in a folder beside the wanted one, which takes its place only when all is done.
"""

from __future__ import annotations

import argparse
import shutil
import sys
import time
from collections.abc import Callable, Iterator
from datetime import UTC, datetime
from pathlib import Path

from demo_shop.book import write_book
from demo_shop.history import THREE_YEARS_DAYS, History, Scope, this_morning
from demo_shop.yard import KIOSK, TIME_ZONE
from kiosk.events import Event
from kiosk.records import YardRecords
from kiosk.sheets import SheetShelf

HERE = Path(__file__).resolve().parent
SHEETS, SHOP = HERE / "sheets", HERE / "shop"
SMALL_DAYS = 60
# So many events are saved in one transaction.
_BATCH = 4000
_CONFIG = f"""\
# The demo shop's kiosk. README.md lists every setting.
kiosk = {KIOSK}
time_zone = "{TIME_ZONE}"
units = "in"
camera = ""
"""

Say = Callable[[str], None]


def build(folder: Path = SHOP, now: datetime | None = None, days: int = THREE_YEARS_DAYS, seed: int = 7,
          say: Say = lambda line: None) -> Path:
    """Build the demo shop in a folder, in place of what was there, and return the folder.

    Args:
        now: The history ends on the morning of this day; the real present by default. Aware.
        days: Length of the history.
        seed: The same seed, days and `now` give the same journal to the last hash.
        say: Gets a line of progress now and then.
    """
    scope = Scope(this_morning(now or datetime.now(UTC)), days, seed)
    unfinished = folder.with_name(folder.name + ".unfinished")
    shutil.rmtree(unfinished, ignore_errors=True)
    unfinished.mkdir(parents=True)
    shutil.copytree(SHEETS, unfinished / "sheets")
    (unfinished / "kiosk.toml").write_text(_CONFIG, encoding="utf-8")
    _write_records(unfinished, scope, say)
    shutil.rmtree(folder, ignore_errors=True)
    unfinished.rename(folder)
    return folder


def build_small(folder: Path, now: datetime | None = None, days: int = SMALL_DAYS, seed: int = 7) -> Path:
    """Build the same yard with two months of history: for tests, in a second or two."""
    return build(folder, now, days, seed)


def _write_records(folder: Path, scope: Scope, say: Say) -> None:
    history = History(scope, SheetShelf.load(folder / "sheets"))
    records = YardRecords.open(folder / "kiosk.db", KIOSK)
    try:
        saved = 0
        for batch in _in_batches(history):
            records.append_all(batch)
            saved += len(batch)
            say(f"{saved:7,d} entries, up to {batch[-1].at:%Y-%m-%d}")
        write_book(records, folder)
    finally:
        records.close()


def _in_batches(days: Iterator[list[Event]] | History) -> Iterator[list[Event]]:
    batch: list[Event] = []
    for events in days:
        batch += events
        if len(batch) >= _BATCH:
            yield batch
            batch = []
    if batch:
        yield batch


def main(arguments: list[str] | None = None) -> int:
    """Build the demo shop as the command line says."""
    parser = argparse.ArgumentParser(prog="python -m demo_shop.build", description=__doc__.partition("\n")[0])
    parser.add_argument("--to", type=Path, default=SHOP, metavar="FOLDER", help="the shop's folder; built anew")
    parser.add_argument("--now", type=datetime.fromisoformat, metavar="TIME",
                        help="end the history on this day, like 2026-03-02T12:00+00:00; default: the present")
    parser.add_argument("--days", type=int, default=THREE_YEARS_DAYS, help="of history; default: %(default)s")
    parser.add_argument("--seed", type=int, default=7)
    chosen = parser.parse_args(arguments)
    if chosen.now is not None and chosen.now.tzinfo is None:
        chosen.now = chosen.now.replace(tzinfo=UTC)
    began = time.monotonic()
    build(chosen.to, chosen.now, chosen.days, chosen.seed, lambda line: print(f"      {line}", flush=True))
    print(f"      The demo yard is in {chosen.to}, made in {time.monotonic() - began:.0f} s.")
    return 0


if __name__ == "__main__":
    sys.exit(main())
