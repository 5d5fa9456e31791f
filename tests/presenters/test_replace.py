"""Replacing a part: reason, new part, label printed and read back, one event."""

from __future__ import annotations

import pytest

from kiosk.entities import Scan, ScanSource
from kiosk.errors import DeviceError
from kiosk.events import ComponentReplaced
from kiosk.presenters.ports import PrintProgress
from kiosk.presenters.states import ReplaceState, SavedState


@pytest.fixture
def change(yard):
    """Return the yard with the replacement of the bearing open."""
    yard.open_job("c-bearing", "replace")
    return yard


def prepare(yard):
    yard.screen.choose_reason("worn")
    yard.screen.set_text("serial", "B-77")
    yard.screen.issue_label()


def test_reasons_come_from_the_sheet(change):
    """The sheet's reasons are offered, none chosen."""
    assert [reason.key for reason in change.state.reasons] == ["worn", "broken", "seized", "damaged"]
    assert change.state.save.missing == "Choose why the old part goes."


def test_label_is_issued_and_printed_with_unit_position_and_part(change):
    """Three lines on the label, a number, a page."""
    prepare(change)
    number, lines = change.labels.printed[0]
    assert lines == ("Unit 4", "upper shaft bearing, left", "Insert bearing UC208")
    assert change.state.label.pdf.endswith(f"{number}.pdf")
    assert not change.state.label.read_back


def test_label_is_issued_once(change):
    """A second touch prints no second number."""
    prepare(change)
    change.screen.issue_label()
    assert len(change.labels.printed) == 1


def test_job_cannot_end_before_the_label_is_read_back(change):
    """An unread label stops saving."""
    prepare(change)
    change.screen.save()
    assert isinstance(change.state, ReplaceState)
    assert "Read the new label back" in change.message.text


def test_label_is_read_back_from_the_printed_page(change):
    """The decoder reads the page."""
    prepare(change)
    change.screen.read_back()
    assert change.state.label.read_back
    assert change.state.save.enabled


def test_unreadable_print_is_refused(change):
    """A page that cannot be decoded does not count."""
    change.labels.readable = False
    prepare(change)
    change.screen.read_back()
    assert not change.state.label.read_back
    assert "cannot be read" in change.message.text


def test_scanning_the_new_label_reads_it_back(change):
    """The scan of the new label belongs to the form and opens nothing else."""
    prepare(change)
    change.scan(change.labels.printed[0][0])
    assert isinstance(change.state, ReplaceState)
    assert change.state.label.read_back


def test_typing_the_new_number_does_not_read_it_back(change):
    """A typed number does not show that the label can be scanned."""
    prepare(change)
    change.scan(change.labels.printed[0][0], ScanSource.KEYPAD)
    assert not change.state.label.read_back
    assert "belongs to no part yet" in change.message.text


def test_saving_replaces_in_one_event(change):
    """Old part retired with reason and hours, new one at the same position under the new label."""
    prepare(change)
    change.screen.read_back()
    change.screen.save()
    done = change.records.payloads(ComponentReplaced)[0]
    assert (done.old_component_id, done.reason, done.read_back) == ("c-bearing", "worn", "printed page")
    assert done.new_component.label == change.labels.printed[0][0]
    assert done.new_component.position_id == "p-bearing"
    assert done.new_component.installed_hours == 1240.5
    assert done.new_component.properties == {"bearing": "UC208", "serial": "B-77"}
    assert done.record.component_id == "c-bearing"
    assert isinstance(change.state, SavedState)


def test_after_saving_the_part_is_the_new_one(change):
    """'Back to the part' opens the new part; the old label leads there too."""
    old = change.label_of("c-bearing")
    prepare(change)
    change.screen.read_back()
    change.screen.save()
    change.screen.answer("part")
    assert change.state.label.replace(" ", "") == change.labels.printed[0][0]
    change.scan(old)
    assert "was replaced on" in change.message.text


def test_printer_trouble_keeps_what_was_chosen(change):
    """A printer that refuses says so; reason and serial stay."""
    def broken(kind, lines):
        raise DeviceError("The label printer does not answer. Switch it on and try again.")
    change.labels.issue = broken
    prepare(change)
    assert "does not answer" in change.message.text
    assert change.state.label is None
    assert [entry.typed for entry in change.state.entries] == ["Insert bearing UC208", "B-77"]


