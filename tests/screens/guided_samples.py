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

_STEPS = tuple(p.StepRow(place, text, place < 6) for place, text in enumerate((
    "Engine off, locked out, tried.", "Hopper empty; raised body on both supports.",
    "Block chain or belt against run-back.", "Fetch bearing, sling, torque keys, emery, grease gun.",
    "Slacken both take-ups evenly; note where they stood.", "Take the shaft's weight in the sling.",
    "Loosen set screws; draw the bearing off.", "Clean the shaft; look for steps and rust.",
    "Fit the bearing; stick the label; scan it.", "Housing bolts crosswise, pass by pass.",
    "Measure the play of the shaft.", "Guards back; run ten minutes; feel for heat."), start=1))
_PARTS = (
    p.NewPartRow("p1", "Upper shaft bearing, left", "Insert bearing UC208 in its housing", True, "", base.NONE),
    p.NewPartRow("p2", "Upper shaft bearing, right", "Insert bearing UC208 in its housing", True, "", base.NONE),
    p.NewPartRow("p3", "Lower shaft bearing, left", "Insert bearing UC208 in its housing", False, "", base.NONE),
)
STEP_PLAIN = s.StepListState(
    _FORM.frame, "Change the bearing", "Unit 07 Kittiwake · upper shaft bearing, left", "step", "plain",
    "step 2 of 12: make safe", 1 / 12, "Hopper empty; raised body on both supports.",
    p.StepCaution("DANGER", "A raised hopper that comes down crushes whoever is under it.",
                  "Nobody goes under it before both safety supports are in place."),
    "supports", (), "in", False, None, (), "", (), (), _STEPS, True, "Done", "tick", p.SaveState("Done", True, ""),
    ("A part or a tool is missing", "It cannot be made safe here", "Something else is broken",
     "No time left; it is begun anew later"), True)
STEP_PARTS = replace(
    STEP_PLAIN, stage="parts", kind="plain", progress="what is changed, and its labels", share=0.0, caution=None,
    text="Why does it come off, and what is changed with it?", picture="", parts=_PARTS, can_take_back=False,
    reasons=tuple(p.ActionState(reason, reason, reason == "seized")
                  for reason in ("noisy", "hot", "loose on the shaft", "seized", "seal lost")),
    go_on_text="Print labels", go_on_icon="label", can_give_up=False)
STEP_LABEL = replace(
    STEP_PLAIN, kind="label", progress="step 9 of 12: fit", share=8 / 12, picture="label", caution=None,
    text="Fit the bearing; stick the label; scan it.",
    parts=(replace(_PARTS[0], label="1 4821 9930 7", state=p.Mark("on the machine", "circle", "good")),
           replace(_PARTS[1], label="1 7733 0148 2", state=p.Mark("to be scanned", "clock", "due"))),
    save=p.SaveState("Done", False, "Scan the new label on the machine."))
STEP_BOLTS = replace(
    STEP_PLAIN, kind="bolts", progress="step 10 of 12: fit", share=9 / 12, picture="bolts", caution=None,
    text="Bolts from the centre outward.", bolts=base.SPLICE_JOINT.bolts,
    passes="All in and snug first, then in this order to 11 N·m (the yard's figure), ticking each one.",
    save=p.SaveState("Done", False, "Tighten every bolt first."))
STEP_READING = replace(
    STEP_PLAIN, kind="reading", progress="step 11 of 12: check", share=10 / 12, caution=None, picture="",
    text="Measure the play of the shaft.", rows=_FORM.rows, length_keys=True, go_on_text="Measured")
STEP_TIMER = replace(
    STEP_PLAIN, kind="timer", progress="step 12 of 12: check", share=11 / 12, picture="hot", run=replace(
        _RUNNING, left="8:02 min left"), text="Guards back; run ten minutes; feel for heat.", go_on_text="Stop early",
    caution=p.StepCaution("WARNING", "An open sprocket or roller draws in gloves and sleeves.",
                          "Put every guard back before the engine is started."))
STEP_END = replace(STEP_PLAIN, stage="end", progress="all 12 steps are done", share=1.0, caution=None, picture="",
                   text="All done. Save it, and it goes on record as one.", go_on_text="Save", go_on_icon="save")

_AFTER = p.BeltAfter(1.0, tuple((0.5 + n) / 30 for n in range(30)), (0.0, 0.4, 0.4333), (0.4, 0.4333),
                     "177 5/32 in")
_INSERTED = replace(base.SPLICE_PLAN.drawing, cut=(0.4, 0.4333), new_splices=(0.4, 0.4333), damage=(0.41, 0.42),
                    after=_AFTER)
SPLICE_INSERT = replace(base.SPLICE_PLAN, drawing=_INSERTED, entries=tuple(
    replace(entry, unit="in") for entry in base.SPLICE.entries))
SPLICE_STEPS = replace(
    SPLICE_INSERT, stage="steps", plans=(), advice=(
        p.AdviceLine("do", "Cut out 5 29/32 in, put in one cleat section (5 29/32 in)."),
        p.AdviceLine("do", "Cut at 70 7/8 in and 76 25/32 in from the datum mark.")),
    step=p.StepCard("Cut away from yourself.", "step 8 of 9: take off", "cut", p.StepCaution(
        "CAUTION", "Worn flights and cut belt have edges that slice gloves.",
        "Wear cut-proof gloves and cut away from yourself.")))
SPLICE_SECOND = replace(base.SPLICE_JOINT, joint="Joint 2 of 2: where the piece ends")

SAMPLES: dict[str, s.State] = {
    "adjust": ADJUST,
    "adjust_turn": ADJUST_TURN,
    "adjust_mounts": ADJUST_MOUNTS,
    "adjust_run": ADJUST_RUN,
    "adjust_over": ADJUST_OVER,
    "adjust_within": ADJUST_WITHIN,
    "steps_parts": STEP_PARTS,
    "steps_plain": STEP_PLAIN,
    "steps_label": STEP_LABEL,
    "steps_bolts": STEP_BOLTS,
    "steps_reading": STEP_READING,
    "steps_timer": STEP_TIMER,
    "steps_end": STEP_END,
    "splice_insert": SPLICE_INSERT,
    "splice_steps": SPLICE_STEPS,
    "splice_second": SPLICE_SECOND,
}
FACES: dict[str, tuple[str, ...]] = {"adjust_turn": ("story", "give up"), "steps_plain": ("steps", "give up")}
