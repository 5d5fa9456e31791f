"""Service sheets: TOML files of the shop's folder, checked, as frozen dataclasses."""

from kiosk.sheets.catalogue import SheetShelf
from kiosk.sheets.load import SheetErrors, load_sheet, parse_sheet

__all__ = ["SheetErrors", "SheetShelf", "load_sheet", "parse_sheet"]
