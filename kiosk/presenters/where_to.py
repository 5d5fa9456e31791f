"""How a file is wanted: on which paper, and where to: the shop's report folder or a USB stick."""

from __future__ import annotations

from kiosk.language import tr
from kiosk.presenters.parts import PageRow
from kiosk.presenters.ports import FileWish, Reports
from kiosk.presenters.words import NOTHING

PAPER, PLACE, KIND = "paper", "place", "kind"
KINDS = (("pdf", "PDF"), ("csv", "CSV"), ("jsonl", "JSON Lines"))
PAPERS = ("Letter", "A4")


class WhereTo:
    """Paper and place, and with `with_kind` the kind of file, each changed by a press."""

    def __init__(self, reports: Reports, with_kind: bool = False) -> None:
        self._reports, self._with_kind = reports, with_kind
        self._kind = "pdf"
        self._page = ""
        self._place = ""

    def wish(self, kind: str = "") -> FileWish:
        """Return the wish for a file of a kind, of the kind that was pressed where none is named."""
        return FileWish(kind or self._kind, self._paper(), self._place)

    def rows(self) -> tuple[PageRow, ...]:
        """Return paper and place as rows to press."""
        names = self._reports.places()
        place = names.get(self._place) if self._place else None
        saved_to = tr("USB stick {name}").format(name=place) if place else tr("report folder of the kiosk")
        sticks = tr("Press for a USB stick") if names else tr("No USB stick is plugged in")
        kind = PageRow(KIND, tr("File: {kind}").format(kind=dict(KINDS)[self._kind]), (tr("Press for another kind"),),
                       NOTHING)
        return (
            *((kind,) if self._with_kind else ()),
            PageRow(PAPER, tr("Paper: {page}").format(page=self._paper()), (tr("Press for the other one"),), NOTHING),
            PageRow(PLACE, tr("Saved to: {place}").format(place=saved_to), (sticks,), NOTHING),
        )

    def takes(self, key: str) -> bool:
        """Take a press on one of the rows; False if it is none of them."""
        if key == PAPER:
            self._page = PAPERS[1 - PAPERS.index(self._paper())]
        elif key == PLACE:
            places = ("", *self._reports.places())
            self._place = places[(places.index(self._place) + 1) % len(places)] if self._place in places else ""
        elif key == KIND:
            kinds = [each for each, _ in KINDS]
            self._kind = kinds[(kinds.index(self._kind) + 1) % len(kinds)]
        return key in (PAPER, PLACE, KIND)

    def _paper(self) -> str:
        return self._page or self._reports.page
