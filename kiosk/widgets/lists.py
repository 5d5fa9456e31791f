"""Lists for gloved hands: pages turned by two large buttons instead of dragging, so that no row is ever cut off.

A row says by `height_for(width)` how high it must be; `PagedList` puts as many whole rows on a page as fit.
"""

from __future__ import annotations

from collections.abc import Hashable, Iterable, Sequence
from typing import Any, Protocol

from kivy.clock import Clock
from kivy.properties import BooleanProperty, ListProperty, NumericProperty, ObjectProperty, StringProperty
from kivy.uix.boxlayout import BoxLayout
from kivy.uix.floatlayout import FloatLayout
from kivy.uix.widget import Widget

from kiosk.widgets.drawing import Picture
from kiosk.widgets.press import Press, Touch
from kiosk.widgets.theme import load_kv, theme
from kiosk.widgets.words import FittedWords, text_size_px


class Row(Protocol):
    """What a paged list asks of its rows, which are widgets."""

    def height_for(self, width_px: float) -> float:
        """Return the height [px] the row needs at this width."""
        ...


class TextRow(BoxLayout):
    """A row that is read only: an optional mark, a heading in bold, lines below it."""

    figure = StringProperty("")
    title = StringProperty("")
    lines = ListProperty()

    def height_for(self, width_px: float) -> float:
        """Return the height [px] the row needs at this width."""
        text_width = width_px - (theme.mark + theme.pad if self.figure else 0)
        return max(_text_height(self.title, self.lines, text_width), theme.mark if self.figure else 0)


class ListRow(Touch, BoxLayout):
    """A row that is pressed: a mark or icon, a heading in bold, lines below it. At least a finger high."""

    figure = StringProperty("")
    title = StringProperty("")
    lines = ListProperty()

    def height_for(self, width_px: float) -> float:
        """Return the height [px] the row needs at this width."""
        text_width = width_px - 2 * theme.pad - (theme.mark + theme.pad if self.figure else 0)
        return max(theme.target, _text_height(self.title, self.lines, text_width) + 1.2 * theme.pad)


class StateTile(Touch, BoxLayout):
    """A tile that is pressed: a name, below it its state by mark and word."""

    title = StringProperty("")
    mark = ObjectProperty(rebind=True)

    def height_for(self, width_px: float) -> float:
        """Return the height [px] the tile needs at this width."""
        name = text_size_px(self.title, theme.body, True, int(width_px - 2 * theme.pad))[1]
        return float(max(theme.target, name + theme.mark + 3 * theme.pad))


def _text_height(title: str, lines: Iterable[str], width_px: float) -> float:
    height = text_size_px(title, theme.body, True, int(width_px))[1] if title else 0
    return height + sum(text_size_px(line, theme.body, False, int(width_px))[1] for line in lines if line)


