"""Typed lengths in, shown lengths out: inches with fractions, feet, millimetres.

Inside the kiosk a length is in millimetres; this module stands at the edge. What was typed is kept beside
what it means. No rounding here may change a verdict: a shown length can be told to stay on its own side of
every limit. Conversion of other quantities is `convert`. The grammar of typed lengths is common practice, no
source; rounding to the nearest 1/n inch takes ties to even (ASTM E29, NIST SP 811 B.7; from memory).
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterable
from dataclasses import dataclass
from fractions import Fraction
from typing import NamedTuple

from kiosk.calc import guards
from kiosk.calc.constants import FOOT_MM, INCH_MM
from kiosk.calc.conversion import convert as convert
from kiosk.errors import NoTableRow, UnreadableNumber
from kiosk.language import tr

# A longer text is a stuck key or a scanned label, not a length.
LONGEST_TEXT = 40
# One kilometre: nothing on a machine is longer.
LONGEST_MM = 1_000_000

_UNIT_MM: dict[str, Fraction] = {
    "in": INCH_MM, "ft": FOOT_MM, "mm": Fraction(1), "cm": Fraction(10), "m": Fraction(1000),
    "thou": INCH_MM / 1000,
}
_UNIT_WORDS = {
    "in": "in", "in.": "in", "inch": "in", "inches": "in", '"': "in",
    "ft": "ft", "ft.": "ft", "foot": "ft", "feet": "ft", "'": "ft",
    "mm": "mm", "mm.": "mm", "cm": "cm", "cm.": "cm", "m": "m", "thou": "thou",
}
_QUOTES = str.maketrans({
    "’": "'", "′": "'", "‘": "'", "”": '"', "″": '"', "“": '"', "−": "-", "–": "-", "‐": "-", "‑": "-",
    "⁄": "/", "∕": "/", "\u00a0": " ", "\u2009": " ", "\u202f": " ",
})

_NUMBER = r"(?:\d+(?:\s*-\s*|\s+)\d+\s*/\s*\d+|\d+\s*/\s*\d+|\d+\.\d*|\.\d+|\d+)"
_LENGTH = re.compile(
    rf"(?P<sign>[+-]?)\s*"
    rf"(?:(?P<feet>\d+)\s*(?:'|feet|foot|ft\.?)\s*-?\s*(?=[\d.]))?"
    rf"(?P<number>{_NUMBER})\s*(?P<unit>[a-z]+\.?|['\"])?",
    re.ASCII | re.IGNORECASE,
)
_MIXED = re.compile(r"(?:(?P<whole>\d+)(?:\s*-\s*|\s+))?(?P<top>\d+)\s*/\s*(?P<bottom>\d+)", re.ASCII)
_RANGE = re.compile(r"\s+to\s+|\s*\.\.\.?\s*|\s*…\s*", re.IGNORECASE)


@dataclass(frozen=True)
class Length:
    """A typed length.

    Args:
        mm: What it means. [mm]
        text: What was typed, unchanged.
        unit_typed: The unit it was read in: 'in', 'ft', 'mm', 'cm', 'm' or 'thou'; a bare number takes the
            form's.
    """

    mm: float
    text: str
    unit_typed: str


class InchFraction(NamedTuple):
    """A length rounded to a fraction of an inch: how it is shown, and shown minus true. [mm]"""

    text: str
    error_mm: float


class UnitSlip(NamedTuple):
    """What a reading that looks like a slip probably meant: in mm, as one would type it, and as a question. [mm]"""

    meant_mm: float
    text: str
    question: str


# --- reading what was typed ---


def parse_length(text: str, default_unit: str) -> Length:
    """Return the length that was typed, with its unit.

    Reads `1 5/8`, `1-5/8`, `13/8`, `1.625"`, `1⅝`, `5/8 in`, `41 mm`, `4.1 cm`, `1' 3-1/2"`, with a leading
    sign. A hyphen between a whole number and a fraction joins them.

    Args:
        text: What was typed. At most 40 characters.
        default_unit: Unit of a bare number: 'in', 'ft', 'mm', 'cm', 'm' or 'thou'.

    Returns:
        The length; the arithmetic is exact.

    Raises:
        UnreadableNumber: not one clear length; says what is wrong and keeps the text.
        NoTableRow: `default_unit` is not a unit of length known here.

    Source:
        Common practice, no source.

    Example, by hand: 13 eighths of 25.4 mm:
        >>> parse_length("1-5/8", "in").mm
        41.275
    """
    _unit_mm(default_unit)
    plain = _plain(text)
    match = _LENGTH.fullmatch(plain)
    if match is None:
        raise UnreadableNumber(text, _why_unreadable(plain))
    size_mm, unit = _magnitude(match, text, default_unit)
    if size_mm > LONGEST_MM:
        raise UnreadableNumber(text, tr("{strip} is longer than anything in the yard. Check the number.").format(
                                         strip=text.strip()))
    return Length(float(-size_mm if match["sign"] == "-" else size_mm), text, unit)


def parse_range(text: str, default_unit: str) -> tuple[Length, Length]:
    """Return the two ends of a typed window such as `3 to 4 in` or `1 5/8 to 3 in`.

    Args:
        text: Two lengths with 'to', '..' or '…' between; a bare first one takes the second one's unit.
        default_unit: Unit of bare numbers.

    Returns:
        Lower and upper end.

    Raises:
        UnreadableNumber: not two clear lengths, or the first is the larger.

    Source:
        Common practice, no source.

    Example:
        >>> [end.mm for end in parse_range("3 to 4 in", "mm")]
        [76.2, 101.6]
    """
    ends = _RANGE.split(text.strip())
    if len(ends) != 2:
        raise UnreadableNumber(text, tr("Type the lower and the upper end with 'to' between, like 3 to 4 in."))
    upper = parse_length(ends[1], default_unit)
    lower = parse_length(ends[0], upper.unit_typed)
    if lower.mm > upper.mm:
        raise UnreadableNumber(text, tr("{ends} is more than {ends_2}. Type the smaller one first.").format(
                                         ends=ends[0], ends_2=ends[1]))
    return lower, upper


def _unit_mm(unit: str) -> Fraction:
    if unit not in _UNIT_MM:
        raise NoTableRow("units of length", unit, tuple(_UNIT_MM))
    return _UNIT_MM[unit]


def _plain(text: str) -> str:
    """Return the text in plain characters: ½ as ' 1/2', any quote as ' or \", any dash as -."""
    if len(text) > LONGEST_TEXT:
        raise UnreadableNumber(text, tr("That is too long for a length. Type one number, like 1 5/8."))
    spelled = "".join(_vulgar(character) for character in text)
    return spelled.translate(_QUOTES).replace("''", '"').strip()


