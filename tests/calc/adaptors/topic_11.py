"""How the checks of topic 11, labels, are computed with our functions."""

from collections.abc import Callable

import zxingcpp
from stdnum.iso7064 import mod_37_36, mod_97_10

from labels import grade, number, symbol


def _code128_check(inputs: dict) -> dict:
    values = inputs["symbol_values"]
    modules = symbol.module_count(len(values) - 1)
    assert symbol.text_of_values(values) == inputs["text"]
    return {
        "check": symbol.check_value(values),
        "modules_without_quiet": modules,
        "modules_with_quiet": modules + 2 * symbol.QUIET_MODULES,
    }


def _roundtrip_width(inputs: dict) -> dict:
    """An outside encoder draws, our table reads."""
    barcode = zxingcpp.create_barcode(inputs["text"], zxingcpp.BarcodeFormat.Code128)
    row = memoryview(barcode.to_image(scale=1, add_quiet_zones=False)).tolist()[0]
    modules = [value < 128 for value in row]
    return {"modules_without_quiet": len(modules), "decoded": symbol.decode_modules(modules)}


def _symbol_size(inputs: dict) -> dict:
    size = symbol.symbol_size(inputs["symbol_characters"], inputs["X_mm"])
    return {
        "width_mm": size.width_mm,
        "with_quiet_mm": size.width_with_quiet_mm,
        "quiet_each_mm": size.quiet_mm,
        "min_height_mm": size.least_height_mm,
    }


def _grade(inputs: dict) -> dict:
    return {"grade": grade.parameter_grade(inputs["parameter"], inputs["percent"])}


def _scan_grade(inputs: dict) -> dict:
    return {"scan_grade": grade.scan_grade(inputs["grades"]).grade}


def _symbol_grade(inputs: dict) -> dict:
    return {"symbol_grade": grade.symbol_grade(inputs["scan_grades"])}


def _contrast_modulation(inputs: dict) -> dict:
    contrast = grade.symbol_contrast_percent(inputs["Rmax_pct"], inputs["Rmin_pct"])
    return {
        "SC_pct": contrast,
        "MOD_pct": grade.modulation_percent(inputs["EC_min_pct"], contrast),
        "rmin_ok": grade.is_dark_enough(inputs["Rmax_pct"], inputs["Rmin_pct"]),
    }


def _mod_11_10(inputs: dict) -> dict:
    return {"check": number.check_digit(inputs["digits"])}


def _mod_11_10_detects(inputs: dict) -> dict:
    assert number.has_right_check_digit(inputs["good"])
    return {"bad_valid": number.has_right_check_digit(inputs["bad"])}


# Labels use MOD 11,10 only; the other two systems are computed by the same library and checked beside it.
def _mod_97_10(inputs: dict) -> dict:
    return {"check": mod_97_10.calc_check_digits(inputs["digits"])}


def _mod_37_36(inputs: dict) -> dict:
    return {"check": mod_37_36.calc_check_digit(inputs["chars"])}


ADAPTORS: dict[str, Callable[[dict], dict]] = {
    "code128_check": _code128_check,
    "roundtrip_width": _roundtrip_width,
    "symbol_size": _symbol_size,
    "grade_15416_2000": _grade,
    "scan_grade": _scan_grade,
    "symbol_grade": _symbol_grade,
    "contrast_modulation": _contrast_modulation,
    "mod_11_10": _mod_11_10,
    "mod_11_10_detects": _mod_11_10_detects,
    "mod_97_10": _mod_97_10,
    "mod_37_36": _mod_37_36,
}
