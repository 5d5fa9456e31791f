"""The job that one touch saves from the part's page: greasing with its strokes and stop, washing out, a look-over."""

from __future__ import annotations

from datetime import date

from kiosk.entities import DueItem, JobType, ServiceRecord
from kiosk.errors import NotAllowed
from kiosk.events import JobDone
from kiosk.language import N_, number, tr
from kiosk.presenters.advice import AdviceContext, advise
from kiosk.presenters.cautions import is_cleared
from kiosk.presenters.due_list import due_mark, due_of_component, due_text, is_due
from kiosk.presenters.grease import OVERRIDE_REASONS, GreaseBalance, grease_balance, grease_spec
from kiosk.presenters.helpers import Helpers, Part
from kiosk.presenters.new_records import new_record
from kiosk.presenters.parts import ActionState, QuickPanel, StopPanel
from kiosk.presenters.rows import due_row
from kiosk.presenters.saved import Saved
from kiosk.presenters.session import Session
from kiosk.presenters.words import NOTHING, counted, sentence
from kiosk.service_sheet import JobSpec

MOST_STROKES = 20
SHORTEST_REASON = 3
_TOUCH_CAUTIONS = N_("Cautions first")
_ALL_THE_SAME = N_("Leave it, or choose or type a reason.")


def quick_jobs(part: Part) -> tuple[JobSpec, ...]:
    """Return the jobs of a part that its page saves by one touch."""
    return tuple(job for job in part.sheet.jobs if job.quick or job.type is JobType.GREASE)


def first_quick_job(part: Part, due: tuple[DueItem, ...], today: date) -> JobSpec | None:
    """Return the one-touch job to offer: the first on the sheet that is due, else the first; None if it has none."""
    jobs, due_now = quick_jobs(part), {item.job for item in due if is_due(item, today)}
    return next((job for job in jobs if job.key in due_now), jobs[0] if jobs else None)


