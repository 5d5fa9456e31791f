"""From a scan to the frame that shows the part, and from the touch to the frame that says saved, on the demo yard."""

from __future__ import annotations

from demo_yard import demo_yard, measured
from figures import Figure, beside

BENCH = "scan-to-form"


def run() -> list[Figure]:
    """Scan parts of every kind, grease bearings; the peer is one redrawn frame of a bare window."""
    with demo_yard() as shop:
        kiosk, bare = measured("scans", shop), measured("bare", shop)
    frame, peer = bare["frame_ms"], "bare window's frame"
    scans, saves = int(kiosk["scans"]), int(kiosk["saves"])
    memory, bare_memory = kiosk["memory_after_mb"], bare["memory_mb"]
    return [
        beside(BENCH, "scan to form", kiosk["scan_to_form_ms"], "ms", peer, frame, scans),
        beside(BENCH, "scan to form, worst", kiosk["scan_to_form_worst_ms"], "ms", peer, frame, scans),
        beside(BENCH, "touch to saved on screen", kiosk["touch_to_saved_ms"], "ms", peer, frame, saves),
        beside(BENCH, "memory after the scans", memory, "MB", "bare Kivy window", bare_memory, 1),
    ]
