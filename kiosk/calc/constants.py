"""Exact definitions that tie inch-pound units to the SI, and standard gravity, written here only.

Exact by international agreement, printed in NIST SP 811 (2008) Appendix B. Everything else that converts is
built from these.
"""

from __future__ import annotations

from fractions import Fraction

INCH_MM = Fraction(254, 10)
FOOT_MM = 12 * INCH_MM
POUND_KILOGRAM = Fraction(45359237, 100_000_000)
STANDARD_GRAVITY = Fraction(980665, 100_000)
"""Standard gravity. [m/s²] Turns a mass per length into a weight per length."""
POUND_FORCE_NEWTON = POUND_KILOGRAM * STANDARD_GRAVITY

MM_PER_INCH = float(INCH_MM)
GRAVITY_M_PER_S2 = float(STANDARD_GRAVITY)
NEWTON_PER_POUND_FORCE = float(POUND_FORCE_NEWTON)
