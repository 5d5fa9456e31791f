"""A kiosk's PINs: hashed, in a file of their own beside the records and never in them, with wrong tries counted.

The records are exported, backed up and exchanged; PINs are not, so the database says nothing about them. The hash is
scrypt (RFC 7914) over an HMAC of the PIN with the pepper, a random key in a second file that may lie elsewhere. Both
files are readable by the kiosk's own user only, or refused. A try is counted, durably, before the PIN is looked at:
pulling the plug wins nothing.
"""

from __future__ import annotations

import hashlib
import hmac
import itertools
import os
import secrets
import stat
import threading
from collections.abc import Callable
from dataclasses import dataclass, field, replace
from datetime import datetime, timedelta
from pathlib import Path

import msgspec

from kiosk.errors import ConfigError, NotAllowed
from kiosk.language import tr
from kiosk.presenters.ports import PinAnswer

SHORTEST, LONGEST = 4, 12
# 32 MB and about a fifth of a second a try on the measured machine; RFC 7914 section 2 names the parameters.
N, R, P = 1 << 15, 8, 1
METHOD = f"scrypt n={N} r={R} p={P}"
TRIES = 5
LOCKED_S = 15 * 60.0
# The wait after the first, second … wrong try in a row.
WAITS_S = (1.0, 2.0, 5.0, 10.0)
KIOSK_TRIES, KIOSK_PAUSED_S = 10, 5 * 60.0
# The kiosk's own count of wrong tries, by whomever, starts again after so long without one.
KIOSK_FORGETS_S = 15 * 60.0
_SALT_BYTES = _PEPPER_BYTES = 32
_PRIVATE = 0o600


@dataclass(frozen=True)
class Tries:
    """Wrong tries in a row. `not_before`: when the next one is taken; `last`: when the last one was."""

    wrong: int = 0
    last: datetime | None = None
    not_before: datetime | None = None
    locked: bool = False

    def wait_s(self, now: datetime, most_s: float) -> float:
        """Return how long to wait; never more than `most_s`, so that a clock set back does not lock for years. [s]"""
        if self.not_before is None:
            return 0.0
        return min(max((self.not_before - now).total_seconds(), 0.0), most_s)

    def is_locked(self, now: datetime) -> bool:
        """Return whether the PIN is locked now."""
        return self.locked and self.wait_s(now, LOCKED_S) > 0


@dataclass(frozen=True)
class Hashed:
    """A PIN as it is kept, hex."""

    salt: str = field(repr=False)
    hash: str = field(repr=False)
    n: int
    r: int
    p: int


@dataclass(frozen=True)
class _File:
    pins: dict[str, Hashed] = field(default_factory=dict, repr=False)
    tries: dict[str, Tries] = field(default_factory=dict)
    kiosk: Tries = Tries()


class PinVault:
    """The two files. One process works with them at a time; its threads wait for each other.

    Args:
        path: File of the hashes and tries, made with the first PIN. `pepper`: file of the key, made with it.
    """

    def __init__(self, path: Path, pepper: Path, clock: Callable[[], datetime]) -> None:
        self._path, self._pepper_path, self._clock = path, pepper, clock
        self._lock = threading.Lock()

    def is_set(self, person_id: str) -> bool:
        """Return whether a person's PIN is kept here."""
        return person_id in self._read().pins

    def wait_s(self, person_id: str) -> float:
        """Return how long until a PIN of this person is taken. [s]"""
        return self._wait_s(self._read(), person_id, self._clock())

    def set(self, person_id: str, pin: str) -> str:
        """Keep a PIN in place of the one before, forget wrong tries, and return how it is hashed.

        Raises:
            NotAllowed: not 4 to 12 digits, or one that anybody tries first.
        """
        refuse_weak(pin)
        salt = secrets.token_bytes(_SALT_BYTES)
        kept = Hashed(salt.hex(), _hash(pin, salt, self._pepper(make=True), N, R, P).hex(), N, R, P)
        with self._lock:
            now = self._read()
            self._write(replace(now, pins={**now.pins, person_id: kept}, tries=_without(now.tries, person_id)))
        return METHOD

    def unlock(self, person_id: str) -> bool:
        """Forget a person's wrong tries, and the kiosk's; return whether there were any."""
        with self._lock:
            now = self._read()
            self._write(replace(now, tries=_without(now.tries, person_id), kiosk=Tries()))
            return person_id in now.tries

    def people(self) -> dict[str, Tries]:
        """Return the wrong tries of everybody who has a PIN here, by id."""
        now = self._read()
        return {person_id: now.tries.get(person_id, Tries()) for person_id in now.pins}

    def locks(self) -> dict[str, datetime | None]:
        """Return until when the PIN of everybody who has one here is locked, by id; None where it is not."""
        now = self._clock()
        return {person_id: tries.not_before if tries.is_locked(now) else None
                for person_id, tries in self.people().items()}

    def check(self, person_id: str, pin: str) -> PinAnswer:
        """Try a PIN; takes as long as the hash does. The wait that a wrong one costs is in the answer."""
        with self._lock:
            before, now = self._read(), self._clock()
            kept = before.pins.get(person_id)
            wait_s = self._wait_s(before, person_id, now)
            if kept is None or wait_s > 0:
                return PinAnswer(False, wait_s, looked_at=False)
            old = before.tries.get(person_id, Tries())
            counted = self._count(before, person_id, now)
            self._write(counted)
            if _is_right(pin, kept, self._pepper(make=False)):
                self._write(replace(before, tries=_without(before.tries, person_id)))
                return PinAnswer(True, was_locked=old.locked)
            return self._wrong(counted, person_id, now, old.locked)

    def _wrong(self, counted: _File, person_id: str, now: datetime, was_locked: bool) -> PinAnswer:
        own, kiosk = counted.tries[person_id], counted.kiosk
        return PinAnswer(
            False, self._wait_s(counted, person_id, now), tries_left=TRIES - own.wrong,
            wrong_tries=own.wrong, kiosk_tries=kiosk.wrong,
            locked_until=own.not_before if own.locked else None,
            paused_until=kiosk.not_before if kiosk.locked else None, was_locked=was_locked)

    def _count(self, before: _File, person_id: str, now: datetime) -> _File:
        """Return the file with one wrong try more, of the person and of the kiosk."""
        own, kiosk = before.tries.get(person_id, Tries()), before.kiosk
        wrong = 1 if own.locked else own.wrong + 1
        wait_s = LOCKED_S if wrong >= TRIES else WAITS_S[min(wrong, len(WAITS_S)) - 1]
        mine = Tries(wrong, now, now + timedelta(seconds=wait_s), wrong >= TRIES)
        quiet = kiosk.last is None or not 0 <= (now - kiosk.last).total_seconds() < KIOSK_FORGETS_S
        together = 1 if kiosk.locked or quiet else kiosk.wrong + 1
        pauses = together >= KIOSK_TRIES
        ours = Tries(together, now, now + timedelta(seconds=KIOSK_PAUSED_S) if pauses else None, pauses)
        return replace(before, tries={**before.tries, person_id: mine}, kiosk=ours)

    @staticmethod
    def _wait_s(kept: _File, person_id: str, now: datetime) -> float:
        own = kept.tries.get(person_id, Tries())
        return max(own.wait_s(now, LOCKED_S), kept.kiosk.wait_s(now, KIOSK_PAUSED_S))

    # --- the files ---

    def _read(self) -> _File:
        content = _read_private(self._path)
        if content is None:
            return _File()
        try:
            return msgspec.json.decode(content, type=_File)
        except (msgspec.MsgspecError, UnicodeError, ValueError, RecursionError):
            # The parser's own words would quote the file.
            raise ConfigError(
                tr("{path} is damaged. Move it away and set the PINs again with 'kiosk pin set NAME'.").format(
                    path=self._path.name
                )
            ) from None

    def _write(self, kept: _File) -> None:
        _write_private(self._path, msgspec.json.encode(kept))

    def _pepper(self, make: bool) -> bytes:
        pepper = _read_private(self._pepper_path)
        if pepper is None and make:
            pepper = secrets.token_bytes(_PEPPER_BYTES)
            _write_private(self._pepper_path, pepper)
        if pepper is None or len(pepper) != _PEPPER_BYTES:
            raise ConfigError(tr("{pepper_path} is missing or damaged, so no PIN can be checked. Put it back, or "
                                 "set the PINs again with 'kiosk pin set NAME'.").format(
                                  pepper_path=self._pepper_path.name))
        return pepper


