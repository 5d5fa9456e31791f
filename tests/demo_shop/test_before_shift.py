"""What stands on a unit's screen before the shift, on the demo yard's own sheets."""

from __future__ import annotations

from types import SimpleNamespace
from typing import Any

import pytest

from kiosk.presenters.before_shift import before_shift
from kiosk.shop import Shop


def told(shop: Shop, design: str) -> dict[str, str]:
    """Return what is told of the first unit of a design, by heading."""
    unit = next(unit for unit in shop.records.units() if design in (unit.design + unit.description).lower())
    helpers: Any = SimpleNamespace(records=shop.records, sheets=shop.sheets)
    findings = shop.records.open_findings(unit_id=unit.id)
    return {row.title: " ".join(row.lines) for row in before_shift(helpers, unit.id, findings, "in")}


@pytest.mark.parametrize(("design", "takes", "on_return"), [
    ("flight elevator", "small loads, slower pace", "wedged between flight and pan edge"),
    ("belt conveyor", "arger", "lower roller"),
])
def test_unit_says_what_its_design_takes_and_what_to_look_at(small_shop: Shop, design: str, takes: str, on_return: str
                                                             ) -> None:
    """Flights jam on lumps and want small loads; a belt takes larger debris and wants its lower roller washed out
    (common practice, no source).
    """
    rows = told(small_shop, design)
    assert takes in rows["What it takes"] and on_return in rows["Look at on return"].lower()


def test_unit_says_its_height_stops_for_each_material(small_shop: Shop) -> None:
    """The heights are the sheet's, in the person's units, with what was last measured."""
    heights = told(small_shop, "flight elevator")["Height stops"]
    assert "sand and gravel" in heights and "leaves and litter" in heights and " in " in heights
