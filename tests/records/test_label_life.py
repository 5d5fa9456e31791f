"""What becomes of labels on record: replaced, swapped, found, seen, and their way through the printer."""

from __future__ import annotations

import pytest
from small_yard import at, event, label_issued, replacement

from kiosk.entities import LabelSighting, PrintState, ScanSource
from kiosk.errors import NotAllowed, NotFound, RecordError
from kiosk.events import (
    LabelFound,
    LabelPrintMoved,
    LabelPrintQueued,
    LabelReplaced,
    LabelSeen,
    LabelsSwapped,
)
from kiosk.records import YardRecords

LEFT, RIGHT = "bearing-left-1", "bearing-right-1"
LEFT_LABEL, RIGHT_LABEL, BLANK = "1000000001", "1000000002", "1000000003"


def queue(yard: YardRecords, number: str = LEFT_LABEL, days: float = 1.0) -> str:
    """Queue a label and return the print's id."""
    queued = event(LabelPrintQueued(number, ("Sweeper 1",), 1, "wearing"), days=days)
    yard.append(queued)
    return queued.id


def move(yard: YardRecords, print_id: str, *states: PrintState, by: str | None = None) -> None:
    """Move a print through states."""
    for state in states:
        yard.append(event(LabelPrintMoved(print_id, state, "note", 5), by, 2))


# --- replaced, swapped ---


def test_replaced_label__part_has_the_new_one_and_the_old_is_retired(yard: YardRecords) -> None:
    """The new number leads to the part; the old one says why it counts no more."""
    yard.append(event(LabelReplaced(LEFT, LEFT_LABEL, BLANK, "torn off"), "mechanic", 3))
    assert yard.component(LEFT).label == BLANK
    assert yard.label(BLANK).subject_id == LEFT
    old = yard.label(LEFT_LABEL)
    assert (old.subject_id, old.retired_reason, old.retired_at) == (LEFT, "torn off", at(3))


@pytest.mark.parametrize(("payload", "sentence"), [
    pytest.param(LabelReplaced(LEFT, RIGHT_LABEL, BLANK, "x"), "is not the one on this part", id="other-part's-label"),
    pytest.param(LabelReplaced(LEFT, LEFT_LABEL, RIGHT_LABEL, "x"), "is used already", id="label-in-use"),
    pytest.param(LabelReplaced(LEFT, LEFT_LABEL, LEFT_LABEL, "x"), "number of the old one", id="same"),
    pytest.param(LabelReplaced(LEFT, LEFT_LABEL, "1999999999", "x"), "never issued", id="never-issued"),
    pytest.param(LabelReplaced("nobody", LEFT_LABEL, BLANK, "x"), "not on record", id="no-such-part"),
    pytest.param(LabelReplaced(LEFT, LEFT_LABEL, BLANK, " "), "reason is missing", id="no-reason"),
    pytest.param(LabelsSwapped(LEFT, LEFT, "x"), "Two different parts", id="swap-with-itself"),
    pytest.param(LabelsSwapped(LEFT, "nobody", "x"), "not on record", id="swap-with-nobody"),
    pytest.param(LabelsSwapped(LEFT, RIGHT, ""), "reason is missing", id="swap-without-reason"),
    pytest.param(LabelFound("1999999999", "bay 2"), "never issued", id="found-foreign"),
    pytest.param(LabelFound(LEFT_LABEL, " "), "where the label was found", id="found-nowhere"),
    pytest.param(LabelSeen("1999999999", LabelSighting(at(), ScanSource.CAMERA)), "never issued", id="seen-foreign"),
    pytest.param(LabelSeen(LEFT_LABEL, LabelSighting(at(), ScanSource.CAMERA, tries=0)), "one try", id="no-tries"),
    pytest.param(LabelPrintQueued("1999999999", (), 1, "x"), "never issued", id="print-foreign"),
    pytest.param(LabelPrintQueued(LEFT_LABEL, (), 0, "x"), "copies", id="print-no-copies"),
    pytest.param(LabelPrintQueued(LEFT_LABEL, (), 1, ""), "reason is missing", id="print-without-reason"),
    pytest.param(LabelPrintMoved("nothing", PrintState.SENT), "Nothing was to be printed", id="move-nothing"),
])
def test_refusals__leave_everything_as_it_was(yard: YardRecords, payload, sentence: str) -> None:
    """What cannot be right is one sentence, and no label changes."""
    with pytest.raises(RecordError, match=sentence):
        yard.append(event(payload, "mechanic", 3))
    assert [yard.component(one).label for one in (LEFT, RIGHT)] == [LEFT_LABEL, RIGHT_LABEL]


