"""Who has a unit in hand: said by name and time before anything is begun there, and handed over by both.

The giver scans their badge, then the taker: both stand at the kiosk. A round whose person has left is taken up by the
next one, who says so; other work, where hands may be in the machine or a lock hangs on it, takes a lead or supervisor
and a reason. Nothing here is the lock.
"""

from __future__ import annotations

from collections.abc import Callable

from kiosk.entities import LabelKind, Person, Role, Scan
from kiosk.errors import NotAllowed
from kiosk.events import WorkClosed, WorkHandedOver, WorkOpened
from kiosk.language import N_, tr
from kiosk.presenters.base import Handler, ScreenPresenter
from kiosk.presenters.helpers import Part
from kiosk.presenters.navigation import Navigation
from kiosk.presenters.rows import person_name
from kiosk.presenters.words import when_text
from kiosk.service_sheet import JobSpec
from kiosk.work_in_hand import HandOver, Work, WorkKind

NOT_THE_LOCK = N_("This note is not the lock. Lock out by the yard's own procedure and the maker's manual, and try the "
                  "start.")
_ABSENT = N_("not there; taken over by a lead who answers for it")
_LEADS = (Role.LEAD, Role.SUPERVISOR)


def in_others_hands(desk: Navigation, unit_id: str) -> tuple[Work, ...]:
    """Return what others than the person who is signed in have in hand on a unit."""
    person = desk.session.person
    works = desk.helpers.records.work_in_hand(unit_id)
    return tuple(work for work in works if person is None or not work.is_held_by(person.id))


def in_hand_text(desk: Navigation, work: Work, unit_name: str) -> str:
    """Return who has a unit in hand, with what, since when."""
    helpers = desk.helpers
    names = " + ".join(person_name(helpers, hand.person_id) for hand in work.holders)
    since = when_text(work.holders[0].since if work.holders else work.opened_at, helpers.clock(),
                      helpers.settings.zone)
    if work.kind is WorkKind.LOCK_OUT:
        return tr("{unit} is locked out by {people} since {since}, as noted here.").format(
            unit=unit_name, people=names, since=since)
    return tr("{unit} is in the hands of {people} since {since}: {what}.").format(
        unit=unit_name, people=names, since=since, what=work.what)


