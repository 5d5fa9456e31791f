"""kiosk.toml: what is known is taken, anything else is refused with a sentence."""

from pathlib import Path

import pytest

from kiosk.config import Config, load_config, parse_config
from kiosk.errors import ConfigError


def test_empty_file_gives_the_defaults() -> None:
    """A shop that sets nothing gets the defaults that the class lists."""
    assert parse_config("") == Config()


@pytest.mark.parametrize(
    ("text", "sentence"),
    [
        ("kiosk = 100", "from 0 to 99"),
        ("kiosk = 'one'", "Expected `int`"),
        ("kiosc = 1", "'kiosc' that the kiosk does not know"),
        ("units = 'feet'", "\"in\" or \"mm\""),
        ("shift_starts = ['6 am']", "one name for each"),
        ("shift_starts = ['6 am']\nshift_names = ['early']", "times like"),
        ("time_zone = 'Nowhere/Atall'", "not known here"),
        ("width = 3", "not a screen's"),
        ("printer = 'http://printer'", "'printer' must be an address like"),
        ("kiosk = = 1", "not valid TOML"),
    ],
)
def test_bad_setting_is_refused(text: str, sentence: str) -> None:
    """Each slip is named in a sentence that says what is possible."""
    with pytest.raises(ConfigError, match=sentence):
        parse_config(text)


def test_folder_without_a_shop_says_so(tmp_path: Path) -> None:
    """A wrong folder is told apart from a wrong file."""
    with pytest.raises(ConfigError, match="There is no shop at"):
        load_config(tmp_path)


def test_file_that_is_not_text_says_so(tmp_path: Path) -> None:
    """Random bytes in kiosk.toml end in a sentence."""
    (tmp_path / "kiosk.toml").write_bytes(b"\xff\xfe\x00")
    with pytest.raises(ConfigError, match="not text"):
        load_config(tmp_path)
