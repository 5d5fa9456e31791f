"""A label printer, or a print queue, that speaks IPP: print pages, ask how it goes, cancel.

The labels' true size and 'do not scale' go with every job, and the printer is asked beforehand whether it can do both;
one that cannot is refused rather than given a label that it would shrink. Pages go as printer raster when the printer
says that it takes black dots at the label's resolution, because then no renderer can widen a bar; otherwise as PDF.

A job that the printer calls completed proves nothing: printers and queues forget and guess. Only reading the label
back does.

Source: RFC 8011 (operations and attributes), PWG 5100.7 (media-col), PWG 5100.13 (print-scaling), PWG 5102.4 (raster).
"""

from __future__ import annotations

import http.client
import itertools
import ssl
from collections.abc import Sequence
from dataclasses import dataclass
from enum import IntEnum
from typing import Any

from labels.errors import LabelError, PrinterBusy, PrinterGone, PrinterRefused, PrintUncertain
from labels.ipp import Answer, Attribute, BadAnswer, Group, Operation, Tag, answer, attribute, request
from labels.page import Page
from labels.pdf import pdf_bytes
from labels.printer_address import printer_address
from labels.printer_words import job_sentences, message_sentences, printer_sentences, stops_printing
from labels.raster import pwg_raster

RASTER, PDF = "image/pwg-raster", "application/pdf"
TIMEOUT_S = 5.0
_MOST_ANSWER_BYTES = 4_000_000
_DOTS_PER_INCH_UNIT = 3
_JOB_ATTRIBUTES = ("job-id", "job-name", "job-state", "job-state-reasons", "job-printer-state-message")

# Status codes. Source: RFC 8011, appendix B.
_IGNORED_SOME, _NOT_FOUND, _GONE = 0x0001, 0x0406, 0x0407
_BUSY = (0x0507, 0x0502)
_REFUSALS: dict[int, str] = {
    0x0401: "The printer wants a password, which is not set here. Allow printing without one in the printer's setup.",
    0x0402: "The printer wants a password, which is not set here. Allow printing without one in the printer's setup.",
    0x0403: "The printer does not let this kiosk print. Allow it in the printer's setup.",
    0x0404: "The label can no longer be cancelled: the printer is through with it.",
    0x0406: "There is no such printer or job at this address. Check the printer's name in the settings.",
    0x0408: "The label is too large for the printer.",
    0x040A: "The printer takes neither printer raster nor PDF. Use another printer, or print to a file.",
    0x040B: "The printer cannot print labels of this size or without scaling. Put the right roll in and set its size "
            "in the printer's setup.",
    0x0503: "The printer's protocol is too old for this kiosk.",
    0x0506: "The printer takes no jobs now. Start it again at the printer.",
}


class JobState(IntEnum):
    """How far a job is. Source: RFC 8011, 5.3.7."""

    PENDING = 3
    HELD = 4
    PROCESSING = 5
    STOPPED = 6
    CANCELLED = 7
    ABORTED = 8
    COMPLETED = 9

    @property
    def is_over(self) -> bool:
        """Whether nothing more happens with it."""
        return self >= JobState.CANCELLED


_JOB_WORDS = {
    JobState.PENDING: "The label waits at the printer.",
    JobState.HELD: "The label is held at the printer.",
    JobState.PROCESSING: "The label is being printed.",
    JobState.STOPPED: "The printer has stopped before the label came out.",
    JobState.CANCELLED: "Printing was cancelled.",
    JobState.ABORTED: "The printer gave up on the label.",
    JobState.COMPLETED: "The printer says the label is printed. Scan it to make sure.",
}


@dataclass(frozen=True)
class PrintJob:
    """A job at the printer. `number` is the printer's, and begins again when some printers are switched on."""

    number: int
    title: str
    state: JobState
    reasons: tuple[str, ...] = ()
    message: str = ""


