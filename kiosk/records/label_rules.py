"""What may become of labels and of their prints; see `rules` for how an event is checked.

A print goes back into the queue by itself only from 'sending', when nothing had reached the printer yet. From every
other state only a person's word sends the label again, so that no label is printed twice without asking.
"""

from __future__ import annotations

from kiosk.entities import PrintState
from kiosk.errors import NotAllowed, NotFound, RecordError
from kiosk.events import (
    Event,
    LabelFound,
    LabelPrintMoved,
    LabelPrintQueued,
    LabelReplaced,
    LabelSeen,
    LabelsSwapped,
)
from kiosk.language import tr
from kiosk.records.known import Known

MOST_COPIES = 99
_S = PrintState
_NEXT: dict[PrintState, frozenset[PrintState]] = {
    _S.QUEUED: frozenset({_S.SENDING, _S.CANCELLED, _S.PRINTED}),  # printed at once: as a page, where no printer is set
    _S.SENDING: frozenset({_S.SENT, _S.UNCERTAIN, _S.REFUSED, _S.QUEUED}),
    _S.SENT: frozenset({_S.PRINTED, _S.UNCERTAIN, _S.REFUSED, _S.READ_BACK, _S.CANCELLED}),
    _S.UNCERTAIN: frozenset({_S.QUEUED, _S.PRINTED, _S.READ_BACK, _S.CANCELLED}),
    _S.REFUSED: frozenset({_S.QUEUED, _S.CANCELLED}),
    _S.PRINTED: frozenset({_S.READ_BACK, _S.QUEUED, _S.CANCELLED}),
    _S.READ_BACK: frozenset(),
    _S.CANCELLED: frozenset(),
}
# What must not happen without somebody's word.
_BY_A_PERSON = {(state, _S.QUEUED) for state in (_S.UNCERTAIN, _S.REFUSED, _S.PRINTED)} | {(_S.UNCERTAIN, _S.PRINTED)}


def check_replaced(payload: LabelReplaced, known: Known) -> None:
    """Refuse another label for a part unless the old one is its label and the new one is blank."""
    _check_on_part(payload.component_id, payload.old_number, known)
    _demand(payload.new_number != payload.old_number, tr("The new label has the number of the old one."))
    new = known.label(payload.new_number)
    if new is None:
        raise NotFound(tr("The label {new_number} was never issued.").format(new_number=payload.new_number))
    _demand(new.subject_id is None and new.retired_at is None, tr("The label {new_number} is used already.").format(
                                                                   new_number=payload.new_number))
    _check_reason(payload.reason)


def check_swapped(payload: LabelsSwapped, known: Known) -> None:
    """Refuse a swap of anything but two different parts that sit on machines."""
    _demand(payload.component_id != payload.other_component_id, tr("Two different parts are needed to swap their "
                                                                   "labels."))
    for component_id in (payload.component_id, payload.other_component_id):
        _check_sits(component_id, known)
    _check_reason(payload.reason)


def check_found(payload: LabelFound, known: Known) -> None:
    """Refuse a find without a place, or of a label that is none of ours."""
    _check_issued(payload.number, known)
    _demand(bool(payload.where.strip()), tr("Say where the label was found."))


def check_seen(payload: LabelSeen, known: Known) -> None:
    """Refuse a sighting of a label that is none of ours."""
    _check_issued(payload.number, known)
    seen = payload.sighting
    _demand(seen.tries >= 1 and seen.took_ms >= 0, tr("A label is read in one try or more."))


def check_queued(payload: LabelPrintQueued, known: Known) -> None:
    """Refuse to print a label that was never issued, is retired, or waits for the printer already."""
    label = known.label(payload.number)
    if label is None:
        raise NotFound(tr("The label {number} was never issued.").format(number=payload.number))
    _demand(label.retired_at is None, tr("The label {number} is retired.").format(number=payload.number))
    newest = known.newest_print_state(payload.number)
    _demand(newest is None or not newest.is_waiting, tr("The label {number} is in the printer's queue already.").format(
                                                         number=payload.number))
    _demand(1 <= payload.copies <= MOST_COPIES, tr("1 to {most_copies} copies can be printed.").format(
                                                    most_copies=MOST_COPIES))
    _check_reason(payload.reason)


def check_moved(payload: LabelPrintMoved, event: Event, known: Known) -> None:
    """Refuse a step that a print cannot take, or not without a person."""
    state = known.print_state(payload.print_id)
    if state is None:
        raise NotFound(tr("Nothing was to be printed as '{print_id}'.").format(print_id=payload.print_id))
    _demand(payload.state in _NEXT[state], tr("A label that is {state} cannot become {state_2}.").format(
                                               state=state, state_2=payload.state))
    if (state, payload.state) in _BY_A_PERSON and event.person_id is None:
        raise NotAllowed(tr("Somebody must look first whether the label came out. Scan your badge, then say so."))


def _check_on_part(component_id: str, number: str, known: Known) -> None:
    _check_sits(component_id, known)
    _demand(known.label_of_part(component_id) == number, tr("The label {number} is not the one on this part.").format(
                                                             number=number))


def _check_sits(component_id: str, known: Known) -> None:
    part = known.part(component_id)
    if part is None:
        raise NotFound(tr("The part '{component_id}' is not on record.").format(component_id=component_id))
    _demand(part.retired_at is None, tr("This part was taken off; its label counts no more."))


def _check_issued(number: str, known: Known) -> None:
    if known.label(number) is None:
        raise NotFound(tr("The label {number} was never issued.").format(number=number))


def _check_reason(reason: str) -> None:
    _demand(bool(reason.strip()), tr("The reason is missing."))


def _demand(holds: bool, sentence: str) -> None:
    if not holds:
        raise RecordError(sentence)
