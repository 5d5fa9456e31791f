"""A round: its fittings on the drawing, how far it is, and at the right the list, the job in hand, or what is asked."""

from __future__ import annotations

from collections.abc import Iterator

from kivy.properties import NumericProperty, StringProperty
from kivy.uix.boxlayout import BoxLayout

from kiosk.language import tr
from kiosk.presenters.parts import RoundRow
from kiosk.screens import component as _component  # noqa: F401  its one-touch job is used by the .kv file
from kiosk.screens.base import KioskScreen, action_row, figure_of, press_row
from kiosk.widgets import diagram as _diagram  # noqa: F401  used by the .kv file
from kiosk.widgets import faces as _faces  # noqa: F401  used by the .kv file
from kiosk.widgets.lists import ListRow, TextRow
from kiosk.widgets.theme import load_kv


class ProgressLine(BoxLayout):
    """How far a round is: what was done, and with what was left out, as shares of its length; beside it in words."""

    done = NumericProperty(0)
    settled = NumericProperty(0)
    text = StringProperty("")


class RoundScreen(KioskScreen):
    """Shows a `RoundState`. Faces: '' (the job in hand, else the list), 'list', 'story', 'reasons'.

    `shown` is what stands at the right; `heading` says what is in hand or comes next.
    """

    shown = StringProperty("list")
    heading = StringProperty("")

    def show_lists(self) -> None:
        """Fill the list, the reasons and the story."""
        state = self.state
        self._leave_face_of_another_job()
        self.shown = self._shown()
        self.heading = (state.title if state.is_over or self.shown == "story" else state.ending.text if state.ending
                        else state.here if state.quick else state.hint)
        self.ids.rows.show(state.rows, map(self._row, state.rows))
        if self.shown == "list":
            self._turn_to_next()
        self.ids.reasons.show((state.ending, state.quick and state.quick.stop), self._reasons())
        self.ids.story.show(state.story, (TextRow(lines=(line,)) for line in state.story))

    def _leave_face_of_another_job(self) -> None:
        """Come back to the job in hand when another one was scanned, or the round's end was asked for."""
        key = (self.state.here, self.state.ending is None)
        if key != getattr(self, "_job_shown", key):
            self.face = ""
        self._job_shown = key

    def _shown(self) -> str:
        state = self.state
        if self.face in ("list", "story"):
            return str(self.face)
        if state.is_over:
            return "story"
        if state.ending is not None or (self.face == "reasons" and state.quick and state.quick.stop):
            return "reasons"
        return "quick" if state.quick else "form" if state.form else "list"

    def _turn_to_next(self) -> None:
        """Show the page of the list on which the next job stands."""
        rows = self.ids.rows
        at = next((number for number, row in enumerate(self.state.rows) if row.is_next), None)
        if at is not None:
            rows.show_row(at)

    def _row(self, row: RoundRow) -> ListRow:
        return press_row(row.title, (*row.lines, row.mark.word), figure_of(row.mark),
                         lambda: self.presenter.select_row(row.key), "chosen" if row.is_next else "plain", row.enabled)

    def _reasons(self) -> Iterator[ListRow]:
        state = self.state
        if state.ending is not None:
            for reason in state.ending.reasons:
                yield press_row(reason.label, (), "", lambda key=reason.key: self.presenter.skip_for(key))
            yield press_row(tr("Another reason"), (), "note",
                            lambda: self.ask_text(state.ending.text, "", self.presenter.type_reason))
        elif state.quick is not None and state.quick.stop is not None:
            for reason in state.quick.stop.reasons:
                yield action_row(reason, lambda key: self.presenter.choose_reason(key))
            yield press_row(state.quick.stop.typed or tr("Another reason"), (), "note", lambda: self.ask_text(
                tr("Why all the same?"), state.quick.stop.typed, self.presenter.type_reason))

    def end_or_go_on(self) -> None:
        """Ask for the end of the round, or go on with it."""
        (self.presenter.go_on if self.state.ending else self.presenter.end)()

    def back(self) -> None:
        """Leave the list or story for the job in hand, else the round."""
        if self.face:
            self.face = ""
        else:
            self.presenter.back()


load_kv(__file__)
