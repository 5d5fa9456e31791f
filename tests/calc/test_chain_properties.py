"""Chains: inverse pairs, wear that only grows, and a loop balance that finds a wrong link count."""

from __future__ import annotations

import math

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from kiosk.calc import alignment, chain, chain_table, chain_wear, legibility, loop_balance

PITCHES = st.floats(6.0, 80.0)
TEETH = st.integers(6, 80)
NAMES = st.sampled_from(chain_table.chain_names())


@given(PITCHES, TEETH, TEETH, st.floats(1.05, 40.0))
def test_exact_length_and_centre_distance_are_inverse(pitch: float, one: int, other: int, wide: float) -> None:
    """Centre distance of the exact length returns the centre distance."""
    centre = wide * (one + other) * pitch / 6.0
    links = chain.chain_length(centre, pitch, one, other).pitches_exact
    assert chain.exact_centre_distance_mm(links, pitch, one, other) == pytest.approx(centre, rel=1e-9)


@given(PITCHES, TEETH, TEETH, st.floats(1.05, 40.0))
def test_short_length_and_centre_distance_are_inverse(pitch: float, one: int, other: int, wide: float) -> None:
    """The short form turned round returns the centre distance."""
    centre = wide * (one + other) * pitch / 6.0
    links = chain.chain_length(centre, pitch, one, other).pitches
    assert chain.centre_distance_mm_for(links, pitch, one, other) == pytest.approx(centre, rel=1e-9)


@given(PITCHES, TEETH, TEETH, st.floats(25.0, 300.0))
def test_short_length_is_close_for_long_centres(pitch: float, one: int, other: int, centres: float) -> None:
    """Over 25 pitches of centre distance, up to three to one, the short form is within a twentieth of a pitch."""
    assume(max(one, other) <= 3 * min(one, other) and centres > (one + other) / 4.0)
    got = chain.chain_length(centres * pitch, pitch, one, other)
    assert got.pitches == pytest.approx(got.pitches_exact, abs=0.05)


@given(PITCHES, TEETH, TEETH, st.floats(1.05, 40.0))
def test_even_links_are_even_and_just_enough(pitch: float, one: int, other: int, wide: float) -> None:
    """The next even count is even, not below the length and less than two above it."""
    got = chain.chain_length(wide * (one + other) * pitch / 6.0, pitch, one, other)
    assert got.even_links % 2 == 0
    assert -1e-5 <= got.even_links - got.pitches < 2.0
    assert got.centre_for_even_mm >= wide * (one + other) * pitch / 6.0 * (1.0 - 1e-6)


@given(PITCHES, TEETH, st.floats(0.0, 5.0))
def test_worn_chain_rides_higher(pitch: float, teeth: int, percent: float) -> None:
    """A worn chain's pitch circle is larger in the same measure; many teeth ripple little."""
    new = chain.pitch_diameter_mm(pitch, teeth)
    assert chain.pitch_diameter_mm(pitch, teeth, percent) == pytest.approx(new * (1 + percent / 100))
    assert chain.chordal_speed_variation(teeth + 1) < chain.chordal_speed_variation(teeth)


@given(st.integers(2, 400), st.integers(1, 30))
def test_nearest_links_are_even_and_whole(links: int, spacing: int) -> None:
    """Each offered count is even and a whole number of spacings, and the count lies between them."""
    got = chain.flight_spacing(links, spacing)
    assert all(valid % 2 == 0 and valid % spacing == 0 for valid in got.nearest_valid_links)
    assert (got.nearest_valid_links == (links,)) == (got.is_even and got.is_whole)
    assert got.nearest_valid_links[-1] >= links


@given(st.integers(1, 200), PITCHES, st.floats(-2.0, 15.0), st.floats(0.0, 1.0))
def test_elongation_returns_what_was_stretched(pitches: int, pitch: float, percent: float, u: float) -> None:
    """A chain stretched by so much measures so much, and a shorter one is flagged."""
    got = chain_wear.elongation(pitches * pitch * (1 + percent / 100), pitch, pitches, u)
    assert got.elongation_percent == pytest.approx(percent, abs=1e-9)
    assert bool(got.flag) == (got.elongation_percent < 0.0)


@given(PITCHES, st.floats(0.01, 1.0), st.floats(0.01, 1.0))
def test_pitches_needed_reach_the_uncertainty(pitch: float, u: float, wanted: float) -> None:
    """So many pitches reach the wanted uncertainty, one fewer do not."""
    count = chain_wear.pitches_needed(pitch, u, wanted)
    assert chain_wear.elongation(count * pitch, pitch, count, u).standard_uncertainty_percent <= wanted + 1e-6
    assert count == 1 or u / ((count - 1) * pitch) * 100 > wanted - 1e-6


@given(st.integers(2, 400), PITCHES, st.floats(0.0, 19.0), st.floats(0.0, 1.0))
def test_more_wear_never_takes_less_take_up(links: int, pitch: float, percent: float, more: float) -> None:
    """Growth and removable links rise with wear; links come out in pairs that the growth covers."""
    less, worse = (chain_wear.wear_growth(links, pitch, value) for value in (percent, percent + more))
    assert worse.growth_mm >= less.growth_mm and worse.removable_links >= less.removable_links
    assert less.removable_links % 2 == 0 and less.removable_links * pitch <= less.growth_mm * (1 + 1e-6)


