"""Instants as text: one fixed width in the database, so that text sorts as time does, and RFC 3339 at the edges.

Source: RFC 3339 (Date and Time on the Internet), section 5.6 grammar and section 5.8 examples.
"""

from __future__ import annotations

import re
from datetime import UTC, datetime, timedelta

from kiosk.errors import RecordError

_RFC3339 = re.compile(
    r"(?P<day>\d{4}-\d\d-\d\d)[Tt](?P<minute>\d\d:\d\d):(?P<second>\d\d)(?P<fraction>\.\d+)?"
    r"(?P<offset>[Zz]|[+-]\d\d:\d\d)",
    re.ASCII,
)
_LEAP_SECOND = "60"


def utc_text(instant: datetime) -> str:
    """Return an aware instant as UTC text of fixed width: '2026-03-02T05:06:07.000000Z'.

    Raises:
        RecordError: the instant has no time zone.
    """
    return _aware_utc(instant).isoformat(timespec="microseconds")[:26] + "Z"


def from_utc_text(text: str) -> datetime:
    """Return the aware UTC instant that `utc_text` wrote."""
    return datetime.fromisoformat(text)


def short_utc_text(instant: datetime) -> str:
    """Return an aware instant as RFC 3339 in UTC with no more of its second than it has: 0, 3 or 6 digits."""
    timespec = "microseconds" if instant.microsecond % 1000 else "milliseconds" if instant.microsecond else "seconds"
    return _aware_utc(instant).isoformat(timespec=timespec).removesuffix("+00:00") + "Z"


def parse_rfc3339(text: str) -> datetime:
    """Return the UTC instant of an RFC 3339 time stamp; the offset is compulsory.

    A leap second (:60) is taken as the first instant after it; digits finer than a microsecond are dropped.

    Raises:
        RecordError: not RFC 3339, or no such date or time.
    """
    parts = _RFC3339.fullmatch(text)
    if parts is None:
        raise _not_an_instant(text)
    leaps = parts["second"] == _LEAP_SECOND
    second = "59" if leaps else parts["second"]
    fraction = (parts["fraction"] or ".0")[:7]
    try:
        whole = datetime.fromisoformat(f"{parts['day']}T{parts['minute']}:{second}{parts['offset'].upper()}")
        return (whole + timedelta(seconds=int(leaps) + float(fraction))).astimezone(UTC)
    except (ValueError, OverflowError) as error:
        raise _not_an_instant(text) from error


def _aware_utc(instant: datetime) -> datetime:
    if instant.tzinfo is None:
        raise RecordError(f"The time {instant} has no time zone; it is not kept.")
    return instant.astimezone(UTC)


def _not_an_instant(text: str) -> RecordError:
    return RecordError(
        f"'{text[:40]}' is not a time stamp. Write it as 2026-03-02T05:06:07Z, with Z or the offset from UTC."
    )
