"""The templates in the package: units to begin with, and the service sheets that their places need."""

from __future__ import annotations

import tomllib
from functools import cache
from pathlib import Path
from typing import Any

from kiosk.entities import Side
from kiosk.errors import NotFound
from kiosk.language import tr
from kiosk.presenters.set_up_ports import TemplatePlace, UnitTemplate

_FOLDER = Path(__file__).parent.parent / "templates"
SHEETS = _FOLDER / "sheets"


@cache
def unit_templates() -> tuple[UnitTemplate, ...]:
    """Return the templates of units, the empty one last."""
    texts = [path.read_text(encoding="utf-8") for path in sorted((_FOLDER / "units").glob("*.toml"))]
    read = [_template(tomllib.loads(text)) for text in texts]
    return tuple(sorted(read, key=lambda template: (not template.places, template.title)))


def unit_template(key: str) -> UnitTemplate:
    """Return a template.

    Raises:
        NotFound: there is none of that key.
    """
    for template in unit_templates():
        if template.key == key:
            return template
    known = ", ".join(template.key for template in unit_templates())
    raise NotFound(tr("There is no template '{key}'. There are: {known}.").format(key=key, known=known))


def _template(values: dict[str, Any]) -> UnitTemplate:
    places = tuple(TemplatePlace(**{**place, "side": Side(place["side"])}) for place in values.pop("place", ()))
    return UnitTemplate(places=places, **values)