@given(st.integers(6, 200), st.booleans())
def test_wear_limit_never_rises_with_teeth(teeth: int, fixed: bool) -> None:
    """A larger sprocket never allows more wear, fixed centres never more than free ones."""
    assert chain_wear.wear_limit_percent(teeth + 1, fixed) <= chain_wear.wear_limit_percent(teeth, fixed)
    assert chain_wear.wear_limit_percent(teeth, True) <= chain_wear.wear_limit_percent(teeth)


@given(st.floats(0.0, 3.0), st.floats(0.0, 3.0), st.floats(500.0, 9000.0), st.floats(300.0, 1500.0))
def test_strands_swapped_lean_the_other_way(left: float, right: float, length: float, width: float) -> None:
    """Left for right turns the sign round and nothing else."""
    one, other = (chain_wear.compare_strands(*pair, length, width, 0.05) for pair in ((left, right), (right, left)))
    assert one.skew_mm_per_m == -other.skew_mm_per_m
    assert {one.longer, other.longer} in ({"alike"}, {"left", "right"})


@given(st.integers(60, 300), st.sampled_from([19.05, 25.4, 38.1, 50.8]), st.integers(6, 30), st.integers(6, 30),
       st.floats(0.0, 3.0), st.floats(0.0, 8.0), st.integers(-4, 4), st.floats(-1.0, 1.0), st.floats(-1.0, 1.0))
def test_loop_balance_finds_links_miscounted(links: int, pitch: float, one: int, other: int, percent: float,
                                             excess: float, miscount: int, slip_centre: float,
                                             slip_percent: float) -> None:
    """A count wrong by up to four links is found through readings that are off by up to one uncertainty each."""
    worn = pitch * (1 + percent / 100)
    centre = chain.exact_centre_distance_mm(links - excess / worn, worn, one, other)
    u_centre, u_percent = 0.5, 0.02
    loop = loop_balance.Loop(links + miscount, pitch, one, other, centre + slip_centre * u_centre,
                             max(percent + slip_percent * u_percent, 0.0), excess)
    got = loop_balance.balance(loop, u_centre, u_percent)
    assume(got.finding != loop_balance.UNCERTAIN)
    assert got.links_off == miscount
    assert got.finding == (loop_balance.WRONG_COUNT if miscount else loop_balance.FITS)


def test_loop_balance_calls_half_a_link_a_slip() -> None:
    """A gap that is no whole number of links is a measuring slip."""
    got = loop_balance.balance(loop_balance.Loop(97, 20.0, 17, 17, 805.0, 0.0, 0.0), 0.5, 0.02)
    assert got.finding == loop_balance.SLIP and "10.0 mm shorter" in got.words


def test_loop_balance_says_when_it_cannot_tell() -> None:
    """A centre distance to 5 mm cannot find a link of 20 mm."""
    got = loop_balance.balance(loop_balance.Loop(98, 20.0, 17, 17, 800.0, 0.0, 0.0), 5.0, 0.05)
    assert got.finding == loop_balance.UNCERTAIN and got.links_off == 0


@given(NAMES, NAMES)
def test_only_a_chain_itself_matches(one: str, other: str) -> None:
    """Links of two sizes in the table never go together."""
    words = chain_table.mismatch_words(chain_table.chain_named(one), chain_table.chain_named(other))
    assert (words == "") == (one == other)


@pytest.mark.parametrize("name", ["ANSI 40", "ANSI 50", "ANSI 60", "ANSI 80", "ANSI 100", "ANSI 120"])
def test_measuring_load__asme_b29_1__is_125_pitches_squared(name: str) -> None:
    """The printed loads keep the table's own rule: 125 and 12,500 p squared lbf, p in inches, within 2 %."""
    got = chain_table.chain_named(name)
    pitch_in = got.pitch_mm / 25.4
    assert got.measuring_load_newton == pytest.approx(125.0 * pitch_in**2 * 4.4482216, rel=0.02)
    assert got.min_tensile_newton == pytest.approx(12_500.0 * pitch_in**2 * 4.4482216, rel=0.02)


@given(st.floats(10.0, 50_000.0), st.floats(1.0, 2.0))
def test_offset_limit_never_falls_with_distance(centre: float, times: float) -> None:
    """Further apart never allows less, and the limits join without a step."""
    assert 1.0 <= alignment.offset_limit_mm(centre) <= alignment.offset_limit_mm(centre * times) <= 10.0


@given(st.floats(1.0, 60.0), st.floats(100.0, 3000.0))
def test_character_height_and_angle_are_inverse(arcmin: float, distance: float) -> None:
    """A character of the height for an angle looks that large."""
    height = legibility.character_height_mm(arcmin, distance)
    assert legibility.visual_angle_arcmin(height, distance) == pytest.approx(arcmin)


COLOURS = st.integers(0, 0xFFFFFF).map(lambda value: f"#{value:06x}")


@given(COLOURS, COLOURS)
def test_contrast_is_the_same_both_ways(one: str, other: str) -> None:
    """Contrast is between 1 and 21, and swapping the colours changes nothing."""
    ratio = legibility.contrast_ratio(one, other)
    assert 1.0 <= ratio <= 21.0 + 1e-9 and ratio == legibility.contrast_ratio(other.upper(), one)


def test_chordal_ripple_is_one_less_cosine() -> None:
    """The rewritten form is the printed one."""
    assert all(chain.chordal_speed_variation(n) == pytest.approx(1 - math.cos(math.pi / n)) for n in range(4, 90))
