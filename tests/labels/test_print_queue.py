"""Printing through a real CUPS on loopback: its queue in front of a printer program, and its raster label driver."""

import os
import re
import subprocess
import time
from collections.abc import Iterator
from pathlib import Path

import numpy as np
import pytest
from label_checks import edges_in_picture, edges_of_layout, unpacked_raster
from printer_programs import NEEDED, QUEUE_NEEDED, LabelPrinterProgram, PrintQueue, missing, wait_until
from pyzbar.pyzbar import ZBarSymbol, decode

from labels.errors import PrinterGone, PrinterRefused
from labels.layout import LabelLayout, lay_out
from labels.number import Kind, compose
from labels.page import single
from labels.pdf import picture_of, write_labels
from labels.printer import JobState, Printer, PrintJob, describe
from labels.stock import PRESETS, RESOLUTIONS, stock_named

NUMBER = compose(Kind.COMPONENT, kiosk=1, serial=78).digits
LAYOUT = lay_out(NUMBER, ["Upper shaft bearing, left"])
PAGE = single(LAYOUT)
DRIVER = Path(__file__).parents[1] / "data" / "label_driver.ppd"
ALL_NEEDED = (*NEEDED, *QUEUE_NEEDED)
pytestmark = [pytest.mark.slow,
              pytest.mark.skipif(bool(missing(ALL_NEEDED)), reason=f"not installed: {missing(ALL_NEEDED)}")]


