"""Work of every kind at one kiosk of the small yard, entered as far as that kiosk lets it be entered."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime

from small_yard import done, event, finding, label_issued, record, replacement

from kiosk.entities import JobType
from kiosk.errors import RecordError, StoreUnavailable
from kiosk.events import (
    ComponentReplaced,
    Event,
    FindingClosed,
    FindingOpened,
    HoursRead,
    LabelReplaced,
    LabelsSwapped,
    RecordCorrected,
    SheetAdopted,
    UnitHeld,
    UnitReleased,
    WorkClosed,
    WorkHandedOver,
    WorkOpened,
)
from kiosk.records import YardRecords
from kiosk.records.ids import new_id
from kiosk.work_in_hand import HandOver, WorkKind

WORK = ("grease", "splice", "replace", "hold", "release", "find", "close", "correct", "hours", "sheet", "swap", "label",
        "open", "hand", "shut")


class Hand:
    """Somebody at one kiosk.

    Args:
        records: The kiosk's. `number`: the kiosk's.
    """

    def __init__(self, records: YardRecords, number: int) -> None:
        self._records, self._number = records, number
        self._serial = records.next_serial() + 1000 * (number > 1)

    def work(self, what: str, pick: int, now: datetime) -> list[Event]:
        """Enter one thing; return what was saved, [] where the kiosk does not allow it as it knows things."""
        events = self._events(what, pick, now)
        try:
            self._records.append_all(events)
        except StoreUnavailable:
            raise
        except RecordError:
            return []
        return events

    def _events(self, what: str, pick: int, now: datetime) -> list[Event]:
        records, side = self._records, ("left", "right")[pick % 2]
        part = records.component_at(f"u1-{side}")
        if part is None:
            return []
        on_part = {"component_id": part.id, "position_id": part.position_id, "at": now, "id": new_id()}
        if what == "grease":
            return [done(record(**on_part, strokes=pick % 5))]
        if what == "splice":
            return [done(record(**on_part, job="splice", job_type=JobType.SPLICE, strokes=None),
                         new_properties={"belt_length_mm": 1000.0 + pick})]
        if what == "replace":
            return self._replacement(part.id, side, now)
        if what == "correct":
            return self._correction(part.id, pick, now)
        if what == "label":
            number = self._next_label()
            return [replace(label_issued(number, self._serial), at=now),
                    replace(event(LabelReplaced(part.id, part.label, number, "torn"), "mechanic"), at=now)]
        return [replace(self._plain(what, part.id, part.position_id, side, pick), at=now)]

    def _plain(self, what: str, part_id: str, position_id: str, side: str, pick: int) -> Event:
        records = self._records
        if what == "hold":
            return event(UnitHeld("u1", f"reason {pick}"), "lead")
        if what == "release":
            return event(UnitReleased("u1", "put right"), "boss")
        if what == "find":
            return event(FindingOpened(finding(new_id(), part_id, position_id)), "mechanic")
        if what == "close":
            open_ones = records.open_findings()
            return event(FindingClosed(open_ones[pick % len(open_ones)].id if open_ones else "", "seen"), "lead")
        if what == "open":
            return event(WorkOpened("u1", WorkKind.LOCK_OUT, "lock-out noted"), "mechanic")
        if what in ("hand", "shut"):
            works = records.work_in_hand("u1")
            work_id = works[pick % len(works)].id if works else ""
            return (event(WorkClosed(work_id, "lock taken off"), "mechanic") if what == "shut" else
                    event(WorkHandedOver(work_id, "mechanic", bool(pick % 2), HandOver.BOTH_BADGES), "lead"))
        if what == "hours":
            return event(HoursRead("u1", 200.0 + pick), "mechanic")
        if what == "sheet":
            return event(SheetAdopted("bearing", 1 + len(records.sheet_revisions("bearing")),
                                      f"x = {self._number}{pick}"), "boss")
        other = records.component_at("u1-right" if side == "left" else "u1-left")
        return event(LabelsSwapped(part_id, other.id if other else "", "mixed up"), "lead")

    def _correction(self, part_id: str, pick: int, now: datetime) -> list[Event]:
        last = self._records.component_history(part_id, limit=1)
        if not last:
            return []
        better = replace(last[0], id=new_id(), hours=last[0].hours + 1)
        return [Event(better.id, now, "lead", RecordCorrected(last[0].id, "misread", better if pick % 3 else None))]

    def _replacement(self, old: str, side: str, now: datetime) -> list[Event]:
        label = self._next_label()
        plain = replacement(label=label, new_id_=f"part-{self._number}-{self._serial}", old=old)
        payload = plain.payload
        assert isinstance(payload, ComponentReplaced)
        moved = replace(payload, record=replace(payload.record, at=now, position_id=f"u1-{side}"),
                        new_component=replace(payload.new_component, installed_at=now, position_id=f"u1-{side}"))
        return [replace(label_issued(label, self._serial), at=now), replace(plain, at=now, payload=moved)]

    def _next_label(self) -> str:
        self._serial += 1
        return f"1{self._number:02d}{self._serial:07d}"
