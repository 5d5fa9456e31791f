"""Bad input by the hundred thousand: no crash, no hang past a second, no write outside its folder, memory bounded.

Good examples are spoiled by a seeded mutator whose corpus first grew by what reached new lines of the code under it.
Each core works in a process of its own; one that dies or stands still is a crash or a hang of the case it was at.
`KIOSK_FUZZ_SHARE=0.1` runs a tenth, `KIOSK_FUZZ_SEED=7` another stream of chance.
"""

from __future__ import annotations

import json
import os
import random
import resource
import subprocess
import sys
import tempfile
import time
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from figures import Figure

BENCH = "fuzz"
# Of the case's own processor time, so that a busy machine makes no hang; in all, ten times that.
HANGS_AFTER_S = 1.0
DEAD_AFTER_S = 60.0
MOST_MEMORY_MB = 2_500
GROWING_ROUNDS = 600
_CHANGES = ("os.remove", "os.rename", "os.mkdir", "os.rmdir", "os.truncate")
_WRITING = os.O_WRONLY | os.O_RDWR | os.O_CREAT | os.O_TRUNC | os.O_APPEND


@dataclass
class Tally:
    """What one process found. `longest_s`: the longest case. [s] `memory_mb`: the most it had resident. [MB]"""

    cases: int = 0
    refused: int = 0
    crashes: list[str] = field(default_factory=list)
    hangs: list[str] = field(default_factory=list)
    by_target: dict[str, int] = field(default_factory=dict)
    longest_s: float = 0.0
    memory_mb: float = 0.0


def run() -> list[Figure]:
    """Fuzz every way in, on every core."""
    tallies = [_finished(worker) for worker in _workers()]
    found = [line for tally in tallies for line in (*tally.crashes, *tally.hangs)]
    print("\n".join(found[:20]), file=sys.stderr)
    cases = sum(tally.cases for tally in tallies)
    return [
        Figure(BENCH, "cases", cases, "", cases=cases),
        Figure(BENCH, "crashes", sum(len(tally.crashes) for tally in tallies), "", cases=cases),
        Figure(BENCH, "hangs", sum(len(tally.hangs) for tally in tallies), "", cases=cases),
        Figure(BENCH, "refused", sum(tally.refused for tally in tallies), "", cases=cases),
        Figure(BENCH, "longest case", max(tally.longest_s for tally in tallies), "s", cases=cases),
        Figure(BENCH, "memory", max(tally.memory_mb for tally in tallies), "MB", cases=cases),
    ]


def _workers() -> list[subprocess.Popen[str]]:
    count = min(os.cpu_count() or 1, 4)
    environment = {**os.environ, "PYTHONPATH": os.pathsep.join(path for path in sys.path if path)}
    return [subprocess.Popen([sys.executable, __file__, str(number), str(count)], env=environment, text=True,
                             stdout=subprocess.PIPE, stderr=subprocess.DEVNULL) for number in range(count)]


def _finished(worker: subprocess.Popen[str]) -> Tally:
    """Follow a worker's lines; the last one is its tally. The one before its death names the case it was at."""
    assert worker.stdout is not None
    last = ""
    for line in worker.stdout:
        if line.startswith("{"):
            worker.wait()
            return Tally(**json.loads(line))
        last = line.strip()
    code = worker.wait()
    return Tally(crashes=[f"the process ended with {code} at {last}"])


# --- inside a worker ---

def work(number: int, count: int) -> Tally:
    """Do one worker's share of every target."""
    from fuzz_targets import targets

    share = float(os.environ.get("KIOSK_FUZZ_SHARE", "1")) / count
    seed = os.environ.get("KIOSK_FUZZ_SEED", "1")
    tally = Tally()
    with tempfile.TemporaryDirectory() as folder:
        outside = _watch_writes(Path(folder))
        _watch_time()
        for target in targets(Path(folder)):
            chance = random.Random(f"{seed} {number} {target.name}")
            _fuzz(target, chance, round(target.cases * share), tally)
        tally.crashes += outside
    tally.memory_mb = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
    return tally


def _fuzz(target: Any, chance: random.Random, cases: int, tally: Tally) -> None:
    from fuzz_mutate import grown

    print(target.name, flush=True)
    corpus = target.good
    if target.code:
        corpus = grown(corpus, lambda one: target.spoil(chance, one), target.run, target.code,
                       min(GROWING_ROUNDS, cases // 4))
    for _ in range(cases):
        _try(target, target.spoil(chance, chance.choice(corpus)), tally)
    tally.by_target[target.name] = cases


def _try(target: Any, case: Any, tally: Tally) -> None:
    from fuzz_targets import OURS

    tally.cases += 1
    _alarm(DEAD_AFTER_S)
    began, began_own = time.perf_counter(), time.thread_time()
    try:
        target.run(case)
    except OURS as error:
        tally.refused += 1
        if not error.operator_message.strip():
            tally.crashes.append(f"{target.name}: refused without a sentence: {case!r:.300}")
    except Exception as error:
        tally.crashes.append(f"{target.name}: {error!r:.300} on {case!r:.600}")
    took_s = max(time.thread_time() - began_own, (time.perf_counter() - began) / 10)
    tally.longest_s = max(tally.longest_s, took_s)
    if took_s > HANGS_AFTER_S:
        tally.hangs.append(f"{target.name}: {took_s:.1f} s on {case!r:.300}")


def _alarm(seconds: float) -> None:
    import signal

    signal.setitimer(signal.ITIMER_REAL, seconds)


def _watch_time() -> None:
    """A case that never ends kills its process, which the parent counts; one that grows too large is refused memory."""
    import signal

    signal.signal(signal.SIGALRM, signal.SIG_DFL)
    limit = MOST_MEMORY_MB * 1024 * 1024
    resource.setrlimit(resource.RLIMIT_AS, (limit + 2_000_000_000, limit + 2_000_000_000))


def _watch_writes(folder: Path) -> list[str]:
    """Return a list to which every file that is opened for writing, moved or taken away outside the folder comes."""
    allowed = str(folder.resolve())
    found: list[str] = []

    def outside(path: object) -> bool:
        text = os.fsdecode(path) if isinstance(path, (str, bytes)) else ""
        return bool(text) and not os.path.realpath(text).startswith((allowed, "/dev/"))

    def watch(event: str, arguments: tuple[Any, ...]) -> None:
        if event == "open":
            path, _, flags = arguments
            if isinstance(flags, int) and flags & _WRITING and outside(path) and "__pycache__" not in str(path):
                found.append(f"wrote to {path!r}")
        elif event in _CHANGES and outside(arguments[0]) and "__pycache__" not in str(arguments[0]):
            found.append(f"{event} of {arguments[0]!r}")

    sys.addaudithook(watch)
    return found


if __name__ == "__main__":
    done = work(int(sys.argv[1]), int(sys.argv[2]))
    print(json.dumps(done.__dict__), flush=True)
