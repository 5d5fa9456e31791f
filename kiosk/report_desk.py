"""Answers the presenters' and commands' wish for a report: gathers it from the records, has `reports` write it."""

from __future__ import annotations

import os
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from pathlib import Path
from zoneinfo import ZoneInfo

from kiosk.entities import Component, Correction, HistoryScope, PhotoOf, SeriesPoint, ServiceRecord
from kiosk.errors import RecordError
from kiosk.language import number, tr
from kiosk.presenters.ports import Clock, Drawing, FileWish, HistoryRequest, Progress, Records, Sheets, no_progress
from kiosk.reports.charts import SeriesChart
from kiosk.reports.history_csv import write_history_csv
from kiosk.reports.history_pdf import HistoryReport, write_history_pdf
from kiosk.reports.history_rows import CSV_COLUMNS, HistoryRow, Names, csv_rows, history_row
from kiosk.reports.report import Table
from kiosk.reports.report_files import write_json_lines
from kiosk.reports.series import LazyChart, series_chart
from kiosk.reports.trouble import ReportNotWritten
from kiosk.service_sheet import ReadingSpec
from kiosk.sticks import plugged_in
from labels.number import parse

PAGE_OF_RECORDS = 500
Sticks = Callable[[], Mapping[str, Path]]
PhotoFile = Callable[[str], Path]
# More charts than this make a report nobody leafs through; the first are the sheet's most telling readings.
MOST_CHARTS = 3


