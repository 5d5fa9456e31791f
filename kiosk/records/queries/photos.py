"""Photos of records and findings: which there are, and whose."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from kiosk.entities import KeptPhoto, Photo, PhotoOf
from kiosk.records.instants import from_utc_text
from kiosk.records.models import PhotoRow
from kiosk.records.queries.base import Queries

_PHOTO = PhotoRow.select(PhotoRow.sha256, PhotoRow.width_px, PhotoRow.height_px, PhotoRow.size_bytes,
                         PhotoRow.subject, PhotoRow.subject_id, PhotoRow.at, PhotoRow.person_id)
_MOST_AT_ONCE = 500


class PhotoQueries(Queries):
    """Questions about photos."""

    def photos_of(self, of: PhotoOf, subject_ids: Iterable[str]) -> tuple[KeptPhoto, ...]:
        """Return the photos of records or findings, oldest first."""
        wanted = list(subject_ids)
        found: list[KeptPhoto] = []
        for start in range(0, len(wanted), _MOST_AT_ONCE):
            query = _PHOTO.where(PhotoRow.subject_id.in_(wanted[start : start + _MOST_AT_ONCE])
                                 & (PhotoRow.subject == of.value))
            found += map(_kept, self._store.rows(query))
        return tuple(sorted(found, key=lambda kept: kept.at))

    def photos(self) -> tuple[KeptPhoto, ...]:
        """Return every photo of the yard, oldest first."""
        return tuple(map(_kept, self._store.rows(_PHOTO.order_by(PhotoRow.at, PhotoRow.event_id))))


def _kept(row: Any) -> KeptPhoto:
    sha256, width_px, height_px, size_bytes, of, subject_id, at, person_id = row
    return KeptPhoto(Photo(sha256, width_px, height_px, size_bytes), PhotoOf(of), subject_id, from_utc_text(at),
                     person_id)
