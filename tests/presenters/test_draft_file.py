"""What was typed comes back after a restart, from a file that a cut never leaves half."""

from __future__ import annotations

import dataclasses
import os
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import pytest

from kiosk.draft_file import DraftFile
from kiosk.presenters.desk import Desk
from kiosk.presenters.drafts import Draft, DraftKey, Drafts, FormDraft, NoDraftStore, ReplaceDraft, SpliceDraft, Typed

AT = datetime(2026, 3, 2, 6, 30, tzinfo=UTC)
DRAFTS: dict[DraftKey, Draft] = {
    ("c-chain", "adjust"): FormDraft("Ana", AT, "as left", "as found|sag|left", "mm", {
        "as found|sag|left": Typed("3 1/2", "in")}, frozenset({1, 3}), frozenset({"f1"}), "dark grease, \"hot\""),
    ("c-belt", "splice"): SpliceDraft("Bo", AT, "joint", "start", "mm", Typed("120", "mm"), chosen="2", tightened=4),
    ("c-bearing", "replace"): ReplaceDraft(None, None, "seized", "description", {"description": "UC208"}, "1000000003"),
}


@pytest.fixture
def file(tmp_path: Path) -> DraftFile:
    """Return a draft file that is not there yet."""
    return DraftFile(tmp_path / "drafts.json")


def test_drafts__of_every_kind__come_back_as_they_were(file: DraftFile) -> None:
    """Nothing typed changes on its way through the file."""
    file.save(DRAFTS)
    assert file.load() == DRAFTS


def test_drafts__no_file__none(file: DraftFile) -> None:
    """A new shop has no drafts."""
    assert file.load() == {}


@pytest.mark.parametrize("content", [
    b"", b"[{", b"\x00" * 200, b'[{"component_id":"c","job":"j","kind":"x","draft":{}}]', b'{"a": 1}'])
def test_drafts__file_cannot_be_read__is_kept_aside_and_the_kiosk_opens(tmp_path: Path, content: bytes) -> None:
    """A damaged file stops nobody, and is there for who wants to look."""
    path = tmp_path / "drafts.json"
    path.write_bytes(content)
    assert DraftFile(path).load() == {}
    assert (tmp_path / "drafts.json.unreadable-1").read_bytes() == content
    DraftFile(path).save(DRAFTS)
    assert DraftFile(path).load() == DRAFTS


def test_drafts__folder_gone__no_error(tmp_path: Path) -> None:
    """What cannot be written stays on the screen; typing goes on."""
    DraftFile(tmp_path / "nowhere" / "drafts.json").save(DRAFTS)


def test_drafts__cut_while_writing__leaves_the_ones_before(file: DraftFile, monkeypatch: pytest.MonkeyPatch) -> None:
    """The new file takes the old one's place only when it is whole."""
    file.save(DRAFTS)

    def cut(descriptor: int) -> None:
        raise OSError("the power is gone")

    monkeypatch.setattr(os, "fsync", cut)
    file.save({})
    assert file.load() == DRAFTS


def test_drafts__written__once_for_many_keys_and_at_once_when_dropped() -> None:
    """A key does not wait for the disk; a saved job's draft is gone from it at once."""
    written: list[int] = []

    class Counting(NoDraftStore):
        def save(self, drafts: Any) -> None:
            written.append(len(drafts))

    drafts = Drafts(Counting())
    for note in ("s", "st", "sti", "stiff"):
        drafts.keep("c-chain", "adjust", FormDraft(note=note))
    drafts.write()
    drafts.write()
    drafts.drop("c-chain", "adjust")
    assert written == [1, 0]


def test_form__kiosk_restarted__comes_back_with_what_was_typed(yard: Any, file: DraftFile) -> None:
    """A mechanic types, the kiosk is killed and started, the part is scanned again: the text is there."""
    helpers = dataclasses.replace(yard.helpers, draft_store=file)
    yard.desk = Desk(helpers, yard._show)
    yard.desk.start()
    yard.open_job("c-chain", "sag")
    yard.type("41")
    yard.desk.tick()
    typed = [row for row in file.load().values() if isinstance(row, FormDraft)]
    assert any(each.text == "41" for each in typed[0].typed.values())
    yard.desk = Desk(helpers, yard._show)
    yard.desk.start()
    yard.open_job("c-chain", "sag")
    assert "41" in repr(yard.state)
    assert yard.screen.unsaved
