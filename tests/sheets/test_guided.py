"""Step lists, sessions and what falls due afterwards: what a sheet may say of them, and each refusal with its line."""

from __future__ import annotations

import math

import pytest

from kiosk.errors import SheetError
from kiosk.service_sheet import AfterwardSpec, SessionSpec, StepSpec
from kiosk.sheets import parse_sheet

GOOD = '''\
key = "trial-belt"
title = "Trial belt"
revision = 1
source = "yard instruction T"

[[caution]]
key = "locked-out"
signal = "DANGER"
hazard = "A belt that starts takes the hand with it."
action = "Engine off and locked out before hands go in."

[[reading]]
key = "edge"
title = "Belt edge"
sides = ["left", "right"]
lower_mm = 5
upper_mm = 17
resolution_mm = 1
instrument = "steel rule"
source = "yard instruction T"

[[job]]
key = "track"
title = "Track the belt"
type = "adjust"
cautions = ["locked-out"]
readings = ["edge"]

[job.session]
turned = "take-up"
plus = "up"
minus = "down"

[job.run]
revolutions = 120
loop_length_mm = 4500
roller_diameter_mm = 200
shaft_rpm = 70
source = "yard instruction T"

[[job]]
key = "again"
title = "Tighten again"
type = "adjust"
cautions = ["locked-out"]

[[job]]
key = "replace"
title = "Change the belt"
type = "replace"
cautions = ["locked-out"]
new_parts = ["belt-splice"]
begins = "track"

[[job.step]]
stage = "make safe"
text = "Engine off, locked out, tried."
caution = "locked-out"
picture = "lock"

[[job.step]]
stage = "fetch"
text = "New belt, bolts, two slings."

[[job.step]]
stage = "fit"
text = "Bolts from the centre outward."
bolts = 11
order = "centre outward"
torque_newton_metre = 11

[[job.step]]
stage = "fit"
text = "Stick the label on; scan it."
fits = "trial-belt"

[[job.step]]
stage = "check"
text = "Run it empty; look at the edges."
minutes = 10
reading = "edge"

[[job.afterwards]]
job = "again"
hours = 8
days = 1
source = "common practice, no source"
'''


def _refusal(old: str, new: str) -> SheetError:
    assert old in GOOD
    with pytest.raises(SheetError) as error:
        parse_sheet(GOOD.replace(old, new, 1), "trial.toml")
    return error.value


def test_step_list__every_key__is_read_as_written() -> None:
    """Stages, cautions, pictures, bolts with order and torque, labels, timers and readings come out as they stand."""
    job = parse_sheet(GOOD, "trial.toml").job("replace")
    assert [step.stage for step in job.step_list] == ["make safe", "fetch", "fit", "fit", "check"]
    assert job.step_list[0] == StepSpec("Engine off, locked out, tried.", "make safe", "locked-out", "lock")
    bolts = job.step_list[2]
    assert (bolts.bolts, bolts.order, bolts.torque_newton_metre) == (11, "centre outward", 11.0)
    assert job.step_list[3].fits == "trial-belt"
    assert (job.step_list[4].minutes, job.step_list[4].reading) == (10.0, "edge")
    assert job.steps == tuple(step.text for step in job.step_list)
    assert (job.new_parts, job.begins) == (("belt-splice",), "track")
    assert job.afterwards == (AfterwardSpec("again", 8.0, 1, "common practice, no source"),)


def test_session_and_run__by_roller__travel_is_its_girth() -> None:
    """One turn of a roller moves the belt by pi times its diameter, no slip (geometry)."""
    job = parse_sheet(GOOD, "trial.toml").job("track")
    assert job.session == SessionSpec("take-up", "up", "down")
    assert job.run is not None and job.run.travel_per_turn_mm == pytest.approx(math.pi * 200)


