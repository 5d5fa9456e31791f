"""The Internet Printing Protocol's messages as bytes: what a printer is asked and what it answers. Pure.

Only the encodings that label printing needs are written; everything a printer may answer is read.

Source: RFC 8010 (encoding), RFC 8011 (operations, status codes, states).
"""

from __future__ import annotations

import struct
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from enum import IntEnum
from typing import Any

from labels.errors import LabelError

VERSION = (2, 0)
_MOST_DEPTH = 8


class Tag(IntEnum):
    """Delimiter and value tags. Source: RFC 8010, 3.5."""

    OPERATION = 0x01
    JOB = 0x02
    END = 0x03
    PRINTER = 0x04
    UNSUPPORTED = 0x05
    INTEGER = 0x21
    BOOLEAN = 0x22
    ENUM = 0x23
    OCTET_STRING = 0x30
    DATE_TIME = 0x31
    RESOLUTION = 0x32
    RANGE = 0x33
    COLLECTION = 0x34
    TEXT_WITH_LANGUAGE = 0x35
    NAME_WITH_LANGUAGE = 0x36
    END_COLLECTION = 0x37
    TEXT = 0x41
    NAME = 0x42
    KEYWORD = 0x44
    URI = 0x45
    CHARSET = 0x47
    LANGUAGE = 0x48
    MIME_TYPE = 0x49
    MEMBER_NAME = 0x4A


class Operation(IntEnum):
    """What a printer can be asked. Source: RFC 8011, 5.4.15."""

    PRINT_JOB = 0x0002
    VALIDATE_JOB = 0x0004
    CANCEL_JOB = 0x0008
    GET_JOB_ATTRIBUTES = 0x0009
    GET_JOBS = 0x000A
    GET_PRINTER_ATTRIBUTES = 0x000B
    GET_QUEUES = 0x4002  # of a print service: CUPS-Get-Printers in CUPS's own description of its IPP


class BadAnswer(LabelError):
    """What came back is no message of the protocol."""

    def __init__(self, details: str) -> None:
        super().__init__("What answered at the printer's address does not speak IPP. Check the address.", details)


Group = dict[str, list[Any]]


@dataclass(frozen=True)
class Attribute:
    """One attribute to send. A collection's value is a tuple of its members."""

    name: str
    tag: Tag
    values: tuple[Any, ...]


@dataclass(frozen=True)
class Answer:
    """What a printer answered.

    Attributes:
        status: Status code; below 0x100 is well.
        groups: Delimiter tag and attributes of each group. Values are int, bool, str, bytes, a dict for a collection,
            and tuples for a range (low, high) and a resolution (across, along, unit: 3 per inch, 4 per cm).
    """

    status: int
    groups: tuple[tuple[int, Group], ...]

    def group(self, tag: Tag) -> Group:
        """Return the first group of a kind, empty when there is none."""
        return next((group for kind, group in self.groups if kind == tag), {})

    def all_of(self, tag: Tag) -> list[Group]:
        """Return every group of a kind."""
        return [group for kind, group in self.groups if kind == tag]


def attribute(name: str, tag: Tag, *values: Any) -> Attribute:
    """Return an attribute to send."""
    return Attribute(name, tag, values)


def request(operation: Operation, request_id: int, groups: Sequence[tuple[Tag, Sequence[Attribute]]]) -> bytes:
    """Return a request; a document follows it where the operation has one.

    Source:
        RFC 8010, 3.1
    """
    out = bytearray(struct.pack(">BBHI", *VERSION, operation, request_id))
    for tag, attributes in groups:
        out.append(tag)
        for one in attributes:
            out += _encoded(one)
    out.append(Tag.END)
    return bytes(out)


def _encoded(one: Attribute) -> bytes:
    out = bytearray()
    for place, value in enumerate(one.values):
        # Every value after the first has an empty name.
        out += _value(one.tag, one.name if place == 0 else "", value)
    return bytes(out)


