"""Where a label printer is: its address taken apart. Pure."""

from __future__ import annotations

from dataclasses import dataclass
from urllib.parse import urlsplit

from labels.errors import LabelError

IPP_PORT = 631


class NotAPrinterAddress(LabelError, ValueError):
    """The address is none that a printer can have."""


@dataclass(frozen=True)
class PrinterAddress:
    """A printer's or queue's address. `text` is the whole of it, as the printer wants to be called."""

    text: str
    host: str
    port: int
    path: str
    is_encrypted: bool


def printer_address(text: str) -> PrinterAddress:
    """Return an address taken apart.

    Args:
        text: 'ipp://host/ipp/print', 'ipps://host:port/path' or a queue's, 'ipp://host/printers/NAME'.

    Raises:
        NotAPrinterAddress: another kind of address, or no host.
    """
    try:
        parts = urlsplit(text.strip())
        port = parts.port or IPP_PORT
    except ValueError as error:
        raise NotAPrinterAddress(f"'{text}' is no printer's address: {error}.") from error
    if parts.scheme not in ("ipp", "ipps") or not parts.hostname:
        raise NotAPrinterAddress(f"'{text}' is no printer's address. Write it like ipp://printer/ipp/print.")
    return PrinterAddress(text.strip(), parts.hostname, port, parts.path or "/", parts.scheme == "ipps")


def is_printer_address(text: str) -> bool:
    """Return whether a text is an address that a printer can have."""
    try:
        printer_address(text)
    except NotAPrinterAddress:
        return False
    return True
