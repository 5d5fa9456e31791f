"""What bringing a set-up in would change, line by line, before anything is changed.

Each line that says something new becomes a `Change` with the events that bring it; a line that says what is on record
already is counted and left. One refused line refuses all. Nothing is ever removed by bringing a set-up in.
"""

from __future__ import annotations

import contextlib
import tomllib
from collections.abc import Callable, Iterable
from dataclasses import dataclass, field
from datetime import datetime
from zoneinfo import ZoneInfo

from kiosk.entities import Label, LabelKind
from kiosk.errors import SheetError
from kiosk.events import Event, LabelIssued, LabelRetired, SheetAdopted, YardNamed
from kiosk.language import tr
from kiosk.presenters.ports import Records, Sheets
from kiosk.service_sheet import ServiceSheet
from kiosk.set_up import cells
from kiosk.set_up.numbers import NumberSource, kind_of
from kiosk.set_up.pen import Pen
from kiosk.set_up.tables import Refusal, Row, SetUpFiles, SetUpRefused
from kiosk.sheets import SheetErrors, parse_sheet
from labels.errors import LabelError


@dataclass(frozen=True)
class Change:
    """One line's change. `sheet`: key and text of a sheet that comes into force."""

    file: str
    line: int
    text: str
    events: tuple[Event, ...] = ()
    sheet: tuple[str, str] | None = None

    def __str__(self) -> str:
        return tr("{file}, line {line}: {change}").format(file=self.file, line=self.line, change=self.text)


@dataclass(frozen=True)
class Yard:
    """What is there already, and how new things are written down."""

    records: Records
    sheets: Sheets
    text_of: Callable[[str], str]
    kiosk: int
    zone: ZoneInfo
    pen: Pen


@dataclass
class Intake:
    """A set-up being looked through: what it changes, what it leaves, what is refused."""

    yard: Yard
    numbers: NumberSource
    changes: list[Change] = field(default_factory=list)
    refusals: list[Refusal] = field(default_factory=list)
    unchanged: int = 0
    new_sheets: dict[str, ServiceSheet] = field(default_factory=dict)
    label_rows: dict[str, Row] = field(default_factory=dict)
    used_labels: dict[str, Row] = field(default_factory=dict)

    def events(self) -> list[Event]:
        """Return all that is to be put on record, in order."""
        return [event for change in self.changes for event in change.events]

    @property
    def lines(self) -> list[str]:
        """What each line would change."""
        return [str(change) for change in self.changes]

    def change(self, row: Row, text: str, events: Iterable[Event] = ()) -> None:
        """Note a line's change."""
        self.changes.append(Change(row.file, row.line, text, tuple(events)))

    def each(self, rows: Iterable[Row], take: Callable[[Row], None]) -> None:
        """Take rows one by one; a refused one is noted and left out."""
        for row in rows:
            try:
                take(row)
            except SetUpRefused as error:
                self.refusals += error.refusals

    def knows_sheet(self, key: str) -> bool:
        """Return whether a sheet is in force or comes in."""
        return key in self.new_sheets or key in {sheet.key for sheet in self.yard.sheets.sheets()}

    # --- labels ---

    def keep_number(self, number: str) -> None:
        """Keep a number of the files from being given to anything else; one that is none is refused later."""
        with contextlib.suppress(LabelError):
            self.numbers.keep(number)

    def label(self, row: Row, column: str, kind: LabelKind, subject_id: str, now: str = ""
              ) -> tuple[str, list[Event], list[Event]]:
        """Return a thing's label number, the events that issue it and those that retire the one it had (`now`).

        An empty cell keeps the number that it has; a thing without one is given the next.
        """
        number = "".join(row.values.get(column, "").split()) or now
        if not number:
            number, serial = self.numbers.take(kind)
            return number, [self._issue(number, kind, serial, None, self.yard.pen.at)], []
        self._claim(row, number)
        known = self.yard.records.label(number)
        before = [] if known else [self._issue_given(row, number, kind, None)]
        if known and number != now:
            _demand_free(row, known, kind, subject_id)
        is_other = bool(now) and number != now
        after = [self.yard.pen.event(LabelRetired(now, "another label took its place"))] if is_other else []
        return number, before, after

    def _claim(self, row: Row, number: str) -> None:
        if number in self.used_labels:
            other = self.used_labels[number]
            raise row.refused(tr("the label {number} is in {file}, line {line} already").format(
                number=number, file=other.file, line=other.line))
        self.used_labels[number] = row

    def _issue_given(self, row: Row, number: str, kind: LabelKind, subject_id: str | None) -> Event:
        """Return what puts a number on record that came with the set-up."""
        try:
            right = kind_of(number) is kind
        except LabelError as error:
            raise row.refused(error.operator_message) from error
        if not right:
            raise row.refused(tr("the label {number} is not one for a {kind}").format(number=number, kind=kind))
        listed = self.label_rows.get(number)
        at = self.yard.pen.at if listed is None else cells.instant(listed, "issued_at", self.yard.pen.at,
                                                                   self.yard.zone)
        return self._issue(number, kind, self.numbers.keep(number), subject_id, at)

    def _issue(self, number: str, kind: LabelKind, serial: int, subject_id: str | None, at: datetime) -> Event:
        return self.yard.pen.event(LabelIssued(Label(number, kind, subject_id, at), serial))

    def other_label(self, row: Row) -> None:
        """Take a label that is on no unit, part or person of the set-up: command cards, positions, numbers ahead."""
        number = row.values["number"]
        if number in self.used_labels:
            return
        kind = LabelKind(cells.choice(row, "kind", [kind.value for kind in LabelKind]))
        known = self.yard.records.label(number)
        if known is not None:
            self.unchanged += 1
            return
        self._claim(row, number)
        subject = row.values.get("belongs_to", "")
        if subject and kind not in (LabelKind.COMMAND, LabelKind.POSITION):
            raise row.refused(tr("the label belongs to '{subject}', which is not in the other tables").format(
                subject=subject))
        event = self._issue_given(row, number, kind, subject or None)
        self.change(row, tr("the number {number} counts as issued").format(number=number), [event])


