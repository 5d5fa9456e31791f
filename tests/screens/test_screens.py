"""Every screen in a real window: it shows its sample states, and a tap asks its presenter."""

from __future__ import annotations

from typing import Any

import pytest

pytestmark = pytest.mark.window


def find(root: Any, text: str) -> Any:
    """Return the first button below `root` that carries `text` as its words or title."""
    for widget in root.walk():
        if text in (getattr(widget, "text", None), getattr(widget, "title", None)) and hasattr(widget, "on_release"):
            return widget
    raise AssertionError(f"no button '{text}'")


# Sample, face, what is tapped, what the presenter is asked.
TAPS = [
    ("idle", "", "Type number", ("open_label_pad",)),
    ("idle", "", "Unit 03 Curlew", ("open_unit", "03")),
    ("label_pad", "", "Open", ("label_key", "enter")),
    ("label_pad", "", "7", ("label_key", "7")),
    ("pin_pad", "", "Sign in", ("pin_key", "enter")),
    ("pin_pad", "", "7", ("pin_key", "7")),
    ("pin_pad", "", "Back", ("close_pin_pad",)),
    ("unit", "", "Back", ("back",)),
    ("unit", "", "debris elevator", ("show_assembly", 1)),
    ("unit", "parts", "upper shaft bearing, left", ("open_position", "p0")),
    ("unit", "findings", "Seal of the bearing lifted, grease runs out at the machine side", ("open_position", "p0")),
    ("unit", "", "Round: take up", ("begin_round",)),
    ("unit", "before", "Note my lock-out", ("toggle_lock_out",)),
    ("round", "", "3  Upper shaft bearing, right", ("select_row", "c3|grease")),
    ("round", "", "End round", ("end",)),
    ("round_fitting", "", "Save 2 strokes", ("save_quick",)),
    ("round_form", "", "Open: Adjust the sag of the upper strand", ("save_quick",)),
    ("round_ending", "", "1  cannot get at it", ("skip_for", "1")),
    ("round_ending", "", "Go on", ("go_on",)),
    ("component", "", "Save 2 strokes", ("save_quick",)),
    ("component", "", "+", ("more_strokes",)),
    ("component", "", "−", ("fewer_strokes",)),
    ("component", "", "History", ("open_history",)),
    ("component", "", "To the unit", ("open_unit",)),
    ("component", "trend", "Figures", ("show_figures", "")),
    ("component", "figures", "Life of parts", ("show_figures", "life of parts")),
    ("component_figures", "figures", "Bearing under load: back to all", ("show_figures", "")),
    ("component", "jobs", "Adjust the sag of the upper strand", ("open_job", "adjust")),
    ("component_stopped", "reasons", "Grease was washed out", ("choose_reason", "r0")),
    ("cautions_two", "", "Go on", ("go_on",)),
    ("cautions_hours", "", "Hours are right", ("confirm_hours",)),
    ("cautions_hours", "", "4,819.2 h", ("take_hours", "4819.2")),
    ("cautions_hours", "", "5", ("hours_key", "5")),
    ("form", "", "5", ("key", "5")),
    ("form", "", "next", ("key", "next")),
    ("form", "", "in", ("toggle_unit",)),
    ("form", "", "as left", ("show_phase", "as left")),
    ("form", "", "Save", ("save",)),
    ("form_close", "", "Measure again, keep 4 1/32", ("measure_again",)),
    ("form", "list", "Find the lowest point of the upper strand.", ("toggle_step", 2)),
    ("splice", "", "Go on", ("go_on",)),
    ("splice", "", "9", ("key", "9")),
    ("splice_plan", "", "Cut out 2 sections, put 1 in", ("choose_plan", "b")),
    ("splice_joint", "", "Next bolt is tight", ("tick_bolt", 3)),
    ("splice_joint", "", "Not tight", ("untick_bolt",)),
    ("replace", "", "worn", ("choose_reason", "worn")),
    ("replace", "", "Read it back", ("read_back",)),
    ("replace_number", "", "Print label", ("issue_label",)),
    ("replace_number", "", "4", ("key", "4")),
    ("saved", "", "Unit 07 Kittiwake", ("answer", "unit")),
    ("saved", "", "Start", ("home",)),
    ("component_retired", "", "Open the part here now", ("open_now",)),
    ("history", "", "Newer records", ("newer",)),
    ("history", "files", "Write it as PDF", ("press_file", "pdf")),
    ("history", "files", "Paper: Letter", ("press_file", "paper")),
    ("history", "whose", "Whole unit", ("show_scope", "unit")),
    ("history", "filter job", "Inspect", ("choose_filter", "job", "inspect")),
    ("history", "filter", "Show everything", ("clear_filter",)),
    ("history_opened", "", "2 photos", ("open_photos",)),
    ("history_opened", "", "Correct", ("correct",)),
    ("photos", "", "Next photo", ("turn",)),
    ("photos", "", "Another photo", ("take",)),
    ("photos_looking", "", "Take", ("take",)),
    ("photos_taken", "", "Keep it", ("keep",)),
    ("photos_taken", "", "Take it again", ("again",)),
    ("coming", "", "Overdue: 12", ("press", "overdue")),
    ("history_opened", "", "Back", ("close_record",)),
    ("form_question", "", "Measure again", ("answer", "no")),
]


