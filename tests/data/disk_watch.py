"""Listens to what SQLite does to the disk, in the library that Python's own sqlite3 uses and in apsw's.

A listener is told of every open, write, truncate, sync and delete of the files in one folder, before it is done, and
may answer with an SQLite result code to have it fail. The shipped library is reached through ctypes: its default VFS
is copied, a few of its functions are replaced, and the copy is made the default, so that the kiosk's code runs as it
is. Python's own renames, links, removals and folder syncs in that folder are told as well.
"""

from __future__ import annotations

import ctypes
import os
import re
import sqlite3
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any, Protocol

OK = 0
# Flags of sqlite3_vfs.xOpen, from sqlite3.h.
OPEN_CREATE = 0x4
_LOGS = 0x800 | 0x4000 | 0x80000  # main journal, super journal, WAL: their first sync reaches the folder too


class Listener(Protocol):
    """Is told of everything, by the file's name in the folder. 0 lets it happen, a result code has it fail."""

    def opened(self, name: str, is_log: bool) -> int: ...
    def write(self, name: str, offset: int, content: bytes) -> int: ...
    def truncate(self, name: str, size: int) -> int: ...
    def sync(self, name: str) -> int: ...
    def delete(self, name: str, syncs_folder: bool) -> int: ...
    def rename(self, old: str, new: str) -> None: ...
    def link(self, old: str, new: str) -> None: ...
    def sync_folder(self) -> None: ...


class _Vfs(ctypes.Structure):
    """sqlite3_vfs of sqlite3.h, versions 1 to 3."""

    _fields_ = [("iVersion", ctypes.c_int), ("szOsFile", ctypes.c_int), ("mxPathname", ctypes.c_int),
                ("pNext", ctypes.c_void_p), ("zName", ctypes.c_char_p), ("pAppData", ctypes.c_void_p),
                *((name, ctypes.c_void_p) for name in (
                    "xOpen", "xDelete", "xAccess", "xFullPathname", "xDlOpen", "xDlError", "xDlSym", "xDlClose",
                    "xRandomness", "xSleep", "xCurrentTime", "xGetLastError", "xCurrentTimeInt64", "xSetSystemCall",
                    "xGetSystemCall", "xNextSystemCall"))]


class _Methods(ctypes.Structure):
    """sqlite3_io_methods of sqlite3.h, versions 1 to 3."""

    _fields_ = [("iVersion", ctypes.c_int), *((name, ctypes.c_void_p) for name in (
        "xClose", "xRead", "xWrite", "xTruncate", "xSync", "xFileSize", "xLock", "xUnlock", "xCheckReservedLock",
        "xFileControl", "xSectorSize", "xDeviceCharacteristics", "xShmMap", "xShmLock", "xShmBarrier", "xShmUnmap",
        "xFetch", "xUnfetch"))]


_p, _i, _i64 = ctypes.c_void_p, ctypes.c_int, ctypes.c_int64
_OPEN = ctypes.CFUNCTYPE(_i, _p, _p, _p, _i, _p)
_DELETE = ctypes.CFUNCTYPE(_i, _p, _p, _i)
_CLOSE = ctypes.CFUNCTYPE(_i, _p)
_READ_OR_WRITE = ctypes.CFUNCTYPE(_i, _p, _p, _i, _i64)
_TRUNCATE = ctypes.CFUNCTYPE(_i, _p, _i64)
_SYNC = ctypes.CFUNCTYPE(_i, _p, _i)


def shipped_library() -> str | None:
    """Return the file of the SQLite that Python's sqlite3 uses, None where it is built in and cannot be reached."""
    sqlite3.connect(":memory:").close()
    try:
        maps = Path("/proc/self/maps").read_text()
    except OSError:
        return None
    found = re.search(r"(/\S*libsqlite3\S*)", maps)
    return found[1] if found else None


