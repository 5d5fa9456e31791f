"""What a scanned or typed label number means: which label, whose, and the sentence for every number that is refused."""

from __future__ import annotations

from dataclasses import dataclass

from kiosk.entities import Component, Label, LabelKind, Person
from kiosk.errors import KioskError, NotAllowed, NotFound
from kiosk.language import tr
from kiosk.presenters.helpers import Helpers, part_of
from kiosk.presenters.words import date_text
from labels.number import DIGITS, parse

LONGEST_SHOWN = 30


@dataclass(frozen=True)
class RetiredPart:
    """A label whose part is off the machine, or was given another label.

    Args:
        sentence: Why it is refused.
        now_id: The part to open instead, None if there is none.
        question: What to ask about that part, '' without one.
    """

    sentence: str
    now_id: str | None
    question: str


def known_label(helpers: Helpers, text: str) -> Label:
    """Return the label that a number belongs to, retired or not.

    Raises:
        NotALabelNumber: wrong length, wrong check digit, or no number.
        NotFound: it was never issued, or is not bound to anything yet.
    """
    number = parse(text)
    label = helpers.records.label(number.digits)
    if label is None:
        raise NotFound(tr("Label {grouped} was never issued in this yard. Compare it with the label, or ask the "
                          "supervisor.").format(grouped=number.grouped))
    if label.subject_id is None and label.kind is not LabelKind.COMMAND and label.retired_at is None:
        raise NotFound(tr("Label {grouped} was printed but belongs to no part yet. Finish the replacement that it "
                          "was printed for; to give it to a part, scan that part first.").format(
                           grouped=number.grouped))
    return label


def could_be_ours(text: str) -> bool:
    """Say whether a scanned text has the form of a label number: ten digits, right or wrong ones."""
    plain = "".join(text.split())
    return plain.isascii() and plain.isdigit() and len(plain) == DIGITS


def foreign_sentence(text: str) -> str:
    """Return the sentence for a code that is no label of the yard."""
    shown = text.strip()
    shown = shown if len(shown) <= LONGEST_SHOWN else shown[:LONGEST_SHOWN] + "…"
    return tr("'{shown}' is no label of this yard. Scan the yard's own label on the part.").format(shown=shown)


def label_words(helpers: Helpers, label: Label) -> str:
    """Return what a label is stuck to, in a few words."""
    subject = label.subject_id or ""
    if label.kind is LabelKind.COMPONENT:
        part = part_of(helpers, subject)
        return f"{part.title}, {part.place}"
    if label.kind is LabelKind.UNIT:
        return helpers.records.unit(subject).name
    if label.kind is LabelKind.BADGE:
        return helpers.records.person(subject).name
    return helpers.records.position(subject).name if label.kind is LabelKind.POSITION else tr("command card")


def badge_owner(helpers: Helpers, label: Label) -> Person:
    """Return whose badge it is.

    Raises:
        NotAllowed: the badge is retired.
    """
    if label.retired_at is not None:
        raise NotAllowed(tr("This badge does not count any more: {retired_reason}. Ask the supervisor.").format(
                             retired_reason=label.retired_reason))
    return helpers.records.person(label.subject_id or "")


def retired_part(helpers: Helpers, label: Label) -> RetiredPart | None:
    """Return why a part's label is refused and what to open instead, None if the part is on the machine."""
    if label.subject_id is None:
        return _plainly_retired(helpers, label)
    component = helpers.records.component(label.subject_id)
    if component.retired_at is not None:
        return _taken_off(helpers, component)
    return _relabelled(helpers, label, component) if label.retired_at is not None else None


def refuse_retired(helpers: Helpers, label: Label) -> None:
    """Refuse a unit's, position's or command card's label that does not count any more.

    Raises:
        NotAllowed: it is retired.
    """
    if label.retired_at is not None:
        raise NotAllowed(_plainly_retired(helpers, label).sentence)


def _plainly_retired(helpers: Helpers, label: Label) -> RetiredPart:
    when = "" if label.retired_at is None else tr(" on {day}").format(day=_day(helpers, label))
    return RetiredPart(tr("This label was retired{when}: {value}.").format(
                           when=when, value=label.retired_reason or tr("no reason given")), None, "")


def _day(helpers: Helpers, label: Label) -> str:
    assert label.retired_at is not None
    return date_text(label.retired_at.astimezone(helpers.settings.zone).date())


def _taken_off(helpers: Helpers, component: Component) -> RetiredPart:
    assert component.retired_at is not None
    day = date_text(component.retired_at.astimezone(helpers.settings.zone).date())
    what = helpers.sheets.sheet(component.sheet).title.lower()
    now = helpers.records.component_at(component.position_id)
    if now is None or now.id == component.id:
        return RetiredPart(tr("This {what} was taken off on {day}; nothing is on record in its place.").format(
                               what=what, day=day), None, "")
    text = tr("This {what} was replaced on {day}; the part here now is {description}, label {grouped}.").format(
               what=what, day=day, description=now.description, grouped=_grouped(now))
    return RetiredPart(text, now.id, tr("Open it?"))


def _relabelled(helpers: Helpers, label: Label, component: Component) -> RetiredPart:
    text = (tr("This label was retired on {day}: {retired_reason}. The part's label is now {grouped}.").format(
                day=_day(helpers, label), retired_reason=label.retired_reason, grouped=_grouped(component)))
    return RetiredPart(text, component.id, tr("Open the part?"))


def _grouped(component: Component) -> str:
    try:
        return parse(component.label).grouped
    except (KioskError, ValueError):
        return component.label
