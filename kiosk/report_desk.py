"""Answers the presenters' and commands' wish for a report: gathers it from the records, has `reports` write it."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from datetime import datetime
from pathlib import Path
from zoneinfo import ZoneInfo

from kiosk.entities import Component, Correction, ServiceRecord
from kiosk.language import number, tr
from kiosk.presenters.ports import Clock, HistoryRequest, Records, Sheets
from kiosk.reports.charts import SeriesChart
from kiosk.reports.history_csv import write_history_csv
from kiosk.reports.history_pdf import HistoryReport, write_history_pdf
from kiosk.reports.history_rows import HistoryRow, Names, history_row
from kiosk.reports.series import series_chart
from kiosk.reports.trouble import ReportNotWritten
from labels.number import parse

PAGE_OF_RECORDS = 500
# More charts than this make a report nobody leafs through; the first are the sheet's most telling readings.
MOST_CHARTS = 3


class ReportDesk:
    """Answers `ports.Reports`.

    Args:
        folder: Where files for the supervisor go. `page`: 'Letter' or 'A4'. `in_inches`: the yard's lengths.
    """

    def __init__(self, records: Records, sheets: Sheets, folder: Path, zone: ZoneInfo, page: str, in_inches: bool,
                 clock: Clock) -> None:
        self._records, self._sheets, self._folder = records, sheets, folder
        self._zone, self._paper, self._in_inches, self._clock = zone, page, in_inches, clock

    def history_pdf(self, request: HistoryRequest) -> Path:
        """Write the history as PDF and return where it was saved."""
        path = self._file(request, "pdf")
        self.write_pdf(path, request)
        return path

    def history_csv(self, request: HistoryRequest) -> Path:
        """Write the history as CSV and return where it was saved."""
        path = self._file(request, "csv")
        self.write_csv(path, request)
        return path

    def write_pdf(self, path: Path, request: HistoryRequest) -> None:
        """Write a history to a named PDF file, every record of it."""
        component, of_position = self._records.component(request.component_id), request.whole_position
        position = self._records.position(component.position_id)
        unit = self._records.unit(component.unit_id)
        facts = [(tr("Unit"), f"{unit.name}, {unit.description}"), (tr("Position"), position.name)]
        facts += self._parts(position.id) if of_position else [self._part_fact(component)]
        report = HistoryReport(
            title=f"{position.name}, {unit.name}" if of_position else f"{component.description}, {unit.name}",
            facts=tuple(facts),
            rows=list(self.rows(self._all(request))),
            charts=tuple(self._charts(component, of_position)),
            printed=tr("printed {astimezone}").format(
                        astimezone=f"{self._clock().astimezone(self._zone):%Y-%m-%d %H:%M}"),
            chain_head=self._records.head(),
            page=self._paper,
        )
        write_history_pdf(report, path)

    def write_csv(self, path: Path, request: HistoryRequest) -> None:
        """Write a history to a named CSV file, every record of it."""
        records = list(self._all(request))
        write_history_csv(records, self.names(records), self._zone, path, self.corrections(records))

    def folder(self) -> Path:
        """Return the folder of reports, made if it is not there.

        Raises:
            ReportNotWritten: it cannot be made.
        """
        try:
            self._folder.mkdir(parents=True, exist_ok=True)
        except OSError as error:
            raise ReportNotWritten(tr("The folder {folder} cannot be made: {strerror}.").format(
                                       folder=self._folder, strerror=error.strerror)) from error
        return self._folder

    def charts(self, component_id: str, whole_position: bool = False) -> tuple[SeriesChart, ...]:
        """Return the charts of a part's readings, or of its position's through every part that sat there."""
        return tuple(self._charts(self._records.component(component_id), whole_position))

    def rows(self, records: Iterable[ServiceRecord]) -> Iterator[HistoryRow]:
        """Yield records as rows of print."""
        records = list(records)
        names = self.names(records)
        corrections = self.corrections(records)
        return (history_row(record, names, self._zone, self._in_inches, corrections.get(record.id))
                for record in records)

    def corrections(self, records: Sequence[ServiceRecord]) -> dict[str, Correction]:
        """Return {record id: its correction} for those of the records that were corrected or annulled."""
        found: dict[str, Correction] = {}
        for start in range(0, len(records), PAGE_OF_RECORDS):
            found |= self._records.corrections([record.id for record in records[start : start + PAGE_OF_RECORDS]])
        return found

    def names(self, records: Iterable[ServiceRecord]) -> Names:
        """Return what the ids in these records are called in print."""
        records = list(records)
        sheets = self._sheets.sheets()
        components = [self._records.component(id) for id in dict.fromkeys(record.component_id for record in records)]
        positions = [self._records.position(id) for id in dict.fromkeys(record.position_id for record in records)]
        return Names(
            people={person.id: person.name for person in self._records.people()},
            positions={position.id: position.name for position in positions},
            components={component.id: component.description for component in components},
            units={unit.id: unit.name for unit in self._records.units()},
            jobs={(sheet.key, job.key): job.title for sheet in sheets for job in sheet.jobs},
            quantities={(sheet.key, reading.key): reading.title for sheet in sheets for reading in sheet.readings},
        )

    def _all(self, request: HistoryRequest) -> Iterator[ServiceRecord]:
        before = None
        while page := self._page_of(request, before):
            yield from page
            before = (page[-1].at, page[-1].id)

    def _page_of(self, request: HistoryRequest, before: tuple[datetime, str] | None) -> tuple[ServiceRecord, ...]:
        if not request.whole_position:
            return self._records.component_history(request.component_id, request.filter, before, PAGE_OF_RECORDS)
        position_id = self._records.component(request.component_id).position_id
        return self._records.position_history(position_id, request.filter, before, PAGE_OF_RECORDS)

    def _parts(self, position_id: str) -> list[tuple[str, str]]:
        return [self._part_fact(component) for component in self._records.components_at(position_id)]

    def _part_fact(self, component: Component) -> tuple[str, str]:
        since = tr("from {astimezone} at {installed_hours} h").format(
                    astimezone=f"{component.installed_at.astimezone(self._zone):%Y-%m-%d}",
                    installed_hours=number(component.installed_hours, ",.0f"))
        until = ""
        if component.retired_at is not None and component.retired_hours is not None:
            until = (tr(" to {astimezone} at {retired_hours} h, {retired_reason}").format(
                         astimezone=f"{component.retired_at.astimezone(self._zone):%Y-%m-%d}",
                         retired_hours=number(component.retired_hours, ",.0f"),
                         retired_reason=component.retired_reason))
        return parse(component.label).grouped, f"{component.description}, {since}{until}"

    def _charts(self, component: Component, of_position: bool) -> Iterator[SeriesChart]:
        parts = self._records.components_at(component.position_id) if of_position else (component,)
        replaced = tuple(part.installed_hours for part in parts[:-1])
        drawn = 0
        for spec in self._sheets.sheet(component.sheet).readings:
            points = sorted(
                (point for part in parts for point in self._records.series(part.id, spec.key)),
                key=lambda point: (point.hours, point.at),
            )
            if len(points) >= 2 and drawn < MOST_CHARTS:
                drawn += 1
                yield series_chart(spec, points, replaced, self._in_inches)

    def _file(self, request: HistoryRequest, ending: str) -> Path:
        component = self._records.component(request.component_id)
        scope = "position" if request.whole_position else "part"
        stamp = f"{self._clock().astimezone(self._zone):%Y%m%d-%H%M%S}"
        return self.folder() / f"history-{scope}-{component.label}-{stamp}.{ending}"
