"""The symbol of a label number, against an outside encoder and against itself."""

import random

import pytest
import zxingcpp

from labels import errors, symbol
from labels.number import Kind, compose


def _outside_modules(text: str) -> tuple[bool, ...]:
    """Return the modules that zxing-cpp draws for `text`."""
    barcode = zxingcpp.create_barcode(text, zxingcpp.BarcodeFormat.Code128)
    row = barcode.to_image(scale=1, add_quiet_zones=False)
    return tuple(bool(value < 128) for value in memoryview(row).tolist()[0])


def _random_numbers(count: int) -> list[str]:
    rng = random.Random(128)
    return [compose(rng.choice(list(Kind)), rng.randrange(100), rng.randrange(1_000_000)).digits
            for _ in range(count)]


def test_symbol_modules__equal_those_of_zxing_cpp():
    """Module for module the same symbol as the outside encoder's."""
    for digits in _random_numbers(300):
        assert symbol.symbol_modules(digits) == _outside_modules(digits)


def test_symbol_modules__are_ninety_and_read_again():
    """Every symbol has 90 modules and our own table reads its number."""
    for digits in _random_numbers(500):
        modules = symbol.symbol_modules(digits)
        assert len(modules) == symbol.LABEL_MODULES == 90
        assert symbol.decode_modules(modules) == digits


@pytest.mark.parametrize("text", ["ELV-0042-SH3", "abc\tDEF", "12345", "A1234567B", "HI345678", "a\x01b\x02~"])
def test_decode_modules__reads_what_zxing_cpp_draws(text):
    """Letters, code-set changes and control characters of an outside encoder are read."""
    assert symbol.decode_modules(_outside_modules(text)) == text


def test_decode_modules__refuses_any_flipped_module():
    """No single wrong module goes unnoticed."""
    modules = symbol.symbol_modules(_random_numbers(1)[0])
    for at in range(len(modules)):
        wrong = (*modules[:at], not modules[at], *modules[at + 1 :])
        assert symbol.decode_modules(wrong) is None


@pytest.mark.parametrize("modules", [(), (True,), (False,) * 90, (True,) * 90])
def test_decode_modules__is_none_for_rubbish(modules):
    """What is no symbol has no text."""
    assert symbol.decode_modules(modules) is None


def test_symbol_modules__refuses_a_wrong_check_digit():
    """A slip of the finger never becomes a label."""
    digits = _random_numbers(1)[0]
    with pytest.raises(errors.WrongCheckDigit):
        symbol.symbol_modules(digits[:-1] + str((int(digits[-1]) + 1) % 10))


def test_symbol_modules__refuses_a_symbol_that_reads_otherwise(monkeypatch):
    """When the library draws another symbol nothing is handed on."""
    class Dropping:
        def __init__(self, digits):
            self.digits = digits

        def build(self):
            from barcode.codex import Code128
            return Code128(self.digits[2:]).build()

    monkeypatch.setattr(symbol, "Code128", Dropping)
    with pytest.raises(errors.WrongSymbol):
        symbol.symbol_modules(_random_numbers(1)[0])


def test_widths__are_106_different_characters_of_eleven_modules():
    """Every character has eleven modules and an even number of them in bars, as the standard says."""
    assert len(set(symbol.WIDTHS)) == 106
    for widths in symbol.WIDTHS:
        assert sum(map(int, widths)) == 11
        assert sum(map(int, widths[::2])) % 2 == 0
