"""Service sheets edited on screen: every value by the letter board, the form previewed, the next revision on saving."""

from __future__ import annotations

from collections.abc import Callable

from kiosk.errors import NotAllowed
from kiosk.language import N_, tr
from kiosk.presenters.base import action
from kiosk.presenters.form import FormPresenter
from kiosk.presenters.helpers import OneSheet, Part
from kiosk.presenters.navigation import Navigation
from kiosk.presenters.parts import PageRow
from kiosk.presenters.set_up_page import ChoicePage, SetUpPage
from kiosk.presenters.set_up_ports import SheetDraft, SheetField, SheetPath
from kiosk.presenters.words import FINE, NOT_TAKEN, NOTHING
from kiosk.service_sheet import JobSpec, ServiceSheet


class SheetsPage(SetUpPage):
    """The sheets in force; those being edited say so."""

    title = N_("Service sheets")

    def __init__(self, desk: Navigation) -> None:
        super().__init__(desk)
        self._drafts: dict[str, SheetDraft] = {}

    def rows(self) -> tuple[PageRow, ...]:
        """Return the sheets."""
        return tuple(self._row(sheet) for sheet in self.helpers.sheets.sheets())

    def _row(self, sheet: ServiceSheet) -> PageRow:
        draft = self._drafts.get(sheet.key)
        said = tr("changed, not in force yet") if draft is not None and draft.is_changed else ""
        return PageRow(sheet.key, sheet.title, (tr("revision {n}").format(n=sheet.revision), said), NOTHING)

    def pressed(self, key: str) -> None:
        """Edit a sheet, going on with what was changed before."""
        draft = self._drafts.get(key)
        if draft is None or draft.revision != self.helpers.sheets.sheet(key).revision + 1:
            draft = self._drafts[key] = self.set_up.edit_sheet(key)
        self.desk.open_page(SheetPage(self.desk, draft, self._forget))

    def _forget(self, key: str) -> None:
        self._drafts.pop(key, None)


class TablePage(SetUpPage):
    """A table of a sheet: its fields, its tables, and what can be added."""

    def __init__(self, desk: Navigation, draft: SheetDraft, path: SheetPath) -> None:
        super().__init__(desk)
        self.draft, self.path = draft, path
        self.title = draft.name_of(path)

    def rows(self) -> tuple[PageRow, ...]:
        """Return the fields, the last of them what can be done with the table."""
        return (*map(self._row, self.draft.fields(self.path)), *self.ways())

    def ways(self) -> tuple[PageRow, ...]:
        """Return what can be done with this table."""
        if not self.path or not isinstance(self.path[-1], int):
            return (PageRow("out", tr("Take this out"), (), NOTHING),) if self.path else ()
        return (PageRow("copy", tr("Another one like this"), (), NOTHING),
                PageRow("out", tr("Take this out"), (), NOTHING))

    def _row(self, field: SheetField) -> PageRow:
        key = "/".join(map(str, field.path[len(self.path):]))
        if field.kind in ("table", "texts", "flag"):
            return PageRow(key, field.title, (field.shown,), NOTHING)
        return self.field(key, field.title, field.shown, f"{field.title}?")

    def _field(self, key: str) -> SheetField:
        way = {"/".join(map(str, field.path[len(self.path):])): field for field in self.draft.fields(self.path)}
        return way[key]

    def typed_text(self, key: str, text: str) -> None:
        """Change a value; the note says what still keeps the sheet from coming into force."""
        self.draft.change(self._field(key).path, text)
        self.say_problems()

    def pressed(self, key: str) -> None:
        """Open a table or list, turn a flag, copy this table or take it out."""
        if key == "copy":
            path = self.draft.copy(self.path)
            self.desk.back()
            self.desk.open_page(TablePage(self.desk, self.draft, path))
        elif key == "out":
            self.ask(tr("Take out '{what}'?").format(what=self.title), {
                "yes": (tr("Yes, take it out"), self._take_out), "no": (tr("No"), _nothing)})
        else:
            self._open(self._field(key))

    def _open(self, field: SheetField) -> None:
        if field.kind == "table":
            self.desk.open_page(TablePage(self.desk, self.draft, field.path))
        elif field.kind == "texts":
            self.desk.open_page(TextsPage(self.desk, self.draft, field.path))
        else:
            self.draft.flip(field.path)
            self.say_problems()

    def _take_out(self) -> None:
        self.draft.remove(self.path)
        self.desk.back()

    def say_problems(self) -> None:
        """Note what still keeps the sheet from coming into force."""
        problems = self.draft.problems()
        self.note = problems[0] if problems else ""


