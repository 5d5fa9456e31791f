"""Photos of records and findings as files beside the database, each named by the SHA-256 of its bytes.

`photos/ab/abcdef….jpg`: a name says what the content must be, so that a photo that was changed, swapped or damaged is
never shown as if it were the one that was taken. What is in the journal is the hash; the picture itself is not.
"""

from __future__ import annotations

import hashlib
import os
import tempfile
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from pathlib import Path

from kiosk.entities import Photo
from kiosk.errors import NotFound, RecordError
from kiosk.language import tr

_TYPE = ".jpg"


@dataclass(frozen=True)
class CopiedPhotos:
    """What came of copying photos: how many are there now, how many of them came anew, and what is wrong."""

    there: int
    copied: int
    troubles: tuple[str, ...] = ()


class PhotoBook:
    """The photos of one shop.

    Args:
        folder: Made with the first photo.
    """

    def __init__(self, folder: Path) -> None:
        self.folder = folder

    def keep(self, jpeg: bytes, width_px: int, height_px: int) -> Photo:
        """Keep a picture, durably, and return what the journal says of it.

        Raises:
            RecordError: it cannot be written.
        """
        photo = Photo(hashlib.sha256(jpeg).hexdigest(), width_px, height_px, len(jpeg))
        try:
            _write(self.place(photo.sha256), jpeg)
        except OSError as error:
            raise RecordError(tr("The photo cannot be kept: {why}. Tell the supervisor; the work can be saved without "
                                 "it.").format(why=error.strerror)) from error
        return photo

    def place(self, sha256: str) -> Path:
        """Return where a photo is, or would be."""
        return self.folder / sha256[:2] / f"{sha256}{_TYPE}"

    def path(self, sha256: str) -> Path:
        """Return a photo's file once its bytes were held against its name.

        Raises:
            NotFound: there is no such file. RecordError: it is not the photo that was taken.
        """
        path = self.place(sha256)
        try:
            found = hashlib.sha256(path.read_bytes()).hexdigest()
        except OSError as error:
            raise NotFound(tr("The photo's file is not there; a backup may have it.")) from error
        if found != sha256:
            raise RecordError(tr("The photo's file is not what was taken; it is not shown. A backup may have the right "
                                 "one."))
        return path

    def forget(self, sha256: str) -> None:
        """Remove a photo that nothing on record speaks of."""
        self.place(sha256).unlink(missing_ok=True)

    def troubles(self, wanted: Iterable[str]) -> Iterator[tuple[str, str]]:
        """Yield (hash, what is wrong) for the photos that are missing or changed."""
        for sha256 in dict.fromkeys(wanted):
            try:
                self.path(sha256)
            except RecordError as error:
                yield sha256, error.operator_message

    def copy_to(self, folder: Path, wanted: Iterable[str]) -> CopiedPhotos:
        """Copy photos into another folder, those that are not there yet; each counts only when it is as it was taken.

        Args:
            wanted: Hashes of the photos that the records speak of.
        """
        other, copied, there, troubles = PhotoBook(folder), 0, 0, []
        for sha256 in dict.fromkeys(wanted):
            try:
                if not _is_whole(other, sha256):
                    _write(other.place(sha256), self.path(sha256).read_bytes())
                    copied += 1
                there += 1
            except RecordError as error:
                troubles.append(f"{sha256[:12]}…: {error.operator_message}")
            except OSError as error:
                troubles.append(f"{sha256[:12]}…: {error.strerror or error}")
                break
        return CopiedPhotos(there, copied, tuple(troubles))


def _is_whole(book: PhotoBook, sha256: str) -> bool:
    try:
        book.path(sha256)
    except RecordError:
        return False
    return True


def _write(path: Path, content: bytes) -> None:
    """Write a file so that after a power cut it is there whole or not at all."""
    path.parent.mkdir(parents=True, exist_ok=True)
    descriptor, part = tempfile.mkstemp(dir=path.parent, suffix=".part")
    try:
        with os.fdopen(descriptor, "wb") as file:
            file.write(content)
            file.flush()
            os.fsync(file.fileno())
        os.replace(part, path)
    except BaseException:
        Path(part).unlink(missing_ok=True)
        raise
    folder = os.open(path.parent, os.O_RDONLY)
    try:
        os.fsync(folder)
    finally:
        os.close(folder)