@pytest.mark.parametrize(("sample", "face", "button", "asked"), TAPS, ids=[f"{tap[0]}-{tap[2]}" for tap in TAPS])
def test_tap__asks_the_presenter(open_window: Any, sample: str, face: str, button: str, asked: tuple[Any, ...]) -> None:
    """A touch on a button asks its screen's presenter for just that."""
    window = open_window()
    window.show_sample(sample, face)
    window.tap(find(window.stage, button))
    assert window.presenter.calls == [asked]


def test_tap__in_the_lower_left_corner__is_not_swallowed_by_a_pager_that_stands_elsewhere(open_window: Any) -> None:
    """On the small panel the round's button lies where the empty words of a disabled arrow once lay."""
    window = open_window("1024x600")
    window.show_sample("unit")
    window.tap(find(window.stage, "Round: take up"))
    assert window.presenter.calls == [("begin_round",)]


def test_fraction_key__sends_slash_and_denominator(open_window: Any) -> None:
    """The key for sixteenths types '/', '1', '6'."""
    window = open_window()
    window.show_sample("form")
    window.tap(find(window.stage, "□/16"))
    assert window.presenter.calls == [("key", "/"), ("key", "1"), ("key", "6")]


def test_fraction_keys__gone_for_what_is_no_length(open_window: Any) -> None:
    """A temperature offers no fraction keys."""
    window = open_window()
    window.show_sample("form_plain")
    with pytest.raises(AssertionError):
        find(window.stage, "□/16")


def test_caution_card__whole_card_confirms(open_window: Any) -> None:
    """A touch on a card confirms that card."""
    from kiosk.widgets.cautions import CautionCard

    window = open_window()
    window.show_sample("cautions_two")
    card = [widget for widget in window.stage.walk() if isinstance(widget, CautionCard)][-1]
    window.tap(card)
    assert window.presenter.calls == [("confirm", card.row.key)]


def test_reading_field__asks_for_the_focus(open_window: Any) -> None:
    """A touch on the other side's field asks to type there."""
    from kiosk.widgets.fields import FieldCard

    window = open_window()
    window.show_sample("form")
    field = next(widget for widget in window.stage.walk() if isinstance(widget, FieldCard) and widget.name == "left")
    window.tap(field)
    assert window.presenter.calls == [("focus", "as found|sag|left")]


def test_diagram__lists_the_nearest_part_first(open_window: Any) -> None:
    """A touch on the drawing lists the parts, the one under the finger first."""
    from kiosk.widgets.diagram import Diagram

    window = open_window()
    window.show_sample("unit")
    diagram = next(widget for widget in window.stage.walk() if isinstance(widget, Diagram))
    window.tap_at(*diagram.to_window(*diagram._at(0.90, 0.76)))
    assert window.stage.screen.ids.list.rows()[0].title == "take-up, right"


def test_letter_board__brings_the_text_once(open_window: Any) -> None:
    """A note is typed on the board and handed over by 'done'."""
    window = open_window()
    window.show_sample("form", "list")
    window.stage.screen.ids.list.page = 99
    window.step()
    got: list[str] = []
    window.stage.ask_text("Note", "", got.append)
    window.step()
    for key in ("o", "k", "done"):
        window.tap(find(window.stage.ids.letters, key))
    assert got == ["Ok"]


def test_message__is_read_and_taken_off(open_window: Any) -> None:
    """The tick takes a refusal off; the form under it is as it was."""
    window = open_window()
    window.show_sample("form_refused")
    message = window.stage._message
    window.tap(message.ids.buttons.children[0])
    assert message.parent is None
    assert window.presenter.calls == []


def test_list__turns_pages_and_never_cuts_a_row(open_window: Any) -> None:
    """Every row of a long list comes up whole on some page."""
    window = open_window("1024x600")
    window.show_sample("unit", "parts")
    rows, seen = window.stage.screen.ids.parts, set()
    for page in range(int(rows.pages)):
        rows.page = page
        window.step()
        for row in rows.rows_on_page():
            assert row.y >= rows.y - 1 and row.top <= rows.top + 1
            seen.add(row)
    assert seen == set(rows.rows())
