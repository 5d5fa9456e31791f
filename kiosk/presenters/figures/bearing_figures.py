"""Figures of a shaft's insert bearing: its load, its life as a ceiling, its speed limit, and the grease in it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from kiosk.calc import bearing_life, bearing_load, grease, grease_interval, grease_kind
from kiosk.calc.insert_bearing import InsertBearing, insert_bearing, set_screw, speed_limit_rpm
from kiosk.calc.terms import TERMS
from kiosk.language import N_, number, tr
from kiosk.presenters.advice.bearing_advice import GEOMETRY_FACTOR, life_words
from kiosk.presenters.figures.core import FigureContext, hours, newton, row, term
from kiosk.presenters.parts import FigureRow

_TWO_BEARINGS = 2
EDITION_CHOICE = (N_("Two editions are in print. ISO 281:2007 is in force and is used; the older tables stand "
                     "beside it because handbooks still print them."))


def load_figures(parameters: Mapping[str, Any], context: FigureContext) -> tuple[FigureRow, ...]:
    """Return load from the drive's pull, life by both editions, static safety, and the speed limit."""
    bearing = insert_bearing(str(parameters["bearing"]))
    pulls, reactions = _pull(parameters)
    radial = max(abs(reactions.at_a_newton), abs(reactions.at_b_newton))
    return (*_load_rows(parameters, pulls, reactions), *_life_rows(parameters, bearing, radial, context),
            *_limits(parameters, bearing, radial))


def _pull(parameters: Mapping[str, Any]) -> tuple[tuple[float, float], bearing_load.Reactions]:
    """Return the drive's pull by the least and the largest factor, and what the larger puts on both bearings. [N]"""
    low, high = (
        bearing_load.drive_pull_newton(float(parameters["power_kilowatt"]), float(parameters["pitch_diameter_mm"]),
                                       float(parameters["rpm"]), float(parameters["shock_factor"]), factor)
        for factor in bearing_load.drive_factors(str(parameters["drive"])))
    reactions = bearing_load.two_bearing_reactions([high], [float(parameters["load_place_mm"])],
                                                   float(parameters["bearing_spacing_mm"]))
    return (low, high), reactions


def _load_rows(parameters: Mapping[str, Any], pulls: tuple[float, float], reactions: bearing_load.Reactions
               ) -> Iterator[FigureRow]:
    yield row(
        tr("Pull of the {parameters} on the shaft").format(parameters=parameters["drive"]),
        tr("{newton} to {newton_2}").format(newton=newton(pulls[0]), newton_2=newton(pulls[1])),
        sure=tr("the printed factor is a range; the larger is carried on"),
        limit="",
        source=tr("mounted-unit makers' catalogue, load factors"),
    )
    overhung = "" if reactions.lifted == "" else tr("Overhung: the load lifts bearing {lifted}. ").format(
                                                     lifted=reactions.lifted)
    yield row(
        tr("{term} on the two bearings").format(term=term("radial_load")),
        tr("{newton} and {newton_2}").format(
            newton=newton(reactions.at_a_newton), newton_2=newton(reactions.at_b_newton)
        ),
        source=tr("moments about a bearing"),
        note=tr("{overhung}The larger one is carried on.").format(overhung=overhung),
    )


