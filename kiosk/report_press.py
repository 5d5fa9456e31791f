"""Answers the screens' wish for a report or a life study: makes it, writes it into the report folder, says where."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from datetime import timedelta
from pathlib import Path
from zoneinfo import ZoneInfo

from kiosk.language import number, tr
from kiosk.life_study import group_words, life_chart, life_study
from kiosk.presenters.ports import Clock, FileWish, LifePicture, Progress, Records, Sheets, no_progress
from kiosk.presenters.settings import FloorSettings
from kiosk.report_book import ReportBook
from kiosk.report_desk import PhotoFile, ReportDesk, Sticks, reach_the_disk
from kiosk.reports.report import Report
from kiosk.reports.report_files import write_csv, write_json_lines
from kiosk.reports.report_pdf import write_report_pdf
from kiosk.sticks import plugged_in

AUDIT_DAYS = 30
MOST_POSITIONS = 5


class ReportPress(ReportDesk):
    """The report desk with the supervisor's reports; answers `ports.Reports`."""

    def __init__(self, records: Records, sheets: Sheets, folder: Path, settings: FloorSettings, page: str,
                 clock: Clock, sticks: Sticks = plugged_in, photos: PhotoFile | None = None) -> None:
        super().__init__(records, sheets, folder, ZoneInfo(settings.time_zone), page, settings.units == "in", clock,
                         sticks, photos)
        self._book = ReportBook(records, sheets, self, settings, page, clock)

    def report(self, kind: str, wish: FileWish, progress: Progress = no_progress) -> Path:
        """Write a report and return where it was saved."""
        report = replace(self._report(kind), page=wish.page or self._paper)
        stamp = f"{self._clock().astimezone(self._zone):%Y%m%d-%H%M%S}"
        path = self.folder(wish.place) / f"{report.name}-{stamp}.{wish.kind}"
        if wish.kind == "pdf":
            write_report_pdf(report, path, progress)
        else:
            (write_csv if wish.kind == "csv" else write_json_lines)(report.table, path)
        reach_the_disk(path)
        return path

    def _report(self, kind: str) -> Report:
        now = self._clock()
        if kind == "audit":
            return self._book.audit(now - timedelta(days=AUDIT_DAYS), now + timedelta(seconds=1))
        made: dict[str, Callable[[], Report]] = {
            "shift": self._book.shift, "findings": self._book.findings,
                "month": lambda: self._book.month(now.astimezone(self._zone).date())}
        return made[kind]()

    def life_picture(self, sheet: str) -> LifePicture:
        """Return what the lives of a kind of part say, with the curve of all of them."""
        study = life_study(self._records, self._sheets, sheet)
        lines = [(group.name.capitalize(), group_words(group)) for group in study.groups]
        lines += [(each.name, tr("{failures} failed, {expected} expected by its hours: {what}.").format(
                                  failures=each.failures, expected=number(each.expected, ".1f"),
                                  what=tr("worse than chance") if each.is_worse else tr("may be chance")))
                  for each in study.positions[:MOST_POSITIONS] if each.failures > each.expected]
        everyone = study.groups[0]
        return LifePicture(tuple(lines), life_chart(study, everyone) if everyone.lives else None)
