"""`kiosk reckon`: every public computation can be asked at a desk, with its source and how sure it is."""

from __future__ import annotations

import argparse
import importlib
import inspect
import json
import pkgutil
import subprocess
import sys
from typing import Any

import pytest

import kiosk.calc
from kiosk import reckon, reckon_sure, reckon_words
from kiosk.errors import UnreadableNumber
from kiosk.reckon_questions import NOT_ASKED, QUESTIONS

# They serve the formulas; nobody asks them anything.
NO_QUESTIONS = {"guards", "tables", "terms", "constants", "computations"}

# A question with what is typed, and a part of its answer worked out by hand or from the trade.
ANSWERED: list[tuple[str, str, tuple[str, ...], float | str | list[int]]] = [
    ("convert", "--value 1 --from-unit in --to-unit mm", (), 25.4),
    ("verdict", "--value 3.5in --lower 3in --upper 4in --standard-uncertainty 0.5mm", ("verdict",), "within"),
    ("standard-uncertainty", "--kind rectangular --size 0.5", (), 0.5 / 3**0.5),
    ("repeat-readings", "--readings 10 10 10 --resolution 0.1", ("combine_readings", "mean"), 10.0),
    ("take-up-for-sag", "--span 1000 --sag-now 40 --sag-wanted 20 --thread-pitch 2",
     ("takeup_for_sag", "movement_parabola_mm"), 1.6),
    ("turns", "--movement 2.5 --thread-pitch 2.5", ("turns",), 1.0),
    ("sag-from-excess", "--span 1000 --excess 4", ("sag_mm",), 38.784),
    ("pitch-diameter", "--pitch 1in --teeth 6", (), 50.8),
    ("chain-speed", "--teeth 10 --pitch 100 --speed 60", (), 1.0),
    ("belt-length", "--centre 1500 --upper 200 --lower 200", ("length_mm",), 3000 + 200 * 3.141592653589793),
    ("belt-take-up", "--growth 18mm", (), 9.0),
    ("belt-strain", "--mark-gap 1000 --stretched-gap 1003 --tension-member polyester", ("verdict",), "within"),
    ("belt-settling", "", (), 15.0),
    ("belt-settling", "--engine 750 --revolutions 150", (), 30.0),
    ("cleat-height", "--height-left 2in --height-right 2in --height-wanted 2.5in --thread-pitch 12.7mm",
     ("turns",), 1.0),
    ("splice-cut", "--loop-length 4800 --cleat-pitch 300 --cut-out 50", ("pitches_after",), 15),
    ("splice-insert", "--damaged 220 --cleat-pitch 300", ("length_mm",), 1200.0),
    ("joint-bolts", "--bolts 5", (), [3, 2, 4, 1, 5]),
    ("joint-passes", "--bolts 3 --final 12", ("pass_torques_newton_metre",), [6, 9, 12]),
    ("roller-skew", "--bearing-offset 2 --bearing-spacing 600 --roller-diameter 200", ("skew_mm_per_m",), 10 / 3),
    ("tracking", "--edge-top 20 --bearing-spacing 900 --roller-diameter 150 --thread-pitch 2.5", ("side",), "right"),
    ("bearing-basic-life", "--dynamic-rating 30kN --equivalent-load 5kN --speed 1500", (), 2400.0),
    ("circle-bolts", "--bolts 4", (), [1, 3, 2, 4]),
    ("line", "--x 1 2 3 4 --values 2 4 6 8.0001 --predict-x 5", ("predict", "value"), 10.0),
    ("median-ranks", "--count 1", ("exact",), [0.5]),  # type: ignore[list-item]
    ("meter-replaced", "--old-final 1000 --new-start 0 --new-now 20", (), 1020.0),
    ("due", "--last-done-date 2026-01-01 --interval-days 30 --today 2026-01-11 --hours-per-day 3", ("due",),
     "2026-01-31"),
    ("contrast", "--foreground #000000 --background #ffffff", (), 21.0),
]


def _run(words: list[str]) -> int:
    parser = argparse.ArgumentParser(prog="kiosk reckon")
    reckon.add_arguments(parser)
    return reckon.run(parser.parse_args(words))


def _answer(capsys: pytest.CaptureFixture[str], question: str, *typed: str) -> dict[str, Any]:
    assert _run([question, *typed, "--json"]) == 0
    return dict(json.loads(capsys.readouterr().out))


def _public_functions() -> set[str]:
    found = set()
    for info in pkgutil.iter_modules(kiosk.calc.__path__):
        module = importlib.import_module(f"kiosk.calc.{info.name}")
        found |= {f"{info.name}.{name}" for name, thing in vars(module).items()
                  if not name.startswith("_") and callable(thing) and inspect.isfunction(inspect.unwrap(thing))
                  and thing.__module__ == module.__name__ and info.name not in NO_QUESTIONS}
    return found


