"""Taking a part off and putting a new one on: reason, new part, its label printed and read back, then one save.

The job cannot end before the new label was read back, from the printed page or by a scan: a label that no scanner can
read must not go on the machine.
"""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

from kiosk.entities import Component, LabelKind, Scan, ScanSource, ServiceRecord
from kiosk.errors import NotAllowed
from kiosk.events import ComponentReplaced
from kiosk.language import N_, number, tr
from kiosk.presenters.base import ScreenPresenter, action
from kiosk.presenters.cautions import is_cleared
from kiosk.presenters.drafts import ReplaceDraft
from kiosk.presenters.facts import component_facts, since_text
from kiosk.presenters.helpers import Part, part_of
from kiosk.presenters.hours import are_hours_fresh, current_hours
from kiosk.presenters.keys import keypad_key
from kiosk.presenters.label_health import is_poor
from kiosk.presenters.label_life import blank_label
from kiosk.presenters.navigation import Navigation
from kiosk.presenters.new_parts import new_component
from kiosk.presenters.new_records import new_record
from kiosk.presenters.parts import ActionState, EntryRow, FrameState, LabelState, SaveState
from kiosk.presenters.ports import IssuedLabel
from kiosk.presenters.saved import Saved
from kiosk.presenters.states import ReplaceState
from kiosk.presenters.words import hours_text
from kiosk.service_sheet import JobSpec
from labels.number import is_label_number, parse

LONGEST_TEXT = 80
_TITLES = {"description": N_("New part"), "serial": N_("Its serial or batch number, if it has one")}
_BY_MACHINE = (ScanSource.SCANNER, ScanSource.CAMERA)


