"""Events in one person's name, all of one moment."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from kiosk.events import Event, Payload
from kiosk.presenters.ports import NewId


@dataclass(frozen=True)
class Pen:
    """Writes events.

    Args:
        at: When. Aware UTC.
        person_id: In whose name; None for the set-up at the desk.
    """

    new_id: NewId
    at: datetime
    person_id: str | None

    def event(self, payload: Payload) -> Event:
        """Return an event of this moment."""
        return Event(self.new_id(), self.at, self.person_id, payload)
