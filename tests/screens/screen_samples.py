"""Sample states of every screen, with texts as long as they come, for tests and pictures. All names are invented."""

from __future__ import annotations

import math
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from pathlib import Path

from kiosk.entities import SeriesPoint, Side
from kiosk.presenters import parts as p
from kiosk.presenters import states as s
from kiosk.reports.series import LazyChart
from kiosk.service_sheet import ReadingSpec


def mark(word: str, colour: str) -> p.Mark:
    """Return a mark with its colour's own shape."""
    return p.Mark(word, p.SHAPES[colour], colour)


FINE, FINDING = mark("fine", p.GOOD), mark("finding", p.BAD)
DUE, OVERDUE, NONE = mark("due", p.DUE), mark("overdue", p.OVERDUE), mark("", p.NEUTRAL)
WITHIN, TOO_CLOSE = mark("within", p.GOOD), mark("too close to call", p.UNSURE)
OUTSIDE = mark("outside", p.BAD)

HEADER = p.HeaderState(
    "Sandholm harbour yard", "Marieke Oosterbaan", "mechanic", "early shift", "Wed 25 Nov 2026 06:12"
)
NOBODY = replace(HEADER, person="", role="")
FRAME = p.FrameState(HEADER)
PLACE = "Unit 07 Kittiwake · upper shaft bearing, left"

_UNITS = (
    "01 Avocet",
    "02 Bittern",
    "03 Curlew",
    "04 Dunlin",
    "05 Eider",
    "06 Fulmar",
    "07 Kittiwake",
    "08 Lapwing",
    "09 Merganser",
    "10 Oystercatcher",
    "11 Plover",
    "12 Redshank",
    "13 Sandpiper",
    "14 Turnstone",
)
_WORST = (FINE, OVERDUE, FINE, DUE, FINDING, FINE, OVERDUE)

IDLE = s.IdleState(
    p.FrameState(NOBODY, can_go_back=False),
    "Scan a label or your badge",
    "Hold a label under the scanner or the camera, or type its ten digits.",
    tuple(
        s.UnitTile(name[:2], f"Unit {name}", "sweeper with flight elevator", _WORST[number % len(_WORST)])
        for number, name in enumerate(_UNITS)
    ),
)
IDLE_REFUSED = replace(
    IDLE,
    frame=replace(
        IDLE.frame,
        message=p.MessageState(
            "refused",
            "1 4821 9930 7 is not a label number: its last digit does not fit the others.",
            "Scan it again, or type the ten digits that are printed under the bars.",
        ),
    ),
)
PIN_PAD = replace(
    IDLE, frame=replace(IDLE.frame, pin_pad=p.PinPadState(
        "●●●●●", "That is not the PIN. Wait 5 seconds; 2 more tries before it locks.",
        can_change=True)))
LABEL_PAD = replace(
    IDLE, frame=replace(IDLE.frame, label_pad=p.LabelPadState("1 4821 99__ _", "3 digits are missing"))
)

_SLANTING = (
    ("upper shaft bearing, left", 0.76, 0.74, OVERDUE),
    ("upper shaft bearing, right", 0.80, 0.70, DUE),
    ("lower shaft bearing, left", 0.17, 0.24, DUE),
    ("lower shaft bearing, right", 0.21, 0.20, FINE),
    ("upper sprocket, left", 0.72, 0.70, FINE),
    ("upper sprocket, right", 0.74, 0.66, FINE),
    ("lower sprocket, left", 0.20, 0.30, FINE),
    ("lower sprocket, right", 0.24, 0.28, NONE),
    ("chain, left", 0.42, 0.56, FINDING),
    ("chain, right", 0.46, 0.54, TOO_CLOSE),
    ("flights", 0.34, 0.45, FINE),
    ("floor pan", 0.52, 0.34, FINE),
    ("wear pad, left", 0.26, 0.22, DUE),
    ("wear pad, right", 0.30, 0.24, FINE),
    ("take-up, left", 0.86, 0.80, FINE),
    ("take-up, right", 0.90, 0.76, FINE),
    ("height stop, left", 0.08, 0.10, FINE),
    ("height stop, right", 0.12, 0.08, FINE),
    ("scraper", 0.70, 0.88, NONE),
    ("gearbox", 0.88, 0.60, DUE),
)
_ELEVATOR = p.DiagramState(
    "a7",
    "debris elevator",
    "flight elevator",
    tuple(
        p.DiagramMark(f"p{number}", x, y, name, number + 1, state)
        for number, (name, x, y, state) in enumerate(_SLANTING)
    ),
)
_CONVEYOR = replace(_ELEVATOR, title="belt conveyor", design="belt conveyor")
_DRAG_FLOOR = p.DiagramState(
    "a9",
    "drag-chain floor",
    "drag-chain floor",
    tuple(
        p.DiagramMark(f"d{number}", x, y, name, number + 1, state)
        for number, (name, x, y, state) in enumerate(
            (
                ("front shaft bearing, left", 0.17, 0.40, DUE),
                ("rear shaft bearing, left", 0.80, 0.40, OVERDUE),
                ("drag chain, left", 0.48, 0.46, FINE),
                ("spinner disc", 0.90, 0.16, FINE),
                ("take-up", 0.08, 0.40, FINDING),
            )
        )
    ),
)