def test_run__by_sprocket__travel_is_teeth_times_pitch() -> None:
    """One turn of a sprocket of 12 teeth moves the chain by twelve pitches (geometry of chain drives)."""
    by_teeth = GOOD.replace("roller_diameter_mm = 200", "teeth = 12\npitch_mm = 38.1")
    job = parse_sheet(by_teeth, "trial.toml").job("track")
    assert job.run is not None and job.run.travel_per_turn_mm == pytest.approx(457.2)


TOO_LONG = " ".join(["word"] * 13)
CASES = [
    pytest.param('text = "New belt, bolts, two slings."', f'text = "{TOO_LONG}"', 'text = "word', "step 2 has 13 words",
                 id="thirteen-words"),
    pytest.param('stage = "fetch"', 'stage = "check"', 'stage = "fit"', "'fit' comes after 'check'", id="crossed"),
    pytest.param('stage = "make safe"', 'stage = "fetch"', 'stage = "fetch"', "begins with 'make safe'", id="not-safe"),
    pytest.param('stage = "fetch"', 'stage = "get"', 'stage = "get"', "it can be make safe", id="stage-unknown"),
    pytest.param('caution = "locked-out"\npicture', 'caution = "wet"\npicture', 'caution = "wet"',
                 "caution 'wet' is not defined", id="caution-unknown"),
    pytest.param('picture = "lock"', 'picture = "photo"', 'picture = "photo"', "'picture' is 'photo'", id="no-picture"),
    pytest.param('reading = "edge"', 'reading = "sag"', 'reading = "sag"', "reading 'sag' is not defined",
                 id="reading-unknown"),
    pytest.param("minutes = 10", "minutes = 0", "minutes = 0", "above 0", id="timer-of-nothing"),
    pytest.param("minutes = 10", "minutes = 2000", "minutes = 2000", "no step", id="timer-of-days"),
    pytest.param("bolts = 11", "bolts = 0", "bolts = 0", "1 or more", id="no-bolts"),
    pytest.param("bolts = 11\n", "", '[[job.step]]', "needs the number of 'bolts'", id="torque-of-nothing"),
    pytest.param("bolts = 11", "bolts = 900", "bolts = 900", "more than any joint", id="bolts-without-end"),
    pytest.param('order = "centre outward"', 'order = "as they come"', 'order = "as', "it can be centre outward",
                 id="order-unknown"),
    pytest.param('new_parts = ["belt-splice"]', 'steps = ["One."]', 'steps = ["One."]', "keep one", id="both-kinds"),
    pytest.param('begins = "track"', 'begins = "again"', 'begins = "again"', "no session", id="begins-no-session"),
    pytest.param('job = "again"', 'job = "never"', 'job = "never"', "not defined", id="afterwards-unknown"),
    pytest.param("hours = 8\ndays = 1\n", "", "[[job.afterwards]]", "hours, days, or both", id="afterwards-never"),
    pytest.param("roller_diameter_mm = 200\n", "", "[job.run]", "'teeth' and 'pitch_mm'", id="run-without-roller"),
    pytest.param("loop_length_mm = 4500\n", "", "[job.run]", "'loop_length_mm' is missing", id="run-without-length"),
    pytest.param("shaft_rpm = 70", "shaft_rpm = 0", "shaft_rpm = 0", "above 0", id="run-standing"),
    pytest.param('readings = ["edge"]\n', "", "[job.session]", "needs readings", id="session-without-readings"),
    pytest.param('turned = "take-up"\n', "", "[job.session]", "'turned' is missing", id="session-turns-nothing"),
]


@pytest.mark.parametrize(("old", "new", "at", "reason"), CASES)
def test_refusal__names_file_line_and_reason(old: str, new: str, at: str, reason: str) -> None:
    """A bad list is refused at its own line, with a clear sentence."""
    error = _refusal(old, new)
    text = GOOD.replace(old, new, 1)
    places = [number for number, line in enumerate(text.splitlines(), start=1) if line.startswith(at)]
    assert error.file == "trial.toml" and error.line in places
    assert reason in error.operator_message
