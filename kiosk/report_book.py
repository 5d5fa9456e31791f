"""Gathers the supervisor's reports from the records: shift, month, open findings, audit extract, unit, life of parts.

Each is a `Report`: texts to print and one table of data. What happened in a span of time is read once, in the order in
which it happened; nothing here writes a file.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from datetime import UTC, date, datetime, time, timedelta

from kiosk.entities import Finding, HistoryFilter, PhotoOf, ServiceRecord, Unit, Verdict
from kiosk.errors import NotFound
from kiosk.events import (
    KIND_OF,
    ComponentReplaced,
    FindingClosed,
    FindingOpened,
    JobDone,
    JournalEntry,
    RecordCorrected,
    UnitHeld,
    UnitReleased,
)
from kiosk.language import N_, number, tr
from kiosk.life_study import BY_CHANCE, LifeStudy, PositionVerdict, group_words, life_chart, life_study
from kiosk.presenters.due_list import due_of_yard
from kiosk.presenters.ports import EVERYTHING, Clock, Records, Sheets
from kiosk.presenters.round_story import Book, round_story
from kiosk.presenters.settings import FloorSettings
from kiosk.presenters.shifts import Shift, shift_at, working_day
from kiosk.report_desk import PAGE_OF_RECORDS, ReportDesk
from kiosk.reports.charts import BarChart
from kiosk.reports.history_rows import CSV_COLUMNS, csv_rows
from kiosk.reports.report import Cell, Report, Section, Table

_WORK_COLUMNS = (N_("When"), N_("Where"), N_("Job"), N_("By"), N_("What was done"))
_LONG_AGO = datetime(1970, 1, 1, tzinfo=UTC)
_MOST_ROUNDS = 60
_WORK_SHARES = (1.1, 2.2, 1.6, 1.2, 3.9)


@dataclass
class _Happened:
    """What happened in a span of time."""

    records: list[ServiceRecord] = field(default_factory=list)
    opened: list[Finding] = field(default_factory=list)
    closed: list[str] = field(default_factory=list)
    corrections: int = 0
    replacements: int = 0
    holds: int = 0


class ReportBook:
    """Makes reports.

    Args:
        desk: Names, rows of print and charts are its business.
        page: 'Letter' or 'A4'.
    """

    def __init__(self, records: Records, sheets: Sheets, desk: ReportDesk, settings: FloorSettings, page: str,
                 clock: Clock) -> None:
        self._records, self._sheets, self._desk = records, sheets, desk
        self._settings, self._paper, self._clock = settings, page, clock

    # --- shift and month ---

    def shift(self, moment: datetime | None = None) -> Report:
        """Return what was done in a shift: the one that runs now, or that ran at a moment."""
        shift = shift_at(moment or self._clock(), self._settings)
        happened = self._happened(shift.start, self._end_of(shift))
        overridden = [record for record in happened.records if record.override_reason]
        outside = [record for record in happened.records if record.verdict is Verdict.OUTSIDE]
        return self._report(
            "shift", shift.key.replace(" ", "-"), tr("Shift report, {day} {shift}").format(
                                                      day=f"{shift.day:%Y-%m-%d}", shift=shift.name),
            self._counts(happened),
            (self._rounds(shift.start, self._end_of(shift)),
             self._work(tr("Left outside its limits"), outside), self._work(tr("Stops overridden"), overridden),
             self._findings(tr("Findings opened"), happened.opened), self._open_findings(),
             self._holds(), self._work(tr("All work"), happened.records)),
            self._records_table(happened.records))

    def month(self, first: date) -> Report:
        """Return a month's summary with charts; `first` is any day of it."""
        since, until = self._month(first)
        happened = self._happened(since, until)
        overdue = self._overdue()
        per_unit = [self._unit_row(unit, happened, overdue) for unit in self._records.units()]
        columns = ("unit", "hours_run", "jobs", "strokes", "outside", "replaced", "findings_opened", "overdue_now")
        texts = tuple(tuple("" if cell is None else f"{cell:,.1f}" if isinstance(cell, float) else str(cell)
                            for cell in row) for row in per_unit)
        return self._report(
            "month",
            f"{first:%Y-%m}",
            tr("Monthly summary, {first}").format(first=f"{first:%Y-%m}"),
            self._counts(happened),
            (
                Section(tr("Jobs a day"), charts=(self._jobs_a_day(happened, since, until),)),
                Section(
                    tr("By unit"),
                    (
                        tr("Unit"),
                        tr("Hours run"),
                        tr("Jobs"),
                        tr("Strokes"),
                        tr("Left outside"),
                        tr("Parts replaced"),
                        tr("Findings opened"),
                        tr("Overdue now"),
                    ),
                    texts,
                    (2.4, 1, 1, 1, 1, 1, 1, 1),
                ),
                self._worst_parts(happened),
                self._open_findings(),
                self._holds(),
            ),
            Table(columns, tuple(per_unit)),
        )

    def _happened(self, since: datetime, until: datetime) -> _Happened:
        happened = _Happened()
        for entry in self._records.entries_between(since, until):
            _note(happened, entry)
        withdrawn = self._desk.corrections(happened.records)
        happened.records = [record for record in happened.records if record.id not in withdrawn]
        return happened

    def _counts(self, happened: _Happened) -> dict[str, int]:
        strokes = sum(record.strokes or 0 for record in happened.records)
        return {N_("jobs"): len(happened.records), N_("grease strokes"): strokes,
                N_("findings opened"): len(happened.opened), N_("findings closed"): len(happened.closed),
                N_("parts replaced"): happened.replacements, N_("records corrected"): happened.corrections,
                N_("units held"): happened.holds}

    def _unit_row(self, unit: Unit, happened: _Happened, overdue: Mapping[str, int]) -> tuple[Cell, ...]:
        own = [record for record in happened.records if record.unit_id == unit.id]
        hours = [record.hours for record in own]
        return (unit.name, round(max(hours) - min(hours), 1) if hours else None, len(own),
                sum(record.strokes or 0 for record in own),
                sum(record.verdict is Verdict.OUTSIDE for record in own),
                sum(record.job_type.value == "replace" for record in own),
                sum(finding.unit_id == unit.id for finding in happened.opened), overdue.get(unit.id, 0))

    def _overdue(self) -> Mapping[str, int]:
        items = due_of_yard(self._records, self._sheets, self._today(), self._settings)
        return Counter(item.unit_id for item in items if item.overdue)

    def _jobs_a_day(self, happened: _Happened, since: datetime, until: datetime) -> BarChart:
        first, after = (moment.astimezone(self._settings.zone).date() for moment in (since, until))
        days = [first + timedelta(days=day) for day in range((after - first).days)]
        kinds = sorted({record.job_type.value for record in happened.records})
        counts = Counter((record.job_type.value, record.at.astimezone(self._settings.zone).date())
                         for record in happened.records)
        return BarChart(tr("Jobs a day, by kind"), tuple(str(day.day) for day in days),
                        {kind: tuple(float(counts[kind, day]) for day in days) for kind in kinds})

    def _worst_parts(self, happened: _Happened) -> Section:
        """Return the places where most was left outside its limits or replaced."""
        bad = [record for record in happened.records
               if record.verdict is Verdict.OUTSIDE or record.job_type.value == "replace"]
        names = self._desk.names(bad)
        places = Counter((names.units[record.unit_id], names.positions[record.position_id]) for record in bad)
        rows = tuple((unit, place, str(count)) for (unit, place), count in places.most_common(12))
        return Section(
            tr("Where most was left outside its limits or replaced"),
            (tr("Unit"), tr("Position"), tr("Times")),
            rows,
            (2, 3, 1),
        )

    # --- findings, audit, unit, life ---

    def findings(self) -> Report:
        """Return every open finding, the oldest first."""
        findings = self._records.open_findings()
        names = self._people()
        rows = tuple((finding.id, finding.opened_at.isoformat(), self._unit_name(finding.unit_id),
                      self._records.position(finding.position_id).name, finding.component_id, finding.text,
                      finding.severity.value, names.get(finding.opened_by, finding.opened_by), finding.record_id)
                     for finding in findings)
        table = Table(("finding", "opened_at", "unit", "position", "component_id", "text", "severity", "opened_by",
                       "record"), rows)
        return self._report(
            "findings",
            f"{self._today():%Y-%m-%d}",
            tr("Open findings"),
            {N_("open findings"): len(findings)},
            (self._holds(), self._findings(tr("Open findings"), findings)),
            table,
        )

    def audit(self, since: datetime, until: datetime) -> Report:
        """Return corrections, closings, holds, replacements and overrides of a span of time, with their hashes."""
        names, rows, printed = self._people(), [], []
        for entry in self._records.entries_between(since, until):
            what = _audited(entry)
            if what:
                event = entry.event
                who = names.get(event.person_id or "", event.person_id or "the kiosk")
                kind = KIND_OF[type(event.payload)]
                rows.append((event.at.isoformat(), who, kind, what, event.id, entry.kiosk, entry.seq, entry.hash))
                proof = f"{entry.kiosk}/{entry.seq}\n{entry.hash[:16]}"
                printed.append((self._local(event.at), who, kind, what, proof))
        table = Table(("at", "person", "kind", "what", "event", "kiosk", "seq", "hash"), tuple(rows))
        title = tr("Audit extract, {local} to {local_2}").format(local=self._local(since), local_2=self._local(until))
        section = Section(tr("Corrections, closings, holds, replacements, overrides"),
                          (tr("When"), tr("Who"), tr("Entry"), tr("What"), tr("Kiosk/entry, hash")), tuple(printed),
                          (1.2, 1.3, 1.2, 4, 1.6))
        return self._report("audit", f"{since:%Y%m%d}-{until:%Y%m%d}", title, {N_("entries"): len(rows)},
                            (section,), table)

    def unit(self, unit_id: str, filter: HistoryFilter = EVERYTHING) -> Report:
        """Return a unit's whole history, newest first."""
        unit = self._records.unit(unit_id)
        records = list(self._unit_records(unit_id, filter))
        return self._report("unit", unit.id, tr("History of {unit}").format(unit=unit.name),
                            {N_("records"): len(records)},
                            (self._rounds(_LONG_AGO, self._clock(), unit_id),
                             self._work(tr("All work"), records, with_unit=False)), self._records_table(records))

    def life(self, sheet: str) -> Report:
        """Return which parts of a kind do not last."""
        study = life_study(self._records, self._sheets, sheet)
        groups = [Section(tr("Life, {group}").format(group=group.name), (tr("Life"),), ((group_words(group),),),
                          charts=(life_chart(study, group),) if group.lives else ()) for group in study.groups]
        return self._report("life", study.sheet, tr("Which parts do not last: {study}").format(study=study.title),
                            {"parts": len(study.groups[0].lives), "failed": study.groups[0].failures},
                            (_positions_section(study), *groups), _positions_table(study))

    def _unit_records(self, unit_id: str, filter: HistoryFilter) -> Iterator[ServiceRecord]:
        before = None
        while page := self._records.unit_history(unit_id, filter, before, PAGE_OF_RECORDS):
            yield from page
            before = (page[-1].at, page[-1].id)

    # --- what they share ---

    def _report(self, kind: str, name: str, title: str, totals: dict[str, int], sections: tuple[Section, ...],
                table: Table) -> Report:
        facts = ((tr("Yard"), self._records.yard_name()),
                 *((tr(label).capitalize(), number(count, ",")) for label, count in totals.items()))
        return Report(
            kind,
            f"{kind}-{name}",
            title,
            facts,
            sections,
            table,
            tr("printed {local}").format(local=self._local(self._clock())),
            self._records.head(),
            self._paper,
            totals,
        )

    def _work(self, heading: str, records: Iterable[ServiceRecord], with_unit: bool = True) -> Section:
        records = list(records)
        names = self._desk.names(records)
        rows = []
        for record, row in zip(records, self._desk.rows(records), strict=True):
            place = names.positions[record.position_id]
            where = f"{names.units[record.unit_id]}, {place}" if with_unit else place
            said = [row.verdict, *row.lines] if row.verdict else list(row.lines)
            rows.append((row.when, where, row.job, row.person, "\n".join(said) or "done"))
        return Section(heading, tuple(map(tr, _WORK_COLUMNS)), tuple(rows), _WORK_SHARES)

    def _records_table(self, records: list[ServiceRecord]) -> Table:
        rows = csv_rows(records, self._desk.names(records), self._settings.zone, self._desk.corrections(records))
        return Table(CSV_COLUMNS, tuple(rows))

    def _findings(self, heading: str, findings: Iterable[Finding]) -> Section:
        names, findings = self._people(), list(findings)
        pictures = self._desk.pictures(PhotoOf.FINDING, [finding.id for finding in findings])
        photos = tuple((f"{self._unit_name(finding.unit_id)}: {finding.text}", photo)
                       for finding in findings for photo in pictures.get(finding.id, ()))
        rows = tuple((self._local(finding.opened_at), self._unit_name(finding.unit_id),
                      self._records.position(finding.position_id).name, finding.severity.value,
                      finding.text, names.get(finding.opened_by, finding.opened_by)) for finding in findings)
        return Section(
            heading,
            (tr("Since"), tr("Unit"), tr("Position"), tr("How soon"), tr("Finding"), tr("Seen by")),
            rows,
            (1.2, 1.4, 1.8, 1.4, 3, 1.2),
            photos=photos,
        )

    def _open_findings(self) -> Section:
        return self._findings(tr("Findings open now"), self._records.open_findings())

    def _rounds(self, since: datetime, until: datetime, unit_id: str | None = None) -> Section:
        """Return the rounds that went on in a span of time, each as one story, newest first; of one unit if given."""
        book = Book(self._records, self._settings)
        rounds = [one for one in reversed(self._records.rounds_between(since, until))
                  if unit_id is None or unit_id in {step.job.unit_id for step in one.steps}]
        rows = tuple((one.work.what, " ".join(round_story(book, one))) for one in rounds[:_MOST_ROUNDS])
        return Section(tr("Rounds"), (tr("Round"), tr("What became of it")), rows, (2, 8))

    def _holds(self) -> Section:
        names = self._people()
        rows = tuple((self._local(hold.held_at), self._unit_name(hold.unit_id), hold.reason,
                      names.get(hold.held_by, hold.held_by)) for hold in self._records.holds())
        columns = (tr("Since"), tr("Unit"), tr("Why"), tr("By"))
        return Section(tr("Units held out of service"), columns, rows, (1.2, 1.6, 4, 1.4))

    def _people(self) -> dict[str, str]:
        return {person.id: person.name for person in self._records.people()}

    def _unit_name(self, unit_id: str) -> str:
        return self._records.unit(unit_id).name

    def _local(self, moment: datetime) -> str:
        return f"{moment.astimezone(self._settings.zone):%Y-%m-%d %H:%M}"

    def _today(self) -> date:
        return working_day(self._clock(), self._settings)

    def _end_of(self, shift: Shift) -> datetime:
        """Return when the next shift begins."""
        starts = sorted(self._settings.shift_starts)
        local = shift.start.astimezone(self._settings.zone)
        later = [start for start in starts if start > local.time().replace(tzinfo=None)]
        day = local.date() if later else local.date() + timedelta(days=1)
        return datetime.combine(day, (later or starts)[0], self._settings.zone).astimezone(UTC)

    def _month(self, first: date) -> tuple[datetime, datetime]:
        begins = first.replace(day=1)
        ends = (begins + timedelta(days=32)).replace(day=1)
        since, until = (datetime.combine(day, time(0), self._settings.zone).astimezone(UTC) for day in (begins, ends))
        return since, until


