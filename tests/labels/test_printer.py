"""Printing on a real IPP printer program on loopback, with faults made on purpose, read back from what came out."""

import http.server
import threading
import time
from collections.abc import Iterator
from pathlib import Path

import cv2
import numpy as np
import pytest
from printer_programs import NEEDED, LabelPrinterProgram, free_port, missing, wait_until
from pyzbar.pyzbar import ZBarSymbol, decode

from labels.__main__ import main
from labels.errors import PrinterBusy, PrinterGone, PrinterRefused, PrintUncertain
from labels.ipp import BadAnswer
from labels.layout import LabelStock, lay_out
from labels.number import Kind, compose
from labels.page import single
from labels.pdf import picture_of
from labels.printer import JobState, Printer, describe
from labels.printer_address import NotAPrinterAddress
from labels.raster import dots_of, pwg_raster

NUMBER = compose(Kind.COMPONENT, kiosk=1, serial=77).digits
PAGE = single(lay_out(NUMBER, ["Upper shaft bearing, left"]))
pytestmark = pytest.mark.slow


@pytest.fixture
def program(tmp_path: Path) -> Iterator[LabelPrinterProgram]:
    """A printer that is switched on and has labels."""
    if missing(NEEDED):
        pytest.skip(f"not installed: {missing(NEEDED)}")
    started = LabelPrinterProgram(tmp_path / "printer")
    started.start()
    yield started
    started.stop()


def printed(printer: Printer, title: str = "label", **options) -> int:
    """Print the page and wait until the printer is through with it; return the job's number."""
    number = printer.print_pages([PAGE], title, **options).number
    wait_until(lambda: printer.job(number).state.is_over)
    return number


def test_printed_label_is_the_drawn_dots_and_reads(program: LabelPrinterProgram) -> None:
    """What came out of the printer is byte for byte the raster that was set on dots, and it reads."""
    printer = Printer(program.address)
    assert printer.job(printed(printer)).state is JobState.COMPLETED
    (came_out,) = program.came_out()
    assert came_out.read_bytes() == pwg_raster([PAGE])
    picture = np.where(dots_of(PAGE), 0, 255).astype(np.uint8)
    assert [found.data.decode() for found in decode(picture, symbols=[ZBarSymbol.CODE128])] == [NUMBER]


def test_printer_without_black_raster_gets_pdf(tmp_path: Path) -> None:
    """A printer that does not vouch for black dots at the label's resolution gets PDF, which reads."""
    if missing(NEEDED):
        pytest.skip(f"not installed: {missing(NEEDED)}")
    program = LabelPrinterProgram(tmp_path / "printer", takes_raster=False)
    program.start()
    try:
        printed(Printer(program.address))
        picture = picture_of(program.came_out()[0], dots_per_inch=203)
    finally:
        program.stop()
    assert [found.data.decode() for found in decode(picture, symbols=[ZBarSymbol.CODE128])] == [NUMBER]


def test_copies_are_asked_for(program: LabelPrinterProgram) -> None:
    """Three copies are one job with three copies."""
    printed(Printer(program.address), copies=3)
    assert [path.stem.rsplit("-", 1)[1] for path in program.came_out()] == ["3"]


def test_job_is_found_again_by_its_name(program: LabelPrinterProgram) -> None:
    """After a restart of the kiosk a label's job is known by its name, not by a number that begins again."""
    printer = Printer(program.address)
    number = printed(printer, "label 42")
    assert printer.find_job("label 42") == printer.job(number)
    assert printer.find_job("label 43") is None
    assert printer.job(9999) is None


def test_out_of_labels_is_said_while_it_lasts(program: LabelPrinterProgram) -> None:
    """The printer's fault is in words while the job waits, gone when the roll is in, and the label comes out."""
    go = program.folder / "go"
    program.behave(f"echo 'STATE: +media-empty' >&2\nwhile [ ! -e {go} ]; do sleep 0.05; done\n"
                   "echo 'STATE: -media-empty' >&2\n")
    printer = Printer(program.address)
    job = printer.print_pages([PAGE], "label")
    wait_until(lambda: printer.status().reasons)
    assert printer.status().sentences == ["The printer is out of labels. Put in a new roll."]
    assert not printer.status().is_ready and program.came_out() == []
    go.touch()
    wait_until(lambda: printer.job(job.number).state.is_over)
    assert printer.status().sentences == [] and len(program.came_out()) == 1


