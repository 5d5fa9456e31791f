"""A part's label from its page: printed again, swapped, found loose, another number; each with its reason."""

from __future__ import annotations

import pytest

from kiosk.entities import Label, LabelKind, LabelPrint, PrintState, ScanSource
from kiosk.events import ComponentReplaced, LabelFound, LabelReplaced, LabelsSwapped
from kiosk.presenters.ports import PrintProgress
from kiosk.presenters.states import ComponentState, ReplaceState
from labels.number import Kind, compose

BLANK = compose(Kind.COMPONENT, 7, 900).digits


@pytest.fixture
def page(yard):
    """Return the yard with the bearing's page open and somebody signed in; a blank label lies ready."""
    yard.records.labels[BLANK] = Label(BLANK, LabelKind.COMPONENT, None, yard.clock())
    yard.sign_in()
    yard.scan(yard.label_of("c-bearing"))
    return yard


def choose(yard, *keys: str) -> None:
    """Open the label's question and answer one after the other."""
    yard.screen.open_job("label")
    for key in keys:
        yard.screen.answer(key)


def test_label_has_its_row_among_the_jobs(page):
    """The page offers it after the sheet's jobs."""
    assert page.state.jobs[-1].key == "label"


def test_nobody_signed_in_is_asked_for_the_badge(yard):
    """What is done with a label is done by somebody."""
    yard.scan(yard.label_of("c-bearing"))
    yard.screen.open_job("label")
    assert "Scan your badge" in yard.message.text


def test_renewing_prints_the_same_number_with_its_reason(page):
    """Unit, position and part stand on it; the reason is kept."""
    choose(page, "renew", "worn")
    assert page.labels.told == [("print", page.label_of("c-bearing"), "hard to read", "ana")]
    assert "label-" in page.message.text and "before you stick it on" in page.message.what_now


def test_renewing_shows_the_printers_trouble(page):
    """With a printer its words are shown."""
    page.labels.print_progress = PrintProgress("It waits for the printer. The printer is out of labels.")
    choose(page, "renew", "torn")
    assert "out of labels" in page.message.text


def test_renewed_label_is_read_back_by_its_next_scan(page):
    """The scan belongs to the page: the new label reads, its print is over."""
    number = page.label_of("c-bearing")
    page.records.prints[number] = LabelPrint("p1", number, (), 1, "hard to read", PrintState.PRINTED, "", 1,
                                             page.clock(), page.clock())
    page.scan(number)
    assert page.labels.told == [("read", number, "scanner")]
    assert "The new label reads" in page.message.text


def test_typing_the_number_is_no_read_back(page):
    """A typed number shows nothing of the label."""
    number = page.label_of("c-bearing")
    page.records.prints[number] = LabelPrint("p1", number, (), 1, "hard to read", PrintState.PRINTED, "", 1,
                                             page.clock(), page.clock())
    page.scan(number, ScanSource.KEYPAD)
    assert page.labels.told == []


def test_two_labels_on_each_others_part_are_swapped_with_both_scanned(page):
    """One scanned to open the page, the other for the swap; both numbers and places are named before."""
    one, other = page.label_of("c-bearing"), page.label_of("c-chain")
    choose(page, "swap")
    page.scan(other)
    assert "flight chains" in page.message.text and "upper shaft bearing" in page.message.text
    page.screen.answer("yes")
    (swapped,) = page.records.payloads(LabelsSwapped)
    assert (swapped.component_id, swapped.other_component_id) == ("c-bearing", "c-chain")
    assert (page.label_of("c-bearing"), page.label_of("c-chain")) == (other, one)
    assert page.state.label.replace(" ", "") == other


def test_swap_is_dropped_by_no(page):
    """Nothing changes."""
    choose(page, "swap")
    page.scan(page.label_of("c-chain"))
    page.screen.answer("no")
    assert page.records.payloads(LabelsSwapped) == []


def test_swap_with_itself_is_refused(page):
    """The same label scanned twice."""
    choose(page, "swap")
    page.scan(page.label_of("c-bearing"))
    assert "That is the same label" in page.message.text


