"""What a service sheet says, as frozen dataclasses: jobs, readings, limits, cautions, intervals, steps.

Written as TOML in the shop's folder and checked by `kiosk.sheets`; every layer reads these. Limits are in the unit of
the quantity inside the code (lengths mm). A limit's source is a required field.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

from kiosk.entities import JobType, Side

STAGES = ("make safe", "fetch", "take off", "fit", "check")
"""Stages of a step list, in the order in which they come."""
BOLT_ORDERS = ("centre outward", "crosswise")
PICTURES = ("lock", "supports", "empty hopper", "run-back block", "fetch", "slacken", "sling", "cut", "lay in",
            "bolts", "bearing", "open link", "draw in", "wash", "measure", "turn", "guards", "run", "hot", "label",
            "lines", "mounts")
"""Drawings that a step may show; each is drawn in `kiosk/widgets/step_pictures.py`."""

MEASURE_PICTURES = (
    "sag under a straight edge", "length over pitches", "links counted", "shaft to shaft", "strip under a flight",
    "cleat over the pan", "belt edge to frame", "two marks", "height left", "thickness left", "ultrasonic thickness",
    "feeler in a gap", "worn tooth", "sprockets in line", "run-out", "play of a shaft", "housing temperature",
    "weighing", "thread left", "opening of a gate", "height over the ground", "roller level", "diagonals",
    "bolts that turn")
"""Drawings of how a reading is taken; each is drawn in `kiosk/widgets/measure_pictures.py`."""


@dataclass(frozen=True)
class CautionSpec:
    """One hazard, one consequence, one action. `signal` is DANGER, WARNING, CAUTION or NOTICE."""

    key: str
    signal: str
    hazard: str
    action: str


@dataclass(frozen=True)
class ReadingSpec:
    """A quantity that a job measures.

    Args:
        key: 'upper-strand-sag'. `title`: as the form shows it.
        unit: Unit inside the code: 'mm', 'count', 'degC' …; lengths are typed in the person's units.
        sides: (LEFT, RIGHT) or (BOTH,).
        lower, upper: Limits, None where one-sided. [unit]
        largest_difference: Between the sides, None if it does not matter. [unit]
        resolution: Of the instrument named in `instrument`. [unit]
        rule: Decision rule's name: 'guarded 95 %', 'guarded k=2', 'simple acceptance'.
        how: How to measure it, in one or two short sentences. `picture`: the drawing of it, '' for none.
        source: Where the limits come from. `reason`: why they are what they are: what happens beyond them.
    """

    key: str
    title: str
    unit: str
    sides: tuple[Side, ...]
    lower: float | None
    upper: float | None
    resolution: float
    instrument: str
    source: str
    how: str = ""
    rule: str = "guarded 95 %"
    largest_difference: float | None = None
    picture: str = ""
    reason: str = ""


@dataclass(frozen=True)
class GreaseSpec:
    """What a grease job may give. Masses g.

    Args:
        strokes: What one touch saves. `most_per_day`, `most_per_month`: the most the bearing may take.
        grease: The yard's grease for it. `thickener`: its thickener, for the do-not-mix table.
        grams_per_stroke: Of the yard's hand gun, by weighing. [g]
    """

    strokes: int
    most_per_day: int
    most_per_month: int
    grease: str
    thickener: str
    grams_per_stroke: float
    tool: str = "hand gun only"


@dataclass(frozen=True)
class IntervalSpec:
    """Due after so many unit hours and/or days, whichever comes first; at least one is given."""

    hours: float | None
    days: int | None
    source: str


@dataclass(frozen=True)
class ComputationSpec:
    """The computation that gives the advice, by name, with its parameters (suffix says the unit)."""

    name: str
    parameters: dict[str, Any] = field(default_factory=dict)


@dataclass(frozen=True)
class RunSpec:
    """A run between turning and measuring: so many revolutions of the loop, and what says how long they take.

    Args:
        revolutions: Of belt or chain loop.
        loop_length_mm: Length of the loop; a part's own length on record goes before it. [mm]
        travel_per_turn_mm: How far the loop goes for one turn of the driving roller or shaft. [mm]
        shaft_rpm: Speed of that roller or shaft. [r/min]
        source: Where these come from.
    """

    revolutions: float
    loop_length_mm: float
    travel_per_turn_mm: float
    shaft_rpm: float
    source: str


@dataclass(frozen=True)
class SessionSpec:
    """That a job may be done as a session: measured, turned, run, measured again.

    Args:
        turned: What is turned or moved on each side: 'take-up', 'bearing mount' …
        plus, minus: Words of the two directions; above zero is `plus`: 'up' and 'down', 'out' and 'in'.
        step_mm: How far one step moves it; None where it is counted in flats of the nut. [mm]
    """

    turned: str
    plus: str
    minus: str
    step_mm: float | None = None


@dataclass(frozen=True)
class StepSpec:
    """One step of a step list.

    Args:
        text: At most twelve words.
        stage: 'make safe', 'fetch', 'take off', 'fit' or 'check'; steps of a stage stand together.
        caution: Key of the sheet's caution that belongs to it, '' for none. `picture`: a drawing's name, '' for none.
        reading: Key of the reading taken here, '' for none.
        minutes: How long to wait or run, None for no timer.
        bolts: Joint or housing bolts tightened here in their order, 0 for none. `order`: 'centre outward' or
            'crosswise'. `torque_newton_metre`: their final torque, None where the maker's sheet says it. [N·m]
        fits: Key of the sheet of the new part whose label is scanned here, '' for none.
    """

    text: str
    stage: str
    caution: str = ""
    picture: str = ""
    reading: str = ""
    minutes: float | None = None
    bolts: int = 0
    order: str = "centre outward"
    torque_newton_metre: float | None = None
    fits: str = ""


@dataclass(frozen=True)
class AfterwardSpec:
    """A job that falls due once after this one, beside its interval."""

    job: str
    hours: float | None
    days: int | None
    source: str


@dataclass(frozen=True)
class JobSpec:
    """One kind of work on a sheet.

    Args:
        readings: Keys of the sheet's readings, in the order of the form.
        cautions: Keys of the sheet's cautions, most dangerous first.
        steps: At most twelve words each.
        quick: True if one touch on the part's page may save it (greasing, washing).
        step_list: The steps with all that belongs to them; `steps` are then their texts.
        session: How it is done as a session, None if it is not. `run`: the run between turning and measuring.
        new_parts: Keys of sheets whose parts on the same assembly may be changed with this one.
        begins: Key of the job whose session begins by itself once this one is saved, '' for none.
        afterwards: What falls due once after it.
    """

    key: str
    title: str
    type: JobType
    cautions: tuple[str, ...] = ()
    readings: tuple[str, ...] = ()
    steps: tuple[str, ...] = ()
    interval: IntervalSpec | None = None
    grease: GreaseSpec | None = None
    computation: ComputationSpec | None = None
    quick: bool = False
    step_list: tuple[StepSpec, ...] = ()
    session: SessionSpec | None = None
    run: RunSpec | None = None
    new_parts: tuple[str, ...] = ()
    begins: str = ""
    afterwards: tuple[AfterwardSpec, ...] = ()


@dataclass(frozen=True)
class BeforeShift:
    """What to know of a machine of this design before the shift, each at most twelve words.

    Args:
        takes: What it can take, and what it cannot. `on_return`: what to look at when it comes back.
    """

    takes: tuple[str, ...] = ()
    on_return: tuple[str, ...] = ()


@dataclass(frozen=True)
class ServiceSheet:
    """What one kind of component is served by. `figures`: what its page works out beside the jobs.

    Args:
        translations: {language: {text of this sheet: the same in that language}}. `words`: of the language that the
            sheet is in now; empty for the one it is written in.
    """

    key: str
    title: str
    revision: int
    source: str
    jobs: tuple[JobSpec, ...]
    readings: tuple[ReadingSpec, ...] = ()
    cautions: tuple[CautionSpec, ...] = ()
    replace_reasons: tuple[str, ...] = ("worn", "broken", "seized", "damaged")
    figures: tuple[ComputationSpec, ...] = ()
    before_shift: BeforeShift = BeforeShift()
    translations: Mapping[str, Mapping[str, str]] = field(default_factory=dict)
    words: Mapping[str, str] = field(default_factory=dict)

    def in_words(self, text: str) -> str:
        """Return a stored text of the sheet, such as a reason to replace, in the language that the sheet is in."""
        return self.words.get(text, text)

    def job(self, key: str) -> JobSpec:
        """Return the job called `key`; KeyError if the sheet has none."""
        return {job.key: job for job in self.jobs}[key]

    def reading(self, key: str) -> ReadingSpec:
        """Return the reading called `key`; KeyError if the sheet has none."""
        return {reading.key: reading for reading in self.readings}[key]

    def caution(self, key: str) -> CautionSpec:
        """Return the caution called `key`; KeyError if the sheet has none."""
        return {caution.key: caution for caution in self.cautions}[key]