_DUE_ROWS = tuple(
    p.DueRow(
        f"grease{number}",
        f"c{number}",
        f"p{number}",
        "Grease the bearing",
        place,
        "by 12.5 h, whichever comes first",
        "last on Tue 24 Nov 2026 by Tobias Achterberg",
        state,
    )
    for number, (place, state) in enumerate(
        (
            ("upper shaft bearing, left", OVERDUE),
            ("upper shaft bearing, right", DUE),
            ("lower shaft bearing, left", DUE),
            ("gearbox at the upper shaft", DUE),
            ("wear pad, left", DUE),
        )
    )
)
_FINDINGS = (
    p.FindingRow(
        "f1",
        "Upper strand sags 4 5/8 in (117.5 mm), more than 4 in (101.6 mm)",
        "since Mon 23 Nov 2026",
        "chain, left",
        position_id="p4",
    ),
    p.FindingRow(
        "f2",
        "Seal of the bearing lifted, grease runs out at the machine side",
        "since Tue 24 Nov 2026",
        "upper shaft bearing, left",
        can_resolve=True,
        position_id="p0",
    ),
)
UNIT = s.UnitState(
    FRAME,
    "07",
    "Unit 07 Kittiwake",
    "street sweeper with flight elevator",
    "4,812.5 h, read today 06:02",
    (_ELEVATOR, _DRAG_FLOOR),
    0,
    _DUE_ROWS,
    _FINDINGS,
    "1 overdue · 4 due today · 2 open findings",
    p.ActionState("go on", "Round: take up"),
    "Unit 07 Kittiwake is in the hands of Tobias Achterberg since today 06:12: Round of Unit 07 Kittiwake.",
    (
        p.InHandRow("What it takes", ("Lumps jam between pan edge and flight: leave them lying.",
                                      "Sand, grit, wet leaves: small loads, slower pace."), mark("", p.GOOD)),
        p.InHandRow("Height stops", ("1 1/2 in (38.1 mm) for sand and gravel",
                                     "2 3/4 in (69.9 mm) for leaves and litter",
                                     "Last measured: left 1 1/2 in, right 1 9/16 in"), mark("", p.NEUTRAL)),
        p.InHandRow("Look at on return", ("Wire and string wound round both shafts?",), mark("", p.DUE)),
    ),
    p.ActionState("lock-out", "Note my lock-out"),
)
UNIT_BELT = replace(
    UNIT, round=None, in_hand="", before=(), lock_out=None, diagrams=(_CONVEYOR,), due=(), findings=(),
    summary="0 overdue · 0 due today · 0 open findings",
)
UNIT_DRAG = replace(UNIT, shown=1)