def rows_of_driver(stream: bytes, width: int, height: int) -> np.ndarray:
    """Return the picture in the label driver's output: commands 'GW x,y,bytes,rows' with inverted dots after them."""
    dots = np.full((height, ((width + 7) // 8) * 8), 255, np.uint8)
    at = 0
    while command := re.compile(rb"GW(\d+),(\d+),(\d+),(\d+)\n").search(stream, at):
        x, y, line_bytes, rows = map(int, command.groups())
        raw = np.frombuffer(stream, np.uint8, line_bytes * rows, command.end()).reshape(rows, line_bytes)
        dots[y : y + rows, x : x + line_bytes * 8] = np.unpackbits(raw, axis=1) * 255
        at = command.end() + line_bytes * rows
    return dots[:, :width]


def driver_for(layout: LabelLayout, folder: Path) -> Path:
    """Return the label driver's description with this label's size and resolution."""
    stock = layout.stock
    size_pt = [dots * 72 / stock.dots_per_inch for dots in (stock.width_dots, stock.height_dots)]
    text = DRIVER.read_text().replace("144.27 70.57", f"{size_pt[0]:.2f} {size_pt[1]:.2f}")
    target = folder / "label.ppd"
    target.write_text(text.replace("203", str(stock.dots_per_inch)))
    return target


def driver_picture(path: Path, layout: LabelLayout) -> np.ndarray:
    """Return a label's PDF as the raster label driver prints it."""
    command = ["cupsfilter", "-e", "-p", str(driver_for(layout, path.parent)), "-m", "printer/foo", str(path)]
    made = subprocess.run(command, check=True, capture_output=True,
                          env={**os.environ, "PATH": os.environ["PATH"] + ":/usr/sbin"}).stdout
    return rows_of_driver(made, layout.stock.width_dots, layout.stock.height_dots)


@pytest.mark.parametrize("dots_per_inch", RESOLUTIONS)
@pytest.mark.parametrize("name", PRESETS)
@pytest.mark.parametrize("serial", [5, 6])
def test_every_bar_is_whole_dots_out_of_the_label_driver(tmp_path: Path, serial: int, name: str, dots_per_inch: int
                                                         ) -> None:
    """PDF through Ghostscript and CUPS' raster label driver to the printer's own rows of dots: exact, and it reads."""
    number = compose(Kind.COMPONENT, kiosk=3, serial=serial).digits
    stock = stock_named(name, dots_per_inch)
    layout = lay_out(number, ["Upper shaft bearing, left", "Sweeper 7"], stock, this_way_up=True)
    write_labels([layout], tmp_path / "label.pdf")
    picture = driver_picture(tmp_path / "label.pdf", layout)
    assert edges_in_picture(picture, layout) == edges_of_layout(layout)
    assert [found.data.decode() for found in decode(picture, symbols=[ZBarSymbol.CODE128])] == [number]


@pytest.fixture
def queue(tmp_path: Path) -> Iterator[PrintQueue]:
    """A print queue server without queues."""
    started = PrintQueue(tmp_path / "queue")
    started.start()
    yield started
    started.stop()


@pytest.fixture
def program(tmp_path: Path) -> Iterator[LabelPrinterProgram]:
    """A printer behind the queue."""
    started = LabelPrinterProgram(tmp_path / "printer")
    started.start()
    yield started
    started.stop()


def queue_before(queue: PrintQueue, program: LabelPrinterProgram, timeout_s: int = 4) -> Printer:
    """Return the queue 'label' in front of the printer program."""
    queue.add("label", "-v", f"{program.address}?contimeout={timeout_s}", "-m", "everywhere")
    return Printer(queue.address("label"))


def waited_for(printer: Printer, job: PrintJob, seconds: float = 20.0) -> PrintJob:
    """Return the job when the queue is through with it."""
    wait_until(lambda: printer.job(job.number).state.is_over, seconds)
    return printer.job(job.number)


def test_label_through_the_queue_comes_out_and_reads(queue: PrintQueue, program: LabelPrinterProgram) -> None:
    """A job sent to the queue comes out of the printer at the label's size, with every bar on its dots."""
    printer = queue_before(queue, program)
    assert waited_for(printer, printer.print_pages([PAGE], "label")).state is JobState.COMPLETED
    (came_out,) = program.came_out()
    picture = printed_picture(came_out)
    assert picture.shape == (PAGE.height_dots, PAGE.width_dots)
    assert edges_in_picture(picture, LAYOUT) == edges_of_layout(LAYOUT)
    assert [found.data.decode() for found in decode(picture, symbols=[ZBarSymbol.CODE128])] == [NUMBER]


def printed_picture(path: Path) -> np.ndarray:
    """Return what came out as a picture, whatever kind of document the queue sent."""
    if path.suffix == ".pdf":
        return picture_of(path, dots_per_inch=203)
    return np.where(unpacked_raster(path.read_bytes()), 0, 255).astype(np.uint8)


def test_paused_queue_is_said_and_goes_on(queue: PrintQueue, program: LabelPrinterProgram) -> None:
    """A paused queue keeps the label, says so, and prints it once when it is started again."""
    printer = queue_before(queue, program)
    queue.run("cupsdisable", "label")
    assert printer.status().is_stopped and not printer.status().is_ready
    assert printer.status().sentences[0].startswith("The printer is paused")
    job = printer.print_pages([PAGE], "label")
    time.sleep(0.3)
    assert not printer.job(job.number).state.is_over and program.came_out() == []
    queue.run("cupsenable", "label")
    waited_for(printer, job)
    assert len(program.came_out()) == 1


def test_queue_that_takes_no_jobs_is_a_sentence(queue: PrintQueue, program: LabelPrinterProgram) -> None:
    """A queue that rejects jobs is a refusal in words."""
    printer = queue_before(queue, program)
    queue.run("cupsreject", "label")
    with pytest.raises(PrinterRefused, match="takes no jobs now"):
        printer.print_pages([PAGE], "label")


def test_unknown_queue_is_a_sentence(queue: PrintQueue) -> None:
    """A slip in the queue's name."""
    with pytest.raises(PrinterRefused, match="no such printer"):
        Printer(queue.address("nobody")).print_pages([PAGE], "label")


def test_waiting_label_can_be_cancelled(queue: PrintQueue, program: LabelPrinterProgram) -> None:
    """A label that waits in a paused queue is cancelled and never comes out."""
    printer = queue_before(queue, program)
    queue.run("cupsdisable", "label")
    job = printer.print_pages([PAGE], "label")
    printer.cancel(job.number)
    assert printer.job(job.number).state is JobState.CANCELLED
    queue.run("cupsenable", "label")
    time.sleep(0.5)
    assert program.came_out() == []


def test_printer_off_behind_the_queue_is_said(queue: PrintQueue, program: LabelPrinterProgram) -> None:
    """The queue takes the label though the printer is off; it is not called printed, and the fault is in words."""
    printer = queue_before(queue, program, timeout_s=2)
    program.stop()
    job = printer.print_pages([PAGE], "label")
    wait_until(lambda: printer.status().sentences, 15)
    assert printer.status().sentences == ["The printer does not answer. Is it switched on and its cable plugged in?"]
    assert not printer.status().is_ready
    assert printer.job(job.number).state is not JobState.COMPLETED
    assert "does not answer" in describe(printer.job(job.number))


def test_queue_killed_is_gone_and_its_job_is_found_again(queue: PrintQueue, program: LabelPrinterProgram) -> None:
    """A killed queue says nothing; started again it is asked by the job's name, so that nothing is sent twice."""
    printer = queue_before(queue, program)
    queue.run("cupsdisable", "label")
    printer.print_pages([PAGE], "label 42")
    time.sleep(0.3)
    queue.stop()
    with pytest.raises(PrinterGone):
        printer.status()
    queue.start()
    found = printer.find_job("label 42")
    assert found is not None and not found.state.is_over
    assert printer.find_job("label 43") is None
    assert program.came_out() == []
