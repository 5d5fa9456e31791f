"""The demo shop's address book: which label number is stuck to what, so that a person knows what to scan.

`labels.csv` lists every label that counts; `issued.txt` every number ever issued, one a line: damaged labels are
matched against it.
"""

from __future__ import annotations

import csv
from collections.abc import Iterator
from pathlib import Path

from kiosk.presenters.ports import Records

LABELS_FILE, ISSUED_FILE = "labels.csv", "issued.txt"
COLUMNS = ("number", "kind", "what", "unit", "position", "sheet", "component_id")


def write_book(records: Records, folder: Path) -> None:
    """Write both files into the shop's folder."""
    with (folder / LABELS_FILE).open("w", newline="", encoding="utf-8") as file:
        writer = csv.writer(file)
        writer.writerow(COLUMNS)
        writer.writerows(_rows(records))
    (folder / ISSUED_FILE).write_text("".join(f"{number}\n" for number in sorted(records.issued_numbers())))


def read_book(folder: Path) -> list[dict[str, str]]:
    """Return the rows of labels.csv."""
    with (folder / LABELS_FILE).open(newline="", encoding="utf-8") as file:
        return list(csv.DictReader(file))


def _rows(records: Records) -> Iterator[tuple[str, ...]]:
    for person in records.people():
        yield person.badge, "badge", f"{person.name}, {person.role}", "", "", "", ""
    for unit in records.units():
        yield unit.label, "unit", unit.description, unit.name, "", "", ""
        places = {position.id: position.name for position in records.positions(unit.id)}
        for part in records.components_of_unit(unit.id):
            yield (part.label, "component", part.description, unit.name, places[part.position_id], part.sheet, part.id)
