"""Ids: UUIDs of version 7, whose first 48 bits are the Unix time in milliseconds, so that they sort by time.

Source: RFC 9562 (UUIDs), section 5.7 layout and section 6.2 on staying monotonic.
"""

from __future__ import annotations

import threading
from datetime import UTC, datetime, timedelta
from uuid import UUID

import uuid_utils

from kiosk.errors import RecordError

MAX_ID_LENGTH = 64
_EPOCH = datetime(1970, 1, 1, tzinfo=UTC)
_VERSION = 7


class _Ids:
    """Makes ids that rise through the life of the process, even when the clock is set back."""

    def __init__(self) -> None:
        self._lock = threading.Lock()
        self._last = 0

    def next(self) -> str:
        with self._lock:
            fresh = uuid_utils.uuid7().int
            self._last = fresh if fresh > self._last else self._last + 1
            return str(UUID(int=self._last))


_ids = _Ids()


def new_id() -> str:
    """Return a new id, above every id that this process made before."""
    return _ids.next()


def id_at(instant: datetime) -> str:
    """Return a new id that bears the given aware instant; for events put on record after the fact."""
    nanoseconds = (instant - _EPOCH) // timedelta(microseconds=1) * 1000
    return str(uuid_utils.uuid7(nanoseconds=nanoseconds))


def version(text: str) -> int:
    """Return the version of a UUID.

    Raises:
        RecordError: not a UUID of RFC 9562.
    """
    found = _uuid(text).version
    if found is None:
        raise RecordError(f"'{text[:40]}' is not an id.")
    return found


def unix_ms(text: str) -> int:
    """Return the milliseconds since 1970 that a version 7 UUID bears.

    Raises:
        RecordError: not a UUID, or of another version.
    """
    if version(text) != _VERSION:
        raise RecordError(f"'{text}' is not a version 7 UUID.")
    return _uuid(text).int >> 80


def instant_of(text: str) -> datetime:
    """Return the instant that a version 7 UUID bears."""
    return _EPOCH + timedelta(milliseconds=unix_ms(text))


def _uuid(text: str) -> UUID:
    try:
        return UUID(text)
    except ValueError as error:
        raise RecordError(f"'{text[:40]}' is not an id.") from error
