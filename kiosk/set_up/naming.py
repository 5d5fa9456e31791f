"""Ids for what is named by a person: readable, of plain letters, none twice."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Container

LONGEST_STEM = 48


def id_for(name: str, taken: Container[str], before: str = "") -> str:
    """Return an id made of a name, `before` in front, with a number behind it where it is taken."""
    plain = unicodedata.normalize("NFKD", name).encode("ascii", "ignore").decode().lower()
    stem = before + (re.sub(r"[^a-z0-9]+", "-", plain).strip("-") or "one")
    stem = stem[:LONGEST_STEM].rstrip("-")
    number, wanted = 1, stem
    while wanted in taken:
        number += 1
        wanted = f"{stem}-{number}"
    return wanted
