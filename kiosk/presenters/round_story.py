"""A round told as one story: who began it and took it up, what was done, what was left out and why, when it ended."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass
from typing import Protocol

from kiosk.language import tr
from kiosk.presenters.ports import Records
from kiosk.presenters.rows import person_name
from kiosk.presenters.settings import FloorSettings
from kiosk.presenters.words import clock_text
from kiosk.work_in_hand import Hand, HandOver, Round, StepState


class Teller(Protocol):
    """What a story is told from: the presenters' helpers, or `Book`."""

    @property
    def records(self) -> Records: ...
    @property
    def settings(self) -> FloorSettings: ...


@dataclass(frozen=True)
class Book:
    """Records and settings, for the reports."""

    records: Records
    settings: FloorSettings


def round_story(helpers: Teller, one: Round) -> tuple[str, ...]:
    """Return the story of a round, a sentence a line."""
    return (*(_hand_text(helpers, hand) for hand in one.work.hands), *_done_texts(helpers, one),
            *_skipped_texts(helpers, one), *_end_texts(helpers, one))


def _at(helpers: Teller, hand: Hand) -> str:
    return clock_text(hand.since, helpers.settings.zone)


def _hand_text(helpers: Teller, hand: Hand) -> str:
    name, when = person_name(helpers, hand.person_id), _at(helpers, hand)
    if hand.from_person_id is None:
        return tr("Begun by {name}, {when}.").format(name=name, when=when)
    giver = person_name(helpers, hand.from_person_id)
    if hand.how is HandOver.BOTH_BADGES:
        return tr("From {giver} to {name}, {when}, by both badges.").format(giver=giver, name=name, when=when)
    return tr("Taken up by {name} from {giver}, who had left, {when}.").format(giver=giver, name=name, when=when)


def _done_texts(helpers: Teller, one: Round) -> list[str]:
    by = Counter(step.person_id for step in one.in_state(StepState.DONE))
    names = ", ".join(f"{person_name(helpers, person_id)} {count}" for person_id, count in by.items())
    return [tr("Done: {done} of {all} ({names}).").format(done=sum(by.values()), all=len(one.steps),
                                                         names=names)] if by else []


def _skipped_texts(helpers: Teller, one: Round) -> list[str]:
    return [tr("Left out: {place}, {job}: {reason}.").format(
        place=helpers.records.position(step.job.position_id).name, job=step.job.job, reason=step.reason)
        for step in one.in_state(StepState.SKIPPED)]


def _end_texts(helpers: Teller, one: Round) -> list[str]:
    if one.work.closed_at is None:
        return []
    return [tr("Ended by {name}, {when}.").format(
        name=person_name(helpers, one.work.closed_by), when=clock_text(one.work.closed_at, helpers.settings.zone))]
