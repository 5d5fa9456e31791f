"""A supervisor's page: rows to press, to answer with a text, or to read; beside them a chart drawn on a worker."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from kiosk.presenters.parts import PageRow
from kiosk.screens.base import KioskScreen, figure_of, press_row
from kiosk.widgets import chart as _chart  # noqa: F401  used by the .kv file
from kiosk.widgets.lists import TextRow
from kiosk.widgets.theme import load_kv


class PageScreen(KioskScreen):
    """Shows a `PageState`."""

    _title = ""

    def show_lists(self) -> None:
        """Fill the rows, and have the chart drawn; who changed a row stays on the part of the list where it is."""
        state = self.state
        turned_to = self.ids.rows.page if state.title == self._title else 0
        self._title = state.title
        self.ids.rows.empty_text = state.empty_text
        self.ids.rows.show(state.rows, self._rows())
        self.ids.rows.page = turned_to
        self.ids.chart.drawing = state.drawing

    def _rows(self) -> Iterator[Any]:
        for row in self.state.rows:
            if row.enabled or row.asks:
                yield press_row(row.title, row.lines, figure_of(row.mark), lambda row=row: self._press(row),
                                enabled=row.enabled)
            else:
                yield TextRow(title=row.title, lines=row.lines, figure=figure_of(row.mark))

    def _press(self, row: PageRow) -> None:
        if row.asks:
            self.ask_text(row.asks, row.begins, lambda text: self.presenter.take_text(row.key, text))
        else:
            self.presenter.press(row.key)


load_kv(__file__)
