"""Parts of several screens' states: header, messages, gauge, rows, diagram, trend. Frozen, finished texts.

A screen places these and nothing more. Every length on a gauge, diagram or trend is already scaled to 0..1 of its
drawing; every text is a finished sentence or label in the person's units. A state is told three ways at once, by
word, shape and colour key, so that no screen depends on colour alone.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from kiosk.presenters.ports import Drawing

from kiosk.language import tr

# Colour keys of the theme; shapes that go with them, never used for anything else.
GOOD, UNSURE, BAD, DUE, OVERDUE, NEUTRAL = "good", "unsure", "bad", "due", "overdue", "neutral"
SHAPES = {GOOD: "circle", UNSURE: "diamond", BAD: "square", DUE: "clock", OVERDUE: "triangle", NEUTRAL: "ring"}


@dataclass(frozen=True)
class Mark:
    """A state told three ways. `colour` is a key of the theme, `shape` a name the widgets can draw.

    Args:
        english: The word in English; `word` is it in the language spoken.
    """

    english: str
    shape: str
    colour: str

    @property
    def word(self) -> str:
        """The state's word."""
        return tr(self.english)


@dataclass(frozen=True)
class ActionState:
    """A button that belongs to a message or a list: a tap calls `answer(key)` or the action named with the list."""

    key: str
    label: str
    chosen: bool = False
    enabled: bool = True


@dataclass(frozen=True)
class MessageState:
    """What the message bar says.

    Args:
        kind: 'info', 'refused', 'question' or 'saved'.
        text: What is so. `what_now`: what to do, '' if nothing.
        actions: Buttons of a question; a tap calls `answer(key)` of the screen's presenter.
    """

    kind: str
    text: str
    what_now: str = ""
    actions: tuple[ActionState, ...] = ()


@dataclass(frozen=True)
class HeaderState:
    """The line on top of every screen; `shift` and `clock` give way to since when the kiosk works alone, and the time.

    Args:
        person, role: In the operator's words, '' while nobody is signed in.
        round: How far the round under way is, '' at none.
    """

    yard: str
    person: str
    role: str
    shift: str
    clock: str
    round: str = ""

    @property
    def is_signed_in(self) -> bool:
        """Whether somebody is signed in."""
        return bool(self.person)


@dataclass(frozen=True)
class LabelPadState:
    """The overlay for typing a label number: digits grouped as they will be printed, and how many are missing."""

    typed: str
    hint: str


@dataclass(frozen=True)
class PinPadState:
    """The overlay for typing a PIN: a dot for each digit, what to do or what was wrong, and whether it is looked at.

    `can_change`: the PIN typed may be changed for a new one; a tap calls `change_pin()`.
    """

    typed: str
    hint: str
    busy: str = ""
    can_change: bool = False


@dataclass(frozen=True)
class FrameState:
    """What surrounds every screen: header, message bar, label pad or PIN pad, the way back."""

    header: HeaderState
    message: MessageState | None = None
    label_pad: LabelPadState | None = None
    can_go_back: bool = True
    pin_pad: PinPadState | None = None


@dataclass(frozen=True)
class DiagramMark:
    """One position on a diagram. `x`, `y` 0..1 from the left and lower edge; `number` is its walk order."""

    position_id: str
    x: float
    y: float
    label: str
    number: int
    mark: Mark


@dataclass(frozen=True)
class DiagramState:
    """The drawn assembly with its positions; `design` names the drawing ('flight elevator', 'belt conveyor' …)."""

    assembly_id: str
    title: str
    design: str
    marks: tuple[DiagramMark, ...]


