"""What a step is about, each in a few plain lines of our own. Pure: figures in a square of side 1, as the icons are.

Names are those that a service sheet may give (`service_sheet.PICTURES`).
"""

from __future__ import annotations

from kiosk.widgets.figures import ICONS, Arc, Disc, Figure, Fill, Part, Stroke

_GROUND = Stroke((0.02, 0.06, 0.98, 0.06), 0.03)


def _box(left: float, foot: float, right: float, top: float, colour: str = "faint") -> tuple[Part, ...]:
    corners = (left, foot, right, foot, right, top, left, top)
    return Fill(corners, colour), Stroke(corners, 0.035, True)


def _arrow_down(x: float, top: float, foot: float, colour: str = "primary") -> tuple[Part, ...]:
    return (Stroke((x, top, x, foot), 0.05, colour=colour),
            Fill((x, foot - 0.06, x - 0.08, foot + 0.06, x + 0.08, foot + 0.06), colour))


def _roller(x: float, y: float, radius: float) -> tuple[Part, ...]:
    return Disc(x, y, radius, "panel"), Arc(x, y, radius, width=0.035), Disc(x, y, radius * 0.2)


def _belt(y: float = 0.5) -> tuple[Part, ...]:
    return (Stroke((0.04, y, 0.96, y), 0.06), *(Stroke((x, y, x, y + 0.16), 0.03) for x in (0.12, 0.3, 0.7, 0.88)))


def _hexagon(x: float, y: float, reach: float, colour: str = "panel") -> tuple[Part, ...]:
    half, rise = reach / 2, reach * 0.866
    corners = (x + reach, y, x + half, y + rise, x - half, y + rise, x - reach, y, x - half, y - rise, x + half,
               y - rise)
    return Fill(corners, colour), Stroke(corners, 0.03, True)


_HOPPER = (0.14, 0.62, 0.9, 0.86, 0.84, 0.98, 0.08, 0.78)