_RECORDS = tuple(
    p.RecordRow(f"r{number}", when, job, person, hours, summary, state)
    for number, (when, job, person, hours, summary, state) in enumerate(
        (
            (
                "yesterday 14:03",
                "Grease the bearing",
                "Tobias Achterberg",
                "4,804.0 h",
                "2 strokes, lithium complex EP 2",
                NONE,
            ),
            (
                "Mon 23 Nov 2026",
                "Inspect the bearing",
                "Marieke Oosterbaan",
                "4,797.5 h",
                "play 0.15 mm, 41 °C",
                WITHIN,
            ),
            (
                "Sun 22 Nov 2026",
                "Grease the bearing",
                "Ilse van Doornik",
                "4,790.0 h",
                "2 strokes, lithium complex EP 2",
                NONE,
            ),
            ("Sat 21 Nov 2026", "Grease the bearing", "Tobias Achterberg", "4,782.5 h", "2 strokes", NONE),
            (
                "Fri 20 Nov 2026",
                "Adjust the sag",
                "Marieke Oosterbaan",
                "4,775.0 h",
                "left 3 1/2 in, right 3 9/16 in",
                OUTSIDE,
            ),
        )
    )
)
_POINTS = tuple(
    SeriesPoint(datetime(2026, 9, 1, tzinfo=UTC) + timedelta(days=3 * n), 4300.0 + 18 * n,
                80.0 + 0.55 * n + 0.8 * math.sin(n + (side == "right")), "as found", side)
    for n in range(28) for side in ("left", "right")
)
TREND = p.TrendState(
    "Upper strand sag, as found, over the hours",
    LazyChart(ReadingSpec("sag", "Upper strand sag", "mm", (Side.LEFT, Side.RIGHT), 76.2, 101.6, 1.6, "tape",
                          "common practice, no source"), _POINTS, True),
    "Meets 4 in (101.6 mm) at about 5,020 h, between 4,930 h and 5,190 h: about Thu 7 Jan 2027.",
)
_QUICK = p.QuickPanel(
    "grease",
    "Grease the bearing",
    (
        "Last greased yesterday 14:03 by Tobias Achterberg, 2 strokes.",
        "Grease: Polar lithium EP 2 (lithium complex), hand gun only; 1.2 g a stroke.",
        "A whole regreasing of UC208 is 5.6 g (insert table), 9.3 strokes of this gun: never more at once.",
    ),
    2,
    "May take 2 strokes now.",
    "Save 2 strokes",
    True,
    "",
    None,
    DUE,
)
_JOBS = (
    p.JobButton("adjust", "Adjust the sag of the upper strand", "adjust", "due Fri 27 Nov 2026 or in 22.5 h", DUE),
    p.JobButton(
        "inspect", "Inspect bearing, seals and set screws", "inspect", "overdue since Mon 23 Nov 2026", OVERDUE
    ),
    p.JobButton("splice", "Cut out a bad length and splice", "splice", "", NONE),
    p.JobButton("replace", "Replace the bearing", "replace", "", NONE),
    p.JobButton("note", "Write a note", "note", "", NONE),
)
_FIGURES = (
    p.FigureRow(
        "Life at 95 %, both editions",
        "41,200 h; by the older tables 39,900 h",
        "factor a1 0.64 and 0.62",
        "",
        "ISO 281:2007; ISO 281:2007, factor a1 of the older tables (1990)",
        "Two editions of the factor are in print. ISO 281:2007 is the one in force and is used; the older tables stand "
        "beside it because handbooks in the yard still print them.",
    ),
    p.FigureRow("Static safety", "12.6", "", "at least 1.5 for impact service", "insert-bearing catalogue; ISO 76", ""),
    p.FigureRow(
        "Whole regreasing",
        "5.6 g",
        "printed whole amounts; a hand gun's stroke is coarser",
        "the formula says 8.4 g",
        "mounted-unit makers' catalogue, table 'recommended grease amount', grease of 0.9 g/ml",
        "Both are in print. The table wins: it is for inserts, and the formula would lift the seal.",
    ),
    p.FigureRow("Weibull life at this place", "no curve yet", "", "", "", "1 failure here; 3 are needed for a curve."),
)
_GROUPS = tuple(
    p.ActionState(name.lower(), name)
    for name in (
        "How it wears",
        "Bearing under load",
        "How sure a reading is",
        "How well it is set",
        "Life of parts",
        "Grease in the bearing",
    )
)
COMPONENT = s.ComponentState(
    FRAME,
    "c0",
    "Flange bearing UCF208, set-screw insert",
    PLACE,
    "1 0482 1993 7",
    "here since 3 May 2024, 1,240 h",
    "",
    ("Bore 40 mm", "Insert UC208", "Grease: lithium complex"),
    _DUE_ROWS[:1],
    _FINDINGS[1:],
    _RECORDS,
    True,
    TREND,
    _QUICK,
    (p.ActionState("wash", "Wash out the lower roller"),),
    _JOBS,
    True,
    _GROUPS,
)
COMPONENT_FIGURES = replace(
    COMPONENT,
    figure_groups=(_GROUPS[0], replace(_GROUPS[1], chosen=True), *_GROUPS[2:]),
    figures=_FIGURES,
)
_REASONS = tuple(
    p.ActionState(f"r{number}", text, chosen=number == 1)
    for number, text in enumerate(
        (
            "Grease was washed out",
            "Bearing was opened or replaced",
            "Strokes went past the seal",
            "The supervisor asked for it",
        )
    )
)
COMPONENT_STOPPED = replace(
    COMPONENT,
    quick=replace(
        _QUICK,
        strokes=5,
        button="Save 5 strokes",
        enabled=False,
        allowed="May take no stroke now.",
        reason="5 strokes are more than the 2 a day that this bearing may take: the seals lift.",
        stop=p.StopPanel("5 strokes are more than the 2 a day that this bearing may take.", _REASONS, "", False),
    ),
)
COMPONENT_RETIRED = replace(
    COMPONENT,
    quick=None,
    quick_jobs=(),
    can_work=False,
    has_trend=False,
    trend=None,
    now_id="c9",
    findings=(),
    due=(),
    retired="Taken off on Tue 24 Nov 2026 at 4,804 h, seized. The part here now is 1 7731 0264 9.",
    jobs=tuple(replace(job, enabled=False) for job in _JOBS),
)

