"""One unit: its assembly drawn with every position's state, beside it what is due, what is found, or all its parts."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

from kivy.properties import ListProperty

from kiosk.language import tr
from kiosk.presenters.parts import DiagramMark, DueRow
from kiosk.screens.base import KioskScreen, due_row, figure_of, finding_row, press_row
from kiosk.widgets import diagram as _diagram  # noqa: F401  used by the .kv file
from kiosk.widgets import faces as _faces  # noqa: F401  used by the .kv file
from kiosk.widgets.lists import ListRow, TextRow
from kiosk.widgets.theme import load_kv


class UnitScreen(KioskScreen):
    """Shows a `UnitState`. Faces: '' due jobs, 'findings', 'near' (parts, nearest to the last tap first), 'parts',
    'before' (what to know before the shift)."""

    near = ListProperty()

    def show_lists(self) -> None:
        """Fill the list of the face that is shown."""
        show = {"": self._show_due, "findings": self._show_findings, "near": self._show_near,
                "parts": self._show_parts, "before": self._show_before}
        show[self.face]()

    def show_near(self, position_ids: Sequence[str]) -> None:
        """List the parts, nearest to a tap on the drawing first."""
        self.near = list(position_ids)
        self.face = "near"
        self.show_lists()

    def _show_due(self) -> None:
        state = self.state
        self.ids.list.empty_text = tr("Nothing is due.")
        self.ids.list.show(("due", *state.due), map(self._due_row, state.due))

    def _due_row(self, row: DueRow) -> ListRow:
        return due_row(replace(row, last=""), lambda: self.presenter.open_component(row.component_id))

    def _show_findings(self) -> None:
        self.ids.list.empty_text = tr("No open findings.")
        self.ids.list.show(("findings", *self.state.findings), (
            finding_row(row, lambda row=row: self.presenter.open_position(row.position_id))
            for row in self.state.findings))

    def _show_before(self) -> None:
        """List what to know before the shift, under the note of a lock-out."""
        state = self.state
        self.ids.list.empty_text = tr("The sheets say nothing of it.")
        self.ids.list.show(("before", *state.before, state.lock_out), self._before_rows())

    def _before_rows(self) -> Iterator[TextRow | ListRow]:
        if self.state.lock_out is not None:
            yield press_row(self.state.lock_out.label, (), "warning", lambda: self.presenter.toggle_lock_out())
        for row in self.state.before:
            yield TextRow(title=row.title, lines=row.lines, figure=f"mark_{row.mark.shape}")

    def _marks(self) -> tuple[DiagramMark, ...]:
        return self.state.diagrams[self.state.shown].marks if self.state.diagrams else ()

    def _show_near(self) -> None:
        places = {position_id: place for place, position_id in enumerate(self.near)}
        ordered = sorted(self._marks(), key=lambda mark: places.get(mark.position_id, len(places)))
        self.ids.list.show(("near", *ordered), map(self._part_row, ordered))

    def _show_parts(self) -> None:
        self.ids.parts.empty_text = tr("No parts on this assembly.")
        self.ids.parts.show(self._marks(), map(self._part_row, self._marks()))

    def _part_row(self, mark: DiagramMark) -> ListRow:
        return press_row(mark.label, (mark.mark.word,), figure_of(mark.mark),
                         lambda: self.presenter.open_position(mark.position_id))

    def show_assembly_after(self, shown: int) -> None:
        """Ask for the next assembly's drawing."""
        self.near = []
        self.presenter.show_assembly((shown + 1) % len(self.state.diagrams))


load_kv(__file__)
