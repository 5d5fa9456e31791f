"""One measured figure beside its peer of the same run, how to time a call, and how figures are printed."""

from __future__ import annotations

import json
import statistics
import time
from collections.abc import Callable, Iterable
from dataclasses import asdict, dataclass


@dataclass(frozen=True)
class Figure:
    """One measured figure.

    Args:
        bench: Name of the bench, as on the command line: 'scan-to-form'.
        figure: What was measured, in words.
        value: The measured value.
        unit: Its unit: 'ms', 'MB', 'adjustments', '' for a plain count.
        peer: What it is compared with, measured in the same run; '' where there is no peer.
        peer_value: The peer's value in the same unit, None where there is no peer.
        ratio: value / peer_value, None where there is no peer or the peer is zero.
        cases: How many cases the value was taken over.
    """

    bench: str
    figure: str
    value: float
    unit: str
    peer: str = ""
    peer_value: float | None = None
    ratio: float | None = None
    cases: int = 1


def beside(bench: str, figure: str, value: float, unit: str, peer: str, peer_value: float,
           cases: int) -> Figure:
    """Return a figure with the ratio to its peer worked out."""
    ratio = value / peer_value if peer_value else None
    return Figure(bench, figure, value, unit, peer, peer_value, ratio, cases)


def call_times_ms(call: Callable[[], object], cases: int) -> list[float]:
    """Return how long each of `cases` calls took, in milliseconds, after three calls to warm up."""
    for _ in range(3):
        call()
    times = []
    for _ in range(cases):
        start = time.perf_counter()
        call()
        times.append((time.perf_counter() - start) * 1000.0)
    return times


def median_ms(call: Callable[[], object], cases: int) -> float:
    """Return the median time of one call in milliseconds."""
    return statistics.median(call_times_ms(call, cases))


def as_json(figure: Figure) -> str:
    """Return the figure as one JSON object on one line."""
    return json.dumps(asdict(figure), ensure_ascii=False)


def as_table(figures: Iterable[Figure]) -> str:
    """Return the figures as a table of aligned columns."""
    rows: list[tuple[str, ...]] = [("bench", "figure", "value", "unit", "peer", "peer value", "ratio", "cases")]
    rows += [_row(figure) for figure in figures]
    widths = [max(len(row[column]) for row in rows) for column in range(len(rows[0]))]
    lines = ["  ".join(cell.ljust(width) for cell, width in zip(row, widths, strict=True)).rstrip()
             for row in rows]
    return "\n".join(lines)


def _row(figure: Figure) -> tuple[str, ...]:
    return (figure.bench, figure.figure, _text(figure.value), figure.unit, figure.peer,
            _text(figure.peer_value), _text(figure.ratio), str(figure.cases))


def _text(value: float | None) -> str:
    return "" if value is None else f"{value:,.4g}"
