"""The first run: yard, kiosk number, time zone, units, paper, language, first supervisor, then making it."""

from __future__ import annotations

from dataclasses import replace

from kiosk.errors import RecordError
from kiosk.language import N_, tr
from kiosk.presenters.navigation import Navigation
from kiosk.presenters.parts import PageRow
from kiosk.presenters.set_up_page import LANGUAGES, LENGTHS, ChoicePage, SetUpPage, next_of
from kiosk.presenters.words import FINE, NOTHING

PAGES = ("Letter", "A4")


class FirstRunPage(SetUpPage):
    """Shown in place of the idle screen while nobody is on record. The one page that needs no badge: there is none."""

    title = N_("A new yard")

    def __init__(self, desk: Navigation) -> None:
        super().__init__(desk)
        self._first = self.set_up.first_choices()
        self.note = tr("Touch a line to change it. Nothing is on record before the yard is made.")

    def admit(self) -> None:
        """Let anybody in while nobody is on record."""

    def rows(self) -> tuple[PageRow, ...]:
        """Return the choices, and the way on."""
        first = self._first
        ready = bool(first.yard and first.supervisor)
        lacks = tr("needs the yard's and the supervisor's name")
        return (
            self.field("yard", tr("Yard"), first.yard, tr("What is the yard called?")),
            self.field("supervisor", tr("First supervisor"), first.supervisor, tr("Who is the first supervisor?"),
                       tr("gets a badge, and chooses a PIN")),
            self.field("kiosk", tr("This kiosk's number"), str(first.kiosk), tr("Number of this kiosk, 0 to 99?"),
                       tr("another one at each kiosk of the yard")),
            PageRow("zone", tr("Time zone"), (zone_words(first.time_zone),), NOTHING),
            PageRow("units", tr("Lengths"), (tr(LENGTHS[first.units]),), NOTHING),
            PageRow("page", tr("Paper"), (first.page,), NOTHING),
            PageRow("language", tr("Language"), (LANGUAGES[first.language],), NOTHING),
            PageRow("make", tr("Make the yard"), ("" if ready else lacks,), FINE if ready else NOTHING,
                    enabled=ready),
        )

    def typed_text(self, key: str, text: str) -> None:
        """Take a name, or the kiosk's number."""
        if key == "kiosk":
            if not (text.isascii() and text.isdigit() and int(text) <= 99):
                raise RecordError(tr("A kiosk's number is 0 to 99, not {typed}.").format(typed=text))
            self._first = replace(self._first, kiosk=int(text))
        elif key == "yard":
            self._first = replace(self._first, yard=text)
        else:
            self._first = replace(self._first, supervisor=text)

    def pressed(self, key: str) -> None:
        """Turn a choice on, or make the yard."""
        first = self._first
        if key == "units":
            self._first = replace(first, units=next_of(tuple(LENGTHS), first.units))
        elif key == "page":
            self._first = replace(first, page=next_of(PAGES, first.page))
        elif key == "language":
            self._first = replace(first, language=next_of(tuple(LANGUAGES), first.language))
        elif key == "zone":
            self._ask_area()
        elif key == "make" and first.yard and first.supervisor:
            self.set_up.found(first)

    def _ask_area(self) -> None:
        areas = [(area, area, "") for area in self.set_up.time_zones()]
        self.desk.open_page(ChoicePage(self.desk, tr("Part of the world"), areas, self._ask_zone, self.admit))

    def _ask_zone(self, area: str) -> None:
        zones = [(name, zone_words(name.partition("/")[2] or name), "")
                 for name in self.set_up.time_zones()[area]]
        self.desk.back()
        self.desk.open_page(ChoicePage(self.desk, tr("Time zone"), zones, self._take_zone, self.admit))

    def _take_zone(self, zone: str) -> None:
        self._first = replace(self._first, time_zone=zone)


def zone_words(zone: str) -> str:
    """Return a time zone's name so that a long one can be broken into lines: 'America / New York'."""
    return zone.replace("/", " / ").replace("_", " ")
