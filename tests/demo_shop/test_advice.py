"""Every computation that a demo sheet names answers for every part of the yard, whatever is measured."""

from collections.abc import Iterator
from datetime import UTC, datetime
from pathlib import Path

import pytest

from demo_shop.parts import new_part
from demo_shop.yard import MACHINES, positions_of
from kiosk.entities import Component, Phase
from kiosk.presenters.advice import AdviceContext, advise, effective_parameters
from kiosk.presenters.advice.splice_advice import splice_plans
from kiosk.presenters.drafts import Typed
from kiosk.presenters.readings import Judged, judge_typed
from kiosk.service_sheet import JobSpec, ReadingSpec, ServiceSheet
from kiosk.sheets import SheetShelf

SHELF = SheetShelf.load(Path(__file__).parents[2] / "demo_shop" / "sheets")
NOW = datetime(2026, 3, 2, tzinfo=UTC)


def parts() -> Iterator[tuple[Component, ServiceSheet, JobSpec]]:
    seen = set()
    for machine in MACHINES:
        for position in positions_of(machine):
            new, sheet = new_part(machine, position.sheet), SHELF.sheet(position.sheet)
            if (sheet.key, str(new)) in seen:
                continue
            seen.add((sheet.key, str(new)))
            part = Component("c", sheet.key, position.id, machine.id, new.description, "", NOW, 100.0,
                             properties=new.properties)
            yield from ((part, sheet, job) for job in sheet.jobs if job.computation)


CASES = [pytest.param(*case, id=f"{case[1].key}-{case[2].key}-{place}") for place, case in enumerate(parts())]


def readings(sheet: ServiceSheet, job: JobSpec, share: float) -> tuple[Judged, ...]:
    specs = [sheet.reading(key) for key in job.readings]
    return tuple(judge_typed(spec, side, Phase.AS_FOUND, Typed(text(spec, share), "mm"))
                 for spec in specs for side in spec.sides)


def text(spec: ReadingSpec, share: float) -> str:
    value = max(at(spec, share), 0.0)
    return f"{value:.0f}" if spec.unit == "count" else f"{value:.1f}"


def at(spec: ReadingSpec, share: float) -> float:
    lower = spec.lower if spec.lower is not None else 0.0
    upper = spec.upper if spec.upper is not None else 2 * lower
    return lower + share * (upper - lower)


@pytest.mark.parametrize("share", [-0.1, 0.5, 1.2], ids=["below", "inside", "above"])
@pytest.mark.parametrize(("part", "sheet", "job"), CASES)
def test_advice_is_given_and_never_refused(part: Component, sheet: ServiceSheet, job: JobSpec, share: float) -> None:
    """Sheet, part and readings have what the computation needs."""
    advice = advise(readings(sheet, job, share), AdviceContext("in", part, job))
    text = " ".join(line.text for line in advice.lines)
    assert advice.lines
    assert "No advice" not in text and "not possible here" not in text and "no row for" not in text
    assert advice.source or job.key == "splice"


def test_a_new_belt_can_be_closed_up_or_given_cleat_sections() -> None:
    """Both ways to mend a belt are on the screen; common practice, no source."""
    part, _, job = next(case for case in parts() if case[2].key == "splice")
    plans = splice_plans(effective_parameters(job.computation, part), part, 2270.0, 2370.0)
    kinds = {plan.kind for plan in plans.feasible}
    assert {"cut and close up", "cut and insert"} <= kinds
