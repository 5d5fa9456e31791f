"""One frozen state per screen: the whole of what it shows. `type(state)` picks the screen.

Every state carries its `frame` (header, message bar, label pad, the way back). Parts shared by several screens are in
`kiosk.presenters.parts` and may be imported from here too.
"""

from __future__ import annotations

from dataclasses import dataclass

from kiosk.presenters.parts import (
    ActionState,
    AdviceLine,
    BeltDrawing,
    BoltState,
    CautionRow,
    DetailLine,
    DiagramState,
    DueRow,
    EntryRow,
    FigureRow,
    FilterGroup,
    FindingRow,
    FrameState,
    HoursPanel,
    InHandRow,
    JobButton,
    LabelState,
    Mark,
    NewPartRow,
    PageRow,
    PhotoState,
    PlanRow,
    QuickPanel,
    ReadingRow,
    RecordDetail,
    RecordRow,
    RoundEnding,
    RoundRow,
    RunState,
    SaveState,
    StepCard,
    StepCaution,
    StepRow,
    TrendState,
    TurnRow,
)
from kiosk.presenters.ports import Drawing


@dataclass(frozen=True)
class UnitTile:
    """A unit on the idle screen's board; a tap calls `open_unit(unit_id)`."""

    unit_id: str
    name: str
    description: str
    mark: Mark


@dataclass(frozen=True)
class RoundTile:
    """A round on the idle screen's board; a tap calls `open_round(key)`."""

    key: str
    title: str
    progress: str
    people: str


@dataclass(frozen=True)
class IdleState:
    """'Scan a label or your badge', and the yard's units each by its worst state.

    `practise` is what the button for practice says, '' for no button.
    """

    frame: FrameState
    prompt: str
    hint: str
    units: tuple[UnitTile, ...]
    practise: str = ""
    rounds: tuple[RoundTile, ...] = ()


@dataclass(frozen=True)
class UnitState:
    """One unit: its assemblies drawn with every position by its worst state, due jobs, findings, hours.

    Args:
        round: Begin, go on with or take up the round: a tap calls `begin_round()`. None if nothing of it is due.
        in_hand: Who has the unit in hand, '' if nobody.
        before: What to know before the shift. `lock_out`: note or take back a lock-out, by `toggle_lock_out()`.

    `diagrams[shown]` is the one to draw; `open_position(position_id)` on a mark, `show_assembly(index)` on a tab.
    """

    frame: FrameState
    unit_id: str
    title: str
    description: str
    hours: str
    diagrams: tuple[DiagramState, ...]
    shown: int
    due: tuple[DueRow, ...]
    findings: tuple[FindingRow, ...]
    summary: str
    round: ActionState | None = None
    in_hand: str = ""
    before: tuple[InHandRow, ...] = ()
    lock_out: ActionState | None = None


@dataclass(frozen=True)
class ComponentState:
    """One part: what it is, since when, what is due, open findings, last records, trend, the one-touch job.

    Args:
        place: 'Unit 4 · upper shaft bearing, left'.
        since: 'here since 3 May 2024, 1,240 h'.
        retired: Sentence if the part is off the machine, '' if it is on it.
        can_work: False while nobody is signed in or the part is retired.
        quick: The one-touch job, None if the sheet has none.
        has_trend: Whether its readings make a trend; `show_trend()` fills `trend`, `hide_trend()` empties it.
        now_id: The part that sits here now, where this one is retired; `open_now()` opens it.
        begun: Jobs that somebody began and did not save, each by whom and when.
        quick_jobs: Other one-touch jobs; a tap calls `pick_quick(key)`.
        figure_groups: What can be worked out of the part; a tap calls `show_figures(key)`, which fills `figures`.
    """

    frame: FrameState
    component_id: str
    title: str
    place: str
    label: str
    since: str
    retired: str
    facts: tuple[str, ...]
    due: tuple[DueRow, ...]
    findings: tuple[FindingRow, ...]
    records: tuple[RecordRow, ...]
    has_trend: bool
    trend: TrendState | None
    quick: QuickPanel | None
    quick_jobs: tuple[ActionState, ...]
    jobs: tuple[JobButton, ...]
    can_work: bool
    figure_groups: tuple[ActionState, ...] = ()
    figures: tuple[FigureRow, ...] = ()
    now_id: str = ""
    begun: tuple[str, ...] = ()


@dataclass(frozen=True)
class CautionsState:
    """The job's cautions, up to five cards a page, one touch each, and the hour meter when it was not read this shift.

    `pages` above 1 offers `next_page()` and `previous_page()`; `go_on()` works once `ready`.
    """

    frame: FrameState
    title: str
    place: str
    cards: tuple[CautionRow, ...]
    page: int
    pages: int
    confirmed_text: str
    hours: HoursPanel | None
    deference: str
    ready: bool
    missing: str


