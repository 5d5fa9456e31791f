"""What the loader reads and what it refuses, each refusal with its file, its true line and its reason."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from kiosk.entities import JobType, Side
from kiosk.errors import SheetError
from kiosk.service_sheet import ServiceSheet
from kiosk.sheets import SheetErrors, parse_sheet

GOOD = '''\
key = "trial-chain"
title = "Trial chain"
revision = 2
source = "yard instruction T, revision 2"

[[caution]]
key = "locked-out"
signal = "DANGER"
hazard = "A chain that starts takes the hand with it."
action = "Engine off and locked out before hands go in."

[[reading]]
key = "strand-sag"
title = "Sag"
sides = ["left", "right"]
lower = "1 1/4 in"
upper_mm = 60
largest_difference = "1/4 in"
resolution = "1/16 in"
instrument = "steel rule"
source = "yard instruction T, revision 2"

[[job]]
key = "sag"
title = "Set the sag"
type = "adjust"
cautions = ["locked-out"]
readings = ["strand-sag"]
steps = [
    "Lock out and try to start.",
    "Measure both strands half way.",
]

[job.interval]
hours = 40
days = 7
source = "common practice"

[job.computation]
name = "take-up for sag"
span = "72 in"
sag_wanted_mm = 42
takeup_thread_pitch_mm = 2.5

[[job]]
key = "grease"
title = "Grease"
type = "grease"
quick = true

[job.grease]
strokes = 2
most_per_day = 4
most_per_month = 60
grease = "blue drum"
thickener = "lithium complex"
grams_per_stroke = 0.9
'''


def refusal(text: str | bytes) -> SheetError:
    with pytest.raises(SheetError) as caught:
        parse_sheet(text, "trial.toml")
    return caught.value


def changed(old: str, new: str) -> str:
    assert GOOD.count(old) == 1, old
    return GOOD.replace(old, new)


def line_of(text: str, part: str) -> int:
    return text[: text.index(part)].count("\n") + 1


@pytest.fixture(scope="module")
def good() -> ServiceSheet:
    return parse_sheet(GOOD, "trial.toml")


def test_lengths_in_trade_text_and_in_mm_are_the_same_mm(good: ServiceSheet) -> None:
    """1 1/4 in is 31.75 mm by definition of the inch."""
    reading = good.reading("strand-sag")
    assert (reading.lower, reading.upper) == (31.75, 60.0)
    assert reading.resolution == pytest.approx(1.5875)
    assert good.job("sag").computation.parameters["span_mm"] == pytest.approx(1828.8)


def test_a_good_sheet_says_all_it_says(good: ServiceSheet) -> None:
    """Every part of the text arrives in the dataclasses."""
    assert (good.key, good.revision) == ("trial-chain", 2)
    assert good.reading("strand-sag").sides == (Side.LEFT, Side.RIGHT)
    assert good.reading("strand-sag").rule == "guarded 95 %"
    job = good.job("sag")
    assert (job.type, job.interval.hours, job.interval.days) == (JobType.ADJUST, 40.0, 7)
    assert job.steps[1] == "Measure both strands half way."
    assert good.job("grease").grease.strokes == 2 and good.job("grease").quick
    assert good.replace_reasons == ("worn", "broken", "seized", "damaged")


@pytest.mark.parametrize(("old", "new", "at", "reason"), [
    pytest.param('revision = 2\n', 'revision = 0\n', "revision = 0", "'revision' must be 1 or more", id="revision"),
    pytest.param('revision = 2\n', 'revison = 2\n', "revison", "'revison' is not known", id="unknown-key-on-top"),
    pytest.param('type = "adjust"', 'type = "tune"', 'type = "tune"', "it can be grease, adjust", id="type-unknown"),
    pytest.param('sides = ["left", "right"]', 'sides = ["left"]', 'sides = ["left"]', "'sides' can be", id="one-side"),
    pytest.param('steel rule"\nsource = "yard instruction T, revision 2"', 'steel rule"', "[[reading]]",
                 "'source' is missing", id="limit-without-source"),
    pytest.param('upper_mm = 60', 'upper_mm = 30', 'lower = "1 1/4', "is above the upper", id="limits-crossed"),
    pytest.param('upper_mm = 60', 'upper = 60', 'upper = 60', "write upper_mm = 76.2", id="length-without-unit-number"),
    pytest.param('upper_mm = 60', 'upper = "60"', 'upper = "60"', "without a unit", id="length-without-unit-text"),
    pytest.param('upper_mm = 60', 'upper = "6o mm"', 'upper = "6o', "not one clear length", id="length-unreadable"),
    pytest.param('upper_mm = 60', 'upper_mm = 60\nupper = "3 in"', "upper_mm", "both given", id="limit-given-twice"),
    pytest.param('upper_mm = 60', 'upper_mm = nan', "upper_mm", "ordinary number", id="limit-not-a-number"),
    pytest.param('upper_mm = 60', 'upper_mm = 1' + '0' * 400, "upper_mm", "ordinary number", id="limit-endless"),
    pytest.param('resolution = "1/16 in"', 'resolution_mm = 0', "resolution_mm", "above 0", id="resolution-zero"),
    pytest.param('resolution = "1/16 in"\n', '', "[[reading]]", "needs the resolution", id="resolution-missing"),
    pytest.param('largest_difference = "1/4 in"', 'largest_difference_mm = -1', "largest_difference_mm",
                 "must be above 0", id="difference-negative"),
    pytest.param('sides = ["left", "right"]\n', '', 'largest_difference', "needs sides", id="difference-without-sides"),
    pytest.param('instrument = "steel rule"', 'instrument = "steel rule"\nrule = "by eye"', 'rule = "by eye"',
                 "it can be guarded 95 %", id="rule-unknown"),
    pytest.param('cautions = ["locked-out"]', 'cautions = ["locked"]', 'cautions = ["locked"]',
                 "caution 'locked' is not defined", id="caution-not-defined"),
    pytest.param('readings = ["strand-sag"]', 'readings = [\n  "strand-sag",\n  "sag"]', '"sag"]',
                 "reading 'sag' is not defined", id="reading-not-defined"),
    pytest.param('readings = ["strand-sag"]\n', '', "[job.computation]", "works on the reading 'strand-sag'",
                 id="computation-without-its-reading"),
    pytest.param('"Measure both strands half way."', '"' + "word " * 13 + '"', '"word word', "step 2 has 13 words",
                 id="step-too-long"),
    pytest.param('hours = 40\ndays = 7\n', '', "[job.interval]", "needs hours, days", id="interval-empty"),
    pytest.param('days = 7\n', 'days = 0\n', "days = 0", "must be 1 or more", id="interval-no-days"),
    pytest.param('hours = 40\n', 'hours = 0\n', "hours = 0", "above 0", id="interval-no-hours"),
    pytest.param('days = 7\nsource = "common practice"\n', 'days = 7\n', "[job.interval]", "'source' is missing",
                 id="interval-without-source"),
    pytest.param('name = "take-up for sag"', 'name = "sag"', 'name = "sag"', "it can be take-up for sag",
                 id="computation-unknown"),
    pytest.param('sag_wanted_mm = 42\n', '', "[job.computation]", "'sag_wanted_mm': sag wanted.",
                 id="parameter-missing"),
    pytest.param('sag_wanted_mm = 42\n', 'sag_wanted_mm = 42\ncolour = 1\n', "colour", "'colour' is not known",
                 id="parameter-unknown"),
    pytest.param('sag_wanted_mm = 42\n', 'sag_wanted_mm = -1\n', "sag_wanted_mm = -1", "0 or more",
                 id="parameter-negative"),
    pytest.param('strokes = 2', 'strokes = 5', "strokes = 5", "more than the 4", id="strokes-over-the-day"),
    pytest.param('most_per_month = 60', 'most_per_month = 3', "most_per_day = 4", "a month", id="day-over-the-month"),
    pytest.param('"lithium complex"', '"butter"', '"butter"', "'thickener' is 'butter'", id="thickener-unknown"),
    pytest.param('type = "grease"', 'type = "note"', 'type = "note"', "needs a [job.grease] table", id="grease-type"),
    pytest.param('key = "grease"', 'key = "sag"', 'key = "sag"\ntitle = "Grease"', "job 'sag' is defined twice",
                 id="job-key-twice"),
    pytest.param('type = "adjust"', 'type = "adjust"\nquick = true', "quick = true\ncautions", "quick job",
                 id="quick-with-readings"),
    pytest.param('signal = "DANGER"', 'signal = "Beware"', '"Beware"', "it can be DANGER", id="signal-unknown"),
    pytest.param('key = "trial-chain"', 'key = "Trial Chain"', "Trial Chain", "small letters", id="key-with-capitals"),
    pytest.param('title = "Trial chain"', 'title = 7', "title = 7", "must be a text", id="text-is-a-number"),
    pytest.param('title = "Trial chain"', 'title = "Trial', 'title = "Trial', "not valid TOML", id="toml-syntax"),
    pytest.param('title = "Trial chain"', 'title = "T"\ntitle = "T"', 'title = "T"\nrev', "not valid TOML",
                 id="toml-key-twice"),
])
def test_refusal_names_file_line_and_reason(old: str, new: str, at: str, reason: str) -> None:
    """The line is that of the offending key, or of its table when the key is not there."""
    text = changed(old, new)
    error = refusal(text)
    assert error.file == "trial.toml"
    assert reason in error.reason
    if "TOML" not in reason:
        assert error.line == line_of(text, at)
    assert error.operator_message == f"trial.toml, line {error.line}: {error.reason}"


def test_syntax_error_has_the_line_of_the_syntax() -> None:
    """tomllib's own line is kept."""
    assert refusal('key = "a"\ntitle = "b\nrevision = 1\n').line == 2