_CARDS = tuple(
    p.CautionRow(f"k{number}", signal, hazard, action, number < 1, mark("confirmed", p.GOOD))
    for number, (signal, hazard, action) in enumerate(
        (
            (
                "DANGER",
                "A raised hopper can drop and crush you.",
                "Hopper empty, then down or on its safety supports.",
            ),
            (
                "WARNING",
                "The elevator can run back by itself and take your hand along.",
                "Engine off, key out, locked and tagged; block the flights before you open the chain.",
            ),
            (
                "WARNING",
                "Hydraulic oil under pressure cuts through skin.",
                "Let the pressure down and try the lever first.",
            ),
            ("CAUTION", "Sharp edges on worn flights and pan.", "Wear cut-resistant gloves."),
            ("NOTICE", "More pressure than a hand gun's lifts the seals.", "Use the hand gun, never the air gun."),
        )
    )
)
HOURS = p.HoursPanel(
    "Hour meter of Unit 07 Kittiwake now?",
    "4,819.5",
    "last read 4,812.5 h on Tue 24 Nov 2026",
    "4,192.5 h is less than last time. Is a digit swapped?",
    (p.ActionState("4819.2", "4,819.2 h"), p.ActionState("4812.9", "4,812.9 h")),
    False,
)
CAUTIONS = s.CautionsState(
    FRAME,
    "Before you start: Adjust the sag of the upper strand",
    PLACE,
    _CARDS,
    1,
    2,
    "Marieke Oosterbaan confirms for Unit 07 Kittiwake, this shift",
    HOURS,
    "This screen is not the lock. Local rules, the maker's manual and the yard's own lock-out procedure come first; "
    "leave the work if you are not trained for it.",
    False,
    "Still to do: 4 of 5 cautions to confirm and the hour meter to read.",
)
CAUTIONS_TWO = replace(CAUTIONS, cards=_CARDS[:2], pages=1, hours=None, missing="", ready=True)
CAUTIONS_HOURS = replace(
    CAUTIONS,
    page=2,
    cards=tuple(replace(card, confirmed=True) for card in _CARDS),
    missing="Still to do: the hour meter to read.",
)

_GAUGE = p.GaugeState(
    0.25, 0.75, 0.78, 0.74, 0.82, "", "3 in", "4 in", "4 1/16 in", "± 1/16 in", "2 1/2 in", "4 1/2 in", TOO_CLOSE
)
_EMPTY_GAUGE = replace(
    _GAUGE, value=None, value_low=None, value_high=None, value_text="", uncertainty_text="", mark=NONE
)
_LEFT = p.ReadingRow(
    "as found|sag|left",
    "Clearance at the lowest point of the sag",
    "left",
    "as found",
    "4 1/16",
    "4 1/16 in (103.2 mm)",
    "between 3 in (76.2 mm) and 4 in (101.6 mm)",
    "Measure from the cross bar down to the strand, at its lowest point between the shafts.",
    "steel rule, 1/16 in",
    _GAUGE,
    TOO_CLOSE,
    "",
    None,
    "About as likely outside as within. Rule: guarded 95 %. Limits: yard instruction 12.",
    False,
)
_RIGHT = replace(
    _LEFT, key="as found|sag|right", side="right", typed="", shown="", gauge=_EMPTY_GAUGE, verdict=None, active=True
)
_ADVICE = (
    p.AdviceLine("do", "Turn both take-ups 1 1/2 turns (9 flats) tighter, left and right alike."),
    p.AdviceLine("check", "Run 15 minutes at 1500 rpm (about 150 revolutions), then measure again."),
    p.AdviceLine("why", "The hanging strand is 5/16 in (7.9 mm) longer than at the wanted sag."),
)
_STEPS = tuple(
    p.StepRow(number + 1, text, number < 2)
    for number, text in enumerate(
        (
            "Lock out and block the flights.",
            "Find the lowest point of the upper strand.",
            "Measure left and right.",
            "Loosen the lock nuts of both take-ups.",
            "Turn both take-ups alike.",
            "Tighten the lock nuts, then run in.",
        )
    )
)
FORM = s.FormState(
    FRAME,
    "Adjust the sag of the upper strand",
    "Unit 07 Kittiwake · chain, left",
    "as found",
    (_LEFT, _RIGHT),
    "in",
    True,
    (p.AdviceLine("stop", "The sides differ by 5/8 in (15.9 mm), more than 1/4 in (6.4 mm). Set both sides alike."),),
    _ADVICE,
    "Catenary of the hanging strand; the yard's instruction 12.",
    _STEPS,
    (replace(_FINDINGS[0], can_resolve=True),),
    ("Upper strand left at 4 1/16 in, above 4 in",),
    "",
    p.SaveState("Save", True, ""),
)
FORM_MEASURE = replace(
    FORM, rows=tuple(replace(row, typed="", shown="", gauge=_EMPTY_GAUGE, verdict=None, active=row is _LEFT,
                             picture="sag under a straight edge") for row in (_LEFT, _RIGHT)),
    differences=(), advice=())