def _life_rows(parameters: Mapping[str, Any], bearing: InsertBearing, radial: float, context: FigureContext
               ) -> Iterator[FigureRow]:
    rpm, axial = float(parameters["rpm"]), float(parameters.get("axial_load_newton", 0.0))
    load = bearing_load.equivalent_load(radial, axial, bearing.static_rating_newton, GEOMETRY_FACTOR)
    idle = float(parameters["idle_share"])
    mean = bearing_load.mean_equivalent_load_newton([load.load_newton, radial / 4], [rpm, rpm], [1 - idle, idle])
    percent = float(parameters.get("reliability_percent", 95.0))
    lives = [bearing_life.rating_life(bearing.dynamic_rating_newton, mean, rpm, percent, edition=edition)
             for edition in (bearing_life.ISO_281_2007, bearing_life.OLDER_TABLES)]
    factors = [bearing_life.life_factor(percent, life.edition).factor for life in lives]
    yield row(f"{term('equivalent_load')}, mean", newton(mean),
              sure=tr("{idle} of the time idling at a quarter of the load").format(
                       idle=number(idle, ".0%")), source=f"{load.source}; formula (5.10)")
    yield row(f"{term('life')}, {bearing.designation}", tr("{life_words} at 90 %").format(
                                                            life_words=life_words(lives[0].basic_hours)),
              sure=tr("{life_words} at {percent} %").format(
                       life_words=life_words(lives[0].hours), percent=number(percent, "g")), note=lives[0].caution,
              limit=_wanted(parameters, mean, rpm, bearing), source=f"{lives[0].source}; {bearing.source}")
    yield row(
        tr("Life at {percent} %, both editions").format(percent=number(percent, "g")),
        tr("{life_words}; by the older tables {life_words_2}").format(
            life_words=life_words(lives[0].hours), life_words_2=life_words(lives[1].hours)
        ),
        sure=tr("factor a1 {factors} and {factors_2}").format(
            factors=number(factors[0], "g"), factors_2=number(factors[1], "g")
        ),
        source=f"{lives[0].source}; {lives[1].source}",
        note=tr(EDITION_CHOICE),
    )
    pair = bearing_life.system_life_hours([lives[0].basic_hours] * _TWO_BEARINGS)
    yield row(tr("Until the first of the shaft's two fails"), life_words(pair), sure=tr("90 %, both loaded alike"),
              source=tr("independent Weibull lives"))
    run = _run_hours(context)
    if run is not None:
        millions = 60 * rpm * max(run, 1.0) / 1e6
        chance = bearing_life.reliability_of_rating(mean, millions, bearing.dynamic_rating_newton)
        yield row(
            tr("Share of such bearings that outlive its hours so far"),
            f"{chance:.1%}",
            sure=tr("{hours} run; by fatigue alone").format(hours=hours(run)),
            source=tr("three-parameter Weibull form, design textbook"),
            note=tr("Dirt, water and greasing end bearings here long before; see how long they last at this place."),
        )


def _wanted(parameters: Mapping[str, Any], load: float, rpm: float, bearing: InsertBearing) -> str:
    """Return the usual design life, and the rating that it asks for at 90 and 99 %. [N]"""
    low, high = bearing_life.design_life_hours(str(parameters["design_service"]))
    needed = bearing_life.required_rating_newton(load, high, rpm)
    surer = bearing_life.rating_for_reliability_newton(load, 60 * rpm * high / 1e6, 0.99)
    return (tr("{parameters}: {hours} to {hours_2}, for which {newton} of rating are needed, {newton_2} for 99 %; "
               "it has {newton_3}").format(
                parameters=parameters["design_service"], hours=hours(low), hours_2=hours(high), newton=newton(needed),
                newton_2=newton(surer), newton_3=newton(bearing.dynamic_rating_newton)))


def _run_hours(context: FigureContext) -> float | None:
    now = context.hours_now
    return None if now is None else max(now - context.component.installed_hours, 0.0)


def _limits(parameters: Mapping[str, Any], bearing: InsertBearing, radial: float) -> Iterator[FigureRow]:
    safety = bearing_load.static_safety(radial, float(parameters.get("axial_load_newton", 0.0)),
                                        bearing.static_rating_newton, str(parameters["service"]))
    yield row(
        tr("Static safety"),
        f"{safety.safety:.1f}",
        limit=tr("at least {least} for {parameters} service").format(
            least=number(safety.least, "g"), parameters=parameters["service"]
        ),
        source=safety.source,
    )
    tolerance = str(parameters["shaft_tolerance"])
    fitted, worn = (speed_limit_rpm(bearing.designation, fit) for fit in (tolerance, "h9"))
    yield row(
        tr("Speed limit on a shaft of {tolerance}").format(tolerance=tolerance),
        f"{fitted:,.0f} r/min",
        limit=tr("it turns {parameters}").format(parameters=number(parameters["rpm"], "g")),
        sure=tr("worn to h9 it falls to {worn} r/min: an insert walks on a worn shaft").format(
            worn=number(worn, ",.0f")
        ),
        source=tr("mounted-unit catalogue, set-screw inserts"),
    )
    screw = set_screw(bearing.designation)
    yield row(
        tr("Set screws {thread}").format(thread=screw.thread),
        f"{screw.torque_newton_metre:g} N·m",
        source=screw.source,
        note=screw.procedure,
    )


# --- grease ---


