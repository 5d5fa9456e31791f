"""One part: what it is, what is due and found, its last records, the job that one touch saves, and its other jobs."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from typing import Any

from kivy.properties import BooleanProperty, ObjectProperty, StringProperty
from kivy.uix.boxlayout import BoxLayout

from kiosk.language import N_, tr
from kiosk.presenters.parts import DUE, OVERDUE, FigureRow, JobButton, StopPanel
from kiosk.screens.base import KioskScreen, action_row, due_row, figure_of, finding_row, press_row, short_record_row
from kiosk.widgets import chart as _chart  # noqa: F401  used by the .kv file
from kiosk.widgets import faces as _faces  # noqa: F401  used by the .kv file
from kiosk.widgets.lists import ListRow, TextRow
from kiosk.widgets.theme import load_kv, theme

RECORDS_SHOWN = 3
VIEW_WORDS = {"": N_("The part"), "trend": N_("Trend"), "figures": N_("Figures")}


class QuickJob(BoxLayout):
    """The job that one touch saves; takes a `QuickPanel`. With `can_ask` it is stopped and its button asks why."""

    quick = ObjectProperty(None, allownone=True, rebind=True)
    presenter = ObjectProperty(None, allownone=True, rebind=True)
    can_ask = BooleanProperty(False)
    __events__ = ("on_ask",)

    def on_ask(self) -> None:
        """Event: the reasons that override the stop are wanted."""

    def on_kv_post(self, _base: object) -> None:
        """Fill the lines for the first time."""
        self.fbind("quick", self._show_lines)
        self._show_lines()

    def _show_lines(self, *_: object) -> None:
        """List as many lines as fit; all of them stand in the part's list, too."""
        lines = self.quick.lines if self.quick else ()
        self.ids.lines.show(lines, (TextRow(lines=(line,)) for line in lines))


class ComponentScreen(KioskScreen):
    """Shows a `ComponentState`. Faces: '' (the part and its one-touch job), 'trend', 'figures', 'jobs'.

    `news` stands under the title: that the part is retired, else its open findings, else since when it is there.
    `next_view` names the view that the side button turns to.
    """

    news = StringProperty("")
    next_view = StringProperty("")

    def show_lists(self) -> None:
        """Fill what is known of the part, and its jobs or the reasons that override a stop."""
        state = self.state
        findings = (row.text for row in state.findings)
        self.news = state.retired or "\n".join((*state.begun, *findings)) or self._since()
        source = (state.now_id, state.begun, state.findings, state.records, state.due, state.facts, state.since,
                  self._quick_lines())
        self.ids.facts.show(source, self._facts())
        stop = state.quick.stop if state.quick else None
        self.ids.reasons.show((stop,), self._reasons(stop))
        if self.face == "jobs" or state.quick is None:
            self.ids.jobs.show((state.jobs, state.quick_jobs, state.can_work), self._jobs())
        self.next_view = tr(VIEW_WORDS[self._next_view()])
        if self.face == "figures":
            self.ids.figures.show((state.figure_groups, state.figures), self._figures())

    def turn_view(self) -> None:
        """Turn from the part to its trend, on to its figures, and back; what it has not got is left out."""
        face = self._next_view()
        if face == "figures":
            self.presenter.show_figures("")
        elif face == "trend":
            self.presenter.show_trend()
        elif self.state.trend is not None:
            self.presenter.hide_trend()
        self.face = face

    def _next_view(self) -> str:
        views = ["", *(["trend"] if self.state.has_trend else []), *(["figures"] if self.state.figure_groups else [])]
        at = views.index(self.face) if self.face in views else 0
        return views[(at + 1) % len(views)]

    def _figures(self) -> Iterator[Any]:
        """Yield the groups to choose from, or the chosen one's figures under the way back to the groups."""
        chosen = next((group for group in self.state.figure_groups if group.chosen), None)
        if chosen is None:
            for group in self.state.figure_groups:
                yield press_row(group.label, (), "right", lambda key=group.key: self.presenter.show_figures(key))
            return
        yield press_row(tr("{label}: back to all").format(label=chosen.label), (), "left",
                        lambda: self.presenter.show_figures(""))
        yield from map(figure_row, self.state.figures)

    def _since(self) -> str:
        """Return since when the part is there; on a low panel the list alone says it, for the job needs the room."""
        return self.state.since if theme.height > 7 * theme.target else ""

    def _quick_lines(self) -> tuple[str, ...]:
        return self.state.quick.lines if self.state.quick else ()

    def _facts(self) -> Iterator[Any]:
        state = self.state
        if state.now_id:
            yield press_row(tr("Open the part here now"), (), "right", lambda: self.presenter.open_now())
        yield from (TextRow(title=text, figure="note") for text in state.begun)
        urgent = [row for row in state.due if row.mark.colour in (DUE, OVERDUE)]
        yield from (due_row(replace(row, place="")) for row in urgent)
        yield from map(short_record_row, state.records[:RECORDS_SHOWN])
        yield from (due_row(replace(row, place="")) for row in state.due if row not in urgent)
        yield TextRow(lines=self._quick_lines())
        yield TextRow(lines=(state.since, *state.facts))
        yield from map(finding_row, state.findings)
        yield from map(short_record_row, state.records[RECORDS_SHOWN:])

    def _reasons(self, stop: StopPanel | None) -> Iterator[ListRow]:
        if stop is None:
            return
        for reason in stop.reasons:
            yield action_row(reason, lambda key: self.presenter.choose_reason(key))
        yield press_row(stop.typed or tr("Another reason"), (), "note",
                        lambda: self.ask_text(tr("Why all the same?"), stop.typed, self.presenter.type_reason))

    def _jobs(self) -> Iterator[ListRow]:
        for job in self.state.jobs:
            yield self._job_row(job)
        for quick in self.state.quick_jobs:
            yield action_row(quick, self._pick_quick)
        yield press_row(tr("Report a finding"), (), "flag",
                        lambda: self.ask_text(tr("What is wrong?"), "", self.presenter.report_finding),
                        enabled=self.state.can_work)

    def _job_row(self, job: JobButton) -> ListRow:
        return press_row(job.title, (job.due,), job.type if not job.mark.word else figure_of(job.mark),
                         lambda: self._open_job(job.key), enabled=job.enabled)

    def _open_job(self, key: str) -> None:
        """Open a job; one that one touch saves comes up on this page, in place of the list."""
        self.face = ""
        self.presenter.open_job(key)

    def _pick_quick(self, key: str) -> None:
        self.face = ""
        self.presenter.pick_quick(key)


def figure_row(figure: FigureRow) -> TextRow:
    """Return a figure of the part as a row to read."""
    named = (("", figure.limit), (tr("how sure: "), figure.sure), (tr("from: "), figure.source))
    told = "  ·  ".join(name + text for name, text in named if text)
    return TextRow(title=f"{figure.title}: {figure.value}", lines=[text for text in (told, figure.note) if text])


load_kv(__file__)
