"""Which labels are wearing: by the reads of each, by a plain default, and by what the yard's own failures teach."""

from __future__ import annotations

from datetime import date, timedelta

import pytest

from kiosk.entities import LabelSighting, ScanSource
from kiosk.events import LabelSeen
from kiosk.presenters.due_list import due_of_component, due_of_unit
from kiosk.presenters.label_health import DEFAULT_SHARE, WearRule, hard_share, is_hard, wear_rule

TODAY = date(2026, 3, 2)


def reads(yard, pattern: str) -> tuple[LabelSighting, ...]:
    """Return reads, newest first: '.' an easy one, 'x' one that took mending."""
    now = yard.clock()
    return tuple(LabelSighting(now - timedelta(days=day), ScanSource.CAMERA, "matched" if one == "x" else "plain")
                 for day, one in enumerate(pattern))


@pytest.mark.parametrize(("sighting", "hard"), [
    (dict(source=ScanSource.CAMERA), False),
    (dict(source=ScanSource.SCANNER), False),
    (dict(source=ScanSource.CAMERA, how="deskewed"), True),
    (dict(source=ScanSource.CAMERA, tries=8), True),
    (dict(source=ScanSource.CAMERA, tries=7), False),
    (dict(source=ScanSource.KEYPAD, how="typed"), True),
])
def test_read_is_hard_when_it_was_mended_tried_often_or_typed(yard, sighting: dict, hard: bool) -> None:
    """What an ordinary read is not."""
    assert is_hard(LabelSighting(yard.clock(), **sighting)) is hard


@pytest.mark.parametrize(("pattern", "share"), [
    ("xx", None), ("xxx", 1.0), ("...", 0.0), ("xx..x", 0.6), ("....." + "x" * 20, 0.0)])
def test_share_looks_at_the_last_five_reads(yard, pattern: str, share: float | None) -> None:
    """Fewer than three reads say nothing; old ones count no more."""
    assert hard_share(reads(yard, pattern)) == share


def test_default_holds_until_enough_labels_failed(yard) -> None:
    """Seven failures teach nothing yet."""
    assert wear_rule([reads(yard, "xxxxx")] * 7) == WearRule(DEFAULT_SHARE, 0)


def test_threshold_is_learned_from_the_yards_own_failures(yard) -> None:
    """Labels that failed at two hard reads of five make two of five enough: three of four are told in time."""
    failures = [reads(yard, "xx...")] * 6 + [reads(yard, "xxxxx")] * 2
    assert wear_rule(failures) == WearRule(0.4, 8)


@pytest.mark.parametrize(("pattern", "share"), [(".....", 0.4), ("xxxxx", 0.8)])
def test_what_is_learned_stays_within_bounds(yard, pattern: str, share: float) -> None:
    """Torn labels that read well to the last do not make every label due."""
    assert wear_rule([reads(yard, pattern)] * 20).share == share


def test_wearing_label_is_on_the_due_list_today(yard) -> None:
    """'Renew the label' of that part, due, not overdue."""
    yard.records.sightings[yard.label_of("c-chain")] = reads(yard, "xxx..")
    items = [item for item in due_of_unit(yard.records, yard.sheets, "u4", TODAY) if item.job == "label"]
    assert [(item.component_id, item.job_title, item.due, item.overdue) for item in items] == [
        ("c-chain", "Renew the label", TODAY, False)]


def test_label_that_reads_well_is_not_due(yard) -> None:
    """Two of five hard ones are no reason by the default."""
    yard.records.sightings[yard.label_of("c-chain")] = reads(yard, "xx...")
    assert not any(item.job == "label" for item in due_of_unit(yard.records, yard.sheets, "u4", TODAY))


def test_yard_that_learned_tells_earlier(yard) -> None:
    """The same label is due once the yard's failures say so."""
    yard.records.sightings[yard.label_of("c-chain")] = reads(yard, "xx...")
    yard.records.failures = (reads(yard, "xx..."),) * 8
    assert any(item.job == "label" for item in due_of_unit(yard.records, yard.sheets, "u4", TODAY))


def test_part_s_page_offers_to_print_its_wearing_label_again(yard) -> None:
    """The row of the label says that it reads badly; other parts' pages do not."""
    yard.records.sightings[yard.label_of("c-chain")] = reads(yard, "xxxxx")
    assert any(item.job == "label" for item in due_of_component(yard.helpers, yard.records.component("c-chain")))
    yard.sign_in()
    yard.scan(yard.label_of("c-chain"))
    assert yard.state.jobs[-1].due == "reads badly: print it again"
    yard.scan(yard.label_of("c-bearing"))
    assert yard.state.jobs[-1].due == ""


# --- what is kept of each scan ---


def test_accepted_scans_leave_their_quality_after_the_screen_is_shown(yard) -> None:
    """Nothing is written between scan and form; the next tick writes it."""
    yard.scan(yard.label_of("c-bearing"), ScanSource.CAMERA, "plain")
    assert yard.records.payloads(LabelSeen) == []
    yard.desk.tick()
    (seen,) = yard.records.payloads(LabelSeen)
    assert (seen.number, seen.sighting.source, seen.sighting.how) == (
        yard.label_of("c-bearing"), ScanSource.CAMERA, "plain")
    yard.desk.tick()
    assert len(yard.records.payloads(LabelSeen)) == 1


def test_typed_number_counts_as_a_hard_read(yard) -> None:
    """Somebody typed what could have been scanned."""
    yard.scan(yard.label_of("c-bearing"), ScanSource.KEYPAD)
    yard.desk.tick()
    assert yard.records.payloads(LabelSeen)[0].sighting.how == "typed"


def test_refused_scan_leaves_nothing(yard) -> None:
    """A foreign code is no sighting of a label."""
    yard.scan("5012345678900")
    yard.desk.tick()
    assert yard.records.payloads(LabelSeen) == []


def test_unit_label_scanned_after_it_was_printed_is_read_back(yard) -> None:
    """Its print is over; a part's is read back on its own page."""
    unit = yard.records.units()[0]
    yard.scan(unit.label)
    yard.scan(yard.label_of("c-bearing"))
    yard.desk.tick()
    assert yard.labels.told == [("read", unit.label, "scanner")]


def test_records_that_cannot_take_it_disturb_nobody(yard) -> None:
    """A full disk is told when work is saved, not when a label was seen."""
    from kiosk.errors import StoreUnavailable

    yard.scan(yard.label_of("c-bearing"))
    yard.records.refusal = StoreUnavailable("The disk is full.")
    before = yard.state
    yard.desk.tick()
    assert yard.state == before
