"""Figures of a belt on two rollers: length and wrap, growth and travel, speed and grip, and how this machine steers."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from kiosk.calc import belt, splice, temperature
from kiosk.presenters.figures.core import FigureContext, row, term
from kiosk.presenters.parts import FigureRow


def roller_figures(parameters: Mapping[str, Any], context: FigureContext) -> tuple[FigureRow, ...]:
    """Return centre distance and wrap, what growth takes of the take-ups, and what a cut would take."""
    return (*_geometry(parameters, context), *_growth(parameters, context), *_cutting(parameters, context))


def _geometry(parameters: Mapping[str, Any], context: FigureContext) -> Iterator[FigureRow]:
    length_mm, upper, lower = (float(parameters[key]) for key in ("belt_length_mm", "upper_roller_diameter_mm",
                                                                 "lower_roller_diameter_mm"))
    thick = float(parameters["belt_thickness_mm"])
    centre_mm = belt.centre_distance_from_length_mm(length_mm, upper, lower, thick)
    loop = belt.belt_loop(centre_mm, upper, lower, thick)
    rule_mm = belt.shop_rule_belt_length_mm(centre_mm, upper, lower)
    yield row(f"{term('centre_distance')} at which the belt is taut", context.length(centre_mm),
              sure=f"for {context.length(loop.length_mm)} of belt; ± 1 mm of belt is ± 1/2 mm here",
              source="exact geometry on the belt's neutral line")
    yield row(f"{term('loop_length')}, three ways", context.length(loop.length_mm),
              sure=f"handbook form {context.length(loop.approximate_length_mm)}, shop rule {context.length(rule_mm)}",
              source="trigonometry; handbooks; published shop rule 2C + 1.6(D + d)",
              note="The exact one is used for cutting. The shop rule is for checking a tape: it leaves out the belt's "
                   "thickness and comes out short.")
    yield row(f"{term('wrap')} on both rollers", f"{loop.wrap_small_degrees:.1f}° and {loop.wrap_large_degrees:.1f}°",
              source="trigonometry")
    celsius = parameters.get("temperature_celsius")
    if celsius is not None:
        true_mm = temperature.length_at_20_mm(length_mm, float(celsius), temperature.EXPANSION_PER_KELVIN["belting"],
                                              temperature.EXPANSION_PER_KELVIN["steel"])
        yield row(f"Belt measured at {float(celsius):g} °C, at 20 °C", context.length(true_mm),
                  sure="belting's expansion is from memory and differs by make", source="ISO 1, steel tape on the belt",
                  note="A belt measured in the cold is longer in the yard's warmth; cut by the length at 20 °C.")


def _growth(parameters: Mapping[str, Any], context: FigureContext) -> Iterator[FigureRow]:
    growth_mm, travel_mm = float(parameters["growth_mm"]), float(parameters["takeup_travel_out_mm"])
    reserve = belt.growth_reserve(growth_mm, travel_mm)
    yield row(f"{term('growth')} to come", context.length(growth_mm),
              sure=f"takes {context.length(belt.takeup_travel_for_growth_mm(growth_mm))} of the take-ups",
              limit=f"{context.length(travel_mm)} to go outward: {'enough' if reserve.is_enough else 'too little'}",
              source="two equal strands; expected growth: the sheet")
    yield row("Belt that this travel stands for", context.length(belt.growth_from_takeup_travel_mm(travel_mm)),
              source="two equal strands")


def _cutting(parameters: Mapping[str, Any], context: FigureContext) -> Iterator[FigureRow]:
    """Return what a damaged length would cost: what must come out, or the piece that replaces it."""
    damaged = parameters.get("damaged_mm")
    if damaged is None:
        return
    length_mm, pitch_mm = float(parameters["belt_length_mm"]), float(parameters["cleat_pitch_mm"])
    cut = splice.whole_pitch_cut(length_mm, pitch_mm, float(damaged))
    piece = splice.insert_piece(float(damaged), pitch_mm, float(parameters["min_splice_spacing_mm"]))
    yield row(f"If {context.length(float(damaged))} is damaged: cut and close up",
              f"{context.length(cut.removed_mm)} out, {cut.pitches_after} cleats left",
              sure=f"rollers come together by {context.length(abs(cut.centre_change_mm))}",
              source="plain geometry: whole cleat pitches only")
    yield row("The same: put a piece in", f"{context.length(piece.length_mm)}, {piece.pitches} cleat pitches",
              limit=f"joints at least {context.length(float(parameters['min_splice_spacing_mm']))} apart",
              source="common practice, no source")


def drive_figures(parameters: Mapping[str, Any], context: FigureContext) -> tuple[FigureRow, ...]:
    """Return speed and run-in time by both ways, grip dry and wet, and the belt's sag between supports."""
    return (*_running(parameters), *_grip(parameters), _sag(parameters, context))


