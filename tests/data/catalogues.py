"""Makes the catalogues current: `python tests/data/catalogues.py` gathers every text of the kiosk into kiosk.po of each
language, keeps what is translated, drops what is gone, and writes kiosk.mo. Texts are found as `tr("…")`, `trn("…",
"…", n)` and `N_("…")` in Python and in the expressions of .kv files.
"""

from __future__ import annotations

import ast
import io
import re
import sys
from collections.abc import Iterator
from datetime import UTC, datetime
from pathlib import Path

from babel.messages.catalog import Catalog
from babel.messages.mofile import write_mo
from babel.messages.pofile import read_po, write_po

ROOT = Path(__file__).resolve().parents[2]
KIOSK = ROOT / "kiosk"
CATALOGUES = KIOSK / "catalogues"
TEAMS = {"es": "Spanish", "de": "German", "fr": "French"}
HEADER = """\
# {name} texts of the shaft-and-belt kiosk. Values in braces stay as they are; their order is free."""
NO_DATE = datetime(2026, 1, 1, tzinfo=UTC)
"""Catalogues carry no date, so that the same texts always make the same file."""
MARKS = {"tr": 1, "trn": 2, "N_": 1}
Text = str | tuple[str, str]


def texts() -> list[Text]:
    """Return every text that is marked, once, in the order of files."""
    found: dict[Text, None] = {}
    for path in sorted(KIOSK.rglob("*")):
        if path.suffix == ".py":
            found |= dict.fromkeys(text for text, _ in in_code(path.read_text(encoding="utf-8")))
        elif path.suffix == ".kv":
            for line in path.read_text(encoding="utf-8").splitlines():
                found |= dict.fromkeys(text for text, _ in in_kv_line(line))
    return list(found)


def in_code(source: str) -> Iterator[tuple[Text, int]]:
    """Yield the marked texts of Python source, each with its line.

    Raises:
        ValueError: a mark holds something else than a plain text.
    """
    for node in ast.walk(ast.parse(source)):
        if not isinstance(node, ast.Call) or not isinstance(node.func, ast.Name) or node.func.id not in MARKS:
            continue
        given = node.args[: MARKS[node.func.id]]
        words = [part.value for part in given if isinstance(part, ast.Constant) and isinstance(part.value, str)]
        if any(isinstance(part, ast.JoinedStr) for part in given):
            raise ValueError(f"line {node.lineno}: {node.func.id} of a text that is put together at run time")
        if len(words) == len(given) and all(words):
            yield (words[0] if len(words) == 1 else (words[0], words[1])), node.lineno


def in_kv_line(line: str) -> Iterator[tuple[Text, int]]:
    """Yield the marked texts of one line of a .kv file."""
    if re.search(r"\b(?:tr|trn)\(", line) and not line.lstrip().startswith("#"):
        yield from in_code(line.partition(":")[2].strip())


def path_of(language: str) -> Path:
    """Return where a language's .po stands."""
    return CATALOGUES / language / "LC_MESSAGES" / "kiosk.po"


def read(language: str) -> Catalog:
    """Return a language's catalogue as its .po has it, an empty one if there is none."""
    path = path_of(language)
    if not path.exists():
        return Catalog(locale=language, fuzzy=False)
    with path.open("rb") as file:
        catalogue = read_po(file, locale=language)
    catalogue.creation_date = catalogue.revision_date = NO_DATE
    return catalogue


def current(language: str) -> Catalog:
    """Return a language's catalogue of exactly the texts that there are now, with the translations it has."""
    before = read(language)
    made = Catalog(locale=language, project="shaft-and-belt-kiosk", version="1", fuzzy=False,
                   language_team=TEAMS[language], last_translator="the yard", header_comment=HEADER.format(
                       name=TEAMS[language]), creation_date=NO_DATE, revision_date=NO_DATE)
    for text in texts():
        known = before.get(text if isinstance(text, str) else text[0])
        translated = known.string if known is not None and _same_form(known.string, text) else ""
        made.add(text, translated)
    return made


def _same_form(translated: str | tuple[str, ...], text: Text) -> bool:
    return isinstance(translated, str) == isinstance(text, str)


def po_bytes(catalogue: Catalog) -> bytes:
    """Return a catalogue as .po."""
    out = io.BytesIO()
    write_po(out, catalogue, width=110, omit_header=False, ignore_obsolete=True, no_location=True)
    lines = out.getvalue().decode("utf-8").splitlines(keepends=True)
    return "".join(line for line in lines if "-Date: " not in line).encode("utf-8")


def mo_bytes(catalogue: Catalog) -> bytes:
    """Return a catalogue as .mo; texts without a translation stay English."""
    out = io.BytesIO()
    write_mo(out, catalogue)
    return out.getvalue()


def main() -> int:
    """Write every language's .po and .mo, and say how many texts are still English."""
    for language in TEAMS:
        catalogue = current(language)
        path = path_of(language)
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(po_bytes(catalogue))
        path.with_suffix(".mo").write_bytes(mo_bytes(read(language)))
        missing = sum(1 for message in catalogue if message.id and not is_translated(message.string))
        print(f"{language}: {len(catalogue)} texts, {missing} still English")
    return 0


def is_translated(string: str | tuple[str, ...]) -> bool:
    """Say whether every form of a text has its translation."""
    return bool(string) if isinstance(string, str) else all(string)


if __name__ == "__main__":
    sys.exit(main())
