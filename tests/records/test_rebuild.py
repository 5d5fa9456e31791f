"""The tables are what the journal says: made again, they are the same row by row."""

from __future__ import annotations

import sqlite3
from contextlib import closing

from small_yard import record

from kiosk.records import YardRecords
from kiosk.records.models import PROJECTIONS, table_name


def _tables(records: YardRecords) -> dict[str, list[tuple[object, ...]]]:
    with closing(sqlite3.connect(records.path)) as connection:
        return {table_name(model): connection.execute(f"SELECT * FROM {table_name(model)} ORDER BY 1, 2, 3").fetchall()
                for model in PROJECTIONS if model.__name__ != "YardRow"}


def test_rebuild__after_events_of_every_kind__equals_live_tables(story: YardRecords) -> None:
    """Every table that one kiosk can fill has rows, and a rebuild makes the same ones."""
    live = _tables(story)
    assert [name for name, rows in live.items() if not rows] == ["conflict"]
    assert story.rebuild() == story.verify().entries
    assert _tables(story) == live


def test_tables_unlike_journal__live__none(story: YardRecords) -> None:
    """The comparison on a copy finds no difference after events of every kind."""
    assert story.tables_unlike_journal() == []


def test_tables_unlike_journal__a_row_was_changed__names_the_table(story: YardRecords) -> None:
    """A table that was changed behind the journal's back is named, and a rebuild puts it right."""
    with closing(sqlite3.connect(story.path)) as connection, connection:
        connection.execute("UPDATE last_done SET hours = hours + 1")
        connection.execute("DELETE FROM reading")
    assert story.tables_unlike_journal() == ["reading", "last_done"]
    story.rebuild()
    assert story.tables_unlike_journal() == []


def test_rebuild__does_not_touch_the_journal(story: YardRecords) -> None:
    """The journal's chain is the same before and after."""
    before = story.verify()
    story.rebuild()
    assert story.verify() == before


def test_rebuild__of_empty_records__is_nothing(empty: YardRecords) -> None:
    """A database with no events has empty tables."""
    assert empty.rebuild() == 0
    assert empty.yard_name() == ""


def test_details__floats_and_lists__come_back_equal(story: YardRecords) -> None:
    """What a job left in its details is equal after the journal: numbers as numbers, lists as lists."""
    from small_yard import done

    details = {"turns": 1.5, "cut_mm": 400.0, "order": [3, 1, 2], "nested": {"a": None, "b": True}}
    saved = record(30, component_id="bearing-left-2", details=details)
    story.append(done(saved))
    assert story.record(saved.id) == saved