def test_jam_and_open_cover_are_said(program: LabelPrinterProgram) -> None:
    """Two faults at once are told one after the other."""
    program.behave("echo 'STATE: +media-jam,cover-open' >&2\nsleep 1\n")
    printer = Printer(program.address)
    printer.print_pages([PAGE], "label")
    wait_until(lambda: len(printer.status().reasons) == 2)
    assert printer.status().sentences == ["Labels are jammed in the printer. Open it and clear the way.",
                                          "The printer's cover is open. Close it."]


def test_busy_printer_is_said_and_nothing_is_lost(program: LabelPrinterProgram) -> None:
    """A second label while the first is printed is refused for now; sent again it comes out, once each."""
    program.behave("sleep 0.8\n")
    printer = Printer(program.address)
    first = printer.print_pages([PAGE], "one").number
    with pytest.raises(PrinterBusy, match="busy with another label"):
        printer.print_pages([PAGE], "two")
    wait_until(lambda: printer.job(first).state.is_over)
    printed(printer, "two")
    assert len(program.came_out()) == 2


def test_slow_printer_is_waited_for_without_a_second_label(program: LabelPrinterProgram) -> None:
    """While a slow printer works its job says so."""
    program.behave("sleep 1.5\n")
    printer = Printer(program.address)
    job = printer.print_pages([PAGE], "label")
    time.sleep(0.3)
    assert describe(printer.job(job.number)) == "The label is being printed."
    wait_until(lambda: printer.job(job.number).state.is_over)
    assert len(program.came_out()) == 1


def test_labels_of_another_size_are_refused_before_anything_is_sent(program: LabelPrinterProgram) -> None:
    """A printer with another roll is not given a label that it would shrink or cut."""
    large = single(lay_out(NUMBER, stock=LabelStock(70, 30)))
    with pytest.raises(PrinterRefused, match="cannot print labels of this size"):
        Printer(program.address).print_pages([large], "label")
    assert list((program.folder / "spool").iterdir()) == []


def test_aborted_job_is_said(program: LabelPrinterProgram) -> None:
    """A printer that gives up on a label says so."""
    program.behave("exit 1\n")
    printer = Printer(program.address)
    job = printer.job(printed(printer))
    assert job.state is JobState.ABORTED and describe(job).startswith("The printer gave up on the label.")


def test_job_can_be_cancelled_while_it_is_printed(program: LabelPrinterProgram) -> None:
    """The printer calls it cancelled (though a label may still come out); cancelling it again is too late."""
    program.behave("sleep 0.5\n")
    printer = Printer(program.address)
    number = printer.print_pages([PAGE], "label").number
    wait_until(lambda: printer.job(number).state is JobState.PROCESSING)
    printer.cancel(number)
    wait_until(lambda: printer.job(number).state.is_over)
    assert printer.job(number).state is JobState.CANCELLED
    assert describe(printer.job(number)) == "Printing was cancelled. Look whether it came out all the same."
    with pytest.raises(PrinterRefused, match="no longer be cancelled"):
        printer.cancel(number)


def test_printer_killed_in_the_middle_forgets_the_job(program: LabelPrinterProgram) -> None:
    """Switched off and on again it knows nothing of the job: it is not called printed, and nothing is sent again."""
    program.behave("sleep 5\n")
    printer = Printer(program.address)
    printer.print_pages([PAGE], "label 42")
    program.stop()
    with pytest.raises(PrinterGone, match="does not answer"):
        printer.status()
    program.start()
    assert printer.find_job("label 42") is None and program.came_out() == []


def test_printer_that_is_off_is_said() -> None:
    """Nothing listens at the address."""
    with pytest.raises(PrinterGone, match="Is it switched on"):
        Printer(f"ipp://localhost:{free_port()}/ipp/print").print_pages([PAGE], "label")


class _Server:
    """Answers every request in one way: a stand-in for what no printer program does."""

    def __init__(self, respond) -> None:
        class Handler(http.server.BaseHTTPRequestHandler):
            def do_POST(self) -> None:
                respond(self)

            def log_message(self, *_: object) -> None:
                pass

        self._server = http.server.ThreadingHTTPServer(("127.0.0.1", 0), Handler)
        threading.Thread(target=self._server.serve_forever, daemon=True).start()
        self.address = f"ipp://localhost:{self._server.server_address[1]}/ipp/print"

    def close(self) -> None:
        self._server.shutdown()
        self._server.server_close()