def _running(parameters: Mapping[str, Any]) -> Iterator[FigureRow]:
    engine, revolutions = float(parameters["engine_rpm"]), float(parameters["settle_revolutions"])
    length_mm, roller_mm = float(parameters["belt_length_mm"]), float(parameters["drive_roller_diameter_mm"])
    rpm = belt.roller_speed_rpm(engine, float(parameters["engine_to_roller_ratio"]))
    run = belt.run_in(revolutions, length_mm, roller_mm, rpm)
    custom = belt.settling_time_minutes(engine, revolutions)
    quarter = belt.revolutions_run(belt.settling_time_minutes(), length_mm, roller_mm, rpm)
    yield row("Speed of the belt", f"{run.belt_speed_m_per_s:.2f} m/s, {run.belt_rpm:.1f} revolutions a minute",
              sure="no slip counted", source=f"roller at {rpm:.0f} r/min from {engine:.0f} engine r/min")
    yield row(f"Run-in for {revolutions:.0f} revolutions", f"{run.duration_minutes:.0f} minutes",
              sure=f"by the trade's figure {custom:.0f} minutes; in 15 minutes it makes {quarter:.0f} revolutions",
              source="belt length and ratio; 150 revolutions in 15 minutes at 1500 engine r/min: common practice",
              note="Both are kept. The form counts by this machine's own length and ratio; the trade's figure is for "
                   "machines where they are not known.")


def _grip(parameters: Mapping[str, Any]) -> Iterator[FigureRow]:
    wrap = float(parameters["wrap_degrees"])
    dry, wet = (belt.grip_ratio(float(parameters[key]), wrap) for key in ("friction_coefficient", "friction_wet"))
    yield row("Grip of the drive roller", f"tight strand up to {dry:.1f} times the slack one, wet {wet:.1f} times",
              sure="friction is from memory and falls with dirt and a worn lagging",
              limit="beyond it the belt slips", source="Euler and Eytelwein",
              note="Wet slip is cured by cleaning and lagging first; more tension is paid for by splice and bearings.")


def _sag(parameters: Mapping[str, Any], context: FigureContext) -> FigureRow:
    sag = belt.sag_between_supports(float(parameters["belt_mass_kg_per_m"]), float(parameters["support_spacing_mm"]),
                                    float(parameters["tension_newton"]))
    return row("Sag of the belt between supports", f"{context.length(sag.sag_mm)}, {sag.sag_percent:.1f} %",
               limit="0.5 to 2 % is usual", source="parabola; ISO 5048 and DIN 22101, from memory")


def steering_figures(parameters: Mapping[str, Any], context: FigureContext) -> tuple[FigureRow, ...]:
    """Return what one turn of a take-up does here; loads numpy, as the tracking form does."""
    from kiosk.calc.steering import TrackGeometry, expected_gain_mm, learned_gain
    from kiosk.presenters.advice.tracking_advice import logged_moves

    geometry = TrackGeometry(float(parameters["bearing_spacing_mm"]), float(parameters["roller_diameter_mm"]),
                             float(parameters["takeup_thread_pitch_mm"]), float(parameters["wrap_degrees"]))
    moves = logged_moves(context.helpers.records.component_history(context.component.id, limit=200))
    gain = learned_gain(moves, geometry)
    doubtful = f"{len(gain.doubtful_moves)} logs do not fit and were left out. " if gain.doubtful_moves else ""
    return (row("What one turn of a take-up moves the edge", context.length(gain.mm_per_turn),
                sure=f"± {2 * gain.uncertainty_mm_per_turn:.1f} mm, from {gain.moves_used} adjustments of this belt; "
                     f"chance that it steers the other way {gain.reversed_chance:.0%}",
                limit=f"geometry alone would say {context.length(expected_gain_mm(geometry))}",
                source="learned from its own records, geometry as a start",
                note=f"{doubtful}The tracking form goes by the learned figure."),)
