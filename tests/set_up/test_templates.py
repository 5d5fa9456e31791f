"""The packaged templates: the kiosk takes every sheet; every place of a unit has its sheet and is on the drawing."""

from __future__ import annotations

from pathlib import Path

import pytest

from kiosk.set_up.templates import SHEETS, unit_templates
from kiosk.sheets import SheetShelf, load_sheet
from kiosk.widgets.designs import PLACES


@pytest.mark.parametrize("path", sorted(SHEETS.glob("*.toml")), ids=lambda path: path.stem)
def test_packaged_sheet__is_taken__and_claims_no_source(path: Path) -> None:
    """A sheet to begin with says of each limit that it has no source yet; the yard puts its own in."""
    sheet = load_sheet(path)
    sources = [reading.source for reading in sheet.readings]
    sources += [job.interval.source for job in sheet.jobs if job.interval]
    assert sheet.revision == 1 and all("no source" in source for source in sources)


@pytest.mark.parametrize("template", unit_templates(), ids=lambda template: template.key)
def test_unit_template__places_have_sheets_and_lie_on_the_drawing(template) -> None:
    """Each place is served by a packaged sheet and drawn inside its design."""
    shelf = SheetShelf.load(SHEETS)
    for place in template.places:
        assert shelf.sheet(place.sheet)
        assert 0 <= place.x <= 1 and 0 <= place.y <= 1
    names = [place.name for place in template.places]
    assert len(set(names)) == len(names)
    assert template.design in PLACES or not template.places


def test_templates__flight_belt_drag_and_empty() -> None:
    """The three kinds of machine, and one without places."""
    assert [template.key for template in unit_templates()][-1] == "empty"
    assert {template.key for template in unit_templates()} == {
        "flight-elevator", "belt-conveyor", "drag-chain-floor", "empty"}
