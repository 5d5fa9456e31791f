"""The history of a part, and one touch further of its position through every part that sat there; filter, files."""

from __future__ import annotations

from kiosk.entities import HistoryFilter, ServiceRecord
from kiosk.language import tr
from kiosk.presenters.base import ScreenPresenter, action
from kiosk.presenters.helpers import Part
from kiosk.presenters.navigation import Navigation
from kiosk.presenters.pages import is_lead
from kiosk.presenters.parts import ActionState, FrameState
from kiosk.presenters.ports import HistoryRequest
from kiosk.presenters.record_detail import record_detail
from kiosk.presenters.rows import record_row
from kiosk.presenters.states import HistoryState
from kiosk.presenters.words import counted

PAGE = 50
PART, POSITION = "part", "position"


class HistoryPresenter(ScreenPresenter):
    """The records of one part or its position, newest first."""

    def __init__(self, desk: Navigation, part: Part, record_id: str | None = None) -> None:
        super().__init__(desk)
        self._part = part
        self._scope, self._job = PART, ""
        self._exported = ""
        self._opened = None if record_id is None else self.helpers.records.record(record_id)
        self._records: tuple[ServiceRecord, ...] = ()
        self._has_more = False
        self._load()

    def build(self, frame: FrameState) -> HistoryState:
        """Return the list, or the record that is opened."""
        helpers, units = self.helpers, self.desk.session.units
        corrections = helpers.records.corrections([record.id for record in self._records])
        shown = counted(len(self._records), "record")
        return HistoryState(
            frame=frame, title=self._title(), place=self._part.place, scope=self._scope, jobs=self._jobs(),
            rows=tuple(record_row(helpers, record, units, helpers.clock(), corrections.get(record.id))
                       for record in self._records),
            opened=None if self._opened is None else record_detail(helpers, self._opened, units),
            has_more=self._has_more, count_text=tr("{shown} shown, more below").format(
                                                    shown=shown) if self._has_more else shown,
            exported=self._exported, can_correct=is_lead(self.desk.session),
        )

    @action
    def show_position(self) -> None:
        """Show the whole position, through every part that sat there."""
        self._scope = POSITION
        self._load()

    @action
    def show_part(self) -> None:
        """Show this part alone."""
        self._scope = PART
        self._load()

    @action
    def filter_job(self, key: str) -> None:
        """Show one kind of job only; '' shows all."""
        self._job = key
        self._load()

    @action
    def more(self) -> None:
        """Show the next page below."""
        if self._has_more:
            self._load_more()

    @action
    def open_record(self, record_id: str) -> None:
        """Open a record to everything."""
        self._opened = self.helpers.records.record(record_id)

    @action
    def close_record(self) -> None:
        """Go back to the list."""
        self._opened = None

    @action
    def correct(self) -> None:
        """Open the opened record to be corrected or annulled."""
        if self._opened is not None:
            self.desk.open_correction(self._opened.id)

    @action
    def export_pdf(self) -> None:
        """Write the history as PDF, filtered as it is shown."""
        self._exported = tr("Saved as {history_pdf}").format(
                             history_pdf=self.helpers.reports.history_pdf(self._request()))
        self.helpers.feedback("saved")

    @action
    def export_csv(self) -> None:
        """Write the history as CSV, filtered as it is shown."""
        self._exported = tr("Saved as {history_csv}").format(
                             history_csv=self.helpers.reports.history_csv(self._request()))
        self.helpers.feedback("saved")

    def back(self) -> None:
        """Close the opened record, or go to the screen before."""
        if self._opened is None:
            super().back()
        else:
            self.close_record()

    def _filter(self) -> HistoryFilter:
        return HistoryFilter(job=self._job or None)

    def _request(self) -> HistoryRequest:
        return HistoryRequest(self._part.component.id, self._scope == POSITION, self._filter())

    def _load(self) -> None:
        self._records = ()
        self._load_more()

    def _load_more(self) -> None:
        """Fetch one record more than a page, to know whether there are more."""
        last = self._records[-1] if self._records else None
        before = (last.at, last.id) if last else None
        records = self.helpers.records
        if self._scope == POSITION:
            page = records.position_history(self._part.position.id, self._filter(), before, PAGE + 1)
        else:
            page = records.component_history(self._part.component.id, self._filter(), before, PAGE + 1)
        self._records += page[:PAGE]
        self._has_more = len(page) > PAGE

    def _title(self) -> str:
        if self._scope == PART:
            return tr("History: {part}").format(part=self._part.title)
        parts = len(self.helpers.records.components_at(self._part.position.id))
        return tr("History of the position, {parts}").format(parts=counted(parts, "part"))

    def _jobs(self) -> tuple[ActionState, ...]:
        jobs = tuple(ActionState(job.key, job.title, job.key == self._job) for job in self._part.sheet.jobs)
        return (ActionState("", tr("All jobs"), self._job == ""), *jobs)
