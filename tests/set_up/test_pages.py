"""The set-up's pages on a real shop: what a supervisor touches and types is on record, what is refused stays typed."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
from pages import Pages

from kiosk.entities import JobType, LabelKind, Role
from kiosk.errors import NotAllowed
from kiosk.events import SheetAdopted, UnitAdded
from kiosk.presenters.set_up_start import SetUpStart
from kiosk.presenters.states import FormState, IdleState, PageState
from kiosk.shop import Shop


def test_first_run__asks_names__before_the_yard_is_made(shop: Shop) -> None:
    """An empty journal shows the page; what is chosen goes to the making, nothing is on record before."""
    pages = Pages(shop)
    assert isinstance(pages.state, PageState) and pages.state.title == "A new yard"
    assert not pages.row("Make the yard").enabled
    pages.type("Yard", "Kelp Lane Depot")
    pages.type("First supervisor", "Ana Peña")
    pages.type("This kiosk's number", "7")
    pages.press("Time zone", "America", "New York")
    pages.press("Paper", "Language")
    pages.press("Make the yard")
    (first,) = pages.founded
    assert (first.yard, first.supervisor, first.kiosk) == ("Kelp Lane Depot", "Ana Peña", 7)
    assert first.time_zone == "America/New_York" and first.language in ("en", "es", "de", "fr")
    assert next(iter(shop.records.entries()), None) is None


@pytest.mark.parametrize("typed", ["100", "-1", "seven", "٣"])
def test_first_run__kiosk_number_that_is_none__stays_typed(typed: str, shop: Shop) -> None:
    """The refused text is on its row, with the reason, and the board begins with it."""
    pages = Pages(shop)
    pages.type("This kiosk's number", typed)
    row = pages.row("This kiosk's number")
    assert row.begins == typed and "0 to 99" in row.lines[1]
    pages.type("This kiosk's number", "8")
    assert pages.row("This kiosk's number").lines[0] == "8"


def test_yard_is_made__badge_then_pin__no_default(pages: Pages) -> None:
    """The badge's owner chooses the PIN; until then nobody is signed in."""
    boss = pages.shop.records.people()[0]
    new = Pages(pages.shop)
    assert isinstance(new.state, IdleState)
    new.desk.yard_is_made(boss.badge, "label.pdf")
    new.screen.answer("go")
    assert new.state.frame.pin_pad is not None and "choose a PIN" in new.state.frame.pin_pad.hint
    for key in ("4", "7", "1", "1", "enter") * 2:
        new.screen.pin_key(key)
    assert new.state.title == "Set up the yard" and pages.shop.pins.is_set(boss.id)


@pytest.mark.parametrize("role", [Role.MECHANIC, Role.LEAD])
def test_pages__not_a_supervisor__is_refused(role: Role, pages: Pages) -> None:
    """Neither a mechanic nor a lead gets in, nor acts on a page left open by a supervisor."""
    other = pages.hand(role)
    left_open = pages.screen
    pages.sign_in(other)
    with pytest.raises(NotAllowed, match="takes a supervisor"):
        SetUpStart(pages.desk)
    left_open.take_text("name", "Mine now")
    assert pages.shop.records.yard_name() == "Kelp Lane Depot"


def test_unit__from_template_to_labels(pages: Pages) -> None:
    """A unit with every part on record, and all labels in one PDF."""
    pages.press("Units", "Add a unit", "Sweeper with flight elevator")
    pages.type("Name", "Unit 7")
    pages.type("Hour meter", "1234.5")
    pages.press("Put it on record")
    assert pages.state.title == "Unit 7"
    pages.press("Print all labels")
    page = pages.shop.folder / "labels" / pages.state.note.removeprefix("Printed as ")
    assert page.read_bytes().startswith(b"%PDF")
    (unit,) = pages.shop.records.units()
    meter = pages.shop.records.hours(unit.id)
    assert meter is not None and meter.hours == 1234.5
    by = {entry.event.person_id for entry in pages.shop.records.entries() if isinstance(entry.event.payload, UnitAdded)}
    assert by == {"crew-ana-pena"}


def test_unit__same_name_twice__is_refused(pages: Pages) -> None:
    """Two machines of one name would get each other's records."""
    for _ in range(2):
        pages.desk.open_page(SetUpStart(pages.desk))
        pages.press("Units", "Add a unit", "Empty")
        pages.type("Name", "Unit 7")
        pages.type("Hour meter", "0")
        pages.press("Put it on record")
    assert "called Unit 7 already" in pages.state.frame.message.text
    assert len(pages.shop.records.units()) == 1 and pages.row("Name").lines[0] == "Unit 7"