@dataclass(frozen=True)
class GaugeState:
    """A reading on its scale, scaled to 0..1; None where there is nothing to draw.

    Args:
        lower, upper: Where the limits stand, None for a side without one.
        value: Where the reading stands, kept on the scale; None while nothing readable is typed.
        value_low, value_high: Ends of its expanded uncertainty.
        off_scale: 'low' or 'high' when the reading lies beyond the drawn scale, else ''.
        lower_text, upper_text, value_text, uncertainty_text: Finished labels.
        scale_low_text, scale_high_text: At the two ends of the scale.
        mark: Of the verdict; NEUTRAL while there is none.
    """

    lower: float | None
    upper: float | None
    value: float | None
    value_low: float | None
    value_high: float | None
    off_scale: str
    lower_text: str
    upper_text: str
    value_text: str
    uncertainty_text: str
    scale_low_text: str
    scale_high_text: str
    mark: Mark


@dataclass(frozen=True)
class ReadingRow:
    """One reading of a form.

    Args:
        key: Names the row in `focus(key)`.
        side: 'left', 'right' or ''. `phase`: 'as found' or 'as left'.
        typed: As typed, kept even when it is no number.
        shown: The reading in both units, '' while there is none.
        limits: 'between 3 in (76.2 mm) and 4 in (101.6 mm)'.
        verdict: None while there is no reading.
        message: Sentence about what was typed, '' if all is well.
        suggestion: 'did you mean …' as a button; a tap calls `take_suggestion()`. None if there is none.
        why: How sure the verdict is and where the limit comes from.
        again: Key that keeps this reading and waits for the next; a tap calls `measure_again()`. None if there is none.
        unit: Unit that a bare number in the field is read in, '' where the text names its own or has none.
        picture: Drawing of how it is measured, '' for none.
    """

    key: str
    title: str
    side: str
    phase: str
    typed: str
    shown: str
    limits: str
    how: str
    instrument: str
    gauge: GaugeState
    verdict: Mark | None
    message: str
    suggestion: ActionState | None
    why: str
    active: bool
    again: ActionState | None = None
    unit: str = ""
    picture: str = ""


@dataclass(frozen=True)
class EntryRow:
    """A plain field without limits (start of a bad length, a serial). `numeric`: by keypad, else by keyboard.

    `unit` is what a bare number in it is read in, '' where the text names its own or it has none.
    """

    key: str
    title: str
    typed: str
    shown: str
    message: str
    active: bool
    numeric: bool = True
    unit: str = ""


@dataclass(frozen=True)
class AdviceLine:
    """One line of advice. `weight` is 'do' (the action), 'why', 'check' or 'stop'."""

    weight: str
    text: str


@dataclass(frozen=True)
class DueRow:
    """A job that is due or will be; a tap calls `open_job(key)` (component) or `open_component(component_id)`."""

    key: str
    component_id: str
    position_id: str
    title: str
    place: str
    when: str
    last: str
    mark: Mark


@dataclass(frozen=True)
class RecordRow:
    """A service record in one line; a tap calls `open_record(record_id)`."""

    record_id: str
    when: str
    job: str
    person: str
    hours: str
    summary: str
    mark: Mark


@dataclass(frozen=True)
class FindingRow:
    """An open finding. `resolves` is True while the form is set to close it; a tap calls `toggle_finding(key)`.

    `position_id` is where it was found; elsewhere than on a form a tap calls `open_position(position_id)`.
    """

    key: str
    text: str
    since: str
    place: str
    resolves: bool = False
    can_resolve: bool = False
    position_id: str = ""


@dataclass(frozen=True)
class CautionRow:
    """One caution card. `signal` is DANGER, WARNING, CAUTION or NOTICE; a tap calls `confirm(key)`."""

    key: str
    signal: str
    hazard: str
    action: str
    confirmed: bool
    mark: Mark


@dataclass(frozen=True)
class HoursPanel:
    """The hour meter, asked once per unit and shift.

    Args:
        typed: Digits on the field; prefilled with the estimate, which the first key replaces.
        last: 'last read 1,234.5 h on Mon 2 March'.
        message: Why it was refused, '' if it was not.
        suggestions: Plausible readings instead; a tap calls `take_hours(key)`.
        confirmed: True once accepted in this shift.
    """

    prompt: str
    typed: str
    last: str
    message: str
    suggestions: tuple[ActionState, ...]
    confirmed: bool


