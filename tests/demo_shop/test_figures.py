"""Every figure that a demo sheet names is worked out for every kind of part in the yard, with its doubt and source."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime

import pytest

from kiosk.presenters.figures import figures_of_part
from kiosk.presenters.helpers import Helpers, Part, part_of
from kiosk.presenters.parts import FigureRow
from kiosk.presenters.settings import FloorSettings
from kiosk.shop import Shop


@pytest.fixture(scope="module")
def helpers(small_shop: Shop, now: datetime) -> Helpers:
    """The demo shop on the last day of its history."""
    return Helpers(records=small_shop.records, sheets=small_shop.sheets, labels=small_shop.press,
                   reports=small_shop.reports, clock=lambda: now, new_id=lambda: "", settings=FloorSettings(),
                   feedback=lambda _: None, pins=small_shop.pins)


def parts(helpers: Helpers) -> Iterator[Part]:
    seen: set[tuple[str, str]] = set()
    for unit in helpers.records.units():
        for component in helpers.records.components_of_unit(unit.id):
            if (unit.design, component.sheet) not in seen:
                seen.add((unit.design, component.sheet))
                yield part_of(helpers, component.id)


@pytest.fixture(scope="module")
def figures(helpers: Helpers) -> dict[str, tuple[FigureRow, ...]]:
    """{place: figures} of one part of every kind and design."""
    return {part.place: figures_of_part(helpers, part, "in") for part in parts(helpers)}


def of(figures: dict[str, tuple[FigureRow, ...]], place: str) -> str:
    rows = next(rows for name, rows in figures.items() if place in name)
    return "\n".join(" | ".join((row.title, row.value, row.sure, row.limit, row.source, row.note)) for row in rows)


def test_no_figure_is_refused(figures: dict[str, tuple[FigureRow, ...]]) -> None:
    """Sheets and parts have what every figure needs."""
    refused = [(place, row) for place, rows in figures.items() for row in rows
               if row.value in ("not for this part", "not known")]
    assert not refused


def test_every_part_that_is_replaced_has_figures(figures: dict[str, tuple[FigureRow, ...]]) -> None:
    """At the least how long such parts last."""
    assert all(rows or "over the pan" in place for place, rows in figures.items())
    assert len(figures) >= 25


def test_every_figure_says_where_it_comes_from_or_why_there_is_none(figures: dict[str, tuple[FigureRow, ...]]) -> None:
    """A number without a source does not reach the screen."""
    bare = [row.title for rows in figures.values() for row in rows if not (row.source or row.note)]
    assert not bare


def test_bearing_page_keeps_both_editions_and_both_amounts(figures: dict[str, tuple[FigureRow, ...]]) -> None:
    """ISO 281:2007 beside the older tables, insert table beside the formula, each with the reason of the choice."""
    said = of(figures, "Lower shaft bearing")
    assert "ISO 281:2007 is in force and is used; the older tables" in said
    assert "older tables (1990)" in said
    assert "The table wins" in said
    assert "What decides the greasing interval | calendar" in said


def test_chain_page_shows_every_printed_rule_of_slack(figures: dict[str, tuple[FigureRow, ...]]) -> None:
    """All rules with their source, and the sentence why they differ."""
    said = of(figures, "Flight chains")
    assert "some mean the whole movement by hand" in said
    assert said.count("\nSlack, ") == 7


def test_belt_page_shows_both_run_in_times(figures: dict[str, tuple[FigureRow, ...]]) -> None:
    """The machine's own ratio beside the trade's 15 minutes; common practice, no source."""
    said = of(figures, "Cleated belt")
    assert "Both are kept. The form counts by this machine's own length and ratio" in said
    assert "What one turn of a take-up moves the edge" in said