def test_swapped_labels__each_part_has_the_other_number(yard: YardRecords) -> None:
    """Stuck on each other's part: the numbers follow what is on the machine."""
    yard.append(event(LabelsSwapped(LEFT, RIGHT, "stuck on the wrong ones"), "mechanic", 3))
    assert (yard.component(LEFT).label, yard.component(RIGHT).label) == (RIGHT_LABEL, LEFT_LABEL)
    assert (yard.label(LEFT_LABEL).subject_id, yard.label(RIGHT_LABEL).subject_id) == (RIGHT, LEFT)


def test_part_that_is_off__keeps_its_label(yard: YardRecords) -> None:
    """A retired part's label is neither replaced nor swapped."""
    yard.append(label_issued("1000000004", 4))
    yard.append(replacement(2))
    with pytest.raises(RecordError, match="was taken off"):
        yard.append(event(LabelReplaced(LEFT, LEFT_LABEL, "1000000004", "torn"), "mechanic", 3))


# --- found, seen ---


def test_found_label__says_when_and_where(yard: YardRecords) -> None:
    """The newest find is told; a label that was never loose has none."""
    yard.append(event(LabelFound(LEFT_LABEL, "bay 1"), "mechanic", 1))
    yard.append(event(LabelFound(LEFT_LABEL, "wash bay"), "mechanic", 2))
    assert yard.last_found(LEFT_LABEL) == (at(2), "wash bay")
    assert yard.last_found(RIGHT_LABEL) is None


def test_sightings__come_newest_first_and_since_an_instant(yard: YardRecords) -> None:
    """Quality of each read is kept with its number."""
    for day in (1, 2, 3):
        seen = LabelSighting(at(day), ScanSource.CAMERA, "averaged", day, 100.0 * day, 1.5)
        yard.append(event(LabelSeen(LEFT_LABEL, seen), None, day))
    assert [one.tries for one in yard.label_sightings(LEFT_LABEL)] == [3, 2, 1]
    assert [one.tries for one in yard.label_sightings(LEFT_LABEL, since=at(2))] == [3, 2]
    assert [one.tries for one in yard.label_sightings(LEFT_LABEL, limit=1)] == [3]
    assert yard.label_sightings(RIGHT_LABEL) == ()


# --- prints ---


def test_print__goes_its_way_and_is_over_when_read_back(yard: YardRecords) -> None:
    """Queued, sent, printed, read back: each state is on record with the printer's number and words."""
    print_id = queue(yard)
    assert [one.state for one in yard.open_label_prints()] == [PrintState.QUEUED]
    move(yard, print_id, PrintState.SENDING, PrintState.SENT, PrintState.PRINTED)
    printed = yard.label_print(print_id)
    assert (printed.state, printed.job, printed.note, printed.lines) == (PrintState.PRINTED, 5, "note", ("Sweeper 1",))
    move(yard, print_id, PrintState.READ_BACK)
    assert yard.open_label_prints() == ()
    assert yard.last_label_print(LEFT_LABEL).state is PrintState.READ_BACK


def test_prints__survive_a_restart_in_their_order(yard: YardRecords) -> None:
    """A kiosk that was switched off finds its queue as it was."""
    first, second = queue(yard, LEFT_LABEL, 1), queue(yard, RIGHT_LABEL, 2)
    move(yard, first, PrintState.SENDING)
    yard.close()
    again = YardRecords.open(yard.path, 7)
    assert [(one.id, one.state) for one in again.open_label_prints()] == [
        (first, PrintState.SENDING), (second, PrintState.QUEUED)]
    again.close()


def test_prints__of_another_kiosk_are_not_ours(yard: YardRecords) -> None:
    """Each kiosk sends what was asked for at it."""
    queue(yard)
    yard.close()
    other = YardRecords.open(yard.path, 8)
    assert other.open_label_prints() == ()
    other.close()


TWICE = {
    "uncertain": (PrintState.SENDING, PrintState.UNCERTAIN),
    "refused": (PrintState.SENDING, PrintState.REFUSED),
    "printed": (PrintState.SENDING, PrintState.SENT, PrintState.PRINTED),
}


@pytest.mark.parametrize("states", TWICE.values(), ids=TWICE)
def test_print__is_sent_again_only_by_a_person_s_word(yard: YardRecords, states: tuple[PrintState, ...]) -> None:
    """No label is printed twice without asking; a person's word puts it back, without the printer's old number."""
    print_id = queue(yard)
    move(yard, print_id, *states)
    with pytest.raises(NotAllowed, match="look first whether the label came out"):
        move(yard, print_id, PrintState.QUEUED)
    move(yard, print_id, PrintState.QUEUED, by="mechanic")
    assert (yard.label_print(print_id).state, yard.label_print(print_id).job) == (PrintState.QUEUED, None)


