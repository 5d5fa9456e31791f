"""Photos as files: named by what is in them, bounded, without a word about the camera, backed up, printed."""

from __future__ import annotations

import hashlib
from collections.abc import Iterator
from pathlib import Path

import cv2
import numpy as np
import pypdf
import pytest
from PIL import Image

from kiosk.entities import Finding, Photo, PhotoOf
from kiosk.errors import CameraLost, NotFound, RecordError
from kiosk.events import Event, FindingOpened, PhotoAdded
from kiosk.photos import PhotoBook
from kiosk.presenters.ports import HistoryRequest
from kiosk.records.ids import new_id
from kiosk.reports.report_pdf import write_report_pdf
from kiosk.scan.photo import LONGEST_SIDE_PX, MOST_BYTES, photo_of_frame
from kiosk.shop import PHOTO_FOLDER, Shop, utc_now

SAMPLE = Path(__file__).parents[1] / "data" / "photo_sample.jpg"


def frame(width: int = 3840, height: int = 2160) -> np.ndarray:
    """Return noise, the hardest thing to make small."""
    return np.random.default_rng(1).integers(0, 256, (height, width, 3), dtype=np.uint8)


@pytest.mark.parametrize(("width", "height"), [(3840, 2160), (1080, 1920), (640, 480), (1, 1)])
def test_photo_of_frame__is_bounded_and_keeps_its_shape(width: int, height: int) -> None:
    """No side and no file is larger than it may be, whatever the camera sees; a small frame stays as large as it is."""
    jpeg, wide, high = photo_of_frame(frame(width, height))
    assert len(jpeg) <= MOST_BYTES and max(wide, high) <= LONGEST_SIDE_PX
    assert wide / high == pytest.approx(width / height, rel=0.01)
    decoded = cv2.imdecode(np.frombuffer(jpeg, np.uint8), cv2.IMREAD_COLOR)
    assert decoded.shape[:2] == (high, wide)


def test_photo_of_frame__carries_no_metadata(tmp_path: Path) -> None:
    """An independent reader (Pillow) finds no EXIF, no comment: neither camera nor place nor time."""
    (tmp_path / "p.jpg").write_bytes(photo_of_frame(frame(640, 480))[0])
    with Image.open(tmp_path / "p.jpg") as image:
        assert len(image.getexif()) == 0 and not {"exif", "comment", "icc_profile"} & set(image.info)


def test_photo_of_frame__empty__is_refused() -> None:
    """A frame without a picture is no photo."""
    with pytest.raises(CameraLost):
        photo_of_frame(np.zeros((0, 0, 3), np.uint8))


def test_keep__names_the_file_by_its_content(tmp_path: Path) -> None:
    """SHA-256 by hashlib of what is on the disk; the same picture twice is one file."""
    book = PhotoBook(tmp_path)
    jpeg = SAMPLE.read_bytes()
    photo = book.keep(jpeg, 800, 450)
    path = book.path(photo.sha256)
    assert path == tmp_path / photo.sha256[:2] / f"{photo.sha256}.jpg"
    assert hashlib.sha256(path.read_bytes()).hexdigest() == photo.sha256 and photo.size_bytes == len(jpeg)
    assert book.keep(jpeg, 800, 450) == photo
    assert [each for each in tmp_path.rglob("*") if each.is_file()] == [path]


def test_path__file_changed_or_gone__is_refused(tmp_path: Path) -> None:
    """One byte is enough; what is not what was taken is never shown."""
    book = PhotoBook(tmp_path)
    photo = book.keep(SAMPLE.read_bytes(), 800, 450)
    path = book.place(photo.sha256)
    path.write_bytes(path.read_bytes()[:-1] + b"x")
    with pytest.raises(RecordError, match="not what was taken"):
        book.path(photo.sha256)
    path.unlink()
    with pytest.raises(NotFound):
        book.path(photo.sha256)
    assert [sha256 for sha256, _ in book.troubles([photo.sha256])] == [photo.sha256]


