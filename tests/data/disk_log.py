"""What was done to a folder of files, step by step, and the disks that a power cut could leave of it.

The contract is the strict one: a file's content is safe once the file was synced, a name (made, moved, removed) once
its folder was. Whatever was not synced may be there or not, each write by itself and in any order, and a write may be
there by some of its 512-byte sectors only. Bytes that nothing was written to stay as they are.
"""

from __future__ import annotations

import random
from collections.abc import Iterator
from dataclasses import dataclass, field
from itertools import pairwise
from pathlib import Path
from typing import NamedTuple

SECTOR_BYTES = 512
NOTE = "-head-"
"""In the name of the file that says how far the journal came. It is written over after every save and never synced."""
NOTES_AFLOAT = 2
"""So many writes of a note may be missing still; older ones count as written, or images would be of notes alone."""


class Step(NamedTuple):
    """One thing done. `file` is a number that stays with a file when its name changes; 0 for none."""

    kind: str
    file: int = 0
    name: str = ""
    other: str = ""
    offset: int = 0
    content: bytes = b""


_NAMING = frozenset({"make", "delete", "rename", "link"})


@dataclass
class DiskLog:
    """A listener (`disk_watch`) that writes everything down.

    Args:
        lies: Endings of names whose syncs are reported as done and are not; '-wal' plants that fault.
    """

    lies: tuple[str, ...] = ()
    steps: list[Step] = field(default_factory=list)
    start: dict[str, bytes] = field(default_factory=dict)
    _files: dict[str, int] = field(default_factory=dict)
    _unsynced_logs: set[int] = field(default_factory=set)
    _next: int = 1

    def begin_with(self, folder: Path) -> None:
        """Take the files that are there as they are: all of them are safe."""
        self.start = {path.name: path.read_bytes() for path in sorted(folder.iterdir())
                      if path.name.endswith((".db", "-wal", "-journal")) or NOTE in path.name}
        self._files = {name: number for number, name in enumerate(self.start, 1)}
        self._next = len(self.start) + 1

    def mark(self, what: str) -> None:
        """Write down where the workload is: 'begun 3', 'saved 3', 'phase backup'."""
        self.steps.append(Step("mark", name=what))

    def opened(self, name: str, is_log: bool) -> int:
        if name not in self._files:
            self._files[name] = self._next
            self._next += 1
            self.steps.append(Step("make", self._files[name], name))
            if is_log:
                self._unsynced_logs.add(self._files[name])
        return 0

    def write(self, name: str, offset: int, content: bytes) -> int:
        self.steps.append(Step("write", self._files[name], offset=offset, content=content))
        return 0

    def truncate(self, name: str, size: int) -> int:
        self.steps.append(Step("truncate", self._files[name], offset=size))
        return 0

    def sync(self, name: str) -> int:
        if not name.endswith(self.lies or ("no such ending",)):
            file = self._files[name]
            self.steps.append(Step("sync", file))
            if file in self._unsynced_logs:
                # SQLite's unix VFS syncs the folder with the first sync of a journal or WAL that it made.
                self._unsynced_logs.discard(file)
                self.sync_folder()
        return 0

    def delete(self, name: str, syncs_folder: bool) -> int:
        if name not in self._files:  # SQLite's shared memory, which nobody needs after a cut
            return 0
        self.steps.append(Step("delete", self._files.pop(name), name))
        if syncs_folder:
            self.sync_folder()
        return 0

    def rename(self, old: str, new: str) -> None:
        self._files[new] = self._files.pop(old)
        self.steps.append(Step("rename", self._files[new], old, new))

    def link(self, old: str, new: str) -> None:
        self._files[new] = self._files[old]
        self.steps.append(Step("link", self._files[old], old, new))

    def sync_folder(self) -> None:
        self.steps.append(Step("sync folder"))


Choice = tuple[tuple[int, int], ...]
"""Which unsynced steps are on the disk: (index, sectors as bits; -1 for all of them)."""


@dataclass(frozen=True)
class Image:
    """A disk as a cut could leave it.

    Args:
        cut: How many steps were done. `kind`: how the unsynced ones were taken.
        phase: What the workload was at. `saved`, `begun`: how many acts were acknowledged and begun.
    """

    cut: int
    kind: str
    phase: str
    saved: int
    begun: int
    files: dict[str, bytes]

    def put_into(self, folder: Path) -> None:
        """Write the files into an empty folder."""
        for name, content in self.files.items():
            (folder / name).write_bytes(content)


