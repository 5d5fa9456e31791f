"""Sample states of guided work: adjustment sessions, step lists. Invented, at the length of the longest real ones."""

from __future__ import annotations

from dataclasses import replace

import screen_samples as base

from kiosk.presenters import parts as p
from kiosk.presenters import states as s

_FORM = base.FORM
_STORY = (
    "06:40 Ines Orban: measured left 1 1/16 in outside, right 7/16 in within, left 5/8 in within, right 1/2 in within",
    "06:44 Ines Orban: left take-up 2 flats up",
    "06:45 Ines Orban: run began: 120 revolutions, 12.3 min",
    "06:58 Ines Orban: ran 120 revolutions, 12.3 min",
    "07:04 Tomas Reyl: measured left 3/4 in too close to call, right 5/8 in within",
)
ADJUST = s.AdjustmentState(
    _FORM.frame, "Track the belt", "Unit 12 Dunlin · cleated belt", "measure", "as found", "as found", _FORM.rows, "in",
    True, _FORM.differences, _FORM.advice, _FORM.advice_source, (), None, (), "Measured", "tick",
    p.SaveState("Measured", True, ""),
    ("The take-up is seized or at its end", "A part is worn or missing",
     "Something else is wrong; turning does not help", "No time left; the next shift goes on"), True)
ADJUST_TURN = replace(
    ADJUST, stage="turn", heading="after turn 2", differences=(), story=_STORY, go_on_text="Turned so",
    go_on_icon="adjust",
    advice=(
        p.AdviceLine("do", "Raise the left take-up by 2 flats, run 120 belt revolutions (12 minutes at 1400 engine "
                           "r/min), then measure again."),
        p.AdviceLine("why", "The belt runs to the left; it runs to the slacker side, so that side is tightened."),
        p.AdviceLine("why", "2 logged moves: one turn moves the edge 3/8 in, give or take 1/8 in."),
        p.AdviceLine("why", "Chance that it then runs in its band: 78%."),
    ),
    turns=(p.TurnRow("left", "Left take-up", "2 flats up", "up", "down"),
           p.TurnRow("right", "Right take-up", "not turned", "up", "down")))
ADJUST_MOUNTS = replace(
    ADJUST_TURN, title="Set flight to pan", place="Unit 07 Kittiwake · flights over the pan",
    turns=tuple(p.TurnRow(f"{where}|{side}", f"Flight to pan at the {where} shaft, {side}", "3/32 in", "down", "up")
                for where in ("upper", "lower") for side in ("left", "right")))
_RUNNING = p.RunState("78 revolutions, 8:02 min left", 0.65, p.Mark("running", "clock", "due"), True, False)
ADJUST_RUN = replace(ADJUST_TURN, stage="run", turns=(), run=_RUNNING, go_on_text="Stop early", go_on_icon="clock")
ADJUST_OVER = replace(
    ADJUST_RUN, go_on_text="Measure again",
    run=p.RunState("120 revolutions, 12:20 min", 0.0, p.Mark("time is up", "circle", "good"), False, True))
ADJUST_WITHIN = replace(ADJUST_TURN, stage="within", turns=(), go_on_text="Save: within", go_on_icon="save",
                        rows=tuple(replace(row, shown="1/2 in (12.7 mm)") for row in _FORM.rows), advice=())

SAMPLES: dict[str, s.State] = {
    "adjust": ADJUST,
    "adjust_turn": ADJUST_TURN,
    "adjust_mounts": ADJUST_MOUNTS,
    "adjust_run": ADJUST_RUN,
    "adjust_over": ADJUST_OVER,
    "adjust_within": ADJUST_WITHIN,
}
FACES: dict[str, tuple[str, ...]] = {"adjust_turn": ("story", "give up")}