def test_syntax_error_at_the_end_has_the_last_line() -> None:
    """An array left open is noticed at the end of the text."""
    assert refusal('key = "a"\nsteps = [\n  "b",\n\n\n').line == 3


def test_caution_defined_twice_is_refused_at_the_second() -> None:
    """Two cautions of one key would hide one of them."""
    twice = GOOD.replace("[[reading]]", '[[caution]]\nkey = "locked-out"\nsignal = "NOTICE"\nhazard = "x"\n'
                         'action = "y"\n\n[[reading]]', 1)
    error = refusal(twice)
    assert "'locked-out' is defined twice" in error.reason
    assert error.line == line_of(twice, 'key = "locked-out"\nsignal = "NOTICE"')


def test_reading_without_any_limit_is_refused() -> None:
    """Nothing could be judged."""
    text = changed('lower = "1 1/4 in"\nupper_mm = 60\n', "")
    assert "neither a lower nor an upper" in refusal(text).reason
    assert refusal(text).line == line_of(text, "[[reading]]")


def test_every_refusal_of_a_sheet_is_told_in_the_order_of_its_lines() -> None:
    """A person mending a sheet sees all that is wrong at once."""
    text = changed('signal = "DANGER"', 'signal = "x"').replace("strokes = 2", "strokes = 9")
    error = refusal(text)
    assert isinstance(error, SheetErrors)
    assert [each.line for each in error.errors] == [line_of(text, 'signal = "x"'), line_of(text, "strokes = 9")]
    assert str(error).count("trial.toml, line") == 2