def _demand_free(row: Row, label: Label, kind: LabelKind, subject_id: str) -> None:
    if label.kind is not kind:
        raise row.refused(tr("the label {number} is not one for a {kind}").format(number=label.number, kind=kind))
    if label.retired_at is not None:
        raise row.refused(tr("the label {number} is retired").format(number=label.number))
    if label.subject_id not in (None, subject_id):
        raise row.refused(tr("the label {number} belongs to something else").format(number=label.number))


def yard_name(intake: Intake, files: SetUpFiles) -> None:
    """Take the yard's name."""
    if files.yard is None:
        return
    text, file = files.yard
    row = Row({}, file, 1)
    try:
        name = tomllib.loads(text).get("name", "")
    except tomllib.TOMLDecodeError as error:
        raise row.refused(tr("this is not valid TOML: {why}").format(why=error)) from error
    if not isinstance(name, str):
        raise row.refused(tr("'name' must be a text in quotes"))
    if name == intake.yard.records.yard_name() or not name.strip():
        intake.unchanged += 1
    else:
        intake.change(row, tr("the yard is named {name}").format(name=name), [intake.yard.pen.event(YardNamed(name))])


def sheets(intake: Intake, files: SetUpFiles) -> None:
    """Take the service sheets: new ones, and higher revisions of those in force."""
    for file, text in files.sheets.items():
        try:
            _sheet(intake, file, text)
        except SheetErrors as several:
            intake.refusals += [Refusal(error.file, error.line, error.reason) for error in several.errors]
        except SheetError as error:
            intake.refusals.append(Refusal(error.file, error.line, error.reason))


def _sheet(intake: Intake, file: str, text: str) -> None:
    sheet = parse_sheet(text, file)
    if sheet.key in intake.new_sheets:
        raise SheetError(file, 1, tr("the sheet '{key}' comes in twice").format(key=sheet.key))
    have = next((one for one in intake.yard.sheets.sheets() if one.key == sheet.key), None)
    if have is not None and intake.yard.text_of(sheet.key) == text:
        intake.unchanged += 1
        return
    if have is not None and sheet.revision <= have.revision:
        raise SheetError(file, _line_of(text, "revision"), tr(
            "revision {have} of the sheet '{key}' is in force with another text; give the changed sheet revision {next}"
        ).format(have=have.revision, key=sheet.key, next=have.revision + 1))
    intake.new_sheets[sheet.key] = sheet
    event = intake.yard.pen.event(SheetAdopted(sheet.key, sheet.revision, text))
    said = tr("the sheet '{title}', revision {revision}, comes into force").format(
        title=sheet.title, revision=sheet.revision)
    intake.changes.append(Change(file, 1, said, (event,), (sheet.key, text)))


def _line_of(text: str, key: str) -> int:
    return next((number for number, line in enumerate(text.splitlines(), start=1) if line.startswith(key)), 1)