STEP_PICTURES: dict[str, Figure] = {
    "lock": (Arc(0.5, 0.6, 0.2, -90, 90, 0.08), *(Stroke((x, 0.6, x, 0.48), 0.08) for x in (0.3, 0.7)),
             *_box(0.2, 0.1, 0.8, 0.5, "bad"), Disc(0.5, 0.32, 0.07, "panel"), Stroke((0.5, 0.32, 0.5, 0.2), 0.05,
                                                                                     colour="panel")),
    "supports": (_GROUND, Fill(_HOPPER, "faint"), Stroke(_HOPPER, 0.035, True), Stroke((0.08, 0.4, 0.92, 0.4), 0.05),
                 Stroke((0.26, 0.4, 0.26, 0.68), 0.07, colour="good"),
                 Stroke((0.74, 0.4, 0.74, 0.8), 0.07, colour="good"),
                 Stroke((0.16, 0.4, 0.16, 0.06), 0.04), Stroke((0.84, 0.4, 0.84, 0.06), 0.04)),
    "empty hopper": (_GROUND, Stroke((0.14, 0.8, 0.26, 0.34, 0.74, 0.34, 0.86, 0.8), 0.05),
                     *_arrow_down(0.5, 0.66, 0.18, "good"), Stroke((0.3, 0.86, 0.7, 0.86), 0.03, colour="soft")),
    "run-back block": (_GROUND, Stroke((0.1, 0.2, 0.86, 0.76), 0.07), Disc(0.62, 0.74, 0.09, "ink"),
                       Fill((0.3, 0.36, 0.52, 0.36, 0.52, 0.62), "good"),
                       Stroke((0.3, 0.36, 0.52, 0.36, 0.52, 0.62), 0.03, True)),
    "fetch": (*_box(0.12, 0.12, 0.88, 0.5), Stroke((0.34, 0.5, 0.34, 0.66, 0.66, 0.66, 0.66, 0.5), 0.05),
              Stroke((0.12, 0.34, 0.88, 0.34), 0.03), *_hexagon(0.3, 0.82, 0.09), Stroke((0.5, 0.76, 0.86, 0.9), 0.05)),
    "slacken": (*_hexagon(0.36, 0.5, 0.22, "faint"), Stroke((0.36, 0.5, 0.9, 0.5), 0.1),
                Arc(0.36, 0.5, 0.34, 200, 330, 0.05, "primary"),
                Fill((0.04, 0.68, 0.22, 0.68, 0.1, 0.84), "primary")),
    "sling": (Stroke((0.5, 0.98, 0.5, 0.8), 0.05), Arc(0.5, 0.74, 0.06, -40, 220, 0.04),
              Stroke((0.22, 0.34, 0.5, 0.7, 0.78, 0.34), 0.045, colour="primary"), *_box(0.08, 0.18, 0.92, 0.34)),
    "cut": (*_belt(), Stroke((0.5, 0.14, 0.5, 0.9), 0.035, colour="bad"), *(
        Stroke((0.5 - d, 0.14, 0.5 + d, 0.14), 0.03, colour="bad") for d in (0.06,)), Disc(0.42, 0.2, 0.06, "bad"),
            Disc(0.58, 0.2, 0.06, "bad")),
    "lay in": (Stroke((0.02, 0.4, 0.3, 0.4), 0.06), Stroke((0.7, 0.4, 0.98, 0.4), 0.06),
               Stroke((0.34, 0.72, 0.66, 0.72), 0.06, colour="primary"), *_arrow_down(0.5, 0.66, 0.48)),
    "bolts": (*_box(0.06, 0.3, 0.94, 0.7), *(part for x in (0.2, 0.5, 0.8) for part in _hexagon(x, 0.5, 0.1)),
              Stroke((0.5, 0.96, 0.5, 0.78), 0.04, colour="primary"),
              Fill((0.5, 0.68, 0.42, 0.8, 0.58, 0.8), "primary")),
    "bearing": (*_box(0.1, 0.1, 0.9, 0.3), Disc(0.5, 0.54, 0.36, "faint"), Arc(0.5, 0.54, 0.36, width=0.035),
                *_roller(0.5, 0.54, 0.2)),
    "open link": (*(Arc(x, 0.5, 0.12, width=0.05) for x in (0.16, 0.84)), Stroke((0.28, 0.5, 0.4, 0.5), 0.05),
                  Stroke((0.6, 0.5, 0.72, 0.5), 0.05), Stroke((0.42, 0.72, 0.58, 0.72), 0.06, colour="primary"),
                  Stroke((0.44, 0.72, 0.44, 0.56), 0.05, colour="primary"),
                  Stroke((0.56, 0.72, 0.56, 0.56), 0.05, colour="primary")),
    "draw in": (*_roller(0.24, 0.4, 0.2), Stroke((0.24, 0.6, 0.9, 0.6), 0.06), Stroke((0.24, 0.2, 0.6, 0.2), 0.06),
                Fill((0.98, 0.6, 0.82, 0.7, 0.82, 0.5), "primary")),
    "wash": ICONS["clean"],
    "measure": (*_box(0.04, 0.36, 0.96, 0.62, "panel"), *(
        Stroke((x / 10, 0.62, x / 10, 0.62 - (0.14 if x % 2 else 0.08)), 0.025) for x in range(1, 10))),
    "turn": (*_hexagon(0.5, 0.5, 0.26, "faint"), Arc(0.5, 0.5, 0.4, 20, 160, 0.05, "primary"),
             Fill((0.6, 0.02, 0.64, 0.22, 0.8, 0.12), "primary")),
    "guards": (*_roller(0.5, 0.5, 0.22), Stroke((0.12, 0.12, 0.12, 0.88, 0.88, 0.88, 0.88, 0.12), 0.06, True, "good"),
               *(Stroke((x, 0.12, x, 0.88), 0.02, colour="good") for x in (0.31, 0.5, 0.69))),
    "run": (*_roller(0.26, 0.5, 0.18), *_roller(0.74, 0.5, 0.18), Stroke((0.26, 0.68, 0.74, 0.68), 0.05),
            Stroke((0.26, 0.32, 0.74, 0.32), 0.05), Fill((0.62, 0.68, 0.48, 0.78, 0.48, 0.58), "primary")),
    "hot": (Stroke((0.5, 0.3, 0.5, 0.86), 0.16, colour="panel"), Arc(0.5, 0.86, 0.08, -90, 90, 0.03),
            Stroke((0.42, 0.86, 0.42, 0.32), 0.03), Stroke((0.58, 0.86, 0.58, 0.32), 0.03), Disc(0.5, 0.2, 0.15, "bad"),
            Arc(0.5, 0.2, 0.15, width=0.03), Stroke((0.5, 0.22, 0.5, 0.62), 0.06, colour="bad")),
    "label": ICONS["label"],
    "lines": (*_box(0.06, 0.3, 0.4, 0.7), Stroke((0.4, 0.58, 0.62, 0.58), 0.06), Stroke((0.4, 0.42, 0.62, 0.42), 0.06),
              *_box(0.62, 0.52, 0.76, 0.64, "good"), *_box(0.62, 0.36, 0.76, 0.48, "good")),
    "mounts": (*_box(0.06, 0.08, 0.94, 0.2), *_box(0.16, 0.2, 0.34, 0.44), *_box(0.66, 0.2, 0.84, 0.44),
               *_box(0.06, 0.44, 0.94, 0.58, "panel"), *_arrow_down(0.5, 0.94, 0.66)),
}
"""{name: figure}"""