def test_not_utf8_is_refused_with_its_line() -> None:
    """An old editor's Latin-1 file."""
    error = refusal('key = "a"\ntitle = "Öl"\n'.encode("latin-1"))
    assert (error.line, "UTF-8" in error.reason) == (2, True)


def test_bom_at_the_start_is_read_over() -> None:
    """Some editors write one; it changes nothing."""
    assert parse_sheet(b"\xef\xbb\xbf" + GOOD.encode(), "trial.toml").key == "trial-chain"


def test_sheet_without_jobs_is_refused() -> None:
    """It would serve nothing."""
    assert "no [[job]]" in refusal('key = "a"\ntitle = "b"\nrevision = 1\nsource = "c"\n').reason


def test_unknown_bearing_is_refused() -> None:
    """A bearing that no table knows could never be advised on."""
    text = GOOD + '[job.computation]\nname = "bearing grease"\nbearing = "XY9"\ntemperature_celsius = 40\n' \
                  'environment = "dust"\n'
    assert "XY9" in refusal(text).reason
    assert refusal(text).line == line_of(text, "bearing = ")


@pytest.mark.parametrize("text", ["x = " + "[" * 5000, "x = " + "9" * 5000, "x" * 300_000, "a.b = 1\n[a.c]\n[a.b.d]"])
def test_absurd_text_is_refused_plainly(text: str) -> None:
    """What makes the TOML reader give up in other ways than its own is a refusal all the same."""
    assert refusal(text).reason


