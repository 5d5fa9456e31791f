"""Take a yard's set-up out into a folder: tables as CSV, sheets as they are in force. Nothing of a PIN is in it."""

from __future__ import annotations

import json
import shutil
from collections.abc import Iterator
from pathlib import Path
from typing import Protocol

from kiosk.entities import Label, LabelKind
from kiosk.errors import KioskError
from kiosk.language import tr
from kiosk.presenters.ports import Records
from kiosk.service_sheet import ServiceSheet
from kiosk.set_up.tables import SHEET_FOLDER, TABLES, YARD_FILE, holds_set_up, write_table


class SetUpNotWritten(KioskError):
    """The set-up could not be taken out."""


class RecordsToTakeOut(Records, Protocol):
    """The records, with the labels that count."""

    def labels_of_kind(self, kind: LabelKind) -> tuple[Label, ...]:
        """Return the good labels of a kind."""
        ...


class SheetTexts(Protocol):
    """Sheets with their whole text."""

    def sheets(self) -> tuple[ServiceSheet, ...]: ...
    def text(self, key: str) -> str:
        """Return a sheet's TOML text."""
        ...


def take_out(records: RecordsToTakeOut, sheets: SheetTexts, folder: Path) -> dict[str, int]:
    """Write the set-up into a folder, in the place of one that is there, and return how much of each was written.

    Raises:
        SetUpNotWritten: the folder cannot be written, or holds something else.
    """
    unfinished = folder.with_name(folder.name + ".unfinished")
    try:
        if folder.exists() and any(folder.iterdir()) and not holds_set_up(folder):
            raise SetUpNotWritten(tr("The folder {folder} holds something else. Name an empty one.").format(
                folder=folder))
        shutil.rmtree(unfinished, ignore_errors=True)
        (unfinished / SHEET_FOLDER).mkdir(parents=True)
        counts = _write(records, sheets, unfinished)
        if folder.exists():
            shutil.rmtree(folder)
        unfinished.rename(folder)
        return counts
    except OSError as error:
        raise SetUpNotWritten(tr("The set-up could not be written to {folder}: {why}.").format(
            folder=folder, why=error.strerror or error)) from error


def _write(records: RecordsToTakeOut, sheets: SheetTexts, folder: Path) -> dict[str, int]:
    quoted = json.dumps(records.yard_name(), ensure_ascii=False)  # a JSON string is a TOML string too
    (folder / YARD_FILE).write_text(f"name = {quoted}\n", encoding="utf-8")
    counts = {}
    makers = {"units": _units, "assemblies": _assemblies, "positions": _positions, "parts": _parts, "people": _people,
              "labels": _labels}
    for table in TABLES:
        rows = list(makers[table](records))
        write_table(folder / f"{table}.csv", table, rows)
        counts[table] = len(rows)
    for sheet in sheets.sheets():
        # as it is, line ends too
        (folder / SHEET_FOLDER / f"{sheet.key}.toml").write_bytes(sheets.text(sheet.key).encode("utf-8"))
    return {**counts, "sheets": len(sheets.sheets())}


def _units(records: RecordsToTakeOut) -> Iterator[tuple[object, ...]]:
    for unit in records.units():
        meter = records.hours(unit.id)
        yield unit.id, unit.name, unit.design, unit.label, unit.description, "" if meter is None else meter.hours


def _assemblies(records: RecordsToTakeOut) -> Iterator[tuple[object, ...]]:
    for unit in records.units():
        for assembly in records.assemblies(unit.id):
            yield assembly.id, unit.id, assembly.name, assembly.design


def _positions(records: RecordsToTakeOut) -> Iterator[tuple[object, ...]]:
    for unit in records.units():
        for place in records.positions(unit.id):
            yield (place.id, unit.id, place.assembly_id, place.name, place.sheet, place.side.value, place.x, place.y,
                   place.walk_order)


def _parts(records: RecordsToTakeOut) -> Iterator[tuple[object, ...]]:
    for unit in records.units():
        for part in records.components_of_unit(unit.id):
            properties = json.dumps(part.properties, ensure_ascii=False, sort_keys=True) if part.properties else ""
            yield (part.id, unit.id, part.position_id, part.sheet, part.description, part.label,
                   part.installed_at.isoformat(), part.installed_hours, properties)


def _people(records: RecordsToTakeOut) -> Iterator[tuple[object, ...]]:
    for person in records.people():
        badge = records.label(person.badge)
        if badge is not None and badge.retired_at is None:  # who left stays behind with the records
            yield person.id, person.name, person.role.value, person.badge, person.units, person.language


def _labels(records: RecordsToTakeOut) -> Iterator[tuple[object, ...]]:
    for kind in LabelKind:
        for label in records.labels_of_kind(kind):
            yield label.number, kind.value, label.subject_id or "", label.issued_at.isoformat()