def test_every_public_computation_can_be_asked() -> None:
    """Each public function of kiosk.calc answers a question, or stands in NOT_ASKED with its reason."""
    asked = {path for paths in QUESTIONS.values() for path in paths}
    assert _public_functions() - asked - NOT_ASKED.keys() == set()
    assert (asked | NOT_ASKED.keys()) - _public_functions() == set()
    assert not asked & NOT_ASKED.keys()


@pytest.mark.parametrize("question", QUESTIONS)
def test_every_question_explains_itself(question: str, capsys: pytest.CaptureFixture[str]) -> None:
    """--help of each question says what it works out and what it asks for."""
    with pytest.raises(SystemExit) as stopped:
        _run([question, "--help"])
    assert stopped.value.code == 0
    assert "--why" in capsys.readouterr().out


@pytest.mark.parametrize("question, typed, part, wanted", [
    pytest.param(*row, id=f"{row[0]}-{number}") for number, row in enumerate(ANSWERED)])
def test_answers_by_hand(question: str, typed: str, part: tuple[str, ...], wanted: Any,
                         capsys: pytest.CaptureFixture[str]) -> None:
    """The desk gives what was worked out by hand."""
    answer: Any = _answer(capsys, question, *typed.split())["answer"]
    for name in part:
        answer = answer[name]
    assert answer == (wanted if isinstance(wanted, str | list) else pytest.approx(wanted, rel=1e-4))


def test_lengths_accept_fractions_and_either_unit(capsys: pytest.CaptureFixture[str]) -> None:
    """40 1/2 with --unit in, 40-1/2 in and 1028.7 mm are one span."""
    rest = ["--sag-now", "2in", "--sag-wanted", "1in", "--thread-pitch", "2.5mm"]
    answers = [_answer(capsys, "take-up-for-sag", "--span", *span, *rest)["answer"]
               for span in (["40 1/2", "--unit", "in"], ["40-1/2 in"], ["1028.7"])]
    assert [answer["turning"]["flats"] for answer in answers] == [answers[0]["turning"]["flats"]] * 3
    assert answers[1]["takeup_for_sag"]["movement_mm"] == pytest.approx(
        answers[2]["takeup_for_sag"]["movement_mm"])


def test_other_quantities_take_any_unit_of_their_kind(capsys: pytest.CaptureFixture[str]) -> None:
    """1 lbf is 4.448222 N (NIST SP 811), so the sag is that of 4.448222 N."""
    rest = ["--belt-mass", "6", "--support-spacing", "1000"]
    one, other = (_answer(capsys, "belt-sag", "--tension", tension, *rest)["answer"]["sag_mm"]
                  for tension in ("200lbf", "889.6444"))
    assert one == pytest.approx(other, rel=1e-6)


def test_why_gives_formula_inputs_source_and_uncertainty(capsys: pytest.CaptureFixture[str]) -> None:
    """--why names inputs with units, the formula with its source, and how sure the answer is."""
    why = _answer(capsys, "belt-strain", "--mark-gap", "1000", "--stretched-gap", "1003", "--tension-member",
                  "polyester", "--why")["why"]
    assert why["inputs"] == {"mark_gap_mm": 1000.0, "stretched_gap_mm": 1003.0, "tension_member": "polyester",
                             "reading_uncertainty_mm": 0.5}
    assert why["formula_and_source"][0].startswith("strain = (l1 - l0)/l0")
    assert "belt_strain.strain_uncertainty_percent" in why["how_sure"]


def test_why_in_words_prints_units(capsys: pytest.CaptureFixture[str]) -> None:
    """For a person, each number stands with its unit, lengths in both systems."""
    assert _run(["belt-take-up", "--growth", "25.4", "--why"]) == 0
    shown = capsys.readouterr().out
    assert "takeup travel for growth: 12.7 mm (1/2 in)" in shown
    assert "growth: 25.4 mm (1 in)" in shown
    assert "travel = growth / 2" in shown


def test_rounding_of_what_was_typed_is_carried_to_the_answer(capsys: pytest.CaptureFixture[str]) -> None:
    """Growth typed to 1 mm: u = 1/sqrt(12), halved by the formula and doubled by k = 2."""
    why = _answer(capsys, "belt-take-up", "--growth", "18", "--why")["why"]
    part = why["if_each_number_typed_is_rounded_to_its_last_digit"]["takeup_travel_for_growth_mm"]
    assert part == {"plus_or_minus_mm": pytest.approx(1 / 12**0.5), "mostly_from": "growth"}


@pytest.mark.parametrize("text, worth", [("2.50", 0.01), ("18", 1.0), ("1 5/8", 0.125), ("3/4 in", 0.25), ("2.", 1.0)])
def test_last_digit(text: str, worth: float) -> None:
    """The last digit typed is worth a power of ten, or the fraction's denominator."""
    assert reckon_sure.last_digit(text) == pytest.approx(worth)


