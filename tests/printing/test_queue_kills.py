"""A kiosk killed at any moment while it prints: each label comes out once, or somebody is asked; never twice."""

from __future__ import annotations

import random
import subprocess
import sys
import time
from collections import Counter
from pathlib import Path

import pytest
from label_checks import picture_of_raster
from printer_programs import NEEDED, LabelPrinterProgram, missing, wait_until
from pyzbar.pyzbar import ZBarSymbol, decode

from kiosk.entities import LabelKind, PrintState
from kiosk.shop import Shop

PROGRAM = Path(__file__).parents[1] / "data" / "print_and_die.py"
ROUNDS, SEED = 8, 5
pytestmark = [pytest.mark.slow,
              pytest.mark.skipif(bool(missing(NEEDED)), reason=f"not installed: {missing(NEEDED)}")]


def start(shop: Path, later_s: float) -> subprocess.Popen[str]:
    """Start the program and wait until it has the queue."""
    process = subprocess.Popen([sys.executable, str(PROGRAM), str(shop), str(later_s)], stdout=subprocess.PIPE,
                               text=True, cwd=PROGRAM.parents[2], env={"PYTHONPATH": str(PROGRAM.parents[2])})
    assert process.stdout is not None and process.stdout.readline() == "ready\n"
    return process


def kill(process: subprocess.Popen[str]) -> None:
    """End it as a power cut would."""
    process.kill()
    process.communicate()


def test_kiosk_killed_at_any_moment_prints_no_label_twice(yard: Path, tmp_path: Path) -> None:
    """Eight labels, the program killed within 150 ms after it has each; then it runs on until all is settled."""
    printer = LabelPrinterProgram(tmp_path / "printer")
    printer.start()
    chance = random.Random(SEED)
    try:
        with (yard / "kiosk.toml").open("a") as settings:
            settings.write(f'\nprinter = "{printer.address}"\n')
        with Shop.open(yard) as shop:
            numbers = []
            for place in range(ROUNDS):
                numbers.append(shop.press.issue(LabelKind.COMPONENT, ["Kill test"]).number)
                process = start(yard, 120.0 * place)
                time.sleep(chance.uniform(0, 0.15))
                kill(process)
            process = start(yard, 120.0 * (ROUNDS + 1))
            settled = (PrintState.PRINTED, PrintState.UNCERTAIN)
            wait_until(lambda: all(shop.records.last_label_print(one).state in settled for one in numbers), 20)
            kill(process)
            states = {one: shop.records.last_label_print(one).state for one in numbers}
    finally:
        printer.stop()
    came_out = Counter(found.data.decode() for path in printer.came_out()
                       for found in decode(picture_of_raster(path), symbols=[ZBarSymbol.CODE128]))
    print(f"killed {ROUNDS} times: {Counter(states.values())}, came out {sorted(came_out.values())}")
    assert set(came_out) <= set(numbers) and max(came_out.values()) == 1
    assert all(came_out[one] == 1 for one in numbers if states[one] is PrintState.PRINTED)
