"""The hand scanner told apart from a person, by characters and their times."""

from kiosk.scan.wedge import Scanned, Typed, Wedge


def play(wedge: Wedge, text: str, gap_s: float, start_s: float = 0.0, frame_s: float = 1 / 60) -> tuple[list, float]:
    """Feed `text` a character every `gap_s`, polling every frame, as the window does."""
    outcomes, at, next_poll = [], start_s, start_s
    for character in text:
        while next_poll <= at:
            outcomes += wedge.poll(next_poll)
            next_poll += frame_s
        outcomes += wedge.feed(character, at)
        at += gap_s
    return outcomes, at


def test_scan_at_every_common_speed_is_one_scan() -> None:
    """A scanner sending a character every 0 to 30 ms gives one scan and no typed key."""
    for gap_s in (0.0, 0.001, 0.005, 0.012, 0.03):
        wedge = Wedge()
        outcomes, at = play(wedge, "1482109376", gap_s)
        assert [*outcomes, *wedge.enter(at)] == [Scanned("1482109376")], gap_s


def test_person_typing_is_passed_on_key_by_key() -> None:
    """A person at 120 ms a key types into the field, Enter included."""
    wedge = Wedge()
    outcomes, at = play(wedge, "12.5", 0.12)
    outcomes += wedge.poll(at) + wedge.poll(at + 0.02) + wedge.enter(at + 0.03)
    assert outcomes == [Typed("1"), Typed("2"), Typed("."), Typed("5"), Typed("enter")]


def test_scan_across_a_stalled_screen_stays_whole() -> None:
    """A quarter of a second without a frame in the middle of a scan does not cut it in two."""
    wedge = Wedge()
    outcomes, at = play(wedge, "14821", 0.005)
    outcomes += wedge.poll(at + 0.25)
    for character in "09376":  # all at once, after the frame that stalled
        outcomes += wedge.feed(character, at + 0.25)
    assert [*outcomes, *wedge.enter(at + 0.25)] == [Scanned("1482109376")]


def test_scan_right_after_typing_leaves_the_typed_text_alone() -> None:
    """What a person typed before the scan is passed on, the scan is not part of it."""
    wedge = Wedge()
    typed, at = play(wedge, "41", 0.15)
    typed += wedge.poll(at) + wedge.poll(at + 0.02)
    outcomes, at = play(wedge, "1482109376", 0.01, at + 0.2)
    assert typed == [Typed("4"), Typed("1")]
    assert [*outcomes, *wedge.enter(at)] == [Scanned("1482109376")]


def test_foreign_label_with_letters_is_a_scan_too() -> None:
    """A label that is not ours still arrives whole, so that the kiosk can say so."""
    wedge = Wedge()
    outcomes, at = play(wedge, "AB-12345/X", 0.002)
    assert [*outcomes, *wedge.enter(at)] == [Scanned("AB-12345/X")]


def test_endless_characters_do_not_pile_up() -> None:
    """A key that sticks, or a device gone mad, is passed on and never held without bound."""
    wedge = Wedge()
    outcomes, _ = play(wedge, "7" * 1000, 0.0)
    assert len(outcomes) > 900
