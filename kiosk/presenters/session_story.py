"""An adjustment session read out of its steps: its cycles, where it stands, and the whole of it as one story. Pure."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from kiosk.entities import Reading, Side
from kiosk.guided import CourseStep, StepKind
from kiosk.language import number, tr, trn
from kiosk.presenters.advice.turns import CYCLES
from kiosk.presenters.quantities import show_short
from kiosk.presenters.words import side_text, verdict_mark
from kiosk.service_sheet import JobSpec, ReadingSpec, SessionSpec

MEASURE, TURN, RUN = "measure", "turn", "run"


@dataclass(frozen=True)
class TurnItem:
    """One thing that is turned: a take-up's side, or the mount of a reading. `key` as in a cycle's `turned`."""

    key: str
    title: str


@dataclass(frozen=True)
class SessionStory:
    """What a session's steps say, in their order."""

    steps: tuple[CourseStep, ...]

    @property
    def stage(self) -> str:
        """What comes next: 'measure', 'turn' or 'run'."""
        last = self.steps[-1].kind if self.steps else StepKind.RUN_ENDED
        return {StepKind.MEASURED: TURN, StepKind.TURNED: RUN, StepKind.RUN_BEGAN: RUN}.get(last, MEASURE)

    @property
    def measured(self) -> tuple[CourseStep, ...]:
        """Every measuring."""
        return tuple(step for step in self.steps if step.kind is StepKind.MEASURED)

    @property
    def found(self) -> tuple[Reading, ...]:
        """What was found first."""
        return self.measured[0].readings if self.measured else ()

    @property
    def last(self) -> tuple[Reading, ...]:
        """What was measured last."""
        return self.measured[-1].readings if self.measured else ()

    @property
    def turnings(self) -> int:
        """How often something was turned."""
        return sum(step.kind is StepKind.TURNED for step in self.steps)

    def cycles(self) -> list[dict[str, Any]]:
        """Return each turn that was followed by a measuring: what was turned, the run, before and after."""
        cycles: list[dict[str, Any]] = []
        before: dict[str, float] = {}
        turned: dict[str, Any] = {}
        run: dict[str, Any] = {}
        for step in self.steps:
            if step.kind is StepKind.MEASURED:
                after = values_of(step.readings)
                cycles += [{**turned, **run, "before": before, "after": after}] if turned else []
                before, turned, run = after, {}, {}
            elif step.kind is StepKind.TURNED:
                turned = {"turned": dict(step.details["turned"]), "unit": step.details["unit"]}
            elif step.kind is StepKind.RUN_ENDED:
                run = {name: step.details[name] for name in ("revolutions", "minutes") if name in step.details}
        return cycles

    def details(self) -> dict[str, Any]:
        """Return what the record keeps of the session."""
        return {CYCLES: self.cycles(), "began": self.steps[0].at.isoformat()} if self.steps else {}


def values_of(readings: Sequence[Reading]) -> dict[str, float]:
    """Return {'quantity|side': value} of a measuring. [unit of each]"""
    return {f"{reading.quantity}|{reading.side.value}": reading.value for reading in readings}


def turn_items(session: SessionSpec, job: JobSpec, specs: Sequence[ReadingSpec]) -> tuple[TurnItem, ...]:
    """Return what may be turned: both take-ups, or one mount for each reading and side."""
    if session.step_mm is None:
        return tuple(TurnItem(side.value, tr("{side} {turned}").format(
            side=side_text(side).capitalize(), turned=session.turned)) for side in (Side.LEFT, Side.RIGHT))
    return tuple(TurnItem(f"{spec.key}|{side.value}", ", ".join(filter(None, (spec.title, side_text(side)))))
                 for spec in specs for side in spec.sides)


