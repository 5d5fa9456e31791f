"""Weighing every character value at the places a geometry names, and improving the places.

At given places a character is one window of 22 samples, so all values under many blurs cost next to nothing. The
places are improved by moving and stretching each window a little and putting the cubic through the best ones.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from labels.reading import templates as tp
from labels.reading.arrays import Floats
from labels.reading.match import VALUES
from labels.reading.rectify import COLUMNS
from labels.reading.search import ANCHOR_FREEDOM, Geometry, cubic_through, fit

CHARACTER_NEUTRAL = 0.8
ANCHOR_NEUTRAL = 0.7
_PLACES = np.arange(11.0, 77.0, 11.0)
_OFFSETS = (np.arange(tp.CHARACTER_SAMPLES) + 0.5) / tp.SAMPLES
_CHARACTERS = _PLACES[:, None] + _OFFSETS[None, :]
_START = (np.arange(tp.ANCHOR_START_SAMPLES) + 0.5) / tp.SAMPLES - tp.ANCHOR_QUIET
_STOP = (np.arange(tp.ANCHOR_STOP_SAMPLES) + 0.5) / tp.SAMPLES + 77
# A window that lies more outside the crop than this says nothing.
_LEAST_INSIDE = 0.75
FINAL_CHARACTERS = tp.character_bank(tp.FINAL_BLURS)[:, :VALUES]
FINAL_START, FINAL_STOP = tp.anchor_bank(tp.FINAL_BLURS)
_COLUMN = np.arange(COLUMNS)


@dataclass(frozen=True, slots=True)
class Weighed:
    """What a profile says at the places of one geometry.

    Attributes:
        table: Log likelihoods of five pairs and the check, shape (6, 103). [nats]
        start, stop: How much better start and stop fit than chance. [nats]
        blur: Index of the blur that fits best.
    """

    table: Floats
    start: float
    stop: float
    blur: int

    @property
    def worth(self) -> float:
        """How much the places look like a label at all. [nats]"""
        return self.start + self.stop + float(self.table.max(axis=1).sum())


def _unit_windows(profile: Floats, places: Floats) -> Floats:
    """Return the profile at the places, without mean and slope, of length one; nothing where it lies outside."""
    windows = np.interp(places, _COLUMN, profile)
    slope = tp.ramp(windows.shape[-1])
    windows -= windows.mean(axis=-1, keepdims=True)
    windows -= (windows @ slope)[..., None] * slope
    windows /= np.linalg.norm(windows, axis=-1, keepdims=True) + 1e-6
    inside = ((places > -1) & (places < COLUMNS)).mean(axis=-1)
    windows[inside < _LEAST_INSIDE] = 0
    return windows.astype(np.float32)


def weigh(profile: Floats, geometry: Geometry, blur: int | None = None) -> Weighed:
    """Return the log likelihoods at a geometry's places, under the blur that fits best or a given one."""
    blurs = slice(None) if blur is None else slice(blur, blur + 1)
    windows = _unit_windows(profile, geometry.places(_CHARACTERS))
    start = FINAL_START[blurs] @ _unit_windows(profile, geometry.places(_START))
    stop = FINAL_STOP[blurs] @ _unit_windows(profile, geometry.places(_STOP))
    correlation = FINAL_CHARACTERS[blurs] @ windows.T
    total = (fit(correlation.max(axis=1), CHARACTER_NEUTRAL).sum(axis=1)
             + fit(start, ANCHOR_NEUTRAL, ANCHOR_FREEDOM) + fit(stop, ANCHOR_NEUTRAL, ANCHOR_FREEDOM))
    best = int(total.argmax())
    return Weighed(
        fit(np.ascontiguousarray(correlation[best].T), CHARACTER_NEUTRAL),
        float(fit(start[best], ANCHOR_NEUTRAL, ANCHOR_FREEDOM)),
        float(fit(stop[best], ANCHOR_NEUTRAL, ANCHOR_FREEDOM)),
        best if blur is None else blur,
    )


_SHIFTS = np.array([-1.0, -0.66, -0.33, 0.0, 0.33, 0.66, 1.0])
_STRETCHES = np.array([-0.6, 0.0, 0.6])
_MOVES = np.array([(shift, stretch) for shift in _SHIFTS for stretch in _STRETCHES])


def _moved(first: float, modules: float, samples: int, lead: float = 0.0) -> Floats:
    """Return module numbers of one character's windows under all moves, shape (moves, samples)."""
    inside = (np.arange(samples) + 0.5) / tp.SAMPLES - lead
    return np.asarray(first + inside + _MOVES[:, :1] + _MOVES[:, 1:] * (inside - modules / 2) / modules)