def grease_figures(parameters: Mapping[str, Any], context: FigureContext) -> tuple[FigureRow, ...]:
    """Return the amount by both rules, the first fill, what decides the interval, and what may follow this grease."""
    bearing = insert_bearing(str(parameters["bearing"]))
    return (*_amounts(parameters, bearing), *_intervals(parameters, bearing), *_grease(parameters, context))


def _amounts(parameters: Mapping[str, Any], bearing: InsertBearing) -> Iterator[FigureRow]:
    quantity = grease.grease_quantity(bearing.designation, bearing.outside_diameter_mm, bearing.outer_width_mm)
    space = grease.free_space_cm3(bearing.bore_mm, bearing.outside_diameter_mm, bearing.outer_width_mm,
                                  float(parameters["mass_kg"]))
    severe = grease.quantity_for_service(quantity, severe_at_low_speed=True, free_space_cm3=space)
    yield row(
        tr("Whole regreasing"),
        f"{quantity.grams:g} g",
        limit=tr("the formula says {formula_grams} g").format(formula_grams=number(quantity.formula_grams, ".1f"))
        if quantity.formula_grams
        else "",
        sure=tr("printed whole amounts; a hand gun's stroke is coarser"),
        source=quantity.source,
        note=tr(
            "Both are in print. The table wins: it is for inserts, and the "
            "formula, for open bearings, would lift the seal."
        ),
    )
    yield row(tr("The most in dust and wet at low speed"), f"{severe.grams:.1f} g", sure=severe.caution,
              source=severe.source)
    yield row(
        tr("First fill of a new bearing"),
        f"{grease.first_fill_grams(space):.1f} g",
        sure=tr("of {space} cm³ {name}, from its mass").format(
            space=number(space, ".1f"), name=tr(TERMS["free_space"].name)
        ),
        source=tr("mounted-unit makers' catalogue: 30 to 35 % of the free space"),
        note=tr("A new insert comes filled; this is for one washed out."),
    )


def _intervals(parameters: Mapping[str, Any], bearing: InsertBearing) -> Iterator[FigureRow]:
    a_day = float(parameters["hours_per_day"])
    found = grease_interval.insert_intervals(
        bearing.bore_mm, bearing.outside_diameter_mm, float(parameters["rpm"]), float(parameters["load_newton"]),
        bearing.dynamic_rating_newton, float(parameters["temperature_celsius"]), str(parameters["environment"]), a_day)
    if not found:
        yield row(tr("Greasing interval"), tr("daily, by the round"), source=tr("common practice, no source"))
        return
    deciding = grease_interval.deciding_interval(found, a_day)
    yield row(tr("What decides the greasing interval"), deciding.deciding.name, sure=deciding.reason,
              limit="others: " + "; ".join(f"{one.name} {_interval(one)}" for one in deciding.others),
              source=deciding.deciding.source, note=tr("All are kept; the shortest decides, and the yard's daily "
                                                       "round is shorter still where water and dirt get in."))


def _interval(one: grease_interval.Interval) -> str:
    return hours(one.hours) if one.hours is not None else tr("{days} days").format(days=number(one.days, "g"))


def _grease(parameters: Mapping[str, Any], context: FigureContext) -> Iterator[FigureRow]:
    """Return the drum's consistency, and what must not follow the grease that is in the bearing."""
    tenths = float(parameters["worked_penetration_tenth_mm"])
    yield row(tr("Consistency of the yard's grease"), tr("NLGI {consistency_number}").format(
                                                      consistency_number=grease_kind.consistency_number(tenths)),
              sure=tr("worked penetration {tenths} tenths of a mm, as printed on the drum").format(
                       tenths=number(tenths, "g")), source=tr("ASTM D217"))
    inside = str(context.component.properties.get("thickener", ""))
    if inside:
        others = {name: grease_kind.mixing(inside, name) for name in grease_kind.thickeners()}
        never = [name for name, mixing in others.items() if mixing.verdict == "incompatible"]
        fine = [name for name, mixing in others.items() if mixing.verdict == "compatible"]
        yield row(
            tr("May follow {inside}").format(inside=inside),
            ", ".join(fine) or "none",
            limit=tr("never: {value}").format(value=", ".join(never) or tr("none")),
            source=next(iter(others.values())).source,
            note=tr("All others: ask the grease maker, or clean the bearing out first."),
        )