@dataclass(frozen=True)
class StopPanel:
    """A stop that only a reason overrides: `reasons` to choose from by `choose_reason(key)`, or typed."""

    text: str
    reasons: tuple[ActionState, ...]
    typed: str
    ready: bool


@dataclass(frozen=True)
class QuickPanel:
    """The job that one touch saves: greasing, washing out.

    Args:
        job: Key of the job. `title`: its name.
        lines: When last and by whom, how many strokes now and which grease.
        strokes: Number that a touch will save, None for work without strokes.
        allowed: 'may take 2 strokes now'.
        button: Text of the one big button; `enabled` whether it saves now.
        reason: Why it does not save yet, '' if it does.
        stop: The stop to override, None if there is none.
    """

    job: str
    title: str
    lines: tuple[str, ...]
    strokes: int | None
    allowed: str
    button: str
    enabled: bool
    reason: str
    stop: StopPanel | None
    mark: Mark


@dataclass(frozen=True)
class RoundRow:
    """A job of a round; a tap calls `select_row(key)`. `is_next`: the one that comes next on the walk."""

    key: str
    title: str
    lines: tuple[str, ...]
    mark: Mark
    is_next: bool
    enabled: bool


@dataclass(frozen=True)
class RoundEnding:
    """What is asked at the end of a round: why a job was not done; `left` counts those still to be asked for."""

    text: str
    reasons: tuple[ActionState, ...]
    left: int


@dataclass(frozen=True)
class InHandRow:
    """What stands before the shift, or about a unit's lock-out: a heading with its lines."""

    title: str
    lines: tuple[str, ...]
    mark: Mark


@dataclass(frozen=True)
class JobButton:
    """A job that can be opened from the part's page; `due` says when it is due, '' without an interval."""

    key: str
    title: str
    type: str
    due: str
    mark: Mark
    enabled: bool = True


@dataclass(frozen=True)
class TrendState:
    """A reading over operating hours: the chart, drawn on a worker, and in a sentence when it meets its limit."""

    title: str
    drawing: Drawing | None
    sentence: str


@dataclass(frozen=True)
class FigureRow:
    """One figure of a part, worked out and not measured.

    Args:
        title: What it is. `value`: the figure with its unit, or why there is none.
        sure: How sure it is, '' where the formula carries no doubt of its own.
        limit: What stands beside it, its limit or what it is held against, '' if nothing.
        source: Where it, or its limit, comes from.
        note: What to mind; where two sources disagree, why this one was taken.
    """

    title: str
    value: str
    sure: str = ""
    limit: str = ""
    source: str = ""
    note: str = ""


@dataclass(frozen=True)
class StepRow:
    """A step of the job; a tap calls `toggle_step(number)`."""

    number: int
    text: str
    done: bool


@dataclass(frozen=True)
class SaveState:
    """The save button: its text, whether it saves now, and what is missing if not.

    `row` is the row that is missing; a tap calls `focus(row)`. '' if nothing is, or it is no row.
    """

    text: str
    enabled: bool
    missing: str
    row: str = ""


@dataclass(frozen=True)
class TurnRow:
    """Something that is turned in a session; taps call `turn(key, by)` with +1 or -1 step.

    Args:
        amount: 'as advised' or really turned so far, in words. `plus`, `minus`: texts of the two keys.
    """

    key: str
    title: str
    amount: str
    plus: str
    minus: str


@dataclass(frozen=True)
class NewPartRow:
    """A part that a step list may change; a tap calls `choose_part(key)` before its label is issued.

    Args:
        text: Which part and where. `label`: the new one's grouped number, '' before. `state`: how far it is, by mark.
    """

    key: str
    title: str
    text: str
    chosen: bool
    label: str
    state: Mark


@dataclass(frozen=True)
class StepCaution:
    """The caution that belongs to a step; it was confirmed before, and is said again where it counts."""

    signal: str
    hazard: str
    action: str


