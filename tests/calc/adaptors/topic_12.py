"""Check values of topic 12, touch and reading, put to kiosk.calc.legibility."""

from __future__ import annotations

from typing import Any

from kiosk.calc import legibility
from kiosk.units import convert


def wcag_contrast(inputs: dict[str, Any]) -> dict[str, Any]:
    """Contrast of two colours, and which limits it meets."""
    ratio = legibility.contrast_ratio(inputs["fg"], inputs["bg"])
    return {"ratio": ratio, "text_ok": ratio >= legibility.TEXT_CONTRAST,
            "large_ok": ratio >= legibility.LARGE_CONTRAST, "enhanced_ok": ratio >= legibility.WORKSHOP_CONTRAST}


def target_size(inputs: dict[str, Any]) -> dict[str, Any]:
    """Nominal and real size of a target; the field named for a ratio of 1 leaves the ratio out."""
    ratio = inputs.get("device_pixel_ratio", 1.0)
    got = legibility.target_size(inputs["css_px"], inputs["panel_ppi"], ratio)
    return {"nominal_mm": got.nominal_mm, "real_mm": got.real_mm,
            "real_mm_at_dpr1": legibility.target_size(inputs["css_px"], inputs["panel_ppi"]).real_mm}


def panel_ppi(inputs: dict[str, Any]) -> dict[str, Any]:
    """Pixels per inch of a panel."""
    return {"ppi": legibility.pixels_per_inch(inputs["width_px"], inputs["height_px"],
                                              convert(inputs["diagonal_in"], "in", "mm"))}


def visual_angle(inputs: dict[str, Any]) -> dict[str, Any]:
    """How large a character looks; or how high it must be, when an angle is given."""
    if "arcmin" in inputs:
        return {"height_mm": legibility.character_height_mm(inputs["arcmin"], inputs["distance_mm"])}
    return {"arcmin": legibility.visual_angle_arcmin(inputs["height_mm"], inputs["distance_mm"])}


ADAPTORS = {
    "wcag_contrast": wcag_contrast,
    "target_size": target_size,
    "panel_ppi": panel_ppi,
    "visual_angle": visual_angle,
}
