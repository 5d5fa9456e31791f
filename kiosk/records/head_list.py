"""Heads of the chains written down elsewhere: a small JSON file, or digits typed from a receipt.

They show what a chain alone cannot: an end that was cut off, or a whole chain that was written anew.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from datetime import datetime
from pathlib import Path

import msgspec

from kiosk.errors import RecordError
from kiosk.records.instants import short_utc_text
from kiosk.records.verify import Head

# So many digits of a hash cannot be met by chance or by trying (64 bits); a receipt is typed by hand.
LEAST_DIGITS = 16
_TYPED = re.compile(r"(\d{1,2}):(\d{1,12}):([0-9a-f]{16,64})", re.ASCII)


class HeadList(msgspec.Struct, forbid_unknown_fields=True):
    """What stands in the file. `heads`: {kiosk: head}."""

    yard: str
    written_at: str
    heads: dict[int, Head]


def write_heads(path: Path, yard: str, at: datetime, heads: Mapping[int, Head]) -> None:
    """Write heads to a new file.

    Raises:
        RecordError: there is a file already, or it cannot be written.
    """
    content = msgspec.json.format(msgspec.json.encode(HeadList(yard, short_utc_text(at), dict(heads))), indent=1)
    try:
        with path.open("xb") as file:
            file.write(content + b"\n")
    except FileExistsError as error:
        raise RecordError(f"{path} is there already; a list of heads is never overwritten.") from error
    except OSError as error:
        raise RecordError(f"{path} cannot be written: {error.strerror}.") from error


def read_heads(path: Path) -> dict[int, Head]:
    """Return the heads of a file that `write_heads` wrote.

    Raises:
        RecordError: it cannot be read, or is no list of heads.
    """
    try:
        return msgspec.json.decode(path.read_bytes(), type=HeadList).heads
    except OSError as error:
        raise RecordError(f"{path} cannot be read: {error.strerror}.") from error
    except (msgspec.MsgspecError, UnicodeError) as error:
        raise RecordError(f"{path} is no list of heads: {error}.") from error


def typed_head(text: str) -> tuple[int, Head]:
    """Return kiosk and head of 'KIOSK:ENTRY:DIGITS' as typed from a receipt.

    Raises:
        RecordError: it is not written like that.
    """
    match = _TYPED.fullmatch(text.strip().lower().replace(" ", ""))
    if match is None:
        raise RecordError(f"'{text}' is no head. Write it as KIOSK:ENTRY:DIGITS with {LEAST_DIGITS} digits of the hash "
                          "or more, such as 1:1204:9f3c51aa07be42d8.")
    return int(match[1]), Head(int(match[2]), match[3])