class ReportDesk:
    """Answers `ports.Reports`.

    Args:
        folder: Where files for the supervisor go. `page`: 'Letter' or 'A4'. `in_inches`: the yard's lengths.
        sticks: Returns {name: folder} of the USB sticks that are plugged in.
        photos: Returns a photo's file by its hash, held against it; None where no photos are printed.
    """

    def __init__(self, records: Records, sheets: Sheets, folder: Path, zone: ZoneInfo, page: str, in_inches: bool,
                 clock: Clock, sticks: Sticks = plugged_in, photos: PhotoFile | None = None) -> None:
        self._records, self._sheets, self._folder, self._sticks, self._photos = records, sheets, folder, sticks, photos
        self._zone, self._paper, self._in_inches, self._clock = zone, page, in_inches, clock

    @property
    def page(self) -> str:
        """The shop's paper, 'Letter' or 'A4'."""
        return self._paper

    def places(self) -> dict[str, str]:
        """Return {key: name} of the USB sticks that are plugged in."""
        return {name: name for name in self._sticks()}

    def history(self, request: HistoryRequest, wish: FileWish, progress: Progress = no_progress) -> Path:
        """Write a history and return where it was saved."""
        path = self.folder(wish.place) / self._file_name(request, wish.kind)
        self.write(path, request, wish, progress)
        reach_the_disk(path)
        return path

    def write(self, path: Path, request: HistoryRequest, wish: FileWish, progress: Progress = no_progress) -> None:
        """Write a history to a named file, every record of it."""
        if wish.kind == "pdf":
            self.write_pdf(path, request, wish.page, progress)
        elif wish.kind == "csv":
            self.write_csv(path, request, progress)
        else:
            self.write_json_lines(path, request, progress)

    def write_pdf(self, path: Path, request: HistoryRequest, page: str = "", progress: Progress = no_progress) -> None:
        """Write a history to a named PDF file, every record of it."""
        records = list(self._all(request))
        title, facts = self._subject(request)
        pictures = self.pictures(PhotoOf.RECORD, [record.id for record in records])
        report = HistoryReport(
            title=title, facts=facts, rows=list(self.rows(records)), charts=tuple(self._charts_of(request)),
            printed=tr("printed {astimezone}").format(
                        astimezone=f"{self._clock().astimezone(self._zone):%Y-%m-%d %H:%M}"),
            chain_head=self._records.head(),
            page=page or self._paper,
            photos={place: files for place, record in enumerate(records)
                    if (files := pictures.get(record.id))},
        )
        write_history_pdf(report, path, progress)

    def write_csv(self, path: Path, request: HistoryRequest, progress: Progress = no_progress) -> None:
        """Write a history to a named CSV file, every record of it."""
        records = list(self._all(request))
        progress(0.5)
        write_history_csv(records, self.names(records), self._zone, path, self.corrections(records))

    def write_json_lines(self, path: Path, request: HistoryRequest, progress: Progress = no_progress) -> None:
        """Write a history to a named file of JSON Lines, every record of it."""
        records = list(self._all(request))
        progress(0.5)
        rows = csv_rows(records, self.names(records), self._zone, self.corrections(records))
        write_json_lines(Table(CSV_COLUMNS, tuple(rows)), path)

    def folder(self, place: str = "") -> Path:
        """Return the folder that files go to, made if it is not there: a USB stick's, or the shop's for reports.

        Raises:
            ReportNotWritten: it cannot be made, or the stick was pulled.
        """
        if place:
            stick = self._sticks().get(place)
            if stick is None:
                raise ReportNotWritten(tr("The USB stick {name} is not plugged in any more. Plug it in, or choose "
                                          "another place.").format(name=place))
            return stick
        try:
            self._folder.mkdir(parents=True, exist_ok=True)
        except OSError as error:
            raise ReportNotWritten(tr("The folder {folder} cannot be made: {strerror}.").format(
                                       folder=self._folder, strerror=error.strerror)) from error
        return self._folder

    def chart(self, spec: ReadingSpec, points: Sequence[SeriesPoint], in_inches: bool) -> Drawing:
        """Return the chart of one quantity's readings, worked out when it is drawn."""
        return LazyChart(spec, tuple(points), in_inches)

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

    def pictures(self, of: PhotoOf, subject_ids: Sequence[str]) -> dict[str, tuple[Path | str, ...]]:
        """Return {record or finding: its photos, each a file held against its hash, or why it cannot be shown}."""
        found: dict[str, tuple[Path | str, ...]] = {}
        for kept in self._records.photos_of(of, subject_ids) if self._photos else ():
            found[kept.subject_id] = (*found.get(kept.subject_id, ()), self._picture(kept.photo.sha256))
        return found

    def _picture(self, sha256: str) -> Path | str:
        assert self._photos is not None
        try:
            return self._photos(sha256)
        except RecordError as error:
            return f"{error.operator_message} ({sha256[:16]}…)"

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
        while page := self._records.history_page(request.scope, request.subject_id, request.filter, before,
                                                 PAGE_OF_RECORDS):
            yield from page
            before = (page[-1].at, page[-1].id)

    def _subject(self, request: HistoryRequest) -> tuple[str, tuple[tuple[str, str], ...]]:
        """Return title and facts of whose history it is."""
        records, subject_id = self._records, request.subject_id
        if request.scope is HistoryScope.PERSON:
            person = records.person(subject_id)
            return person.name, ((tr("Role"), tr(person.role.value)),)
        if request.scope is HistoryScope.UNIT:
            unit = records.unit(subject_id)
            return unit.name, ((tr("Unit"), f"{unit.name}, {unit.description}"),)
        component = None if request.scope is HistoryScope.POSITION else records.component(subject_id)
        position = records.position(component.position_id if component else subject_id)
        unit = records.unit(position.unit_id)
        facts = [(tr("Unit"), f"{unit.name}, {unit.description}"), (tr("Position"), position.name)]
        facts += [self._part_fact(component)] if component else self._parts(position.id)
        return f"{component.description if component else position.name}, {unit.name}", tuple(facts)

    def _charts_of(self, request: HistoryRequest) -> Iterator[SeriesChart]:
        if request.scope is HistoryScope.PART:
            yield from self._charts(self._records.component(request.subject_id), False)
        elif request.scope is HistoryScope.POSITION:
            parts = self._records.components_at(request.subject_id)
            if parts:
                yield from self._charts(parts[0], True)

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

    def _file_name(self, request: HistoryRequest, ending: str) -> str:
        subject = request.subject_id
        if request.scope is HistoryScope.PART:
            subject = self._records.component(subject).label
        safe = "".join(letter if letter.isalnum() or letter in "-_" else "-" for letter in subject)
        stamp = f"{self._clock().astimezone(self._zone):%Y%m%d-%H%M%S}"
        return f"history-{request.scope}-{safe}-{stamp}.{ending}"


def reach_the_disk(path: Path) -> None:
    """Have a file reach its disk before anybody is told that it is there: a stick is pulled the moment it is.

    Raises:
        ReportNotWritten: the stick was full, or pulled too early.
    """
    try:
        descriptor = os.open(path, os.O_RDONLY)
        try:
            os.fsync(descriptor)
        finally:
            os.close(descriptor)
    except OSError as error:
        raise ReportNotWritten(f"The report cannot be written to {path}: {error.strerror}.", repr(error)) from error
