"""How many strokes a bearing may take now, by the sheet's limits and what went in, and the stop when it is too many.

Days are the yard's working days: a bearing greased late yesterday and early today is greased once a day, whatever the
clock says between. The shortest time between two greasings keeps two shifts from greasing it within one hour.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import datetime, timedelta

from kiosk.calc.grease_gun import Allowance, Stroke, allowance
from kiosk.entities import LastDone
from kiosk.errors import NotFound
from kiosk.language import N_, tr
from kiosk.presenters.due_list import due_item, is_due, unit_clock
from kiosk.presenters.helpers import Helpers, Part
from kiosk.presenters.rows import person_name
from kiosk.presenters.shifts import noon, working_day
from kiosk.presenters.words import counted, when_text
from kiosk.service_sheet import GreaseSpec, IntervalSpec, JobSpec

SHORTEST_GAP = timedelta(hours=4)
"""Between two greasings over a change of shift. Our rule, no source."""
LOOK_BACK = timedelta(days=31)

OVERRIDE_REASONS = {
    "water": N_("Washed down or stood in water since"),
    "dry": N_("Found dry, hot or noisy"),
    "refitted": N_("Bearing or seal was refitted"),
    "told": N_("Lead or supervisor said so"),
}


@dataclass(frozen=True)
class GreaseBalance:
    """What a bearing got, and what it may take now.

    Args:
        strokes_now: It may take so many without a reason.
        why: The sentence for it: what is allowed, or why nothing is.
        last: When and by whom it was last greased, as a sentence.
        has_seal: A bearing has one that too much grease lifts; a thread has none.
    """

    spec: GreaseSpec
    strokes_now: int
    why: str
    last: str
    has_seal: bool = True

    def stop(self, strokes: int) -> str:
        """Return why so many strokes are stopped, '' if they may go in."""
        if strokes <= self.strokes_now:
            return ""
        if self.strokes_now == 0:
            return self.why
        lifts = tr("{strokes} is more than the {strokes_now} it may take now; more lifts the seal.")
        return (lifts if self.has_seal else tr("{strokes} is more than the {strokes_now} it takes now.")).format(
                   strokes=counted(strokes, "stroke"), strokes_now=self.strokes_now)


def grease_spec(job: JobSpec) -> GreaseSpec:
    """Return a grease job's amounts.

    Raises:
        NotFound: the sheet does not say how much.
    """
    if job.grease is None:
        raise NotFound(tr("The sheet does not say how many strokes '{job}' gives. Tell the supervisor.").format(
                           job=job.title))
    return job.grease


def grease_balance(helpers: Helpers, part: Part, job: JobSpec) -> GreaseBalance:
    """Return what the bearing may take now."""
    spec, now = grease_spec(job), helpers.clock()
    last = helpers.records.last_done(part.unit.id).get((part.component.id, job.key))
    since = min(now - LOOK_BACK, last.at) if last else now - LOOK_BACK
    given = helpers.records.strokes_since(part.component.id, since)
    last_at = max((at for at, strokes in given if strokes), default=None)
    if last_at is not None and now - last_at < SHORTEST_GAP:
        return GreaseBalance(spec, 0, _too_soon(helpers, job, last_at), _last_text(helpers, last), has_seal(job))
    allowed = _allowed(helpers, part, job, given, last)
    if _is_within_interval(helpers, part, job, last):
        allowed = _only_what_was_begun(spec, allowed)
    return GreaseBalance(spec, allowed.strokes_now, _why(helpers, spec, job, allowed, last_at),
                         _last_text(helpers, last), has_seal(job))


def has_seal(job: JobSpec) -> bool:
    """Say whether what a job greases is a bearing with a seal; a thread takes too much grease without harm but dirt."""
    return job.computation is not None and job.computation.name == "bearing grease"


def _allowed(helpers: Helpers, part: Part, job: JobSpec, given: tuple[tuple[datetime, int], ...],
             last: LastDone | None) -> Allowance:
    spec, interval = grease_spec(job), job.interval or IntervalSpec(None, None, "")
    done = [Stroke(noon(working_day(at, helpers.settings)), strokes) for at, strokes in given]
    source = interval.source or tr("the yard's service sheet")
    return allowance(
        done, noon(helpers.today()), spec.most_per_day, spec.most_per_month, interval.days, interval.hours,
        _hours_since(helpers, part, last), source,
    )


def _is_within_interval(helpers: Helpers, part: Part, job: JobSpec, last: LastDone | None) -> bool:
    if last is None or job.interval is None:
        return False
    clock = unit_clock(helpers.records, part.unit.id, helpers.today())
    return not is_due(due_item(part.component, job, last, clock, helpers.settings), clock.today)


def _only_what_was_begun(spec: GreaseSpec, allowed: Allowance) -> Allowance:
    """Within the interval a greasing begun today may be finished up to the sheet's strokes, and no further."""
    return replace(allowed, strokes_now=min(allowed.strokes_now, max(spec.strokes - allowed.done_last_day, 0)))


