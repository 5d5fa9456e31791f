"""What a sheet says of guided work: step lists, sessions, the run between, what falls due afterwards."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from itertools import pairwise

from kiosk.calc.sequence import MOST_BOLTS
from kiosk.service_sheet import (
    BOLT_ORDERS,
    PICTURES,
    STAGES,
    AfterwardSpec,
    JobSpec,
    RunSpec,
    SessionSpec,
    StepSpec,
)
from kiosk.sheets.table import Table

MOST_STEP_WORDS = 12
LONGEST_TIMER_MINUTES = 240
COURSE_KEYS = ("step", "session", "run", "new_parts", "begins", "afterwards")
"""Keys of a job that are read here."""
_STEP_KEYS = ("text", "stage", "caution", "picture", "reading", "minutes", "bolts", "order", "torque_newton_metre",
              "fits")
_RUN_KEYS = ("revolutions", "loop_length", "loop_length_mm", "roller_diameter", "roller_diameter_mm", "teeth", "pitch",
             "pitch_mm", "shaft_rpm", "source")


def check_words(row: Table, text: str, place: int, *key: str | int) -> None:
    """Refuse a step that nobody reads at a glance.

    Args:
        row: The table that holds it. `text`: the step. `place`: its place in the list, from 0.
        key: Where in the table it stands.

    Raises:
        SheetError: it has too many words.
    """
    words = len(text.split())
    if words > MOST_STEP_WORDS:
        raise row.refused(f"step {place + 1} has {words} words; {MOST_STEP_WORDS} is the most", *key)


def read_step_list(job: Table, cautions: frozenset[str], readings: frozenset[str]) -> tuple[StepSpec, ...]:
    """Return the steps that a job's [[job.step]] tables say, none if it has none.

    Raises:
        SheetError: a step is refused, the stages are not in their order, or the job has plain steps too.
    """
    rows = job.tables("step")
    if rows and "steps" in job.values:
        raise job.refused("the job has both 'steps' and [[job.step]] tables; keep one of them", "steps")
    steps = tuple(_step(row, place, cautions, readings) for place, row in enumerate(rows))
    for place, (before, step) in enumerate(pairwise(steps), start=1):
        if STAGES.index(step.stage) < STAGES.index(before.stage):
            raise rows[place].refused(
                f"'{step.stage}' comes after '{before.stage}'; the stages come as {', '.join(STAGES)}", "stage")
    if steps and steps[0].stage != STAGES[0]:
        raise rows[0].refused(f"the first step is '{steps[0].stage}'; a step list begins with '{STAGES[0]}'", "stage")
    return steps


def _step(row: Table, place: int, cautions: frozenset[str], readings: frozenset[str]) -> StepSpec:
    row.only(_STEP_KEYS)
    text = row.text("text")
    check_words(row, text, place, "text")
    bolts = row.whole("bolts", 1) if "bolts" in row.values else 0
    if bolts > MOST_BOLTS:
        raise row.refused(f"{bolts} bolts are more than any joint has; {MOST_BOLTS} is the most", "bolts")
    torque = row.positive("torque_newton_metre") if "torque_newton_metre" in row.values else None
    if not bolts and ("order" in row.values or torque is not None):
        raise row.refused("an order or a torque needs the number of 'bolts'")
    return StepSpec(
        text=text, stage=row.choice("stage", STAGES), caution=_known(row, "caution", cautions),
        picture=row.choice("picture", ("", *PICTURES), ""), reading=_known(row, "reading", readings),
        minutes=_minutes(row), bolts=bolts, order=row.choice("order", BOLT_ORDERS, BOLT_ORDERS[0]),
        torque_newton_metre=torque, fits=row.text("fits", ""),
    )


def _known(row: Table, key: str, known: frozenset[str]) -> str:
    name = row.text(key, "")
    if name and name not in known:
        raise row.refused(f"the {key} '{name}' is not defined on this sheet", key)
    return name


def _minutes(row: Table) -> float | None:
    if "minutes" not in row.values:
        return None
    minutes = row.positive("minutes")
    if minutes > LONGEST_TIMER_MINUTES:
        raise row.refused(f"a timer of {minutes:g} minutes is no step; {LONGEST_TIMER_MINUTES} is the most", "minutes")
    return minutes


def read_session(table: Table | None) -> SessionSpec | None:
    """Return how a job is done as a session, None if it is not.

    Raises:
        SheetError: a key is missing, unknown or impossible.
    """
    if table is None:
        return None
    table.only(("turned", "plus", "minus", "step", "step_mm"))
    step_mm = table.amount("step", "mm")
    if step_mm is not None and step_mm <= 0:
        raise table.refused("one step must move it by more than 0", table.key_of_amount("step"))
    return SessionSpec(table.text("turned"), table.text("plus"), table.text("minus"), step_mm)


def read_run(table: Table | None) -> RunSpec | None:
    """Return the run between turning and measuring, None if there is none.

    Raises:
        SheetError: a key is missing, unknown or impossible.
    """
    if table is None:
        return None
    table.only(_RUN_KEYS)
    return RunSpec(table.positive("revolutions"), _length(table, "loop_length"), _travel_per_turn(table),
                   table.positive("shaft_rpm"), table.text("source"))


def _travel_per_turn(table: Table) -> float:
    """Return how far one turn of the shaft moves the loop: the roller's girth, or teeth times pitch. [mm]"""
    by_roller = table.amount("roller_diameter", "mm") is not None
    if by_roller == ("teeth" in table.values):
        raise table.refused("the run needs the roller's 'roller_diameter_mm', or the sprocket's 'teeth' and 'pitch_mm'")
    if by_roller:
        return math.pi * _length(table, "roller_diameter")
    return table.whole("teeth", 3) * _length(table, "pitch")


def _length(table: Table, name: str) -> float:
    length_mm = table.amount(name, "mm")
    if length_mm is None:
        raise table.refused(f"the key '{name}_mm' is missing")
    if length_mm <= 0:
        raise table.refused(f"'{name}' must be above 0", table.key_of_amount(name))
    return length_mm


def read_afterwards(job: Table) -> tuple[AfterwardSpec, ...]:
    """Return what falls due once after a job, from its [[job.afterwards]] tables.

    Raises:
        SheetError: a key is missing, unknown or impossible.
    """
    return tuple(map(_afterward, job.tables("afterwards")))


def _afterward(table: Table) -> AfterwardSpec:
    table.only(("job", "hours", "days", "source"))
    hours = table.positive("hours") if "hours" in table.values else None
    days = table.whole("days", 1) if "days" in table.values else None
    if hours is None and days is None:
        raise table.refused("what falls due afterwards needs hours, days, or both")
    return AfterwardSpec(table.text("job"), hours, days, table.text("source"))


def check_named_jobs(rows: Sequence[Table], jobs: Iterable[JobSpec]) -> None:
    """Refuse a job that names another which the sheet does not have, or one to begin that is no session.

    Raises:
        SheetError: the first of them.
    """
    known = {job.key: job for job in jobs}
    for row in rows:
        job = known[row.values["key"].strip()]
        if job.begins and (job.begins not in known or known[job.begins].session is None):
            raise row.refused(f"the job '{job.begins}' is no session of this sheet", "begins")
        for place, after in enumerate(job.afterwards):
            if after.job not in known:
                raise row.refused(f"the job '{after.job}' is not defined on this sheet", "afterwards", place, "job")