def _vulgar(character: str) -> str:
    decomposed = unicodedata.normalize("NFKC", character)
    is_fraction = unicodedata.category(character) == "No" and re.fullmatch(r"\d+⁄\d+", decomposed, re.ASCII)
    return f" {decomposed}" if is_fraction else character


def _magnitude(match: re.Match[str], text: str, default_unit: str) -> tuple[Fraction, str]:
    """Return the size in mm without its sign, and the unit it was read in."""
    typed = (match["unit"] or "").casefold()
    if typed and typed not in _UNIT_WORDS:
        raise UnreadableNumber(text, tr("'{match}' is not a unit of length here. Use in, ft, mm or cm.").format(
                                         match=match["unit"]))
    number = _rational(match["number"], text)
    if match["feet"] is None:
        unit = _UNIT_WORDS.get(typed, default_unit)
        return number * _unit_mm(unit), unit
    if typed and _UNIT_WORDS[typed] != "in":
        raise UnreadableNumber(text, tr("Feet go together with inches only, like 1' 3 1/2\"."))
    if number >= 12:
        raise UnreadableNumber(text, tr("After feet there are less than 12 inches. Did you mean inches only?"))
    return int(match["feet"]) * FOOT_MM + number * INCH_MM, "ft"


def _rational(number: str, text: str) -> Fraction:
    mixed = _MIXED.fullmatch(number)
    if mixed is None:
        return Fraction(number)
    top, bottom = int(mixed["top"]), int(mixed["bottom"])
    if bottom == 0:
        raise UnreadableNumber(text, tr("A fraction cannot have 0 below the line. Type it again."))
    if mixed["whole"] is None:
        return Fraction(top, bottom)
    if top >= bottom:
        raise UnreadableNumber(text, tr("{top}/{bottom} is one or more. Which length did you mean?").format(
                                         top=top, bottom=bottom))
    return int(mixed["whole"]) + Fraction(top, bottom)


def _why_unreadable(plain: str) -> str:
    """Return the sentence that fits best; the first fault found is the one named."""
    if not plain:
        return tr("Nothing was typed. Type a length, like 1 5/8 or 41 mm.")
    if "," in plain:
        return tr("Is the comma a decimal point? Then type {value}").format(value=plain.replace(",", "."))
    if re.search(r"/\s*/", plain):
        return tr("There are two slashes together. Type the fraction with one, like 5/8.")
    if plain.count("/") > 1:
        return tr("There are two fractions. Type one length, like 1 5/8.")
    if re.search(r"\d\s*/\s*$|^[+-]?\s*/", plain):
        return tr("Half of the fraction is missing. Type it like 5/8.")
    if not re.search(r"\d", plain, re.ASCII):
        return tr("There is no number in it. Type a length, like 1 5/8 or 41 mm.")
    return tr("That is not one clear length. Type it like 1 5/8, 1.625 or 41 mm.")


