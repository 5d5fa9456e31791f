"""What can be done with a part's label from the part's page: print again, swap, say where it was found, change.

Each is a question on the message bar and one event with its reason. A blank label, printed ahead, is bound by scanning
it while the part is open.
"""

from __future__ import annotations

from kiosk.entities import Label, LabelKind, Scan, ScanSource
from kiosk.errors import NotAllowed
from kiosk.events import LabelFound, LabelReplaced, LabelsSwapped
from kiosk.language import N_, tr
from kiosk.presenters.base import Handler, ScreenPresenter
from kiosk.presenters.helpers import Helpers, Part, part_of
from kiosk.presenters.label_health import FAILED_BECAUSE, KEY
from kiosk.presenters.words import when_text
from labels.number import is_label_number, parse

TITLE = N_("The label: renew, swap, found loose")
TYPE = "label"
RENEW_REASONS = dict(zip(("worn", "torn"), FAILED_BECAUSE, strict=True))
FOUND_PLACES = {
    "shop": N_("on the shop floor"), "machine": N_("loose on the machine"), "elsewhere": N_("somewhere else")}
__all__ = ["KEY", "TITLE", "TYPE", "LabelLife", "blank_label", "found_sentence", "label_lines"]
_BY_MACHINE = (ScanSource.SCANNER, ScanSource.CAMERA)


def label_lines(part: Part) -> tuple[str, ...]:
    """Return what stands over the bars of a part's label."""
    return tuple(line for line in (part.unit.name, part.position.name, part.title) if line)


def found_sentence(helpers: Helpers, part: Part) -> str:
    """Return whose a label found loose is: 'belongs to …, was last on …'."""
    component, zone, now = part.component, helpers.settings.zone, helpers.clock()
    since = when_text(component.installed_at, now, zone)
    if component.retired_at is not None:
        gone = when_text(component.retired_at, now, zone)
        return tr("It belongs to {part}, was last on {place}, taken off {gone}.").format(
                   part=part.title, place=part.place, gone=gone)
    return tr("It belongs to {part}, on {place} since {since}.").format(part=part.title, place=part.place, since=since)


def blank_label(helpers: Helpers, scan: Scan) -> Label | None:
    """Return the label that a scan read if it was issued for a part and belongs to nothing yet."""
    if scan.source not in _BY_MACHINE or not is_label_number(scan.number):
        return None
    label = helpers.records.label(parse(scan.number).digits)
    if label is None or label.kind is not LabelKind.COMPONENT or label.subject_id or label.retired_at:
        return None
    return label


