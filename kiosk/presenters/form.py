"""A job's form: readings as found and as left judged with every key, advice, and what saving will open and close.

What is typed goes into a draft that outlives the screen; nothing typed is lost to a refusal, another scan or a log-out.
"""

from __future__ import annotations

from dataclasses import replace

from kiosk.entities import Finding, HistoryFilter, JobType, Phase, ServiceRecord
from kiosk.errors import NotAllowed
from kiosk.events import JobDone
from kiosk.language import tr
from kiosk.presenters.advice import Advice, AdviceContext, advise
from kiosk.presenters.advice.turns import TURNS_MADE, advised_flats
from kiosk.presenters.base import ScreenPresenter, action
from kiosk.presenters.cautions import is_cleared
from kiosk.presenters.drafts import FormDraft, Typed
from kiosk.presenters.form_model import (
    FormRows,
    differences,
    finding_texts,
    form_rows,
    missing_row,
    missing_text,
    row_name,
    slips,
    specs_of,
)
from kiosk.presenters.helpers import Part
from kiosk.presenters.keys import keypad_key, text_after
from kiosk.presenters.navigation import Navigation
from kiosk.presenters.new_records import new_record
from kiosk.presenters.parts import ActionState, FindingRow, FrameState, MessageState, SaveState, StepRow
from kiosk.presenters.quantities import is_length
from kiosk.presenters.readings import Judged, kept_reading, reading_row
from kiosk.presenters.rows import finding_row
from kiosk.presenters.saved import Saved
from kiosk.presenters.states import FormState
from kiosk.presenters.words import counted, when_text
from kiosk.service_sheet import JobSpec

HISTORY_FOR_ADVICE = 50
OTHER_UNIT = {"in": "mm", "mm": "in"}


