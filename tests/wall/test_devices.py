"""Devices found: cameras as the kernel lists them, print queues of a real print service."""

from __future__ import annotations

from pathlib import Path

import pytest
from printer_programs import PrintQueue, missing

from kiosk.presenters.ports import DeviceChoice
from kiosk.wall.devices import cameras, printers


def test_camera_is_listed_once_by_its_number(tmp_path: Path) -> None:
    """Common practice, no source: a USB camera shows a second node for its metadata, with index 1."""
    for node, name, index in (("video0", "Bench camera", 0), ("video1", "Bench camera", 1), ("video10", "Other", 0)):
        folder = tmp_path / node
        folder.mkdir()
        (folder / "name").write_text(f"{name}\n")
        (folder / "index").write_text(f"{index}\n")
    assert cameras(tmp_path) == [DeviceChoice("Bench camera", "0"), DeviceChoice("Other", "10")]


def test_no_print_service_means_no_queues() -> None:
    """Nothing answers on that port."""
    assert printers(port=1) == []


@pytest.mark.skipif(bool(missing(("cupsd", "lpadmin"))), reason="no print service installed")
def test_queues_of_a_real_print_service_are_listed_with_their_addresses(tmp_path: Path) -> None:
    """CUPS on loopback, with two queues; the address is the one that its own users give it."""
    queue = PrintQueue(tmp_path / "cups")
    queue.start()
    try:
        for name in ("labels", "office"):
            queue.add(name, "-v", f"file:{tmp_path / name}")
        assert printers(port=queue.port) == [DeviceChoice(name, queue.address(name)) for name in ("labels", "office")]
    finally:
        queue.stop()
