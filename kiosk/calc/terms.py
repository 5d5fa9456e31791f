"""The one table of terms: name, symbol, unit and meaning of every quantity the kiosk computes or shows.

Docstrings, service sheets, screens and reports draw from it. The key is the quantity's name without its unit suffix;
an argument or a result called `<key>_<suffix>` carries the unit named here. A test holds docstrings against it.
"""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class Term:
    """One quantity.

    Args:
        name: The trade's words, as a screen prints them.
        symbol: The printed symbol of the source, '' where there is none.
        unit: Unit inside the code: 'mm', 'N', 'h' …; '' for a ratio, 'count' for a whole number.
        suffix: How an argument's name ends: 'mm', 'newton', 'hours' …; '' for ratios and counts.
        meaning: One sentence.
        source: Standard or book that names it so.
    """

    name: str
    symbol: str
    unit: str
    suffix: str
    meaning: str
    source: str = ""


TERMS: dict[str, Term] = {
    # --- reading and deciding ---
    "guard_factor": Term("guard factor", "k", "", "",
        "Guard band in standard uncertainties.", "ISO 14253-1:2017"),
    "coverage_factor": Term("coverage factor", "k", "", "",
        "Expanded uncertainty over standard uncertainty.", "JCGM 100:2008"),
    "probability": Term("probability of being within", "p_c", "", "",
        "Chance that the true value is inside the limits.", "JCGM 106:2012"),
    "consumer_risk": Term("share passed wrongly", "R_C", "", "",
        "Share of all parts that are bad and accepted.", "JCGM 106:2012"),
    "in_tolerance_share": Term("share inside the limits", "", "", "",
        "Share of all parts that are good.", "JCGM 106:2012"),
    "uncertainty_ratio": Term("test uncertainty ratio", "TUR", "", "",
        "Half the width between the limits over U.", "ILAC-G8:09/2019"),
    "length": Term("length", "L", "mm", "mm", "A length as measured."),
    "temperature": Term("temperature", "t", "°C", "celsius", "Of the part or the place."),
    "expansion": Term("linear expansion", "α", "1/K", "per_kelvin",
        "Growth of a part's length for a kelvin.", "ISO 1"),
    "gauge_expansion": Term("linear expansion of the tape", "α", "1/K", "per_kelvin",
        "Growth of the gauge's length for a kelvin.", "ISO 1"),
    "denominator": Term("denominator of the inch fraction", "", "count", "",
        "Parts that an inch is divided into."),
    # --- strands and chain ---
    "span": Term("span", "L", "mm", "mm", "Straight distance between two supports."),
    "chord": Term("chord", "c", "mm", "mm", "Straight distance between supports of unequal height."),
    "angle": Term("angle to the horizontal", "θ", "°", "degrees", "How steep a strand or a take-up lies."),
    "sag": Term("sag", "s", "mm", "mm", "How deep a strand hangs under its straight line, left alone."),
    "sag_now": Term("sag as found", "s0", "mm", "mm", "Hanging sag before the take-ups are turned."),
    "sag_wanted": Term("sag wanted", "s1", "mm", "mm", "Hanging sag to be left."),
    "measured": Term("length measured", "M", "mm", "mm", "What the mechanic read."),
    "excess": Term("excess length", "e", "mm", "mm", "Length of a strand beyond its straight line."),
    "excess_uncertainty": Term("uncertainty of the excess", "u", "mm", "mm",
        "Standard uncertainty of the excess length.", "JCGM 100:2008"),
    "weight": Term("weight per length", "w", "N/m", "newton_per_metre", "Weight of a metre of strand."),
    "chain_mass": Term("mass per length of chain", "q", "kg/m", "kg_per_m",
        "Mass of a metre of chain with its flights."),
    "hanging_strands": Term("hanging strands", "", "count", "",
        "1 when the other strand is tight, 2 when both hang."),
    "movement": Term("movement of the shaft", "δ", "mm", "mm",
        "How far the take-ups move the shaft; above zero tightens."),
    "travel_left": Term("take-up travel left", "", "mm", "mm", "What a take-up can still go."),
    "takeup_thread_pitch": Term("thread pitch of the take-up", "P", "mm", "mm", "Movement for one turn."),
    "flats": Term("flats", "", "count", "", "Sixths of a turn of a hexagon."),
    "centre_distance": Term("centre distance", "C", "mm", "mm",
        "Between the middles of the two shafts.", "ISO 606"),
    "centre_uncertainty": Term("uncertainty of the centre distance", "u", "mm", "mm",
        "Standard uncertainty of the centre distance.", "JCGM 100:2008"),
    "pitch": Term("pitch", "p", "mm", "mm", "From pin to pin of a new chain.", "ISO 606"),
    "pitches": Term("number of pitches", "n", "count", "", "Pitches that were measured over.", "ISO 606"),
    "links": Term("number of links", "X", "count", "", "Links of one loop or strand.", "ISO 606"),
    "links_per_flight": Term("links per flight", "", "count", "", "Links from one flight to the next."),
    "teeth": Term("number of teeth", "N", "count", "", "Of a sprocket.", "ISO 606"),
    "driver_teeth": Term("teeth of the driving sprocket", "N1", "count", "",
        "Of the driving sprocket.", "ISO 606"),
    "driven_teeth": Term("teeth of the driven sprocket", "N2", "count", "",
        "Of the driven sprocket.", "ISO 606"),
    "largest_sprocket_teeth": Term("teeth of the larger sprocket", "N", "count", "",
        "They set the wear limit from 67 teeth on."),
    "elongation": Term("wear elongation", "ε", "%", "percent",
        "How much longer a chain is than new.", "ISO 606"),
    "elongation_uncertainty": Term("uncertainty of the elongation", "u", "%", "percent",
        "Standard uncertainty of the elongation.", "JCGM 100:2008"),
    "wanted_uncertainty": Term("uncertainty wanted", "u", "%", "percent",
        "Standard uncertainty that is to be reached.", "JCGM 100:2008"),
    "length_uncertainty": Term("uncertainty of the length", "u", "mm", "mm",
        "Standard uncertainty of a length.", "JCGM 100:2008"),
    "elongation_limit": Term("wear limit", "", "%", "percent", "Where a part is worn out."),
    "left_elongation": Term("elongation of the left strand", "ε", "%", "percent", "Of the left strand."),
    "right_elongation": Term("elongation of the right strand", "ε", "%", "percent", "Of the right strand."),
    "strand_length": Term("length of the strand", "", "mm", "mm",
        "Chain between the driving sprocket and a flight."),
    "strand_distance": Term("distance of the strands", "", "mm", "mm",
        "Across a flight, from chain to chain."),
    "run_out": Term("run-out", "TIR", "mm", "mm", "Full movement of the indicator over one turn."),
    "speed": Term("speed of rotation", "n", "r/min", "rpm", "Of a shaft.", "ISO 281"),
    # --- belt, splice, tracking ---
    # --- grease ---
    # --- bearings and bolts ---
    # --- trends, life data, hour meters ---
    # --- legibility ---
    "size": Term("edge of a touch target", "", "px", "px", "In pixels of the layout.", "W3C WCAG 2.2"),
    "panel_width": Term("width of the panel", "", "px", "px", "In pixels."),
    "height": Term("height of a character", "h", "mm", "mm", "Of capital letters."),
    "panel_height": Term("height of the panel", "", "px", "px", "In pixels."),
    "panel": Term("pixels per inch of the panel", "ppi", "1/in", "pixels_per_inch",
        "How dense a panel's pixels are."),
    "device_pixel_ratio": Term("device pixel ratio", "dpr", "", "",
        "Panel pixels to one pixel of the layout.", "W3C WCAG 2.2"),
    "diagonal": Term("diagonal of the panel", "", "mm", "mm", "Of the visible face."),
    "distance": Term("distance from the eye", "d", "mm", "mm", "From the eye to the text."),
    "visual_angle": Term("how large a character looks", "", "'", "arcmin", "In minutes of arc."),
}
