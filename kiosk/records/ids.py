"""Ids: UUIDs of version 7, whose first 48 bits are the Unix time in milliseconds, so that they sort by time.

Source: RFC 9562 (UUIDs), section 5.7 layout and section 6.2 on staying monotonic.
"""

from __future__ import annotations

import secrets
import threading
from datetime import UTC, datetime, timedelta
from uuid import UUID

import uuid_utils

from kiosk.errors import RecordError

MAX_ID_LENGTH = 64
_EPOCH = datetime(1970, 1, 1, tzinfo=UTC)
_VERSION, _VARIANT = 7, 0b10
_TIME_BITS, _RANDOM_BITS, _LOW_BITS = 48, 74, 62


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
    return id_of_ms((instant - _EPOCH) // timedelta(milliseconds=1))


def id_of_ms(milliseconds: int) -> str:
    """Return a new id that bears the given Unix time in milliseconds; the rest of it is random.

    Raises:
        RecordError: before 1970, or beyond the 48 bits that an id has for its time.
    """
    if not 0 <= milliseconds < 1 << _TIME_BITS:
        raise RecordError(f"No id can bear the time {milliseconds} ms.")
    random = secrets.randbits(_RANDOM_BITS)
    high, low = random >> _LOW_BITS, random & ((1 << _LOW_BITS) - 1)
    return str(UUID(int=milliseconds << 80 | _VERSION << 76 | high << 64 | _VARIANT << _LOW_BITS | low))


def first_id_at(instant: datetime) -> str:
    """Return a text that stands before every id made at an instant or later, and after every one made before."""
    milliseconds = max(0, (instant - _EPOCH) // timedelta(milliseconds=1))
    text = f"{milliseconds:012x}"
    return f"{text[:8]}-{text[8:]}"


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
