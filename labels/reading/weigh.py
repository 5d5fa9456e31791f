"""Weighing every character value at the places a geometry names.

(working version)
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from labels.reading import templates as tp
from labels.reading.rectify import COLUMNS, Floats
from labels.reading.search import FREEDOM, Geometry, fit

_STARTS = np.arange(11.0, 77.0, 11.0)
_CHAR = (np.arange(tp.CHARACTER_SAMPLES) + 0.5) / tp.SAMPLES
_MODULES = _STARTS[:, None] + _CHAR[None, :]
_START_MODULES = (np.arange(tp.ANCHOR_START_SAMPLES) + 0.5) / tp.SAMPLES - tp.ANCHOR_QUIET
_STOP_MODULES = (np.arange(tp.ANCHOR_STOP_SAMPLES) + 0.5) / tp.SAMPLES + 77


@dataclass(frozen=True)
class Weighed:
    table: Floats
    start: float
    stop: float
    blur: tp.Blur


def _unit_windows(profile: Floats, places: NDArray[np.float64]) -> Floats:
    w = np.interp(places, np.arange(COLUMNS), profile)
    inside = (places > -1) & (places < COLUMNS)
    w = w - w.mean(axis=-1, keepdims=True)
    n = np.linalg.norm(w, axis=-1, keepdims=True) + 1e-6
    out = (w / n).astype(np.float32)
    out[inside.mean(axis=-1) < 0.75] = 0
    return out


def weigh(profile: Floats, geometry: Geometry, blurs: tuple[tp.Blur, ...]) -> Weighed:
    chars = _unit_windows(profile, geometry.places(_MODULES))
    start = _unit_windows(profile, geometry.places(_START_MODULES))
    stop = _unit_windows(profile, geometry.places(_STOP_MODULES))
    bank = tp.character_bank(blurs)
    sb, eb = tp.anchor_bank(blurs)
    corr = np.einsum("ps,bvs->bpv", chars, bank[:, :103], optimize=True)
    cs, ce = sb @ start, eb @ stop
    total = fit(corr.max(axis=2), 0.8).sum(axis=1) + fit(cs, 0.6) + fit(ce, 0.6)
    b = int(total.argmax())
    return Weighed(fit(corr[b], 0.8), float(fit(cs[b], 0.6)), float(fit(ce[b], 0.6)), blurs[b])
