"""Takes a shop's print queue on until it is killed: run as a program by the kill test. `print_and_die.py SHOP LATER_S`.

Its clock runs ahead, so that a label left by the program before it counts as left.
"""

from __future__ import annotations

import sys
import time
from datetime import timedelta
from pathlib import Path

from kiosk.print_queue import PrintQueue
from kiosk.records.ids import new_id
from kiosk.shop import Shop, utc_now
from labels.layout import LabelStock
from labels.printer import Printer


def main() -> None:
    later = timedelta(seconds=float(sys.argv[2]))
    with Shop.open(Path(sys.argv[1])) as shop:
        queue = PrintQueue(shop.records, Printer(shop.config.printer), LabelStock(), lambda: utc_now() + later, new_id)
        print("ready", flush=True)
        while True:
            queue.step()
            time.sleep(0.01)


if __name__ == "__main__":
    main()
