"""README keeps up with the code: every setting and every command is in it, every picture it shows exists."""

import re
from pathlib import Path

from kiosk.__main__ import COMMANDS
from kiosk.config import Config

ROOT = Path(__file__).parents[1]
README = (ROOT / "README.md").read_text(encoding="utf-8")


def test_every_setting_is_listed() -> None:
    """A setting nobody can find is no setting."""
    assert [name for name in Config.__dataclass_fields__ if f"`{name}`" not in README] == []


def test_every_command_is_listed() -> None:
    """A command nobody can find is no command."""
    assert [name for name in COMMANDS if f"`kiosk {name}`" not in README] == []


def test_every_picture_is_there() -> None:
    """README shows at least three pictures of screens, and all of them exist."""
    pictures = re.findall(r"\]\((assets/[^)]+\.png)\)", README)
    assert len(pictures) >= 3
    assert [picture for picture in pictures if not (ROOT / picture).is_file()] == []


def test_job_is_stated_in_one_paragraph_at_the_top() -> None:
    """The first thing under the title is the job, in one paragraph."""
    blocks = README.split("\n\n")
    assert blocks[0].startswith("# ") and blocks[1].startswith("A touchscreen kiosk") and len(blocks[1]) < 900
