"""The queue of labels before the printer, kept in the journal: it survives a restart, and nothing comes out twice.

A label is sent when the printer is ready and no other of ours is under way. What was sent is followed to its end. When
it cannot be known whether a label came out (the line broke, the printer or the kiosk was switched off in the middle,
the printer does not remember it), nothing is sent again: somebody is asked to look.
"""

from __future__ import annotations

import logging
from collections.abc import Sequence
from datetime import timedelta
from typing import Protocol

from kiosk.entities import LabelPrint, PrintState
from kiosk.errors import RecordError
from kiosk.events import Event, JournalEntry, LabelPrintMoved
from kiosk.language import N_, tr
from kiosk.presenters.label_words import in_words
from kiosk.presenters.ports import Clock, NewId
from labels.errors import LabelError, PrinterBusy, PrinterGone, PrintUncertain
from labels.layout import LabelStock, lay_out
from labels.page import Page, single
from labels.printer import JobState, PrinterStatus, PrintJob, describe

_log = logging.getLogger(__name__)
# A label that is being sent longer than this was left by a program that is gone.
SENDING_IS_STALE = timedelta(seconds=60)
STOPPED_IN_THE_MIDDLE = N_("The kiosk was switched off while this label was on its way to the printer.")
FORGOTTEN = N_("The printer does not remember this label.")
# A queue that lost sight of the printer calls the job completed with this reason; it proves nothing.
_LOST_SIGHT = "cups-ipp-missing-job-history"


class PrintDevice(Protocol):
    """What the queue asks of a printer (`labels.printer.Printer`)."""

    def status(self) -> PrinterStatus: ...
    def print_pages(self, pages: Sequence[Page], title: str, copies: int = 1) -> PrintJob: ...
    def job(self, number: int) -> PrintJob | None: ...
    def find_job(self, title: str) -> PrintJob | None: ...
    def cancel(self, number: int) -> None: ...


class PrintRecords(Protocol):
    """What the queue asks of the records."""

    def append(self, event: Event) -> JournalEntry: ...
    def open_label_prints(self) -> tuple[LabelPrint, ...]: ...
    def label_print(self, print_id: str) -> LabelPrint: ...
    def last_label_print(self, number: str) -> LabelPrint | None: ...


