"""One kiosk of the test yard as a process of its own: works at random, exchanges beside it, and is killed.

It writes the id of each event on its standard output as soon as the records said it is saved.
"""

from __future__ import annotations

import os
import random
import sys
import time
from datetime import UTC, datetime, timedelta
from pathlib import Path

from yard_work import WORK, Hand

from kiosk.hub_worker import HubWorker
from kiosk.records import YardRecords
from kiosk.records.hub.address import HubAddress, role_of
from kiosk.records.hub.exchange import Exchange


def main() -> None:
    """Work until killed: PATH NUMBER URL SECRET SECONDS-OFF SEED PAUSE-S."""
    path, number, url, secret, offset_s, seed, pause_s = sys.argv[1:]
    kiosk, chance = int(number), random.Random(int(seed))
    records = YardRecords.open(Path(path), kiosk)
    exchange = Exchange(records, kiosk, HubAddress(url, Path(secret), role_of(kiosk)), f"box-{kiosk}", "1",
                        lambda: datetime.now(UTC))
    HubWorker(exchange, records, every_s=0.1).start()
    while not records.units():  # a new kiosk: the yard comes from the hub
        time.sleep(0.02)
    hand = Hand(records, kiosk)
    while True:
        now = datetime.now(UTC) + timedelta(seconds=float(offset_s))
        for event in hand.work(chance.choice(WORK), chance.randrange(100), now):
            os.write(1, f"{event.id}\n".encode())
        time.sleep(chance.uniform(0.0, 2 * float(pause_s)))


if __name__ == "__main__":
    main()