def test_disagreeing_editions_are_both_shown(capsys: pytest.CaptureFixture[str]) -> None:
    """Without --edition the life factor comes from both tables, with the note which one is in force."""
    answer = _answer(capsys, "life-factor", "--reliability", "95")["answer"]
    assert set(answer) == {"ISO 281:2007", "older tables (1990)", "sources_disagree"}
    assert "ISO 281:2007 is the one in force" in answer["sources_disagree"]


def test_a_chosen_edition_stands_alone(capsys: pytest.CaptureFixture[str]) -> None:
    """With --edition only that table answers."""
    answer = _answer(capsys, "life-factor", "--reliability", "95", "--edition", "ISO 281:2007")["answer"]
    assert answer["edition"] == "ISO 281:2007"


def test_disagreeing_slack_figures_are_all_shown(capsys: pytest.CaptureFixture[str]) -> None:
    """Without --case every printed slack rule is shown, with why they differ."""
    answer = _answer(capsys, "slack-window", "--centre-distance", "1000")["answer"]
    assert len(answer) > 3
    assert "sources_disagree" in answer


def test_grease_amount_keeps_the_formula_beside_the_table(capsys: pytest.CaptureFixture[str]) -> None:
    """The insert table decides and the formula's amount is shown beside it."""
    answer = _answer(capsys, "grease-amount", "--bearing", "UC207")["answer"]["grease_quantity"]
    assert answer["method"] == "insert table"
    assert answer["formula_grams"] > answer["grams"]


def test_logged_moves_are_typed_field_by_field(capsys: pytest.CaptureFixture[str]) -> None:
    """Two moves in which raising the right drove the belt to the right teach the desk a reversed machine."""
    answer = _answer(capsys, "tracking", "--history", "0,0.5,25,33", "0,1/2in,33,41mm", "--edge-top", "41mm",
                     "--bearing-spacing", "900", "--roller-diameter", "150", "--thread-pitch", "2.5")["answer"]
    assert answer["side"] == "left"


@pytest.mark.parametrize("words, sentence", [
    (["belt-grip", "--friction", "0.3", "--wrap", "0"], "it must be between 0 and 720"),
    (["belt-grip", "--friction", "0.3", "--wrap", "half"], "'half' is not one clear number"),
    (["belt-grip", "--friction", "0.3", "--wrap", "3 in"], "cannot be read as a number of °"),
    (["belt-take-up", "--growth", "1/0 in"], ""),
    (["belt-strain", "--mark-gap", "1000", "--stretched-gap", "1003", "--tension-member", "rope"], "polyester"),
    (["due", "--today", "soon", "--hours-per-day", "3"], "type it like 2026-03-14"),
    (["survival", "--ages", "100", "--failed", "maybe"], "neither yes nor no"),
    (["tracking-gain", "--history", "1,2,3,4,5,6,7,8,9", "--bearing-spacing", "9", "--roller-diameter", "9",
      "--thread-pitch", "2"], "9 parts"),
])
def test_refused_with_a_sentence_and_code_1(words: list[str], sentence: str,
                                            capsys: pytest.CaptureFixture[str]) -> None:
    """What cannot be answered is refused in a sentence on stderr, with exit code 1 and nothing on stdout."""
    assert _run(words) == 1
    shown = capsys.readouterr()
    assert shown.out == ""
    assert sentence in shown.err
    assert shown.err.startswith(f"kiosk reckon {words[0]}: ")


@pytest.mark.parametrize("words", [["nothing-such"], []])
def test_unknown_or_missing_question_is_usage(words: list[str], capsys: pytest.CaptureFixture[str]) -> None:
    """No question lists them all, an unknown one says so; both are code 2."""
    assert _run(words) == 2
    shown = capsys.readouterr()
    assert "lists them" in shown.err or "take-up-for-sag" in shown.out


def test_missing_option_is_usage(capsys: pytest.CaptureFixture[str]) -> None:
    """An option left out is named, with code 2."""
    with pytest.raises(SystemExit) as stopped:
        _run(["take-up-for-sag", "--span", "40in"])
    assert stopped.value.code == 2
    assert "--sag-now" in capsys.readouterr().err


@pytest.mark.parametrize("text", ["", "ten", "1e", "--"])
def test_a_number_that_is_none_is_unreadable(text: str) -> None:
    """Rubbish for a number is refused, never guessed."""
    with pytest.raises(UnreadableNumber):
        reckon_words.quantity(text, "N", "mm")


def test_plugged_into_the_command_line() -> None:
    """`python -m kiosk reckon` answers and imports no window library."""
    done = subprocess.run([sys.executable, "-X", "importtime", "-m", "kiosk", "reckon", "belt-take-up", "--growth",
                           "18", "--json"], capture_output=True, text=True, check=False)
    assert done.returncode == 0
    assert json.loads(done.stdout)["answer"] == 9.0
    assert not any(line.endswith((" kivy", " peewee", " cv2")) for line in done.stderr.splitlines())
