"""Texts that many screens share: dates, hours, places, states. The only place where they are spelled."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date, datetime, tzinfo

from kiosk.entities import Position, Side, Unit, Verdict
from kiosk.language import N_, clock_words, date_words, number, tr, trn
from kiosk.presenters.parts import BAD, DUE, GOOD, NEUTRAL, OVERDUE, SHAPES, UNSURE, Mark

_VERDICT_COLOURS = {Verdict.WITHIN: GOOD, Verdict.TOO_CLOSE: UNSURE, Verdict.OUTSIDE: BAD}

# Words of records, sheets and settings, which go through `tr` where they are shown.
WORDS = (
    N_("within"), N_("too close to call"), N_("outside"), N_("mechanic"), N_("lead"), N_("supervisor"), N_("left"),
    N_("right"), N_("both"), N_("as found"), N_("as left"), N_("grease"), N_("adjust"), N_("inspect"), N_("clean"),
    N_("splice"), N_("replace"), N_("note"), N_("component"), N_("unit"), N_("badge"), N_("position"), N_("command"),
    N_("scanner"), N_("camera"), N_("keypad"), N_("early"), N_("late"), N_("night"), N_("DANGER"), N_("WARNING"),
    N_("CAUTION"), N_("NOTICE"), N_("danger"), N_("warning"), N_("caution"), N_("notice"), N_("confirmed"), N_("worn"),
    N_("flats"), N_("turns made flats"), N_("time"),
    N_("broken"), N_("seized"), N_("damaged"), N_("keep an eye on it"), N_("repair at the next service"),
    N_("repair before it goes out"),
)

DEFERENCE = (N_("This screen is not the lock. Local rules, the maker's manual and the yard's own lock-out procedure "
                "come first; leave the work if you are not trained for it."))


def mark(word: str, colour: str) -> Mark:
    """Return a state by word, with the colour's own shape."""
    return Mark(word, SHAPES[colour], colour)


FINE = mark(N_("fine"), GOOD)
OPEN_FINDING = mark(N_("finding"), BAD)
HELD = mark(N_("out of service"), BAD)
DUE_NOW = mark(N_("due"), DUE)
IS_OVERDUE = mark(N_("overdue"), OVERDUE)
DAMAGED = mark(N_("cannot be saved to"), BAD)
LOCKED = mark(N_("locked"), BAD)
NOT_YET = mark(N_("not due yet"), NEUTRAL)
NOTHING = mark("", NEUTRAL)
NOT_TAKEN = mark(N_("not taken"), BAD)
RETIRED = mark(N_("counts no more"), NEUTRAL)


def verdict_mark(verdict: Verdict | None) -> Mark:
    """Return a verdict as a mark, an empty one where there is none."""
    return NOTHING if verdict is None else mark(verdict.value, _VERDICT_COLOURS[verdict])


def worst(verdicts: list[Verdict]) -> Verdict | None:
    """Return the worst verdict, None if there is none."""
    order = (Verdict.OUTSIDE, Verdict.TOO_CLOSE, Verdict.WITHIN)
    return next((verdict for verdict in order if verdict in verdicts), None)


def date_text(day: date) -> str:
    """Return 'Mon 2 Mar 2026'."""
    return date_words(day)


def clock_text(moment: datetime, zone: tzinfo) -> str:
    """Return 'Mon 2 Mar 2026 06:12', local."""
    return clock_words(moment.astimezone(zone))


def when_text(moment: datetime, now: datetime, zone: tzinfo) -> str:
    """Return 'today 06:12', 'yesterday 14:03' or the date."""
    local, today = moment.astimezone(zone), now.astimezone(zone).date()
    age = (today - local.date()).days
    if age == 0:
        return tr("today {time}").format(time=f"{local:%H:%M}")
    return tr("yesterday {time}").format(time=f"{local:%H:%M}") if age == 1 else date_text(local.date())


def hours_text(hours: float) -> str:
    """Return an hour-meter reading, '1,234.5 h'."""
    return f"{number(hours, ',.1f')} h"


def counted(count: float, word: str) -> str:
    """Return '1 stroke', '2 strokes'; `word` is one of `COUNTED`."""
    return COUNTED[word](count).format(n=number(count, ",g"))


COUNTED: dict[str, Callable[[float], str]] = {
    "bolt": lambda n: trn("{n} bolt", "{n} bolts", n),
    "day": lambda n: trn("{n} day", "{n} days", n),
    "digit": lambda n: trn("{n} digit", "{n} digits", n),
    "failure": lambda n: trn("{n} failure", "{n} failures", n),
    "finding": lambda n: trn("{n} finding", "{n} findings", n),
    "hour": lambda n: trn("{n} hour", "{n} hours", n),
    "label": lambda n: trn("{n} label", "{n} labels", n),
    "line": lambda n: trn("{n} line", "{n} lines", n),
    "minute": lambda n: trn("{n} minute", "{n} minutes", n),
    "open finding": lambda n: trn("{n} open finding", "{n} open findings", n),
    "part": lambda n: trn("{n} part", "{n} parts", n),
    "person": lambda n: trn("{n} person", "{n} people", n),
    "photo": lambda n: trn("{n} photo", "{n} photos", n),
    "position": lambda n: trn("{n} position", "{n} positions", n),
    "reading": lambda n: trn("{n} reading", "{n} readings", n),
    "record": lambda n: trn("{n} record", "{n} records", n),
    "second": lambda n: trn("{n} second", "{n} seconds", n),
    "stroke": lambda n: trn("{n} stroke", "{n} strokes", n),
    "unit": lambda n: trn("{n} unit", "{n} units", n),
}


def place_text(unit: Unit, position: Position) -> str:
    """Return where a part sits, 'Unit 4 · upper shaft bearing, left'."""
    return f"{unit.name} · {position.name}"


def side_text(side: Side) -> str:
    """Return 'left', 'right' or '' where a thing has no sides."""
    return "" if side is Side.BOTH else tr(side.value)


def sentence_case(text: str) -> str:
    """Return the text with a capital."""
    return text[:1].upper() + text[1:]


def sentence(text: str) -> str:
    """Return the text with a capital and a full stop."""
    plain = text.strip()
    return plain[:1].upper() + plain[1:] + ("" if plain.endswith((".", "!", "?")) else ".")