def _hours_since(helpers: Helpers, part: Part, last: LastDone | None) -> float:
    reading = helpers.records.hours(part.unit.id)
    return max(reading.hours - last.hours, 0.0) if reading and last else 0.0


def _why(helpers: Helpers, spec: GreaseSpec, job: JobSpec, allowed: Allowance, last_at: datetime | None) -> str:
    if allowed.strokes_now:
        return (tr("May take {strokes_now} now; {done_last_month} of {most_per_month} in the last 30 days.").format(
                    strokes_now=counted(allowed.strokes_now, "stroke"), done_last_month=allowed.done_last_month,
                    most_per_month=spec.most_per_month))
    if allowed.done_last_day >= spec.most_per_day:
        lifts = tr("{done_last_day} of {most_per_day} strokes a day went in today already; more lifts the seal.")
        enough = tr("{done_last_day} of {most_per_day} strokes a day went in today already.")
        return (lifts if has_seal(job) else enough).format(
            done_last_day=allowed.done_last_day, most_per_day=spec.most_per_day)
    if allowed.done_last_month >= spec.most_per_month:
        lifts = tr("{done_last_month} of {most_per_month} strokes went in during the last 30 days; more lifts the "
                   "seal.")
        enough = tr("{done_last_month} of {most_per_month} strokes went in during the last 30 days.")
        return (lifts if has_seal(job) else enough).format(
            done_last_month=allowed.done_last_month, most_per_month=spec.most_per_month)
    greased = tr("Greased {when} already").format(when=_when(helpers, last_at)) if last_at else tr("Greased already")
    lifts = tr("{greased}, within its interval of {interval_text}; more now lifts the seal.")
    return (lifts if has_seal(job) else tr("{greased}, within its interval of {interval_text}.")).format(
        greased=greased, interval_text=_interval_text(job))


def _too_soon(helpers: Helpers, job: JobSpec, last_at: datetime) -> str:
    lifts = tr("Greased {when} already, less than 4 hours ago; more now lifts the seal.")
    return (lifts if has_seal(job) else tr("Greased {when} already, less than 4 hours ago.")).format(
        when=_when(helpers, last_at))


def _when(helpers: Helpers, moment: datetime) -> str:
    return when_text(moment, helpers.clock(), helpers.settings.zone)


def _interval_text(job: JobSpec) -> str:
    interval = job.interval
    parts = []
    if interval and interval.hours:
        parts.append(counted(interval.hours, "hour"))
    if interval and interval.days:
        parts.append(counted(interval.days, "day"))
    return tr(" or ").join(parts)


def _last_text(helpers: Helpers, last: LastDone | None) -> str:
    if last is None:
        return tr("Never greased on record.")
    return tr("Last greased {when} by {person_name}.").format(
               when=_when(helpers, last.at), person_name=person_name(helpers, last.person_id))
