"""The yard that the benches measure on is a true one: what was written by a short cut is what the kiosk would write."""

from __future__ import annotations

from pathlib import Path

import pytest
from big_yard import KIOSK, WORKED_RECORDS, big_yard

from kiosk.records import YardRecords, codec


@pytest.mark.slow
def test_big_yard__a_small_one__is_what_the_kiosk_would_have_written(tmp_path: Path) -> None:
    """The chain verifies, a rebuild changes no table, and every body is canonical."""
    yard = big_yard(35_000, tmp_path)
    records = YardRecords.open(yard.path, KIOSK)
    assert records.verify().first_bad is None
    assert records.tables_unlike_journal() == []
    bodies = records._store.sql("SELECT kind, body FROM journal WHERE arrival % 23 = 0")
    assert all(codec.encode(codec.decode(kind, body)) == body for kind, body in bodies)
    (count,) = records._store.sql("SELECT count(*) FROM record WHERE component_id = ?", (yard.component_id,))[0]
    assert count == WORKED_RECORDS
    records.close()
