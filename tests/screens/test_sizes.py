"""Every sample screen measured on both panels in both themes, in English and in Spanish: targets, gaps, text,
contrast, clipped and overlapping. `tests/bench/run sizes` does the same in every language.

The limits: 20 mm targets with 5 mm gaps for a gloved hand (common practice, no source), 22 minutes of arc at 600 mm
(upper end of what ISO 9241-303 prefers, from memory), 7:1 (WCAG 2.2, enhanced).
"""

from __future__ import annotations

from typing import Any

import pytest
from conftest import PANELS

pytestmark = [pytest.mark.window, pytest.mark.slow]


# Every pair of panel, theme and language once; the bench walks all of them.
@pytest.mark.parametrize(("panel", "theme_name", "language"), [
    ("1280x800", "day", "en"), ("1280x800", "night", "es"), ("1024x600", "day", "es"), ("1024x600", "night", "en")])
def test_sizes__every_sample_screen__within_the_limits(
    open_window: Any, panel: str, theme_name: str, language: str, capsys: Any
) -> None:
    """No target, gap or text is too small, no text too faint, cut off or written over; prints the table."""
    from screen_measure import measure

    window = open_window(panel, theme_name)
    lines, wrong = [f"{panel} {theme_name} {language}: target mm, gap mm, text arcmin, contrast"], []
    for name, face in window.sample_faces():
        window.show_sample(name, face, language)
        found = measure(window.stage, PANELS[panel][2])
        title = f"{name} {face}".strip()
        lines.append(f"  {title:24s} {found.smallest_target_mm:6.1f} {found.smallest_gap_mm:5.1f} "
                     f"{found.smallest_text_arcmin:5.1f} {found.lowest_contrast:5.1f}")
        wrong += [f"{title}: {fault}" for fault in faults(found)]
    with capsys.disabled():
        print("\n" + "\n".join(lines))
    assert not wrong, "\n".join(wrong)


def faults(found: Any) -> list[str]:
    """Return what is outside the limits, in words."""
    limits = [("target", found.smallest_target_mm, 20.0), ("gap", found.smallest_gap_mm, 5.0),
              ("text", found.smallest_text_arcmin, 22.0), ("contrast", found.lowest_contrast, 7.0)]
    small = [f"{name} {value:.2f} under {limit}" for name, value, limit in limits if value < limit]
    return small + [f"clipped: {text}" for text in found.clipped] + [f"overlap: {pair}" for pair in found.overlaps]
