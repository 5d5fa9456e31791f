"""A part's records, or its position's through every part that sat there: filtered, opened, written to PDF and CSV."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from kivy.properties import BooleanProperty

from kiosk.language import tr
from kiosk.presenters.parts import ReadingDetail, RecordDetail
from kiosk.screens.base import KioskScreen, action_row, figure_of, press_row, record_row
from kiosk.widgets import faces as _faces  # noqa: F401  used by the .kv file
from kiosk.widgets.lists import TextRow
from kiosk.widgets.theme import load_kv


class HistoryScreen(KioskScreen):
    """Shows a `HistoryState`. Faces: '' the records or the opened one, 'filter' the jobs to choose from."""

    may_correct = BooleanProperty(False)

    def show_lists(self) -> None:
        """Fill records, the opened record and the filter."""
        state = self.state
        self.may_correct = bool(state.opened) and state.can_correct
        self.ids.rows.show((state.rows, state.has_more), self._rows())
        self.ids.detail.show((state.opened,), self._detail(state.opened) if state.opened else ())
        self.ids.filter.show(state.jobs, (action_row(action, self._filter) for action in state.jobs))

    def _rows(self) -> Iterator[Any]:
        for row in self.state.rows:
            yield record_row(row, lambda row=row: self.presenter.open_record(row.record_id))
        if self.state.has_more:
            yield press_row(tr("Older records"), (), "down", lambda: self.presenter.more())

    def _detail(self, record: RecordDetail) -> Iterator[TextRow]:
        yield from (TextRow(title=line.title, lines=(line.text,)) for line in record.lines)
        yield from map(_reading_row, record.readings)

    def _filter(self, key: str) -> None:
        self.face = ""
        self.presenter.filter_job(key)

    def switch(self) -> None:
        """Correct the opened record where that is allowed; else change between part and place."""
        if self.may_correct:
            self.presenter.correct()
        elif self.state.scope == "part":
            self.presenter.show_position()
        else:
            self.presenter.show_part()

    def go_back(self) -> None:
        """Leave the filter, then the opened record, then the history."""
        if self.face:
            self.face = ""
        elif self.state.opened:
            self.presenter.close_record()
        else:
            self.presenter.back()


def _reading_row(reading: ReadingDetail) -> TextRow:
    name = " ".join(text for text in (reading.title, reading.side, tr(reading.phase)) if text)
    return TextRow(title=f"{name}: {reading.value}", lines=(f"{reading.mark.word}  {reading.limits}",),
                   figure=figure_of(reading.mark))


load_kv(__file__)
