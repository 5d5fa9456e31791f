"""The print queue's every way: nothing lost, nothing twice, and the printer's trouble in words."""

from __future__ import annotations

from dataclasses import replace

import pytest
from print_bench import NUMBERS, READY

from kiosk.entities import PrintState
from kiosk.errors import NotAllowed, RecordError
from kiosk.print_queue import print_sentence
from labels.errors import PrinterBusy, PrinterGone, PrinterRefused, PrintUncertain
from labels.printer import JobState

GONE = PrinterGone("The printer at bench does not answer.")


def test_label_is_sent_and_followed_to_its_end(bench) -> None:
    """Two steps, sent and printed; then it waits to be read."""
    print_id = bench.put()
    assert bench.queue.step() and bench.state(print_id).state is PrintState.SENT
    assert bench.queue.step() and bench.state(print_id).state is PrintState.PRINTED
    assert not bench.queue.step() and len(bench.printer.jobs) == 1


def test_labels_go_one_after_the_other_in_their_order(bench) -> None:
    """The second label waits until the first is out."""
    bench.printer.next_state = JobState.PROCESSING
    bench.put(NUMBERS[0]), bench.put(NUMBERS[1])
    bench.queue.step(), bench.queue.step()
    assert [job.title.split()[1] for job in bench.printer.jobs.values()] == [NUMBERS[0]]
    bench.printer.set_state(JobState.COMPLETED)
    bench.queue.step(), bench.queue.step()
    assert [job.title.split()[1] for job in bench.printer.jobs.values()] == [NUMBERS[0], NUMBERS[1]]


def test_printer_that_is_off_keeps_the_label_and_says_so(bench) -> None:
    """Nothing is written while it is off; it is sent by itself when the printer is back."""
    print_id = bench.put()
    bench.printer.fault = GONE
    entries = sum(1 for _ in bench.records.entries())
    assert bench.queue.step() and not bench.queue.step()
    assert bench.queue.sentence(NUMBERS[0]) == "It waits for the printer. The printer at bench does not answer."
    assert sum(1 for _ in bench.records.entries()) == entries
    bench.printer.fault = None
    bench.queue.step()
    assert bench.state(print_id).state is PrintState.SENT and bench.queue.trouble == ""


def test_printer_out_of_labels_is_not_sent_anything(bench) -> None:
    """The words stand while the label waits."""
    bench.put()
    bench.printer.ready = replace(READY, reasons=("media-empty-warning",))
    bench.queue.step()
    assert bench.printer.jobs == {}
    assert bench.queue.trouble == "The printer is out of labels. Put in a new roll."


@pytest.mark.parametrize("fault", [GONE, PrinterBusy("The printer is busy.")], ids=["gone", "busy"])
def test_nothing_was_sent__tried_again_by_itself(bench, fault) -> None:
    """A printer that goes off or is busy just before the label is sent gets it later, once."""
    print_id = bench.put()
    bench.printer.print_fault = fault
    bench.queue.step()
    assert bench.state(print_id).state is PrintState.QUEUED
    bench.printer.print_fault = None
    bench.queue.step(), bench.queue.step()
    assert bench.state(print_id).state is PrintState.PRINTED and len(bench.printer.jobs) == 1


@pytest.mark.parametrize("keeps", [True, False], ids=["came-out", "did-not"])
def test_line_breaks_while_it_is_sent__somebody_must_look(bench, keeps: bool) -> None:
    """Whether it came out or not, nothing is sent again by itself."""
    print_id = bench.put()
    bench.printer.print_fault, bench.printer.keeps_job_despite_fault = PrintUncertain("The line broke."), keeps
    for _ in range(5):
        bench.queue.step()
    assert bench.state(print_id).state is PrintState.UNCERTAIN
    assert bench.queue.sentence(NUMBERS[0]) == "The line broke. Look whether the label came out."
    assert len(bench.printer.jobs) == int(keeps)


def test_uncertain_label_is_sent_again_by_a_person_s_word_only(bench) -> None:
    """Nobody named: refused. By a mechanic: sent once more."""
    print_id = bench.put()
    bench.printer.print_fault = PrintUncertain("The line broke.")
    bench.queue.step()
    bench.printer.print_fault = None
    with pytest.raises(NotAllowed, match="look first"):
        bench.queue.print_again(print_id, None, "not out")
    bench.queue.print_again(print_id, "mechanic", "not out")
    bench.queue.step(), bench.queue.step()
    assert bench.state(print_id).state is PrintState.PRINTED and len(bench.printer.jobs) == 1


def test_uncertain_label_that_came_out_is_not_sent_again(bench) -> None:
    """A person who saw it says so; it still has to be read."""
    print_id = bench.put()
    bench.printer.print_fault = PrintUncertain("The line broke.")
    bench.queue.step()
    bench.printer.print_fault = None
    bench.queue.came_out(print_id, "mechanic")
    bench.queue.step()
    assert bench.state(print_id).state is PrintState.PRINTED and bench.printer.jobs == {}


def test_refused_label_says_why_and_waits_for_a_word(bench) -> None:
    """Another roll in the printer: the label is not tried over and over."""
    print_id = bench.put()
    bench.printer.print_fault = PrinterRefused("The printer cannot print labels of this size.")
    bench.queue.step(), bench.queue.step()
    assert bench.state(print_id).state is PrintState.REFUSED
    assert bench.queue.sentence(NUMBERS[0]).endswith("of this size. It was not printed.")