@settings(max_examples=300, deadline=None)
@given(st.binary(max_size=400))
def test_any_bytes_are_a_sheet_or_a_refusal(content: bytes) -> None:
    """Nothing but SheetError comes out."""
    with pytest.raises(SheetError):
        parse_sheet(content, "trial.toml")


JOINT = """
[[figure]]
name = "bolted joint"
thread = "M8"
grade = "8.8"
lubrication = "oiled"
tool_percent = 4
nut_factor_spread_percent = 30
bolts = 11
"""


def test_figures_of_the_parts_page_are_read() -> None:
    """A sheet names what its part's page works out, with its parameters."""
    sheet = parse_sheet(GOOD + JOINT, "trial.toml")
    assert [figure.name for figure in sheet.figures] == ["bolted joint"]
    assert sheet.figures[0].parameters["bolts"] == 11


@pytest.mark.parametrize(("old", "new", "reason"), [
    ('name = "bolted joint"', 'name = "chain wear"', "'name' is 'chain wear'; it can be"),
    ('grade = "8.8"', 'grade = "8.9"', "has no row for '8.9'"),
    ('thread = "M8"', 'thread = "eight"', "thread"),
    ("bolts = 11\n", "", "'bolts': number of bolts."),
])
def test_a_figure_that_cannot_be_worked_out_is_refused(old: str, new: str, reason: str) -> None:
    """A wrong name, a text that no table knows and a missing parameter are told before the kiosk opens."""
    with pytest.raises(SheetError) as refused:
        parse_sheet(GOOD + JOINT.replace(old, new), "trial.toml")
    assert reason in refused.value.reason


@settings(max_examples=400, deadline=None)
@given(st.data())
def test_a_damaged_sheet_is_a_sheet_or_a_refusal_within_the_file(data: st.DataObject) -> None:
    """A piece of a good sheet is replaced by another piece or by odd text; the line stays inside the file."""
    start = data.draw(st.integers(0, len(GOOD)))
    end = data.draw(st.integers(start, min(len(GOOD), start + 60)))
    put = data.draw(st.one_of(st.text(max_size=12), st.sampled_from(
        ["[[job]]", "[job]", '"', "'''", "= 1", "{a = 1}", "[1, 2]", "1979-05-27", "true", "\n", "#", "-1", "inf"])))
    text = GOOD[:start] + put + GOOD[end:]
    try:
        parse_sheet(text, "trial.toml")
    except SheetError as error:
        assert 1 <= error.line <= text.count("\n") + 1


VALUES = st.recursive(
    st.one_of(st.booleans(), st.integers(), st.floats(), st.text(max_size=5)),
    lambda inner: st.lists(inner, max_size=3),
    max_leaves=4)


@settings(max_examples=200, deadline=None)
@given(st.sampled_from([line for line in GOOD.splitlines() if " = " in line and not line.endswith("[")]), VALUES)
def test_a_value_of_any_type_is_taken_or_refused(line: str, value: object) -> None:
    """Wrong types are refused, never a crash."""
    shown = {True: "true", False: "false"}.get(value, repr(value)) if isinstance(value, bool) else repr(value)
    try:
        parse_sheet(GOOD.replace(line, f"{line.split(' = ')[0]} = {shown}", 1), "trial.toml")
    except SheetError as error:
        assert error.reason
