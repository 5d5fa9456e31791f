"""A round told as one story in the shift's report and in the unit's history."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import timedelta
from pathlib import Path

import pytest

from kiosk.events import Event, RoundBegun, RoundEnded, RoundJobSkipped, WorkHandedOver
from kiosk.records.ids import new_id
from kiosk.report_book import ReportBook
from kiosk.shop import Shop, floor_settings, utc_now
from kiosk.work_in_hand import HandOver, RoundJob


@pytest.fixture
def shop(yard: Path) -> Iterator[Shop]:
    with Shop.open(yard) as opened:
        yield opened


def test_round__taken_up_and_left_out__is_one_story_in_both_reports(shop: Shop) -> None:
    """Who began it, who took it up from whom, what was left out and why, who ended it: one row."""
    part = next(one for one in shop.records.components_of_unit("unit-01") if one.sheet == "shaft-bearing")
    first, second = (person for person in shop.records.people() if person.name in ("Mette Sandvik", "Priya Kestrel"))
    now = utc_now()
    begun = Event(new_id(), now, first.id, RoundBegun("unit-01", "Round of Unit 1 Gannet", "early", (
        RoundJob("unit-01", part.position_id, part.id, "grease"),)))
    shop.records.append_all([
        begun,
        Event(new_id(), now, second.id, WorkHandedOver(begun.id, first.id, False, HandOver.BOTH_BADGES)),
        Event(new_id(), now, second.id, RoundJobSkipped(begun.id, part.id, "grease", "cannot get at it")),
        Event(new_id(), now, second.id, RoundEnded(begun.id)),
    ])
    later = lambda: now + timedelta(seconds=5)  # noqa: E731
    book = ReportBook(shop.records, shop.sheets, shop.reports, floor_settings(shop.config), "A4", later)
    for report in (book.shift(now), book.unit("unit-01")):
        (section,) = [section for section in report.sections if section.heading == "Rounds"]
        ((name, story),) = section.rows
        assert name == "Round of Unit 1 Gannet"
        for words in (f"Begun by {first.name}", f"From {first.name} to {second.name}", "by both badges",
                      "grease: cannot get at it", f"Ended by {second.name}"):
            assert words in story
