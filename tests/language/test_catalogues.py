"""The catalogues are whole and current, and no text of a screen goes round them."""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator
from pathlib import Path

import catalogues
import pytest

KIOSK = catalogues.KIOSK
# What a mechanic reads is made in these; commands and set-up speak English.
SPOKEN = ("presenters", "screens", "widgets", "calc", "scan")
# Tables: names and meanings of quantities and computations, which `kiosk reckon` prints.
DATA = {"terms.py", "computations.py", "ports.py", "legibility.py", "conversion.py"}
# Words that go into the journal or the log, or that code compares; shown ones go through tr where they are shown.
KEPT_ENGLISH = {
    "confirmed by a lead or supervisor", "unlocked at the kiosk", "it had not come out", "stuck on each other's part",
    "the time ran out", "from the centre outward", "{}.wav cannot be played", "dated before the reading before",
    "common practice, no source: two strokes a day by hand gun, more lifts the seal", "no change in {} days",
    "how often bolt {} comes before in the order", "cut and close up", "too close to call",
    "slope not distinguishable from zero (g >= 1)", "none (n − 2 = 0 degrees of freedom)",
    "bounds on the log scale (never negative): the ones to use", "no device called {} in {}",
    "bounds on the linear scale: another library's, kept to compare",
}
# Calls whose texts nobody reads, or which are keys.
SILENT = {"getattr", "setattr", "hasattr", "TypeVar", "getLogger", "get", "partition", "rpartition", "startswith",
          "endswith", "removesuffix", "removeprefix", "split", "replace", "strip", "debug", "info", "warning", "error",
          "exception", "compile", "counted", "SignedOut", "sign_out", "_leave", "OutOfRange", "NoTableRow", "number",
          "format", "format_date", "load", "positive", "named", "term", "fbind", "NewType", "Literal"}


def test_spanish__every_text__is_translated() -> None:
    """A mechanic who reads Spanish meets no English sentence."""
    missing = [message.id for message in catalogues.current("es")
               if message.id and not catalogues.is_translated(message.string)]
    assert missing == []


@pytest.mark.parametrize("language", sorted(catalogues.TEAMS))
def test_catalogue__placeholders__agree_with_the_english(language: str) -> None:
    """A translation names the values of its text, all of them and no others."""
    wrong = []
    for message in catalogues.read(language):
        if message.id and catalogues.is_translated(message.string):
            ids = (message.id,) if isinstance(message.id, str) else tuple(message.id)
            strings = (message.string,) if isinstance(message.string, str) else tuple(message.string)
            wrong += [(one, other) for one, other in zip(ids, strings, strict=True)
                      if _placeholders(one) != _placeholders(other)]
    assert wrong == []


@pytest.mark.parametrize("language", sorted(catalogues.TEAMS))
def test_catalogue__compiled__is_what_the_po_says(language: str) -> None:
    """The .mo that the kiosk reads was made from the .po beside it."""
    compiled = catalogues.path_of(language).with_suffix(".mo").read_bytes()
    assert compiled == catalogues.mo_bytes(catalogues.read(language))


@pytest.mark.parametrize("language", sorted(catalogues.TEAMS))
def test_catalogue__texts__are_those_of_the_code(language: str) -> None:
    """No catalogue lacks a text or keeps one that is gone: run `python tests/data/catalogues.py`."""
    kept = {message.id for message in catalogues.read(language) if message.id}
    assert kept == set(catalogues.texts())


@pytest.mark.parametrize("folder", SPOKEN)
def test_code__texts_for_people__go_through_the_catalogues(folder: str) -> None:
    """Whatever reads like a sentence stands in tr, trn or N_."""
    found = [f"{path.relative_to(KIOSK)}:{line}: {text}" for path in sorted((KIOSK / folder).rglob("*.py"))
             if path.name not in DATA for line, text in bare_texts(path)]
    assert found == []


