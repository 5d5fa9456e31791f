"""From pictures to label numbers: locate, straighten, decode, match, and add up over frames."""

from labels.reading.accumulate import FrameAccumulator
from labels.reading.reader import Reader, Reading, read_any

__all__ = ["FrameAccumulator", "Reader", "Reading", "read_any"]
