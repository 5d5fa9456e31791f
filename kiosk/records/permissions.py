"""Who may put what on record: one row for every kind of event, held where events are appended, not in the screens.

The set-up (commands at the desk, and the kiosk itself) acts without a person. What has no row is refused.
"""

from __future__ import annotations

from dataclasses import dataclass

from kiosk.entities import Role
from kiosk.errors import NotAllowed, NotFound
from kiosk.events import (
    CautionsConfirmed,
    ClockDoubted,
    ClockTrusted,
    ComponentInstalled,
    ComponentReplaced,
    ConflictSettled,
    CourseBegun,
    CourseEnded,
    CourseStepped,
    Event,
    FindingClosed,
    FindingOpened,
    HeadsSeen,
    HoursRead,
    JobDone,
    JobScheduled,
    LabelFound,
    LabelIssued,
    LabelPrintMoved,
    LabelPrintQueued,
    LabelReplaced,
    LabelRetired,
    LabelSeen,
    LabelsSwapped,
    PersonAdded,
    PersonLocked,
    PersonUnlocked,
    PhotoAdded,
    PinSet,
    PinsPaused,
    RecordCorrected,
    RecordsRestored,
    RoundBegun,
    RoundEnded,
    RoundJobSkipped,
    SheetAdopted,
    SignedIn,
    SignedOut,
    UnitAdded,
    UnitHeld,
    UnitReleased,
    WorkClosed,
    WorkHandedOver,
    WorkOpened,
    YardNamed,
)
from kiosk.language import tr
from kiosk.records.known import Known


@dataclass(frozen=True)
class Permission:
    """Which roles may do a thing, and whether it may be done without a person, by the set-up."""

    roles: frozenset[Role]
    by_set_up: bool


_ANYBODY = Permission(frozenset(Role), by_set_up=True)
_CREW = Permission(frozenset(Role), by_set_up=False)
_LEADS = Permission(frozenset({Role.LEAD, Role.SUPERVISOR}), by_set_up=False)
_LEADS_AND_SET_UP = Permission(frozenset({Role.LEAD, Role.SUPERVISOR}), by_set_up=True)
_SET_UP = Permission(frozenset({Role.SUPERVISOR}), by_set_up=True)
_KIOSK = Permission(frozenset(), by_set_up=True)

PERMISSIONS: dict[type, Permission] = {
    # what the yard is
    YardNamed: _SET_UP,
    PersonAdded: _SET_UP,
    UnitAdded: _SET_UP,
    SheetAdopted: _SET_UP,
    # labels: a mechanic prints, finds and changes them with the part in hand
    LabelIssued: _ANYBODY,
    LabelRetired: _LEADS_AND_SET_UP,
    LabelReplaced: _ANYBODY,
    LabelsSwapped: _ANYBODY,
    LabelFound: _ANYBODY,
    LabelSeen: _ANYBODY,
    LabelPrintQueued: _ANYBODY,
    LabelPrintMoved: _ANYBODY,
    # work
    ComponentInstalled: _ANYBODY,
    ComponentReplaced: _CREW,
    HoursRead: _ANYBODY,
    CautionsConfirmed: _CREW,
    JobDone: _CREW,
    WorkOpened: _CREW,
    WorkHandedOver: _CREW,
    WorkClosed: _CREW,
    RoundBegun: _CREW,
    RoundJobSkipped: _CREW,
    RoundEnded: _CREW,
    FindingOpened: _ANYBODY,
    CourseBegun: _CREW,
    CourseStepped: _CREW,
    CourseEnded: _CREW,
    JobScheduled: _CREW,
    PhotoAdded: _CREW,
    # judgement over others' work
    FindingClosed: _LEADS,
    UnitHeld: _LEADS,
    UnitReleased: _LEADS,
    RecordCorrected: _LEADS,
    ConflictSettled: _LEADS,
    # who is there
    SignedIn: _CREW,
    SignedOut: _ANYBODY,
    PinSet: _ANYBODY,
    PersonLocked: _KIOSK,
    PersonUnlocked: _SET_UP,
    PinsPaused: _KIOSK,
    ClockDoubted: _KIOSK,
    HeadsSeen: _KIOSK,
    ClockTrusted: _LEADS_AND_SET_UP,
    RecordsRestored: _SET_UP,
}


def check_permission(event: Event, known: Known) -> None:
    """Refuse what the person's role does not permit.

    Raises:
        NotAllowed: the role does not permit it, or nobody is signed in.
        NotFound: the person is not of the crew.
    """
    permission = PERMISSIONS.get(type(event.payload), Permission(frozenset(), by_set_up=False))
    if event.person_id is None:
        if not permission.by_set_up:
            raise NotAllowed(tr("Nobody is signed in. Scan your badge, then save again."))
        return
    role = known.role(event.person_id)
    if role is None:
        raise NotFound(tr("Nobody of the crew is on record as '{person_id}'.").format(person_id=event.person_id))
    if role not in permission.roles:
        raise NotAllowed(_sentence(permission, role))
    if isinstance(event.payload, PinSet) and event.payload.person_id != event.person_id:
        raise NotAllowed(tr("Everybody sets their own PIN; for somebody else it is set at the desk."))


def _sentence(permission: Permission, role: Role) -> str:
    if not permission.roles:
        return tr("Only the kiosk itself puts this on record.")
    return tr("This takes a {roles}; you are signed in as {role}.").format(
               roles=tr(" or ").join(tr(one) for one in sorted(permission.roles)), role=tr(role))