def test_position_and_part__added_by_hand(pages: Pages) -> None:
    """Name, sheet, side and place on the drawing, then a part with what is known of it."""
    unit = pages.set_up.add_unit("empty", "Unit 7", 10.0, None)
    pages.press("Units", "Unit 7", "Add a position")
    pages.type("Name", "Front bearing, left")
    pages.press("Service sheet", "Shaft bearing", "Side")
    pages.type("From the drawing's left", "25")
    pages.press("Put it on record")
    (position,) = pages.shop.records.positions(unit)
    assert (position.name, position.sheet, position.side.value, position.x) == (
        "Front bearing, left", "shaft-bearing", "left", 0.25)
    pages.type("Part", "Insert bearing UC208")
    pages.type("What is known", "bearing=UC208")
    pages.press("Put the part")
    part = pages.shop.records.component_at(position.id)
    assert part is not None and part.properties == {"bearing": "UC208"}
    pages.type("From the drawing's foot", "150")
    assert pages.row("From the drawing's foot").begins == "150" and "0 to 100" in pages.row(
        "From the drawing's foot").lines[1]


def test_crew__added_changed_badge_renewed_and_retired(pages: Pages) -> None:
    """One person's whole way through the crew's pages."""
    pages.press("Crew and badges")
    pages.type("Add somebody", "Jörg Weiß")
    pages.press("Mechanic")
    assert "is printed" in pages.state.note
    pages.press("Role", "Lead", "Language", "Lengths")
    person = next(one for one in pages.shop.records.people() if one.name == "Jörg Weiß")
    assert (person.role, person.language, person.units) == (Role.LEAD, "es", "mm")
    pages.type("Give another badge", "lost on the pier")
    new = pages.shop.records.person(person.id).badge
    old = pages.shop.records.label(person.badge)
    assert new != person.badge and old is not None and old.retired_reason == "lost on the pier"
    pages.type("Left the crew", "moved away")
    label = pages.shop.records.label(new)
    assert label is not None and label.retired_at is not None and label.kind is LabelKind.BADGE
    pages.screen.back()
    assert pages.state.rows[-1].mark.word == "counts no more"


def test_only_supervisor__cannot_leave(pages: Pages) -> None:
    """A yard without a supervisor could not be set up any more."""
    pages.press("Crew and badges", "Ana Peña")
    pages.type("Left the crew", "holiday")
    assert "only supervisor" in pages.state.frame.message.text


def sheet_page(pages: Pages) -> None:
    """Open the shaft bearing's sheet."""
    pages.desk.open_page(SetUpStart(pages.desk))
    pages.press("Service sheets", "Shaft bearing")


def test_sheet__limit_source_and_next_revision(pages: Pages) -> None:
    """A changed limit asks for its source; then the next revision is in force on every screen."""
    sheet_page(pages)
    pages.press("Reading: Play of the shaft")
    pages.type("Upper limit", "0.5")
    assert "where the new limit" in pages.state.note
    pages.type("Source", "our own trial, spring 2026")
    assert pages.state.note == ""
    pages.screen.back()
    pages.press("Put revision 2 into force")
    sheet = pages.shop.sheets.sheet("shaft-bearing")
    assert (sheet.revision, sheet.reading("shaft-play").upper) == (2, 0.5)
    payloads = [entry.event.payload for entry in pages.shop.records.entries()]
    assert sum(isinstance(one, SheetAdopted) and one.sheet == "shaft-bearing" for one in payloads) == 2
    assert pages.row("Put revision 3").enabled is False


def test_sheet__refused_number__stays_typed_and_names_its_field(pages: Pages) -> None:
    """The mechanic's supervisor finds 'abc' where it was typed, and why it was not taken."""
    sheet_page(pages)
    pages.press("Reading: Housing temperature")
    pages.type("Upper limit", "abc")
    row = pages.row("Upper limit")
    assert row.begins == "abc" and row.lines == ("“abc”", "Upper limit: 'abc' is no number.")


def test_sheet__left_and_opened_again__keeps_what_was_changed(pages: Pages) -> None:
    """A draft lasts while one looks at other sheets; it can be thrown away."""
    sheet_page(pages)
    pages.type("Title", "Bearing of a shaft")
    pages.screen.back()
    assert "changed, not in force yet" in pages.row("Shaft bearing").lines
    pages.press("Shaft bearing")
    assert pages.row("Title").lines[0] == "Bearing of a shaft"
    pages.press("Throw the changes away")
    assert pages.row("Title").lines[0] == "Shaft bearing"