class QuickJob:
    """One one-touch job of one part: the strokes chosen and the reason given, until it is saved."""

    def __init__(self, helpers: Helpers, session: Session, part: Part, job: JobSpec) -> None:
        self._helpers, self._session, self.part, self.job = helpers, session, part, job
        self._strokes = grease_spec(job).strokes if job.type is JobType.GREASE else None
        self._reason_key = ""
        self._reason_typed = ""

    def more_strokes(self) -> None:
        """One stroke more."""
        if self._strokes is not None:
            self._strokes = min(self._strokes + 1, MOST_STROKES)

    def fewer_strokes(self) -> None:
        """One stroke fewer, one at least."""
        if self._strokes is not None:
            self._strokes = max(self._strokes - 1, 1)

    def usual_strokes(self) -> None:
        """The strokes that the sheet says."""
        if self._strokes is not None:
            self._strokes = grease_spec(self.job).strokes

    def choose_reason(self, key: str) -> None:
        """Choose a reason from the list, or take it back."""
        self._reason_key = "" if key == self._reason_key else key

    def type_reason(self, text: str) -> None:
        """Type a reason."""
        self._reason_typed = text.strip()

    def is_cleared(self) -> bool:
        """Whether cautions and hour meter are done for the person who is signed in."""
        person = self._session.person
        return person is not None and is_cleared(self._helpers, person, self.part, self.job)

    def panel(self, due: tuple[DueItem, ...]) -> QuickPanel:
        """Return the job as the part's page shows it; `due` are the part's due jobs."""
        balance = self._balance()
        stop, item = self._stop(balance), _item_of(self.job, due)
        reason = self._why_not(stop)
        return QuickPanel(
            job=self.job.key, title=self.job.title, lines=self._lines(balance, item), strokes=self._strokes,
            allowed=_unless_said(balance, reason), button=self._button(), enabled=not reason, reason=reason, stop=stop,
            mark=due_mark(item, self._helpers.today()) if item else NOTHING,
        )

    def save(self) -> Saved:
        """Save the job and return what was saved.

        Raises:
            NotAllowed: it is stopped and no reason was given, or cautions or hours are missing.
        """
        stop = self._stop(self._balance())
        if stop is not None and not stop.ready:
            raise NotAllowed(f"{stop.text} {tr(_ALL_THE_SAME)}")
        record = self._record(self._reason() if stop else "")
        self._helpers.records.append(self._session.event(JobDone(record), event_id=record.id))
        return Saved(self.part, record, self.job.title, self._saved_lines(record))

    def _balance(self) -> GreaseBalance | None:
        if self.job.type is not JobType.GREASE:
            return None
        return grease_balance(self._helpers, self.part, self.job)

    def _stop(self, balance: GreaseBalance | None) -> StopPanel | None:
        text = balance.stop(self._strokes or 0) if balance else ""
        if not text:
            return None
        reasons = tuple(ActionState(key, tr(label), key == self._reason_key) for key, label in OVERRIDE_REASONS.items())
        return StopPanel(text, reasons, self._reason_typed, bool(self._reason()))

    def _reason(self) -> str:
        chosen = tr(OVERRIDE_REASONS.get(self._reason_key, ""))
        typed = self._reason_typed if len(self._reason_typed) >= SHORTEST_REASON else ""
        return "; ".join(part for part in (chosen, typed) if part)

    def _lines(self, balance: GreaseBalance | None, item: DueItem | None) -> tuple[str, ...]:
        if balance is not None:
            spec = balance.spec
            grease = tr("Grease: {grease} ({thickener}), {tool}; {grams_per_stroke} g a stroke.").format(
                         grease=spec.grease, thickener=spec.thickener, tool=spec.tool,
                         grams_per_stroke=number(spec.grams_per_stroke, "g"))
            return balance.last, grease, *self._advice_lines()
        last = sentence(due_row(self._helpers, item, "", self._helpers.today()).last) if item else ""
        return tuple(line for line in (last, *self.job.steps) if line)

    def _advice_lines(self) -> tuple[str, ...]:
        """Return what the page must say of this bearing's dose: what stops first, then why so many strokes."""
        context = AdviceContext(self._session.units, self.part.component, self.job)
        lines = advise((), context).lines
        stops = [line.text for line in lines if line.weight == "stop"]
        return (*stops, *[line.text for line in lines if line.weight == "why"][:1])

    def _button(self) -> str:
        if self._session.person is not None and not self.is_cleared():
            return tr(_TOUCH_CAUTIONS)
        return (
            tr("Save {strokes}").format(strokes=counted(self._strokes, "stroke"))
            if self._strokes is not None
            else tr("Save: {job}").format(job=self.job.title)
        )

    def _why_not(self, stop: StopPanel | None) -> str:
        if self._session.person is None:
            return tr("Scan your badge to work.")
        if not self.is_cleared():
            return ""
        return f"{stop.text} {tr(_ALL_THE_SAME)}" if stop is not None and not stop.ready else ""

    def _record(self, override_reason: str) -> ServiceRecord:
        grease = self.job.grease.grease if self.job.grease and self._strokes is not None else ""
        return new_record(self._helpers, self._session, self.part, self.job, strokes=self._strokes, grease=grease,
                          override_reason=override_reason)

    def _saved_lines(self, record: ServiceRecord) -> tuple[str, ...]:
        lines = [] if record.strokes is None else [f"{counted(record.strokes, 'stroke')}, {record.grease}"]
        if record.override_reason:
            lines.append(tr("Overridden: {override_reason}").format(override_reason=record.override_reason))
        return (*lines, *self._next_due())

    def _next_due(self) -> tuple[str, ...]:
        item = _item_of(self.job, due_of_component(self._helpers, self.part.component))
        return (tr("Next {due_text}.").format(due_text=due_text(item, self._helpers.today())),) if item else ()


def _unless_said(balance: GreaseBalance | None, reason: str) -> str:
    """Return what the bearing may take; '' where the reason says it already."""
    return balance.why if balance is not None and not reason.startswith(balance.why) else ""


def _item_of(job: JobSpec, due: tuple[DueItem, ...]) -> DueItem | None:
    return next((item for item in due if item.job == job.key), None)
