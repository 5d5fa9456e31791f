"""A service sheet's TOML text → one frozen ServiceSheet, or refusals with file, line and reason.

The form of a sheet: key, title, revision, source, replace_reasons; [[caution]], [[reading]], [[job]] and [[figure]]
tables, a job with [job.interval], [job.grease] and [job.computation]. Lengths are `name_mm = 76.2` or `name = "3 in"`.
"""

from __future__ import annotations

import re
import tomllib
from collections.abc import Callable, Iterable, Sequence
from pathlib import Path
from typing import Any, Protocol, TypeVar

from kiosk.calc.grease_kind import thickeners
from kiosk.calc.tolerance import RULES
from kiosk.entities import JobType, Side
from kiosk.errors import SheetError
from kiosk.language import LANGUAGES
from kiosk.service_sheet import (
    MEASURE_PICTURES,
    BeforeShift,
    CautionSpec,
    GreaseSpec,
    IntervalSpec,
    JobSpec,
    ReadingSpec,
    ServiceSheet,
)
from kiosk.sheets.computation import check_readings, read_computation, read_figure
from kiosk.sheets.guided import (
    COURSE_KEYS,
    check_named_jobs,
    check_words,
    read_afterwards,
    read_run,
    read_session,
    read_step_list,
)
from kiosk.sheets.lines import KeyLines
from kiosk.sheets.table import Table

LARGEST_FILE_BYTES = 256_000
SIGNALS = ("DANGER", "WARNING", "CAUTION", "NOTICE")
UNITS = ("mm", "count", "degC", "h", "percent", "newton", "newton_metre", "grams", "bar", "degrees", "minutes", "rpm",
         "mm_per_m")

_KEY = re.compile(r"[a-z0-9]+(?:-[a-z0-9]+)*")
_AT_LINE = re.compile(r"\s*\(at (?:line (\d+), column \d+|end of document)\)")
_SHEET_KEYS = ("key", "title", "revision", "source", "replace_reasons", "caution", "reading", "job",
               "figure", "before_shift", "translations")
_CAUTION_KEYS = ("key", "signal", "hazard", "action")
_READING_KEYS = ("key", "title", "unit", "sides", "lower", "lower_mm", "upper", "upper_mm", "largest_difference",
                 "largest_difference_mm", "resolution", "resolution_mm", "instrument", "source", "how", "rule",
                 "picture", "reason")
_JOB_KEYS = ("key", "title", "type", "cautions", "readings", "steps", "interval", "grease", "computation", "quick",
             *COURSE_KEYS)
_GREASE_KEYS = ("strokes", "most_per_day", "most_per_month", "grease", "thickener", "grams_per_stroke", "tool")

_Made = TypeVar("_Made")


class _Keyed(Protocol):
    @property
    def key(self) -> str: ...


class SheetErrors(SheetError):
    """Several refusals at once; file, line and reason are those of the first, the message tells all."""

    def __init__(self, errors: Sequence[SheetError]) -> None:
        self.errors = tuple(errors)
        super().__init__(self.errors[0].file, self.errors[0].line, self.errors[0].reason)
        self.operator_message = "\n".join(error.operator_message for error in self.errors)

    def __str__(self) -> str:
        return self.operator_message


def load_sheet(path: Path) -> ServiceSheet:
    """Return the sheet that a file holds; see `parse_sheet`."""
    return parse_sheet(read_file(path), path.name)


def read_file(path: Path) -> bytes:
    """Return a sheet file's bytes.

    Raises:
        SheetError: the file cannot be read, or is no sheet by its size.
    """
    try:
        with path.open("rb") as file:
            return file.read(LARGEST_FILE_BYTES + 1)
    except OSError as error:
        raise SheetError(path.name, 1, f"the file cannot be read: {error.strerror or error}") from error


def parse_sheet(content: bytes | str, file: str) -> ServiceSheet:
    """Return the sheet that a TOML text says.

    Args:
        content: The text, or its bytes in UTF-8.
        file: Name for the refusals.

    Raises:
        SheetError: the sheet is refused; `SheetErrors`, with all of them, when there is more than one reason.
    """
    text = _decoded(content, file)
    table = Table(_toml(text, file), (), file, KeyLines(text))
    errors: list[SheetError] = []
    sheet = _sheet(table, errors)
    if errors:
        errors.sort(key=lambda error: error.line)
        raise errors[0] if len(errors) == 1 else SheetErrors(errors)
    return sheet


def _decoded(content: bytes | str, file: str) -> str:
    if len(content) > LARGEST_FILE_BYTES:
        raise SheetError(file, 1, f"the file is larger than {LARGEST_FILE_BYTES // 1000} kB; that is no service sheet")
    if isinstance(content, str):
        return content
    try:
        return content.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = content.count(b"\n", 0, error.start) + 1
        raise SheetError(file, line, "the file is not text in UTF-8; save it as UTF-8") from error


