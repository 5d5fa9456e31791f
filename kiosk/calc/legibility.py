"""What can be read and touched: contrast, size of touch targets, height of characters.

Pixels become millimetres only with the panel's own pixels per inch; a nominal CSS pixel is 1/96 in. Sources:
W3C WCAG 2.2; MIL-STD-1472E for gloved hands; where a figure is from memory it says so.
"""

from __future__ import annotations

import math
import re
from dataclasses import dataclass

from kiosk.calc import guards
from kiosk.calc.constants import MM_PER_INCH
from kiosk.errors import CalcError

NOMINAL_PIXELS_PER_INCH = 96.0
"""CSS reference pixel. [1/in]"""

# Least contrast, WCAG 2.2 SC 1.4.3, 1.4.11 and 1.4.6; a workshop panel aims at the last.
TEXT_CONTRAST = 4.5
LARGE_CONTRAST = 3.0
WORKSHOP_CONTRAST = 7.0

# Least and preferred character heights in minutes of arc, from memory of MIL-STD-1472.
LEAST_CHARACTER_ARCMIN = 16.0
PREFERRED_CHARACTER_ARCMIN = 20.0

_HEX = re.compile(r"#(?P<digits>[0-9a-f]{6}|[0-9a-f]{3})", re.IGNORECASE)
# Shares of red, green and blue in luminance, WCAG 2.2.
_SHARES = (0.2126, 0.7152, 0.0722)


@dataclass(frozen=True)
class TargetRule:
    """Least size of a touch target.

    Args:
        name: Who asks for it.
        size_mm: Edge of the target. [mm]
        gap_mm: Space to the next, None where none is printed. [mm]
        provenance: Class of the figure.
    """

    name: str
    size_mm: float
    gap_mm: float | None
    provenance: str


TARGET_RULES = (
    TargetRule("WCAG 2.2 SC 2.5.8, 24 px", 6.35, None, "from memory"),
    TargetRule("WCAG 2.2 SC 2.5.5, 44 px", 44.0 * MM_PER_INCH / NOMINAL_PIXELS_PER_INCH, None, "from memory"),
    TargetRule("MIL-STD-1472E, keys with arctic mitten", 19.0, None, "published"),
    TargetRule("MIL-STD-1472E, push buttons edge to edge", 13.0, None, "published"),
    TargetRule("gloved hand", 20.0, 5.0, "common practice, no source"),
)


@dataclass(frozen=True)
class TargetSize:
    """Size of a touch target.

    Args:
        nominal_mm: By the CSS reference pixel. [mm]
        real_mm: On this panel. [mm]
    """

    nominal_mm: float
    real_mm: float


def relative_luminance(colour: str) -> float:
    """Return the luminance of a colour between black, 0, and white, 1.

    Args:
        colour: '#rrggbb' or '#rgb'.

    Returns:
        Relative luminance. [-]

    Raises:
        CalcError: not a colour written so.

    Source:
        W3C WCAG 2.2, relative luminance, with the sRGB threshold 0.04045.

    Example:
        >>> relative_luminance("#ffffff")
        1.0
    """
    match = _HEX.fullmatch(colour)
    if match is None:
        raise CalcError(f"{colour!r} is not a colour: write it as #rrggbb.")
    digits = match["digits"]
    pairs = [digit * 2 for digit in digits] if len(digits) == 3 else re.findall("..", digits)
    return sum(share * _linear(int(pair, 16) / 255.0) for share, pair in zip(_SHARES, pairs, strict=True))


def _linear(channel: float) -> float:
    return channel / 12.92 if channel <= 0.04045 else ((channel + 0.055) / 1.055) ** 2.4


def contrast_ratio(foreground: str, background: str) -> float:
    """Return the contrast of two colours.

    Args:
        foreground: '#rrggbb' or '#rgb'.
        background: The same.

    Returns:
        Ratio, 1 to 21; the same both ways round. [-]

    Raises:
        CalcError: not colours written so.

    Source:
        W3C WCAG 2.2: (L1 + 0.05) / (L2 + 0.05).

    Example:
        >>> contrast_ratio("#000000", "#ffffff")
        21.0
    """
    darker, lighter = sorted((relative_luminance(foreground), relative_luminance(background)))
    return (lighter + 0.05) / (darker + 0.05)


