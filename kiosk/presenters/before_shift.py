"""What to know of a unit before the shift: what its design takes, where the height stops stand, what to look at after.

The words are the yard's own, on the sheet of the design; heights and the last readings come from sheet and records.
"""

from __future__ import annotations

from collections.abc import Iterator

from kiosk.entities import Component, Finding, Side
from kiosk.language import tr
from kiosk.presenters.helpers import Helpers
from kiosk.presenters.parts import BAD, DUE, GOOD, NEUTRAL, InHandRow
from kiosk.presenters.quantities import show_short
from kiosk.presenters.words import mark, side_text
from kiosk.service_sheet import ComputationSpec, ServiceSheet

_HEIGHTS = "height stop"
_READING = "stop-height"


def before_shift(helpers: Helpers, unit_id: str, findings: tuple[Finding, ...], units: str) -> tuple[InHandRow, ...]:
    """Return what stands on a unit's screen before the shift.

    Args:
        findings: The unit's open findings, the first of which are told here too.
        units: 'in' or 'mm'.
    """
    parts = [(part, helpers.sheets.sheet(part.sheet)) for part in helpers.records.components_of_unit(unit_id)]
    sheets = {sheet.key: sheet for _, sheet in parts}
    takes = tuple(line for sheet in sheets.values() for line in sheet.before_shift.takes)
    on_return = tuple(line for sheet in sheets.values() for line in sheet.before_shift.on_return)
    found = tuple(finding.text for finding in findings[:3])
    rows = (
        InHandRow(tr("What it takes"), takes, mark("", GOOD)),
        *(InHandRow(tr("Height stops"), tuple(_stop_lines(helpers, part, sheet, units)), mark("", NEUTRAL))
          for part, sheet in parts if _heights(sheet) is not None),
        InHandRow(tr("Open findings"), found, mark("", BAD)),
        InHandRow(tr("Look at on return"), on_return, mark("", DUE)),
    )
    return tuple(row for row in rows if row.lines)


def _heights(sheet: ServiceSheet) -> ComputationSpec | None:
    return next((job.computation for job in sheet.jobs
                 if job.computation is not None and job.computation.name == _HEIGHTS), None)


def _stop_lines(helpers: Helpers, part: Component, sheet: ServiceSheet, units: str) -> Iterator[str]:
    """Yield the height for each material, and where the stops stood when they were last measured."""
    spec = _heights(sheet)
    for name, height_mm in (spec.parameters if spec else {}).items():
        material = name.removesuffix("_mm").replace("_", " ")
        height = show_short(float(height_mm), "mm", units)
        yield tr("{height} for {material}").format(height=height, material=tr(material))
    last = {side: helpers.records.series(part.id, _READING, side)[-1:] for side in (Side.LEFT, Side.RIGHT)}
    stand = ", ".join(f"{side_text(side)} {show_short(points[0].value, 'mm', units)}"
                      for side, points in last.items() if points)
    if stand:
        yield tr("Last measured: {stand}").format(stand=stand)
