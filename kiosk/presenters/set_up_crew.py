"""Crew and badges: somebody added, their role, language and units changed, a badge printed, renewed or retired."""

from __future__ import annotations

from dataclasses import replace

from kiosk.entities import Person, Role
from kiosk.language import N_, tr
from kiosk.presenters.navigation import Navigation
from kiosk.presenters.parts import PageRow
from kiosk.presenters.set_up_page import LANGUAGES, LENGTHS, ChoicePage, SetUpPage, next_of
from kiosk.presenters.words import NOTHING, RETIRED
from labels.number import parse

ROLES = {
    Role.MECHANIC: N_("does the work and records it"),
    Role.LEAD: N_("also closes findings, holds units, corrects records"),
    Role.SUPERVISOR: N_("also sets up the yard"),
}


class CrewSetUpPage(SetUpPage):
    """The crew, and a way to add somebody."""

    title = N_("Crew and badges")

    def rows(self) -> tuple[PageRow, ...]:
        """Return the way to add somebody, then the crew; who left comes last."""
        rows = [(is_retired(self, person), self._row(person)) for person in self.helpers.records.people()]
        rows.sort(key=lambda row: row[0])
        add = PageRow("add", tr("Add somebody"), (tr("Gets a badge with a new number"),), NOTHING,
                      tr("Name of the new person?"))
        return (add, *(row for _, row in rows))

    def _row(self, person: Person) -> PageRow:
        lines = (f"{tr(person.role)} · {LANGUAGES.get(person.language, person.language)} · {person.units}",)
        return PageRow(person.id, person.name, lines, RETIRED if is_retired(self, person) else NOTHING)

    def typed_text(self, key: str, text: str) -> None:
        """Add somebody, once it is said as what."""
        options = [(role.value, tr(role).capitalize(), tr(line)) for role, line in ROLES.items()]
        title = tr("What does {name} do?").format(name=text)
        self.desk.open_page(ChoicePage(self.desk, title, options, lambda role: self._add(text, Role(role))))

    def _add(self, name: str, role: Role) -> None:
        person = self.set_up.add_person(name, role, self.by)
        self.desk.back()
        page = PersonPage(self.desk, person.id)
        page.print_badge()
        self.desk.open_page(page)

    def pressed(self, key: str) -> None:
        """Open a person."""
        self.desk.open_page(PersonPage(self.desk, key))


class PersonPage(SetUpPage):
    """One of the crew."""

    def __init__(self, desk: Navigation, person_id: str) -> None:
        super().__init__(desk)
        self._id = person_id
        self.title = self._person.name

    @property
    def _person(self) -> Person:
        return self.helpers.records.person(self._id)

    def rows(self) -> tuple[PageRow, ...]:
        """Return what can be changed, and what can be done with the badge."""
        person = self._person
        number = parse(person.badge).grouped
        if is_retired(self, person):
            return (PageRow("badge", tr("Give a badge again"), (tr("The old one counts no more: {number}").format(
                number=number),), RETIRED, tr("Why does {name} get a badge?").format(name=person.name)),)
        return (
            PageRow("print", tr("Print the badge"), (number,), NOTHING),
            self.field("name", tr("Name"), person.name, tr("How is the name written?")),
            PageRow("role", tr("Role"), (tr(person.role),), NOTHING),
            PageRow("units", tr("Lengths"), (tr(LENGTHS[person.units]),), NOTHING),
            PageRow("language", tr("Language"), (LANGUAGES.get(person.language, person.language),), NOTHING),
            PageRow("badge", tr("Give another badge"), (tr("The old one counts no more"),), NOTHING,
                    tr("Why does {name} get another badge?").format(name=person.name)),
            PageRow("retire", tr("Left the crew"), (tr("The badge counts no more; the records stay"),), NOTHING,
                    tr("Why does the badge of {name} count no more?").format(name=person.name)),
        )

    def pressed(self, key: str) -> None:
        """Turn a choice on, or print."""
        person = self._person
        if key == "print":
            self.print_badge()
        elif key == "units":
            self._change(replace(person, units=next_of(tuple(LENGTHS), person.units)))
        elif key == "language":
            self._change(replace(person, language=next_of(tuple(LANGUAGES), person.language)))
        elif key == "role":
            options = [(role.value, tr(role).capitalize(), tr(line)) for role, line in ROLES.items()]
            title = tr("What does {name} do?").format(name=person.name)
            self.desk.open_page(ChoicePage(self.desk, title, options,
                                           lambda role: self._change(replace(person, role=Role(role)))))

    def typed_text(self, key: str, text: str) -> None:
        """Take a name, or the reason for another badge or none."""
        if key == "name":
            self._change(replace(self._person, name=text))
            self.title = text
        elif key == "badge":
            self.set_up.new_badge(self._id, text, self.by)
            self.print_badge()
        else:
            self.set_up.retire(self._id, text, self.by)
            self.done(tr("The badge counts no more."))

    def print_badge(self) -> None:
        """Print the badge and say where it is."""
        page = self.set_up.print_badge(self._id, self.by)
        self.done(tr("Badge {number} is printed: {page}").format(number=parse(self._person.badge).grouped,
                                                                 page=page.name))

    def _change(self, person: Person) -> None:
        self.set_up.change_person(person, self.by)
        self.done(tr("On record."))


def is_retired(page: SetUpPage, person: Person) -> bool:
    """Say whether a person's badge counts no more."""
    label = page.helpers.records.label(person.badge)
    return label is not None and label.retired_at is not None
