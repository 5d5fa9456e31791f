"""Figures of a bolted joint: torque by grade and lubrication, passes in order, how far the preload may be off."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from kiosk.calc import fasteners, sequence, tightening
from kiosk.presenters.figures.core import FigureContext, newton, row
from kiosk.presenters.parts import FigureRow


def joint_figures(parameters: Mapping[str, Any], context: FigureContext) -> tuple[FigureRow, ...]:
    """Return torque, passes from the centre outward, and the preload's doubt."""
    bolt = fasteners.bolt_torque(str(parameters["thread"]), str(parameters["grade"]), str(parameters["lubrication"]))
    doubt = fasteners.preload_uncertainty(bolt.torque_newton_metre, float(parameters["tool_percent"]),
                                          float(parameters["nut_factor_spread_percent"]))
    passes = sequence.tightening_passes(sequence.centre_out_order(int(parameters["bolts"])),
                                        tightening.pass_torques_newton_metre(bolt.torque_newton_metre))
    order = " ".join(str(number) for number in passes[0].order)
    return (
        row(f"Bolts {bolt.thread}, {bolt.grade}, {bolt.lubrication}", f"{bolt.torque_newton_metre:.0f} N·m",
            sure=f"± {2 * doubt.torque_newton_metre:.1f} N·m of the wrench", source=bolt.source, note=bolt.caution,
            limit=f"{bolt.basis}; the plates' own figure on the sheet comes first"),
        row("Clamping force of one bolt", newton(bolt.preload_newton),
            sure=f"{newton(bolt.preload_low_newton)} to {newton(bolt.preload_high_newton)}, "
                 f"± {doubt.expanded_percent:.0f} %",
            source="nut factor and wrench as rectangular distributions, JCGM 100"),
        row("Order from the centre outward", order, limit="passes of " + ", ".join(
            f"{one.torque_newton_metre:.0f}" for one in passes) + " N·m",
            source="published rule for bolts in a row; of a belt joint: common practice, no source"),
    )