@dataclass(frozen=True)
class PrinterStatus:
    """How the printer is.

    Attributes:
        is_stopped: It prints nothing until somebody acts.
        is_accepting: It takes jobs.
        reasons: Its own keywords. `message`: its own words.
        formats: Kinds of document it takes. `raster_types`: kinds of raster, with `resolutions_dpi`.
        most_copies: How many copies it makes of a job.
    """

    is_stopped: bool
    is_accepting: bool
    reasons: tuple[str, ...]
    message: str
    formats: frozenset[str]
    raster_types: frozenset[str]
    resolutions_dpi: frozenset[int]
    most_copies: int

    @property
    def sentences(self) -> list[str]:
        """What is the matter, in plain words; empty when all is well."""
        told = printer_sentences(self.reasons) or message_sentences(self.message)
        if self.is_stopped and not told:
            told = [f"The printer has stopped. {self.message}".strip()]
        if not self.is_accepting:
            told.append("The printer takes no jobs now. Start it again at the printer.")
        return told

    @property
    def is_ready(self) -> bool:
        """Whether a label that is sent now comes out."""
        return (self.is_accepting and not self.is_stopped and not any(map(stops_printing, self.reasons))
                and not message_sentences(self.message))


def describe(job: PrintJob) -> str:
    """Return how a job is, in plain words."""
    told = [] if job.state.is_over else message_sentences(job.message)
    return " ".join([_JOB_WORDS[job.state], *job_sentences(job.reasons), *told])