@dataclass(frozen=True)
class FormState:
    """A job's form: readings as found and as left, verdicts, advice, what saving will do.

    Args:
        phase: 'as found' or 'as left': which rows `rows` are; `show_phase(phase)` changes it.
        rows: The rows of that phase, left and right.
        unit: 'in' or 'mm', for bare numbers typed now; `toggle_unit()`.
        length_keys: False when the active row is not a length (no fraction keys, no unit key).
        differences: Sentences about the sides against each other.
        advice: What to do, from the readings so far.
        advice_source: Where the method and its limits come from.
        findings: Open findings of this part; `toggle_finding(key)` closes one with this record if it can.
        will_open: Sentences of the findings that saving will open.
        note: Free text.
    """

    frame: FrameState
    title: str
    place: str
    phase: str
    rows: tuple[ReadingRow, ...]
    unit: str
    length_keys: bool
    differences: tuple[AdviceLine, ...]
    advice: tuple[AdviceLine, ...]
    advice_source: str
    steps: tuple[StepRow, ...]
    findings: tuple[FindingRow, ...]
    will_open: tuple[str, ...]
    note: str
    save: SaveState


@dataclass(frozen=True)
class AdjustmentState:
    """An adjustment session: measure, turn, run, measure again, until within or given up.

    Args:
        stage: 'measure', 'turn', 'run' or 'within'; `go_on()` does what `go_on_text` says.
        heading: Where one is: 'as found', 'after turn 2'.
        rows: What is measured now; `phase` 'as found' or 'as left'.
        turns: What may be turned; `turn(key, by)`. `as_advised()` takes the advice.
        run: The run between, None outside its stage.
        story: The session so far, a line a step.
        reasons: Why it may be given up; `give_up(reason)`, or typed.
    """

    frame: FrameState
    title: str
    place: str
    stage: str
    heading: str
    phase: str
    rows: tuple[ReadingRow, ...]
    unit: str
    length_keys: bool
    differences: tuple[AdviceLine, ...]
    advice: tuple[AdviceLine, ...]
    advice_source: str
    turns: tuple[TurnRow, ...]
    run: RunState | None
    story: tuple[str, ...]
    go_on_text: str
    go_on_icon: str
    save: SaveState
    reasons: tuple[str, ...]
    can_give_up: bool


@dataclass(frozen=True)
class StepListState:
    """A step list: what is changed and its labels first, then one step after the other, then saving.

    Args:
        stage: 'parts', 'step' or 'end'; `go_on()` does what `go_on_text` says.
        kind: What the step takes: 'plain', 'reading', 'timer', 'bolts' or 'label'.
        progress: 'step 3 of 12, make safe'; `share` 0 to 1.
        picture: A drawing's name; `measure_picture`: that of the step's reading.
        reasons: Why the old part goes, to choose from by `choose_reason(key)`.
        parts: What may be changed with it, and how far its label is.
        steps: All of them, ticked or not; `take_back()` unticks the last one.
        give_up_reasons: `give_up(reason)`, or typed.
    """

    frame: FrameState
    title: str
    place: str
    stage: str
    kind: str
    progress: str
    share: float
    text: str
    caution: StepCaution | None
    picture: str
    rows: tuple[ReadingRow, ...]
    unit: str
    length_keys: bool
    run: RunState | None
    bolts: tuple[BoltState, ...]
    passes: str
    reasons: tuple[ActionState, ...]
    parts: tuple[NewPartRow, ...]
    steps: tuple[StepRow, ...]
    can_take_back: bool
    go_on_text: str
    go_on_icon: str
    save: SaveState
    give_up_reasons: tuple[str, ...]
    can_give_up: bool


@dataclass(frozen=True)
class SpliceState:
    """Cutting out a bad length: where it is, the plans, the joint's bolts, saving.

    Args:
        stage: 'damage', 'plan', 'steps' or 'joint'; `go_on()` and `back()` move between them.
        entries: Start and end of the bad length from the datum mark, by keypad.
        facts: Belt as recorded: length, cleat pitch, splices, take-up travel.
        plans: Feasible ones ranked, then the refused ones with their reason.
        bolts: In their place from left to right; `tick_bolt(number)`, `untick_bolt()` takes the last one back.
        passes: 'pass 1 of 2, snug', '' before the joint. `joint`: which of the piece's two joints, '' for a lone one.
        step: The step at hand while `stage` is 'steps', None elsewhere.
    """

    frame: FrameState
    title: str
    place: str
    stage: str
    entries: tuple[EntryRow, ...]
    unit: str
    facts: tuple[str, ...]
    drawing: BeltDrawing | None
    plans: tuple[PlanRow, ...]
    bolts: tuple[BoltState, ...]
    passes: str
    advice: tuple[AdviceLine, ...]
    will_open: tuple[str, ...]
    save: SaveState
    joint: str = ""
    step: StepCard | None = None


