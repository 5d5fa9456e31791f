"""From a sheet's computation by name to advice in the trade's words: which take-up, which way, how many turns.

One function for every name of `kiosk.calc.computations`; it works on the readings that the catalogue names. A part's
own properties go before the sheet's parameters of the same name.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from kiosk.calc.computations import COMPUTATIONS, Computation
from kiosk.entities import Component
from kiosk.errors import KioskError, OutOfRange
from kiosk.language import tr
from kiosk.presenters.advice.bearing_advice import grease_advice, life_advice
from kiosk.presenters.advice.belt_advice import height_advice
from kiosk.presenters.advice.chain_advice import loop_advice, sag_advice, wear_advice
from kiosk.presenters.advice.core import STOP, Advice, AdviceContext, Adviser, Readings, line
from kiosk.presenters.advice.fixing_advice import fixing_advice, gun_advice
from kiosk.presenters.advice.frame_advice import (
    alignment_advice,
    reserve_advice,
    run_out_advice,
    square_advice,
    strain_advice,
)
from kiosk.presenters.advice.setting_advice import flight_advice, offset_advice, stop_advice
from kiosk.presenters.advice.splice_advice import splice_advice
from kiosk.service_sheet import ComputationSpec

__all__ = ["ADVISERS", "Advice", "AdviceContext", "advise", "effective_parameters"]


def _tracking_advice(parameters: Mapping[str, Any], readings: Readings, context: AdviceContext) -> Advice:
    """Return the tracking advice; loaded only now, as numpy takes a tenth of a second and no other screen needs it."""
    from kiosk.presenters.advice.tracking_advice import tracking_advice

    return tracking_advice(parameters, readings, context)


ADVISERS: Mapping[str, Adviser] = {
    "take-up for sag": sag_advice,
    "chain wear": wear_advice,
    "loop balance": loop_advice,
    "flight clearance": flight_advice,
    "belt height": height_advice,
    "belt tracking": _tracking_advice,
    "splice plan": splice_advice,
    "roller offset": offset_advice,
    "height stop": stop_advice,
    "bearing grease": grease_advice,
    "bearing life": life_advice,
    "bearing fixing": fixing_advice,
    "gun weighing": gun_advice,
    "sprocket alignment": alignment_advice,
    "shaft run-out": run_out_advice,
    "frame square": square_advice,
    "belt strain": strain_advice,
    "take-up reserve": reserve_advice,
}


def effective_parameters(spec: ComputationSpec, component: Component,
                         catalogue: Mapping[str, Computation] = COMPUTATIONS) -> dict[str, Any]:
    """Return a computation's parameters, the part's own properties over the sheet's where both have one."""
    known = catalogue[spec.name]
    own = {name: value for name, value in component.properties.items()
           if name in known.parameters or name in known.optional}
    return {**spec.parameters, **own}


def advise(readings: Readings, context: AdviceContext) -> Advice:
    """Return the advice on a job from the readings that have a value; a refusal of the computation becomes a line."""
    spec = context.job.computation
    if spec is None:
        return Advice()
    read = tuple(reading for reading in readings if reading.value is not None)
    try:
        return ADVISERS[spec.name](effective_parameters(spec, context.component), read, context)
    except OutOfRange as error:
        return Advice((line(STOP, _impossible(error, context)),))
    except KioskError as error:
        return Advice((line(STOP, error.operator_message),))
    except KeyError as error:
        return Advice((line(STOP, tr("No advice: the sheet does not say {error}. Tell the supervisor.").format(
                                      error=error)),))


def _impossible(error: OutOfRange, context: AdviceContext) -> str:
    """Return a refused value as a sentence in the person's units, with what to do."""

    def shown(value: float) -> str:
        return context.length(value) if error.unit == "mm" else f"{value:.4g} {error.unit}".strip()

    name = error.name.removesuffix(f"_{error.unit}").replace("_", " ")
    given = tr(" of {error}").format(error=shown(error.value)) if isinstance(error.value, (int, float)) else ""
    bounds = [f"{word} {shown(bound)}" for word, bound in ((tr("not below"), error.low), (tr("not above"), error.high))
              if bound is not None]
    limits = tr(" It lies {bounds}.").format(bounds=", ".join(bounds)) if bounds else ""
    return tr("No advice: {name}{given} cannot be.{limits} Check what was typed, or tell the supervisor.").format(
               name=name, given=given, limits=limits)
