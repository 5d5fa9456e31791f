"""Figures of a bolted joint: torque by grade and lubrication, passes in order, how far the preload may be off."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from kiosk.calc import fasteners, sequence, tightening
from kiosk.language import number, tr
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
        row(tr("Bolts {thread}, {grade}, {lubrication}").format(
                thread=bolt.thread, grade=bolt.grade,
                lubrication=bolt.lubrication), f"{bolt.torque_newton_metre:.0f} N·m",
            sure=tr("± {torque_newton_metre} N·m of the wrench").format(
                     torque_newton_metre=number(2 * doubt.torque_newton_metre, ".1f")),
            source=bolt.source, note=bolt.caution,
            limit=tr("{basis}; the plates' own figure on the sheet comes first").format(basis=bolt.basis)),
        row(tr("Clamping force of one bolt"), newton(bolt.preload_newton),
            sure=tr("{newton} to {newton_2}, ± {expanded_percent} %").format(
                     newton=newton(bolt.preload_low_newton), newton_2=newton(bolt.preload_high_newton),
                     expanded_percent=number(doubt.expanded_percent, ".0f")),
            source=tr("nut factor and wrench as rectangular distributions, JCGM 100")),
        row(tr("Order from the centre outward"), order, limit=tr("passes of ") + ", ".join(
            f"{one.torque_newton_metre:.0f}" for one in passes) + " N·m",
            source=tr("published rule for bolts in a row; of a belt joint: common practice, no source")),
    )