class LabelLife:
    """The label of the part whose page is shown.

    Args:
        screen: The page, which asks and tells.
        part: Its part.
    """

    def __init__(self, screen: ScreenPresenter, part: Part) -> None:
        self._screen, self._desk, self._helpers, self._part = screen, screen.desk, screen.helpers, part
        self._waits_for_other = False

    def ask(self) -> None:
        """Ask what is to be done with the label."""
        self._desk.session.worker()
        self._waits_for_other = False
        progress = self._helpers.labels.progress(self._part.component.label)
        waits = progress is not None and progress.is_waiting
        self._screen.ask(tr("Label {grouped} of {part}:").format(grouped=self._grouped, part=self._part.title), {
            **({"cancel": (tr("Do not print it"), self._cancel)} if waits else
               {"renew": (tr("Print it again"), self._ask_renew)}),
            "swap": (tr("It is on the wrong part"), self._wait_for_other),
            "found": (tr("It was found loose"), self._ask_where),
            "no": (tr("Close"), lambda: None),
        }, progress.text if waits and progress else tr("To put another number on the part, scan a blank label."))

    def takes_scan(self, scan: Scan) -> bool:
        """Take the scan of a blank label, of the other label of a swap, or of this one after it was printed again."""
        if self._part.component.retired_at is not None or self._desk.session.person is None:
            return False
        blank = blank_label(self._helpers, scan)
        if blank is not None:
            return self._offer_blank(blank)
        if not is_label_number(scan.number):
            return False
        return self._takes_other(scan) or self._takes_reprint(scan)

    # --- printed again ---

    def print_changed(self) -> None:
        """Ask about a print of which nobody but a person can know whether it came out."""
        number = self._part.component.label
        progress = self._helpers.labels.progress(number)
        if progress is None or not progress.asks or self._screen.is_asking or self._desk.session.person is None:
            return
        self._screen.ask(progress.text, {
            "out": (tr("It came out"), lambda: self._helpers.labels.came_out(number, self._desk.session.worker().id)),
            "again": (tr("Print it again"), lambda: self._helpers.labels.send_again(
                number, self._desk.session.worker().id, "it had not come out")),
            "cancel": (tr("Do not print it"), self._cancel),
        }, tr("Look at the printer first, so that no number is printed twice."))

    def _cancel(self) -> None:
        person = self._desk.session.worker()
        self._helpers.labels.cancel_print(self._part.component.label, person.id, "not needed")
        self._screen.tell(tr("It is not printed."))

    def _ask_renew(self) -> None:
        self._screen.ask(tr("Why is it printed again?"), {
            key: (tr(reason).capitalize(), self._renew_for(reason)) for key, reason in RENEW_REASONS.items()
        } | _close(), tr("The number stays the same."))

    def _renew_for(self, reason: str) -> Handler:
        def renew() -> None:
            person = self._desk.session.worker()
            number = self._part.component.label
            path = self._helpers.labels.print_again(number, label_lines(self._part), reason, person.id)
            progress = self._helpers.labels.progress(number)
            self._screen.tell(progress.text if progress else tr("The label is in {path}.").format(path=path.name),
                              tr("Show the new label to the scanner before you stick it on."))
        return renew

    def _takes_reprint(self, scan: Scan) -> bool:
        number = self._part.component.label
        if scan.source not in _BY_MACHINE or parse(scan.number).digits != number:
            return False
        newest = self._helpers.records.last_label_print(number)
        if newest is None or not newest.state.could_be_out:
            return False
        self._helpers.labels.was_read(number, scan.source.value, self._desk.session.worker().id)
        self._screen.tell(tr("The new label reads. Stick it on and take the old one off."), kind="saved")
        return True

    # --- on the wrong part ---

    def _wait_for_other(self) -> None:
        self._waits_for_other = True
        self._screen.tell(tr("Scan the label of the other part."), tr("The two labels then change places on record."))

    def _takes_other(self, scan: Scan) -> bool:
        if not self._waits_for_other:
            return False
        label = self._helpers.records.label(parse(scan.number).digits)
        if label is None or label.kind is not LabelKind.COMPONENT or not label.subject_id:
            return False
        self._waits_for_other = False
        other = part_of(self._helpers, label.subject_id)
        if other.component.id == self._part.component.id:
            raise NotAllowed(tr("That is the same label. Scan the one on the other part."))
        if other.component.retired_at is not None:
            raise NotAllowed(tr("That label's part was taken off: {found_sentence}").format(
                                 found_sentence=found_sentence(self._helpers, other)))
        self._screen.ask(
            tr("Swap: {grouped} is on {place}, {grouped_2} on {place_2}?").format(
                grouped=self._grouped, place=other.place, grouped_2=parse(label.number).grouped,
                place_2=self._part.place),
            {"yes": (tr("Yes, swap them"), lambda: self._swap(other)), "no": (tr("No"), lambda: None)},
            tr("The work recorded so far stays with its part."))
        return True

    def _swap(self, other: Part) -> None:
        self._desk.session.worker()
        payload = LabelsSwapped(self._part.component.id, other.component.id, "stuck on each other's part")
        self._helpers.records.append(self._desk.session.event(payload))
        self._helpers.feedback("saved")
        self._desk.open_component(self._part.component.id)

    # --- found loose ---

    def _ask_where(self) -> None:
        self._screen.ask(tr("Where was it found?"), {
            key: (tr(place).capitalize(), self._found_at(place)) for key, place in FOUND_PLACES.items()} | _close())

    def _found_at(self, place: str) -> Handler:
        def found() -> None:
            self._desk.session.worker()
            payload = LabelFound(self._part.component.label, place)
            self._helpers.records.append(self._desk.session.event(payload))
            self._helpers.feedback("saved")
            self._screen.ask(
                found_sentence(self._helpers, self._part),
                {
                    "renew": (tr("Print a new one"), self._renew_for("found loose")),
                    "no": (tr("It still sticks"), lambda: None),
                },
                tr("Look at the part before you stick anything on: it may be another one."),
            )
        return found

    # --- another number ---

    def _offer_blank(self, blank: Label) -> bool:
        if self._desk.drafts.is_promised(blank.number):
            return False
        self._screen.ask(
            tr("Label {grouped} is blank. Put it on this part instead of {grouped_2}?").format(
                grouped=parse(blank.number).grouped, grouped_2=self._grouped),
            {key: (tr("Yes: the old one is {reason}").format(reason=tr(reason)), self._replace_by(blank.number, reason))
             for key, reason in RENEW_REASONS.items()} | {"no": (tr("No"), lambda: None)},
            tr("{part}, {place}. The old number counts no more then.").format(
                part=self._part.title, place=self._part.place))
        return True

    def _replace_by(self, number: str, reason: str) -> Handler:
        def bind() -> None:
            self._desk.session.worker()
            component = self._part.component
            payload = LabelReplaced(component.id, component.label, number, reason)
            self._helpers.records.append(self._desk.session.event(payload))
            self._helpers.feedback("saved")
            self._desk.open_component(component.id)
        return bind

    @property
    def _grouped(self) -> str:
        return parse(self._part.component.label).grouped


def _close() -> dict[str, tuple[str, Handler]]:
    """Return the answer that changes nothing."""
    return {"no": (tr("Close"), lambda: None)}