class ReplacePresenter(ScreenPresenter):
    """One replacement at one position."""

    def __init__(self, desk: Navigation, part: Part, job: JobSpec) -> None:
        super().__init__(desk)
        self._part, self._job = part, job
        fresh = ReplaceDraft(texts={"description": part.component.description, "serial": ""})
        self._draft = desk.drafts.of(part.component.id, job.key, fresh)

    def build(self, frame: FrameState) -> ReplaceState:
        """Return the replacement as it stands."""
        part, missing = self._part, self._missing()
        return ReplaceState(
            frame=frame, title=self._job.title, place=part.place, old_part=self._old_part(), reasons=self._reasons(),
            entries=tuple(self._entry(row) for row in _TITLES), label=self._label(),
            can_issue=not self._draft.number and bool(self._text("description")), hours=self._hours(),
            save=SaveState(tr("Save: old part off, new part on"), not missing, missing),
        )

    @property
    def unsaved(self) -> str:
        """What is chosen and not saved."""
        begun = self._draft.reason or self._draft.number
        return tr("{job} on {place}").format(job=self._job.title, place=self._part.place) if begun else ""

    # --- actions ---

    @action
    def choose_reason(self, key: str) -> None:
        """Choose why the old part goes."""
        if key in self._part.sheet.replace_reasons:
            self._keep(replace(self._draft, reason=key))

    @action
    def focus(self, row: str) -> None:
        """Send the keyboard to a field."""
        if row in _TITLES:
            self._keep(replace(self._draft, active=row))

    @action
    def set_text(self, row: str, text: str) -> None:
        """Type into a field; the description is printed on the label and cannot change after that."""
        if row not in _TITLES:
            return
        if self._draft.number and row == "description":
            raise NotAllowed(tr("The label with this description is printed already."))
        self._keep(replace(self._draft, texts={**self._draft.texts, row: text[:LONGEST_TEXT]}))

    @action
    def key(self, key: str) -> None:
        """Take a key of the number keypad for the active field."""
        text = self._draft.texts.get(self._draft.active, "")
        longer = {"back": text[:-1], "clear": ""}.get(key, text + key if len(key) == 1 else text)
        self._keep(replace(self._draft, texts={**self._draft.texts, self._draft.active: longer[:LONGEST_TEXT]}))

    def typed(self, key: str) -> bool:
        """Take a key of a real keyboard for the active field."""
        self.key(keypad_key(key))
        return True

    @action
    def issue_label(self) -> None:
        """Issue the new part's number and print its label."""
        self.desk.session.worker()
        if self._draft.number:
            return
        if not self._text("description"):
            raise NotAllowed(tr("Say what the new part is first."))
        issued = self.helpers.labels.issue(LabelKind.COMPONENT, self._label_lines())
        self._keep(replace(self._draft, number=issued.number, pdf=str(issued.pdf)))

    @action
    def read_back(self) -> None:
        """Read the printed page back with the decoder."""
        if not self._draft.number:
            raise NotAllowed(tr("Print the label first."))
        read = self.helpers.labels.read_back(IssuedLabel(self._draft.number, Path(self._draft.pdf)))
        if read != self._draft.number:
            raise NotAllowed(tr("The printed label cannot be read. Look at the print, print it again, or scan it."))
        self._keep(replace(self._draft, read_back="printed page"))
        self.helpers.feedback("read")

    @action
    def save(self) -> None:
        """Save: the old part is retired, the new one sits there, in one act."""
        missing = self._missing()
        if missing:
            raise NotAllowed(missing)
        person = self.desk.session.worker()
        if not is_cleared(self.helpers, person, self._part, self._job):
            self.desk.through_cautions(self._part.component.id, self._job.key, self.desk.back)
            return
        self.desk.when_free(self, self._part.unit.id, lambda: self._save())

    def takes_scan(self, scan: Scan) -> bool:
        """Take a scan of the new label as its read-back, or a blank label as it; a typed number proves nothing."""
        if not self._draft.number:
            return self._takes_blank(scan)
        if scan.source not in _BY_MACHINE or not is_label_number(scan.number):
            return False
        if parse(scan.number).digits != self._draft.number:
            return False
        if is_poor(scan.grade):
            self._ask_poor(scan)
        else:
            self.clear_message()
            self._take_read_back(scan.source)
            self.refresh()
        return True

    def _take_read_back(self, source: ScanSource) -> None:
        person = self.desk.session.person
        self.helpers.labels.was_read(self._draft.number, source.value, person.id if person else None)
        self._keep(replace(self._draft, read_back=source.value))

    def _ask_poor(self, scan: Scan) -> None:
        """A label that reads badly when it is new will not last."""
        self.ask(tr("The new label reads, but badly: it will not last."), {
            "again": (tr("Print it again"), self._print_better),
            "use": (tr("Use it all the same"), lambda: self._take_read_back(scan.source)),
        }, tr("Grade {grade} of 4, as far as a camera can judge. Clean the printer's head; look at the roll.").format(
               grade=number(scan.grade, ".1f")))

    def _print_better(self) -> None:
        person = self.desk.session.worker()
        if self.helpers.labels.progress(self._draft.number) is None:
            self.helpers.labels.print_again(self._draft.number, self._label_lines(), "reads badly", person.id)
        else:
            self.helpers.labels.send_again(self._draft.number, person.id, "reads badly")

    def _takes_blank(self, scan: Scan) -> bool:
        """A label printed ahead needs no printing: scanned, it is the new part's and read back."""
        blank = blank_label(self.helpers, scan)
        if blank is None or self.desk.drafts.is_promised(blank.number):
            return False
        self.desk.session.worker()
        self._keep(replace(self._draft, number=blank.number, read_back=scan.source.value))
        self.clear_message()
        self.refresh()
        return True

    def print_changed(self) -> None:
        """Show how the print goes; ask when nobody but a person can know whether the label came out."""
        progress = self.helpers.labels.progress(self._draft.number) if self._draft.number else None
        if progress is not None and progress.asks and not self._draft.read_back:
            self.ask(progress.text, {
                "out": (tr("It came out"), self._came_out),
                "again": (tr("It did not: print it again"), self._print_again),
            }, tr("Look at the printer first, so that no number is printed twice."))
        elif self.is_asking:
            self.reframe()
        else:
            self.refresh()

    def _came_out(self) -> None:
        self.helpers.labels.came_out(self._draft.number, self.desk.session.worker().id)

    def _print_again(self) -> None:
        self.helpers.labels.send_again(self._draft.number, self.desk.session.worker().id, "it had not come out")

    # --- parts of the state ---

    def _keep(self, draft: ReplaceDraft) -> None:
        person = self.desk.session.person
        self._draft = replace(draft, by=person.name if person else draft.by, at=self.helpers.clock())
        self.desk.drafts.keep(self._part.component.id, self._job.key, self._draft)

    def _label_lines(self) -> tuple[str, ...]:
        return (self._part.unit.name, self._part.position.name, self._text("description"))

    def _text(self, row: str) -> str:
        return self._draft.texts.get(row, "").strip()

    def _old_part(self) -> tuple[str, ...]:
        component, units = self._part.component, self.desk.session.units
        return (self._part.title, tr("label {grouped}").format(
                                      grouped=parse(component.label).grouped), since_text(self.helpers, component),
                *component_facts(component, units))

    def _reasons(self) -> tuple[ActionState, ...]:
        return tuple(ActionState(reason, self._part.sheet.in_words(tr(reason)), reason == self._draft.reason)
                     for reason in self._part.sheet.replace_reasons)

    def _entry(self, row: str) -> EntryRow:
        return EntryRow(row, tr(_TITLES[row]), self._draft.texts.get(row, ""), "", "", row == self._draft.active,
                        numeric=False)

    def _label(self) -> LabelState | None:
        draft = self._draft
        if not draft.number:
            return None
        return LabelState(parse(draft.number).grouped, draft.pdf, bool(draft.read_back), self._label_text())

    def _label_text(self) -> str:
        if self._draft.read_back:
            return tr("read back: it may go on the part")
        progress = self.helpers.labels.progress(self._draft.number)
        if progress:
            return progress.text
        page = Path(self._draft.pdf)
        return tr("not read back yet; its page is {file}").format(file=f"{page.parent.name}/{page.name}")

    def _hours(self) -> str:
        if not are_hours_fresh(self.helpers, self._part.unit.id):
            return tr("hour meter not read this shift")
        return hours_text(current_hours(self.helpers, self._part.unit.id))

    def _missing(self) -> str:
        draft = self._draft
        if not draft.reason:
            return tr("Choose why the old part goes.")
        if not self._text("description"):
            return tr("Say what the new part is.")
        if not draft.number:
            return tr("Print the new part's label.")
        return "" if draft.read_back else tr("Read the new label back, or scan it.")

    # --- saving ---

    def _save(self) -> None:
        new_id = self.helpers.new_id()
        record = self._record(new_id)
        new = self._new_component(new_id, record)
        event = ComponentReplaced(self._part.component.id, self._draft.reason, new, record, self._draft.read_back)
        self.helpers.records.append(self.desk.session.event(event, event_id=record.id))
        self.desk.drafts.drop(self._part.component.id, self._job.key)
        lines = (tr("Off: {part}, {reason}").format(part=self._part.title, reason=self._draft.reason),
                 tr("On: {description}, label {grouped}").format(
                     description=new.description, grouped=parse(new.label).grouped))
        self.desk.saved(Saved(part_of(self.helpers, new_id), record, self._job.title, lines))

    def _record(self, new_id: str) -> ServiceRecord:
        draft = self._draft
        return new_record(
            self.helpers, self.desk.session, self._part, self._job,
            details={"reason": draft.reason, "old_label": self._part.component.label, "new_label": draft.number,
                     "new_component_id": new_id, "new_description": self._text("description"),
                     "new_serial": self._text("serial"), "read_back": draft.read_back},
        )

    def _new_component(self, new_id: str, record: ServiceRecord) -> Component:
        return new_component(new_id, self._part.component, record, self._draft.number, self._text("description"),
                             self._text("serial"))
