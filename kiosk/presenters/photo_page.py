"""The photos of a record or finding, one at a time, and taking one more with the kiosk's camera."""

from __future__ import annotations

from kiosk.entities import KeptPhoto, Photo, PhotoOf
from kiosk.errors import KioskError, NotAllowed
from kiosk.events import PhotoAdded
from kiosk.language import tr
from kiosk.presenters.base import ScreenPresenter, action
from kiosk.presenters.navigation import Navigation
from kiosk.presenters.parts import FrameState, PhotoState
from kiosk.presenters.rows import person_name
from kiosk.presenters.states import PhotosState
from kiosk.presenters.words import clock_text


class PhotoPage(ScreenPresenter):
    """Photos of one subject; anybody signed in may take one.

    Args:
        subject_id: Of the record or finding. `place`: where it is, for the line on top.
        takes: Begin with the camera's picture.
    """

    def __init__(self, desk: Navigation, of: PhotoOf, subject_id: str, place: str, takes: bool = False) -> None:
        super().__init__(desk)
        self._of, self._subject_id, self._place = of, subject_id, place
        self._at = 0
        self._taken: Photo | None = None
        self._looks = takes or not self._kept()

    def build(self, frame: FrameState) -> PhotosState:
        """Return the photo that is shown, or the camera's picture."""
        kept = self._kept()
        self._at = min(self._at, max(0, len(kept) - 1))
        shown = self._taken_state() if self._taken else None
        if shown is None and kept and not self._looks:
            shown = self._state_of(kept[self._at])
        can_take = self.helpers.photos.has_camera and frame.header.is_signed_in
        return PhotosState(
            frame=frame, title=tr("Photos of the work") if self._of is PhotoOf.RECORD else tr("Photos of the finding"),
            place=self._place, photo=shown, is_taken=self._taken is not None,
            looks=self._looks and can_take and self._taken is None, number=self._at + 1 if kept else 0,
            count=len(kept), can_take=can_take, hint=self._hint(can_take))

    @property
    def unsaved(self) -> str:
        """What would be lost by leaving."""
        return tr("A photo") if self._taken else ""

    @action
    def take(self) -> None:
        """Show the camera's picture, or take it when it is shown."""
        self.desk.session.worker()
        if not self._looks:
            self._looks = True
            return
        self._taken = self.helpers.photos.take()
        self.helpers.feedback("read")

    @action
    def keep(self) -> None:
        """Put the photo that was taken on record."""
        if self._taken is None:
            raise NotAllowed(tr("Take a photo first."))
        payload = PhotoAdded(self._of, self._subject_id, self._taken)
        self.helpers.records.append(self.desk.session.event(payload))
        self._taken, self._looks, self._at = None, False, len(self._kept()) - 1
        self.helpers.feedback("saved")

    @action
    def again(self) -> None:
        """Throw away what was taken, and look through the camera again."""
        if self._taken is not None:
            if self._taken.sha256 not in {kept.photo.sha256 for kept in self._kept()}:
                self.helpers.photos.forget(self._taken.sha256)
            self._taken = None

    @action
    def turn(self) -> None:
        """Show the next photo, after the last the first."""
        self._looks = False
        self._at = (self._at + 1) % max(1, len(self._kept()))

    def back(self) -> None:
        """Throw away what was not kept, and go back."""
        self.again()
        super().back()

    def _kept(self) -> tuple[KeptPhoto, ...]:
        return self.helpers.records.photos_of(self._of, [self._subject_id])

    def _state_of(self, kept: KeptPhoto) -> PhotoState:
        who, at = person_name(self.helpers, kept.person_id), clock_text(kept.at, self.helpers.settings.zone)
        text = f"{who}, {at}"
        try:
            return PhotoState(str(self.helpers.photos.path(kept.photo.sha256)), text)
        except KioskError as error:
            return PhotoState("", text, error.operator_message)

    def _taken_state(self) -> PhotoState | None:
        assert self._taken is not None
        try:
            return PhotoState(str(self.helpers.photos.path(self._taken.sha256)), tr("Keep it, or take it again?"))
        except KioskError as error:
            return PhotoState("", "", error.operator_message)

    def _hint(self, can_take: bool) -> str:
        if can_take:
            return tr("Hold it still before the camera, then touch 'Take'.")
        if not self.helpers.photos.has_camera:
            return tr("This kiosk has no camera.")
        return tr("Scan your badge to take a photo.")