# --- showing ---


def nearest_fraction(mm: float, denominator: int) -> InchFraction:
    """Return the nearest 1/denominator inch, reduced, and its rounding error.

    For display only: store what was typed and the millimetres.

    Args:
        mm: Length. [mm]
        denominator: 2, 4, 8, 16, 32 or 64 on a tape; 1 to 1000.

    Returns:
        Text such as '1 5/8', and shown minus true [mm], at most 25.4 / (2 denominator). Ties go to the even
        count.

    Raises:
        OutOfRange: not an ordinary number or beyond a kilometre, or the denominator is not a whole number in
            range.

    Source:
        Rounding rule: ASTM E29 and NIST SP 811 B.7, from memory.

    Example, by hand: 41 mm is 25.83 sixteenths, so 26 are shown, 41.275 mm:
        >>> nearest_fraction(41, 16)
        InchFraction(text='1 5/8', error_mm=0.275)
    """
    guards.count("denominator", denominator, 1, 1000)
    exact = _exact_mm(mm)
    shown = Fraction(round(exact / INCH_MM * denominator), denominator)
    return InchFraction(_mixed_text(shown), float(shown * INCH_MM - exact))


def format_length(mm: float, unit: str, denominator: int = 32, keep_sides_of: Iterable[float] = ()) -> str:
    """Return a length as a screen shows it in one unit.

    Inches come as the nearest fraction; a length too small for the fraction, or one that the fraction would
    carry to or over a limit, is shown finer until it stands where it stood.

    Args:
        mm: Length. [mm]
        unit: 'in', 'ft', 'mm', 'cm', 'm' or 'thou'.
        denominator: Finest inch fraction to begin with.
        keep_sides_of: Limits; the shown value is below or above each as the length is, and on one as that one is
            shown. [mm]

    Returns:
        Text such as '1 5/8 in' or '41.3 mm'.

    Raises:
        OutOfRange: not an ordinary number, or beyond a kilometre.
        NoTableRow: `unit` is not a unit of length known here.

    Source:
        Common practice, no source.

    Example: 76.19 mm must not be shown as the 3 in that it fails to reach:
        >>> format_length(76.19, "in"), format_length(76.19, "in", keep_sides_of=[76.2])
        ('3 in', '2.9996 in')
    """
    exact, limits = _exact_mm(mm), [_exact_mm(limit) for limit in keep_sides_of]
    size = _unit_mm(unit)
    finest = ""
    for text, shown in _ever_finer(exact / size, denominator if unit == "in" else 0):
        finest = text
        # a length on a limit is shown as the limit is, so it needs no finer text
        if all(exact == limit or _side(shown * size, limit) == _side(exact, limit) for limit in limits):
            break
    return f"{finest} {unit}"


def format_both(mm: float, unit: str, denominator: int = 32, keep_sides_of: Iterable[float] = ()) -> str:
    """Return a length in the unit asked for, and in the other system in brackets.

    Args:
        mm: Length. [mm]
        unit: The unit to show first.
        denominator: Finest inch fraction to begin with.
        keep_sides_of: Limits; both shown values stay on their side of each. [mm]

    Returns:
        Text such as '1 5/8 in (41.3 mm)'.

    Raises:
        OutOfRange: not an ordinary number, or beyond a kilometre.
        NoTableRow: `unit` is not a unit of length known here.

    Source:
        Common practice, no source.

    Example:
        >>> format_both(41.275, "in")
        '1 5/8 in (41.3 mm)'
    """
    limits = tuple(keep_sides_of)
    other = "mm" if unit in ("in", "ft", "thou") else "in"
    first = format_length(mm, unit, denominator, limits)
    return f"{first} ({format_length(mm, other, denominator, limits)})"


def _exact_mm(mm: float) -> Fraction:
    """Return the shortest decimal that the float stands for, so that 0.79375 is half of 1/16 in exactly."""
    return Fraction(repr(guards.number("mm", mm, "mm", -LONGEST_MM, LONGEST_MM)))