def kind_of_part(sheets: Sheets, what: str) -> str:
    """Return the key of the sheet that a person means by its key or title.

    Raises:
        NotFound: there is none.
    """
    for sheet in sheets.sheets():
        if what.lower() in (sheet.key.lower(), sheet.title.lower()):
            return sheet.key
    known = ", ".join(sheet.key for sheet in sheets.sheets())
    raise NotFound(tr("There is no kind of part '{what}'. The yard has: {known}.").format(what=what, known=known))


def _note(happened: _Happened, entry: JournalEntry) -> None:
    payload = entry.event.payload
    if isinstance(payload, JobDone):
        happened.records.append(payload.record)
        happened.opened += payload.findings_opened
        happened.closed += payload.findings_closed
    elif isinstance(payload, ComponentReplaced):
        happened.records.append(payload.record)
        happened.replacements += 1
    elif isinstance(payload, RecordCorrected):
        happened.corrections += 1
        happened.records += [payload.replacement] if payload.replacement is not None else []
    elif isinstance(payload, FindingOpened):
        happened.opened.append(payload.finding)
    elif isinstance(payload, FindingClosed):
        happened.closed.append(payload.finding_id)
    elif isinstance(payload, UnitHeld):
        happened.holds += 1


def _audited(entry: JournalEntry) -> str:
    """Return what an auditor wants to know of an entry, '' for everyday work."""
    payload = entry.event.payload
    if isinstance(payload, RecordCorrected):
        what = "annulled" if payload.replacement is None else "corrected"
        return tr("record {record_id} {what}: {reason}").format(
                   record_id=payload.record_id, what=what, reason=payload.reason)
    if isinstance(payload, FindingClosed):
        return tr("finding {finding_id} closed: {reason}").format(finding_id=payload.finding_id, reason=payload.reason)
    if isinstance(payload, UnitHeld):
        return tr("unit {unit_id} held: {reason}").format(unit_id=payload.unit_id, reason=payload.reason)
    if isinstance(payload, UnitReleased):
        return tr("unit {unit_id} released: {reason}").format(unit_id=payload.unit_id, reason=payload.reason)
    if isinstance(payload, ComponentReplaced):
        return tr("part {old_component_id} replaced by {id}: {reason}").format(
                   old_component_id=payload.old_component_id, id=payload.new_component.id, reason=payload.reason)
    if isinstance(payload, JobDone) and payload.record.override_reason:
        return tr("record {id}, stop overridden: {override_reason}").format(
                   id=payload.record.id, override_reason=payload.record.override_reason)
    return ""


def _positions_section(study: LifeStudy) -> Section:
    rows = tuple((each.name, str(each.failures), f"{each.expected:.1f}", f"{each.hours:,.0f}",
                  f"{each.probability:.4f}", _worse(each)) for each in study.positions[:40])
    return Section(
        tr("Positions, the worst first"),
        (tr("Position"), tr("Failed"), tr("Expected by hours"), tr("Hours"), tr("By chance"), tr("Worse than chance")),
        rows,
        (4, 0.8, 1, 1, 1, 1),
    )


def _worse(each: PositionVerdict) -> str:
    """Return whether a position is worse than chance; among many compared, one of them looks bad by luck."""
    if each.is_worse:
        return "yes"
    return tr("perhaps; so many were compared") if each.probability < BY_CHANCE else tr("no")


def _positions_table(study: LifeStudy) -> Table:
    columns = ("position", "position_id", "failed", "expected", "hours", "probability_by_chance", "worse_than_chance")
    return Table(columns, tuple(
        (each.name, each.position_id, each.failures, each.expected, each.hours, each.probability, each.is_worse)
        for each in study.positions))
