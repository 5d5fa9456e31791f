"""Photos of records and findings: whose they are comes back, and a rebuild makes the same."""

from __future__ import annotations

from small_yard import at, done, event, finding, photo, record

from kiosk.entities import PhotoOf
from kiosk.events import FindingOpened, PhotoAdded
from kiosk.records import YardRecords


def test_photos__of_a_record_and_a_finding__come_back_apart(yard: YardRecords) -> None:
    """A record and a finding of one id have each their own photos, the oldest first, with who took them."""
    yard.append(done(record(1, id="same")))
    yard.append(event(FindingOpened(finding("same")), "mechanic", 1))
    yard.append(event(PhotoAdded(PhotoOf.RECORD, "same", photo("b")), "mechanic", 2))
    yard.append(event(PhotoAdded(PhotoOf.FINDING, "same", photo("c")), "lead", 3))
    yard.append(event(PhotoAdded(PhotoOf.FINDING, "same", photo("a")), "mechanic", 1.5))
    (of_record,) = yard.photos_of(PhotoOf.RECORD, ["same", "other"])
    assert (of_record.photo, of_record.person_id) == (photo("b"), "mechanic")
    assert [kept.photo.sha256[0] for kept in yard.photos_of(PhotoOf.FINDING, ["same"])] == ["a", "c"]
    assert [kept.at for kept in yard.photos()] == [at(1.5), at(2), at(3)]
    assert yard.photos_of(PhotoOf.RECORD, []) == ()


def test_photos__a_rebuild__makes_the_same(story: YardRecords) -> None:
    """The table is made from the journal alone."""
    assert story.photos() and story.tables_unlike_journal() == []
