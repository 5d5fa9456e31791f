"""Advice on insert bearings: how much grease they take and how often, and what their rating life is worth."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from kiosk.calc import bearing_life, bearing_load, grease, grease_gun, grease_interval, grease_kind
from kiosk.calc.insert_bearing import InsertBearing, insert_bearing
from kiosk.language import number, tr
from kiosk.presenters.advice.core import CHECK, DO, STOP, WHY, Advice, AdviceContext, Readings, line
from kiosk.presenters.parts import AdviceLine
from kiosk.service_sheet import GreaseSpec

GEOMETRY_FACTOR = 13.0
"""f0 of insert ball bearings lies between 12 and 15 (from memory); it matters only with an axial load."""
LONGEST_TOLD_HOURS = 100_000.0
_WORKING_DAY_HOURS = 8.0


def grease_advice(parameters: Mapping[str, Any], readings: Readings, context: AdviceContext) -> Advice:
    """Return the bearing's amount by its table in strokes of this gun, what decides the interval, and mixing."""
    quantity = grease.grease_quantity(str(parameters["bearing"]))
    lines, details = [], {"grams": quantity.grams, "method": quantity.method}
    if context.job.grease is not None:
        dose = grease_gun.stroke_dose(quantity.grams, context.job.grease.grams_per_stroke)
        details |= {"strokes_exact": dose.exact, "strokes": dose.whole}
        lines += _dose_lines(str(parameters["bearing"]), quantity, dose, context.job.grease)
        lines += _mixing_lines(context, context.job.grease)
    interval_lines, interval_details = _interval_lines(parameters)
    lines += interval_lines
    lines.append(line(CHECK, tr(grease.HEAT_AFTER_GREASING)))
    return Advice(tuple(lines), details | interval_details, quantity.source)


def _dose_lines(bearing: str, quantity: grease.GreaseQuantity, dose: grease_gun.StrokeDose,
                spec: GreaseSpec) -> list[AdviceLine]:
    lines = [line(WHY, tr("A whole regreasing of {bearing} is {grams} g ({method}), {exact} strokes of this gun at "
                          "{grams_per_stroke} g: never more at once.").format(
                           bearing=bearing, grams=number(quantity.grams, "g"), method=tr(quantity.method),
                           exact=number(dose.exact, ".1f"), grams_per_stroke=number(spec.grams_per_stroke, "g")))]
    if dose.note:
        lines.append(line(CHECK, dose.note))
    if quantity.formula_grams is not None and quantity.method != "formula":
        lines.append(line(WHY, tr("The formula for open bearings would give {formula_grams} g; the table wins, "
                                  "because more lifts an insert's seal.").format(
                                   formula_grams=number(quantity.formula_grams, ".1f"))))
    return lines


def _mixing_lines(context: AdviceContext, spec: GreaseSpec) -> list[AdviceLine]:
    """Return whether the gun's grease may meet what is in the bearing, where that is on record."""
    inside = context.component.properties.get("thickener")
    if not inside or inside == spec.thickener:
        return []
    mixing = grease_kind.mixing(str(inside), spec.thickener)
    weight = CHECK if mixing.verdict == "compatible" else STOP
    return [line(weight, tr("In the bearing: {inside}; in the gun: {thickener}. {advice}").format(
                             inside=inside, thickener=spec.thickener, advice=mixing.advice))]


def _interval_lines(parameters: Mapping[str, Any]) -> tuple[list[AdviceLine], dict[str, Any]]:
    """Return what decides how often: by calendar always, by speed and load where the sheet gives them."""
    hours = float(parameters.get("hours_per_day", _WORKING_DAY_HOURS))
    temperature, environment = float(parameters["temperature_celsius"]), str(parameters["environment"])
    if "rpm" not in parameters or "load_newton" not in parameters:
        printed = grease_interval.schedule(temperature, environment, hours)
        return [line(WHY, tr("For {environment} at {temperature} °C the schedule prints {printed}.").format(
                              environment=environment, temperature=number(temperature, "g"),
                              printed=printed.printed))], {
            "schedule_days": printed.days}
    row = insert_bearing(str(parameters["bearing"]))
    found = grease_interval.insert_intervals(
        row.bore_mm, row.outside_diameter_mm, float(parameters["rpm"]), float(parameters["load_newton"]),
        row.dynamic_rating_newton, temperature, environment, hours)
    if not found:
        return [], {}
    deciding = grease_interval.deciding_interval(found, hours)
    return [line(WHY, deciding.reason)], {"deciding": deciding.deciding.name, "days": deciding.days}


def life_advice(parameters: Mapping[str, Any], readings: Readings, context: AdviceContext) -> Advice:
    """Return the rating life as a ceiling, the static safety, and what decides instead."""
    row, radial = insert_bearing(str(parameters["bearing"])), float(parameters["load_newton"])
    axial, rpm = float(parameters.get("axial_load_newton", 0.0)), float(parameters["rpm"])
    load = bearing_load.equivalent_load(radial, axial, row.static_rating_newton, GEOMETRY_FACTOR)
    life = _life(row, load.load_newton, rpm, float(parameters.get("reliability_percent", 90.0)))
    safety = bearing_load.static_safety(radial, axial, row.static_rating_newton)
    lines = [
        line(WHY, tr("{designation} under {load_newton} N at {rpm} r/min: {life_words} at {reliability_percent} % "
                     "reliability.").format(
                      designation=row.designation, load_newton=number(load.load_newton, ".0f"), rpm=number(rpm, "g"),
                      life_words=life_words(life.hours), reliability_percent=number(life.reliability_percent, "g"))),
        line(CHECK, life.caution),
        line(DO if safety.enough else STOP, tr("Static safety {safety}; {least} is the least.").format(
                                                safety=number(safety.safety, ".1f"), least=number(safety.least, "g"))),
        *_run_lines(context, life.basic_hours),
    ]
    details = {"hours": life.hours, "basic_hours": life.basic_hours, "static_safety": safety.safety,
               "equivalent_load_newton": load.load_newton}
    return Advice(tuple(lines), details, f"{life.source}; {row.source}")


def life_words(hours: float) -> str:
    """Return a rating life; beyond what any machine runs it only says so."""
    if hours < LONGEST_TOLD_HOURS:
        return f"{number(hours, ',.0f')} h"
    return tr("more than {hours} h").format(hours=number(LONGEST_TOLD_HOURS, ",.0f"))


def _life(row: InsertBearing, load_newton: float, rpm: float, reliability_percent: float) -> bearing_life.RatingLife:
    return bearing_life.rating_life(row.dynamic_rating_newton, load_newton, rpm, reliability_percent)


def _run_lines(context: AdviceContext, basic_hours: float) -> list[AdviceLine]:
    """Return how much of the ceiling this bearing has run, from its last record."""
    if not context.history:
        return []
    run = max(context.history[0].hours - context.component.installed_hours, 0.0)
    return [line(WHY, tr("It has run {run} h since it was fitted, {run_2} % of that.").format(
                          run=number(run, ",.0f"), run_2=number(100 * run / basic_hours, ".0f")))]

