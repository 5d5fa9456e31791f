"""A line between kiosks and the hub that is cut, stalls and delays at random: a small TCP relay on loopback."""

from __future__ import annotations

import random
import socket
import threading
import time
from collections.abc import Callable
from contextlib import suppress

from postgres import free_port

_CHUNK = 16_384


class CutLine:
    """Relays connections to a port; each piece may be late, and now and then all lines break.

    Args:
        target: Port of loopback that is spoken to. `seed`: of the chance.
    """

    def __init__(self, target: int, seed: int) -> None:
        self.port = free_port()
        self._target, self._chance = target, random.Random(seed)
        self._lines: list[socket.socket] = []
        self._is_cut = False
        self._stopping = threading.Event()
        self.cuts = 0
        self.longest_delay_s = 0.0
        self._listener = socket.create_server(("127.0.0.1", self.port))
        self._thread = threading.Thread(target=self._listen, daemon=True)
        self._thread.start()

    def cut(self, for_s: float) -> None:
        """Break every line and let none through for a time."""
        self.cuts += 1
        self._is_cut = True
        self._break_all()
        self._stopping.wait(for_s)
        self._is_cut = False

    def break_mid_way(self) -> None:
        """Break every line once, whatever is on its way."""
        self.cuts += 1
        self._break_all()

    def close(self) -> None:
        """Stop."""
        self._stopping.set()
        self._listener.close()
        self._break_all()

    def _break_all(self) -> None:
        lines, self._lines = self._lines, []
        for line in lines:
            with suppress(OSError):
                line.shutdown(socket.SHUT_RDWR)
            line.close()

    def _listen(self) -> None:
        while not self._stopping.is_set():
            try:
                near, _ = self._listener.accept()
                if self._is_cut:
                    near.close()
                    continue
                far = socket.create_connection(("127.0.0.1", self._target), timeout=5)
                far.settimeout(None)
            except OSError:
                continue
            self._lines += [near, far]
            for source, sink in ((near, far), (far, near)):
                threading.Thread(target=self._relay, args=(source, sink), daemon=True).start()

    def _relay(self, source: socket.socket, sink: socket.socket) -> None:
        with suppress(OSError):
            while piece := source.recv(_CHUNK):
                if self.longest_delay_s:
                    time.sleep(self._chance.uniform(0, self.longest_delay_s))
                sink.sendall(piece)
        for line in (source, sink):
            with suppress(OSError):
                line.shutdown(socket.SHUT_RDWR)
            line.close()


def chaos(line: CutLine, until: float, chance: random.Random, also: Callable[[], None] = lambda: None) -> None:
    """Cut, delay and break a line at random until a time of the steady clock."""
    while time.monotonic() < until:
        what = chance.random()
        if what < 0.4:
            line.break_mid_way()
        elif what < 0.7:
            line.cut(chance.uniform(0.1, 1.5))
        else:
            line.longest_delay_s = chance.choice((0.0, 0.0, 0.01, 0.05))
        also()
        time.sleep(chance.uniform(0.05, 1.0))
    line.longest_delay_s = 0.0
