"""Texts that many screens share: dates, hours, places, states. The only place where they are spelled."""

from __future__ import annotations

from datetime import date, datetime, tzinfo

from kiosk.entities import Position, Side, Unit, Verdict
from kiosk.language import N_, tr
from kiosk.presenters.parts import BAD, DUE, GOOD, NEUTRAL, OVERDUE, SHAPES, UNSURE, Mark

_DAYS = (N_("Mon"), N_("Tue"), N_("Wed"), N_("Thu"), N_("Fri"), N_("Sat"), N_("Sun"))
_MONTHS = (N_("Jan"), N_("Feb"), N_("Mar"), N_("Apr"), N_("May"), N_("Jun"), N_("Jul"), N_("Aug"), N_("Sep"), N_("Oct"), N_("Nov"), N_("Dec"))
_VERDICT_COLOURS = {Verdict.WITHIN: GOOD, Verdict.TOO_CLOSE: UNSURE, Verdict.OUTSIDE: BAD}

DEFERENCE = (N_("This screen is not the lock. Local rules, the maker's manual and the yard's own lock-out procedure "
                "come first; leave the work if you are not trained for it."))


def mark(word: str, colour: str) -> Mark:
    """Return a state by word, with the colour's own shape."""
    return Mark(word, SHAPES[colour], colour)


FINE = mark("fine", GOOD)
OPEN_FINDING = mark("finding", BAD)
HELD = mark(N_("out of service"), BAD)
DUE_NOW = mark("due", DUE)
IS_OVERDUE = mark("overdue", OVERDUE)
NOT_YET = mark(N_("not due yet"), NEUTRAL)
NOTHING = mark("", NEUTRAL)


def verdict_mark(verdict: Verdict | None) -> Mark:
    """Return a verdict as a mark, an empty one where there is none."""
    return NOTHING if verdict is None else mark(verdict.value, _VERDICT_COLOURS[verdict])


def worst(verdicts: list[Verdict]) -> Verdict | None:
    """Return the worst verdict, None if there is none."""
    order = (Verdict.OUTSIDE, Verdict.TOO_CLOSE, Verdict.WITHIN)
    return next((verdict for verdict in order if verdict in verdicts), None)


def date_text(day: date) -> str:
    """Return 'Mon 2 Mar 2026'."""
    return f"{_DAYS[day.weekday()]} {day.day} {_MONTHS[day.month - 1]} {day.year}"


def clock_text(moment: datetime, zone: tzinfo) -> str:
    """Return 'Mon 2 Mar 2026 06:12', local."""
    local = moment.astimezone(zone)
    return f"{date_text(local.date())} {local:%H:%M}"


def when_text(moment: datetime, now: datetime, zone: tzinfo) -> str:
    """Return 'today 06:12', 'yesterday 14:03' or the date."""
    local, today = moment.astimezone(zone), now.astimezone(zone).date()
    age = (today - local.date()).days
    if age == 0:
        return tr("today {local}").format(local=f"{local:%H:%M}")
    return tr("yesterday {local}").format(local=f"{local:%H:%M}") if age == 1 else date_text(local.date())


def hours_text(hours: float) -> str:
    """Return an hour-meter reading, '1,234.5 h'."""
    return f"{hours:,.1f} h"


def counted(number: float, word: str) -> str:
    """Return '1 stroke', '2 strokes'."""
    return f"{number:,g} {word}" if number == 1 else f"{number:,g} {word}s"


def place_text(unit: Unit, position: Position) -> str:
    """Return where a part sits, 'Unit 4 · upper shaft bearing, left'."""
    return f"{unit.name} · {position.name}"


def side_text(side: Side) -> str:
    """Return 'left', 'right' or '' where a thing has no sides."""
    return "" if side is Side.BOTH else side.value


def sentence(text: str) -> str:
    """Return the text with a capital and a full stop."""
    plain = text.strip()
    return plain[:1].upper() + plain[1:] + ("" if plain.endswith((".", "!", "?")) else ".")
