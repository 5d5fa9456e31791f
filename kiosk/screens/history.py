"""Records of a part, its position, its unit, or one of the crew: in pages, filtered, opened, written to files."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from kiosk.language import tr, trn
from kiosk.presenters.parts import FilterGroup, ReadingDetail, RecordDetail
from kiosk.screens.base import KioskScreen, action_row, figure_of, press_row, record_row
from kiosk.widgets import faces as _faces  # noqa: F401  used by the .kv file
from kiosk.widgets.lists import TextRow
from kiosk.widgets.theme import load_kv, theme


class HistoryScreen(KioskScreen):
    """Shows a `HistoryState`.

    Faces: '' the records or the opened one, 'whose' part, place or unit, 'filter' what to show, 'filter KEY' one of its
    lists, 'files', 'label' what became of the label.
    """

    def show_lists(self) -> None:
        """Fill the list of the face that is shown."""
        state = self.state
        self.ids.rows.show((state.rows, state.has_more, state.has_newer), self._rows())
        self.ids.detail.show((state.opened,), self._detail(state.opened) if state.opened else ())
        if self.face:
            rows, columns = list(self._choices()), 1 if self.face == "label" else 2
            self.ids.choices.columns, self.ids.choices.row_gap = columns, theme.pad if columns == 1 else 0
            self.ids.choices.show((self.face, state.scopes, state.filters, state.files, state.label_lines), rows)

    def _rows(self) -> Iterator[Any]:
        if self.state.has_newer:
            yield press_row(tr("Newer records"), (), "up", lambda: self.presenter.newer())
        for row in self.state.rows:
            yield record_row(row, lambda row=row: self.presenter.open_record(row.record_id))
        if self.state.has_more:
            yield press_row(tr("Older records"), (), "down", lambda: self.presenter.older())

    def _detail(self, record: RecordDetail) -> Iterator[Any]:
        if record.photos:
            yield press_row(trn("{n} photo", "{n} photos", record.photos).format(n=record.photos), (), "camera",
                            lambda: self.presenter.open_photos())
        yield from (TextRow(title=line.title, lines=(line.text,)) for line in record.lines)
        yield from map(_reading_row, record.readings)
        if not record.photos:
            yield press_row(tr("Photos"), (tr("None yet"),), "camera", lambda: self.presenter.open_photos())

    def _choices(self) -> Iterator[Any]:
        kind, _, key = self.face.partition(" ")
        if kind == "whose":
            yield from self._whose()
        elif kind == "files":
            for row in self.state.files:
                yield press_row(row.title, row.lines, "", lambda row=row: self._press_file(row.key))
        elif kind == "label":
            yield from (TextRow(title=line.title, lines=(line.text,)) for line in self.state.label_lines)
        elif key:
            yield from self._choices_of(next(group for group in self.state.filters if group.key == key))
        else:
            yield from self._groups()

    def _whose(self) -> Iterator[Any]:
        yield from (action_row(scope, self._show_scope) for scope in self.state.scopes)
        if self.state.label_lines:
            number = self.state.label_lines[0].text
            yield press_row(tr("The label"), (number,), "barcode", lambda: self.turn_to("label"))

    def _groups(self) -> Iterator[Any]:
        for group in self.state.filters:
            yield press_row(group.title, (group.chosen,), "mark_circle" if group.is_set else "",
                            lambda key=group.key: self.turn_to(f"filter {key}"))
        if any(group.is_set for group in self.state.filters):
            yield press_row(tr("Show everything"), (), "cross", self._clear)

    def _choices_of(self, group: FilterGroup) -> Iterator[Any]:
        for choice in group.choices:
            yield action_row(choice, lambda key: self._choose(group.key, key))
        if group.asks:
            yield press_row(tr("Type it"), (group.asks,), "note",
                            lambda: self.ask_text(group.asks, "", lambda text: self._type(group.key, text)))

    def _show_scope(self, key: str) -> None:
        self.face = ""
        self.presenter.show_scope(key)

    def _choose(self, group: str, key: str) -> None:
        self.face = ""
        self.presenter.choose_filter(group, key)

    def _type(self, group: str, text: str) -> None:
        self.face = ""
        self.presenter.type_filter(group, text)

    def _clear(self) -> None:
        self.face = ""
        self.presenter.clear_filter()

    def _press_file(self, key: str) -> None:
        if key in ("pdf", "csv", "jsonl"):
            self.face = ""
        self.presenter.press_file(key)

    def go_back(self) -> None:
        """Leave a list of choices, then the opened record, then the history."""
        if self.face.startswith("filter "):
            self.face = "filter"
        elif self.face:
            self.face = "whose" if self.face == "label" else ""
        elif self.state.opened:
            self.presenter.close_record()
        else:
            self.presenter.back()


def _reading_row(reading: ReadingDetail) -> TextRow:
    name = " ".join(text for text in (reading.title, reading.side, tr(reading.phase)) if text)
    return TextRow(title=f"{name}: {reading.value}", lines=(f"{reading.mark.word}  {reading.limits}",),
                   figure=figure_of(reading.mark))


load_kv(__file__)
