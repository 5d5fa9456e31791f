"""Bring a set-up in: look through it, say what it changes, then put all of it on record in one act, or nothing."""

from __future__ import annotations

from pathlib import Path

from kiosk.errors import KioskError
from kiosk.language import tr
from kiosk.set_up import intake as intakes
from kiosk.set_up.intake import Intake, Yard
from kiosk.set_up.intake_crew import CrewIntake
from kiosk.set_up.intake_parts import PartIntake
from kiosk.set_up.intake_units import UnitIntake
from kiosk.set_up.numbers import NumberSource
from kiosk.set_up.sheet_folder import SheetFolder
from kiosk.set_up.tables import SetUpFiles, SetUpRefused, read_set_up


def look_through(path: Path, yard: Yard) -> Intake:
    """Return what a folder, or one file of it, would change. Nothing is changed yet.

    Raises:
        SetUpRefused: a line is refused; all refused ones are told, each with file, line and reason.
    """
    return look_through_files(read_set_up(path), yard)


def look_through_files(files: SetUpFiles, yard: Yard) -> Intake:
    """Return what files that were read would change; see `look_through`."""
    intake = Intake(yard, NumberSource(yard.records, yard.kiosk))
    _keep_given_numbers(intake, files)
    intakes.yard_name(intake, files)
    intakes.sheets(intake, files)
    intake.each(files.rows["people"], CrewIntake(intake).take)
    units = UnitIntake(intake)
    intake.each(files.rows["units"], units.take_unit)
    intake.each(files.rows["assemblies"], units.take_assembly)
    intake.each(files.rows["positions"], units.take_position)
    units.finish()
    intake.each(files.rows["parts"], PartIntake(intake, units).take)
    intake.each(files.rows["labels"], intake.other_label)
    if intake.refusals:
        raise SetUpRefused(intake.refusals)
    return intake


def bring_in(intake: Intake, folder: SheetFolder) -> None:
    """Put on record all that a set-up changes, in one act, and write its sheets into the shop's folder.

    Raises:
        KioskError: nothing was changed; says why.
    """
    sheets = {change.sheet[0]: change.sheet[1] for change in intake.changes if change.sheet}
    if not intake.changes:
        return
    with folder.prepared(sheets):
        try:
            intake.yard.records.append_all(intake.events())
        except KioskError as error:
            raise KioskError(tr("Nothing was brought in. {why}").format(why=error.operator_message),
                             error.details) from error


def _keep_given_numbers(intake: Intake, files: SetUpFiles) -> None:
    """Keep every number that stands in the files from being given to a thing without one."""
    columns = {"units": "label", "parts": "label", "people": "badge", "labels": "number"}
    for table, column in columns.items():
        for row in files.rows[table]:
            number = "".join(row.values.get(column, "").split())
            row.values[column] = number
            if number:
                intake.keep_number(number)
            if table == "labels" and number:
                intake.label_rows[number] = row
