"""Where each key of a TOML text stands, so that a refusal can name its line. Reads text that tomllib has accepted.

A path is the way to a value as Python would index it: ("job", 0, "interval", "days"). Values inside an inline table
stand where the table does.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass, field

Path = tuple[str | int, ...]

_TOKEN = re.compile(
    r'"""(?:\\.|[^\\])*?"{3,5}|\'\'\'.*?\'{3,5}|"(?:\\.|[^"\\\n])*"|\'[^\'\n]*\'|#[^\n]*|[\[\]{}=\n]|[^"\'#\[\]{}=\n]+',
    re.DOTALL,
)
_NAME = re.compile(r'"((?:\\.|[^"\\])*)"|\'([^\']*)\'|([A-Za-z0-9_-]+)')


class KeyLines:
    """The line of every key, table and array element of a TOML text."""

    def __init__(self, text: str) -> None:
        self._lines: dict[Path, int] = {}
        self._arrays: dict[Path, int] = {}
        table: Path = ()
        for statement in _statements(text):
            table = self._note(statement, table)

    def of(self, path: Path) -> int:
        """Return the line of a path, or of what it stands in when it is not in the text itself."""
        while path and path not in self._lines:
            path = path[:-1]
        return self._lines.get(path, 1)

    def _note(self, statement: _Statement, table: Path) -> Path:
        """Remember a statement's line; return the table that the next key belongs to."""
        if statement.is_header:
            table = self._header(statement)
            self._lines.setdefault(table, statement.line)
            return table
        path = self._inside(table, _names(statement.head))
        self._lines.setdefault(path, statement.line)
        self._lines.update({(*path, at): line for at, line in enumerate(statement.elements)})
        return table

    def _header(self, statement: _Statement) -> Path:
        path = self._inside((), _names(statement.head))
        if not statement.head.startswith("[["):
            return path
        self._arrays[path] = self._arrays.get(path, -1) + 1
        return (*path, self._arrays[path])

    def _inside(self, table: Path, names: list[str]) -> Path:
        """Return the path of a dotted name; every array on the way is meant by its newest element."""
        path = table
        for name in names[:-1]:
            path = (*path, name)
            path = (*path, self._arrays[path]) if path in self._arrays else path
        return (*path, names[-1]) if names else path


@dataclass
class _Statement:
    """A table header, or a key with its value; `elements` are the lines of an array's strings."""

    line: int
    head: str = ""
    has_value: bool = False
    elements: list[int] = field(default_factory=list)

    @property
    def is_header(self) -> bool:
        return self.head.startswith("[")


def _statements(text: str) -> Iterator[_Statement]:
    line, depth, statement = 1, 0, _Statement(1)
    for token in _TOKEN.findall(text.replace("\r\n", "\n")):
        depth += (token in "[{") - (token in "]}")
        if token == "\n" and depth <= 0:
            if statement.head:
                yield statement
            depth, statement = 0, _Statement(line + 1)
        elif not token.startswith("#"):
            _take(statement, token, line, depth)
        line += token.count("\n")
    if statement.head:
        yield statement


def _take(statement: _Statement, token: str, line: int, depth: int) -> None:
    """Add a token to the statement: to its head up to the equals sign, else as a part of its value."""
    if statement.has_value:
        if depth == 1 and token[0] in "\"'":
            statement.elements.append(line)
    elif token == "=" and not statement.is_header:
        statement.has_value = True
    else:
        statement.head = (statement.head + token).strip()


def _names(head: str) -> list[str]:
    return ["".join(parts) for parts in _NAME.findall(head)]