@dataclass(frozen=True)
class StepCard:
    """The step at hand of a list: its text, how far the list is, its drawing's name and its caution."""

    text: str
    progress: str
    picture: str
    caution: StepCaution | None


@dataclass(frozen=True)
class RunState:
    """A run or a wait: how much is left, by word, shape and ring.

    Args:
        left: '78 revolutions left, 6.2 min', or what to start. `share_left`: 1 to 0, for the ring.
        mark: 'running', 'time is up' or 'not started', with its shape.
        running, over: Whether it runs, and whether its time is up.
    """

    left: str
    share_left: float
    mark: Mark
    running: bool
    over: bool


@dataclass(frozen=True)
class BoltState:
    """A joint bolt, drawn left to right by `number`; `turn` is its place in the tightening order, from 1."""

    number: int
    turn: int
    ticked: bool
    next: bool


@dataclass(frozen=True)
class PlanRow:
    """A way to mend the belt; a tap calls `choose_plan(key)`. A refused plan has `feasible` False and says why.

    `cuts` says where to cut and what to mind before cutting, '' where nothing is cut.
    """

    key: str
    rank: int
    title: str
    new_length: str
    takeup: str
    reasons: tuple[str, ...]
    feasible: bool
    chosen: bool
    cuts: str = ""


@dataclass(frozen=True)
class BeltDrawing:
    """The loop laid flat from the datum mark, 0..1: cleats, old splices, the bad length, the cut, the new splices.

    A stretch (from, to) whose end is below its start runs over the datum.
    """

    cleats: tuple[float, ...]
    splices: tuple[float, ...]
    damage: tuple[float, float] | None
    cut: tuple[float, float] | None
    new_splices: tuple[float, ...]
    length_text: str
    after: BeltAfter | None = None


@dataclass(frozen=True)
class BeltAfter:
    """The loop as a plan leaves it, in parts of the loop as it is: so both are drawn to one scale.

    Args:
        length: How long it is then. `insert`: the piece put in, None where none goes in.
    """

    length: float
    cleats: tuple[float, ...]
    splices: tuple[float, ...]
    insert: tuple[float, float] | None
    text: str


@dataclass(frozen=True)
class LabelState:
    """The new part's label: its grouped number, where its page was printed, and whether it was read back."""

    number: str
    pdf: str
    read_back: bool
    text: str


@dataclass(frozen=True)
class DetailLine:
    """One line of an opened record: heading and text."""

    title: str
    text: str


@dataclass(frozen=True)
class PageRow:
    """A row of a supervisor's page.

    Args:
        asks: What to ask on the letter board, '' for a row that is simply pressed. The text goes to
            `take_text(key, text)`, a press to `press(key)`.
        begins: What stands on the letter board when it opens.
    """

    key: str
    title: str
    lines: tuple[str, ...]
    mark: Mark
    asks: str = ""
    enabled: bool = True
    begins: str = ""


@dataclass(frozen=True)
class FilterGroup:
    """One thing that a list is filtered by.

    Args:
        chosen: What is wanted now, in words. `choices`: key '' is all.
        asks: What to ask on the letter board for a choice of one's own, '' where there is none.
        is_set: Whether it leaves anything out.
    """

    key: str
    title: str
    chosen: str
    choices: tuple[ActionState, ...]
    asks: str = ""
    is_set: bool = False


@dataclass(frozen=True)
class PhotoState:
    """A photo to show: its file, and below it who took it and when; or why it is not shown."""

    path: str
    text: str
    trouble: str = ""


@dataclass(frozen=True)
class RecordDetail:
    """A record opened to everything. `photos`: how many there are of it."""

    record_id: str
    title: str
    lines: tuple[DetailLine, ...]
    readings: tuple[ReadingDetail, ...]
    photos: int = 0


@dataclass(frozen=True)
class ReadingDetail:
    """A reading of an opened record beside the limits of its day."""

    title: str
    side: str
    phase: str
    value: str
    limits: str
    mark: Mark
