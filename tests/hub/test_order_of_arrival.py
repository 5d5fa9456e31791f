"""Whatever order the entries of several kiosks arrive in, every kiosk's tables come out the same.

The check rests on two ways that share no bookkeeping: entries taken in and worked in as they happen to arrive, with
what stands behind them taken back and done again, and a rebuild of the whole journal.
"""

from __future__ import annotations

import tempfile
from datetime import timedelta
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from small_yard import at, yard_events
from yard_tables import digests, journal_rows
from yard_work import WORK, Hand

from kiosk.records import YardRecords

KIOSKS = (1, 2, 3)
# Thousands of commits: what is tried here is their order, not the disk.
IN_MEMORY = "/dev/shm" if Path("/dev/shm").is_dir() else None
# Their clocks are wrong by so much; one stands hours behind, one ahead.
OFFSETS = {1: timedelta(0), 2: timedelta(hours=-7), 3: timedelta(minutes=40)}


class Yard:
    """Kiosks with files of their own, whose entries are carried from one to another by hand."""

    def __init__(self, folder: Path) -> None:
        self.kiosks = {number: YardRecords.open(folder / f"{number}.db", number) for number in KIOSKS}
        self._clock = at(30)
        self.kiosks[1].append_all(yard_events())
        for number in KIOSKS[1:]:
            self.carry(1, number)
        self._hands = {number: Hand(records, number) for number, records in self.kiosks.items()}

    def carry(self, source: int, target: int, most: int = 1_000_000) -> None:
        """Bring the next entries that `source` itself wrote to `target`."""
        have = self.kiosks[target].verify().heads.get(source)
        rows = journal_rows(self.kiosks[source].path, source, have.seq if have else 0, most)
        self.kiosks[target].take_in(rows, at(40))
        assert self.kiosks[target].work_in()

    def carry_all(self) -> None:
        """Bring everything everywhere."""
        for _ in KIOSKS:
            for source in KIOSKS:
                for target in KIOSKS:
                    if source != target:
                        self.carry(source, target)

    def work(self, number: int, what: str, pick: int) -> None:
        """Enter something at a kiosk, as far as that kiosk lets it be entered."""
        self._clock += timedelta(minutes=1 + pick % 50)
        self._hands[number].work(what, pick, self._clock + OFFSETS[number])

    def close(self) -> None:
        """Close all."""
        for records in self.kiosks.values():
            records.close()


STEP = st.one_of(
    st.tuples(st.sampled_from(KIOSKS), st.sampled_from(WORK), st.integers(0, 99)),
    st.tuples(st.sampled_from(KIOSKS), st.sampled_from(KIOSKS), st.integers(1, 6)),
)


def _run(steps: list[tuple[int, object, int]], folder: Path) -> Yard:
    yard = Yard(folder)
    for number, what, pick in steps:
        if isinstance(what, str):
            yard.work(number, what, pick)
        elif what != number:
            yard.carry(number, what, pick)  # a few entries only: the rest comes later, between others
    yard.carry_all()
    return yard


@pytest.mark.slow
@settings(max_examples=40, deadline=None, suppress_health_check=list(HealthCheck))
@given(st.lists(STEP, min_size=8, max_size=40))
def test_tables__any_order_of_arrival__are_the_same_everywhere(steps: list[tuple[int, object, int]]) -> None:
    """Work at three kiosks, carried to and fro in any order and in any pieces, ends in the same tables everywhere."""
    with tempfile.TemporaryDirectory(dir=IN_MEMORY) as folder:
        yard = _run(steps, Path(folder))
        try:
            first, *others = (digests(records.path) for records in yard.kiosks.values())
            assert all(other == first for other in others)
            for records in yard.kiosks.values():
                assert records.verify().first_bad is None
                assert records.tables_unlike_journal() == []
            assert len({records.verify().entries for records in yard.kiosks.values()}) == 1
        finally:
            yard.close()


@pytest.mark.parametrize("what", WORK)
def test_tables__the_same_thing_at_every_kiosk_at_once__are_the_same_everywhere(what: str, tmp_path: Path) -> None:
    """Every kind of work done at all kiosks, none knowing of the others', ends in the same tables everywhere."""
    steps: list[tuple[int, object, int]] = [(1, "grease", 0), (1, "hold", 1) if what == "release" else (1, "find", 0),
                                            (1, 2, 99), (1, 3, 99)]
    yard = _run([*steps, *((number, what, 4) for number in KIOSKS), *((number, what, 6) for number in KIOSKS)],
                tmp_path)
    first, *others = (digests(records.path) for records in yard.kiosks.values())
    assert all(other == first for other in others)
    assert [records.tables_unlike_journal() for records in yard.kiosks.values()] == [[]] * 3
    yard.close()
