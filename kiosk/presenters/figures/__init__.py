"""A part's figures: what its sheet lets the kiosk work out of it, each with how sure it is and where it comes from.

One function for every name of `kiosk.calc.computations.FIGURES`. It takes half a second where life data are fitted,
so a screen asks for it only when the page is opened. What cannot be worked out says so in its own row.
"""

from __future__ import annotations

from collections.abc import Mapping

from kiosk.calc.computations import FIGURES
from kiosk.errors import KioskError
from kiosk.language import tr
from kiosk.presenters.advice import effective_parameters
from kiosk.presenters.figures.bearing_figures import grease_figures, load_figures
from kiosk.presenters.figures.belt_figures import drive_figures, roller_figures, steering_figures
from kiosk.presenters.figures.bolt_figures import joint_figures
from kiosk.presenters.figures.chain_figures import chain_figures
from kiosk.presenters.figures.core import FigureContext, Maker
from kiosk.presenters.figures.life_figures import life_figures
from kiosk.presenters.figures.reading_figures import reading_figures, setting_figures
from kiosk.presenters.figures.wear_figures import usage_figures, wear_figures
from kiosk.presenters.helpers import Helpers, Part
from kiosk.presenters.parts import FigureRow
from kiosk.service_sheet import ComputationSpec

__all__ = ["MAKERS", "figures_of_part"]

MAKERS: Mapping[str, Maker] = {
    "how sure a reading is": reading_figures,
    "how it wears": wear_figures,
    "how well it is set": setting_figures,
    "life of parts": life_figures,
    "chain drive": chain_figures,
    "belt on two rollers": roller_figures,
    "belt drive": drive_figures,
    "belt steering": steering_figures,
    "bearing under load": load_figures,
    "grease in the bearing": grease_figures,
    "bolted joint": joint_figures,
    "hours of the unit": usage_figures,
}


def figures_of_part(helpers: Helpers, part: Part, units: str, group: str = "") -> tuple[FigureRow, ...]:
    """Return the figures that the part's sheet names, in the sheet's order; one that cannot be worked out says so.

    Args:
        helpers: Records and the working day.
        part: The part.
        units: 'in' or 'mm', for the texts.
        group: Only the figures of this name; '' for all.
    """
    context = FigureContext(helpers, part, units)
    return tuple(row for spec in part.sheet.figures if group in ("", spec.name) for row in _rows(spec, context))


def _rows(spec: ComputationSpec, context: FigureContext) -> tuple[FigureRow, ...]:
    try:
        return MAKERS[spec.name](effective_parameters(spec, context.component, FIGURES), context)
    except KioskError as error:
        return (FigureRow(tr(spec.name).capitalize(), tr("not for this part"), note=error.operator_message),)
    except KeyError as error:
        return (
            FigureRow(
                tr(spec.name).capitalize(),
                tr("not known"),
                note=tr("The sheet does not say {error}. Tell the supervisor.").format(error=error),
            ),
        )
