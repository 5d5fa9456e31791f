"""What happened since somebody last looked: how far the journal is, and which units the new entries speak of."""

from __future__ import annotations

from kiosk.entities import News
from kiosk.events import (
    CautionsConfirmed,
    ComponentInstalled,
    ComponentReplaced,
    CourseBegun,
    CourseEnded,
    CourseStepped,
    FindingOpened,
    HoursRead,
    JobDone,
    JobScheduled,
    LabelIssued,
    LabelPrintMoved,
    LabelPrintQueued,
    LabelSeen,
    Payload,
    PhotoAdded,
    RoundBegun,
    RoundEnded,
    RoundJobSkipped,
    SignedIn,
    SignedOut,
    UnitHeld,
    UnitReleased,
    WorkClosed,
    WorkHandedOver,
    WorkOpened,
)
from kiosk.records import codec
from kiosk.records.queries.base import Queries

MOST_READ = 100
_LAST = "SELECT coalesce(max(arrival), 0) FROM journal"
_SINCE = "SELECT kind, body FROM journal WHERE arrival > ? ORDER BY arrival LIMIT ?"
_OF_LABEL = "SELECT unit_id FROM component WHERE id = (SELECT subject_id FROM label WHERE number = ?)"
_OF_PRINT = "SELECT number FROM label_print WHERE id = ?"
_OF_NO_UNIT = (SignedIn, SignedOut, CautionsConfirmed, PhotoAdded, LabelIssued, WorkOpened, WorkHandedOver, WorkClosed,
               RoundBegun, RoundJobSkipped, RoundEnded, CourseBegun, CourseStepped, CourseEnded)


class NewsQueries(Queries):
    """The question what is new."""

    def news(self, since: int) -> News:
        """Return what happened after an arrival; what cannot be told for one unit alone is for all."""
        ((last,),) = self._store.sql(_LAST)
        if last == since:
            return News(last, frozenset())
        rows = self._store.sql(_SINCE, (since, MOST_READ + 1))
        if since <= 0 or last < since or len(rows) > MOST_READ:
            return News(last, None)
        found: set[str] = set()
        for kind, body in rows:
            units = self._units_of(codec.decode(kind, body))
            if units is None:
                return News(last, None)
            found |= units
        return News(last, frozenset(found))

    def _units_of(self, payload: Payload) -> set[str] | None:
        """Return the units that an entry speaks of, None where that could be any."""
        if isinstance(payload, _OF_NO_UNIT):
            return set()
        if isinstance(payload, JobDone):
            return {payload.record.unit_id}
        if isinstance(payload, (HoursRead, UnitHeld, UnitReleased, JobScheduled)):
            return {payload.unit_id}
        if isinstance(payload, FindingOpened):
            return {payload.finding.unit_id}
        if isinstance(payload, ComponentInstalled):
            return {payload.component.unit_id}
        if isinstance(payload, ComponentReplaced):
            return {payload.new_component.unit_id}
        return self._units_of_label(payload)

    def _units_of_label(self, payload: Payload) -> set[str] | None:
        if isinstance(payload, LabelPrintMoved):
            rows = self._store.sql(_OF_PRINT, (payload.print_id,))
            number = rows[0][0] if rows else ""
        elif isinstance(payload, (LabelSeen, LabelPrintQueued)):
            number = payload.number
        else:
            return None
        return {unit_id for (unit_id,) in self._store.sql(_OF_LABEL, (number,))}
