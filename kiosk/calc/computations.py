"""The catalogue of computations that a service sheet may name, with the parameters each one needs.

Data only: the sheets are checked against it before the kiosk opens. A job names one of `COMPUTATIONS`, and
`presenters.advice` holds the function of the same name that turns readings and parameters into advice; a part's page
names any of `FIGURES`, worked out by `presenters.figures`. A part's own property of the same name (`belt_length_mm`,
`links`, `bearing`) takes the place of the sheet's parameter: the sheet speaks for the kind, the part for itself.
"""

from __future__ import annotations

from dataclasses import dataclass

TEXT_PARAMETERS = frozenset({
    "bearing", "environment", "chain", "slack_case", "tension_member", "housing_bolt", "thread", "grade", "lubrication",
    "drive", "service", "design_service", "shaft_tolerance",
})
FLAG_PARAMETERS = frozenset({"fixed_centres", "grease_tensioner"})
"""Every other parameter is a number, 0 or more."""


@dataclass(frozen=True)
class Computation:
    """One computation.

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
            ("strands", "chain_mass_kg_per_m", "grease_tensioner", "slack_case", "angle_degrees"),
            readings=("strand-sag",),
        ),
        Computation(
            "chain wear",
            ("pitch_mm", "pitches_measured", "links", "largest_sprocket_teeth"),
            "wear elongation with its uncertainty, against its limit and the take-up that is left",
            ("fixed_centres", "links_per_flight", "centre_distance_mm", "strand_distance_mm"),
            readings=("length-over-pitches",),
        ),
        Computation(
            "loop balance",
            ("pitch_mm", "pitches_measured", "driver_teeth", "driven_teeth"),
            "whether links, wear, centre distance and sag fit together: finds a wrong count",
            ("links_per_flight",),
            readings=("links-counted", "centre-distance", "strand-sag", "length-over-pitches"),
        ),
        Computation(
            "flight clearance",
            ("gauge_strip_mm",),
            "how fast the gap grows, and how far the bearing mounts go to set the flight over the pan",
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
            ("min_splice_spacing_mm", "min_insert_mm", "most_insert_sections", "length_uncertainty_mm",
             "bolt_torque_newton_metre"),
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
        Computation(
            "bearing fixing",
            ("bearing", "housing_bolt", "housing_bolts", "tool_percent"),
            "torque of the set screws and of the housing's bolts, in which order and passes",
        ),
        Computation(
            "gun weighing",
            ("strokes", "grams_per_stroke"),
            "what one stroke of this gun gives, from the weight of several",
            readings=("grease-weighed",),
        ),
        Computation(
            "sprocket alignment",
            ("centre_distance_mm",),
            "whether two sprocket faces are in line, by the handbook and by the sheet",
            readings=("out-of-line",),
        ),
        Computation(
            "shaft run-out",
            ("span_mm", "sag_wanted_mm"),
            "how far the shaft's middle is off, and what that does to the sag in one turn",
            readings=("shaft-run-out",),
        ),
        Computation(
            "frame square",
            ("frame_length_mm", "takeup_thread_pitch_mm"),
            "how far the two rollers stand out of square, from the frame's two diagonals",
            readings=("frame-diagonal",),
        ),
        Computation(
            "belt strain",
            ("mark_gap_mm", "tension_member"),
            "how far the belt is stretched, against the window of its carcass",
            readings=("mark-gap",),
        ),
        Computation(
            "take-up reserve",
            ("growth_mm", "pitch_mm"),
            "whether the thread that is left follows the growth to come, and lets two pitches come out",
            readings=("thread-left",),
        ),
    )
}

FIGURES: dict[str, Computation] = {
    figure.name: figure
    for figure in (
        Computation("how sure a reading is", (), "uncertainty, what to improve, wrong calls, of each reading"),
        Computation("how it wears", (), "trend, both slopes, when and on which day the limit is met"),
        Computation("how well it is set", (), "how well settings as left keep between their limits"),
        Computation(
            "life of parts",
            ("planned_cost", "failure_cost", "order_hours", "assumed_shape"),
            "how long parts last at this place, those that run counted in, and what to keep in stock",
        ),
        Computation(
            "chain drive",
            ("pitch_mm", "links", "driver_teeth", "driven_teeth", "centre_distance_mm", "rpm"),
            "geometry, speed and right slack of a chain on two sprockets",
            ("chain", "span_mm", "sag_wanted_mm", "angle_degrees", "links_per_flight"),
        ),
        Computation(
            "belt on two rollers",
            ("belt_length_mm", "cleat_pitch_mm", "upper_roller_diameter_mm", "lower_roller_diameter_mm",
             "belt_thickness_mm", "growth_mm", "takeup_travel_out_mm"),
            "centre distance, wrap, growth and take-up travel of a belt",
            ("temperature_celsius", "min_splice_spacing_mm", "damaged_mm"),
        ),
        Computation(
            "belt drive",
            ("belt_length_mm", "drive_roller_diameter_mm", "engine_rpm", "engine_to_roller_ratio",
             "settle_revolutions", "friction_coefficient", "friction_wet", "wrap_degrees", "belt_mass_kg_per_m",
             "support_spacing_mm", "tension_newton"),
            "speed, run-in, grip and sag of a driven belt",
        ),
        Computation(
            "belt steering",
            ("bearing_spacing_mm", "roller_diameter_mm", "takeup_thread_pitch_mm", "wrap_degrees"),
            "what one turn of a take-up does on this machine, learned from its own adjustments",
        ),
        Computation(
            "bearing under load",
            ("bearing", "rpm", "power_kilowatt", "pitch_diameter_mm", "drive", "shock_factor", "bearing_spacing_mm",
             "load_place_mm", "service", "design_service", "shaft_tolerance", "idle_share"),
            "load, rating life as a ceiling, static safety and speed limit of a shaft's bearing",
            ("axial_load_newton", "reliability_percent"),
        ),
        Computation(
            "grease in the bearing",
            ("bearing", "mass_kg", "temperature_celsius", "environment", "rpm", "load_newton", "hours_per_day",
             "worked_penetration_tenth_mm"),
            "amount by both rules, first fill, what decides the interval, and the grease itself",
        ),
        Computation(
            "bolted joint",
            ("thread", "grade", "lubrication", "tool_percent", "nut_factor_spread_percent", "bolts"),
            "torque of the joint's bolts in passes, and how far the preload may be off",
        ),
        Computation("hours of the unit", (), "how many hours a day the unit runs"),
    )
}
"""What a part's page shows beside its jobs; nothing is measured for it."""
