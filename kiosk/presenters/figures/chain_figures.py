"""Figures of a chain on two sprockets: its geometry, its speed, and every printed rule for its slack."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from kiosk.calc import chain, slack, span
from kiosk.calc.chain_table import chain_named, chain_names, mismatch_words
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
    yield row(f"{term('centre_distance')}, taut and new", context.length(taut_mm),
              sure=f"by the standards' short form {context.length(short_mm)}",
              limit=f"set to {context.length(centre_mm)}", source="exact geometry; short form: ISO 606, ASME B29.1",
              note="Both are printed; the exact one is shown, the short form is what the tables use.")
    length = chain.chain_length(centre_mm, pitch_mm, driver, driven)
    yield row(f"{term('links')} that fit", f"{length.pitches_exact:.1f}, so {length.even_links}",
              limit=f"{links} on record", source="ISO 606, ASME B29.1",
              note="An odd count needs a cranked link, weaker than the chain.")
    new_mm, worn_mm = (chain.pitch_diameter_mm(pitch_mm, driver, percent) for percent in (0.0, 3.0))
    yield row(f"{term('pitch_diameter')} of the driving sprocket", context.length(new_mm),
              sure=f"at 3 % of wear the chain rides on {context.length(worn_mm)}", source="exact geometry")
    speed = chain.chain_speed_m_per_s(driver, pitch_mm, float(parameters["rpm"]))
    yield row("Speed of the chain", f"{speed:.2f} m/s", sure=f"ripples by {chain.chordal_speed_variation(driver):.1%}: "
              f"{driver} teeth are a polygon, and that much banging is normal", source="exact geometry")
    if "links_per_flight" in parameters:
        flights = chain.flight_spacing(links, int(parameters["links_per_flight"]))
        fits = flights.is_even and flights.is_whole
        yield row("Flights that the links carry", f"{flights.flights}{'' if fits else ', unevenly spaced'}",
                  limit="right counts: " + " or ".join(f"{count} links" for count in flights.nearest_valid_links),
                  source="arithmetic")


def _table(parameters: Mapping[str, Any], context: FigureContext) -> Iterator[FigureRow]:
    """Return what the chain's number says of it, and whether the one fitted is another."""
    if "chain" not in parameters:
        return
    listed = chain_named(str(parameters["chain"]))
    breaking = f"breaks above {newton(listed.min_tensile_newton)}" if listed.min_tensile_newton else ""
    alike = [name for name in chain_names() if name != listed.name and chain_named(name).pitch_mm == listed.pitch_mm]
    clash = next((words for name in alike if (words := mismatch_words(listed, chain_named(name)))), "")
    new = listed.new_length_tolerance_percent
    yield row(f"Chain {listed.name}", f"pitch {context.length(listed.pitch_mm)}, roller "
              f"{context.length(listed.roller_mm)}, inner width {context.length(listed.inner_width_mm)}",
              sure=f"a new one may be up to {new:.2g} % long" if new else "", limit=breaking, source=listed.source,
              note=clash)


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
    ends = f"at {angle:g}° its ends carry {newton(pull.high_end_newton)} and {newton(pull.low_end_newton)}"
    by_hand_mm = span.slack_from_excess(span_mm, excess_mm).movement_mm
    yield row("Pull of the hanging strand", newton(pull.horizontal_newton),
              sure=f"chain alone, makers' masses differ by 5 %; {ends}",
              limit=f"lying level {newton(level.horizontal_newton)}; flights and dirt come on top",
              source="catenary; mass: " + listed.source)
    yield row(f"{term('excess')} at the wanted sag", context.length(excess_mm),
              sure=f"{context.length(by_hand_mm)} when moved by hand, level", source="catenary")


def _slack(parameters: Mapping[str, Any], context: FigureContext) -> Iterator[FigureRow]:
    """Return every printed rule for the slack on this span; the choice between them stands once, first."""
    span_mm = float(parameters.get("span_mm", parameters["centre_distance_mm"]))
    yield row("Right slack, which rule?", "this sheet's own sag", note=slack.why_rules_differ(),
              source="the sheets' yard instruction; printed rules below")
    for rule in slack.slack_rules():
        window = slack.slack_window(span_mm, rule.name)
        to = "" if window.upper_mm in (None, window.lower_mm) else f" to {context.length(window.upper_mm or 0.0)}"
        least = "at least " if window.upper_mm is None else ""
        yield row(f"Slack, {rule.name}", f"{least}{context.length(window.lower_mm)}{to}",
                  sure=f"measured {'by hand, the whole movement' if rule.measured == span.MOVEMENT else 'left alone'}",
                  source=rule.source)