def _value(tag: Tag, name: str, value: Any) -> bytes:
    if tag == Tag.COLLECTION:
        return _field(tag, name, b"") + _members(value) + _field(Tag.END_COLLECTION, "", b"")
    return _field(tag, name, _value_bytes(tag, value))


def _members(members: Iterable[Attribute]) -> bytes:
    out = bytearray()
    for member in members:
        out += _field(Tag.MEMBER_NAME, "", member.name.encode())
        for value in member.values:
            out += _value(member.tag, "", value)
    return bytes(out)


def _value_bytes(tag: Tag, value: Any) -> bytes:
    if tag in (Tag.INTEGER, Tag.ENUM):
        return struct.pack(">i", value)
    if tag == Tag.BOOLEAN:
        return bytes([bool(value)])
    if tag == Tag.RESOLUTION:
        return struct.pack(">iib", *value)
    return str(value).encode()


def _field(tag: int, name: str, value: bytes) -> bytes:
    return struct.pack(">BH", tag, len(name)) + name.encode() + struct.pack(">H", len(value)) + value


def answer(message: bytes) -> Answer:
    """Return what a printer's message says.

    Raises:
        BadAnswer: it is cut short or no message of the protocol.

    Source:
        RFC 8010, 3.1
    """
    try:
        return _Parser(message).answer()
    except (struct.error, IndexError, UnicodeDecodeError, RecursionError) as error:
        raise BadAnswer(repr(error)) from error


class _Parser:
    """Reads a message from front to back."""

    def __init__(self, message: bytes) -> None:
        self._message = message
        self._at = 0

    def answer(self) -> Answer:
        _major, _minor, status, _id = self._unpack(">BBHI")
        groups: list[tuple[int, Group]] = []
        values: list[Any] = []
        while (tag := self._byte()) != Tag.END:
            if tag < 0x10:
                groups.append((tag, {}))
                continue
            if not groups:
                raise BadAnswer("a value stands before the first group")
            name, value = self._name_and_value(tag)
            if name:
                values = groups[-1][1].setdefault(name, [])
            values.append(value)
        return Answer(status, tuple(groups))

    def _name_and_value(self, tag: int, depth: int = 0) -> tuple[str, Any]:
        name, raw = self._text(), self._block()
        if tag == Tag.COLLECTION:
            return name, self._collection(depth + 1)
        return name, _decoded(tag, raw)

    def _collection(self, depth: int) -> Group:
        if depth > _MOST_DEPTH:
            raise BadAnswer("collections stand too deep in one another")
        members: Group = {}
        values: list[Any] = []
        while (tag := self._byte()) != Tag.END_COLLECTION:
            _name, value = self._name_and_value(tag, depth)
            if tag == Tag.MEMBER_NAME:
                values = members.setdefault(str(value), [])
            else:
                values.append(value)
        self._text()
        self._block()
        return members

    def _unpack(self, form: str) -> tuple[int, ...]:
        values = struct.unpack_from(form, self._message, self._at)
        self._at += struct.calcsize(form)
        return values

    def _byte(self) -> int:
        return self._unpack(">B")[0]

    def _block(self) -> bytes:
        (length,) = self._unpack(">H")
        block = self._message[self._at : self._at + length]
        if len(block) != length:
            raise BadAnswer("the message is cut short")
        self._at += length
        return block

    def _text(self) -> str:
        return self._block().decode()


def _decoded(tag: int, raw: bytes) -> Any:
    if tag in (Tag.INTEGER, Tag.ENUM):
        return struct.unpack(">i", raw)[0]
    if tag == Tag.BOOLEAN:
        return raw != b"\0"
    if tag == Tag.RANGE:
        return struct.unpack(">ii", raw)
    if tag == Tag.RESOLUTION:
        return struct.unpack(">iib", raw)
    if tag in (Tag.TEXT_WITH_LANGUAGE, Tag.NAME_WITH_LANGUAGE):
        (skipped,) = struct.unpack_from(">H", raw)
        return raw[skipped + 4 :].decode(errors="replace")
    if tag in (Tag.OCTET_STRING, Tag.DATE_TIME):
        return raw
    return raw.decode(errors="replace")
