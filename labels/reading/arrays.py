"""Names for the arrays that travel through label reading; shapes are told where they are used."""

from __future__ import annotations

from typing import Any, TypeAlias

from numpy.typing import NDArray

# A picture: uint8, shape (height, width), grey.
Image: TypeAlias = NDArray[Any]
# Floating-point numbers, float32 where speed matters and float64 where sums need it.
Floats: TypeAlias = NDArray[Any]
