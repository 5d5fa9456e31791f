"""What was typed and not saved yet, in a file of the shop's folder, so that it outlives a restart.

The file is written whole beside the old one, synced, and put in its place. One that cannot be read is kept aside and
never stops the kiosk from opening.
"""

from __future__ import annotations

import logging
import os
from collections.abc import Mapping
from contextlib import suppress
from pathlib import Path

import msgspec

from kiosk.presenters.drafts import Draft, DraftKey, FormDraft, ReplaceDraft, SessionDraft, SpliceDraft, StepListDraft

FILE_NAME = "drafts.json"
_KINDS: dict[str, type[Draft]] = {"form": FormDraft, "splice": SpliceDraft, "replacement": ReplaceDraft,
                                  "session": SessionDraft, "steps": StepListDraft}
_NAMES = {kind: name for name, kind in _KINDS.items()}
_log = logging.getLogger(__name__)


class _Kept(msgspec.Struct):
    """One draft in the file."""

    component_id: str
    job: str
    kind: str
    draft: msgspec.Raw


class DraftFile:
    """Answers `drafts.DraftStore` with a file.

    Args:
        path: The file; made with the first draft.
    """

    def __init__(self, path: Path) -> None:
        self._path = path

    def load(self) -> dict[DraftKey, Draft]:
        """Return the drafts that were kept; none if there is no file, or none that can be read."""
        try:
            kept = msgspec.json.decode(self._path.read_bytes(), type=list[_Kept])
            return {(each.component_id, each.job): _draft(each) for each in kept}
        except FileNotFoundError:
            return {}
        except (OSError, KeyError, msgspec.MsgspecError, UnicodeError) as error:
            _log.error("drafts cannot be read: %r", error)
            self._keep_aside()
            return {}

    def save(self, drafts: Mapping[DraftKey, Draft]) -> None:
        """Put the drafts in the place of those before; what cannot be written stays on the screen all the same."""
        kept = [_Kept(component_id, job, _NAMES[type(draft)], msgspec.Raw(msgspec.json.encode(draft)))
                for (component_id, job), draft in drafts.items()]
        try:
            self._replace_by(msgspec.json.encode(kept))
        except OSError as error:
            _log.error("drafts cannot be written: %r", error)

    def _replace_by(self, content: bytes) -> None:
        part = self._path.with_name(f"{self._path.name}.part")
        with part.open("wb") as file:
            file.write(content)
            file.flush()
            os.fsync(file.fileno())
        os.replace(part, self._path)

    def _keep_aside(self) -> None:
        number = 1
        while (aside := self._path.with_name(f"{self._path.name}.unreadable-{number}")).exists():
            number += 1
        with suppress(OSError):
            os.replace(self._path, aside)


def _draft(kept: _Kept) -> Draft:
    return msgspec.json.decode(kept.draft, type=_KINDS[kept.kind])