FORM_SLIP = replace(
    FORM,
    rows=(
        _LEFT,
        replace(
            _RIGHT,
            typed="90",
            verdict=OUTSIDE,
            shown="90 in (2286 mm)",
            gauge=replace(_GAUGE, value=1.0, value_low=1.0, value_high=1.0, off_scale="high"),
            message="That is about 25 times too large for this place. Did you mean 90 mm?",
            suggestion=p.ActionState("suggestion", "Yes, 90 mm"),
        ),
    ),
    save=p.SaveState("Save", False, "Answer the question first."),
)
FORM_CLOSE = replace(
    FORM,
    rows=(
        _LEFT,
        replace(
            _RIGHT,
            message="Too close to call: the step of the steel rule is all the doubt that is known. Measure again, the "
            "mean counts, or take a finer instrument.",
            again=p.ActionState("again", "Measure again, keep 4 1/32"),
        ),
    ),
)
FORM_PLAIN = replace(
    FORM,
    phase="as left",
    unit="mm",
    length_keys=False,
    advice=(),
    differences=(),
    will_open=(),
    findings=(),
    rows=(
        replace(
            _RIGHT,
            title="Temperature after ten minutes",
            side="",
            limits="at most 80 °C (176 °F)",
            typed="41",
            gauge=replace(
                _GAUGE, lower=None, lower_text="", upper_text="80 °C", value=0.3, value_low=0.28, value_high=0.32
            ),
            verdict=WITHIN,
        ),
    ),
)
FORM_REFUSED = replace(
    FORM,
    frame=replace(
        FRAME,
        message=p.MessageState(
            "refused",
            "The record could not be saved: the disk is full.",
            "What you typed is still here. Tell the supervisor; free some space and save again.",
        ),
    ),
)
FORM_QUESTION = replace(
    FORM,
    frame=replace(
        FRAME,
        message=p.MessageState(
            "question",
            "Clearance left at 4 1/16 in is outside 3 to 4 in. Save it and open a finding?",
            "",
            (p.ActionState("yes", "Save and open it"), p.ActionState("no", "Measure again")),
        ),
    ),
)

_FACTS = (
    "Belt 7,315 mm, 24 cleats every 304.8 mm",
    "Splices at 0 mm and 3,657.6 mm from the mark",
    "Take-ups: 41 mm in, 96 mm out",
)
_STRIP = p.BeltDrawing(
    tuple((number + 0.5) / 24 for number in range(24)), (0.02, 0.5), (0.29, 0.33), (0.271, 0.354), (), "7,315 mm"
)
_PLANS = (
    p.PlanRow(
        "a",
        1,
        "Cut out 2 sections, put none in",
        "new length 6,705.4 mm (264 in)",
        "take-ups 78 mm of 96 mm",
        ("one new splice, 1,830 mm from the next",),
        True,
        True,
    ),
    p.PlanRow(
        "b",
        2,
        "Cut out 2 sections, put 1 in",
        "new length 7,010.2 mm (276 in)",
        "take-ups 31 mm of 96 mm",
        ("two new splices, 304.8 mm apart",),
        True,
        False,
    ),
    p.PlanRow(
        "c",
        3,
        "Cut out 3 sections",
        "new length 6,400.6 mm (252 in)",
        "take-ups 142 mm of 96 mm",
        ("the take-ups cannot reach that far",),
        False,
        False,
    ),
)
SPLICE = s.SpliceState(
    FRAME,
    "Splice the belt",
    "Unit 03 Curlew · belt",
    "damage",
    (
        p.EntryRow("start", "Bad length begins, from the mark", "83 1/2", "83 1/2 in (2121 mm)", "", False),
        p.EntryRow("end", "Bad length ends, from the mark", "95", "95 in (2413 mm)", "", True),
    ),
    "in",
    _FACTS,
    _STRIP,
    (),
    (),
    "",
    (),
    (),
    p.SaveState("Save", False, ""),
)
SPLICE_PLAN = replace(SPLICE, stage="plan", plans=_PLANS, drawing=replace(_STRIP, new_splices=(0.271,)))
_ORDER = (7, 5, 3, 1, 2, 4, 6)
SPLICE_JOINT = replace(
    SPLICE,
    stage="joint",
    passes="pass 1 of 2, snug",
    bolts=tuple(p.BoltState(number + 1, turn, turn <= 2, turn == 3) for number, turn in enumerate(_ORDER)),
    advice=(
        p.AdviceLine("do", "All bolts in loose first, then from the centre outward."),
        p.AdviceLine("why", "Tightened from one side, the belt will not track."),
    ),
)

REPLACE = s.ReplaceState(
    FRAME,
    "Replace the bearing",
    PLACE,
    ("Flange bearing UCF208, set-screw insert", "label 1 0482 1993 7", "here since 3 May 2024"),
    tuple(
        p.ActionState(word, word, chosen=word == "seized")
        for word in ("worn", "broken", "seized", "damaged", "seal lifted")
    ),
    (
        p.EntryRow("description", "New part", "Flange bearing UCF208", "", "", False, False),
        p.EntryRow("serial", "Maker's serial, if any", "", "", "", False, False),
    ),
    p.LabelState(
        "1 7731 0264 9", "label-1773102649.pdf", False, "Printed. Put it under the camera before it goes on."
    ),
    True,
    "at 4,819.5 h",
    p.SaveState("Save", False, "The new label must be read back first."),
)
REPLACE_NUMBER = replace(
    REPLACE, label=None, entries=(*REPLACE.entries, p.EntryRow("length", "Belt length", "7,315", "", "", True))
)

SAVED = s.SavedState(
    FRAME,
    "Saved: Grease the bearing",
    (
        PLACE,
        "2 strokes, Polar lithium EP 2",
        "at 4,819.5 h by Marieke Oosterbaan",
        "Next due Thu 26 Nov 2026 or at 4,827 h.",
    ),
    ("Upper strand left at 4 1/16 in, above 4 in",),
    "r9",
    (
        p.ActionState("part", "Back to the part"),
        p.ActionState("next", "Next due: upper shaft bearing, right", True),
        p.ActionState("unit", "Unit 07 Kittiwake"),
    ),
    mark("saved", p.GOOD),
)