def _toml(text: str, file: str) -> dict[str, Any]:
    try:
        return tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        place = _AT_LINE.search(str(error))
        line = int(place[1]) if place and place[1] else text.count("\n", 0, len(text.rstrip())) + 1
        raise SheetError(file, line, f"not valid TOML: {_AT_LINE.sub('', str(error))}") from error
    except (ValueError, RecursionError) as error:  # an endless number, brackets a thousand deep
        raise SheetError(file, 1, "not valid TOML: a number or a list in it is endless") from error


def _sheet(table: Table, errors: list[SheetError]) -> ServiceSheet:
    """Return the sheet; it counts only if no error was added."""
    head = _tried(lambda: _head(table), errors) or {}
    cautions = _each(table, "caution", _caution, errors)
    readings = _each(table, "reading", _reading, errors)
    known = _keys_of(table, "caution"), _keys_of(table, "reading")
    jobs = _each(table, "job", lambda row: _job(row, *known), errors)
    if jobs and not errors:
        _tried(lambda: check_named_jobs(table.tables("job"), jobs), errors)
    figures = _each(table, "figure", read_figure, errors)
    before = _tried(lambda: _before_shift(table.table("before_shift")), errors) or BeforeShift()
    translations = _tried(lambda: _translations(table.table("translations")), errors) or {}
    if not jobs and not errors:
        errors.append(table.refused("the sheet has no [[job]]; it would serve nothing"))
    return ServiceSheet(**{"key": "", "title": "", "revision": 1, "source": "", **head}, jobs=jobs,
                        readings=readings, cautions=cautions, figures=figures, before_shift=before,
                        translations=translations)


def _head(table: Table) -> dict[str, Any]:
    table.only(_SHEET_KEYS)
    reasons = table.texts("replace_reasons")
    return {
        "key": _key(table), "title": table.text("title"), "revision": table.whole("revision", 1),
        "source": table.text("source"), **({"replace_reasons": reasons} if reasons else {}),
    }


def _before_shift(table: Table | None) -> BeforeShift:
    if table is None:
        return BeforeShift()
    table.only(("takes", "on_return"))
    return BeforeShift(_short_texts(table, "takes"), _short_texts(table, "on_return"))


def _translations(table: Table | None) -> dict[str, dict[str, str]]:
    """Return {language: {text: translated}}; a language that the kiosk does not speak is refused."""
    if table is None:
        return {}
    table.only([language for language in LANGUAGES if language != "en"])
    found = {language: table.table(language) for language in table.values}
    return {language: {text: words.text(text) for text in words.values} for language, words in found.items() if words}


def _caution(row: Table) -> CautionSpec:
    row.only(_CAUTION_KEYS)
    return CautionSpec(_key(row), row.choice("signal", SIGNALS), row.text("hazard"), row.text("action"))


def _reading(row: Table) -> ReadingSpec:
    row.only(_READING_KEYS)
    unit = row.choice("unit", UNITS, "mm")
    sides = _sides(row)
    lower, upper = _limits(row, unit)
    resolution = row.amount("resolution", unit)
    if resolution is None or resolution <= 0:
        raise row.refused("the reading needs the resolution of its instrument, above 0",
                          *([row.key_of_amount("resolution")] if resolution is not None else []))
    return ReadingSpec(
        key=_key(row), title=row.text("title"), unit=unit, sides=sides, lower=lower, upper=upper,
        resolution=resolution, instrument=row.text("instrument"), source=row.text("source"), how=row.text("how", ""),
        rule=row.choice("rule", tuple(RULES), "guarded 95 %"), largest_difference=_difference(row, unit, sides),
        picture=row.choice("picture", ("", *MEASURE_PICTURES), ""), reason=row.text("reason", ""),
    )


def _sides(row: Table) -> tuple[Side, ...]:
    sides = row.texts("sides") or ("both",)
    if sides not in (("both",), ("left", "right")):
        raise row.refused("'sides' can be [\"both\"] or [\"left\", \"right\"]", "sides")
    return tuple(Side(side) for side in sides)


def _limits(row: Table, unit: str) -> tuple[float | None, float | None]:
    lower, upper = row.amount("lower", unit), row.amount("upper", unit)
    if lower is None and upper is None:
        raise row.refused("the reading has neither a lower nor an upper limit")
    if lower is not None and upper is not None and lower > upper:
        raise row.refused(f"the lower limit, {lower:g}, is above the upper, {upper:g}", row.key_of_amount("lower"))
    return lower, upper


def _difference(row: Table, unit: str, sides: tuple[Side, ...]) -> float | None:
    difference = row.amount("largest_difference", unit)
    if difference is None:
        return None
    key = row.key_of_amount("largest_difference")
    if difference <= 0:
        raise row.refused("the largest difference between the sides must be above 0", key)
    if len(sides) < 2:
        raise row.refused("a largest difference needs sides = [\"left\", \"right\"]", key)
    return difference


