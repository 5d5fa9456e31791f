"""The clock set back, ahead, unset at start, and daylight saving: order by sequence, doubt marked, dates that hold."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from pathlib import Path

import pytest
from pin_kiosk import BADGES, crew_events, grease_a_bearing

from demo_shop.build import SHEETS
from kiosk.entities import Component, JobType, LastDone, Role, Scan, ScanSource
from kiosk.events import ClockDoubted, ClockTrusted, HoursRead, JobDone
from kiosk.kiosk_clock import FIRST_POSSIBLE, KioskClock
from kiosk.pin_desk import PinDesk, at_once
from kiosk.presenters.desk import Desk
from kiosk.presenters.due_list import UnitClock, due_item
from kiosk.presenters.helpers import Helpers
from kiosk.presenters.settings import FloorSettings
from kiosk.presenters.shifts import shift_at
from kiosk.records.ids import new_id
from kiosk.records.permissions import PERMISSIONS
from kiosk.service_sheet import IntervalSpec, JobSpec
from kiosk.shop import Shop, floor_settings

NOW = datetime(2026, 6, 1, 10, 0, tzinfo=UTC)
YEARS = timedelta(days=3653)


class System:
    """A computer whose clock can be set, and whose seconds go on all the same."""

    def __init__(self, now: datetime = NOW) -> None:
        self.now, self.seconds = now, 0.0

    def go_on(self, **time: float) -> None:
        step = timedelta(**time)
        self.now += step
        self.seconds += step.total_seconds()

    def clock(self, trusted: datetime | None = None) -> KioskClock:
        return KioskClock(lambda: self.now, lambda: self.seconds, trusted)


def test_clock__all_is_well__is_the_systems() -> None:
    """No doubt, no delay."""
    system = System()
    clock = system.clock(NOW - timedelta(hours=9))
    system.go_on(minutes=3)
    assert clock() == system.now and clock.doubt is None


@pytest.mark.parametrize("jump", [-YEARS, -timedelta(days=1), -timedelta(minutes=6), YEARS, timedelta(days=300)])
def test_clock__set_while_running__goes_on_from_the_last_sure_time(jump: timedelta) -> None:
    """Whatever the system says then, the kiosk's time goes on second by second."""
    system = System()
    clock = system.clock(NOW)
    clock()
    system.now += jump
    system.go_on(minutes=2)
    assert clock() == NOW + timedelta(minutes=2)
    assert clock.doubt == (system.now, NOW + timedelta(minutes=2))


@pytest.mark.parametrize("jump", [-timedelta(minutes=4), timedelta(days=100), timedelta(hours=1)])
def test_clock__small_set_or_a_long_rest__is_no_doubt_and_never_runs_back(jump: timedelta) -> None:
    """Network time puts right a little; a kiosk may stand for a winter."""
    system = System()
    clock = system.clock(NOW)
    before = clock()
    system.now += jump
    assert clock.doubt is None and clock() >= before


def test_clock__came_right_again__is_believed() -> None:
    """Network time came late: the doubt ends by itself."""
    system = System(datetime(1970, 1, 1, tzinfo=UTC))
    clock = system.clock(NOW)
    assert clock.doubt is not None
    system.now = NOW + timedelta(hours=2)
    assert clock.doubt is None and clock() == NOW + timedelta(hours=2)


def test_clock__new_shop_and_no_time_at_start__is_doubted() -> None:
    """A computer that never knew the time says 1970; this program is younger."""
    system = System(datetime(1970, 1, 1, tzinfo=UTC))
    clock = system.clock(None)
    assert clock.doubt is not None and clock() == FIRST_POSSIBLE


def test_clock__new_shop_years_after_the_program__is_believed() -> None:
    """A new shop has no last entry to be far from."""
    assert System(FIRST_POSSIBLE + YEARS).clock(None).doubt is None


# --- on a real shop ---

@pytest.fixture
def shop(tmp_path: Path) -> Iterator[Shop]:
    folder = tmp_path / "shop"
    (folder / "sheets").mkdir(parents=True)
    sheet = (SHEETS / "shaft-bearing.toml").read_text("utf-8").replace('key = "shaft-bearing"', 'key = "bearing"')
    (folder / "sheets" / "bearing.toml").write_text(sheet, "utf-8")
    (folder / "kiosk.toml").write_text('kiosk = 7\npin_for = "nobody"\n', encoding="utf-8")
    with Shop.open(folder) as opened:
        opened.records.append_all([replace(event, at=NOW - timedelta(days=1)) for event in crew_events()])
        yield opened


class Floor:
    """A desk on the shop with a computer's clock."""

    def __init__(self, shop: Shop, system: System) -> None:
        self.shop, self.system = shop, system
        self.clock = KioskClock(lambda: system.now, lambda: system.seconds, shop.records.trusted_time())
        self.shown: list = []  # type: ignore[type-arg]
        self.desk = Desk(Helpers(shop.records, shop.sheets, shop.press, shop.reports, self.clock, new_id,
                                 floor_settings(shop.config), lambda _: None, PinDesk(shop.pins, at_once), self.clock),
                         lambda state, _: self.shown.append(state))
        self.desk.start()

    def badge(self, person: str) -> None:
        self.desk.scan(Scan(BADGES[person], ScanSource.SCANNER, self.clock()))

    def events(self, *kinds: type) -> list:  # type: ignore[type-arg]
        return [entry.event for entry in self.shop.records.entries() if isinstance(entry.event.payload, kinds)]


