"""Figures of a chain on two sprockets: its geometry, its speed, and every printed rule for its slack."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from kiosk.calc import chain, slack, span
from kiosk.calc.chain_table import chain_named, chain_names, mismatch_words
from kiosk.language import number, tr
from kiosk.presenters.figures.core import FigureContext, newton, row, term
from kiosk.presenters.parts import FigureRow


def chain_figures(parameters: Mapping[str, Any], context: FigureContext) -> tuple[FigureRow, ...]:
    """Return what follows from pitch, links, teeth and centre distance, and the right slack by every printed rule."""
    return (*_geometry(parameters, context), *_table(parameters, context), *_hanging(parameters, context),
            *_slack(parameters, context))


def _geometry(parameters: Mapping[str, Any], context: FigureContext) -> Iterator[FigureRow]:
    pitch_mm, links = float(parameters["pitch_mm"]), int(parameters["links"])
    driver, driven = int(parameters["driver_teeth"]), int(parameters["driven_teeth"])
    centre_mm = float(parameters["centre_distance_mm"])
    taut_mm = chain.exact_centre_distance_mm(links, pitch_mm, driver, driven)
    short_mm = chain.centre_distance_mm_for(links, pitch_mm, driver, driven)
    yield row(
        tr("{term}, taut and new").format(term=term("centre_distance")),
        context.length(taut_mm),
        sure=tr("by the standards' short form {short_mm}").format(short_mm=context.length(short_mm)),
        limit=tr("set to {centre_mm}").format(centre_mm=context.length(centre_mm)),
        source=tr("exact geometry; short form: ISO 606, ASME B29.1"),
        note=tr("Both are printed; the exact one is shown, the short form is what the tables use."),
    )
    length = chain.chain_length(centre_mm, pitch_mm, driver, driven)
    yield row(tr("{term} that fit").format(term=term("links")), tr("{pitches_exact}, so {even_links}").format(
                                               pitches_exact=number(length.pitches_exact, ".1f"),
                                               even_links=length.even_links),
              limit=tr("{links} on record").format(links=links), source=tr("ISO 606, ASME B29.1"),
              note=tr("An odd count needs a cranked link, weaker than the chain."))
    new_mm, worn_mm = (chain.pitch_diameter_mm(pitch_mm, driver, percent) for percent in (0.0, 3.0))
    yield row(tr("{term} of the driving sprocket").format(term=term("pitch_diameter")), context.length(new_mm),
              sure=tr("at 3 % of wear the chain rides on {worn_mm}").format(
                       worn_mm=context.length(worn_mm)), source=tr("exact geometry"))
    speed = chain.chain_speed_m_per_s(driver, pitch_mm, float(parameters["rpm"]))
    yield row(
        tr("Speed of the chain"),
        f"{speed:.2f} m/s",
        sure=tr(
            "ripples by {chordal_speed_variation}: {driver} teeth are a polygon, and that much banging is normal"
        ).format(chordal_speed_variation=number(chain.chordal_speed_variation(driver), ".1%"), driver=driver),
        source=tr("exact geometry"),
    )
    if "links_per_flight" in parameters:
        flights = chain.flight_spacing(links, int(parameters["links_per_flight"]))
        fits = flights.is_even and flights.is_whole
        yield row(tr("Flights that the links carry"), f"{flights.flights}{'' if fits else tr(', unevenly spaced')}",
                  limit=tr("right counts: ") + tr(" or ").join(tr("{count} links").format(
                                                           count=count) for count in flights.nearest_valid_links),
                  source="arithmetic")


def _table(parameters: Mapping[str, Any], context: FigureContext) -> Iterator[FigureRow]:
    """Return what the chain's number says of it, and whether the one fitted is another."""
    if "chain" not in parameters:
        return
    listed = chain_named(str(parameters["chain"]))
    breaking = tr("breaks above {newton}").format(
                   newton=newton(listed.min_tensile_newton)) if listed.min_tensile_newton else ""
    alike = [name for name in chain_names() if name != listed.name and chain_named(name).pitch_mm == listed.pitch_mm]
    clash = next((words for name in alike if (words := mismatch_words(listed, chain_named(name)))), "")
    new = listed.new_length_tolerance_percent
    yield row(
        tr("Chain {listed}").format(listed=listed.name),
        tr("pitch {pitch_mm}, roller {roller_mm}, inner width {inner_width_mm}").format(
            pitch_mm=context.length(listed.pitch_mm),
            roller_mm=context.length(listed.roller_mm),
            inner_width_mm=context.length(listed.inner_width_mm),
        ),
        sure=tr("a new one may be up to {new} % long").format(new=number(new, ".2g")) if new else "",
        limit=breaking,
        source=listed.source,
        note=clash,
    )


def _hanging(parameters: Mapping[str, Any], context: FigureContext) -> Iterator[FigureRow]:
    """Return how hard the hanging strand pulls at its wanted sag, level or inclined."""
    if not {"chain", "span_mm", "sag_wanted_mm"} <= set(parameters):
        return
    listed = chain_named(str(parameters["chain"]))
    if listed.mass_kg_per_m is None:
        return
    weight = span.strand_weight_newton_per_metre(listed.mass_kg_per_m)
    span_mm, sag_mm = float(parameters["span_mm"]), float(parameters["sag_wanted_mm"])
    angle = float(parameters.get("angle_degrees", 0.0))
    excess_mm = span.inclined_excess_mm(span_mm, angle, sag_mm)
    pull = span.inclined_span(span_mm, angle, excess_mm, weight)
    level = span.level_span(span_mm, sag_mm, weight)
    ends = tr("at {angle}° its ends carry {newton} and {newton_2}").format(
               angle=number(angle, "g"), newton=newton(pull.high_end_newton), newton_2=newton(pull.low_end_newton))
    by_hand_mm = span.slack_from_excess(span_mm, excess_mm).movement_mm
    yield row(tr("Pull of the hanging strand"), newton(pull.horizontal_newton),
              sure=tr("chain alone, makers' masses differ by 5 %; {ends}").format(ends=ends),
              limit=tr("lying level {newton}; flights and dirt come on top").format(
                        newton=newton(level.horizontal_newton)),
              source=tr("catenary; mass: ") + listed.source)
    yield row(tr("{term} at the wanted sag").format(term=term("excess")), context.length(excess_mm),
              sure=tr("{by_hand_mm} when moved by hand, level").format(
                       by_hand_mm=context.length(by_hand_mm)), source=tr("catenary"))


def _slack(parameters: Mapping[str, Any], context: FigureContext) -> Iterator[FigureRow]:
    """Return every printed rule for the slack on this span; the choice between them stands once, first."""
    span_mm = float(parameters.get("span_mm", parameters["centre_distance_mm"]))
    yield row(tr("Right slack, which rule?"), tr("this sheet's own sag"), note=slack.why_rules_differ(),
              source=tr("the sheets' yard instruction; printed rules below"))
    for rule in slack.slack_rules():
        window = slack.slack_window(span_mm, rule.name)
        to = (
            ""
            if window.upper_mm in (None, window.lower_mm)
            else tr(" to {value}").format(value=context.length(window.upper_mm or 0.0))
        )
        least = tr("at least ") if window.upper_mm is None else ""
        yield row(
            tr("Slack, {rule}").format(rule=rule.name),
            f"{least}{context.length(window.lower_mm)}{to}",
            sure=tr("measured {what}").format(
                what=tr("by hand, the whole movement") if rule.measured == span.MOVEMENT else tr("left alone")
            ),
            source=rule.source,
        )