def test_unfinished_replacement_comes_back_with_its_label(change):
    """An issued number is not lost when somebody leaves the form."""
    prepare(change)
    number = change.labels.printed[0][0]
    change.screen.home()
    change.scan(change.label_of("c-bearing"))
    change.screen.open_job("replace")
    assert change.state.label.number.replace(" ", "") == number
    assert change.state.reasons[0].chosen


def test_description_is_fixed_once_it_is_printed(change):
    """The label and the record must not differ."""
    prepare(change)
    change.screen.set_text("description", "Another")
    assert "printed already" in change.message.text


def test_new_part_needs_a_description(change):
    """Nothing is printed for a part that is not named."""
    change.screen.set_text("description", "  ")
    change.screen.issue_label()
    assert change.labels.printed == []


def test_new_belt_has_its_length_when_new_again(yard):
    """A belt that was shortened by a splice is replaced by one of full length."""
    belt = yard.records.components["c-belt"]
    belt.properties.update(belt_length_mm=5750.0, splices_mm=[0.0, 2750.0], takeup_travel_in_mm=75.0,
                           belt_length_when_new_mm=6000.0)
    yard.open_job("c-belt", "replace")
    prepare(yard)
    yard.screen.read_back()
    yard.screen.save()
    new = yard.records.payloads(ComponentReplaced)[0].new_component.properties
    assert new["belt_length_mm"] == 6000.0
    assert new["splices_mm"] == [0]
    assert "takeup_travel_in_mm" not in new


def test_progress_of_the_print_is_shown_beside_the_number(change):
    """With a printer the label's line says how it goes."""
    change.labels.print_progress = PrintProgress("It waits for the printer. The printer is out of labels.")
    prepare(change)
    assert change.state.label.text == "It waits for the printer. The printer is out of labels."


def test_print_that_nobody_can_know_of_is_asked_about(change):
    """The mechanic looks and says so; nothing is sent again before."""
    prepare(change)
    change.labels.print_progress = PrintProgress("The line broke. Look whether the label came out.", asks=True)
    change.desk.print_changed()
    assert [answer.key for answer in change.message.actions] == ["out", "again"]
    change.screen.answer("again")
    number = change.labels.printed[0][0]
    again, of, person, reason = change.labels.told[0]
    assert (again, of, reason) == ("again", number, "it had not come out") and person


def test_label_seen_at_the_printer_is_told(change):
    """The other answer."""
    prepare(change)
    change.labels.print_progress = PrintProgress("Look whether the label came out.", asks=True)
    change.desk.print_changed()
    change.screen.answer("out")
    assert change.labels.told[0][:2] == ("came out", change.labels.printed[0][0])


def test_print_that_changes_on_another_screen_disturbs_nobody(yard):
    """Only the replacement shows its label's print."""
    before = yard.state
    yard.desk.print_changed()
    assert yard.state == before


def test_scan_of_the_new_label_ends_its_print(change):
    """The print is over when the label was read."""
    prepare(change)
    number = change.labels.printed[0][0]
    change.scan(number)
    assert change.labels.told == [("read", number, "scanner")]


@pytest.mark.parametrize(("answer", "read_back"), [("use", True), ("again", False)])
def test_new_label_that_reads_badly_is_asked_about(change, answer, read_back):
    """A camera's poor grade offers a better print; the mechanic may use it all the same."""
    prepare(change)
    number = change.labels.printed[0][0]
    change.desk.scan(Scan(number, ScanSource.CAMERA, change.clock(), grade=1.2))
    assert "reads, but badly" in change.message.text and "1.2 of 4" in change.message.what_now
    assert not change.state.label.read_back
    change.screen.answer(answer)
    assert change.state.label.read_back is read_back
    assert change.labels.told[0][:2] == ("read" if read_back else "print", number)


def test_bad_print_goes_to_the_printer_again(change):
    """With a printer the same print goes back into its queue, by the mechanic's word."""
    prepare(change)
    number = change.labels.printed[0][0]
    change.labels.print_progress = PrintProgress("It should be out.")
    change.desk.scan(Scan(number, ScanSource.CAMERA, change.clock(), grade=0.5))
    change.screen.answer("again")
    assert change.labels.told[0][:2] == ("again", number)


def test_good_grade_is_an_ordinary_read_back(change):
    """Nothing is asked."""
    prepare(change)
    change.desk.scan(Scan(change.labels.printed[0][0], ScanSource.CAMERA, change.clock(), grade=3.4))
    assert change.state.label.read_back and change.message is None