_FILTERS = (
    p.FilterGroup("job", "Job", "All jobs", tuple(
        p.ActionState(key, label, key == "")
        for key, label in (
            ("", "All jobs"),
            ("grease", "Grease the bearing"),
            ("inspect", "Inspect"),
            ("replace", "Replace"),
            ("note", "Notes"),
        )
    )),
    p.FilterGroup("verdict", "Verdict", "outside", tuple(
        p.ActionState(key, key or "Any verdict", key == "outside")
        for key in ("", "within", "too close to call", "outside")), is_set=True),
    p.FilterGroup("person_id", "Done by", "Anybody", (
        p.ActionState("", "Anybody", True), p.ActionState("p1", "Marieke Oosterbaan"),
        p.ActionState("p2", "Tobias Achterberg"))),
    p.FilterGroup("dates", "Days", "Sun 1 Mar 2026 – Tue 31 Mar 2026", (
        p.ActionState("", "All the time"), p.ActionState("1", "Today"), p.ActionState("7", "The last 7 days"),
        p.ActionState("31", "The last 31 days"), p.ActionState("366", "The last year")),
        "From which day to which? 2026-03-01 to 2026-03-31", is_set=True),
    p.FilterGroup("hours", "Hour meter", "All hours", (p.ActionState("", "All hours", True),),
                  "From which hours to which? 4000 to 4500"),
)
_FILES = tuple(p.PageRow(key, title, lines, NONE) for key, title, lines in (
    ("paper", "Paper: Letter", ("Press for the other one",)),
    ("place", "Saved to: report folder of the kiosk", ("Press for a USB stick",)),
    ("pdf", "Write it as PDF", ()),
    ("csv", "Write it as CSV", ()),
    ("jsonl", "Write it as JSON Lines", ()),
))
HISTORY = s.HistoryState(
    FRAME,
    "History of the position, 4 parts",
    PLACE,
    "position",
    tuple(p.ActionState(key, label, key == "position") for key, label in (
        ("part", "This part"), ("position", "Whole place"), ("unit", "Whole unit"))),
    _FILTERS,
    _RECORDS,
    None,
    True,
    "Records 25 to 48 · older ones below · outside",
    "",
    has_newer=True,
    files=_FILES,
    label_lines=(
        p.DetailLine("Label", "1 0482 1993 7"),
        p.DetailLine("Tue 24 Nov 2026 06:12", "read, camera, deskewed"),
        p.DetailLine("Mon 23 Nov 2026 14:40", "found loose, floor of bay 2, Tobias Achterberg"),
        p.DetailLine("Fri 3 May 2024 09:15", "print asked for, new part"),
    ),
)
HISTORY_OPENED = replace(
    HISTORY,
    opened=p.RecordDetail(
        "r4",
        "Adjust the sag, Fri 20 Nov 2026",
        (
            p.DetailLine("Who", "Marieke Oosterbaan, mechanic, kiosk 1"),
            p.DetailLine("Hour meter", "4,775.0 h"),
            p.DetailLine("Advice shown", "Turn both take-ups 1 1/2 turns (9 flats) tighter."),
            p.DetailLine("Cautions confirmed", "hopper, run-back, pressure"),
            p.DetailLine("Journal", "kiosk 1, entry 48,211; checked now: as it was saved, and chained to the entries "
                                    "before and after it"),
            p.DetailLine("Its hash", " ".join(["3f9a0c2e"] * 8)),
        ),
        (
            p.ReadingDetail("Clearance", "left", "as found", "4 5/8 in (117.5 mm)", "between 3 in and 4 in", OUTSIDE),
            p.ReadingDetail("Clearance", "left", "as left", "3 1/2 in (88.9 mm)", "between 3 in and 4 in", WITHIN),
        ),
        2,
    ),
    can_correct=True,
)
PHOTO_FILE = Path(__file__).parents[1] / "data" / "photo_sample.jpg"
PHOTOS = s.PhotosState(
    FRAME, "Photos of the finding", PLACE,
    p.PhotoState(str(PHOTO_FILE), "Marieke Oosterbaan, Tue 24 Nov 2026 06:12"), False, False, 1, 3, True, "")
PHOTOS_LOOKING = replace(PHOTOS, photo=None, looks=True, hint="Hold it still before the camera, then touch 'Take'.")
PHOTOS_TAKEN = replace(PHOTOS, photo=p.PhotoState(str(PHOTO_FILE), "Keep it, or take it again?"), is_taken=True)
PHOTOS_BROKEN = replace(PHOTOS, photo=p.PhotoState(
    "", "Marieke Oosterbaan, Tue 24 Nov 2026 06:12",
    "The photo's file is not what was taken; it is not shown. A backup may have the right one."))