def test_sheet__steps_of_a_job__changed_added_taken_out(pages: Pages) -> None:
    """A list is edited text by text."""
    sheet_page(pages)
    pages.press("Job: Grease", "Steps")
    pages.type("Wipe the nipple", "Wipe the nipple with a clean rag.")
    pages.type("Add one", "Look at the other side too.")
    pages.press("Take one out", "Wipe off what comes out")
    pages.screen.back()
    pages.screen.back()
    pages.press("Put revision 2 into force")
    assert pages.shop.sheets.sheet("shaft-bearing").job("grease").steps == (
        "Wipe the nipple with a clean rag.", "Give the strokes shown, by hand gun.", "Look at the other side too.")


def test_sheet__caution_copied_and_taken_out(pages: Pages) -> None:
    """Another caution begins as a copy; taking one out is asked about."""
    sheet_page(pages)
    before = sum(row.title.startswith("Caution: ") for row in pages.state.rows)
    pages.press("Caution: An open sprocket", "Another one like this")
    pages.type("Hazard", "A loose sleeve is drawn in.")
    pages.screen.back()
    assert sum(row.title.startswith("Caution: ") for row in pages.state.rows) == before + 1
    pages.press("Caution: A loose sleeve", "Take this out")
    pages.screen.answer("yes")
    assert sum(row.title.startswith("Caution: ") for row in pages.state.rows) == before


def test_sheet__preview__is_the_form_with_the_new_limits__and_saves_nothing(pages: Pages) -> None:
    """Typed into the preview, 0.45 mm is within the new limit and outside the one in force."""
    pages.set_up.add_unit("flight-elevator", "Unit 7", 0.0, None)
    sheet_page(pages)
    pages.press("Reading: Play of the shaft")
    pages.type("Upper limit", "0.6")
    pages.screen.back()
    pages.press("Look at the form", "Look and feel")
    assert isinstance(pages.state, FormState) and "preview" in pages.state.frame.message.text
    key = next(row.key for row in pages.state.rows if "Play" in row.title)
    pages.screen.focus(key)
    for letter in "0.45":
        pages.screen.key(letter)
    row = next(row for row in pages.state.rows if row.key == key)
    assert row.verdict.word == "within"
    head = pages.shop.records.head()
    pages.screen.save()
    assert pages.shop.records.head() == head and "preview" in pages.state.frame.message.text


def test_sheet__no_part_served__preview_says_so(pages: Pages) -> None:
    """Without a part there is no form to show."""
    sheet_page(pages)
    pages.press("Look at the form", "Look and feel")
    assert "No part of the yard" in pages.state.frame.message.text


def test_exchange__out_then_in__changes_nothing(pages: Pages) -> None:
    """Taken out into the shop's folder and looked through again."""
    pages.press("Take out, bring in", "Take the set-up out")
    assert pages.state.note.startswith("Taken out to")
    pages.screen.refresh()
    pages.press("Bring in a prepared set-up")
    assert pages.state.rows == () and "0 lines would change something" in pages.state.note


def test_exchange__prepared_people__shown_first_then_on_record(pages: Pages) -> None:
    """Each line is on the page before anything counts; then all are on record in the supervisor's name."""
    folder = Path(pages.shop.folder) / "set-up"
    folder.mkdir()
    lines = [f"Hand {number},mechanic" for number in range(50)]
    (folder / "people.csv").write_text("name,role\n" + "\n".join(lines), encoding="utf-8")
    pages.press("Take out, bring in", "Bring in a prepared set-up")
    assert pages.row("add Hand 0").lines == ("people.csv, line 2",)
    pages.press("More lines")
    assert pages.row("add Hand 45")
    assert len(pages.shop.records.people()) == 1
    pages.press("Bring all of it in")
    assert len(pages.shop.records.people()) == 51 and pages.state.note == "50 lines are on record."


def test_exchange__bad_line__is_told_on_screen(pages: Pages) -> None:
    """File, line and reason, and one stays on the page."""
    folder = Path(pages.shop.folder) / "set-up"
    folder.mkdir()
    (folder / "people.csv").write_text("name,role\nBo,boss\n", encoding="utf-8")
    pages.press("Take out, bring in", "Bring in a prepared set-up")
    assert "people.csv, line 2" in pages.state.frame.message.text


def test_every_page__shows_rows(pages: Pages) -> None:
    """Every job type's tables of every sheet can be opened."""
    for sheet in pages.shop.sheets.sheets():
        pages.desk.open_page(SetUpStart(pages.desk))
        pages.press("Service sheets", sheet.title)
        opened: list[Any] = [row.title for row in pages.state.rows if row.title.startswith("Job: ")]
        assert len(opened) == len(sheet.jobs) and all(job.type in JobType for job in sheet.jobs)
        pages.press(opened[0])
        assert pages.state.rows