@pytest.mark.parametrize("state", [JobState.ABORTED, JobState.CANCELLED])
def test_job_that_the_printer_gave_up_waits_for_a_word(bench, state: JobState) -> None:
    """A half-printed label may hang in the printer: somebody must look."""
    print_id = bench.put()
    bench.printer.next_state = state
    bench.queue.step(), bench.queue.step(), bench.queue.step()
    assert bench.state(print_id).state is PrintState.REFUSED and len(bench.printer.jobs) == 1


def test_printer_forgot_the_job__somebody_must_look(bench) -> None:
    """Switched off in the middle, it knows nothing; it is not called printed and not sent again."""
    print_id = bench.put()
    bench.printer.next_state = JobState.PROCESSING
    bench.queue.step()
    bench.printer.jobs.clear()
    bench.queue.step(), bench.queue.step()
    assert bench.state(print_id).state is PrintState.UNCERTAIN and bench.printer.jobs == {}


def test_completed_without_history_is_no_proof(bench) -> None:
    """A queue that lost sight of the printer calls the job completed; somebody is asked."""
    print_id = bench.put()
    bench.queue.step()
    bench.printer.set_state(JobState.COMPLETED, "cups-ipp-missing-job-history")
    bench.queue.step()
    assert bench.state(print_id).state is PrintState.UNCERTAIN


def test_other_job_with_our_number_is_not_ours(bench) -> None:
    """A printer that counts from 1 again has a stranger's job under our number."""
    print_id = bench.put()
    bench.printer.next_state = JobState.PROCESSING
    bench.queue.step()
    bench.printer.jobs[1] = replace(bench.printer.jobs[1], title="somebody else's", state=JobState.COMPLETED)
    bench.queue.step()
    assert bench.state(print_id).state is PrintState.UNCERTAIN


# --- restarts ---


def test_restart__before_it_was_sent__it_is_sent_once(bench) -> None:
    """The queue is in the journal."""
    print_id = bench.put()
    bench.restart()
    bench.queue.step(), bench.queue.step()
    assert bench.state(print_id).state is PrintState.PRINTED and len(bench.printer.jobs) == 1


@pytest.mark.parametrize(("keeps", "then"), [(True, PrintState.PRINTED), (False, PrintState.UNCERTAIN)])
def test_restart__killed_while_it_was_sent(bench, monkeypatch, keeps: bool, then: PrintState) -> None:
    """The printer is asked for the job by name: known, it is followed; unknown, somebody must look."""
    print_id = bench.put()
    if keeps:
        original = bench.printer.print_pages
        def dies(*arguments):
            original(*arguments)
            raise KeyboardInterrupt
    else:
        def dies(*_arguments):
            raise KeyboardInterrupt
    monkeypatch.setattr(bench.printer, "print_pages", dies)
    with pytest.raises(KeyboardInterrupt):
        bench.queue.step()
    monkeypatch.undo()
    bench.restart()
    assert not bench.queue.step() and bench.state(print_id).state is PrintState.SENDING
    bench.now = bench.now.replace(hour=7)
    bench.queue.step(), bench.queue.step()
    assert bench.state(print_id).state is then and len(bench.printer.jobs) == int(keeps)


def test_restart__while_the_printer_has_it__it_is_followed(bench) -> None:
    """A label that was sent before the kiosk went off is not sent again."""
    print_id = bench.put()
    bench.printer.next_state = JobState.PROCESSING
    bench.queue.step()
    bench.restart()
    bench.printer.set_state(JobState.COMPLETED)
    bench.queue.step()
    assert bench.state(print_id).state is PrintState.PRINTED and len(bench.printer.jobs) == 1


def test_two_programs_on_the_same_records_send_a_label_once(bench) -> None:
    """The command line and the window both take the queue on: one of them is quicker, the other goes on."""
    print_id = bench.put()
    other = bench.new_queue()
    prints = bench.records.open_label_prints()
    assert bench.queue._send_next(prints) and not other._send_next(prints)
    assert bench.state(print_id).state is PrintState.SENT and len(bench.printer.jobs) == 1


# --- cancelling, reading ---


def test_waiting_label_is_cancelled(bench) -> None:
    """It is never sent."""
    print_id = bench.put()
    bench.queue.cancel(print_id, "mechanic", "not needed")
    bench.queue.step()
    assert bench.state(print_id).state is PrintState.CANCELLED and bench.printer.jobs == {}


def test_sent_label_is_cancelled_at_the_printer_too(bench) -> None:
    """The printer is told."""
    print_id = bench.put()
    bench.printer.next_state = JobState.PROCESSING
    bench.queue.step()
    bench.queue.cancel(print_id, None, "not needed")
    assert bench.printer.jobs[1].state is JobState.CANCELLED
    assert bench.state(print_id).state is PrintState.CANCELLED


def test_printer_that_cannot_cancel_leaves_the_label_as_it_is(bench) -> None:
    """The line to the printer is down: nothing is called cancelled that may come out."""
    print_id = bench.put()
    bench.printer.next_state = JobState.PROCESSING
    bench.queue.step()
    bench.printer.fault = GONE
    with pytest.raises(PrinterGone):
        bench.queue.cancel(print_id, None, "not needed")
    assert bench.state(print_id).state is PrintState.SENT


def test_unknown_print_cannot_be_cancelled(bench) -> None:
    """A slip in the print's name."""
    with pytest.raises(RecordError, match="not on record"):
        bench.queue.cancel("nothing", None, "x")


@pytest.mark.parametrize("state", PrintState)
def test_every_state_has_words(bench, state: PrintState) -> None:
    """No state is shown as a keyword."""
    one = replace(bench.state(bench.put()), state=state, note="A reason.")
    sentence = print_sentence(one, "Out of labels.")
    assert sentence[0].isupper() and sentence.endswith(".")
