"""The colours of the day and the night theme by role. Pure: names and '#rrggbb' only.

Orange, sky blue, bluish green, yellow, blue, vermillion and reddish purple are those of Okabe and Ito, 'Color Universal
Design' (from memory), which people with any kind of colour vision tell apart; blue and vermillion are darkened where
white text stands on them. A role that carries text has its partner `…_ink`; a test holds each pair to 7:1.
State is never said by colour alone: every mark also has its own shape and word.
"""

from __future__ import annotations

ORANGE = "#E69F00"
SKY_BLUE = "#56B4E9"
BLUISH_GREEN = "#009E73"
YELLOW = "#F0E442"
BLUE = "#0072B2"
VERMILLION = "#D55E00"
REDDISH_PURPLE = "#CC79A7"
DARK_BLUE = "#00466E"
DARK_VERMILLION = "#98200A"
INK = "#10181E"
WHITE = "#FFFFFF"

_MARKS = {
    "good": BLUISH_GREEN,
    "unsure": ORANGE,
    "bad": VERMILLION,
    "due": SKY_BLUE,
    "overdue": REDDISH_PURPLE,
    "danger": DARK_VERMILLION,
    "danger_ink": WHITE,
    "warning": ORANGE,
    "warning_ink": INK,
    "caution": YELLOW,
    "caution_ink": INK,
    "chosen": YELLOW,
    "chosen_ink": INK,
}

DAY = {
    **_MARKS,
    "paper": "#F1F0EA",
    "panel": WHITE,
    "ink": INK,
    "soft": "#37424B",
    "edge": "#5A6670",
    "faint": "#DAD8CF",
    "primary": DARK_BLUE,
    "primary_ink": WHITE,
    "notice": DARK_BLUE,
    "notice_ink": WHITE,
    "outline": INK,
    "neutral": WHITE,
    "line_left": BLUE,
    "line_right": VERMILLION,
}

NIGHT = {
    **_MARKS,
    "paper": "#14191D",
    "panel": "#20282E",
    "ink": "#F3F1E8",
    "soft": "#C2CAD0",
    "edge": "#8C98A0",
    "faint": "#333D45",
    "primary": SKY_BLUE,
    "primary_ink": "#0C1114",
    "notice": SKY_BLUE,
    "notice_ink": "#0C1114",
    "outline": "#F3F1E8",
    "neutral": "#20282E",
    "line_left": SKY_BLUE,
    "line_right": ORANGE,
}

PALETTES = {"day": DAY, "night": NIGHT}

# Text on ground, by role; each pair is held to 7:1 in both themes.
TEXT_PAIRS = (
    ("ink", "paper"),
    ("ink", "panel"),
    ("ink", "faint"),
    ("soft", "paper"),
    ("soft", "panel"),
    ("primary_ink", "primary"),
    ("notice_ink", "notice"),
    ("danger_ink", "danger"),
    ("warning_ink", "warning"),
    ("caution_ink", "caution"),
    ("chosen_ink", "chosen"),
    ("paper", "ink"),
)
