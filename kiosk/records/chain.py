"""The hash chain of one kiosk: each entry's hash covers the hash before it and the entry's canonical JSON.

hash = SHA-256(previous hash, 32 bytes ‖ canonical JSON of the entry); 32 zero bytes stand before the first entry.
It shows an entry that was changed, removed or put in another place; a tail cut off shows only against a head that
was written down elsewhere.

Source: SHA-256 of FIPS 180-4 from hashlib; canonical JSON of RFC 8785 from the library rfc8785; the chain is our rule.
"""

from __future__ import annotations

import hashlib
from json.encoder import encode_basestring as _quoted
from typing import Any

import rfc8785

from kiosk.errors import RecordError, StoreUnavailable

GENESIS = "00" * 32


def canonical_json(value: Any) -> bytes:
    """Return a JSON-able value as canonical JSON in UTF-8.

    Raises:
        RecordError: NaN, infinity, an integer beyond 2**53, a key that is no text, or text that is no Unicode.
    """
    try:
        return rfc8785.dumps(value)
    except rfc8785.CanonicalizationError as error:
        raise RecordError(f"This cannot be kept on record: {error}.") from error


def link(previous_hash: str, canonical: bytes) -> str:
    """Return the hex hash of an entry, given the hex hash before it and the entry's canonical JSON."""
    return hashlib.sha256(bytes.fromhex(previous_hash) + canonical).hexdigest()


def demand_as_saved(row: tuple[Any, ...]) -> None:
    """Refuse an entry that is not what its own hash says: a byte that flipped on the disk, or somebody's hand.

    SQLite's own checks do not see inside a text, so that every entry is asked before it is shown or sent out.

    Args:
        row: kiosk, seq, id, at, kind, person_id, body, previous_hash, hash of the journal.

    Raises:
        StoreUnavailable: kind 'damaged'; names the entry.
    """
    kiosk, seq, event_id, at, kind, person_id, body, previous_hash, own_hash = row
    canonical = envelope(kiosk=kiosk, seq=seq, event_id=event_id, at=at, person_id=person_id, kind=kind, body=body)
    try:
        is_as_saved = link(previous_hash, canonical) == own_hash
    except ValueError:  # the hash before it is no hash any more
        is_as_saved = False
    if not is_as_saved:
        raise StoreUnavailable(
            f"Entry {seq} of kiosk {kiosk}, of {at[:10]}, is not as it was saved; it is not shown. Leave the records "
            "as they are and have the supervisor restore the last backup.", f"entry {event_id}", "damaged")


def envelope(*, kiosk: int, seq: int, event_id: str, at: str, person_id: str | None, kind: str,
             body: str) -> bytes:
    """Return the canonical JSON of an entry, given its body as canonical JSON.

    The body is set in as it stands, so that a walk over the whole journal need not take every body apart. The other
    values are texts and whole numbers, which plain JSON writes as the canonical form does, keys in sorted order.
    """
    person = "null" if person_id is None else _quoted(person_id)
    text = (f'{{"at":{_quoted(at)},"body":{body},"id":{_quoted(event_id)},"kind":{_quoted(kind)},"kiosk":{kiosk:d},'
            f'"person_id":{person},"seq":{seq:d}}}')
    return text.encode()
