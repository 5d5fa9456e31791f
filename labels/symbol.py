"""The Code 128 symbol of a label number, and our own reading of its modules.

The symbol is made with python-barcode and read again with the table below before it is handed on, because the
library drops a leading pair 99, may build a longer symbol on a second call and encodes some mixed texts
wrongly. Ten digits in code set C are eight characters: start, five pairs, check, stop: 90 modules, the
fewest possible.

Source: ISO/IEC 15417, character table and check character.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache

from barcode.codex import Code128
from barcode.errors import BarcodeError

from labels.errors import WrongSymbol
from labels.number import LabelNumber, parse

CHARACTER_MODULES = 11
STOP_MODULES = 13
QUIET_MODULES = 10
# Start, five pairs, check and stop.
LABEL_MODULES = 7 * CHARACTER_MODULES + STOP_MODULES

CHECK_MODULUS = 103
START_A, START_B, START_C = 103, 104, 105
_FNC1, _SET_A, _SET_B, _SET_C, _SHIFT = 102, 101, 100, 99, 98

# Widths of bar, space, bar, space, bar, space of the values 0 to 105, ten a line.
# Source: ISO/IEC 15417, table of character values.
WIDTHS: tuple[str, ...] = (
    "212222", "222122", "222221", "121223", "121322", "131222", "122213", "122312", "132212", "221213",
    "221312", "231212", "112232", "122132", "122231", "113222", "123122", "123221", "223211", "221132",
    "221231", "213212", "223112", "312131", "311222", "321122", "321221", "312212", "322112", "322211",
    "212123", "212321", "232121", "111323", "131123", "131321", "112313", "132113", "132311", "211313",
    "231113", "231311", "112133", "112331", "132131", "113123", "113321", "133121", "313121", "211331",
    "231131", "213113", "213311", "213131", "311123", "311321", "331121", "312113", "312311", "332111",
    "314111", "221411", "431111", "111224", "111422", "121124", "121421", "141122", "141221", "112214",
    "112412", "122114", "122411", "142112", "142211", "241211", "221114", "413111", "241112", "134111",
    "111242", "121142", "121241", "114212", "124112", "124211", "411212", "421112", "421211", "212141",
    "214121", "412121", "111143", "111341", "131141", "114113", "114311", "411113", "411311", "113141",
    "114131", "311141", "411131", "211412", "211214", "211232",
)
STOP_WIDTHS = "2331112"

_VALUE_OF_WIDTHS = {widths: value for value, widths in enumerate(WIDTHS)}


@dataclass(frozen=True, slots=True)
class SymbolSize:
    """How large a symbol is on the label.

    Attributes:
        width_mm: First bar to last bar.
        width_with_quiet_mm: The same with both quiet zones.
        quiet_mm: One quiet zone.
        least_height_mm: The lowest bars that may be printed.
    """

    width_mm: float
    width_with_quiet_mm: float
    quiet_mm: float
    least_height_mm: float


def symbol_modules(number: LabelNumber | str) -> tuple[bool, ...]:
    """Return the 90 modules of a label number's symbol, True where a bar is, quiet zones left out.

    Args:
        number: A label number, or its digits.

    Raises:
        NotALabelNumber: the text is no label number.
        WrongSymbol: the symbol the library made does not read as the number.

    Source:
        ISO/IEC 15417
    """
    digits = (number if isinstance(number, LabelNumber) else parse(number)).digits
    try:
        # A fresh object each time: building the same one twice can give a longer symbol.
        pattern = Code128(digits).build()[0]
    except (BarcodeError, KeyError, IndexError, RuntimeError, ValueError) as error:
        raise WrongSymbol(digits, f"python-barcode: {error!r}") from error
    modules = tuple(character == "1" for character in pattern)
    read = decode_modules(modules)
    if read != digits or len(modules) != LABEL_MODULES:
        raise WrongSymbol(digits, f"made for {digits}, reads {read!r}, {len(modules)} modules")
    return modules


def symbol_values(digits: str) -> tuple[int, ...]:
    """Return the values of start, digit pairs and check of an even number of digits in code set C."""
    values = [START_C, *(int(digits[at : at + 2]) for at in range(0, len(digits), 2))]
    return (*values, check_value(values))


def check_value(values: Sequence[int]) -> int:
    """Return the check character's value.

    Args:
        values: Start character and data characters, code-set changes and FNC1 among them.

    Source:
        ISO/IEC 15417: the start value plus each data value times its place, modulo 103
    """
    return (values[0] + sum(place * value for place, value in enumerate(values))) % CHECK_MODULUS


def module_count(symbol_characters: int) -> int:
    """Return how many modules a symbol has without quiet zones.

    Args:
        symbol_characters: Data characters between start and check.

    Source:
        ISO/IEC 15417: 11 modules for start, check and each data character, 13 for stop
    """
    return CHARACTER_MODULES * (symbol_characters + 2) + STOP_MODULES


def symbol_size(symbol_characters: int, module_mm: float) -> SymbolSize:
    """Return how large a symbol becomes.

    Args:
        symbol_characters: Data characters between start and check.
        module_mm: X-dimension, the width of the narrowest bar. [mm] above 0

    Source:
        ISO/IEC 15417: quiet zones of ten modules. The least height, 15 % of the width and at least 5 mm, is
        from memory.
    """
    width_mm = module_count(symbol_characters) * module_mm
    quiet_mm = QUIET_MODULES * module_mm
    return SymbolSize(width_mm, width_mm + 2 * quiet_mm, quiet_mm, max(5.0, 0.15 * width_mm))


def decode_modules(modules: Sequence[bool]) -> str | None:
    """Return the text that a symbol's modules hold, None when they are no sound Code 128 symbol.

    Args:
        modules: First to last module without quiet zones, True where a bar is.

    Source:
        ISO/IEC 15417; control characters come out as themselves, function characters as nothing
    """
    values = _values_of(modules)
    if values is None or len(values) < 2 or values[0] not in (START_A, START_B, START_C):
        return None
    if check_value(values[:-1]) != values[-1] or any(value >= START_A for value in values[1:]):
        return None
    return text_of_values(values[:-1])


def text_of_values(values: Sequence[int]) -> str:
    """Return the text of a start character and its data characters, function characters left out."""
    code_set = {START_A: "A", START_B: "B", START_C: "C"}[values[0]]
    text, shifted = "", False
    for value in values[1:]:
        current = {"A": "B", "B": "A"}.get(code_set, code_set) if shifted else code_set
        shifted = False
        if value == _FNC1:
            continue
        if current == "C":
            if value < 100:
                text += f"{value:02d}"
            else:
                code_set = "A" if value == _SET_A else "B"
        elif value < 96:
            text += _character(current, value)
        elif value == _SHIFT:
            shifted = True
        elif value == _SET_C:
            code_set = "C"
        elif value == (_SET_B if current == "A" else _SET_A):
            code_set = "B" if current == "A" else "A"
    return text


def _character(code_set: str, value: int) -> str:
    return chr(value - 64) if code_set == "A" and value >= 64 else chr(value + 32)


def _values_of(modules: Sequence[bool]) -> list[int] | None:
    """Return the values of all characters before the stop character."""
    widths = _run_widths(modules)
    if not len(modules) or not modules[0] or len(widths) % 6 != 1 or widths[-7:] != STOP_WIDTHS:
        return None
    body = widths[:-7]
    values = [_VALUE_OF_WIDTHS.get(body[at : at + 6], -1) for at in range(0, len(body), 6)]
    return None if -1 in values else values


def _run_widths(modules: Sequence[bool]) -> str:
    """Return the widths of bars and spaces in turn, '9' for anything wider than a symbol can have."""
    widths, previous = [], None
    for module in modules:
        if module == previous:
            widths[-1] += 1
        else:
            widths.append(1)
        previous = module
    return "".join(str(min(width, 9)) for width in widths)


@cache
def module_table() -> tuple[tuple[bool, ...], ...]:
    """Return the 11 modules of the values 0 to 105, True where a bar is."""
    return tuple(modules_of_widths(widths) for widths in WIDTHS)


def modules_of_widths(widths: str) -> tuple[bool, ...]:
    """Return the modules of bar and space widths, a bar first, True where a bar is."""
    return tuple(
        at % 2 == 0 for at, width in enumerate(widths) for _ in range(int(width))
    )
