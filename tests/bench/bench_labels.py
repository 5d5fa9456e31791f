"""How well labels are read: by kind and severity of trouble, beside pyzbar and zxing-cpp on the same pictures.

The table of all kinds and severities goes to stderr, the figures to the runner. Times are those of one core in
processor time, so that other work on the machine does not count. At full size there are 3,050 pictures with labels
and 10,000 without an issued one; LABEL_PICTURES=0.1 makes it a tenth of that. LABEL_SEED starts at other pictures,
LABEL_WORKERS says how many processes work (all cores when left out).
"""

from __future__ import annotations

import math
import os
import statistics
import sys
import time
from collections.abc import Callable, Iterator
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass, field
from multiprocessing import get_context

os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")

import cv2
import numpy as np
import zxingcpp
from figures import Figure, beside
from label_damage import BARS_MM, MODULE_MM
from label_pictures import (
    KINDS,
    NEGATIVES,
    SEVERITIES,
    SINGLE_KINDS,
    Picture,
    draw,
    draw_negative,
    draw_second,
    issued_numbers,
)
from label_scenes import picture_points

from labels.number import Kind, compose
from labels.reading import FrameAccumulator, Reader
from labels.reading.decide import (
    ALL_STRINGS,
    FALSE_ACCEPTS_A_FRAME,
    blank_places,
    least_evidence,
    texture_candidates,
)
from labels.reading.decode import code128_texts
from labels.reading.match import IssuedIndex, match_issued
from labels.reading.reader import Look
from labels.reading.rectify import COLUMNS, NOMINAL_MODULE, ROWS, flat_profile
from labels.reading.search import Geometry
from labels.reading.weigh import weigh
from labels.symbol import LABEL_MODULES

BENCH = "labels"
ISSUED = 20_000
PEERS = ("pyzbar", "zxing-cpp")
OURS, OURS_FREE = "ours", "ours without issued set"
READERS = (*PEERS, OURS_FREE, OURS)

LIKENESS = (16, 20, 24, 28, 32, 36, 40, 44, 48, 52)
_SINGLES, _MIXED, _NEGATIVES, _SECONDS = 30, 150, 10_000, 20
_SECONDS_OF = (("mixed", 3), ("mixed", 4), ("mixed", 5), ("glare", 4), ("glare", 5))
_CODE128 = zxingcpp.BarcodeFormat.Code128


@dataclass(frozen=True)
class Job:
    """One picture to be drawn and read: a kind and severity, or a sort of negative with severity 0."""

    kind: str
    severity: int
    seed: int


@dataclass
class Outcome:
    """What became of one picture: the number in it, and per reader what it read and in what time. [ms]

    Of a picture without a label also the candidates that texture gave: likeness, blank places, evidence.
    """

    job: Job
    number: str | None
    read: dict[str, list[str]] = field(default_factory=dict)
    took_ms: dict[str, float] = field(default_factory=dict)
    texture: list[tuple[float, int, float]] = field(default_factory=list)
    is_legible: bool = False

    def is_right(self, reader: str) -> bool:
        return self.number is not None and self.number in self.read[reader]

    def wrong(self, reader: str) -> int:
        """How many texts were read that are not in the picture."""
        return sum(text != self.number for text in self.read[reader])


_issued: list[str] = []
_ours: list[Reader] = []
_readers: dict[str, Callable[[np.ndarray], list[str]]] = {}


def _number_of(reader: Reader) -> Callable[[np.ndarray], list[str]]:
    def read(image: np.ndarray) -> list[str]:
        number = reader.read(image).number
        return [number] if number else []

    return read


def _zxing(image: np.ndarray) -> list[str]:
    return [symbol.text for symbol in zxingcpp.read_barcodes(image, formats=_CODE128)]


def prepare() -> None:
    """Set up a worker."""
    cv2.setNumThreads(1)
    # zbar writes its assertions to stderr.
    os.dup2(os.open(os.devnull, os.O_WRONLY), 2)
    _issued[:] = issued_numbers(ISSUED)
    _ours[:] = [Reader(_issued)]
    _readers.update({"pyzbar": code128_texts, "zxing-cpp": _zxing, OURS_FREE: _number_of(Reader()),
                     OURS: _number_of(_ours[0])})