class _Disk:
    """The safe content, and what was done since and is not safe yet."""

    def __init__(self, start: dict[str, bytes]) -> None:
        self.names = {name: number for number, name in enumerate(start, 1)}
        self.contents = {number: bytearray(start[name]) for name, number in self.names.items()}
        self.pending: list[Step] = []
        self.version = 0

    def take(self, step: Step) -> None:
        if step.kind == "sync":
            self._make_safe([each for each in self.pending if each.kind not in _NAMING and each.file == step.file])
        elif step.kind == "sync folder":
            self._make_safe([each for each in self.pending if each.kind in _NAMING])
        else:
            self.pending.append(step)
            self._write_old_notes(step)

    def _write_old_notes(self, step: Step) -> None:
        of_note = [each for each in self.pending if each.kind == "write" and each.file == step.file]
        if step.kind == "write" and self._is_note(step.file) and len(of_note) > NOTES_AFLOAT:
            self._make_safe(of_note[:-NOTES_AFLOAT])

    def _is_note(self, file: int) -> bool:
        made = (each.name for each in self.pending if each.kind == "make" and each.file == file)
        known = (name for name, number in self.names.items() if number == file)
        return any(NOTE in name for name in (*made, *known))

    def _make_safe(self, steps: list[Step]) -> None:
        for step in steps:
            _apply(step, -1, self.names, self.contents)
        if steps:
            safe = {id(step) for step in steps}
            self.pending = [each for each in self.pending if id(each) not in safe]
            self.version += 1

    def files(self, choice: Choice) -> dict[str, bytes]:
        """Return the files with the chosen unsynced steps applied."""
        names = dict(self.names)
        touched = {self.pending[index].file for index, _ in choice}
        contents = {number: bytearray(content) if number in touched else content
                    for number, content in self.contents.items()}
        for index, sectors in choice:
            _apply(self.pending[index], sectors, names, contents)
        return {name: bytes(contents.get(number, b"")) for name, number in names.items()}


def _apply(step: Step, sectors: int, names: dict[str, int], contents: dict[int, bytearray]) -> None:
    if step.kind == "write":
        _write(contents.setdefault(step.file, bytearray()), step, sectors)
    elif step.kind == "truncate":
        content = contents.setdefault(step.file, bytearray())
        del content[step.offset:]
        content.extend(bytes(step.offset - len(content)))
    elif step.kind == "delete":
        names.pop(step.name, None)
    elif step.kind == "make":
        names[step.name] = step.file
    else:  # rename and link: the other name is the file's now
        names[step.other] = step.file
        if step.kind == "rename" and names.get(step.name) == step.file:
            del names[step.name]


def _write(content: bytearray, step: Step, sectors: int) -> None:
    if sectors == -1:
        content.extend(bytes(max(0, step.offset - len(content))))
        content[step.offset:step.offset + len(step.content)] = step.content
        return
    for number, (begin, end) in enumerate(_sectors(step)):
        if sectors >> number & 1:
            at = step.offset + begin
            content.extend(bytes(max(0, at - len(content))))
            content[at:at + end - begin] = step.content[begin:end]


def _sectors(step: Step) -> list[tuple[int, int]]:
    """Return where the disk's sectors cut a write, as (begin, end) within it."""
    edges = [0, *range(-step.offset % SECTOR_BYTES or SECTOR_BYTES, len(step.content), SECTOR_BYTES),
             len(step.content)]
    return list(pairwise(edges))


def images(log: DiskLog, orders: int, share: tuple[int, int] = (0, 1)) -> Iterator[Image]:
    """Yield every disk that a cut could leave, at each step: those of one worker's share.

    At each cut: nothing unsynced is there; all of it is; all, the last write torn; and `orders` random selections,
    some of them torn. A disk that was yielded before is not yielded again.

    Args:
        share: (number of this worker, how many there are); cuts are dealt out in turn.
    """
    disk, seen = _Disk(log.start), set[tuple[int, Choice, int, int]]()
    phase, saved, begun = "start", 0, 0
    for cut, step in enumerate(log.steps, 1):
        if step.kind == "mark":
            what, _, value = step.name.partition(" ")
            phase = value if what == "phase" else phase
            saved = int(value) if what == "saved" else saved
            begun = int(value) if what == "begun" else begun
        else:
            disk.take(step)
        for kind, choice in _choices(disk, orders, random.Random(cut)):
            key = (disk.version, choice, saved, begun)
            if key not in seen:
                seen.add(key)
                if cut % share[1] == share[0]:
                    yield Image(cut, kind, phase, saved, begun, disk.files(choice))


def _choices(disk: _Disk, orders: int, chance: random.Random) -> Iterator[tuple[str, Choice]]:
    steps = disk.pending
    yield ("dropped" if steps else "synced"), ()
    if not steps:
        return
    everything = tuple((index, -1) for index in range(len(steps)))
    yield "kept", everything
    if (torn := _torn(steps[-1], chance)) is not None:
        yield "torn", (*everything[:-1], (len(steps) - 1, torn))
    if len(steps) > 1:
        for _ in range(orders):
            yield "any order", _some_of(steps, chance)


def _torn(step: Step, chance: random.Random) -> int | None:
    """Return which sectors of a write are there: some, not all; None if it cannot be torn."""
    count = len(_sectors(step)) if step.kind == "write" else 0
    return chance.randrange(1, 2 ** count - 1) if count > 1 else None


def _some_of(steps: list[Step], chance: random.Random) -> Choice:
    likely = chance.choice((0.15, 0.5, 0.85))
    kept = [index for index in range(len(steps)) if chance.random() < likely]
    torn = {index: _torn(steps[index], chance) for index in kept if chance.random() < 0.2}
    return tuple((index, -1 if torn.get(index) is None else torn[index] or -1) for index in kept)