class PagedList(FloatLayout):
    """Rows from the top, as many whole ones as fit; two buttons turn the page when there are more.

    `columns` sets rows side by side. `row_gap` lies between them; the theme's gap where rows are pressed.
    With `turns` False there are no pages: what fits is shown, and `is_cut` says whether there is more. With `buttons`
    False the pages are turned from elsewhere; `pages` counts them. `content_height` is what all rows need. [px]
    """

    columns = NumericProperty(1)
    row_gap = NumericProperty(0)
    page = NumericProperty(0)
    empty_text = StringProperty("")
    even = BooleanProperty(False)
    turns = BooleanProperty(True)
    buttons = BooleanProperty(True)
    pages = NumericProperty(1)
    content_height = NumericProperty(0)
    is_cut = BooleanProperty(False)
    look = NumericProperty(0)

    def __init__(self, **kwargs: object) -> None:
        self._rows: list[Any] = []
        self._source: Hashable = None
        self._wanted: int | None = None
        self._back = Press(icon="up", on_release=lambda _: self.turn(-1))
        self._on = Press(icon="down", on_release=lambda _: self.turn(1))
        self._where = FittedWords()
        super().__init__(**kwargs)
        self._later = Clock.create_trigger(self._lay_out, -1)
        for name in ("pos", "size", "columns", "row_gap", "page", "empty_text", "even", "turns", "buttons", "look"):
            self.fbind(name, self._later)

    def show(self, source: Sequence[Hashable], rows: Iterable[Widget]) -> None:
        """Show `rows` built from `source`; nothing happens while the source stays equal."""
        if source == self._source:
            return
        self._source, self._rows, self._wanted = tuple(source), list(rows), None
        self.page = 0
        self._later()

    def rows_on_page(self) -> tuple[Any, ...]:
        """Return the rows of the page that is shown."""
        return tuple(row for row in self._rows if row.parent is self)

    def turn(self, by: int) -> None:
        """Turn `by` pages on."""
        self._wanted = None
        self.page = max(0, min(self.page + by, len(self._pages()) - 1))

    def rows(self) -> tuple[Any, ...]:
        """Return all rows, also those on other pages."""
        return tuple(self._rows)

    def show_row(self, number: int) -> None:
        """Keep the page on which a row stands on show, counted from 0, until the pages are turned."""
        self._wanted = number
        self._later()

    def _page_of(self, number: int, pages: list[list[tuple[list[Any], float]]]) -> int:
        row = self._rows[number]
        return next((at for at, lines in enumerate(pages) if any(row in group for group, _ in lines)), 0)

    def _gap(self) -> float:
        return self.row_gap or theme.gap

    def _column_width(self) -> float:
        return (self.width - self._gap() * (self.columns - 1)) / self.columns

    def _lines(self) -> list[tuple[list[Any], float]]:
        """Return the rows that stand side by side, with the height of the highest."""
        step = int(self.columns)
        width = self._column_width()
        groups = [self._rows[at : at + step] for at in range(0, len(self._rows), step)]
        heights = [max(row.height_for(width) for row in group) for group in groups]
        if self.even and heights:
            heights = [max(heights)] * len(heights)
        return list(zip(groups, heights, strict=True))

    def _needed(self) -> float:
        lines = self._lines()
        return sum(height for _, height in lines) + self._gap() * max(0, len(lines) - 1)

    def _pages(self) -> list[list[tuple[list[Any], float]]]:
        lines = self._lines()
        if self._needed() <= self.height:
            return [lines] if lines else []
        room = self.height - theme.target - theme.gap if self.turns and self.buttons else self.height
        pages: list[list[tuple[list[Any], float]]] = [[]]
        used = 0.0
        for line in lines:
            if pages[-1] and used + line[1] > room:
                pages.append([])
                used = 0.0
            pages[-1].append(line)
            used += line[1] + self._gap()
        return pages

    def _lay_out(self, *_: object) -> None:
        self.clear_widgets()
        if self.width <= 1 or self.height <= 1:
            return
        pages = self._pages()
        self.pages = max(1, len(pages))
        self.content_height = self._needed()
        if not pages:
            self._show_empty()
            return
        if self._wanted is not None and self._wanted < len(self._rows):
            self.page = self._page_of(self._wanted, pages)
        self.page = min(self.page, len(pages) - 1)
        self.is_cut = len(pages) > 1 or (not self.turns and pages[0][0][1] > self.height)
        if self.turns or pages[0][0][1] <= self.height:
            self._place_rows(pages[int(self.page)])
        if self.is_cut and self.turns and self.buttons:
            self._place_pager(len(pages))

    def _place_rows(self, lines: list[tuple[list[Any], float]]) -> None:
        top, width = self.top, self._column_width()
        for group, height in lines:
            for column, row in enumerate(group):
                row.size_hint = (None, None)
                row.size = (width, height)
                row.pos = (self.x + column * (width + self._gap()), top - height)
                self.add_widget(row)
            top -= height + self._gap()

    def _place_pager(self, pages: int) -> None:
        wide = max(theme.target, min(self.width / 3, theme.side))
        for button, x in ((self._back, self.x), (self._on, self.right - wide)):
            button.size_hint, button.pos, button.size = (None, None), (x, self.y), (wide, theme.target)
            self.add_widget(button)
        self._back.disabled = self.page == 0
        self._on.disabled = self.page == pages - 1
        self._where.text = f"{int(self.page) + 1} / {pages}"
        self._where.size_hint, self._where.pos = (None, None), (self.x + wide, self.y)
        self._where.size = (self.width - 2 * wide, theme.target)
        self.add_widget(self._where)

    def _show_empty(self) -> None:
        self._where.text = self.empty_text
        self._where.size_hint, self._where.pos, self._where.size = (None, None), self.pos, self.size
        self.add_widget(self._where)


class MarkedWords(BoxLayout):
    """A mark with its word beside it: state by shape, word and colour."""

    mark = ObjectProperty(None, allownone=True, rebind=True)


_PARTS_USED_BY_KV = (Picture,)
load_kv(__file__)