class PrintQueue:
    """This kiosk's labels on their way through its printer.

    Args:
        records: Where prints are kept. `printer`: where they go. `stock`: size and resolution of its labels.
    """

    def __init__(self, records: PrintRecords, printer: PrintDevice, stock: LabelStock, clock: Clock, new_id: NewId
                 ) -> None:
        self._records, self._printer, self._stock = records, printer, stock
        self._clock, self._new_id = clock, new_id
        self.trouble = ""
        self._trouble_now = ""

    # --- what people ask of it ---

    def print_again(self, print_id: str, person_id: str | None, reason: str) -> None:
        """Put a label back into the queue by a person's word.

        Raises:
            RecordError: nobody is named, or it is not a label that waits for a word.
        """
        self._move(print_id, PrintState.QUEUED, reason, person_id=person_id)

    def came_out(self, print_id: str, person_id: str | None) -> None:
        """Take a person's word that the label came out; it still has to be read back."""
        self._move(print_id, PrintState.PRINTED, "seen at the printer", person_id=person_id)

    def cancel(self, print_id: str, person_id: str | None, reason: str) -> None:
        """Take a label out of the queue, and out of the printer if it is there.

        Raises:
            LabelError: the printer is through with it, or does not answer.
        """
        wanted = self._records.label_print(print_id)
        if wanted.state is PrintState.SENT and wanted.job is not None:
            self._printer.cancel(wanted.job)
        self._move(print_id, PrintState.CANCELLED, reason, person_id=person_id)

    def sentence(self, number: str) -> str:
        """Return how the newest print of a number is, in plain words; '' if it was never sent here."""
        newest = self._records.last_label_print(number)
        return "" if newest is None else print_sentence(newest, self.trouble)

    # --- what it does by itself ---

    def step(self) -> bool:
        """Take the queue one step on; return whether anything changed, the printer's trouble included.

        Called again and again, by one worker. Printer's troubles become words, never errors.
        """
        before, self._trouble_now = self.trouble, ""
        prints = self._records.open_label_prints()
        try:
            moved = any([self._recover(one) or self._follow(one) for one in prints]) or self._send_next(prints)
        except LabelError as error:
            _log.info("printer: %s %s", error.operator_message, error.details)
            self._trouble_now, moved = error.operator_message, False
        self.trouble = self._trouble_now
        return moved or self.trouble != before

    def _recover(self, one: LabelPrint) -> bool:
        """Find out about a label that was being sent when the kiosk went off."""
        if one.state is not PrintState.SENDING or self._clock() - one.moved_at < SENDING_IS_STALE:
            return False
        job = self._printer.find_job(one.note)
        if job is None:
            return self._step_to(one, PrintState.UNCERTAIN, STOPPED_IN_THE_MIDDLE)
        return self._step_to(one, PrintState.SENT, one.note, job.number)

    def _follow(self, one: LabelPrint) -> bool:
        """Ask the printer about a label that it has."""
        if one.state is not PrintState.SENT or one.job is None:
            return False
        job = self._printer.job(one.job)
        if job is None or job.title != one.note:  # switched off and on again it counts from 1
            job = self._printer.find_job(one.note)
        if job is None or _LOST_SIGHT in job.reasons:
            return self._step_to(one, PrintState.UNCERTAIN, FORGOTTEN)
        if job.state is JobState.COMPLETED:
            return self._step_to(one, PrintState.PRINTED, describe(job))
        if job.state.is_over:
            return self._step_to(one, PrintState.REFUSED, describe(job))
        self._trouble_now = " ".join(self._printer.status().sentences)
        return False

    def _send_next(self, prints: Sequence[LabelPrint]) -> bool:
        """Send the label that waits longest, unless one of ours is under way or the printer is not ready."""
        if any(one.state in (PrintState.SENDING, PrintState.SENT) for one in prints):
            return False
        waiting = next((one for one in prints if one.state is PrintState.QUEUED), None)
        if waiting is None:
            return False
        status = self._printer.status()
        if not status.is_ready:
            self._trouble_now = " ".join(status.sentences)
            return False
        return self._send(waiting)

    def _send(self, one: LabelPrint) -> bool:
        title = f"label {one.number} {self._new_id()}"
        if not self._step_to(one, PrintState.SENDING, title):
            return False
        try:
            page = single(lay_out(one.number, one.lines, self._stock))
            job = self._printer.print_pages([page], title, one.copies)
        except (PrinterGone, PrinterBusy) as error:
            self._trouble_now = error.operator_message
            return self._step_to(one, PrintState.QUEUED, error.operator_message)
        except PrintUncertain as error:
            return self._step_to(one, PrintState.UNCERTAIN, error.operator_message)
        except LabelError as error:
            return self._step_to(one, PrintState.REFUSED, error.operator_message)
        return self._step_to(one, PrintState.SENT, title, job.number)

    def _step_to(self, one: LabelPrint, state: PrintState, note: str, job: int | None = None) -> bool:
        """Move a print; False when another program on the same records was quicker."""
        try:
            self._move(one.id, state, note, job)
        except RecordError as error:
            if self._records.label_print(one.id).state is one.state:
                raise
            _log.info("print %s was moved by another program: %s", one.id, error.operator_message)
            return False
        return True

    def _move(self, print_id: str, state: PrintState, note: str, job: int | None = None, person_id: str | None = None
              ) -> None:
        payload = LabelPrintMoved(print_id, state, note, job)
        self._records.append(Event(self._new_id(), self._clock(), person_id, payload))


_WORDS = {
    PrintState.QUEUED: N_("It waits for the printer."),
    PrintState.SENDING: N_("It is on its way to the printer."),
    PrintState.SENT: N_("It is at the printer."),
    PrintState.PRINTED: N_("It should be out. Scan it: only a label that reads may go on the part."),
    PrintState.READ_BACK: N_("It was printed and read back."),
    PrintState.CANCELLED: N_("Its printing was cancelled."),
}


def print_sentence(one: LabelPrint, trouble: str = "") -> str:
    """Return how a print is, with the printer's trouble while it waits."""
    if one.state is PrintState.UNCERTAIN:
        return tr("{note} Look whether the label came out.").format(note=in_words(one.note))
    if one.state is PrintState.REFUSED:
        return tr("{note} It was not printed.").format(note=in_words(one.note))
    waits = one.state in (PrintState.QUEUED, PrintState.SENT)
    return f"{tr(_WORDS[one.state])} {in_words(trouble)}".strip() if waits else tr(_WORDS[one.state])