class FormPresenter(ScreenPresenter):
    """The form of one job on one part."""

    def __init__(self, desk: Navigation, part: Part, job: JobSpec) -> None:
        super().__init__(desk)
        self._part, self._job = part, job
        self._specs = specs_of(part, job)
        self._findings = self.helpers.records.open_findings(component_id=part.component.id)
        meter = self.helpers.records.hours(part.unit.id)
        self._context = AdviceContext(
            desk.session.units, part.component, job,
            self.helpers.records.component_history(part.component.id, HistoryFilter(job=job.key),
                                                   limit=HISTORY_FOR_ADVICE),
            self.helpers.records.hours_per_day(part.unit.id, self.helpers.today()) or 0.0,
            meter.hours if meter else None,
        )
        self._draft = desk.drafts.of(part.component.id, job.key, self._fresh_draft())
        self._greet()

    # --- state ---

    def build(self, frame: FrameState) -> FormState:
        """Return the form as it stands."""
        draft, units = self._draft, self.desk.session.units
        rows = self._rows()
        shown, advice = rows.of(draft.phase), self._advice(rows)
        active = next((row for row in shown if row.key == draft.active), None)
        return FormState(
            frame=frame, title=self._job.title, place=self._part.place, phase=draft.phase,
            rows=tuple(reading_row(row, units, row.key == draft.active) for row in shown),
            unit=draft.unit, length_keys=active is not None and is_length(active.spec.unit),
            differences=differences(shown, units), advice=advice.lines, advice_source=advice.source,
            steps=tuple(StepRow(number, text, number in draft.steps)
                        for number, text in enumerate(self._job.steps, start=1)),
            findings=self._finding_rows(rows), will_open=finding_texts(rows, units), note=draft.note,
            save=self._save_state(rows),
        )

    @property
    def unsaved(self) -> str:
        """What is typed and not saved."""
        draft = self._draft
        typed = any(typed.text.strip() for typed in draft.typed.values()) or any(draft.repeats.values())
        return tr("{job} on {place}").format(
                   job=self._job.title, place=self._part.place) if typed or draft.steps or draft.note else ""

    # --- actions ---

    @action
    def key(self, key: str) -> None:
        """Take a key of the keypad for the active row."""
        if key == "unit":
            self._toggle_unit()
        elif key == "next":
            self._next_row()
        elif self._draft.active:
            self._keep(self._after_key(key))

    def typed(self, key: str) -> bool:
        """Take a key of a real keyboard for the active row."""
        self.key(keypad_key(key))
        return True

    @action
    def focus(self, row: str) -> None:
        """Send the keypad to a row."""
        if row in {known.key for known in self._rows().all()}:
            phase = row.partition("|")[0]
            self._draft = replace(self._draft, active=row, phase=phase)

    @action
    def next_row(self) -> None:
        """Go to the next row; after the last one as found, to the first as left."""
        self._next_row()

    @action
    def toggle_unit(self) -> None:
        """Read bare numbers in the other unit from now on; the active row's too."""
        self._toggle_unit()

    @action
    def show_phase(self, phase: str) -> None:
        """Show the rows as found or as left."""
        rows = self._rows().of(phase)
        self._draft = replace(self._draft, phase=Phase(phase).value, active=rows[0].key if rows else "")

    @action
    def take_suggestion(self) -> None:
        """Take what the active row's question offers ('did you mean 41 mm?')."""
        row = self._active_row()
        if row is not None and row.meant:
            self._keep(self._draft.with_text(row.key, Typed(row.meant, self._draft.unit)))

    @action
    def measure_again(self) -> None:
        """Keep what stands in the active row as one reading, and wait for the next: their mean is judged."""
        row = self._active_row()
        if row is not None and row.can_repeat:
            self._keep(self._draft.measured_again(row.key))

    @action
    def toggle_step(self, number: int) -> None:
        """Tick a step, or untick it."""
        if 1 <= number <= len(self._job.steps):
            self._keep(replace(self._draft, steps=self._draft.steps ^ {number}))

    @action
    def toggle_finding(self, key: str) -> None:
        """Mark an open finding as closed by this record, or not."""
        if key in {finding.id for finding in self._findings}:
            self._keep(replace(self._draft, resolves=self._draft.resolves ^ {key}))

    @action
    def set_note(self, text: str) -> None:
        """Write a note into the record."""
        self._keep(replace(self._draft, note=text.strip()))

    @action
    def start_over(self) -> None:
        """Forget what was typed on this form."""
        self._start_over()

    @action
    def save(self) -> None:
        """Save the job; asks first about readings that look like a slip."""
        rows = self._rows()
        missing = self._missing(rows)
        if missing:
            raise NotAllowed(missing)
        doubtful = slips(rows)
        if doubtful:
            self._ask_about(doubtful[0])
            return
        self._save(rows)

    # --- typing ---

    def _fresh_draft(self) -> FormDraft:
        first = self._specs[0] if self._specs else None
        active = f"{Phase.AS_FOUND.value}|{first.key}|{first.sides[0].value}" if first else ""
        own = frozenset(finding.id for finding in self._findings if self._is_from_this_job(finding))
        return FormDraft(active=active, unit=self.desk.session.units, resolves=own)

    def _is_from_this_job(self, finding: Finding) -> bool:
        """Whether this very job opened the finding, so that doing it again within limits closes it."""
        return finding.record_id is not None and finding.record_id in {record.id for record in self._context.history}

    def _start_over(self) -> None:
        self.desk.drafts.drop(self._part.component.id, self._job.key)
        self._draft = self._fresh_draft()

    def _greet(self) -> None:
        """Ask whether to go on with a draft that somebody else began."""
        person, draft = self.desk.session.person, self._draft
        if draft.by is None or draft.at is None or person is None or draft.by == person.name:
            return
        when = when_text(draft.at, self.helpers.clock(), self.helpers.settings.zone)
        self._message = MessageState("question", tr("Begun by {by}, {when}, and not saved.").format(
                                                     by=draft.by, when=when), "", (
            ActionState("keep", tr("Go on with it")), ActionState("over", tr("Start over"))))
        self._answers = {"keep": lambda: None, "over": self._start_over}

    def _keep(self, draft: FormDraft) -> None:
        person = self.desk.session.person
        self._draft = replace(draft, by=person.name if person else draft.by, at=self.helpers.clock())
        self.desk.drafts.keep(self._part.component.id, self._job.key, self._draft)

    def _rows(self) -> FormRows:
        return form_rows(self._specs, self._job, self._draft)

    def _active_row(self) -> Judged | None:
        return next((row for row in self._rows().all() if row.key == self._draft.active), None)

    def _typed(self) -> Typed:
        """Return what stands in the active row; an empty one takes the form's unit."""
        typed = self._draft.typed.get(self._draft.active)
        return typed if typed is not None and typed.text else Typed("", self._draft.unit)

    def _after_key(self, key: str) -> FormDraft:
        """Return the draft after a key; deleting in an empty field takes the reading before back."""
        typed, active = self._typed(), self._draft.active
        if key == "back" and not typed.text and self._draft.repeats.get(active):
            return self._draft.taken_back(active)
        return self._draft.with_text(active, Typed(text_after(typed.text, key), typed.unit))

    def _next_row(self) -> None:
        rows = self._rows()
        keys = [row.key for row in rows.all()]
        if self._draft.active in keys[:-1]:
            following = keys[keys.index(self._draft.active) + 1]
            self._draft = replace(self._draft, active=following, phase=following.partition("|")[0])

    def _toggle_unit(self) -> None:
        unit = OTHER_UNIT[self._draft.unit]
        draft, typed = replace(self._draft, unit=unit), self._typed()
        self._keep(draft.with_text(draft.active, Typed(typed.text, unit)) if typed.text else draft)

    # --- advice and saving ---

    def _advice(self, rows: FormRows) -> Advice:
        """Return advice on what was measured last in the phase shown."""
        left = rows.measured_left()
        return advise(left if self._draft.phase == Phase.AS_LEFT and left else rows.found, self._context)

    def _finding_rows(self, rows: FormRows) -> tuple[FindingRow, ...]:
        can = not finding_texts(rows, self.desk.session.units) and not missing_text(rows)
        return tuple(finding_row(self.helpers, finding, resolves=can and finding.id in self._draft.resolves,
                                 can_resolve=can) for finding in self._findings)

    def _missing(self, rows: FormRows) -> str:
        """Return what is missing before saving: readings, and on a note its text."""
        if self._job.type is JobType.NOTE and not self._draft.note:
            return tr("Write the note first.")
        return missing_text(rows)

    def _save_state(self, rows: FormRows) -> SaveState:
        missing, opens = self._missing(rows), finding_texts(rows, self.desk.session.units)
        text = tr("Save and open {count}").format(count=counted(len(opens), "finding")) if opens else tr("Save")
        row = missing_row(rows)
        return SaveState(text, not missing, missing, row.key if row is not None and missing else "")

    def _ask_about(self, row: Judged) -> None:
        self.helpers.feedback("refused")
        self.ask(f"{row_name(row).capitalize()}: {row.message}", {
            "meant": (tr("Yes, {meant}").format(meant=row.meant), lambda: self._correct(row)),
            "stands": (tr("No, save it as typed"), lambda: self._save(self._rows())),
        })

    def _correct(self, row: Judged) -> None:
        self._keep(self._draft.with_text(row.key, Typed(row.meant, self._draft.unit)))

    def _save(self, rows: FormRows) -> None:
        self.desk.when_free(self, self._part.unit.id, lambda: self._save_now(rows))

    def _save_now(self, rows: FormRows) -> None:
        person = self.desk.session.worker()
        if not is_cleared(self.helpers, person, self._part, self._job):
            self.desk.through_cautions(self._part.component.id, self._job.key, self.desk.back)
            return
        record = self._record(rows)
        opened = tuple(self._finding(text, record) for text in finding_texts(rows, self.desk.session.units))
        closed = () if opened else tuple(key for key in sorted(self._draft.resolves) if self._is_open(key))
        event = JobDone(record, opened, closed)
        self.helpers.records.append(self.desk.session.event(event, event_id=record.id))
        self.desk.drafts.drop(self._part.component.id, self._job.key)
        self.desk.saved(Saved(self._part, record, self._job.title, self._saved_lines(record, closed),
                              tuple(finding.text for finding in opened)))

    def _is_open(self, finding_id: str) -> bool:
        return finding_id in {finding.id for finding in self._findings}

    def _record(self, rows: FormRows) -> ServiceRecord:
        advice = advise(rows.found, self._context)
        kept = (kept_reading(row) for row in (*rows.found, *rows.measured_left()))
        return new_record(
            self.helpers, self.desk.session, self._part, self._job,
            readings=tuple(reading for reading in kept if reading is not None), verdict=rows.verdict(),
            advice=tuple(line.text for line in advice.lines), note=self._draft.note,
            details=self._details(rows, advice),
        )

    def _details(self, rows: FormRows, advice: Advice) -> dict[str, object]:
        details: dict[str, object] = {}
        if advice.details:
            details["advice"] = dict(advice.details)
        if self._draft.steps:
            details["steps_done"] = sorted(self._draft.steps)
        turned = rows.turns_made() or (advised_flats(advice.details) if rows.measured_left() else {})
        if turned:
            details[TURNS_MADE] = turned
            details["turns_as_advised"] = not rows.turns_made()
        return details

    def _finding(self, text: str, record: ServiceRecord) -> Finding:
        return Finding(self.helpers.new_id(), record.unit_id, record.position_id, record.component_id, text, record.at,
                       record.person_id, record.id)

    def _saved_lines(self, record: ServiceRecord, closed: tuple[str, ...]) -> tuple[str, ...]:
        lines = [f"{counted(len(record.readings), 'reading')}: {tr(record.verdict.value)}"] if record.verdict else []
        if closed:
            lines.append(tr("{count} closed").format(count=counted(len(closed), "finding")))
        return tuple(lines)
