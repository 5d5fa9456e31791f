"""What a mechanic in bad light must not stumble over: the words that say what is so and what to do next."""

from __future__ import annotations

from kiosk.entities import SeriesPoint


def open_chain_trend(yard, start):
    """Return the sentence of a chain's trend whose first reading was at these hours; the meter shows 1,236.5 h."""
    values = [80.0, 82.1, 83.9, 86.0, 88.1, 89.9]
    yard.records.series_points["c-chain", "strand-sag"] = [
        SeriesPoint(yard.clock(), start + place * 40.0, value, "as found", "left") for place, value in enumerate(values)]
    yard.scan(yard.label_of("c-chain"))
    return yard.state.trend.sentence


def test_trend__early_end_ahead__says_not_before_which_day(yard):
    """A bound that is still ahead comes with its day."""
    assert "Not before " in open_chain_trend(yard, 1000.0)


def test_trend__early_end_behind__says_so_and_what_to_do(yard):
    """No day in the past is given as a 'not before'."""
    sentence = open_chain_trend(yard, 600.0)
    assert "Not before" not in sentence
    assert "has passed already: measure it today" in sentence


def test_label_pad__one_digit_missing__is_one_digit(yard):
    """'1 digits' is no English."""
    yard.screen.open_label_pad()
    for key in "104512874":
        yard.screen.label_key(key)
    assert yard.state.frame.label_pad.hint == "1 digit to go"