class TextsPage(SetUpPage):
    """A list of texts: each changed, one added, one taken out."""

    def __init__(self, desk: Navigation, draft: SheetDraft, path: SheetPath) -> None:
        super().__init__(desk)
        self.draft, self.path = draft, path
        self.title = draft.name_of(path)
        self._is_taking_out = False

    def rows(self) -> tuple[PageRow, ...]:
        """Return the texts, then the ways to add and take out."""
        texts = self.draft.texts(self.path)
        if self._is_taking_out:
            out = tr("touch to take it out")
            return (*(PageRow(str(at), text, (out,), NOT_TAKEN) for at, text in enumerate(texts)), PageRow(
                "stop", tr("Take none out"), (), NOTHING))
        return (
            *(PageRow(str(at), text, (), NOTHING, f"{self.title}?", begins=text) for at, text in enumerate(texts)),
            PageRow(str(len(texts)), tr("Add one"), (), NOTHING, f"{self.title}?"),
            PageRow("stop", tr("Take one out"), (), NOTHING),
        )

    def typed_text(self, key: str, text: str) -> None:
        """Change or add a text."""
        self.draft.change((*self.path, int(key)), text)
        problems = self.draft.problems()
        self.note = problems[0] if problems else ""

    def pressed(self, key: str) -> None:
        """Begin or stop taking out, or take one out."""
        if key == "stop":
            self._is_taking_out = not self._is_taking_out
            return
        last = len(self.draft.texts(self.path)) == 1
        self.draft.remove((*self.path, int(key)))
        self._is_taking_out = False
        if last:
            self.desk.back()


class SheetPage(TablePage):
    """A whole sheet: preview, putting into force, throwing the changes away, and all that stands on it."""

    def __init__(self, desk: Navigation, draft: SheetDraft, forget: Callable[[str], None]) -> None:
        super().__init__(desk, draft, ())
        self._forget = forget

    def rows(self) -> tuple[PageRow, ...]:
        """Return the ways on first: they are what one comes back for."""
        problems = self.draft.problems()
        return (
            PageRow("preview", tr("Look at the form"), (tr("As the mechanic will see it"),), NOTHING),
            self._adopt_row(problems),
            *super().rows(),
            PageRow("forget", tr("Throw the changes away"), (), NOTHING, enabled=self.draft.is_changed),
        )

    def _adopt_row(self, problems: tuple[str, ...]) -> PageRow:
        title = tr("Put revision {n} into force").format(n=self.draft.revision)
        if problems:
            return PageRow("adopt", title, problems[:2], NOT_TAKEN)
        changed = self.draft.is_changed
        return PageRow("adopt", title, ("" if changed else tr("nothing is changed yet"),), FINE if changed else NOTHING,
                       enabled=changed)

    def pressed(self, key: str) -> None:
        """Preview, put into force, throw away, or open what stands on the sheet."""
        if key == "preview":
            jobs = [(job.key, job.title, tr(job.type)) for job in self.draft.sheet().jobs if job.readings or job.steps]
            self.desk.open_page(ChoicePage(self.desk, tr("Which job's form?"), jobs, self._preview))
        elif key == "adopt":
            sheet = self.set_up.adopt(self.draft, self.by)
            self._forget(sheet.key)
            self.draft = self.set_up.edit_sheet(sheet.key)
            self.title = self.draft.name_of(())
            self.done(tr("Revision {n} of {sheet} is in force. Old records keep the limits of their day.").format(
                n=sheet.revision, sheet=sheet.title))
        elif key == "forget":
            self._forget(self.draft.key)
            self.draft = self.set_up.edit_sheet(self.draft.key)
            self._refused.clear()
            self.note = tr("As it was.")
        else:
            super().pressed(key)

    def _preview(self, job: str) -> None:
        sheet = self.draft.sheet()
        self.desk.open_page(PreviewForm(self.desk, part_served_by(self, sheet), sheet.job(job)))


class PreviewForm(FormPresenter):
    """A job's form by a sheet that is not in force: everything can be tried, nothing is saved."""

    def __init__(self, desk: Navigation, part: Part, job: JobSpec) -> None:
        super().__init__(desk, part, job)
        self.tell(tr("A preview, on {place}. Type readings to see their verdicts; nothing is saved.").format(
            place=part.place))

    @action
    def save(self) -> None:
        """Say that this is a preview."""
        raise NotAllowed(tr("This is a preview: nothing is saved. Put the sheet into force first."))


def part_served_by(page: SetUpPage, sheet: ServiceSheet) -> Part:
    """Return a part of the yard that a sheet serves, with the sheet as it will be.

    Raises:
        NotAllowed: no part of the yard is served by it.
    """
    records = page.helpers.records
    for unit in records.units():
        for component in records.components_of_unit(unit.id):
            if component.sheet == sheet.key:
                return Part(component, records.position(component.position_id), unit, OneSheet(sheet))
    raise NotAllowed(tr("No part of the yard is served by this sheet yet, so there is no form to show."))


def _nothing() -> None:
    """The answer that changes nothing."""
