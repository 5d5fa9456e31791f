"""Takes photos with the kiosk's camera for the presenters, and shows those that were taken."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from kiosk.entities import Photo
from kiosk.errors import CameraLost
from kiosk.language import tr
from kiosk.photos import PhotoBook

if TYPE_CHECKING:
    from kiosk.scan.camera import Camera


class PhotoDesk:
    """Answers `ports.Photos`.

    Args:
        book: Where photos are kept. `camera`: None where the kiosk has none.
    """

    def __init__(self, book: PhotoBook, camera: Camera | None) -> None:
        self._book, self._camera = book, camera

    @property
    def has_camera(self) -> bool:
        """Whether photos can be taken."""
        return self._camera is not None

    def take(self) -> Photo:
        """Take what the camera sees now.

        Raises:
            CameraLost: it gives no picture. RecordError: the photo cannot be kept.
        """
        from kiosk.scan.photo import photo_of_frame

        frame = self._camera.still() if self._camera else None
        if frame is None:
            raise CameraLost(tr("The camera gives no picture. Check its plug; the work can be saved without a photo."))
        return self._book.keep(*photo_of_frame(frame))

    def path(self, sha256: str) -> Path:
        """Return a photo's file, held against its hash."""
        return self._book.path(sha256)

    def forget(self, sha256: str) -> None:
        """Remove a photo that was not kept."""
        self._book.forget(sha256)
