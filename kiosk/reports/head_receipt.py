"""A receipt of the label's size: how far a kiosk's journal had come, to be signed and kept somewhere else."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from reportlab.lib.units import mm
from reportlab.pdfgen.canvas import Canvas

from kiosk.errors import RecordError

_MARGIN_MM = 1.5
_GROUP = 8


@dataclass(frozen=True)
class HeadReceipt:
    """What stands on the receipt.

    Args:
        yard: Its name. `kiosk`: the kiosk's number. `at`: when, in words.
        seq: Number of the kiosk's last entry. `hash`: its 64 hex digits.
    """

    yard: str
    kiosk: int
    at: str
    seq: int
    hash: str


def write_head_receipts(path: Path, receipts: list[HeadReceipt], width_mm: float, height_mm: float) -> None:
    """Write one page for each receipt to a new PDF file.

    Raises:
        RecordError: there is a file already, or it cannot be written.
    """
    try:
        with path.open("xb") as file:
            canvas = Canvas(file, pagesize=(width_mm * mm, height_mm * mm))
            for receipt in receipts:
                _draw(canvas, receipt, width_mm, height_mm)
                canvas.showPage()
            canvas.save()
    except FileExistsError as error:
        raise RecordError(f"{path} is there already; name a new file.") from error
    except OSError as error:
        raise RecordError(f"{path} cannot be written: {error.strerror}.") from error


def _draw(canvas: Canvas, receipt: HeadReceipt, width_mm: float, height_mm: float) -> None:
    groups = [receipt.hash[start:start + _GROUP] for start in range(0, len(receipt.hash), _GROUP)]
    lines = [(f"{receipt.yard}, kiosk {receipt.kiosk}", "Helvetica-Bold", 8.0),
             (f"entry {receipt.seq}, {receipt.at}", "Helvetica", 7.0),
             (" ".join(groups[:4]), "Courier-Bold", 7.5), (" ".join(groups[4:]), "Courier-Bold", 7.5),
             ("signed", "Helvetica", 7.0)]
    pitch_mm = (height_mm - 2 * _MARGIN_MM) / len(lines)
    for number, (text, font, size_pt) in enumerate(lines, 1):
        size_pt = _fitting(canvas, text, font, size_pt, (width_mm - 2 * _MARGIN_MM) * mm)
        canvas.setFont(font, size_pt)
        baseline = (height_mm - _MARGIN_MM - number * pitch_mm) * mm + 0.3 * size_pt
        canvas.drawString(_MARGIN_MM * mm, baseline, text)
    canvas.setLineWidth(0.4)
    canvas.line(_MARGIN_MM * mm + 28, (_MARGIN_MM + 0.5) * mm, (width_mm - _MARGIN_MM) * mm, (_MARGIN_MM + 0.5) * mm)


def _fitting(canvas: Canvas, text: str, font: str, size_pt: float, room_pt: float) -> float:
    width = float(canvas.stringWidth(text, font, size_pt))
    return size_pt if width <= room_pt else size_pt * room_pt / width
