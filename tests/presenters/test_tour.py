"""The first-day tour: each step is over when its screen came, whichever way."""

from __future__ import annotations

import pytest

from kiosk.presenters.desk import Desk
from kiosk.presenters.tour import Tour, TourLabels


@pytest.fixture
def tour(yard):
    """Return the yard with a tour that watches its desk."""
    show = yard.desk._show
    labels = TourLabels(yard.records.person_list[0].badge, yard.label_of("c-bearing"), yard.label_of("c-chain"))
    yard.desk = Desk(yard.helpers, lambda state, presenter: (show(state, presenter), tour.shown(state)))
    tour = Tour(yard.desk, labels)
    yard.desk.start()
    tour.begin()
    return yard


def message(yard) -> str:
    return yard.state.frame.message.text


def test_first_step__scanned_for_the_newcomer__leads_to_the_next(tour):
    """Whoever has no label at hand touches a button."""
    assert message(tour).startswith("Step 1 of 7")
    tour.screen.answer("scan")
    assert message(tour).startswith("Step 2 of 7") and tour.state.frame.header.is_signed_in


def test_step__done_by_a_real_scan__leads_on_as_well(tour):
    """The tour watches what came, not how."""
    tour.screen.answer("go")
    tour.scan(tour.records.person_list[0].badge)
    tour.scan(tour.label_of("c-bearing"))
    assert message(tour).startswith("Step 3 of 7")


def test_another_part__is_no_step(tour):
    """Trying something else is allowed; the step waits, and is said again on the start."""
    tour.screen.answer("scan")
    tour.screen.answer("go")
    tour.scan(tour.label_of("c-chain"))
    assert tour.state.frame.message is None or "Step" not in message(tour)
    tour.screen.home()
    assert message(tour).startswith("Step 2 of 7")
