"""One entry held against its neighbours, beside the walk through the whole journal."""

from __future__ import annotations

import sqlite3
from contextlib import closing

import pytest

from kiosk.errors import NotFound
from kiosk.records import YardRecords


def _ids(records: YardRecords) -> list[str]:
    return [entry.event.id for entry in records.entries()]


def test_chain_check__every_entry_of_a_whole_journal__fits(story: YardRecords) -> None:
    """Where the walk finds nothing wrong, no entry by itself does either; numbers and hashes are the journal's."""
    for entry in story.entries():
        check = story.chain_check(entry.event.id)
        assert (check.seq, check.hash, check.previous_hash, check.trouble) == (
            entry.seq, entry.hash, entry.previous_hash, "")


@pytest.mark.parametrize(("change", "says"), [
    ("UPDATE journal SET body = replace(body, '\"strokes\":2', '\"strokes\":3') WHERE seq = {seq}", "as it was saved"),
    ("UPDATE journal SET hash = '00' || substr(hash, 3) WHERE seq = {seq} - 1", "before it"),
    ("UPDATE journal SET previous_hash = '00' || substr(previous_hash, 3) WHERE seq = {seq} + 1", "after it"),
])
def test_chain_check__itself_or_a_neighbour_changed__says_which(story: YardRecords, change: str, says: str) -> None:
    """A hand on the entry, on the one before or on the one after is told by name."""
    record = story.component_history("bearing-left-1")[-1]
    seq = story.chain_check(record.id).seq
    with closing(sqlite3.connect(story.path)) as connection:
        connection.execute("DROP TRIGGER journal_is_never_changed")
        connection.execute(change.format(seq=seq))
        connection.commit()
    assert says in story.chain_check(record.id).trouble


def test_chain_check__unknown__is_not_found(story: YardRecords) -> None:
    """An entry that is not there is no good entry."""
    with pytest.raises(NotFound):
        story.chain_check("nothing")
    assert len(_ids(story)) > 20
