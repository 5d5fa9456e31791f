"""Where the eight characters of a label lie along a profile.

Every character is compared with the profile at every place and twenty widths; start, five pairs, check and stop are
then joined by dynamic programming, with a small price on changes of width. Windows without contrast and characters
outside the crop are neutral, not wrong: that is what reads torn labels. A cubic of the module number through the
places holds tilt and curvature.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from labels.reading import templates as tp
from labels.reading.rectify import COLUMNS, NOMINAL_MODULE, Floats
from labels.symbol import CHARACTER_MODULES, LABEL_MODULES

_WIDTHS = 20
_WIDTH_STEP = 1.06
MODULE_SAMPLES = NOMINAL_MODULE * _WIDTH_STEP ** (np.arange(_WIDTHS) - 10.0)
_BEYOND = 140
_PLACES = COLUMNS + 2 * _BEYOND
_UPSAMPLE = 4
_WIDTH_PRICE = 0.35
_TURNS = 3
CHARACTERS_IN_LABEL = 8
# Degrees of freedom of a character's 22 samples: its eleven modules.
FREEDOM = 11.0
_SOFT = 0.02
# A window with less than this part of the usual contrast says nothing.
_LEAST_CONTRAST = 0.25


@dataclass(frozen=True, slots=True)
class Geometry:
    """Where a module number lies along the profile: a cubic of t = (module - 45) / 45.

    Attributes:
        cubic: Coefficients of 1, t, t², t³. [samples]
        score: How well start, characters and stop fit. [nats]
    """

    cubic: NDArray[np.float64]
    score: float

    def places(self, modules: NDArray[np.float64]) -> NDArray[np.float64]:
        """Return where along the profile these module numbers lie. [samples]"""
        t = (modules - LABEL_MODULES / 2) / (LABEL_MODULES / 2)
        a, b, c, d = self.cubic
        return a + t * (b + t * (c + t * d))

    @property
    def module_samples(self) -> float:
        """Mean width of a module. [samples]"""
        return float(self.cubic[1] / (LABEL_MODULES / 2))


def fit(correlation: Floats, neutral: float) -> Floats:
    """Return how much better than `neutral` a correlation is, in nats.

    A window of unknown brightness, contrast and noise has the log likelihood -n/2 log(1 - r²) up to a constant.
    """
    good = np.clip(correlation, 0, 1)
    level = np.log(1 - neutral**2 + _SOFT)
    return (-0.5 * FREEDOM * (np.log(1 - good * good + _SOFT) - level)).astype(np.float32)


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


def _windows(fine: Floats, name: str) -> tuple[Floats, Floats]:
    """Return the windows of mean zero, shape (widths * places, samples), and their lengths."""
    windows = fine.take(_INDEX[name])
    samples = windows.shape[-1]
    mean = windows @ np.full(samples, 1 / samples, np.float32)
    square = np.einsum("wps,wps->wp", windows, windows) - samples * mean * mean
    # The patterns are of mean zero, so the windows' own means need not be taken off.
    return windows.reshape(-1, samples), np.sqrt(np.maximum(square, 0))


def _correlations(fine: Floats, name: str, bank: Floats) -> tuple[Floats, Floats]:
    """Return the best correlation over the bank at each width and place, and the windows' lengths."""
    windows, length = _windows(fine, name)
    best = (bank @ windows.T).max(axis=0).reshape(length.shape)
    return best / (length + 1e-6), length


@dataclass(frozen=True, slots=True)
class Scores:
    """Scores of start, data and stop at each width and place, neutral where nothing can be said. [nats]"""

    start: Floats
    data: Floats
    stop: Floats


def score_profile(profile: Floats) -> Scores:
    """Return how well each character fits everywhere along a profile, shape (384,)."""
    positions = np.arange(COLUMNS * _UPSAMPLE) / _UPSAMPLE
    fine = np.interp(positions, np.arange(COLUMNS), profile).astype(np.float32)
    start_bank, stop_bank = tp.anchor_bank(tp.SEARCH_BLURS)
    bank = tp.character_bank(tp.SEARCH_BLURS)[:, :103].reshape(-1, tp.CHARACTER_SAMPLES)
    data, length = _correlations(fine, "character", bank)
    usual = float(np.percentile(length, 75))
    start, start_length = _correlations(fine, "start", start_bank)
    stop, stop_length = _correlations(fine, "stop", stop_bank)
    return Scores(
        _padded(fit(start, 0.6), start_length > 1.2 * _LEAST_CONTRAST * usual, "start"),
        _padded(fit(data, 0.8), length > _LEAST_CONTRAST * usual, "character"),
        _padded(fit(stop, 0.6), stop_length > 1.2 * _LEAST_CONTRAST * usual, "stop"),
    )


def _padded(score: Floats, has_contrast: NDArray[np.bool_], name: str) -> Floats:
    result = np.zeros((_WIDTHS, _PLACES), np.float32)
    result[:, _BEYOND : _BEYOND + COLUMNS] = np.where(has_contrast & _WHOLE[name], score, 0)
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
    """Return the likeliest places of the eight characters, best first, distinct ones only."""
    tails = [scores.stop]
    for character in range(CHARACTERS_IN_LABEL - 2, -1, -1):
        best = _best_turn(tails[-1]).reshape(-1)
        own = scores.start if character == 0 else scores.data
        tails.append(own + np.maximum(best.take(_NEXT), best.take(_NEXT_PLUS)))
    tails.reverse()
    return [_trace(scores, tails, width, place, score) for width, place, score in _peaks(tails[0], most)]


def _peaks(total: Floats, most: int) -> list[tuple[int, int, float]]:
    total = total.copy()
    peaks = []
    for _ in range(most):
        width, place = divmod(int(total.argmax()), _PLACES)
        score = float(total[width, place])
        if score <= 0:
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
    return Geometry(_cubic(modules, np.array(places) - _BEYOND, np.array(weights)), score)


def _step(tail: Floats, width: int, place: int) -> tuple[int, int]:
    """Return the width and place from which the rest of the way is best."""
    widths = np.arange(max(0, width - _TURNS), min(_WIDTHS, width + _TURNS + 1))
    worth = tail[widths, place : place + 2] - _WIDTH_PRICE * ((widths - width) ** 2)[:, None]
    turn, shift = divmod(int(worth.argmax()), 2)
    return int(widths[turn]), place + shift


def _cubic(modules: NDArray[np.float64], places: NDArray[np.float64],
           scores: NDArray[np.float64]) -> NDArray[np.float64]:
    """Return the cubic through the places, those of badly fitting characters counting little."""
    t = (modules - LABEL_MODULES / 2) / (LABEL_MODULES / 2)
    weight = np.clip(scores / 6.0, 0.03, 1.0)
    shape = np.stack([np.ones_like(t), t, t * t, t**3], axis=1)
    span = 45.0 * NOMINAL_MODULE
    # A label's places are uncertain by half a sample; curvature beyond a fifth of the length is unlikely.
    ridge = np.diag([0.0, 0.0, (0.7 / (0.15 * span)) ** 2, (0.7 / (0.08 * span)) ** 2])
    normal = shape.T @ (weight[:, None] * shape) + ridge
    return np.linalg.solve(normal, shape.T @ (weight * places))
