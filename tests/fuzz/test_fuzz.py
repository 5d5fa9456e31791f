"""Bad input by the hundred thousand: no crash, no hang, no write elsewhere; and what it found once stays out."""

from __future__ import annotations

import io
from pathlib import Path

import bench_fuzz
import pytest
from fuzz_targets import _giant_png
from PIL import Image

from kiosk.config import parse_config
from kiosk.errors import ConfigError
from kiosk.pins import PinVault
from labels.errors import ImageUnreadable
from labels.reading.picture import load


@pytest.mark.slow
def test_fuzz__full_size__no_crash_and_no_hang() -> None:
    """At least 200,000 cases over every way in, each within a second, memory within 2.5 GB a process."""
    figures = {figure.figure: figure.value for figure in bench_fuzz.run()}
    assert figures["cases"] >= 200_000
    assert (figures["crashes"], figures["hangs"]) == (0, 0)
    assert figures["memory"] < bench_fuzz.MOST_MEMORY_MB


@pytest.mark.parametrize("text", ["page = " + "[" * 3000, f'time_zone = "{"Europe/" * 3000}"'])
def test_settings__nested_or_long_beyond_reason__are_refused_with_a_sentence(text: str) -> None:
    """Found by the fuzzer: a path of folders, or brackets, thousands deep."""
    with pytest.raises(ConfigError):
        parse_config(text)


def test_pin_file__bytes_that_are_no_text__are_refused_without_quoting_them(tmp_path: Path) -> None:
    """Found by the fuzzer: the parser's own error would have shown the hash."""
    path = tmp_path / "pins.json"
    path.write_bytes(b'{"pins":{"lead":{"salt":"12\xff","hash":"abcdef","n":2,"r":8,"p":1}}}')
    path.chmod(0o600)
    with pytest.raises(ConfigError) as error:
        PinVault(path, tmp_path / "pepper", lambda: None).is_set("lead")  # type: ignore[arg-type,return-value]
    assert "abcdef" not in str(error.value) and error.value.__cause__ is None


@pytest.mark.parametrize("side", [20_000, 60_000, 2**31 - 1])
def test_picture__claims_to_be_giant__is_refused_before_memory_is_taken(tmp_path: Path, side: int) -> None:
    """Found by the fuzzer: 80 bytes that claimed 60,000 x 60,000 took gigabytes and seconds."""
    path = tmp_path / "giant.png"
    path.write_bytes(_giant_png(side))
    with pytest.raises(ImageUnreadable):
        load(path)


def test_picture__of_a_large_camera__is_read(tmp_path: Path) -> None:
    """A picture of 108 million elements is still read, at a fraction of its size."""
    out = io.BytesIO()
    Image.new("L", (12_000, 9_000), 200).save(out, "JPEG")
    path = tmp_path / "large.jpg"
    path.write_bytes(out.getvalue())
    assert load(path).size <= 27_000_000
