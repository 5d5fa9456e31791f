"""The catalogue of advice computations that a service sheet may name, with the parameters each one needs.

Data only: the sheets are checked against it before the kiosk opens; `presenters.advice` holds the function of the same
name that turns readings and parameters into advice. A part's own property of the same name (`belt_length_mm`, `links`,
`bearing`) takes the place of the sheet's parameter: the sheet speaks for the kind, the part for itself.
"""

from __future__ import annotations

from dataclasses import dataclass

TEXT_PARAMETERS = frozenset({"bearing", "environment"})
FLAG_PARAMETERS = frozenset({"fixed_centres", "grease_tensioner"})
"""Every other parameter is a number, 0 or more."""


@dataclass(frozen=True)
class Computation:
    """One advice computation.

    Args:
        name: As a sheet names it.
        parameters: Required parameter names, each with its unit suffix.
        optional: Parameters with a default.
        readings: Keys of the readings it works on; a job that names it measures these.
        purpose: What the mechanic gets from it.
    """

    name: str
    parameters: tuple[str, ...]
    purpose: str
    optional: tuple[str, ...] = ()
    readings: tuple[str, ...] = ()


COMPUTATIONS: dict[str, Computation] = {
    computation.name: computation
    for computation in (
        Computation(
            "take-up for sag",
            ("span_mm", "sag_wanted_mm", "takeup_thread_pitch_mm"),
            "turns and flats of the take-ups that bring the hanging strand to the wanted sag",
            ("strands", "chain_mass_kg_per_m", "grease_tensioner"),
            readings=("strand-sag",),
        ),
        Computation(
            "chain wear",
            ("pitch_mm", "pitches_measured", "links", "largest_sprocket_teeth"),
            "wear elongation with its uncertainty, against its limit and the take-up that is left",
            ("fixed_centres", "links_per_flight", "centre_distance_mm"),
            readings=("length-over-pitches",),
        ),
        Computation(
            "flight clearance",
            ("gauge_strip_mm",),
            "how far the bearing mounts go to set the flight's gap to the floor pan, both sides alike",
            readings=("flight-clearance-upper", "flight-clearance-lower"),
        ),
        Computation(
            "belt height",
            ("target_mm", "takeup_thread_pitch_mm"),
            "how far both take-ups go up, in turns, to bring the cleats back to their height over the pan",
            ("takeup_angle_degrees",),
            readings=("cleat-height",),
        ),
        Computation(
            "belt tracking",
            ("bearing_spacing_mm", "roller_diameter_mm", "takeup_thread_pitch_mm", "belt_length_mm",
             "drive_roller_diameter_mm", "engine_rpm", "engine_to_roller_ratio", "settle_revolutions"),
            "which take-up, which way, how many turns, then how long to run",
            ("lower_offset_mm", "wrap_degrees"),
            readings=("belt-edge-top", "belt-edge-bottom"),
        ),
        Computation(
            "splice plan",
            ("cleat_pitch_mm", "takeup_travel_in_mm", "takeup_travel_out_mm", "joint_bolts"),
            "every feasible way to cut out a bad length, ranked, with the new belt length",
            ("min_splice_spacing_mm", "most_insert_sections", "length_uncertainty_mm", "bolt_torque_newton_metre"),
        ),
        Computation(
            "roller offset",
            ("target_mm", "takeup_thread_pitch_mm"),
            "how far the lower roller's left end goes down or up",
            readings=("roller-offset",),
        ),
        Computation(
            "height stop",
            ("sand_and_gravel_mm", "leaves_and_litter_mm"),
            "which stop height suits the material to be swept",
            readings=("stop-height",),
        ),
        Computation(
            "bearing grease",
            ("bearing", "temperature_celsius", "environment"),
            "strokes the bearing may take now, from its insert table and the gun's output",
            ("rpm", "load_newton", "hours_per_day"),
        ),
        Computation(
            "bearing life",
            ("bearing", "rpm", "load_newton"),
            "basic rating life as a ceiling, static safety, and what decides instead",
            ("reliability_percent", "axial_load_newton"),
        ),
    )
}
