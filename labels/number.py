"""Label numbers: ten digits that name one thing in the yard. Pure.

A number reads `K NNNN NNNN C`: K the kind of thing, N eight digits, C a check digit by ISO/IEC 7064 MOD
11,10 over the nine digits before it. The eight digits are kiosk number and serial, scattered by a fixed
invertible map so that labels issued one after the other differ in most digit pairs. A serial whose number
shares three or more of its five digit pairs with an issued number is skipped: three legible pairs of a torn
label then point at one number only.

Source: the check digit's rule is ISO/IEC 7064:2003, MOD 11,10, computed by python-stdnum. The rest is our
own rule.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from enum import IntEnum
from itertools import combinations

from stdnum.iso7064 import mod_11_10

from labels.errors import NotALabelNumber, OutOfNumbers, WrongCheckDigit, WrongLength

DIGITS = 10
PAIRS = DIGITS // 2
KIOSKS = 100
SERIALS = 1_000_000
# A number is not issued when it shares this many digit pairs, or more, with an issued one.
SHARED_PAIRS_REFUSED = 3

_SCATTERED = KIOSKS * SERIALS
# Chosen among 4,000 random multipliers prime to ten: of 10,000 labels of one kiosk about 520 serials are
# skipped, of 20,000 about 5,500; an average multiplier skips three times as many. The tests print the figure.
_MULTIPLIER = 13_889_649
_OFFSET = 31_415_927
_INVERSE = pow(_MULTIPLIER, -1, _SCATTERED)


class Kind(IntEnum):
    """What a label is stuck to: its first digit. Never 9: python-barcode drops a leading pair 99."""

    COMPONENT = 1
    UNIT = 2
    CREW_BADGE = 3
    POSITION = 4
    COMMAND_CARD = 5


@dataclass(frozen=True, slots=True, order=True)
class LabelNumber:
    """A well-formed label number; made by `parse`, `compose` or `issue`, which check it.

    Attributes:
        digits: The ten digits without spaces.
    """

    digits: str

    @property
    def kind(self) -> Kind:
        """What the label is stuck to."""
        return Kind(int(self.digits[0]))

    @property
    def grouped(self) -> str:
        """The number as it is printed and shown, `K NNNN NNNN C`."""
        return f"{self.digits[0]} {self.digits[1:5]} {self.digits[5:9]} {self.digits[9]}"

    @property
    def pairs(self) -> tuple[int, ...]:
        """The five digit pairs, which are the five data characters of the symbol."""
        return digit_pairs(self.digits)

    def __str__(self) -> str:
        return self.digits


def digit_pairs(digits: str) -> tuple[int, ...]:
    """Return the five digit pairs of ten digits."""
    return tuple(int(digits[at : at + 2]) for at in range(0, DIGITS, 2))


def parse(text: str) -> LabelNumber:
    """Return the label number that was scanned or typed; spaces and hyphens between digits do not matter.

    Args:
        text: What was scanned or typed.

    Raises:
        NotALabelNumber: something else than digits, or a kind of label that does not exist.
        WrongLength: more or fewer than ten digits.
        WrongCheckDigit: a digit is wrong.

    Source:
        ISO/IEC 7064:2003, MOD 11,10
    """
    digits = "".join(character for character in text if character not in " \t\r\n-")
    if not digits:
        raise NotALabelNumber(text, "There is no label number here. Scan the label or type its ten digits.")
    if not (digits.isascii() and digits.isdigit()):
        raise NotALabelNumber(text, "A label number has digits only. Scan the label or type its ten digits.")
    if len(digits) != DIGITS:
        raise WrongLength(text, len(digits))
    if not has_right_check_digit(digits):
        raise WrongCheckDigit(text)
    if int(digits[0]) not in Kind._value2member_map_:
        raise NotALabelNumber(text, f"No label of this yard begins with {digits[0]}. Is it another's label?")
    return LabelNumber(digits)


def is_label_number(text: object) -> bool:
    """Return whether `text` is exactly ten digits of a label number, without spaces."""
    if not isinstance(text, str) or len(text) != DIGITS:
        return False
    try:
        parse(text)
    except NotALabelNumber:
        return False
    return True


def check_digit(digits: str) -> str:
    """Return the check digit that belongs after `digits`.

    Source:
        ISO/IEC 7064:2003, MOD 11,10
    """
    return mod_11_10.calc_check_digit(digits)


def has_right_check_digit(digits: str) -> bool:
    """Return whether the last of `digits` is the check digit of those before it."""
    return digits.isascii() and digits.isdigit() and bool(mod_11_10.is_valid(digits))


def label_kind(number: LabelNumber | str) -> Kind:
    """Return what the label is stuck to.

    Raises:
        NotALabelNumber: the text is no label number.
    """
    return _as_number(number).kind


def kiosk_and_serial(number: LabelNumber | str) -> tuple[int, int]:
    """Return which kiosk issued the number, 0..99, and as its how manieth, 0..999,999.

    Raises:
        NotALabelNumber: the text is no label number.
    """
    scattered = int(_as_number(number).digits[1:9])
    return divmod((scattered - _OFFSET) * _INVERSE % _SCATTERED, SERIALS)


def compose(kind: Kind, kiosk: int, serial: int) -> LabelNumber:
    """Return the number that a kiosk's serial stands for, without asking whether it may be issued.

    Args:
        kind: What the label is stuck to.
        kiosk: The kiosk's number. 0..99
        serial: The kiosk's running number. 0..999,999

    Raises:
        OutOfNumbers: kiosk or serial is outside its range.
    """
    if not 0 <= kiosk < KIOSKS:
        raise OutOfNumbers(f"A kiosk's number is 0 to {KIOSKS - 1}; this one is {kiosk}.")
    if not 0 <= serial < SERIALS:
        raise OutOfNumbers(f"Kiosk {kiosk} has used up its label numbers. Give it a new kiosk number.")
    scattered = ((kiosk * SERIALS + serial) * _MULTIPLIER + _OFFSET) % _SCATTERED
    body = f"{int(kind)}{scattered:08d}"
    return LabelNumber(body + check_digit(body))


class IssuedNumbers:
    """The numbers known to be issued, with an index that tells at once whether a new one is too much like
    one.

    Args:
        numbers: The numbers issued so far. A number that is no label number is refused.
    """

    def __init__(self, numbers: Iterable[LabelNumber | str] = ()) -> None:
        self._digits: set[str] = set()
        self._shared: set[tuple[int, tuple[int, ...]]] = set()
        for number in numbers:
            self.add(number)

    def __len__(self) -> int:
        return len(self._digits)

    def __iter__(self) -> Iterator[str]:
        return iter(self._digits)

    def __contains__(self, number: object) -> bool:
        return str(number) in self._digits

    def add(self, number: LabelNumber | str) -> None:
        """Remember a number as issued.

        Raises:
            NotALabelNumber: the text is no label number.
        """
        number = _as_number(number)
        self._digits.add(number.digits)
        self._shared.update(_keys(number.pairs))

    def is_too_like(self, number: LabelNumber) -> bool:
        """Return whether the number shares three or more of its five digit pairs with an issued one."""
        return not self._shared.isdisjoint(_keys(number.pairs))


def issue(kind: Kind, kiosk: int, next_serial: int, issued: IssuedNumbers) -> tuple[LabelNumber, int]:
    """Return the next number that may be issued, and the serial it used; nothing is remembered.

    Serials whose number is too much like an issued one are skipped. The caller adds the number to `issued`
    and goes on with the serial after the one used.

    Args:
        kind: What the label will be stuck to.
        kiosk: The kiosk's number. 0..99
        next_serial: The first serial that may be used. 0..999,999
        issued: Every number known to be issued, by this kiosk or another.

    Raises:
        OutOfNumbers: kiosk or serial is outside its range, or no serial is left.
    """
    serial = next_serial
    while issued.is_too_like(number := compose(kind, kiosk, serial)):
        serial += 1
    return number, serial


def _keys(pairs: tuple[int, ...]) -> list[tuple[int, tuple[int, ...]]]:
    """Return the ten ways to share three digit pairs with these five."""
    return list(enumerate(combinations(pairs, SHARED_PAIRS_REFUSED)))


def _as_number(number: LabelNumber | str) -> LabelNumber:
    return number if isinstance(number, LabelNumber) else parse(number)
