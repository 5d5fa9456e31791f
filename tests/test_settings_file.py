"""One setting changed in kiosk.toml."""

from __future__ import annotations

from pathlib import Path

import pytest

from kiosk.config import load_config
from kiosk.errors import ConfigError
from kiosk.settings_file import change_setting

TEXT = '# our yard\nkiosk = 3   # by the gate\ncamera = "0"\n'


def test_setting_changes_and_comments_stay(tmp_path: Path) -> None:
    """What the yard wrote itself is not touched."""
    (tmp_path / "kiosk.toml").write_text(TEXT)
    change_setting(tmp_path, "camera", "1")
    change_setting(tmp_path, "scanner", "1234:5678")
    text = (tmp_path / "kiosk.toml").read_text()
    assert text.startswith('# our yard\nkiosk = 3   # by the gate\ncamera = "1"\n')
    assert (load_config(tmp_path).camera, load_config(tmp_path).scanner) == ("1", "1234:5678")


def test_impossible_value_is_refused_and_the_file_stays(tmp_path: Path) -> None:
    """The kiosk's own reading decides, before anything is written."""
    (tmp_path / "kiosk.toml").write_text(TEXT)
    with pytest.raises(ConfigError, match="printer"):
        change_setting(tmp_path, "printer", "no address")
    assert (tmp_path / "kiosk.toml").read_text() == TEXT