class Printer:
    """A printer or queue by its address.

    Args:
        address: 'ipp://host/ipp/print', 'ipps://…' or a queue's, 'ipp://host/printers/NAME'.
        timeout_s: How long to wait for an answer. [s]

    Raises:
        NotAPrinterAddress: the address is another kind, or names no host.
    """

    def __init__(self, address: str, timeout_s: float = TIMEOUT_S) -> None:
        self.address = printer_address(address)
        self._timeout_s = timeout_s
        self._request_ids = itertools.count(1)

    def status(self) -> PrinterStatus:
        """Return how the printer is.

        Raises:
            PrinterGone: it does not answer. PrinterRefused: there is no such printer, or it lets nobody ask.
        """
        wanted = ("printer-state", "printer-state-reasons", "printer-state-message", "printer-is-accepting-jobs",
                  "document-format-supported", "pwg-raster-document-type-supported",
                  "pwg-raster-document-resolution-supported", "copies-supported")
        said = self._asked(Operation.GET_PRINTER_ATTRIBUTES,
                           [attribute("requested-attributes", Tag.KEYWORD, *wanted)]).group(Tag.PRINTER)
        return _status_of(said)

    def print_pages(self, pages: Sequence[Page], title: str, copies: int = 1) -> PrintJob:
        """Send pages as one job.

        Args:
            pages: Pages of one size.
            title: The job's name, by which it is found again.
            copies: How many of each. 1..99

        Raises:
            PrinterGone: it does not answer; nothing was sent.
            PrinterBusy: it takes no more for now; nothing was sent.
            PrinterRefused: it cannot print this, or takes no jobs; nothing was sent.
            PrintUncertain: the way to it broke after the label was sent.
        """
        if not pages or not 1 <= copies <= 99:
            raise PrinterRefused("There must be a label to print, and 1 to 99 copies of it.")
        status = self.status()
        if not status.is_accepting:
            raise PrinterRefused(" ".join(status.sentences))
        kind = _document_kind(status, pages[0])
        repeats = copies if copies > status.most_copies else 1
        operation = [attribute("job-name", Tag.NAME, title),
                     attribute("ipp-attribute-fidelity", Tag.BOOLEAN, True),
                     attribute("document-format", Tag.MIME_TYPE, kind)]
        job = _job_attributes(pages[0], copies if repeats == 1 else 1)
        self._validate(operation, job)
        drawn = [page for page in pages for _ in range(repeats)]
        document = pwg_raster(drawn) if kind == RASTER else pdf_bytes(drawn)
        return _job_of(self._asked(Operation.PRINT_JOB, operation, job, document).group(Tag.JOB), title)

    def job(self, number: int) -> PrintJob | None:
        """Return how a job is, None when the printer knows none of that number."""
        try:
            said = self._asked(Operation.GET_JOB_ATTRIBUTES, [attribute("job-id", Tag.INTEGER, number),
                               attribute("requested-attributes", Tag.KEYWORD, *_JOB_ATTRIBUTES)])
        except _NoSuchThing:
            return None
        return _job_of(said.group(Tag.JOB), "")

    def find_job(self, title: str) -> PrintJob | None:
        """Return the newest job of a name, waiting or over, None when the printer knows none."""
        found: list[PrintJob] = []
        for which in ("not-completed", "completed"):
            said = self._asked(Operation.GET_JOBS, [attribute("requested-attributes", Tag.KEYWORD, *_JOB_ATTRIBUTES),
                                                    attribute("which-jobs", Tag.KEYWORD, which)])
            found += [_job_of(group, "") for group in said.all_of(Tag.JOB)]
        return max((job for job in found if job.title == title), key=lambda job: job.number, default=None)

    def cancel(self, number: int) -> None:
        """Cancel a job.

        Raises:
            PrinterRefused: the printer is through with it, or knows none of that number.
        """
        self._asked(Operation.CANCEL_JOB, [attribute("job-id", Tag.INTEGER, number)])

    def _validate(self, operation: Sequence[Attribute], job: Sequence[Attribute]) -> None:
        """Ask whether the printer can print this as it is, so that nothing wrong comes out of it."""
        said = self._asked(Operation.VALIDATE_JOB, operation, job)
        if said.status == _IGNORED_SOME and "media-col" in said.group(Tag.UNSUPPORTED):
            raise PrinterRefused(_REFUSALS[0x040B], f"not supported: {said.group(Tag.UNSUPPORTED)}")

    def _asked(self, operation: Operation, attributes: Sequence[Attribute], job: Sequence[Attribute] = (),
               document: bytes = b"") -> Answer:
        first = [attribute("attributes-charset", Tag.CHARSET, "utf-8"),
                 attribute("attributes-natural-language", Tag.LANGUAGE, "en"),
                 attribute("printer-uri", Tag.URI, self.address.text), *attributes,
                 # A queue shows a job's name to its owner only.
                 attribute("requesting-user-name", Tag.NAME, "kiosk")]
        groups = [(Tag.OPERATION, _in_order(first)), *([(Tag.JOB, job)] if job else [])]
        message = request(operation, next(self._request_ids), groups)
        said = answer(self._posted(message + document, is_print=operation is Operation.PRINT_JOB))
        if said.status >= 0x0100:
            raise _refusal(said)
        return said

    def _posted(self, body: bytes, is_print: bool) -> bytes:
        connection = self._connection()
        try:
            connection.connect()
        except (OSError, http.client.HTTPException) as error:
            raise self._gone(error) from error
        try:
            connection.request("POST", self.address.path, body, {"Content-Type": "application/ipp"})
            response = connection.getresponse()
            said = response.read(_MOST_ANSWER_BYTES)
        except (OSError, http.client.HTTPException) as error:
            raise self._uncertain(error) if is_print else self._gone(error) from error
        finally:
            connection.close()
        if response.status != http.client.OK:
            raise _http_refusal(response.status)
        return said

    def _connection(self) -> http.client.HTTPConnection:
        at = self.address
        if not at.is_encrypted:
            return http.client.HTTPConnection(at.host, at.port, timeout=self._timeout_s)
        # Printers sign for themselves, so nobody can vouch for them; the line is encrypted all the same.
        context = ssl.create_default_context()
        context.check_hostname, context.verify_mode = False, ssl.CERT_NONE
        return http.client.HTTPSConnection(at.host, at.port, timeout=self._timeout_s, context=context)

    def _gone(self, error: Exception) -> PrinterGone:
        return PrinterGone(f"The printer at {self.address.host} does not answer. "
                           "Is it switched on and its cable plugged in?", repr(error))

    def _uncertain(self, error: Exception) -> PrintUncertain:
        return PrintUncertain(f"The printer at {self.address.host} stopped answering while the label was sent. "
                              "Look whether the label came out.", repr(error))


class _NoSuchThing(PrinterRefused):
    """The printer knows no such printer or job."""