class WorkInHand:
    """What the person at this kiosk has opened, and the way to what others have."""

    def __init__(self, desk: Navigation) -> None:
        self._desk = desk
        self._opened: dict[tuple[str, str], tuple[Work, ScreenPresenter]] = {}

    # --- before anything is begun ---

    def when_free(self, screen: ScreenPresenter, unit_id: str, then: Handler) -> None:
        """Do `then` at once if nobody else has the unit in hand; else say who has it, and let them hand over."""
        self._desk.session.worker()
        others = in_others_hands(self._desk, unit_id)
        if others:
            self._ask(screen, others[0], unit_id, lambda: self.when_free(screen, unit_id, then))
        else:
            then()

    def when_in_hand(self, screen: ScreenPresenter, work: Work, then: Handler) -> None:
        """Do `then` if the person has this work in hand, or once they took it up."""
        if work.is_held_by(self._desk.session.worker().id):
            then()
        else:
            self._ask(screen, work, work.unit_id, then)

    def say(self, screen: ScreenPresenter, unit_id: str, lock_outs_only: bool = False) -> None:
        """Tell who has a unit in hand, if others have; the unit's own page tells all but lock-outs in its text."""
        others = [work for work in in_others_hands(self._desk, unit_id)
                  if not lock_outs_only or work.kind is WorkKind.LOCK_OUT]
        if others:
            name = self._desk.helpers.records.unit(unit_id).name
            screen.tell(in_hand_text(self._desk, others[0], name), self._what_now(others[0]))

    def _what_now(self, work: Work) -> str:
        return tr(NOT_THE_LOCK) if work.kind is WorkKind.LOCK_OUT else tr("Speak with them before you begin.")

    def _ask(self, screen: ScreenPresenter, work: Work, unit_id: str | None, then: Handler) -> None:
        self._desk.helpers.feedback("refused")
        answers: dict[str, tuple[str, Handler]] = {
            "give": (tr("Hand over to me"), lambda: self._giver(screen, work, False, then)),
            "together": (tr("Work together"), lambda: self._giver(screen, work, True, then)),
        }
        if work.kind is WorkKind.ROUND:
            answers["absent"] = (tr("They left: take it up"), lambda: self._without(work, then))
        elif self._desk.session.worker().role in _LEADS:
            answers["absent"] = (tr("Not here: take over"), lambda: self._without(work, then))
        answers["no"] = (tr("Leave it"), _nothing)
        name = work.what if unit_id is None else self._desk.helpers.records.unit(unit_id).name
        screen.ask(in_hand_text(self._desk, work, name), answers, self._what_now(work))

    # --- both badges ---

    def _giver(self, screen: ScreenPresenter, work: Work, together: bool, then: Handler) -> None:
        givers = {hand.person_id for hand in work.holders}
        names = " + ".join(person_name(self._desk.helpers, person_id) for person_id in givers)

        def take(scan: Scan) -> bool:
            owner = self._badge_owner(scan)
            if owner in givers:
                self._taker(screen, work, owner, together, then)
            else:
                screen.refuse_and_wait(tr("First the badge of {names}.").format(names=names))
            return True

        screen.wait_for(take, tr("{names}: scan your badge to hand over.").format(names=names),
                        {"no": (tr("Leave it"), _nothing)})

    def _taker(self, screen: ScreenPresenter, work: Work, giver_id: str, together: bool, then: Handler) -> None:
        person = self._desk.session.worker()

        def take(scan: Scan) -> bool:
            owner = self._badge_owner(scan)
            if owner == person.id:
                screen.clear_message()
                self._hand_over(work, person, WorkHandedOver(work.id, giver_id, together, HandOver.BOTH_BADGES), then)
            elif owner != giver_id:  # the giver's badge may still lie before the camera
                screen.refuse_and_wait(tr("Now the badge of {name}.").format(name=person.name))
            return True

        screen.wait_for(take, tr("{name}: scan your badge to take it.").format(name=person.name),
                        {"no": (tr("Leave it"), _nothing)})

    def _without(self, work: Work, then: Handler) -> None:
        """Take work up without the badge of the one who had it; the journal holds that to its rule."""
        person = self._desk.session.worker()
        reason = "" if work.kind is WorkKind.ROUND else tr(_ABSENT)
        giver_id = work.holders[0].person_id
        self._hand_over(work, person, WorkHandedOver(work.id, giver_id, False, HandOver.GIVER_ABSENT, reason), then)

    def _hand_over(self, work: Work, person: Person, payload: WorkHandedOver, then: Handler) -> None:
        self._desk.helpers.records.append(self._desk.session.event(payload, person))
        self._desk.helpers.feedback("saved")
        then()

    def _badge_owner(self, scan: Scan) -> str:
        label = self._desk.helpers.records.label(scan.number)
        if label is None or label.kind is not LabelKind.BADGE or label.retired_at is not None:
            return ""
        return label.subject_id or ""

    # --- what is opened here ---

    def opened(self, part: Part, job: JobSpec, screen: ScreenPresenter) -> None:
        """Note that the person at the kiosk has a job in hand from now on; jobs without cautions need none."""
        if not job.cautions:
            return
        person, key = self._desk.session.worker(), (part.position.id, job.key)
        mine = next((work for work in self._desk.helpers.records.work_in_hand(part.unit.id)
                     if self._key(work) == key and work.is_held_by(person.id)), None)
        self._opened[key] = (mine or self._open(part, job), screen)

    def _open(self, part: Part, job: JobSpec) -> Work:
        what = f"{job.title}, {part.position.name}"
        payload = WorkOpened(part.unit.id, WorkKind.JOB, what, part.component.id, job.key)
        event = self._desk.session.event(payload)
        self._desk.helpers.records.append(event)
        return self._desk.helpers.records.work(event.id)

    def _key(self, work: Work) -> tuple[str, str]:
        """Return position and job: a repair changes the part under way."""
        component = self._desk.helpers.records.component(work.component_id) if work.component_id else None
        return (component.position_id if component else "", work.job)

    def saved(self, position_id: str, job: str) -> None:
        """Note that a job was saved: nobody has it in hand any more."""
        opened = self._opened.pop((position_id, job), None)
        if opened is not None:
            self._close(opened[0], N_("saved"))

    def left(self, is_there: Callable[[ScreenPresenter], bool], is_begun: Callable[[str, str], bool]) -> None:
        """Close what was only looked at: its form is gone and nothing was entered."""
        for key, (work, screen) in list(self._opened.items()):
            if not is_there(screen) and not is_begun(*key):
                del self._opened[key]
                self._close(work, N_("left without an entry"))

    def _close(self, work: Work, reason: str) -> None:
        records = self._desk.helpers.records
        now = records.work(work.id)
        if now.closed_at is not None or not now.holders:
            return
        person, holders = self._desk.session.person, [hand.person_id for hand in now.holders]
        by = person if person is not None and person.id in holders else records.person(holders[0])
        records.append(self._desk.session.event(WorkClosed(work.id, reason), by))

    # --- the note of a lock-out ---

    def note_lock_out(self, unit_id: str) -> None:
        """Note that the person at the kiosk hung their lock on a unit.

        Raises:
            NotAllowed: they noted it already.
        """
        person = self._desk.session.worker()
        if self.own_lock_out(unit_id) is not None:
            raise NotAllowed(tr("Your lock-out of this unit is noted already."))
        payload = WorkOpened(unit_id, WorkKind.LOCK_OUT, "lock-out noted")
        self._desk.helpers.records.append(self._desk.session.event(payload, person))
        self._desk.helpers.feedback("saved")

    def take_lock_out_back(self, unit_id: str) -> None:
        """Note that the person's own lock is off again."""
        own = self.own_lock_out(unit_id)
        if own is not None:
            self._close(own, N_("lock taken off"))
            self._desk.helpers.feedback("saved")

    def own_lock_out(self, unit_id: str) -> Work | None:
        """Return the person's own note of a lock-out on a unit."""
        person = self._desk.session.person
        return next((work for work in self._desk.helpers.records.work_in_hand(unit_id)
                     if work.kind is WorkKind.LOCK_OUT and person is not None and work.is_held_by(person.id)), None)


def _nothing() -> None:
    """The answer that changes nothing."""