class _ShippedWatch:
    """The default VFS of the shipped library with a listener before it."""

    def __init__(self, folder: Path, listener: Listener) -> None:
        library = shipped_library()
        assert library is not None
        self._library = ctypes.CDLL(library)
        self._library.sqlite3_vfs_find.restype = ctypes.POINTER(_Vfs)
        self._folder, self._listener = str(folder.resolve()), listener
        self._original = self._library.sqlite3_vfs_find(None)
        self._vfs = _Vfs.from_buffer_copy(self._original.contents)
        self._vfs.zName = b"watched"
        self._kept: list[Any] = []  # what C points to must stay alive
        self._names: dict[int, str] = {}
        self._methods: dict[int, _Methods] = {}
        self._open = _OPEN(self._original.contents.xOpen)
        self._delete = _DELETE(self._original.contents.xDelete)
        self._vfs.xOpen = self._keep(_OPEN(self._on_open))
        self._vfs.xDelete = self._keep(_DELETE(self._on_delete))

    def start(self) -> None:
        self._library.sqlite3_vfs_register(ctypes.byref(self._vfs), 1)

    def stop(self) -> None:
        self._library.sqlite3_vfs_unregister(ctypes.byref(self._vfs))
        self._library.sqlite3_vfs_register(self._original, 1)

    def _keep(self, function: Any) -> Any:
        self._kept.append(function)
        return ctypes.cast(function, ctypes.c_void_p)

    def _on_open(self, _vfs: int, path: int, file: int, flags: int, out_flags: int) -> int:
        name = _name_in(self._folder, ctypes.string_at(path).decode() if path else "")
        if name and (code := self._listener.opened(name, bool(flags & _LOGS))):
            ctypes.c_void_p.from_address(file).value = None  # not open, says sqlite3.h
            return code
        code = self._open(ctypes.cast(self._original, ctypes.c_void_p), path, file, flags, out_flags)
        if code == OK and name:
            self._names[file] = name
            pointer = ctypes.c_void_p.from_address(file)
            pointer.value = ctypes.addressof(self._methods_for(pointer.value or 0))
        return code

    def _on_delete(self, _vfs: int, path: int, syncs_folder: int) -> int:
        name = _name_in(self._folder, ctypes.string_at(path).decode())
        if name and os.path.exists(os.path.join(self._folder, name)) and (
                code := self._listener.delete(name, bool(syncs_folder))):
            return code
        return self._delete(ctypes.cast(self._original, ctypes.c_void_p), path, syncs_folder)

    def _methods_for(self, address: int) -> _Methods:
        """Return the copy of a file's functions in which ours stand before SQLite's."""
        if address not in self._methods:
            methods = _Methods.from_buffer_copy(_Methods.from_address(address))
            close, write = _CLOSE(methods.xClose), _READ_OR_WRITE(methods.xWrite)
            truncate, sync = _TRUNCATE(methods.xTruncate), _SYNC(methods.xSync)
            listener, names = self._listener, self._names

            def on_write(file: int, data: int, amount: int, offset: int) -> int:
                return listener.write(names[file], offset, ctypes.string_at(data, amount)) or write(
                    file, data, amount, offset)

            def on_close(file: int) -> int:
                names.pop(file, None)
                return close(file)

            methods.xWrite = self._keep(_READ_OR_WRITE(on_write))
            methods.xTruncate = self._keep(_TRUNCATE(
                lambda file, size: listener.truncate(names[file], size) or truncate(file, size)))
            methods.xSync = self._keep(_SYNC(lambda file, flags: listener.sync(names[file]) or sync(file, flags)))
            methods.xClose = self._keep(_CLOSE(on_close))
            self._methods[address] = methods
        return self._methods[address]


def _name_in(folder: str, path: str) -> str:
    """Return a file's name if it lies in the folder itself, else ''."""
    parent, name = os.path.split(os.path.abspath(path)) if path else ("", "")
    return name if parent == folder else ""


@contextmanager
def folder_opened(tell: Callable[[str], object]) -> Iterator[None]:
    """Have `tell` called with the path for which the shipped SQLite opens a folder, which it does to sync it."""
    library = ctypes.CDLL(str(shipped_library()))
    library.sqlite3_vfs_find.restype = ctypes.POINTER(_Vfs)
    vfs = library.sqlite3_vfs_find(b"unix")
    get = ctypes.CFUNCTYPE(_p, _p, ctypes.c_char_p)(vfs.contents.xGetSystemCall)
    put = ctypes.CFUNCTYPE(_i, _p, ctypes.c_char_p, _p)(vfs.contents.xSetSystemCall)
    open_folder = ctypes.CFUNCTYPE(_i, ctypes.c_char_p, _p)
    original = open_folder(get(ctypes.cast(vfs, _p), b"openDirectory"))

    def told(path: bytes, descriptor: int) -> int:
        tell(path.decode())
        return int(original(path, descriptor))

    ours = open_folder(told)
    put(ctypes.cast(vfs, _p), b"openDirectory", ctypes.cast(ours, _p))
    try:
        yield
    finally:
        put(ctypes.cast(vfs, _p), b"openDirectory", None)