def test_copy__takes_only_what_is_missing_and_only_whole_ones(tmp_path: Path) -> None:
    """A second copy takes nothing; a damaged original is told and not copied; a damaged copy is mended."""
    book, other = PhotoBook(tmp_path / "a"), PhotoBook(tmp_path / "b")
    photos = [book.keep(SAMPLE.read_bytes() + bytes([n]), 800, 450) for n in range(3)]
    hashes = [photo.sha256 for photo in photos]
    assert (book.copy_to(other.folder, hashes).copied, book.copy_to(other.folder, hashes).copied) == (3, 0)
    other.place(hashes[0]).write_bytes(b"damaged")
    book.place(hashes[1]).write_bytes(b"damaged")
    other.place(hashes[1]).unlink()
    copied = book.copy_to(other.folder, hashes)
    assert (copied.copied, copied.there) == (1, 2) and hashes[1][:12] in copied.troubles[0]
    assert other.path(hashes[0]).read_bytes() == book.path(hashes[0]).read_bytes()


@pytest.fixture
def shop(yard: Path) -> Iterator[Shop]:
    with Shop.open(yard) as opened:
        yield opened


def _photographed(shop: Shop) -> tuple[str, str, Photo]:
    """Put a photo on the newest record of a part and on a finding; return part, finding, photo."""
    person = shop.records.people()[0]
    part = shop.records.components_of_unit("unit-01")[0]
    record = shop.records.component_history(part.id, limit=1)[0]
    finding = Finding(new_id(), part.unit_id, part.position_id, part.id, "seal lifted", utc_now(), person.id)
    photo = shop.photos.keep(SAMPLE.read_bytes(), 800, 450)
    shop.records.append_all([Event(new_id(), utc_now(), person.id, payload) for payload in (
        FindingOpened(finding), PhotoAdded(PhotoOf.FINDING, finding.id, photo),
        PhotoAdded(PhotoOf.RECORD, record.id, photo))])
    return part.id, finding.id, photo


def _pictures(path: Path) -> int:
    """Return how many pictures of the photo's size an independent reader (pypdf) finds."""
    return sum(image.image is not None and image.image.size == (800, 450)
               for page in pypdf.PdfReader(path).pages for image in page.images)


def test_reports__history_and_findings__show_the_photo(shop: Shop, tmp_path: Path) -> None:
    """The PDF of the part's history and that of the open findings hold the picture; a changed file is told instead."""
    part_id, _, photo = _photographed(shop)
    shop.reports.write_pdf(tmp_path / "h.pdf", HistoryRequest(part_id))
    assert _pictures(tmp_path / "h.pdf") == 1
    write_report_pdf(shop.reports._book.findings(), tmp_path / "f.pdf")
    assert _pictures(tmp_path / "f.pdf") == 1
    shop.photos.place(photo.sha256).write_bytes(b"another picture")
    shop.reports.write_pdf(tmp_path / "h2.pdf", HistoryRequest(part_id))
    text = " ".join(page.extract_text() for page in pypdf.PdfReader(tmp_path / "h2.pdf").pages)
    assert _pictures(tmp_path / "h2.pdf") == 0 and "not what was taken" in " ".join(text.split())


def test_backup__takes_the_photos_along__and_brings_them_back(shop: Shop) -> None:
    """Beside the backups lies every photo on record; one that was lost comes back from there."""
    _, _, photo = _photographed(shop)
    assert shop.back_up_photos() == ""
    backups = PhotoBook(shop.folder / shop.config.backups / PHOTO_FOLDER)
    assert backups.path(photo.sha256).read_bytes() == SAMPLE.read_bytes()
    shop.photos.forget(photo.sha256)
    backups.copy_to(shop.photos.folder, [photo.sha256])
    assert shop.photos.path(photo.sha256).read_bytes() == SAMPLE.read_bytes()