def test_print__nothing_sent__goes_back_by_itself(yard: YardRecords) -> None:
    """A printer that was off before anything was sent is tried again."""
    print_id = queue(yard)
    move(yard, print_id, PrintState.SENDING, PrintState.QUEUED)
    assert yard.label_print(print_id).state is PrintState.QUEUED


@pytest.mark.parametrize(("states", "then"), [
    ((), PrintState.SENT),
    ((), PrintState.READ_BACK),
    ((PrintState.SENDING,), PrintState.SENDING),
    ((PrintState.SENDING, PrintState.SENT), PrintState.SENDING),
    ((PrintState.SENDING, PrintState.SENT), PrintState.QUEUED),
    ((PrintState.SENDING, PrintState.SENT, PrintState.READ_BACK), PrintState.QUEUED),
    ((PrintState.CANCELLED,), PrintState.QUEUED),
])
def test_print__steps_that_cannot_be__are_refused(yard: YardRecords, states: tuple[PrintState, ...], then: PrintState
                                                  ) -> None:
    """Two kiosk programs on one database cannot both send a label: the second one's step is refused."""
    print_id = queue(yard)
    move(yard, print_id, *states)
    with pytest.raises(RecordError, match="cannot become"):
        move(yard, print_id, then, by="mechanic")


def test_retired_label__is_not_printed(yard: YardRecords) -> None:
    """A label that counts no more is not made again."""
    yard.append(replacement(2))
    with pytest.raises(RecordError, match="is retired"):
        queue(yard, LEFT_LABEL, 3)


@pytest.mark.parametrize("states", [(), (PrintState.SENDING,), (PrintState.SENDING, PrintState.UNCERTAIN)])
def test_label_that_waits__is_not_queued_again(yard: YardRecords, states: tuple[PrintState, ...]) -> None:
    """A second touch, or a second program, makes no second label."""
    move(yard, queue(yard), *states)
    with pytest.raises(RecordError, match="in the printer's queue already"):
        queue(yard, days=2.5)
    queue(yard, RIGHT_LABEL, 2.5)


def test_label_that_is_out__may_be_queued_again(yard: YardRecords) -> None:
    """Renewing a label a year later."""
    move(yard, queue(yard), PrintState.SENDING, PrintState.SENT, PrintState.PRINTED)
    queue(yard, days=400)
    assert yard.last_label_print(LEFT_LABEL).state is PrintState.QUEUED


def test_unknown_print__is_not_found(yard: YardRecords) -> None:
    """Asking for a print that never was."""
    with pytest.raises(NotFound):
        yard.label_print("nothing")
    assert yard.last_label_print(LEFT_LABEL) is None


# --- how labels read ---


def _seen(yard: YardRecords, number: str, day: float, how: str = "plain") -> None:
    yard.append(event(LabelSeen(number, LabelSighting(at(day), ScanSource.CAMERA, how)), None, day))


def test_sightings_of_a_unit__since_the_label_was_last_printed(yard: YardRecords) -> None:
    """What the old label did does not count against the new one; a print that is not out yet changes nothing."""
    for day in (1, 2):
        _seen(yard, LEFT_LABEL, day, "matched")
        _seen(yard, RIGHT_LABEL, day)
    print_id = queue(yard, LEFT_LABEL, 3)
    assert [len(seen) for seen in yard.label_sightings_of_unit("u1", at(0)).values()] == [2, 2]
    move(yard, print_id, PrintState.SENDING, PrintState.SENT, PrintState.PRINTED)
    _seen(yard, LEFT_LABEL, 4)
    found = yard.label_sightings_of_unit("u1", at(0))
    assert [one.how for one in found[LEFT]] == ["plain"] and len(found[RIGHT]) == 2
    assert yard.label_sightings_of_unit("u1", at(4.5)) == {}


def test_sightings_before_failures__of_renewed_and_replaced_labels(yard: YardRecords) -> None:
    """Only those that failed for the reasons asked for; the newest failure first, its last five reads."""
    for day in range(1, 8):
        _seen(yard, LEFT_LABEL, day, "matched")
    _seen(yard, RIGHT_LABEL, 1)
    yard.append(event(LabelPrintQueued(LEFT_LABEL, (), 1, "hard to read"), days=9))
    yard.append(event(LabelPrintQueued(RIGHT_LABEL, (), 1, "printed again"), days=9))
    yard.append(event(LabelReplaced(RIGHT, RIGHT_LABEL, BLANK, "torn or gone"), "mechanic", 10))
    failed = yard.sightings_before_failures(("hard to read", "torn or gone"))
    assert [[one.how for one in seen] for seen in failed] == [["plain"], ["matched"] * 5]