def turned_text(amount: float, session: SessionSpec, units: str) -> str:
    """Return '2 flats up', '0.5 mm down' or 'not turned'."""
    if not amount:
        return tr("not turned")
    way = tr(session.plus if amount > 0 else session.minus)
    if session.step_mm is not None:
        return f"{show_short(abs(amount), 'mm', units, (session.step_mm,))} {way}"
    flats = round(abs(amount))
    return trn("{flats} flat {way}", "{flats} flats {way}", flats).format(flats=flats, way=way)


def story_lines(story: SessionStory, session: SessionSpec, items: Sequence[TurnItem], units: str,
                name_of: Callable[[str | None], str], clock_of: Callable[[datetime], str]) -> tuple[str, ...]:
    """Return the session as one story, a line a step: when, who, what."""
    titles = {item.key: item.title for item in items}
    return tuple(f"{clock_of(step.at)} {name_of(step.person_id)}: {_step_text(step, session, titles, units)}"
                 for step in story.steps)


def _step_text(step: CourseStep, session: SessionSpec, titles: Mapping[str, str], units: str) -> str:
    if step.kind is StepKind.MEASURED:
        return tr("measured {readings}").format(readings=readings_text(step.readings, units))
    if step.kind is StepKind.TURNED:
        made = [f"{titles.get(key, key)} {turned_text(amount, session, units)}"
                for key, amount in step.details["turned"].items() if amount]
        return ", ".join(made) or tr("nothing turned")
    if step.kind is StepKind.RUN_BEGAN:
        return tr("run began: {run}").format(run=run_text(step.details))
    text = tr("ran {run}").format(run=run_text(step.details))
    reason = step.details.get("cut_short")
    return f"{text}; {tr('cut short: {reason}').format(reason=reason)}" if reason else text


def run_text(details: Mapping[str, Any]) -> str:
    """Return '120 revolutions, 9.6 min', or the time alone."""
    minutes = tr("{minutes} min").format(minutes=number(float(details.get("minutes", 0.0)), ".1f"))
    revolutions = details.get("revolutions")
    if revolutions is None:
        return minutes
    turns = tr("{revolutions} revolutions").format(revolutions=number(float(revolutions), ".0f"))
    return f"{turns}, {minutes}"


def readings_text(readings: Sequence[Reading], units: str) -> str:
    """Return what was measured in a few words, each with its verdict."""
    return ", ".join(" ".join(filter(None, (
        side_text(reading.side), show_short(reading.value, reading.unit, units, _limits(reading)),
        verdict_mark(reading.verdict).word))) for reading in readings)


def _limits(reading: Reading) -> tuple[float, ...]:
    return tuple(limit for limit in (reading.lower, reading.upper) if limit is not None)


def cycle_lines(details: Mapping[str, Any], units: str) -> tuple[str, ...]:
    """Return the cycles that a record keeps, a line each: what was turned, the run, before and after."""
    return tuple(_cycle_line(place, cycle, units) for place, cycle in enumerate(details.get(CYCLES, ()), start=1))


def _cycle_line(place: int, cycle: Mapping[str, Any], units: str) -> str:
    length = cycle.get("unit") == "mm"
    turned = ", ".join(
        f"{_key_text(key)} {show_short(amount, 'mm', units) if length else tr('{flats} flats').format(flats=amount)}"
        for key, amount in cycle["turned"].items() if amount) or tr("nothing")
    run = f"; {tr('ran {run}').format(run=run_text(cycle))}" if "minutes" in cycle else ""
    moved = ", ".join(f"{_key_text(key)} {show_short(cycle['before'][key], 'mm', units)} → "
                      f"{show_short(after, 'mm', units)}" for key, after in cycle["after"].items()
                      if key in cycle["before"] and after != cycle["before"][key]) or tr("nothing moved")
    return tr("{place}. turned {turned}{run}: {moved}").format(place=place, turned=turned, run=run, moved=moved)


def _key_text(key: str) -> str:
    name, _, side = key.partition("|")
    return " ".join(filter(None, (name.replace("-", " "), "" if side == Side.BOTH.value else side)))