COMING = s.PageState(
    FRAME, "What is coming", "", (
        p.PageRow("overdue", "Overdue: 12", ("in the whole yard",), OVERDUE),
        p.PageRow("shift", "Due this shift: 141", ("in the whole yard",), DUE),
        p.PageRow("week", "Due this week: 96", ("in the whole yard",), NONE),
        *(p.PageRow(f"unit {name}", f"Unit {name}", ("3 overdue · 11 this shift · 8 this week",), state)
          for name, state in zip(_UNITS, _WORST * 2, strict=False)),
    ), "Nothing is due this week.", None)
FINDING_PAGE = s.PageState(
    FRAME, "Seal of the bearing lifted, grease runs out at the machine side", "", (
        p.PageRow("known", "Repair before it goes out", (PLACE, "since Tue 24 Nov 2026, Tobias Achterberg"), FINDING,
                  enabled=False),
        p.PageRow("photos", "Photos", ("2 photos",), NONE),
        p.PageRow("part", "Open the part", (), NONE),
        p.PageRow("close", "Close the finding", ("with a reason",), NONE, "Why is it closed?"),
        p.PageRow("hold", "Hold Unit 07 Kittiwake out of service", (), FINDING, "Why?"),
    ), "Nothing.", None)
HISTORY_SAVED = replace(HISTORY, exported="Saved as reports/kittiwake-upper-shaft-bearing-left-2026-11-25.pdf")

PAGE_CREW = s.PageState(
    FRAME, "Crew and PINs", "Marieke Oosterbaan may try again.", (
        p.PageRow("p1", "Tomasz Wieczorkowski", ("mechanic", "locked until Wed 25 Nov 2026 06:27",
                                                 "Touch to let them try again now"), mark("locked", p.BAD)),
        p.PageRow("p2", "Marieke Oosterbaan", ("supervisor", "PIN set"), FINE, enabled=False),
        p.PageRow("p3", "Anselm Oduya-Brandt", ("lead", "chooses a PIN with the next badge"), NONE, enabled=False),
    ), "Nobody of the crew is on record.", None)

PAGE_KIOSK = s.PageState(
    FRAME, "This kiosk", "", (
        p.PageRow("health", "Try every part", ("Records, disk, backups, devices",), NONE),
        p.PageRow("scanner", "Hand scanner", ("one that types as a keyboard",), NONE),
        p.PageRow("camera", "Camera", ("0",), NONE),
        p.PageRow("printer", "Label printer", ("labels-by-the-gate",), NONE),
        p.PageRow("update", "Update from a stick", ("Version 0.1.0 runs",), NONE),
        p.PageRow("again", "Start the kiosk again", ("So that what was chosen holds",), NONE),
    ), "", None)
PAGE_HEALTH = s.PageState(
    FRAME, "What works here", "2 of 9 do not work.", (
        p.PageRow("backups", "backups", ("The second disk is not there (/media/stick).",
                                         "Call `kiosk backup`; put the second disk in if there is one."),
                  mark("fails", p.BAD), enabled=False),
        p.PageRow("printer", "printer", ("The printer is out of labels.", "Check it, and 'printer' in kiosk.toml."),
                  mark("fails", p.BAD), enabled=False),
        *(p.PageRow(part, part, (found,), FINE, enabled=False) for part, found in (
            ("settings", "kiosk number 1"), ("records", "78749 entries, chain whole"), ("disk", "64 GB free"))),
    ), "", None)

ALONE = replace(FRAME, header=replace(HEADER, shift="Alone since 23 Nov, 1,212 to send", clock="06:12"))
_JUST_ALONE = replace(FRAME, header=replace(HEADER, shift="Alone since 05:40, 12 to send", clock="06:12"))
PAGE_HUB = s.PageState(
    _JUST_ALONE, "Kiosks of the yard", "", (
        p.PageRow("c1", "Greased at two kiosks within the hour", (
            "Greased twice within the hour: 2 strokes at kiosk 1, 3 strokes at kiosk 2. Both count. Wipe off what came "
            "out and look at the seals.",), mark("look into it", p.BAD), "What was found, and what holds now?"),
        p.PageRow("own", "This kiosk", (
            "Last exchange today 05:40", "12 entries to send", "The hub cannot be reached; the kiosk works on alone."),
            mark("alone", p.DUE), enabled=False),
        p.PageRow("kiosk-2", "Kiosk 2", ("Last seen today 05:39",), FINE, enabled=False),
        p.PageRow("kiosk-3", "Kiosk 3", (
            "Last seen yesterday 21:12", "The records of kiosk 3 part at entry 1204: two computers wrote under this "
            "number, or one went back to an old copy. What does not follow is kept apart."),
            mark("look into it", p.BAD), enabled=False),
    ), "", None)
UNIT_ALONE = replace(UNIT, frame=ALONE)
IDLE_ALONE = replace(IDLE, frame=replace(ALONE, header=replace(ALONE.header, person="", role="")))

