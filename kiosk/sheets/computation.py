"""A job's [computation] and a sheet's [[figure]] tables, checked against the catalogue: names, parameters, readings."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

from kiosk.calc.bearing_life import design_life_hours
from kiosk.calc.bearing_load import drive_factors, static_safety
from kiosk.calc.belt import STRAIN_WINDOWS
from kiosk.calc.chain_table import chain_named
from kiosk.calc.computations import COMPUTATIONS, FIGURES, FLAG_PARAMETERS, TEXT_PARAMETERS, Computation
from kiosk.calc.fasteners import bolt_grades, housing_bolt_torque, lubrication_states
from kiosk.calc.grease_interval import schedule
from kiosk.calc.insert_bearing import insert_bearing, speed_limit_rpm
from kiosk.calc.slack import slack_rules
from kiosk.calc.terms import TERMS
from kiosk.calc.threads import thread
from kiosk.errors import CalcError, NoTableRow
from kiosk.service_sheet import ComputationSpec
from kiosk.sheets.table import Table

# Texts that must be found in a table of calc before a sheet may name them.
_LOOKED_UP: dict[str, Callable[[str], object]] = {
    "bearing": insert_bearing,
    "environment": lambda environment: schedule(20.0, environment),
    "chain": chain_named,
    "slack_case": lambda case: _one_of("right slack", case, tuple(rule.name for rule in slack_rules())),
    "tension_member": lambda carcass: _one_of("belt strain", carcass, tuple(STRAIN_WINDOWS)),
    "housing_bolt": housing_bolt_torque,
    "thread": thread,
    "grade": lambda grade: _one_of("bolt grades", grade, bolt_grades()),
    "lubrication": lambda state: _one_of("lubrication states", state, lubrication_states()),
    "drive": drive_factors,
    "service": lambda service: static_safety(1.0, 0.0, 1.0, service),
    "design_service": design_life_hours,
    "shaft_tolerance": lambda tolerance: speed_limit_rpm("UC208", tolerance),
}


def _one_of(table: str, name: str, known: tuple[str, ...]) -> None:
    if name not in known:
        raise NoTableRow(table, name, known)


def read_computation(table: Table | None) -> ComputationSpec | None:
    """Return the computation that a job names, None if it names none.

    Raises:
        SheetError: unknown name, a parameter unknown, missing or impossible.
    """
    return None if table is None else _read(table, COMPUTATIONS)


def read_figure(table: Table) -> ComputationSpec:
    """Return a computation that the part's page shows.

    Raises:
        SheetError: unknown name, a parameter unknown, missing or impossible.
    """
    return _read(table, FIGURES)


def _read(table: Table, catalogue: Mapping[str, Computation]) -> ComputationSpec:
    computation = catalogue[table.choice("name", tuple(catalogue))]
    table.only(("name", *_keys(computation)))
    values = {name: value for name in (*computation.parameters, *computation.optional)
              if (value := _value(table, name)) is not None}
    for name in computation.parameters:
        if name not in values:
            raise table.refused(f"the computation '{computation.name}' needs the parameter '{name}'{_meaning(name)}")
    return ComputationSpec(computation.name, values)


def _meaning(name: str) -> str:
    """Return what a parameter is, by the table of terms; '' where that does not know it."""
    term = next((term for key, term in TERMS.items() if name == (f"{key}_{term.suffix}" if term.suffix else key)), None)
    return f": {term.name}. {term.meaning}" if term else ""


def check_readings(job: Table, name: str, readings: tuple[str, ...]) -> None:
    """Refuse a job that names a computation but does not measure what it works on.

    Raises:
        SheetError: a reading is missing from the job.
    """
    for reading in COMPUTATIONS[name].readings:
        if reading not in readings:
            reason = f"the computation '{name}' works on the reading '{reading}'; add it to the job's readings"
            raise job.refused(reason, "computation")


def _keys(computation: Computation) -> tuple[str, ...]:
    """Return every key that may say a parameter; a length also without its suffix, as a text with unit."""
    names = (*computation.parameters, *computation.optional)
    return (*names, *(name.removesuffix("_mm") for name in names if name.endswith("_mm")))


def _value(table: Table, name: str) -> Any:
    if name.endswith("_mm"):
        return _not_negative(table, name, table.amount(name.removesuffix("_mm"), "mm"))
    if name not in table.values:
        return None
    if name in FLAG_PARAMETERS:
        return table.flag(name)
    if name in TEXT_PARAMETERS:
        return _looked_up(table, name)
    return _not_negative(table, name, table.number(name))


def _not_negative(table: Table, name: str, value: float | None) -> float | None:
    if value is not None and value < 0:
        raise table.refused(f"the parameter '{name}' must be 0 or more", table.key_of_amount(name.removesuffix("_mm")))
    return value


def _looked_up(table: Table, name: str) -> str:
    text = table.text(name)
    try:
        _LOOKED_UP[name](text)
    except CalcError as error:
        raise table.refused(f"'{name}': {error.operator_message}", name) from error
    return text