@pytest.mark.parametrize("jump", [-YEARS, YEARS])
def test_shop__clock_wrong__work_is_kept_in_order_marked_and_told(yard: Path, jump: timedelta) -> None:
    """Each entry's time is not before the one before it, the record says that its time is not sure, the screen too."""
    with Shop.open(yard) as shop:
        before = sum(1 for _ in shop.records.entries())
        begun = shop.records.trusted_time() + timedelta(hours=1)  # type: ignore[operator]
        floor = Floor(shop, System(begun))
        floor.desk.scan(Scan(shop.records.person("crew-reyl").badge, ScanSource.SCANNER, begun))
        floor.system.now += jump
        floor.system.go_on(minutes=1)
        floor.desk.tick()
        assert "cannot be right" in floor.shown[-1].hint and floor.shown[-1].frame.header.clock.endswith("?")
        grease_a_bearing(floor.desk, shop)
        entries = list(shop.records.entries())[before:]
        times = [entry.event.at for entry in entries]
        assert times == sorted(times) and times[-1] < begun + timedelta(minutes=5)
        record = floor.events(JobDone)[-1].payload.record
        assert record.details["time"].startswith("not sure")
        assert [entry.event.payload for entry in entries if isinstance(entry.event.payload, ClockDoubted)] == [
            ClockDoubted(floor.system.now, begun + timedelta(minutes=1))]
        assert shop.records.verify().first_bad is None


def test_shop__started_again_in_doubt__goes_on_from_the_last_sure_time(shop: Shop) -> None:
    """The doubt outlives a restart."""
    system = System()
    system.now += YEARS
    Floor(shop, system)
    again = Floor(shop, system)
    assert again.clock.doubt is not None and again.clock() < NOW + timedelta(minutes=1)


def test_shop__clock_right_again__is_on_record_and_no_longer_told(shop: Shop) -> None:
    """The end of the doubt is an entry of the kiosk's own."""
    floor = Floor(shop, System(datetime(1970, 1, 1, tzinfo=UTC)))
    floor.system.now = NOW
    floor.desk.tick()
    assert [event.payload.reason for event in floor.events(ClockTrusted)] == ["the clock is right again"]
    assert "cannot be right" not in floor.shown[-1].hint


def test_shop__lead_says_it_is_right__is_believed_in_their_name(shop: Shop) -> None:
    """A shop that stood for two years: the lead is asked and confirms; a mechanic is not asked."""
    floor = Floor(shop, System(NOW + timedelta(days=730)))
    floor.badge("mechanic")
    assert floor.shown[-1].frame.message is None
    floor.badge("lead")
    assert "Is the computer's clock right?" in floor.shown[-1].frame.message.text
    floor.desk.current.answer("yes")
    assert floor.clock() == floor.system.now and floor.clock.doubt is None
    trusted = floor.events(ClockTrusted)[-1]
    assert trusted.person_id == "lead"
    floor.desk.tick()
    assert len(floor.events(ClockTrusted, ClockDoubted)) == 2


# --- due dates ---

JOB = JobSpec("grease", "Grease", JobType.GREASE, (), interval=IntervalSpec(None, 7, "yard"))
PART = Component("c", "bearing", "p", "u", "bearing", "1", NOW - timedelta(days=400), 10.0)


def _due(last: datetime, today: date):  # type: ignore[no-untyped-def]
    return due_item(PART, JOB, LastDone(last, 100.0, "ana", "r"), UnitClock(today, 100.0, 4.0), FloorSettings())


def test_due__last_done_years_ahead__is_due_today() -> None:
    """An entry dated ten years on, by an older program or another kiosk, does not put greasing off for ten years."""
    item = _due(NOW + YEARS, NOW.date())
    assert item.due == NOW.date() and item.days_left == 0


def test_due__last_done_within_a_day_ahead__counts_from_today() -> None:
    """Shifts and zones may differ by a day; that is no wrong clock."""
    assert _due(NOW + timedelta(days=1), NOW.date()).due == NOW.date() + timedelta(days=7)


@pytest.mark.parametrize(("zone", "spring", "autumn"), [
    ("America/New_York", date(2026, 3, 8), date(2026, 11, 1)),
    ("Europe/Dublin", date(2026, 3, 29), date(2026, 10, 25))])
def test_daylight_saving__shifts_and_due_dates__move_by_whole_days(zone: str, spring: date, autumn: date) -> None:
    """A day of 23 or 25 hours is one day, each shift has one key. Dates: IANA time zone database."""
    yard = FloorSettings(time_zone=zone)
    for day in (spring, autumn):
        start = datetime(day.year, day.month, day.day, 0, 30, tzinfo=yard.zone).astimezone(UTC)
        keys = [shift_at(start + timedelta(minutes=10 * step), yard).key for step in range(6 * 30)]
        assert [key for at, key in enumerate(keys) if at == 0 or keys[at - 1] != key] == list(dict.fromkeys(keys))
        last = datetime(day.year, day.month, day.day, 8, tzinfo=yard.zone).astimezone(UTC) - timedelta(days=1)
        item = due_item(PART, JOB, LastDone(last, 100.0, "ana", "r"), UnitClock(day, 100.0, 4.0), yard)
        assert (item.due - day).days == 6


def test_role_names__who_may_say_that_the_clock_is_right() -> None:
    """Leads and supervisors; the journal holds it too."""
    assert PERMISSIONS[ClockTrusted].roles == {Role.LEAD, Role.SUPERVISOR}
    assert PERMISSIONS[HoursRead].roles == set(Role)