def _ever_finer(value: Fraction, denominator: int) -> Iterable[tuple[str, Fraction]]:
    """Yield the value as text and as the number that the text says, each finer than the one before."""
    while 0 < denominator <= 64:
        shown = Fraction(round(value * denominator), denominator)
        if shown or not value:
            yield _mixed_text(shown), shown
        denominator *= 2
    for decimals in range(_decimals(value), 13):
        shown = Fraction(round(value * 10**decimals), 10**decimals)
        yield _decimal_text(shown, decimals), shown


def _decimal_text(value: Fraction, decimals: int) -> str:
    """Return a decimal fraction written out, without trailing zeros."""
    whole, rest = divmod(abs(value), 1)
    digits = f"{int(rest * 10**decimals):0{decimals}d}".rstrip("0")
    return f"{'-' if value < 0 else ''}{whole}{'.' + digits if digits else ''}"


def _decimals(value: Fraction) -> int:
    """Return decimals for three significant digits, one at the least."""
    decimals = 1
    while value and abs(value) * 10**decimals < 100 and decimals < 12:
        decimals += 1
    return decimals


def _side(value: Fraction, limit: Fraction) -> int:
    return (value > limit) - (value < limit)


def _mixed_text(value: Fraction) -> str:
    sign = "-" if value < 0 else ""
    whole, rest = divmod(abs(value), 1)
    parts = [str(whole)] if whole or not rest else []
    if rest:
        parts.append(f"{rest.numerator}/{rest.denominator}")
    return sign + " ".join(parts)


# --- slips ---


def suspect_unit_slip(mm: float, low_mm: float | None, high_mm: float | None,
                      typed_unit: str = "mm") -> UnitSlip | None:
    """Return what was probably meant when a reading looks like a unit or decimal slip, None when it does not.

    Asks only about a reading three or more times beyond a limit that would be in place if it were 25.4, 10 or
    100 times larger or smaller. Nothing is corrected: the mechanic answers.

    Args:
        mm: The reading. [mm]
        low_mm: Lower end of what is ordinary at this place, None where there is none. [mm]
        high_mm: Upper end, None where there is none. [mm]
        typed_unit: 'in' or 'mm': a slip of the decimal point is asked about in the unit that was typed.

    Returns:
        The supposed slip, or None.

    Raises:
        OutOfRange: not an ordinary number, or the lower end is above the upper.

    Source:
        Common practice, no source.

    Example: 41 typed on a form in inches, where 38 to 76 mm is ordinary:
        >>> suspect_unit_slip(41 * 25.4, 38, 76).question
        'That is about 25 times too large for this place. Did you mean 41 mm?'
    """
    reading = guards.number("mm", mm, "mm")
    low = None if low_mm is None else guards.number("low_mm", low_mm, "mm")
    high = None if high_mm is None else guards.number("high_mm", high_mm, "mm", low)
    if high is not None and 0 < high <= reading / 3:
        return _too_large(reading, low, high, typed_unit)
    if low is not None and 0 < reading <= low / 3:
        return _too_small(reading, low, high, typed_unit)
    return None


def _too_large(reading: float, low: float | None, high: float, typed_unit: str) -> UnitSlip | None:
    for times, factor in ((25, 25.4), (10, 10.0), (100, 100.0)):
        meant = reading / factor
        if _is_ordinary(meant, low, high):
            # 25 times too large are millimetres typed as inches.
            text = f"{meant:.4g} mm" if factor == 25.4 else _as_typed(meant, typed_unit)
            question = tr("That is about {times} times too large for this place. Did you mean {text}?").format(
                           times=times, text=text)
            return UnitSlip(meant, text, question)
    return None


def _too_small(reading: float, low: float, high: float | None, typed_unit: str) -> UnitSlip | None:
    centimetres = tr("{reading} cm or ").format(reading=f"{reading:.4g}") if typed_unit == "mm" else ""
    answers = ((25, 25.4, f"{reading:.4g} in", ""), (10, 10.0, _as_typed(reading * 10, typed_unit), centimetres),
               (100, 100.0, _as_typed(reading * 100, typed_unit), ""))
    for times, factor, text, also in answers:
        if _is_ordinary(reading * factor, low, high):
            question = tr("That is about {times} times too small for this place. Did you mean {also}{text}?").format(
                           times=times, also=also, text=text)
            return UnitSlip(reading * factor, text, question)
    return None


def _as_typed(mm: float, typed_unit: str) -> str:
    """Return a length as one would type it in a unit."""
    return f"{mm / float(INCH_MM):.4g} in" if typed_unit == "in" else f"{mm:.4g} mm"


def _is_ordinary(mm: float, low: float | None, high: float | None) -> bool:
    """Say whether a length lies in the window, a quarter beyond either end allowed."""
    return (low is None or mm >= 0.75 * low) and (high is None or mm <= 1.25 * high)