def _picture(job: Job) -> Picture:
    if job.severity == 0:
        return draw_negative(job.kind, job.seed)
    which = (job.seed * 7919 + job.severity * 101 + KINDS.index(job.kind) * 13) % ISSUED
    return draw(job.kind, job.severity, job.seed, _issued[which])


def outcome(job: Job) -> Outcome:
    """Draw one picture and let everyone read it; negatives are for ours with the issued set alone."""
    picture = _picture(job)
    result = Outcome(job, picture.number if job.severity else None)
    if job.kind == "no label":
        look = Look(_ours[0], picture.image)
        start = time.process_time()
        number = look.reading().number
        result.took_ms[OURS] = (time.process_time() - start) * 1000.0
        result.read[OURS] = [number] if number else []
        result.texture = [(one.likeness, blank_places(one.table), one.match.evidence)
                          for one in look.candidates]
        return result
    result.is_legible = job.severity > 0 and is_legible(picture)
    for name in READERS if job.severity else (OURS,):
        start = time.process_time()
        result.read[name] = _readers[name](picture.image)
        result.took_ms[name] = (time.process_time() - start) * 1000.0
    return result


def jobs(share: float, seed: int) -> list[Job]:
    """Return what to draw; at least two pictures of each kind and severity."""
    def some(count: int) -> range:
        return range(seed, seed + max(2, round(count * share)))

    made = [Job(kind, severity, one) for kind in ("clean", *SINGLE_KINDS) for severity in SEVERITIES
            for one in some(_SINGLES)]
    made += [Job("mixed", severity, one) for severity in SEVERITIES for one in some(_MIXED)]
    return made + [Job(sort, 0, one) for sort in NEGATIVES for one in some(-(-_NEGATIVES // len(NEGATIVES)))]


def is_legible(picture: Picture) -> bool:
    """Return whether the right number comes first where the label's true place is given.

    What is not legible even so has too little left on it: glare over half the bars, print gone. The search for the
    place and the rule of acceptance can only lose from here.
    """
    even = Geometry(np.array([(COLUMNS - 1) / 2, LABEL_MODULES / 2 * NOMINAL_MODULE, 0.0, 0.0]), 0.0)
    along = (np.arange(COLUMNS) - (COLUMNS - 1) / 2) / NOMINAL_MODULE * MODULE_MM
    across = np.linspace(-0.47, 0.47, 3 * ROWS) * BARS_MM[1]
    places = picture_points(*np.meshgrid(along, across), picture.pose).astype(np.float32)
    seen = cv2.remap(picture.image, places[..., 0], places[..., 1], cv2.INTER_CUBIC, borderMode=cv2.BORDER_REPLICATE)
    rows = seen.astype(np.float32).reshape(ROWS, 3, COLUMNS).mean(axis=1)
    table = weigh(flat_profile(rows), even).table
    return match_issued(table, _ours[0].issued).digits == picture.number


@dataclass(frozen=True)
class Second:
    """What became of a hand-held second: read from its first frame, from any one frame, from all added up."""

    job: Job
    first: bool
    single: bool
    together: bool
    wrong: int


def second(job: Job) -> Second:
    """Draw the frames of a second and read them one by one and added up."""
    number = _issued[(job.seed * 7919 + job.severity * 101 + KINDS.index(job.kind) * 13) % ISSUED]
    frames = draw_second(job.kind, job.severity, job.seed, number)
    alone = [_ours[0].read(frame.image).number for frame in frames]
    adding = FrameAccumulator(_ours[0], clock=lambda: 0.0)
    added = [adding.add(frame.image).number for frame in frames]
    return Second(job, alone[0] == number, number in alone, number in added,
                  sum(one not in (None, number) for one in (*alone, *added)))


def seconds(share: float, seed: int) -> list[Job]:
    """Return which seconds to draw; at least two of each kind and severity."""
    return [Job(kind, severity, one) for kind, severity in _SECONDS_OF
            for one in range(seed, seed + max(2, round(_SECONDS * share)))]


def run() -> list[Figure]:
    """Draw, read and count."""
    share, seed = float(os.environ.get("LABEL_PICTURES", "1")), int(os.environ.get("LABEL_SEED", "0"))
    workers = int(os.environ.get("LABEL_WORKERS", str(os.cpu_count())))
    # Forking a process that has used OpenCV's threads may hang, so workers come from a fresh one.
    with ProcessPoolExecutor(workers, get_context("forkserver"), prepare) as pool:
        outcomes = list(pool.map(outcome, jobs(share, seed), chunksize=8))
        held = list(pool.map(second, seconds(share, seed)))
    return figures(outcomes, held)


def figures(outcomes: list[Outcome], held: list[Second]) -> list[Figure]:
    """Print the table and return the figures."""
    _print_table(outcomes)
    labelled = [one for one in outcomes if one.job.severity]
    return [*_rates(labelled), *_legible(labelled), *_wrong(outcomes), *_times(outcomes), *_calibration(outcomes),
            *_several_frames(held), *_cost_of_issued()]


def _several_frames(held: list[Second]) -> Iterator[Figure]:
    """Tell what the frames of a second add to the first, and to the best single one of them."""
    def share(group: list[Second], which: str) -> float:
        return 100.0 * sum(getattr(one, which) for one in group) / max(1, len(group))

    for kind, severity in _SECONDS_OF:
        group = [one for one in held if (one.job.kind, one.job.severity) == (kind, severity)]
        name = f"read within a second, {kind} {severity}"
        yield beside(BENCH, name, share(group, "together"), "%", "first frame", share(group, "first"), len(group))
        yield beside(BENCH, name, share(group, "together"), "%", "any one frame", share(group, "single"), len(group))
    yield Figure(BENCH, "wrong reads, several frames", sum(one.wrong for one in held), "", cases=len(held))


def _rate(outcomes: list[Outcome], reader: str) -> float:
    return 100.0 * sum(one.is_right(reader) for one in outcomes) / max(1, len(outcomes))


def _rates(labelled: list[Outcome]) -> Iterator[Figure]:
    groups = {"mixed read rate": [one for one in labelled if one.job.kind == "mixed"]}
    singles = [one for one in labelled if one.job.kind in SINGLE_KINDS]
    groups["single read rate"] = singles
    groups |= {f"single read rate {kind}": [one for one in singles if one.job.kind == kind]
               for kind in SINGLE_KINDS}
    for figure, group in groups.items():
        for peer in PEERS:
            yield beside(BENCH, figure, _rate(group, OURS), "%", peer, _rate(group, peer), len(group))
        yield Figure(BENCH, figure + ", without issued set", _rate(group, OURS_FREE), "%", cases=len(group))


def _legible(labelled: list[Outcome]) -> Iterator[Figure]:
    """Tell in how many pictures the number comes first once its place is known: more cannot be read from one frame."""
    for kind in ("mixed", *SINGLE_KINDS):
        group = [one for one in labelled if one.job.kind == kind]
        legible = 100.0 * sum(one.is_legible for one in group) / max(1, len(group))
        yield beside(BENCH, f"legible at its true place, {kind}", legible, "%", OURS, _rate(group, OURS), len(group))


def _wrong(outcomes: list[Outcome]) -> Iterator[Figure]:
    labelled = [one for one in outcomes if one.job.severity]
    ours = sum(one.wrong(OURS) for one in outcomes)
    for peer in PEERS:
        # The peers read the pictures with labels only; of a foreign symbol any text of theirs would be right.
        theirs = sum(one.wrong(peer) for one in labelled)
        yield Figure(BENCH, "wrong reads", ours, "", peer, theirs, None, len(outcomes))
    yield Figure(BENCH, "wrong reads, without issued set", sum(one.wrong(OURS_FREE) for one in labelled), "",
                 cases=len(labelled))


def _times(outcomes: list[Outcome]) -> Iterator[Figure]:
    labelled = [one for one in outcomes if one.job.severity]
    clean = [one for one in labelled if one.job.kind == "clean"]

    def middle(group: list[Outcome], reader: str) -> float:
        return statistics.median(one.took_ms[reader] for one in group)

    def late(group: list[Outcome], reader: str) -> float:
        return float(np.percentile([one.took_ms[reader] for one in group], 95))

    for peer in PEERS:
        yield beside(BENCH, "time median", middle(labelled, OURS), "ms", peer, middle(labelled, peer), len(labelled))
        yield beside(BENCH, "time p95", late(labelled, OURS), "ms", peer, late(labelled, peer), len(labelled))
        yield beside(BENCH, "time median clean", middle(clean, OURS), "ms", peer, middle(clean, peer), len(clean))
    for sort in NEGATIVES:
        group = [one for one in outcomes if one.job.kind == sort]
        yield Figure(BENCH, f"time median {sort}", middle(group, OURS), "ms", cases=len(group))
        yield Figure(BENCH, f"time p95 {sort}", late(group, OURS), "ms", cases=len(group))


def _calibration(outcomes: list[Outcome]) -> Iterator[Figure]:
    """Count the candidates of texture by likeness and blank places, on which the rule of acceptance rests."""
    frames = [one for one in outcomes if one.job.kind == "no label"]
    found = [candidate for one in frames for candidate in one.texture]
    for blank in range(3):
        for like in LIKENESS:
            count = sum(one >= like and min(places, 2) == blank for one, places, _ in found)
            yield beside(BENCH, f"texture candidates, likeness {like}, blank {blank}", count / len(frames),
                         "a frame", "allowed for", texture_candidates(like, blank), len(frames))
    greatest = max((evidence for _, _, evidence in found), default=float("-inf"))
    yield Figure(BENCH, "greatest evidence of texture", greatest, "nats", cases=len(found))
    for issued in (1_000, ISSUED, 200_000):
        chance = sum(chance_accepted(like, places, issued) for like, places, _ in found) / len(frames)
        yield beside(BENCH, f"false accepts by the model, {issued} issued", 1e6 * chance, "a million frames",
                     "budget", 1e6 * FALSE_ACCEPTS_A_FRAME, len(frames))


def chance_accepted(like: float, blank: int, issued: int) -> float:
    """Return the chance that a counted candidate would hit an issued number with enough evidence."""
    least = least_evidence(like, blank, issued)
    return math.exp(-least) * issued / ALL_STRINGS if least <= 0 else 0.0


def _cost_of_issued() -> Iterator[Figure]:
    """Time one match against issued sets of three sizes; random numbers, for 200,000 cannot all be apart."""
    rng = np.random.default_rng(5)
    table = rng.normal(0, 3, (6, 103)).astype(np.float32)
    for count in (1_000, 20_000, 200_000):
        index = IssuedIndex(compose(Kind.COMPONENT, one // 10_000, one % 10_000) for one in range(count))
        times = []
        for _ in range(30):
            start = time.process_time()
            index.best(table)
            times.append((time.process_time() - start) * 1000.0)
        yield Figure(BENCH, f"time to match {count} issued numbers", statistics.median(times), "ms", cases=30)


def _print_table(outcomes: list[Outcome]) -> None:
    """Print the read rates of every reader by kind and severity."""
    print("read rate in % at severity 1 2 3 4 5, wrong texts, ms median / p95", file=sys.stderr)
    for kind in KINDS:
        for reader in READERS:
            group = [one for one in outcomes if one.job.kind == kind]
            rates = " ".join(f"{_rate([one for one in group if one.job.severity == severity], reader):4.0f}"
                             for severity in SEVERITIES)
            took = [one.took_ms[reader] for one in group]
            print(f"{kind:14} {reader:24} {rates}  wrong {sum(one.wrong(reader) for one in group):2}"
                  f"  {statistics.median(took):4.0f} / {np.percentile(took, 95):4.0f}", file=sys.stderr)
    for sort in NEGATIVES:
        group = [one for one in outcomes if one.job.kind == sort]
        took = [one.took_ms[OURS] for one in group]
        print(f"{sort:14} {OURS:24} {len(group)} pictures, wrong {sum(one.wrong(OURS) for one in group)}"
              f"  {statistics.median(took):4.0f} / {np.percentile(took, 95):4.0f}", file=sys.stderr)


if __name__ == "__main__":
    for one in run():
        print(one)