_MOVED = np.stack([_moved(first, 11, tp.CHARACTER_SAMPLES) for first in _PLACES])
_MOVED_START = _moved(0, 11, tp.ANCHOR_START_SAMPLES, tp.ANCHOR_QUIET)
_MOVED_STOP = _moved(77, 13, tp.ANCHOR_STOP_SAMPLES)
_FIRST = np.append(np.insert(_PLACES, 0, 0.0), 77.0)
_LAST = np.append(_FIRST[1:], 90.0)


def improve(profile: Floats, geometry: Geometry, blur: int) -> Geometry:
    """Return the geometry with its places moved to where each character fits best."""
    windows = _unit_windows(profile, geometry.places(_MOVED))
    data = (windows @ FINAL_CHARACTERS[blur].T).max(axis=2)
    start = _unit_windows(profile, geometry.places(_MOVED_START)) @ FINAL_START[blur]
    stop = _unit_windows(profile, geometry.places(_MOVED_STOP)) @ FINAL_STOP[blur]
    scores = np.concatenate([
        fit(start, ANCHOR_NEUTRAL, ANCHOR_FREEDOM)[None],
        fit(data, CHARACTER_NEUTRAL),
        fit(stop, ANCHOR_NEUTRAL, ANCHOR_FREEDOM)[None],
    ])
    best = scores.argmax(axis=1)
    shift, stretch = _MOVES[best, 0], _MOVES[best, 1]
    modules = np.concatenate([_FIRST, _LAST])
    seen = np.concatenate([_FIRST + shift - stretch / 2, _LAST + shift + stretch / 2])
    weights = np.tile(scores[np.arange(len(best)), best], 2)
    return Geometry(cubic_through(modules, geometry.places(seen), weights), geometry.score)


# Where a cubic is held while it is polished, and how far each of these places is moved at first. [modules]
_NODES = np.array([0.0, 30.0, 60.0, 90.0])
_FIRST_STEP, _LAST_STEP = 0.6, 0.1
_NODE_MOVES = np.concatenate([np.zeros((1, 4)), np.eye(4), -np.eye(4)])
_TO_CUBIC = np.linalg.inv(np.vander((_NODES - 45.0) / 45.0, 4, increasing=True))


def polish(profile: Floats, geometry: Geometry, blur: int) -> Geometry:
    """Return the geometry with the whole cubic moved to where the symbol fits best together.

    Characters that are torn off or smeared have no say, because they fit as badly anywhere.
    """
    nodes, step = geometry.places(_NODES), _FIRST_STEP * geometry.module_samples
    last = _LAST_STEP * geometry.module_samples
    while step > last:
        tried = nodes + step * _NODE_MOVES
        best = int(_joint_fit(profile, tried @ _TO_CUBIC.T, blur).argmax())
        nodes = tried[best]
        step *= 1.0 if best else 0.5
    return Geometry(_TO_CUBIC @ nodes, geometry.score)


_POWERS = {name: np.vander((modules.reshape(-1) - 45.0) / 45.0, 4, increasing=True)
           for name, modules in (("start", _START), ("characters", _CHARACTERS), ("stop", _STOP))}


def _joint_fit(profile: Floats, cubics: Floats, blur: int) -> Floats:
    """Return how well the whole symbol fits under each of several cubics, shape (cubics,). [nats]"""
    def windows(name: str, shape: tuple[int, ...]) -> Floats:
        return _unit_windows(profile, (cubics @ _POWERS[name].T).reshape(len(cubics), *shape))

    start = windows("start", _START.shape) @ FINAL_START[blur]
    stop = windows("stop", _STOP.shape) @ FINAL_STOP[blur]
    characters = (windows("characters", _CHARACTERS.shape) @ FINAL_CHARACTERS[blur].T).max(axis=2)
    return np.asarray(fit(start, ANCHOR_NEUTRAL, ANCHOR_FREEDOM) + fit(stop, ANCHOR_NEUTRAL, ANCHOR_FREEDOM)
                      + fit(characters, CHARACTER_NEUTRAL).sum(axis=1) - warp(cubics))


# Perspective and a cylinder bend a label's places no more than this, as parts of its half length.
_BEND, _TWIST, _MOST_WARP = 0.03, 0.025, 6.0


def warp(cubics: Floats) -> Floats:
    """Return how unlikely the unevenness of cubics is for a label, last axis the coefficients. [nats]"""
    bend = 0.5 * (cubics[..., 2] / cubics[..., 1] / _BEND) ** 2
    twist = 0.5 * (cubics[..., 3] / cubics[..., 1] / _TWIST) ** 2
    return np.asarray(np.minimum(bend, _MOST_WARP) + np.minimum(twist, _MOST_WARP))