class _ApswWatch:
    """apsw's unix VFS with a listener before it; it records, it does not let anything fail."""

    def __init__(self, folder: Path, listener: Listener) -> None:
        import apsw

        where = str(folder.resolve())

        class File(apsw.VFSFile):
            def __init__(self, path: Any, flags: list[int]) -> None:
                self.name = _name_in(where, path.filename() if isinstance(path, apsw.URIFilename) else path or "")
                if self.name:
                    listener.opened(self.name, bool(flags[0] & _LOGS))
                super().__init__("unix", path, flags)

            def xWrite(self, data: bytes, offset: int) -> None:
                if self.name:
                    listener.write(self.name, offset, bytes(data))
                super().xWrite(data, offset)

            def xTruncate(self, size: int) -> None:
                if self.name:
                    listener.truncate(self.name, size)
                super().xTruncate(size)

            def xSync(self, flags: int) -> None:
                if self.name:
                    listener.sync(self.name)
                super().xSync(flags)

        class Vfs(apsw.VFS):
            def __init__(self) -> None:
                super().__init__("watched", "unix", makedefault=True)

            def xOpen(self, name: Any, flags: list[int]) -> File:
                return File(name, flags)

            def xDelete(self, path: str, syncdir: bool) -> None:
                name = _name_in(where, path)
                if name and os.path.exists(path):
                    listener.delete(name, syncdir)
                super().xDelete(path, syncdir)

        self._make: Callable[[], Any] = Vfs
        self._vfs: Any = None

    def start(self) -> None:
        self._vfs = self._make()

    def stop(self) -> None:
        self._vfs.unregister()


@contextmanager
def watched(folder: Path, listener: Listener, apsw: bool = False) -> Iterator[None]:
    """Have a listener told of what is done in a folder, by the shipped SQLite or by apsw's, and by Python."""
    watch = _ApswWatch(folder, listener) if apsw else _ShippedWatch(folder, listener)
    watch.start()
    try:
        with _python_watched(str(folder.resolve()), listener):
            yield
    finally:
        watch.stop()


@contextmanager
def _python_watched(folder: str, listener: Listener) -> Iterator[None]:
    """Put the listener before those functions of `os` with which the kiosk moves whole files and notes its head."""
    originals = {name: getattr(os, name) for name in ("replace", "link", "unlink", "fsync", "open", "pwrite")}
    this_process = os.getpid()

    def name_of(path: Any) -> str:
        return _name_in(folder, os.fspath(path)) if os.getpid() == this_process else ""

    def replace(old: Any, new: Any, **more: Any) -> None:
        if name_of(old) and name_of(new):
            listener.rename(name_of(old), name_of(new))
        originals["replace"](old, new, **more)

    def link(old: Any, new: Any, **more: Any) -> None:
        originals["link"](old, new, **more)
        if name_of(old):
            listener.link(name_of(old), name_of(new))

    def unlink(path: Any, **more: Any) -> None:
        if name_of(path) and os.path.exists(path):
            listener.delete(name_of(path), False)
        originals["unlink"](path, **more)

    def fsync(descriptor: int) -> None:
        path = os.readlink(f"/proc/self/fd/{descriptor}")
        if path == folder and os.getpid() == this_process:
            listener.sync_folder()
        elif name_of(path):
            listener.sync(name_of(path))
        originals["fsync"](descriptor)

    def open_file(path: Any, flags: int, *more: Any, **others: Any) -> int:
        if flags & os.O_CREAT and name_of(path):
            listener.opened(name_of(path), False)
        return int(originals["open"](path, flags, *more, **others))

    def pwrite(descriptor: int, content: bytes, offset: int) -> int:
        path = os.readlink(f"/proc/self/fd/{descriptor}")
        if name_of(path):
            listener.write(name_of(path), offset, bytes(content))
        return int(originals["pwrite"](descriptor, content, offset))

    for name, function in {"replace": replace, "link": link, "unlink": unlink, "fsync": fsync, "open": open_file,
                           "pwrite": pwrite}.items():
        setattr(os, name, function)
    try:
        yield
    finally:
        for name, function in originals.items():
            setattr(os, name, function)
