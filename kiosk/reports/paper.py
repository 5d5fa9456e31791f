"""What every printed report shares: the paper, the line at the foot of each page, and how far it is."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from html import escape
from pathlib import Path
from typing import Any

from kiosk.language import tr

PHOTO_WIDE_PT, PHOTO_HIGH_PT = 200.0, 150.0


def paper_size(page: str) -> tuple[float, float]:
    """Return 'Letter' or 'A4' as width and height. [pt]"""
    from reportlab.lib.pagesizes import A4, LETTER

    return A4 if page == "A4" else LETTER  # type: ignore[no-any-return]


def footer(title: str, printed: str, chain_head: str) -> Callable[[Any, Any], None]:
    """Return what draws the foot of a page: title, who printed it and when, page number, the journal's head."""

    def draw(canvas: Any, document: Any) -> None:
        canvas.saveState()
        canvas.setFont("Helvetica", 7)
        width, _ = document.pagesize
        canvas.drawString(document.leftMargin, 26, f"{title}   ·   {printed}")
        canvas.drawRightString(width - document.rightMargin, 26, tr("page {page}").format(page=document.page))
        canvas.drawString(document.leftMargin, 16, tr("journal head {chain_head}").format(chain_head=chain_head))
        canvas.restoreState()

    return draw


def page_progress(progress: Callable[[float], None]) -> Callable[[str, int], None]:
    """Return what the page maker calls as it goes; `progress` gets 0..1."""
    total, furthest = 1, 0.0

    def report(kind: str, value: int) -> None:
        nonlocal total, furthest
        if kind == "SIZE_EST":
            total = max(value, 1)
        elif kind == "PROGRESS":  # the estimate grows on the way; what was shown never goes back
            furthest = max(furthest, min(1.0, value / total))
            progress(furthest)

    return report


def photo_cells(photos: Sequence[Path | str], style: Any) -> list[Any]:
    """Return photos for a table's cell, each no larger than PHOTO_WIDE_PT by PHOTO_HIGH_PT; a text where one is not."""
    from reportlab.platypus import Image, Paragraph

    return [Image(str(photo), PHOTO_WIDE_PT, PHOTO_HIGH_PT, kind="proportional", hAlign="LEFT")
            if isinstance(photo, Path) else Paragraph(escape(photo), style) for photo in photos]