@dataclass(frozen=True)
class ReplaceState:
    """Taking a part off and putting a new one on: reason, new part, its label printed and read back, saving."""

    frame: FrameState
    title: str
    place: str
    old_part: tuple[str, ...]
    reasons: tuple[ActionState, ...]
    entries: tuple[EntryRow, ...]
    label: LabelState | None
    can_issue: bool
    hours: str
    save: SaveState


@dataclass(frozen=True)
class RoundState:
    """A round: its fittings in the order of the walk, how far it is, and the job in hand.

    Args:
        place: The unit and the progress, for the header.
        done, settled: Shares of the jobs, 0..1.
        hint: What comes next. `said`: what was saved last, '' before.
        highlighted: Positions to point at on `diagram`, which marks the round's fittings only.
        quick: The job in hand that one touch saves, by `save_quick()`. `form`: the one that has a form, likewise.
        here: What is in hand, '' if nothing. `ending`: what is asked at the end, by `skip_for(key)`.
        story: The round so far, a sentence a line.
    """

    frame: FrameState
    title: str
    place: str
    progress: str
    done: float
    settled: float
    hint: str
    said: str
    diagram: DiagramState | None
    highlighted: tuple[str, ...]
    rows: tuple[RoundRow, ...]
    quick: QuickPanel | None
    form: ActionState | None
    here: str
    ending: RoundEnding | None
    story: tuple[str, ...]
    is_over: bool


@dataclass(frozen=True)
class SavedState:
    """What was saved, after it is durable. `next` offers where to go; a tap calls `answer(key)`."""

    frame: FrameState
    title: str
    lines: tuple[str, ...]
    findings: tuple[str, ...]
    record_id: str
    next: tuple[ActionState, ...]
    mark: Mark


@dataclass(frozen=True)
class HistoryState:
    """A part's records, or its whole position's through every part that sat there; newest first.

    Args:
        scope: Whose records: 'part', 'position', 'unit' or 'person'; `scopes` are offered by `show_scope(key)`.
        filters: What to show; `choose_filter(group, key)`, `type_filter(group, text)`, `clear_filter()`.
        opened: A record opened to everything, None for the list.
        has_more: `older()` brings the next page, and with `has_newer` `newer()` the one before.
        exported: 'saved as …', '' before.
        files: Paper, place, kinds of file; `press_file(key)`.
        label_lines: What became of the label, newest first; () where there is none.
    """

    frame: FrameState
    title: str
    place: str
    scope: str
    scopes: tuple[ActionState, ...]
    filters: tuple[FilterGroup, ...]
    rows: tuple[RecordRow, ...]
    opened: RecordDetail | None
    has_more: bool
    count_text: str
    exported: str
    can_correct: bool = False
    has_newer: bool = False
    files: tuple[PageRow, ...] = ()
    label_lines: tuple[DetailLine, ...] = ()


@dataclass(frozen=True)
class PhotosState:
    """Photos of a record or finding, one at a time.

    Args:
        photo: What to show, None while the camera's picture is to be seen (`looks`) or there is nothing.
        is_taken: It was taken just now: `keep()` or `again()`.
        number, count: Which of how many on record; `turn()` shows the next.
        can_take: `take()` shows the camera's picture, then takes it.
    """

    frame: FrameState
    title: str
    place: str
    photo: PhotoState | None
    is_taken: bool
    looks: bool
    number: int
    count: int
    can_take: bool
    hint: str


@dataclass(frozen=True)
class PageState:
    """A supervisor's page: rows to press or to read; beside them a chart, None for none."""

    frame: FrameState
    title: str
    note: str
    rows: tuple[PageRow, ...]
    empty_text: str
    drawing: Drawing | None


State = (
    IdleState | UnitState | ComponentState | CautionsState | FormState | AdjustmentState | StepListState | SpliceState
    | ReplaceState | SavedState | HistoryState | PageState | RoundState | PhotosState
)

__all__ = [
    "ActionState", "AdjustmentState", "AdviceLine", "BeltDrawing", "BoltState", "CautionRow", "CautionsState",
    "ComponentState", "DiagramState", "DueRow", "EntryRow", "FigureRow", "FindingRow", "FormState", "FrameState",
    "HistoryState", "HoursPanel", "IdleState", "InHandRow", "JobButton", "LabelState", "Mark", "NewPartRow", "PageRow",
    "PageState", "PhotoState", "PhotosState",
    "PlanRow", "QuickPanel", "ReadingRow", "RecordDetail", "RecordRow", "ReplaceState", "RoundEnding",
    "RoundRow", "RoundState", "RoundTile", "RunState", "SaveState", "SavedState", "SpliceState", "State",
    "StepCaution", "StepListState", "StepRow", "TrendState", "TurnRow", "UnitState", "UnitTile",
]