def test_kv__texts__go_through_the_catalogues() -> None:
    """A quoted word that a .kv file shows stands in tr."""
    shown = re.compile(r"^\s*(?:text|empty_text|title|prompt|name)\s*:\s*(.*)$")
    silent = re.compile(r"tr\(\"[^\"]*\"\)|(?:==|!=)\s*\"[^\"]*\"|\"\\n\"")
    found = []
    for path in sorted(KIOSK.rglob("*.kv")):
        for at, line in enumerate(path.read_text(encoding="utf-8").splitlines(), 1):
            match = shown.match(line)
            bare = silent.sub("", match.group(1)) if match else ""
            found += [f"{path.name}:{at}: {text}" for text in re.findall(r'"([^"]*)"', bare)
                      if re.search("[A-Za-z]{2}", text)]
    assert found == []


def test_counted__words__all_have_their_forms() -> None:
    """Every word that is counted somewhere has its one and its many."""
    from kiosk.presenters.words import COUNTED

    called = {node.args[1].value for path in KIOSK.rglob("*.py")
              for node in ast.walk(ast.parse(path.read_text(encoding="utf-8")))
              if isinstance(node, ast.Call) and getattr(node.func, "id", "") == "counted" and len(node.args) == 2
              and isinstance(node.args[1], ast.Constant)}
    assert called - set(COUNTED) == set()


def test_labels_sentences__known_here__stand_in_labels() -> None:
    """A sentence of labels/ that was worded anew would come out in English; this names it."""
    from kiosk.presenters.label_words import SENTENCES

    said = [_plain(text) for path in (catalogues.ROOT / "labels").rglob("*.py")
            for text in _strings(ast.parse(path.read_text("utf-8")))]
    own = {"seen at the printer", "new label", "as the page {name}"}  # notes of the kiosk's own queue
    assert [text for text in SENTENCES if text not in own and _plain(text) not in said] == []


def _placeholders(text: str) -> set[str]:
    return set(re.findall(r"\{[^}]*\}", text))


def _plain(text: str) -> str:
    return re.sub(r"\{[^}]*\}", "{}", text)


def _strings(tree: ast.AST) -> Iterator[str]:
    for node in ast.walk(tree):
        if isinstance(node, ast.Constant) and isinstance(node.value, str):
            yield node.value
        elif isinstance(node, ast.JoinedStr):
            yield "".join(part.value if isinstance(part, ast.Constant) else "{}" for part in node.values)


def bare_texts(path: Path) -> Iterator[tuple[int, str]]:
    """Yield what reads like a sentence and stands in no mark, with its line."""
    tree = ast.parse(path.read_text(encoding="utf-8"))
    yield from _bare(tree, "")


def _bare(node: ast.AST, field: str) -> Iterator[tuple[int, str]]:
    if field in ("annotation", "returns", "bases", "slice", "keys", "defaults") or isinstance(node, ast.Compare):
        return
    if isinstance(node, ast.Expr) and isinstance(node.value, ast.Constant):
        return
    if isinstance(node, ast.Raise) and _name(node.exc) in ("ValueError", "RuntimeError", "OSError"):
        return
    if isinstance(node, ast.Call) and _name(node) in {*SILENT, *catalogues.MARKS}:
        return
    if isinstance(node, (ast.Constant, ast.JoinedStr)):
        text = next(_strings(node), None)
        if isinstance(text, str) and text not in KEPT_ENGLISH and is_sentence(text):
            yield node.lineno, text
        return
    for name, value in ast.iter_fields(node):
        for child in value if isinstance(value, list) else [value]:
            if isinstance(child, ast.AST):
                yield from _bare(child, name)


def _name(node: ast.AST | None) -> str:
    function = node.func if isinstance(node, ast.Call) else node
    return getattr(function, "id", getattr(function, "attr", ""))


def is_sentence(text: str) -> bool:
    """Say whether a text reads like words for a person: a capital and a stop, or three words and more."""
    words = re.findall(r"[A-Za-z]{2,}", text)
    return (len(words) >= 2 and bool(re.match(r"[A-Z].*[.?!:]$", text.strip()))) or (len(words) >= 4 and " " in text)
