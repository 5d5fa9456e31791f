"""Where the eight characters of a label lie along a profile.

Every character is compared with the profile at every place and sixteen widths; start, five pairs, check and stop are
then joined by dynamic programming, with a small price on changes of width. Windows without contrast and characters
outside the crop are neutral, not wrong: that is what reads torn labels. A cubic of the module number through the
places holds tilt and curvature.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from labels.reading import templates as tp
from labels.reading.arrays import Floats
from labels.reading.rectify import COLUMNS, NOMINAL_MODULE
from labels.symbol import CHARACTER_MODULES, LABEL_MODULES

_WIDTHS = 16
_WIDTH_STEP = 1.075
MODULE_SAMPLES = NOMINAL_MODULE * _WIDTH_STEP ** (np.arange(_WIDTHS) - 7.0)
_BEYOND = 140
_PLACES = COLUMNS + 2 * _BEYOND
_UPSAMPLE = 4
_WIDTH_PRICE = 0.5
_TURNS = 3
CHARACTERS_IN_LABEL = 8
# Degrees of freedom of a character's 22 samples: its eleven modules.
FREEDOM = 11.0
ANCHOR_FREEDOM = 16.0
_ANCHOR_NEUTRAL = 0.7
# Without a start or a stop that fits at least this well no number is accepted, so none is looked for. [nats]
LEAST_SEARCH_ANCHOR = 6.0
# A way through eight characters that scores less is texture. [nats]
LEAST_SCORE = 29.0
_SOFT = 0.02
# A smeared or torn-off character says no more against a number than this. [nats]
LEAST_FIT = -3.0
_LEAST_ANCHOR = np.float32(-1.0)
# A window with less than this part of the usual contrast says nothing.
_LEAST_CONTRAST = 0.25
_LEAST_WINDOWS = 8
_ALIKE_BLURS = ((0, 1), (2, 3))
_THINNED = 4


@dataclass(frozen=True, slots=True)
class Geometry:
    """Where a module number lies along the profile: a cubic of t = (module - 45) / 45.

    Attributes:
        cubic: Coefficients of 1, t, t², t³. [samples]
        score: How well start, characters and stop fit. [nats]
    """

    cubic: Floats
    score: float

    def places(self, modules: Floats) -> Floats:
        """Return where along the profile these module numbers lie. [samples]"""
        t = (modules - LABEL_MODULES / 2) / (LABEL_MODULES / 2)
        a, b, c, d = self.cubic
        return np.asarray(a + t * (b + t * (c + t * d)))

    @property
    def module_samples(self) -> float:
        """Mean width of a module. [samples]"""
        return float(self.cubic[1] / (LABEL_MODULES / 2))


def fit(correlation: Floats, neutral: float, freedom: float = FREEDOM) -> Floats:
    """Return how much better than `neutral` a correlation is, in nats.

    A window of unknown brightness, contrast and noise has the log likelihood -n/2 log(1 - r²) up to a constant.

    Args:
        correlation: Correlations r of windows with patterns. [-]
        neutral: The correlation that says nothing either way. [-]
        freedom: How many independent samples a window has: its modules.
    """
    good = np.clip(correlation, 0, 1)
    level = np.float32(1 - neutral**2 + _SOFT)
    better = np.float32(-0.5 * freedom) * np.log((1 + _SOFT - good * good) / level)
    return np.asarray(np.maximum(better, LEAST_FIT))


def _window_index(samples: int, lead: int) -> NDArray[np.int32]:
    """Return which upsampled profile value each window takes, shape (widths, places of the crop, samples)."""
    offsets = (np.arange(samples) + 0.5) / tp.SAMPLES - lead
    places = np.arange(COLUMNS)[None, :, None] + offsets[None, None, :] * MODULE_SAMPLES[:, None, None]
    return np.rint(places * _UPSAMPLE).astype(np.int32)


_INDEX = {
    "character": _window_index(tp.CHARACTER_SAMPLES, 0),
    "start": _window_index(tp.ANCHOR_START_SAMPLES, tp.ANCHOR_QUIET),
    "stop": _window_index(tp.ANCHOR_STOP_SAMPLES, 0),
}
_TOP = COLUMNS * _UPSAMPLE - 1
_WHOLE = {name: (index[..., 0] >= -2 * _UPSAMPLE) & (index[..., -1] <= _TOP + 2 * _UPSAMPLE)
          for name, index in _INDEX.items()}
_INDEX = {name: np.clip(index, 0, _TOP) for name, index in _INDEX.items()}


_PLAIN = {
    samples: np.stack([np.full(samples, samples**-0.5), tp.ramp(samples)], axis=1).astype(np.float32)
    for samples in (tp.CHARACTER_SAMPLES, tp.ANCHOR_START_SAMPLES, tp.ANCHOR_STOP_SAMPLES)
}


def _windows(fine: Floats, name: str) -> tuple[Floats, Floats]:
    """Return the windows of mean zero, shape (widths * places, samples), and their lengths."""
    windows = fine.take(_INDEX[name])
    samples = windows.shape[-1]
    level_and_slope = windows @ _PLAIN[samples]
    square = np.einsum("wps,wps->wp", windows, windows) - (level_and_slope**2).sum(axis=-1)
    # The patterns have no mean and no slope, so those of the windows need not be taken off.
    return windows.reshape(-1, samples), np.sqrt(np.maximum(square, 0))


def _correlations(fine: Floats, name: str, bank: Floats) -> tuple[Floats, Floats]:
    """Return for each blur the best correlation of its patterns at each width and place, and the windows' lengths.

    Args:
        fine: Upsampled profile.
        name: Which windows.
        bank: Patterns, shape (blurs, patterns, samples).
    """
    windows, length = _windows(fine, name)
    if bank.shape[1] == 1:
        best = bank[:, 0] @ windows.T
    else:
        best = np.stack([(patterns @ windows.T).max(axis=0) for patterns in bank])
    return best.reshape(-1, *length.shape) / (length + 1e-6), length


@dataclass(frozen=True, slots=True)
class Scores:
    """Scores of start, data and stop at each width and place, neutral where nothing can be said. [nats]

    Attributes:
        blur: Which blur of the search they are for.
    """

    blur: tp.Blur
    start: Floats
    data: Floats
    stop: Floats


def score_profile(profile: Floats) -> list[Scores]:
    """Return how well each character fits everywhere along a profile, for a sharp and a soft blur.

    Args:
        profile: Shape (384,).

    Returns:
        One for each blur under which a start or a stop is found.
    """
    positions = np.arange(COLUMNS * _UPSAMPLE) / _UPSAMPLE
    fine = np.interp(positions, np.arange(COLUMNS), profile).astype(np.float32)
    start, stop = (_anchor_scores(fine, name, bank)
                   for name, bank in zip(("start", "stop"), tp.anchor_bank(tp.SEARCH_BLURS), strict=True))
    quality = np.maximum(start.max(axis=(1, 2)), stop.max(axis=(1, 2)))
    # A soft pattern fits narrow texture well, so the best sharp blur is tried beside the best soft one.
    best = [max(alike, key=lambda one: quality[one]) for alike in _ALIKE_BLURS]
    chosen = [one for one in best if quality[one] >= LEAST_SEARCH_ANCHOR]
    if not chosen:
        return []
    data, length = _correlations(fine, "character", tp.character_bank(tp.SEARCH_BLURS)[chosen, :103])
    has_contrast = length > _LEAST_CONTRAST * _usual(length)
    worth = _worth_of_data(data, has_contrast)
    return [Scores(tp.SEARCH_BLURS[index], _padded(start[index]),
                   _padded(np.where(has_contrast & _WHOLE["character"], worth[at], np.float32(0))),
                   _padded(stop[index])) for at, index in enumerate(chosen)]


def _usual(length: Floats) -> float:
    """Return the contrast of an ordinary window."""
    return float(np.percentile(length[:, ::_THINNED], 60))


def _anchor_scores(fine: Floats, name: str, bank: Floats) -> Floats:
    """Return how well start or stop fits, shape (blurs, widths, places), 0 where nothing can be said. [nats]"""
    correlation, length = _correlations(fine, name, bank[:, None])
    is_good = (length > _LEAST_CONTRAST * _usual(length)) & _WHOLE[name]
    # A torn-off end costs little: there is no saying what lies in its place.
    worth = np.maximum(fit(correlation, _ANCHOR_NEUTRAL, ANCHOR_FREEDOM), _LEAST_ANCHOR)
    return np.where(is_good, worth, np.float32(0))


def _worth_of_data(data: Floats, has_contrast: NDArray[np.bool_]) -> Floats:
    """Return how much better than by chance the data characters fit, shape (blurs, widths, places). [nats]

    A narrow window or a strong blur leaves little structure and fits anything, so each has its own chance level.
    """
    # Neighbouring windows are nearly alike: every fourth is enough to know the middle.
    thinned = has_contrast[:, ::_THINNED]
    counted = np.where(thinned, data[:, :, ::_THINNED], np.nan)
    enough = thinned.sum(axis=1) >= _LEAST_WINDOWS
    neutral = np.full(data.shape[:2], 0.95, np.float32)
    if enough.any():
        neutral[:, enough] = np.clip(np.nanmedian(counted[:, enough], axis=2), 0.3, 0.97)
    return fit(data, 0.0) - fit(neutral, 0.0)[:, :, None]


def _padded(score: Floats) -> Floats:
    """Return a score with room beyond both ends of the crop, where characters are neutral."""
    result = np.zeros((_WIDTHS, _PLACES), np.float32)
    result[:, _BEYOND : _BEYOND + COLUMNS] = score
    return result


_ADVANCE = CHARACTER_MODULES * MODULE_SAMPLES
_ROWS = np.arange(_WIDTHS)[:, None]
_NEXT_PLACE = np.minimum(np.arange(_PLACES)[None, :] + np.floor(_ADVANCE)[:, None].astype(int), _PLACES - 2)
# Indices into a flattened table of widths and places.
_NEXT = _NEXT_PLACE + _ROWS * _PLACES
_NEXT_PLUS = _NEXT + 1


def _best_turn(score: Floats) -> Floats:
    """Return the best score over changes of width."""
    best = score.copy()
    for step in range(1, _TURNS + 1):
        price = _WIDTH_PRICE * step * step
        np.maximum(best[:-step], score[step:] - price, out=best[:-step])
        np.maximum(best[step:], score[:-step] - price, out=best[step:])
    return best


def find_geometries(scores: Scores, most: int) -> list[Geometry]:
    """Return the likeliest places of the eight characters with a start or a stop, distinct ones only.

    Args:
        scores: Of one blur.
        most: How many at most with a start, and with a stop.
    """
    result = []
    if float(scores.start.max()) >= LEAST_SEARCH_ANCHOR:
        tails = _tails(scores, scores.stop)
        anchored = np.where(scores.start >= LEAST_SEARCH_ANCHOR, tails[0], -np.inf)
        result += [_trace(scores, tails, *peak) for peak in _peaks(anchored, most)]
    if float(scores.stop.max()) >= LEAST_SEARCH_ANCHOR:
        tails = _tails(scores, np.where(scores.stop >= LEAST_SEARCH_ANCHOR, scores.stop, np.float32(-1e6)))
        result += [_trace(scores, tails, *peak) for peak in _peaks(tails[0], most)]
    return result


def _tails(scores: Scores, stop: Floats) -> list[Floats]:
    """Return for each character the best score of it and all after it, at each width and place."""
    tails = [stop]
    for character in range(CHARACTERS_IN_LABEL - 2, -1, -1):
        best = _best_turn(tails[-1]).reshape(-1)
        own = scores.start if character == 0 else scores.data
        tails.append(own + np.maximum(best.take(_NEXT), best.take(_NEXT_PLUS)))
    tails.reverse()
    return tails


def _peaks(total: Floats, most: int) -> list[tuple[int, int, float]]:
    total = total.copy()
    peaks = []
    for _ in range(most):
        width, place = divmod(int(total.argmax()), _PLACES)
        score = float(total[width, place])
        if score < LEAST_SCORE:
            break
        peaks.append((width, place, score))
        total[max(0, width - 2) : width + 3, max(0, place - 4) : place + 5] = -np.inf
    return peaks


def _trace(scores: Scores, tails: list[Floats], width: int, place: int, score: float) -> Geometry:
    """Follow the best way from a start and put a cubic through its places."""
    places, weights = [float(place)], [float(scores.start[width, place])]
    for character in range(1, CHARACTERS_IN_LABEL):
        width, place = _step(tails[character], width, int(_NEXT_PLACE[width, place]))
        own = scores.stop if character == CHARACTERS_IN_LABEL - 1 else scores.data
        places.append(float(place))
        weights.append(float(own[width, place]))
    places.append(places[-1] + 13 * MODULE_SAMPLES[width])
    weights.append(0.5 * weights[-1])
    modules = np.append(np.arange(CHARACTERS_IN_LABEL) * 11.0, 1.0 * LABEL_MODULES)
    return Geometry(cubic_through(modules, np.array(places) - _BEYOND, np.array(weights)), score)


def _step(tail: Floats, width: int, place: int) -> tuple[int, int]:
    """Return the width and place from which the rest of the way is best."""
    widths = np.arange(max(0, width - _TURNS), min(_WIDTHS, width + _TURNS + 1))
    worth = tail[widths, place : place + 2] - _WIDTH_PRICE * ((widths - width) ** 2)[:, None]
    turn, shift = divmod(int(worth.argmax()), 2)
    return int(widths[turn]), place + shift


def cubic_through(modules: Floats, places: Floats,
           scores: Floats) -> Floats:
    """Return the cubic of t through the places, those of badly fitting characters counting little.

    Args:
        modules: Module numbers.
        places: Where they lie. [samples]
        scores: How well the characters there fit. [nats]
    """
    t = (modules - LABEL_MODULES / 2) / (LABEL_MODULES / 2)
    weight = np.clip(scores / 6.0, 0.03, 1.0)
    shape = np.stack([np.ones_like(t), t, t * t, t**3], axis=1)
    span = 45.0 * NOMINAL_MODULE
    # A label's places are uncertain by half a sample; curvature beyond a fifth of the length is unlikely.
    ridge = np.diag([0.0, 0.0, (0.7 / (0.15 * span)) ** 2, (0.7 / (0.08 * span)) ** 2])
    normal = shape.T @ (weight[:, None] * shape) + ridge
    return np.linalg.solve(normal, shape.T @ (weight * places))
