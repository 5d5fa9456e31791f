"""What was saved, shown only after it is durable, and where to go next."""

from __future__ import annotations

from dataclasses import dataclass

from kiosk.entities import PhotoOf, ServiceRecord, Verdict
from kiosk.language import N_, tr
from kiosk.presenters.base import ScreenPresenter
from kiosk.presenters.helpers import Part
from kiosk.presenters.navigation import Navigation
from kiosk.presenters.parts import ActionState, FrameState
from kiosk.presenters.photo_page import PhotoPage
from kiosk.presenters.rows import person_name
from kiosk.presenters.states import SavedState
from kiosk.presenters.words import FINE, clock_text, hours_text, verdict_mark

_NEXT = {"part": N_("Back to the part"), "unit": N_("To the unit"), "photo": N_("Take a photo"), "home": N_("Done")}


@dataclass(frozen=True)
class Saved:
    """A job that is in the journal now.

    Args:
        part: The part to go back to: the new one after a replacement.
        title: 'Greased', 'Adjusted' …
        lines: What the record says. `findings`: texts of those that were opened.
    """

    part: Part
    record: ServiceRecord
    title: str
    lines: tuple[str, ...]
    findings: tuple[str, ...] = ()


class SavedPresenter(ScreenPresenter):
    """The screen after saving; the next label can be scanned at once."""

    def __init__(self, desk: Navigation, saved: Saved) -> None:
        super().__init__(desk)
        self._saved = saved

    def build(self, frame: FrameState) -> SavedState:
        """Return what was saved."""
        saved, record = self._saved, self._saved.record
        by = (f"{person_name(self.helpers, record.person_id)}, "
              f"{clock_text(record.at, self.helpers.settings.zone)}, {hours_text(record.hours)}")
        return SavedState(
            frame=frame,
            title=tr("Saved: {saved}").format(saved=saved.title),
            lines=(saved.part.place, *saved.lines, by),
            findings=saved.findings,
            record_id=record.id,
            next=self._next(),
            mark=verdict_mark(record.verdict) if record.verdict not in (None, Verdict.WITHIN) else FINE,
        )

    def _next(self) -> tuple[ActionState, ...]:
        return tuple(ActionState(key, tr(label)) for key, label in _NEXT.items()
                     if key != "photo" or self.helpers.photos.has_camera)

    def _photo(self) -> None:
        self.desk.open_page(PhotoPage(self.desk, PhotoOf.RECORD, self._saved.record.id, self._saved.part.place,
                                      takes=True))

    def answer(self, key: str) -> None:
        """Go where the button says."""
        part = self._saved.part
        goals = {"part": lambda: self.desk.open_component(part.component.id),
                 "unit": lambda: self.desk.open_unit(part.unit.id), "home": self.desk.home,
                 "photo": self._photo}
        goal = goals.get(key)
        if goal is None:
            super().answer(key)
        else:
            self._answer(goal)
