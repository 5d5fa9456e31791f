"""Instants as text that sorts, RFC 3339 at the edges, and ids that rise."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta, timezone

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kiosk.errors import RecordError
from kiosk.records import ids
from kiosk.records.instants import from_utc_text, parse_rfc3339, short_utc_text, utc_text

ZONES = st.integers(-14 * 60, 14 * 60).map(lambda minutes: timezone(timedelta(minutes=minutes)))
INSTANTS = st.datetimes(datetime(1900, 1, 1), datetime(2999, 1, 1), timezones=ZONES)


@given(INSTANTS, INSTANTS)
def test_utc_text__any_zones__sorts_as_time_does(one: datetime, other: datetime) -> None:
    """Text of fixed width compares as the instants do, and comes back as the same instant."""
    assert (utc_text(one) < utc_text(other)) == (one < other)
    assert from_utc_text(utc_text(one)) == one
    assert len(utc_text(one)) == 27


@given(INSTANTS)
def test_short_utc_text__round_trip__by_rfc3339(instant: datetime) -> None:
    """What we export, we read."""
    assert parse_rfc3339(short_utc_text(instant)) == instant


@pytest.mark.parametrize(("text", "utc"), [
    pytest.param("1990-12-31T23:59:60Z", "1991-01-01T00:00:00Z", id="rfc3339-5.8-leap-second"),
    pytest.param("1990-12-31T15:59:60-08:00", "1991-01-01T00:00:00Z", id="rfc3339-5.8-leap-second-offset"),
    pytest.param("1937-01-01T12:00:27.87+00:20", "1937-01-01T11:40:27.870Z", id="rfc3339-5.8-offset-20-minutes"),
    pytest.param("2026-03-02t05:06:07z", "2026-03-02T05:06:07Z", id="small-letters-are-permitted"),
    pytest.param("2026-03-02T05:06:07.123456789Z", "2026-03-02T05:06:07.123456Z", id="finer-than-a-microsecond"),
])
def test_parse_rfc3339__published__section_5_8(text: str, utc: str) -> None:
    """The examples of RFC 3339 section 5.8, and its rules for letters and fractions (5.6)."""
    assert short_utc_text(parse_rfc3339(text)) == utc


@pytest.mark.parametrize("text", [
    "", "2026-03-02", "2026-03-02T05:06:07", "2026-03-02 05:06:07Z", "2026-13-01T00:00:00Z", "2026-02-29T00:00:00Z",
    "2026-03-02T24:00:00Z", "2026-03-02T05:06:61Z", "2026-03-02T05:06:07+25:00", "2026-03-02T05:06Z",
    "２026-03-02T05:06:07Z", "2026-03-02T05:06:07Z\n", "0001-01-01T00:00:00+14:00", "9999-12-31T23:59:60Z",
])
def test_parse_rfc3339__anything_else__is_refused(text: str) -> None:
    """No offset, no such date, or rubbish is refused with a sentence."""
    with pytest.raises(RecordError, match="not a time stamp"):
        parse_rfc3339(text)


def test_utc_text__without_zone__is_refused() -> None:
    """A time without zone could mean anything."""
    with pytest.raises(RecordError, match="time zone"):
        utc_text(datetime(2026, 3, 2))


def test_new_id__many__rise_and_are_of_version_7() -> None:
    """Ids made one after the other sort in that order."""
    made = [ids.new_id() for _ in range(5000)]
    assert made == sorted(set(made))
    assert {ids.version(each) for each in made} == {7}


def test_new_id__clock_set_back__still_rises(monkeypatch: pytest.MonkeyPatch) -> None:
    """An id made after the clock was set back is above the one before."""
    before = ids.new_id()
    long_ago = ids.uuid_utils.uuid7(nanoseconds=10**18)
    monkeypatch.setattr(ids.uuid_utils, "uuid7", lambda: long_ago)
    assert ids.new_id() > before


def test_new_id__bears_the_time_of_now() -> None:
    """The first 48 bits are the Unix time in milliseconds."""
    assert abs(ids.instant_of(ids.new_id()) - datetime.now(UTC)) < timedelta(seconds=5)


def test_id_at__bears_its_instant() -> None:
    """An id for work of another day bears that day."""
    day = datetime(2024, 5, 6, 7, 8, 9, 123000, tzinfo=UTC)
    assert ids.instant_of(ids.id_at(day)) == day
    assert ids.version(ids.id_at(day)) == 7
    assert ids.UUID(ids.id_at(day)).variant == "specified in RFC 4122"


@pytest.mark.parametrize("milliseconds", [-1, 2**48])
def test_id_of_ms__beyond_48_bits__is_refused(milliseconds: int) -> None:
    """A time that an id cannot bear is refused, not bent."""
    with pytest.raises(RecordError, match="No id"):
        ids.id_of_ms(milliseconds)


@pytest.mark.parametrize("text", ["", "u1", "x" * 36, "017f22e2-79b0-7cc3-98c4"])
def test_version__no_uuid__is_refused(text: str) -> None:
    """An opaque id of another kind has no version."""
    with pytest.raises(RecordError, match="not an id"):
        ids.version(text)