def pixels_per_inch(panel_width_px: int, panel_height_px: int, diagonal_mm: float) -> float:
    """Return the pixels per inch of a panel.

    Args:
        panel_width_px: [px] 1 or more
        panel_height_px: [px] 1 or more
        diagonal_mm: Visible diagonal. [mm] above 0

    Returns:
        Pixels per inch. [1/in]

    Raises:
        OutOfRange: an argument is not an ordinary number or outside its range.

    Source:
        sqrt(w**2 + h**2) / d.

    Example, by hand: 500 pixels on 5 in:
        >>> pixels_per_inch(300, 400, 127.0)
        100.0
    """
    width = guards.count("panel_width_px", panel_width_px, 1)
    across = math.hypot(width, guards.count("panel_height_px", panel_height_px, 1))
    return across / guards.positive("diagonal_mm", diagonal_mm, "mm") * MM_PER_INCH


def target_size(size_px: float, panel_pixels_per_inch: float, device_pixel_ratio: float = 1.0) -> TargetSize:
    """Return the size of a touch target on a panel.

    Args:
        size_px: Edge of the target. [px] above 0
        panel_pixels_per_inch: Of the panel. [1/in] above 0
        device_pixel_ratio: Panel pixels to one pixel of the layout. [-] above 0

    Returns:
        Nominal and real size: on a 149 ppi panel 44 px are 7.5 mm only.

    Raises:
        OutOfRange: an argument is not an ordinary number above zero.

    Source:
        mm = px 25.4 / ppi x dpr; a CSS pixel is 1/96 in.

    Example:
        >>> target_size(72.0, 96.0)
        TargetSize(nominal_mm=19.05, real_mm=19.05)
    """
    size = guards.positive("size_px", size_px, "px")
    density = guards.positive("panel_pixels_per_inch", panel_pixels_per_inch, "1/in")
    ratio = guards.positive("device_pixel_ratio", device_pixel_ratio)
    return TargetSize(size * MM_PER_INCH / NOMINAL_PIXELS_PER_INCH, size * ratio * MM_PER_INCH / density)


def visual_angle_arcmin(height_mm: float, distance_mm: float) -> float:
    """Return how large a character looks from a distance.

    Args:
        height_mm: Height of the character. [mm] above 0
        distance_mm: From the eye. [mm] above 0

    Returns:
        Minutes of arc: 16 is the least, 20 to 22 are preferred (from memory). [']

    Raises:
        OutOfRange: an argument is not an ordinary number above zero.

    Source:
        Geometry: 2 atan(h / 2d).

    Example:
        >>> round(visual_angle_arcmin(3.84, 600.0), 1)
        22.0
    """
    height = guards.positive("height_mm", height_mm, "mm")
    distance = guards.positive("distance_mm", distance_mm, "mm")
    return 60.0 * math.degrees(2.0 * math.atan(height / (2.0 * distance)))


def character_height_mm(visual_angle_arcmin: float, distance_mm: float) -> float:
    """Return the height a character needs to be read from a distance.

    Args:
        visual_angle_arcmin: How large it is to look. ['] above 0, up to 600
        distance_mm: From the eye. [mm] above 0

    Returns:
        Height. [mm]

    Raises:
        OutOfRange: an argument is not an ordinary number or outside its range.

    Source:
        Geometry; the inverse of `visual_angle_arcmin`.

    Example: a metre away, 20 minutes of arc:
        >>> round(character_height_mm(20.0, 1000.0), 2)
        5.82
    """
    angle = math.radians(guards.positive("visual_angle_arcmin", visual_angle_arcmin, "'", 600.0) / 60.0)
    return 2.0 * guards.positive("distance_mm", distance_mm, "mm") * math.tan(angle / 2.0)