def test_scan_of_another_part_without_a_swap_opens_that_part(page):
    """The page takes only the scans it asked for."""
    page.scan(page.label_of("c-chain"))
    assert isinstance(page.state, ComponentState) and page.state.component_id == "c-chain"


def test_label_found_loose_says_what_it_belongs_to(page):
    """'belongs to …, on …': the find is on record with its place, and a new one is offered."""
    choose(page, "found", "shop")
    assert page.records.payloads(LabelFound) == [LabelFound(page.label_of("c-bearing"), "on the shop floor")]
    assert "It belongs to Insert bearing UC208, on Unit 4 · upper shaft bearing, left since" in page.message.text
    page.screen.answer("renew")
    assert page.labels.told[0][:3] == ("print", page.label_of("c-bearing"), "found loose")


def test_blank_label_scanned_on_the_page_is_offered_and_bound(page):
    """A label printed ahead goes on the part; the old number is retired with the reason."""
    old = page.label_of("c-bearing")
    page.scan(BLANK)
    assert "is blank" in page.message.text
    page.screen.answer("torn")
    assert page.records.payloads(LabelReplaced) == [LabelReplaced("c-bearing", old, BLANK, "torn or gone")]
    assert page.state.label.replace(" ", "") == BLANK


def test_blank_label_is_not_bound_by_no(page):
    """Nothing changes."""
    page.scan(BLANK)
    page.screen.answer("no")
    assert page.records.payloads(LabelReplaced) == []


def test_blank_label_on_the_idle_screen_says_what_to_do(yard):
    """It belongs to nothing: the part comes first."""
    yard.records.labels[BLANK] = Label(BLANK, LabelKind.COMPONENT, None, yard.clock())
    yard.scan(BLANK)
    assert "scan that part first" in yard.message.text


def test_blank_label_scanned_in_a_replacement_is_the_new_parts(page):
    """Nothing has to be printed: the scan proves that it reads."""
    page.open_job("c-bearing", "replace")
    page.scan(BLANK)
    assert isinstance(page.state, ReplaceState) and page.state.label.read_back
    page.screen.choose_reason("worn")
    page.screen.save()
    assert page.records.payloads(ComponentReplaced)[0].new_component.label == BLANK


def test_label_printed_for_a_replacement_is_not_blank(page):
    """A number promised to one part is not put on another by a scan."""
    page.open_job("c-bearing", "replace")
    page.screen.choose_reason("worn")
    page.screen.issue_label()
    promised = page.labels.printed[0][0]
    page.screen.home()
    page.scan(page.label_of("c-chain"))
    page.scan(promised)
    assert "Finish the replacement" in page.message.text


def test_waiting_print_is_offered_to_be_dropped_not_doubled(page):
    """A label in the printer's queue is not put there a second time from its page."""
    page.labels.print_progress = PrintProgress("It waits for the printer. Out of labels.", is_waiting=True)
    page.screen.open_job("label")
    assert [answer.key for answer in page.message.actions] == ["cancel", "swap", "found", "no"]
    assert "Out of labels" in page.message.what_now
    page.screen.answer("cancel")
    assert page.labels.told == [("cancel", page.label_of("c-bearing"), "ana")]


@pytest.mark.parametrize(("answer", "told"), [("out", "came out"), ("again", "again"), ("cancel", "cancel")])
def test_reprint_that_nobody_can_know_of_is_asked_about_on_its_page(page, answer, told):
    """The page asks when its label's print is uncertain, at once or when the part is opened next."""
    page.labels.print_progress = PrintProgress("The line broke. Look whether it came out.", True, True)
    page.screen.home()
    page.scan(page.label_of("c-bearing"))
    assert "Look whether it came out" in page.message.text
    page.screen.answer(answer)
    assert page.labels.told[0][0] == told


def test_nobody_signed_in_is_not_asked_about_prints(yard):
    """Reading a part's page stays quiet."""
    yard.labels.print_progress = PrintProgress("The line broke.", True, True)
    yard.scan(yard.label_of("c-bearing"))
    assert yard.message is None