TO_DO, DONE_MARK, LEFT_OUT = mark("to do", p.DUE), mark("done", p.GOOD), mark("left out", p.BAD)
_ROUND_ROWS = tuple(
    p.RoundRow(f"c{number}|grease", f"{number}  {place}", lines, state, number == 3, state != DONE_MARK)
    for number, (place, lines, state) in enumerate((
        ("Height stops", ("Set the height",), DONE_MARK),
        ("Lower shaft bearing, left", ("Grease", "cannot get at it"), LEFT_OUT),
        ("Upper shaft bearing, right", ("Grease",), TO_DO),
        ("Flight chains", ("Adjust the sag of the upper strand",), TO_DO),
        ("Discharge scraper", ("Check the blade",), TO_DO),
        ("Take-up, left", ("Grease",), TO_DO),
    ), start=1))
ROUND = s.RoundState(
    FRAME, "Round of Unit 07 Kittiwake", "Unit 07 Kittiwake · 1 of 6 done, 1 left out", "1 of 6 done, 1 left out",
    1 / 6, 2 / 6, "Next: Upper shaft bearing, right, Grease. Scan its label.",
    "Saved: Set the height · Height stops · 2 readings: within", _ELEVATOR, ("p1",), _ROUND_ROWS, None, None, "", None,
    ("Begun by Tobias Achterberg, Wed 25 Nov 2026 06:12.",
     "Taken up by Marieke Oosterbaan from Tobias Achterberg, who had left, Wed 25 Nov 2026 14:05.",
     "Done: 1 of 6 (Tobias Achterberg 1).", "Left out: Lower shaft bearing, left, grease: cannot get at it."), False)
ROUND_FITTING = replace(ROUND, quick=COMPONENT.quick, here="Upper shaft bearing, right: Grease")
ROUND_STOPPED = replace(ROUND, quick=COMPONENT_STOPPED.quick, here="Upper shaft bearing, right: Grease")
ROUND_FORM = replace(ROUND, form=p.ActionState("c4|sag", "Open: Adjust the sag of the upper strand"),
                     here="Flight chains: Adjust the sag of the upper strand")
ROUND_ENDING = replace(ROUND, ending=p.RoundEnding(
    "Not done: Upper shaft bearing, right, Grease. Why?", tuple(
        p.ActionState(str(number), f"{number}  {reason}") for number, reason in enumerate(
            ("cannot get at it", "broken or missing", "machine went out", "no time in this shift",
             "needs a repair first"), start=1)), 4))
ROUND_OVER = replace(ROUND, is_over=True, story=(*ROUND.story, "Ended by Marieke Oosterbaan, Wed 25 Nov 2026 14:40."))

SAMPLES: dict[str, s.State] = {
    "round": ROUND,
    "round_fitting": ROUND_FITTING,
    "round_stopped": ROUND_STOPPED,
    "round_form": ROUND_FORM,
    "round_ending": ROUND_ENDING,
    "round_over": ROUND_OVER,
    "idle": IDLE,
    "idle_refused": IDLE_REFUSED,
    "label_pad": LABEL_PAD,
    "pin_pad": PIN_PAD,
    "unit": UNIT,
    "unit_belt": UNIT_BELT,
    "unit_drag": UNIT_DRAG,
    "component": COMPONENT,
    "component_figures": COMPONENT_FIGURES,
    "component_stopped": COMPONENT_STOPPED,
    "component_retired": COMPONENT_RETIRED,
    "cautions": CAUTIONS,
    "cautions_two": CAUTIONS_TWO,
    "cautions_hours": CAUTIONS_HOURS,
    "form": FORM,
    "form_measure": FORM_MEASURE,
    "form_slip": FORM_SLIP,
    "form_close": FORM_CLOSE,
    "form_plain": FORM_PLAIN,
    "form_refused": FORM_REFUSED,
    "form_question": FORM_QUESTION,
    "splice": SPLICE,
    "splice_plan": SPLICE_PLAN,
    "splice_joint": SPLICE_JOINT,
    "replace": REPLACE,
    "replace_number": REPLACE_NUMBER,
    "saved": SAVED,
    "history": HISTORY,
    "history_opened": HISTORY_OPENED,
    "history_saved": HISTORY_SAVED,
    "page_crew": PAGE_CREW,
    "page_kiosk": PAGE_KIOSK,
    "page_health": PAGE_HEALTH,
    "page_hub": PAGE_HUB,
    "unit_alone": UNIT_ALONE,
    "idle_alone": IDLE_ALONE,
    "photos": PHOTOS,
    "photos_looking": PHOTOS_LOOKING,
    "photos_taken": PHOTOS_TAKEN,
    "photos_broken": PHOTOS_BROKEN,
    "coming": COMING,
    "finding_page": FINDING_PAGE,
}
# Faces that a tap turns to, beside the first one.
FACES: dict[str, tuple[str, ...]] = {
    "round": ("list", "story"),
    "round_stopped": ("reasons",),
    "unit": ("before", "findings", "parts"),
    "component": ("trend", "figures", "jobs"),
    "component_figures": ("figures",),
    "form": ("list",),
    "history": ("whose", "filter", "filter dates", "files", "label"),
    "cautions_two": (),
}