def _job(row: Table, cautions: frozenset[str], readings: frozenset[str]) -> JobSpec:
    row.only(_JOB_KEYS)
    step_list = read_step_list(row, cautions, readings)
    job = JobSpec(
        key=_key(row), title=row.text("title"), type=JobType(row.choice("type", [kind.value for kind in JobType])),
        cautions=_named(row, "cautions", cautions), readings=_named(row, "readings", readings),
        steps=tuple(step.text for step in step_list) or _steps(row),
        interval=_interval(row.table("interval")), grease=_grease(row.table("grease")),
        computation=read_computation(row.table("computation")), quick=row.flag("quick"),
        step_list=step_list, session=read_session(row.table("session")), run=read_run(row.table("run")),
        new_parts=row.texts("new_parts"), begins=row.text("begins", ""), afterwards=read_afterwards(row),
    )
    _check_job(row, job)
    return job


def _check_job(row: Table, job: JobSpec) -> None:
    if (job.type is JobType.GREASE) != (job.grease is not None):
        raise row.refused("a job of type 'grease' needs a [job.grease] table, and no other job has one", "type")
    if job.quick and (job.readings or job.type in (JobType.REPLACE, JobType.SPLICE)):
        raise row.refused("a quick job is saved by one touch: it can have no readings and not replace a part", "quick")
    if job.session is not None and not job.readings:
        raise row.refused("a session measures again and again: the job needs readings", "session")
    if job.computation is not None:
        check_readings(row, job.computation.name, job.readings)


def _named(row: Table, key: str, known: frozenset[str]) -> tuple[str, ...]:
    names = row.texts(key)
    for at, name in enumerate(names):
        if name not in known:
            raise row.refused(f"the {key[:-1]} '{name}' is not defined on this sheet", key, at)
    return names


def _steps(row: Table) -> tuple[str, ...]:
    return _short_texts(row, "steps")


def _short_texts(row: Table, key: str) -> tuple[str, ...]:
    """Return texts that are read at a glance."""
    texts = row.texts(key)
    for at, text in enumerate(texts):
        check_words(row, text, at, key, at)
    return texts


def _interval(table: Table | None) -> IntervalSpec | None:
    if table is None:
        return None
    table.only(("hours", "days", "source"))
    hours = table.positive("hours") if "hours" in table.values else None
    days = table.whole("days", 1) if "days" in table.values else None
    if hours is None and days is None:
        raise table.refused("the interval needs hours, days, or both")
    return IntervalSpec(hours, days, table.text("source"))


def _grease(table: Table | None) -> GreaseSpec | None:
    if table is None:
        return None
    table.only(_GREASE_KEYS)
    strokes, per_day = table.whole("strokes", 1), table.whole("most_per_day", 1)
    per_month = table.whole("most_per_month", 1)
    if strokes > per_day:
        raise table.refused(f"{strokes} strokes are more than the {per_day} that the bearing may take a day", "strokes")
    if per_day > per_month:
        raise table.refused(f"{per_day} strokes a day are more than the {per_month} a month", "most_per_day")
    return GreaseSpec(strokes, per_day, per_month, table.text("grease"), table.choice("thickener", thickeners()),
                      table.positive("grams_per_stroke"), table.text("tool", "hand gun only"))


def _key(row: Table) -> str:
    key = row.text("key")
    if not _KEY.fullmatch(key) or len(key) > 64:
        raise row.refused(f"the key '{key[:64]}' must be small letters, digits and single hyphens", "key")
    return key


# --- collecting refusals ---


def _keys_of(table: Table, kind: str) -> frozenset[str]:
    """Return the keys that a job may name, those of refused tables too: one slip is told once."""
    rows = table.values.get(kind)
    keys = [row.get("key") for row in rows if isinstance(row, dict)] if isinstance(rows, list) else []
    return frozenset(key for key in keys if isinstance(key, str))


def _each(table: Table, kind: str, read: Callable[[Table], _Made], errors: list[SheetError]) -> tuple[_Made, ...]:
    """Return what each [[kind]] table says; a table that is refused adds its error and is left out."""
    rows = _tried(lambda: table.tables(kind), errors) or ()
    _tried(lambda: _no_key_twice(rows, kind), errors)
    made = [_tried(lambda row=row: read(row), errors) for row in rows]  # type: ignore[misc]
    return tuple(item for item in made if item is not None)


def _no_key_twice(rows: Iterable[Table], kind: str) -> None:
    seen: list[Any] = []
    for row in rows:
        key = row.values.get("key")
        if key in seen:
            raise row.refused(f"the {kind} '{key}' is defined twice", "key")
        seen += [key] if key is not None else []


def _tried(read: Callable[[], _Made], errors: list[SheetError]) -> _Made | None:
    try:
        return read()
    except SheetError as error:
        errors.append(error)
        return None
