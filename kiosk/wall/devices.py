"""What is plugged into this computer and could serve the kiosk: scanners, cameras, printers, each with its setting."""

from __future__ import annotations

import http.client
from pathlib import Path

from kiosk.presenters.ports import DeviceChoice
from kiosk.scan.input_device import keyboards
from labels.errors import LabelError
from labels.ipp import Operation, Tag, answer, attribute, request

_CUPS = ("localhost", 631)
_CUPS_TIMEOUT_S = 3.0
_MOST_ANSWER_BYTES = 1_000_000


def scanners() -> list[DeviceChoice]:
    """Return what types: hand scanners and keyboards."""
    return [DeviceChoice(f"{one.name} ({one.usb})", one.usb) for one in keyboards()]


def cameras(system: Path = Path("/sys/class/video4linux")) -> list[DeviceChoice]:
    """Return the cameras by the number that the kiosk opens them with; a camera's second stream is left out."""
    found = []
    for folder in sorted(system.glob("video*"), key=lambda path: int(path.name[5:] or 0)):
        if (folder / "index").is_file() and (folder / "index").read_text().strip() != "0":
            continue
        name = (folder / "name").read_text().strip() if (folder / "name").is_file() else folder.name
        found.append(DeviceChoice(name, folder.name[5:]))
    return found


def printers(host: str = _CUPS[0], port: int = _CUPS[1]) -> list[DeviceChoice]:
    """Return the print queues of this computer; none where no print service answers."""
    wanted = request(Operation.GET_QUEUES, 1, [(Tag.OPERATION, (
        attribute("attributes-charset", Tag.CHARSET, "utf-8"),
        attribute("attributes-natural-language", Tag.LANGUAGE, "en"),
        attribute("requested-attributes", Tag.KEYWORD, "printer-name")))])
    connection = http.client.HTTPConnection(host, port, timeout=_CUPS_TIMEOUT_S)
    try:
        connection.request("POST", "/", wanted, {"Content-Type": "application/ipp"})
        found = answer(connection.getresponse().read(_MOST_ANSWER_BYTES))
    except (OSError, http.client.HTTPException, LabelError):
        return []
    finally:
        connection.close()
    names = [str(name) for group in found.all_of(Tag.PRINTER) for name in group.get("printer-name", [])]
    return [DeviceChoice(name, f"ipp://{host}:{port}/printers/{name}") for name in names]
