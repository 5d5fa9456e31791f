"""A history: of a part, its position, its unit, one of the crew, or what became of a label; filtered, opened, as files.

Records come in pages, newest first. A page stands by itself: the thousandth costs what the first does, on the records'
side and on the screen's.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from pathlib import Path

from kiosk.entities import HistoryScope, LabelMoment, PhotoOf, ServiceRecord
from kiosk.language import N_, tr
from kiosk.presenters.base import ScreenPresenter, action
from kiosk.presenters.helpers import Helpers, Part
from kiosk.presenters.history_filter import FilterBoard
from kiosk.presenters.navigation import Navigation
from kiosk.presenters.pages import is_lead
from kiosk.presenters.parts import ActionState, DetailLine, FrameState, PageRow
from kiosk.presenters.photo_page import PhotoPage
from kiosk.presenters.ports import HistoryRequest
from kiosk.presenters.record_detail import record_detail
from kiosk.presenters.rows import person_name, record_row
from kiosk.presenters.states import HistoryState
from kiosk.presenters.where_to import KINDS, WhereTo
from kiosk.presenters.words import NOTHING, clock_text, counted
from kiosk.service_sheet import ServiceSheet
from labels.number import parse

PAGE = 24
_MOMENTS = {
    "issued": N_("issued"), "retired": N_("retired"), "print asked for": N_("print asked for"), "read": N_("read"),
    "found loose": N_("found loose"), "sending": N_("sent to the printer"), "sent": N_("taken by the printer"),
    "uncertain": N_("not sure whether it came out"), "refused": N_("refused by the printer"),
    "printed": N_("printed"), "read back": N_("read back"), "cancelled": N_("print cancelled"),
}
"""What happened to a label, in words."""
Before = tuple[object, str]


@dataclass(frozen=True)
class View:
    """Whose records can be shown. `short` stands on its button."""

    scope: HistoryScope
    subject_id: str
    title: str
    short: str


@dataclass(frozen=True)
class Subject:
    """What a history was asked of.

    Args:
        place: Where it is, for the line on top.
        views: Whose records can be shown, the first at first.
        sheets: Whose jobs can be filtered by.
        label: A label number to tell the story of, '' for none.
    """

    place: str
    views: tuple[View, ...]
    sheets: tuple[ServiceSheet, ...]
    label: str = ""


def of_part(helpers: Helpers, part: Part) -> Subject:
    """Return a part as a subject, its position and its unit one touch further."""
    parts = counted(len(helpers.records.components_at(part.position.id)), "part")
    return Subject(part.place, (
        View(HistoryScope.PART, part.component.id, tr("History: {title}").format(title=part.title), tr("This part")),
        View(HistoryScope.POSITION, part.position.id,
             tr("History of the position, {parts}").format(parts=parts), tr("Whole place")),
        View(HistoryScope.UNIT, part.unit.id, tr("History of {name}").format(name=part.unit.name), tr("Whole unit")),
    ), helpers.sheets.sheets(), part.component.label)


def of_unit(helpers: Helpers, unit_id: str) -> Subject:
    """Return a unit as a subject."""
    unit = helpers.records.unit(unit_id)
    view = View(HistoryScope.UNIT, unit_id, tr("History of {name}").format(name=unit.name), tr("Whole unit"))
    return Subject(unit.description, (view,), helpers.sheets.sheets(), unit.label)


def of_person(helpers: Helpers, person_id: str) -> Subject:
    """Return one of the crew as a subject."""
    person = helpers.records.person(person_id)
    view = View(HistoryScope.PERSON, person_id, tr("What {name} did").format(name=person.name), person.name)
    return Subject(tr(person.role.value), (view,), helpers.sheets.sheets(), person.badge)


class HistoryPresenter(ScreenPresenter):
    """Pages of records, newest first."""

    def __init__(self, desk: Navigation, subject: Subject, record_id: str | None = None) -> None:
        super().__init__(desk)
        self._subject = subject
        self._view = subject.views[0]
        self._board = FilterBoard(self.helpers, subject.sheets)
        self._where = WhereTo(self.helpers.reports)
        self._exported = ""
        self._opened = None if record_id is None else self.helpers.records.record(record_id)
        self._starts: list[Before | None] = [None]
        self._records: tuple[ServiceRecord, ...] = ()
        self._has_more = False
        self._load()

    def build(self, frame: FrameState) -> HistoryState:
        """Return the list, or the record that is opened."""
        helpers, units = self.helpers, self.desk.session.units
        ids = [record.id for record in self._records]
        corrections = helpers.records.corrections(ids)
        pictured = {kept.subject_id for kept in helpers.records.photos_of(PhotoOf.RECORD, ids)}
        return HistoryState(
            frame=frame, title=self._view.title, place=self._subject.place, scope=self._view.scope.value,
            scopes=self._scopes(), filters=self._board.groups(self._view.scope is not HistoryScope.PERSON),
            rows=tuple(record_row(helpers, record, units, helpers.clock(), corrections.get(record.id),
                                  place=self._place_of(record), has_photo=record.id in pictured)
                       for record in self._records),
            opened=None if self._opened is None else record_detail(helpers, self._opened, units),
            has_more=self._has_more, has_newer=len(self._starts) > 1, count_text=self._count_text(),
            exported=self._exported, can_correct=is_lead(self.desk.session), files=self._files(),
            label_lines=self._label_lines(),
        )

    @action
    def show_scope(self, key: str) -> None:
        """Show whose records: the part's, the position's, the unit's."""
        for view in self._subject.views:
            if view.scope.value == key:
                self._view, self._opened = view, None
                self._load()

    @action
    def choose_filter(self, group: str, key: str) -> None:
        """Choose from one of the filter's lists; '' is all."""
        self._board.choose(group, key)
        self._load()

    @action
    def type_filter(self, group: str, text: str) -> None:
        """Take typed dates or hours."""
        self._board.type(group, text)
        self._load()

    @action
    def clear_filter(self) -> None:
        """Show everything again."""
        self._board.clear()
        self._load()

    @action
    def older(self) -> None:
        """Show the next page, of older records."""
        if self._has_more:
            last = self._records[-1]
            self._starts.append((last.at, last.id))
            self._fetch()

    @action
    def newer(self) -> None:
        """Show the page before, of newer records."""
        if len(self._starts) > 1:
            self._starts.pop()
            self._fetch()

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
    def open_photos(self) -> None:
        """Show the opened record's photos, and take more."""
        if self._opened is not None:
            self.desk.open_page(PhotoPage(self.desk, PhotoOf.RECORD, self._opened.id, self._subject.place))

    @action
    def press_file(self, key: str) -> None:
        """Change paper or place, or write the history off the screen's thread, filtered as it is shown."""
        if self._where.takes(key):
            return
        request = HistoryRequest(self._view.subject_id, self._view.scope, self._board.filter)
        wish, reports, doing = self._where.wish(key), self.helpers.reports, tr("Writing the history")
        tell = self.helpers.tell_progress
        self._exported = f"{doing} …"
        self.helpers.run_slow(lambda: reports.history(request, wish, tell), self._written, self._not_written, doing)

    def _written(self, path: Path) -> None:
        self._exported = tr("Saved as {path}").format(path=path)
        self.helpers.feedback("saved")
        self._refresh_if_shown()

    def _not_written(self, error: Exception) -> None:
        self._exported = ""
        self.refuse(getattr(error, "operator_message", "") or tr("That did not work; try again, or ask for help."))

    def back(self) -> None:
        """Close the opened record, or go to the screen before."""
        if self._opened is None:
            super().back()
        else:
            self.close_record()

    def _load(self) -> None:
        self._starts = [None]
        self._fetch()

    def _fetch(self) -> None:
        """Fetch one record more than a page, to know whether there are more."""
        page = self.helpers.records.history_page(
            self._view.scope, self._view.subject_id, self._board.filter, self._starts[-1],  # type: ignore[arg-type]
            PAGE + 1)
        self._records = page[:PAGE]
        self._has_more = len(page) > PAGE

    def _count_text(self) -> str:
        first = PAGE * (len(self._starts) - 1)
        if not self._has_more and not first:
            said = counted(len(self._records), "record")
        else:
            said = tr("Records {first} to {last}").format(first=first + 1, last=first + len(self._records))
        more = tr("older ones below") if self._has_more else ""
        return " · ".join(text for text in (said, more, self._board.in_words()) if text)

    def _place_of(self, record: ServiceRecord) -> str:
        """Return where a record belongs, where the list holds more than one place."""
        if self._view.scope in (HistoryScope.PART, HistoryScope.POSITION):
            return ""
        position = self.helpers.records.position(record.position_id)
        if self._view.scope is HistoryScope.UNIT:
            return position.name
        return f"{self.helpers.records.unit(record.unit_id).name}, {position.name}"

    def _scopes(self) -> tuple[ActionState, ...]:
        return tuple(ActionState(view.scope.value, view.short, view == self._view) for view in self._subject.views)

    def _files(self) -> tuple[PageRow, ...]:
        return (*self._where.rows(), *(PageRow(key, tr("Write it as {kind}").format(kind=name), (), NOTHING)
                                       for key, name in KINDS))

    def _label_lines(self) -> tuple[DetailLine, ...]:
        number = self._subject.label
        if not number:
            return ()
        moments = self.helpers.records.label_moments(number)
        return (DetailLine(tr("Label"), parse(number).grouped), *map(self._moment_line, _told(moments)))

    def _moment_line(self, moment: LabelMoment) -> DetailLine:
        who = person_name(self.helpers, moment.person_id) if moment.person_id else ""
        said = ", ".join(text for text in (tr(_MOMENTS.get(moment.what, moment.what)), moment.detail, who) if text)
        return DetailLine(clock_text(moment.at, self.helpers.settings.zone), said)


def _told(moments: Iterable[LabelMoment]) -> list[LabelMoment]:
    """Return moments without those that say what the one before said."""
    told: list[LabelMoment] = []
    for moment in moments:
        if not told or (moment.at, moment.what) != (told[-1].at, told[-1].what):
            told.append(moment)
    return told
