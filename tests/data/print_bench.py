"""A printer that does as it is told, real records with the small yard, and a queue between them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from datetime import UTC, datetime, timedelta
from pathlib import Path

from small_yard import event, yard_events

from kiosk.entities import Label, LabelKind, LabelPrint
from kiosk.events import Event, LabelIssued, LabelPrintQueued
from kiosk.print_queue import PrintQueue
from kiosk.records import YardRecords
from kiosk.records.ids import new_id
from labels.errors import LabelError
from labels.layout import LabelStock
from labels.number import Kind, compose
from labels.page import Page
from labels.printer import JobState, PrinterStatus, PrintJob

NUMBERS = [compose(Kind.COMPONENT, 7, serial).digits for serial in range(1, 6)]
READY = PrinterStatus(False, True, (), "", frozenset({"application/pdf"}), frozenset(), frozenset(), 1)


@dataclass
class FakePrinter:
    """Keeps its jobs; `fault` is raised by everything, `print_fault` by printing alone."""

    ready: PrinterStatus = READY
    fault: LabelError | None = None
    print_fault: LabelError | None = None
    keeps_job_despite_fault: bool = False
    jobs: dict[int, PrintJob] = field(default_factory=dict)
    next_state: JobState = JobState.COMPLETED

    def status(self) -> PrinterStatus:
        self._fail(self.fault)
        return self.ready

    def print_pages(self, pages: Sequence[Page], title: str, copies: int = 1) -> PrintJob:
        self._fail(self.fault)
        if self.print_fault is None or self.keeps_job_despite_fault:
            number = len(self.jobs) + 1
            self.jobs[number] = PrintJob(number, title, self.next_state)
        self._fail(self.print_fault)
        return self.jobs[len(self.jobs)]

    def job(self, number: int) -> PrintJob | None:
        self._fail(self.fault)
        return self.jobs.get(number)

    def find_job(self, title: str) -> PrintJob | None:
        self._fail(self.fault)
        return next((job for job in self.jobs.values() if job.title == title), None)

    def cancel(self, number: int) -> None:
        self._fail(self.fault)
        self.jobs[number] = replace(self.jobs[number], state=JobState.CANCELLED)

    def set_state(self, state: JobState, *reasons: str) -> None:
        """Bring the newest job to a state."""
        self.jobs[len(self.jobs)] = replace(self.jobs[len(self.jobs)], state=state, reasons=reasons)

    @staticmethod
    def _fail(fault: LabelError | None) -> None:
        if fault is not None:
            raise fault


@dataclass
class Bench:
    """Records, a printer and the queue between them, with a clock that is moved by hand."""

    path: Path
    records: YardRecords
    printer: FakePrinter
    now: datetime = datetime(2026, 5, 4, 6, 0, tzinfo=UTC)

    def __post_init__(self) -> None:
        self.queue = self.new_queue()

    def new_queue(self) -> PrintQueue:
        """Return a queue as a kiosk just started has it."""
        return PrintQueue(self.records, self.printer, LabelStock(), self.clock, new_id)

    def clock(self) -> datetime:
        self.now += timedelta(milliseconds=1)
        return self.now

    def put(self, number: str = NUMBERS[0]) -> str:
        """Queue a label and return the print's id."""
        lines = ("Sweeper 1", "upper shaft bearing, left")
        queued = Event(new_id(), self.clock(), None, LabelPrintQueued(number, lines, 1, "wearing"))
        self.records.append(queued)
        return queued.id

    def state(self, print_id: str) -> LabelPrint:
        """Return how a print is."""
        return self.records.label_print(print_id)

    def restart(self) -> None:
        """Switch the kiosk off and on."""
        self.records.close()
        self.records = YardRecords.open(self.path, 7)
        self.queue = self.new_queue()


def bench_in(folder: Path) -> Bench:
    """Return a bench with the small yard and five labels issued."""
    records = YardRecords.open(folder / "yard.db", 7)
    records.append_all([*yard_events(), *(
        event(LabelIssued(Label(number, LabelKind.COMPONENT, None, datetime(2026, 3, 1, tzinfo=UTC)), 100 + place))
        for place, number in enumerate(NUMBERS))])
    return Bench(folder / "yard.db", records, FakePrinter())
