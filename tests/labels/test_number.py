"""Label numbers: form, check digit, scatter, and which numbers are too much alike to be issued."""

import random
from itertools import combinations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from labels import errors, number
from labels.number import IssuedNumbers, Kind

kinds = st.sampled_from(Kind)
kiosks = st.integers(0, 99)
serials = st.integers(0, 999_999)


@given(kinds, kiosks, serials)
def test_compose__gives_a_number_that_parses_and_tells_kiosk_and_serial(kind, kiosk, serial):
    """What a number was composed of comes out of it again."""
    made = number.compose(kind, kiosk, serial)
    assert number.parse(made.grouped) == made
    assert number.kiosk_and_serial(made) == (kiosk, serial)
    assert number.label_kind(made.digits) is kind


def test_compose__never_makes_one_number_twice():
    """The scatter maps different kiosks and serials to different numbers."""
    rng = random.Random(4)
    wanted = {(rng.randrange(100), rng.randrange(1_000_000)) for _ in range(20_000)}
    made = {number.compose(Kind.COMPONENT, *one).digits for one in wanted}
    assert len(made) == len(wanted)


def test_compose__never_begins_with_nine():
    """python-barcode drops a leading pair 99, so no kind may be 9."""
    assert {int(kind) for kind in Kind} == {1, 2, 3, 4, 5}


def test_grouped__reads_as_printed():
    """The number is shown in groups of one, four, four and one digits."""
    made = number.compose(Kind.UNIT, 3, 14)
    assert [len(group) for group in made.grouped.split(" ")] == [1, 4, 4, 1]


@given(kinds, kiosks, serials, st.integers(0, 9), st.integers(1, 9))
def test_parse__refuses_every_single_wrong_digit(kind, kiosk, serial, place, step):
    """MOD 11,10 catches every single wrong digit."""
    digits = list(number.compose(kind, kiosk, serial).digits)
    digits[place] = str((int(digits[place]) + step) % 10)
    with pytest.raises(errors.WrongCheckDigit):
        number.parse("".join(digits))


@pytest.mark.parametrize(
    ("text", "error"),
    [
        ("", errors.NotALabelNumber),
        ("   ", errors.NotALabelNumber),
        ("12345", errors.WrongLength),
        ("12345678901", errors.WrongLength),
        ("1 4821 09A7 6", errors.NotALabelNumber),
        ("١٢٣٤٥٦٧٨٩٠", errors.NotALabelNumber),
        ("12345678\n90\x00", errors.NotALabelNumber),
    ],
)
def test_parse__refuses_rubbish_with_a_sentence(text, error):
    """Rubbish is refused with a sentence for the operator."""
    with pytest.raises(error) as refused:
        number.parse(text)
    assert refused.value.operator_message.endswith((".", "?"))


def test_parse__refuses_a_kind_that_does_not_exist():
    """Ten digits with a right check digit but a kind that is not ours are another's label."""
    body = "712345678"
    with pytest.raises(errors.NotALabelNumber, match="begins with 7"):
        number.parse(body + number.check_digit(body))


@pytest.mark.parametrize(
    "rubbish",
    [None, 1234567890, b"1234567890", "", "1 4821 0937 6", "a" * 10, "１２３４５６７８９０"],
)
def test_is_label_number__is_false_for_rubbish(rubbish):
    """The yes/no question never raises."""
    assert not number.is_label_number(rubbish)


def test_issue__skips_a_serial_that_shares_three_pairs_with_an_issued_number():
    """The number of a serial that is already issued shares five pairs, so the next serial is used."""
    issued = IssuedNumbers([number.compose(Kind.COMPONENT, 1, 0)])
    made, serial = number.issue(Kind.COMPONENT, 1, 0, issued)
    assert serial == 1
    assert made == number.compose(Kind.COMPONENT, 1, 1)


def test_issue__refuses_when_the_serials_are_used_up():
    """After the last serial the kiosk says so."""
    with pytest.raises(errors.OutOfNumbers):
        number.issue(Kind.COMPONENT, 1, 1_000_000, IssuedNumbers())


def test_issued_numbers__knows_which_numbers_are_too_like_one():
    """Three shared pairs are too many, two are not."""
    pairs = ("14", "82", "10", "93", "76")
    index = IssuedNumbers()
    index._shared.update(number._keys(tuple(map(int, pairs))))
    three = number.LabelNumber("1482105555")
    two = number.LabelNumber("1482555555")
    assert index.is_too_like(three)
    assert not index.is_too_like(two)


def test_issue__ten_thousand_labels_of_one_kiosk_differ_in_three_pairs(capsys):
    """Any two of 10,000 labels of one kiosk differ in at least three of five pairs; few serials are skipped."""
    issued, serial = IssuedNumbers(), 0
    made = []
    for _ in range(10_000):
        one, serial = number.issue(Kind.COMPONENT, 7, serial, issued)
        issued.add(one)
        made.append(one.pairs)
        serial += 1
    skipped = serial - len(made)
    least = _least_differing_pairs(made)
    with capsys.disabled():
        print(f"\n10,000 labels of one kiosk: at least {least} of 5 pairs differ, {skipped} serials skipped")
    assert least >= 3
    assert skipped < 1_000


def test_issue__labels_issued_one_after_the_other_differ_in_most_pairs():
    """Neighbouring serials share at most one digit pair, leaving the kind's first digit aside."""
    for serial in range(0, 5_000, 7):
        near = [number.compose(Kind.COMPONENT, 2, serial + step).pairs for step in range(6)]
        for one, other in combinations(near, 2):
            assert sum(a == b for a, b in zip(one, other, strict=True)) <= 2


def _least_differing_pairs(made: list[tuple[int, ...]]) -> int:
    """Return the smallest number of differing pairs, found by looking for shared sub-tuples."""
    for shared in (4, 3, 2, 1):
        for places in combinations(range(5), shared):
            if len({tuple(pairs[place] for place in places) for pairs in made}) < len(made):
                return 5 - shared
    return 5
