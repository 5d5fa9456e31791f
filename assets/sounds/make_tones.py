"""Writes the kiosk's four tones: `python assets/sounds/make_tones.py`. 16 kHz, 8 bit, mono; each with its own rhythm.

They differ in pitch and in number of beats, so that they can be told apart beside a running engine.
"""

from __future__ import annotations

import wave
from pathlib import Path

import numpy as np

RATE_HZ = 16000
# Beats as (pitch in hertz, length in seconds); pitch 0 is a rest.
TONES = {
    "read": ((1760, 0.09),),
    "saved": ((1047, 0.10), (1568, 0.18)),
    "refused": ((330, 0.16), (0, 0.06), (247, 0.30)),
    "timer": ((1319, 0.12), (0, 0.08), (1319, 0.12), (0, 0.08), (1319, 0.24)),
}


def beat(pitch_hertz: float, length_s: float) -> np.ndarray:
    """Return one beat with soft ends, -1..1."""
    times = np.arange(int(RATE_HZ * length_s)) / RATE_HZ
    ends = np.minimum(1.0, np.minimum(times, length_s - times) / 0.008)
    wave_form = np.sin(2 * np.pi * pitch_hertz * times) + 0.3 * np.sin(6 * np.pi * pitch_hertz * times)
    return np.clip(ends, 0, 1) * wave_form / 1.3


def main() -> None:
    """Write every tone beside this file."""
    for name, beats in TONES.items():
        samples = np.concatenate([beat(*part) for part in beats])
        with wave.open(str(Path(__file__).with_name(f"{name}.wav")), "wb") as file:
            file.setnchannels(1)
            file.setsampwidth(1)
            file.setframerate(RATE_HZ)
            file.writeframes((127.5 + 100 * samples).astype(np.uint8).tobytes())


if __name__ == "__main__":
    main()
