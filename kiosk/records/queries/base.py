"""What every set of queries stands on."""

from __future__ import annotations

from typing import Any, TypeVar

from kiosk.errors import NotFound
from kiosk.language import tr
from kiosk.records.store import Store

Found = TypeVar("Found")


class Queries:
    """Questions to one store.

    Args:
        store: Open, with its tables.
        kiosk: This kiosk's number. 0..99
    """

    def __init__(self, store: Store, kiosk: int) -> None:
        self._store = store
        self._kiosk = kiosk


def found(row: Any, what: str, key: str) -> Any:
    """Return the row, or refuse where there is none.

    Raises:
        NotFound: nothing is on record under that key.
    """
    if row is None:
        raise NotFound(tr("The {what} '{key}' is not on record.").format(what=what, key=key))
    return row
