"""Figures of a belt on two rollers: length and wrap, growth and travel, speed and grip, and how this machine steers."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from kiosk.calc import belt, splice, temperature
from kiosk.language import number, tr
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
    yield row(tr("{term} at which the belt is taut").format(term=term("centre_distance")), context.length(centre_mm),
              sure=tr("for {length_mm} of belt; ± 1 mm of belt is ± 1/2 mm here").format(
                       length_mm=context.length(loop.length_mm)),
              source=tr("exact geometry on the belt's neutral line"))
    yield row(tr("{term}, three ways").format(term=term("loop_length")), context.length(loop.length_mm),
              sure=tr("handbook form {approximate_length_mm}, shop rule {rule_mm}").format(
                       approximate_length_mm=context.length(loop.approximate_length_mm),
                       rule_mm=context.length(rule_mm)),
              source=tr("trigonometry; handbooks; published shop rule 2C + 1.6(D + d)"),
              note=tr("The exact one is used for cutting. The shop rule is for checking a tape: it leaves out the "
                      "belt's thickness and comes out short."))
    yield row(tr("{term} on both rollers").format(term=term("wrap")),
              tr("{wrap_small_degrees}° and {wrap_large_degrees}°").format(
                                                     wrap_small_degrees=number(loop.wrap_small_degrees, ".1f"),
                                                     wrap_large_degrees=number(loop.wrap_large_degrees, ".1f")),
              source="trigonometry")
    celsius = parameters.get("temperature_celsius")
    if celsius is not None:
        true_mm = temperature.length_at_20_mm(length_mm, float(celsius), temperature.EXPANSION_PER_KELVIN["belting"],
                                              temperature.EXPANSION_PER_KELVIN["steel"])
        yield row(tr("Belt measured at {float} °C, at 20 °C").format(
                      float=number(float(celsius), "g")), context.length(true_mm),
                  sure=tr("belting's expansion is from memory and differs by make"), source=tr("ISO 1, steel tape on "
                                                                                           "the belt"),
                  note=tr("A belt measured in the cold is longer in the yard's warmth; cut by the length at 20 °C."))


def _growth(parameters: Mapping[str, Any], context: FigureContext) -> Iterator[FigureRow]:
    growth_mm, travel_mm = float(parameters["growth_mm"]), float(parameters["takeup_travel_out_mm"])
    reserve = belt.growth_reserve(growth_mm, travel_mm)
    yield row(tr("{term} to come").format(term=term("growth")), context.length(growth_mm),
              sure=tr("takes {takeup_travel_for_growth_mm} of the take-ups").format(
                       takeup_travel_for_growth_mm=context.length(belt.takeup_travel_for_growth_mm(growth_mm))),
              limit=tr("{travel_mm} to go outward: {what}").format(
                        travel_mm=context.length(travel_mm),
                        what=tr("enough") if reserve.is_enough else tr("too little")),
              source=tr("two equal strands; expected growth: the sheet"))
    yield row(tr("Belt that this travel stands for"), context.length(belt.growth_from_takeup_travel_mm(travel_mm)),
              source=tr("two equal strands"))


def _cutting(parameters: Mapping[str, Any], context: FigureContext) -> Iterator[FigureRow]:
    """Return what a damaged length would cost: what must come out, or the piece that replaces it."""
    damaged = parameters.get("damaged_mm")
    if damaged is None:
        return
    length_mm, pitch_mm = float(parameters["belt_length_mm"]), float(parameters["cleat_pitch_mm"])
    cut = splice.whole_pitch_cut(length_mm, pitch_mm, float(damaged))
    piece = splice.insert_piece(float(damaged), pitch_mm, float(parameters["min_splice_spacing_mm"]))
    yield row(tr("If {float} is damaged: cut and close up").format(float=context.length(float(damaged))),
              tr("{removed_mm} out, {pitches_after} cleats left").format(
                  removed_mm=context.length(cut.removed_mm), pitches_after=cut.pitches_after),
              sure=tr("rollers come together by {centre_change_mm}").format(
                       centre_change_mm=context.length(abs(cut.centre_change_mm))),
              source=tr("plain geometry: whole cleat pitches only"))
    yield row(tr("The same: put a piece in"), tr("{length_mm}, {pitches} cleat pitches").format(
                                              length_mm=context.length(piece.length_mm), pitches=piece.pitches),
              limit=tr("joints at least {float} apart").format(
                        float=context.length(float(parameters["min_splice_spacing_mm"]))),
              source=tr("common practice, no source"))


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
    yield row(tr("Speed of the belt"), tr("{belt_speed_m_per_s} m/s, {belt_rpm} revolutions a minute").format(
                                       belt_speed_m_per_s=number(run.belt_speed_m_per_s, ".2f"),
                                       belt_rpm=number(run.belt_rpm, ".1f")),
              sure=tr("no slip counted"), source=tr("roller at {rpm} r/min from {engine} engine r/min").format(
                                                 rpm=number(rpm, ".0f"), engine=number(engine, ".0f")))
    yield row(tr("Run-in for {revolutions} revolutions").format(
                  revolutions=number(revolutions, ".0f")), tr("{duration_minutes} minutes").format(
                                                               duration_minutes=number(run.duration_minutes, ".0f")),
              sure=tr("by the trade's figure {custom} minutes; in 15 minutes it makes {quarter} revolutions").format(
                       custom=number(custom, ".0f"), quarter=number(quarter, ".0f")),
              source=tr("belt length and ratio; 150 revolutions in 15 minutes at 1500 engine r/min: common practice"),
              note=tr("Both are kept. The form counts by this machine's own length and ratio; the trade's figure is "
                      "for machines where they are not known."))


def _grip(parameters: Mapping[str, Any]) -> Iterator[FigureRow]:
    wrap = float(parameters["wrap_degrees"])
    dry, wet = (belt.grip_ratio(float(parameters[key]), wrap) for key in ("friction_coefficient", "friction_wet"))
    yield row(tr("Grip of the drive roller"),
              tr("tight strand up to {dry} times the slack one, wet {wet} times").format(
                                              dry=number(dry, ".1f"), wet=number(wet, ".1f")),
              sure=tr("friction is from memory and falls with dirt and a worn lagging"),
              limit=tr("beyond it the belt slips"), source=tr("Euler and Eytelwein"),
              note=tr("Wet slip is cured by cleaning and lagging first; more tension is paid for by splice and "
                      "bearings."))


def _sag(parameters: Mapping[str, Any], context: FigureContext) -> FigureRow:
    sag = belt.sag_between_supports(float(parameters["belt_mass_kg_per_m"]), float(parameters["support_spacing_mm"]),
                                    float(parameters["tension_newton"]))
    return row(tr("Sag of the belt between supports"), f"{context.length(sag.sag_mm)}, {sag.sag_percent:.1f} %",
               limit=tr("0.5 to 2 % is usual"), source=tr("parabola; ISO 5048 and DIN 22101, from memory"))


def steering_figures(parameters: Mapping[str, Any], context: FigureContext) -> tuple[FigureRow, ...]:
    """Return what one turn of a take-up does here; loads numpy, as the tracking form does."""
    from kiosk.calc.steering import TrackGeometry, expected_gain_mm, learned_gain
    from kiosk.presenters.advice.tracking_advice import logged_moves

    geometry = TrackGeometry(float(parameters["bearing_spacing_mm"]), float(parameters["roller_diameter_mm"]),
                             float(parameters["takeup_thread_pitch_mm"]), float(parameters["wrap_degrees"]))
    moves = logged_moves(context.helpers.records.component_history(context.component.id, limit=200))
    gain = learned_gain(moves, geometry)
    doubtful = tr("{count} logs do not fit and were left out. ").format(
                   count=len(gain.doubtful_moves)) if gain.doubtful_moves else ""
    return (row(tr("What one turn of a take-up moves the edge"), context.length(gain.mm_per_turn),
                sure=tr("± {uncertainty_mm_per_turn} mm, from {moves_used} adjustments of this belt; chance that it "
                        "steers the other way {reversed_chance}").format(
                         uncertainty_mm_per_turn=number(2 * gain.uncertainty_mm_per_turn, ".1f"),
                         moves_used=gain.moves_used, reversed_chance=number(gain.reversed_chance, ".0%")),
                limit=tr("geometry alone would say {expected_gain_mm}").format(
                          expected_gain_mm=context.length(expected_gain_mm(geometry))),
                source=tr("learned from its own records, geometry as a start"),
                note=tr("{doubtful}The tracking form goes by the learned figure.").format(doubtful=doubtful)),)