def refuse_weak(pin: str) -> None:
    """Refuse a PIN of the wrong length, or one of those that are tried first.

    Raises:
        NotAllowed: says which.
    """
    if not (pin.isascii() and pin.isdigit() and SHORTEST <= len(pin) <= LONGEST):
        raise NotAllowed(tr("A PIN has {shortest} to {longest} digits.").format(shortest=SHORTEST, longest=LONGEST))
    steps = {(int(b) - int(a)) % 10 for a, b in itertools.pairwise(pin)}
    if len(steps) == 1 and steps <= {0, 1, 9}:  # 0000, 1234, 4321
        raise NotAllowed(tr("That is one of the first that anybody tries. Choose another one."))


def _hash(pin: str, salt: bytes, pepper: bytes, n: int, r: int, p: int) -> bytes:
    key = hmac.digest(pepper, pin.encode(), "sha256")
    # scrypt needs 128 N r bytes; OpenSSL refuses more than 32 MB unless it is told.
    return hashlib.scrypt(key, salt=salt, n=n, r=r, p=p, maxmem=256 * n * r, dklen=32)


def _is_right(pin: str, kept: Hashed, pepper: bytes) -> bool:
    found = _hash(pin, bytes.fromhex(kept.salt), pepper, kept.n, kept.r, kept.p)
    return hmac.compare_digest(found, bytes.fromhex(kept.hash))


def _without(tries: dict[str, Tries], person_id: str) -> dict[str, Tries]:
    return {key: value for key, value in tries.items() if key != person_id}


def _read_private(path: Path) -> bytes | None:
    """Return a file that nobody else can read; None if it is not there."""
    try:
        with path.open("rb") as file:
            if stat.S_IMODE(os.fstat(file.fileno()).st_mode) & 0o077:
                raise ConfigError(tr("{path} can be read by others than the kiosk. Close it with 'chmod 600 "
                                     "{path_2}', then change the PINs.").format(path=path.name, path_2=path))
            return file.read()
    except FileNotFoundError:
        return None
    except OSError as error:
        raise ConfigError(tr("{path} cannot be read: {strerror}.").format(
                              path=path.name, strerror=error.strerror)) from error


def _write_private(path: Path, content: bytes) -> None:
    """Write a file whole or not at all, durably, for its owner only."""
    draft = path.with_name(f"{path.name}.new")
    try:
        draft.unlink(missing_ok=True)
        with os.fdopen(os.open(draft, os.O_WRONLY | os.O_CREAT | os.O_EXCL, _PRIVATE), "wb") as file:
            file.write(content)
            file.flush()
            os.fsync(file.fileno())
        os.replace(draft, path)
        _sync_folder(path.parent)
    except OSError as error:
        raise ConfigError(tr("{path} cannot be written: {strerror}. No PIN can be taken.").format(
                              path=path.name, strerror=error.strerror)) from error


def _sync_folder(folder: Path) -> None:
    handle = os.open(folder, os.O_RDONLY)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)
