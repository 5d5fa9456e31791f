"""Changes one setting in kiosk.toml, leaving everything else in it, comments too, as the yard wrote it."""

from __future__ import annotations

import os
from pathlib import Path

from kiosk.config import FILE_NAME, parse_config
from kiosk.errors import ConfigError
from kiosk.language import tr


def change_setting(folder: Path, name: str, value: str | int | float | bool) -> None:
    """Set `name` in a shop's kiosk.toml; the file is replaced whole, after it was checked as the kiosk reads it.

    Raises:
        ConfigError: the value is not possible, or the file cannot be read or written; it stays as it was.
    """
    import tomlkit  # only where a setting is changed

    path = folder / FILE_NAME
    try:
        document = tomlkit.parse(path.read_text(encoding="utf-8"))
        document[name] = value
        text = tomlkit.dumps(document)
        parse_config(text, str(path))
        part = path.with_name(f"{path.name}.part")
        part.write_text(text, encoding="utf-8")
        os.replace(part, path)
    except (OSError, ValueError) as error:
        if isinstance(error, ConfigError):
            raise
        raise ConfigError(tr("{path} cannot be changed; it is as it was.").format(path=path), repr(error)) from error