def answered(body: bytes, status: int = 200):
    """Return a way to answer everything with one body."""
    def respond(handler: http.server.BaseHTTPRequestHandler) -> None:
        handler.rfile.read(int(handler.headers["Content-Length"]))
        handler.send_response(status)
        handler.end_headers()
        handler.wfile.write(body)
    return respond


@pytest.mark.parametrize(("respond", "error"), [
    pytest.param(answered(b"<html>hello</html>"), BadAnswer, id="web-page"),
    pytest.param(answered(b""), BadAnswer, id="nothing"),
    pytest.param(answered(b"", 404), PrinterRefused, id="http-404"),
    pytest.param(answered(b"", 401), PrinterRefused, id="http-401"),
    pytest.param(answered(b"", 426), PrinterRefused, id="http-426"),
    pytest.param(answered(b"", 503), PrinterBusy, id="http-503"),
    pytest.param(lambda handler: handler.connection.close(), PrinterGone, id="hangs-up"),
    pytest.param(lambda handler: time.sleep(0.7), PrinterGone, id="says-nothing"),
])
def test_what_is_no_printer_is_one_sentence(respond, error: type[Exception]) -> None:
    """Anything else at the printer's address ends in one of the family's errors, in bounded time."""
    server = _Server(respond)
    try:
        with pytest.raises(error):
            Printer(server.address, timeout_s=0.4).status()
    finally:
        server.close()


def test_line_that_breaks_while_the_label_is_sent_is_uncertain() -> None:
    """The label may have come out: the kiosk must not simply print it again."""
    well = b"\x02\x00\x00\x00\x00\x00\x00\x01\x04\x49\x00\x19document-format-supported\x00\x0fapplication/pdf\x03"

    def respond(handler: http.server.BaseHTTPRequestHandler) -> None:
        body = handler.rfile.read(int(handler.headers["Content-Length"]))
        if body[2:4] == b"\x00\x02":
            handler.connection.close()
            return
        handler.send_response(200)
        handler.end_headers()
        handler.wfile.write(well)

    server = _Server(respond)
    try:
        with pytest.raises(PrintUncertain, match="Look whether the label came out"):
            Printer(server.address).print_pages([PAGE], "label")
    finally:
        server.close()


@pytest.mark.parametrize("address", ["", "printer", "http://printer/ipp", "ipp://", "ipp://host:x/", "ipp://h:99999/"])
def test_rubbish_is_no_address(address: str) -> None:
    """A slip in the settings is a sentence."""
    with pytest.raises(NotAPrinterAddress, match="no printer's address"):
        Printer(address)


@pytest.mark.parametrize("copies", [0, -1, 100])
def test_impossible_copies_are_refused(copies: int) -> None:
    """No job of no copies, none that uses up the roll."""
    with pytest.raises(PrinterRefused, match="1 to 99 copies"):
        Printer("ipp://localhost/ipp/print").print_pages([PAGE], "label", copies)


def test_encrypted_line_works_too(program: LabelPrinterProgram) -> None:
    """The same printer by ipps, with a certificate that it signed itself."""
    printed(Printer(program.address.replace("ipp://", "ipps://")))
    assert len(program.came_out()) == 1


def test_came_out_picture_reads_after_rasterising_at_a_camera_s_size(program: LabelPrinterProgram) -> None:
    """The printed dots, enlarged and blurred as a camera sees them, still read."""
    printed(Printer(program.address))
    dots = np.where(dots_of(PAGE), 20, 235).astype(np.uint8)
    seen = cv2.GaussianBlur(cv2.resize(dots, None, fx=1.7, fy=1.7), (5, 5), 1.2)
    assert [found.data.decode() for found in decode(seen, symbols=[ZBarSymbol.CODE128])] == [NUMBER]


def test_print_command_sends_to_the_printer(program: LabelPrinterProgram, capsys: pytest.CaptureFixture[str]) -> None:
    """`python -m labels print NUMBER --printer …` says how the job is, and the label comes out."""
    assert main(["print", NUMBER, "--printer", program.address, "--copies", "2"]) == 0
    assert "printer" in capsys.readouterr().out
    wait_until(program.came_out)
    assert program.came_out()[0].stem.endswith("-2")


def test_print_command_says_what_is_the_matter(capsys: pytest.CaptureFixture[str]) -> None:
    """A printer that is off is a sentence and exit code 1."""
    assert main(["print", NUMBER, "--printer", f"ipp://localhost:{free_port()}/ipp/print"]) == 1
    assert "does not answer" in capsys.readouterr().err