def _in_order(attributes: Sequence[Attribute]) -> list[Attribute]:
    # RFC 8011, 4.1.4 and 4.1.5: charset, language and target (printer, then job) stand first, in this order.
    return sorted(attributes, key=lambda one: one.name != "job-id" and not one.name.startswith("attributes-")
                  and one.name != "printer-uri")


def _document_kind(status: PrinterStatus, page: Page) -> str:
    """Return the surest kind of document that the printer takes."""
    if (RASTER in status.formats and "black_1" in status.raster_types
            and page.dots_per_inch in status.resolutions_dpi):
        return RASTER
    if PDF in status.formats:
        return PDF
    raise PrinterRefused(_REFUSALS[0x040A], f"takes {sorted(status.formats)}")


def _job_attributes(page: Page, copies: int) -> list[Attribute]:
    size = (attribute("x-dimension", Tag.INTEGER, round(page.width_mm * 100)),
            attribute("y-dimension", Tag.INTEGER, round(page.height_mm * 100)))
    margins = [attribute(f"media-{side}-margin", Tag.INTEGER, 0) for side in ("bottom", "left", "right", "top")]
    media = (attribute("media-size", Tag.COLLECTION, size), *margins)
    wanted = [attribute("media-col", Tag.COLLECTION, media), attribute("print-scaling", Tag.KEYWORD, "none")]
    return wanted if copies == 1 else [*wanted, attribute("copies", Tag.INTEGER, copies)]


def _refusal(said: Answer) -> LabelError:
    message = _first(said.group(Tag.OPERATION), "status-message", "")
    details = f"status 0x{said.status:04x} {message} {said.group(Tag.UNSUPPORTED) or ''}".strip()
    if said.status in _BUSY:
        return PrinterBusy("The printer is busy with another label. It is tried again by itself.", details)
    if said.status in (_NOT_FOUND, _GONE):
        return _NoSuchThing(_REFUSALS[_NOT_FOUND], details)
    sentence = _REFUSALS.get(said.status, f"The printer refused the label: {message or hex(said.status)}.")
    return PrinterRefused(sentence, details)


def _http_refusal(status: int) -> LabelError:
    if status in (401, 403):
        return PrinterRefused(_REFUSALS[0x0403], f"HTTP {status}")
    if status == 404:
        return _NoSuchThing(_REFUSALS[_NOT_FOUND], "HTTP 404")
    if status == 426:
        return PrinterRefused("The printer wants an encrypted line. Write its address with ipps:// in the settings.")
    if status >= 500:
        return PrinterBusy("The printer cannot answer now. It is tried again by itself.", f"HTTP {status}")
    return BadAnswer(f"HTTP {status}")


def _status_of(said: Group) -> PrinterStatus:
    copies = _first(said, "copies-supported", (1, 1))
    resolutions = said.get("pwg-raster-document-resolution-supported", [])
    return PrinterStatus(
        is_stopped=_first(said, "printer-state", 3) == 5,
        is_accepting=bool(_first(said, "printer-is-accepting-jobs", True)),
        reasons=tuple(str(reason) for reason in said.get("printer-state-reasons", []) if reason != "none"),
        message=str(_first(said, "printer-state-message", "")),
        formats=frozenset(map(str, said.get("document-format-supported", []))),
        raster_types=frozenset(map(str, said.get("pwg-raster-document-type-supported", []))),
        resolutions_dpi=frozenset(across for across, along, unit in resolutions
                                  if across == along and unit == _DOTS_PER_INCH_UNIT),
        most_copies=copies[1] if isinstance(copies, tuple) else 1,
    )


def _job_of(said: Group, title: str) -> PrintJob:
    try:
        state = JobState(_first(said, "job-state", JobState.PENDING))
    except ValueError as error:
        raise BadAnswer(f"job-state {said.get('job-state')}") from error
    reasons = tuple(str(reason) for reason in said.get("job-state-reasons", []) if reason != "none")
    number = _first(said, "job-id", 0)
    return PrintJob(number, str(_first(said, "job-name", title)), state, reasons,
                    str(_first(said, "job-printer-state-message", "")))


def _first(group: Group, name: str, default: Any) -> Any:
    values = group.get(name)
    return values[0] if values else default
