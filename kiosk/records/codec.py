"""Payloads as canonical JSON and back: typed both ways, so that a body which is not what it claims is refused."""

from __future__ import annotations

from typing import Any

import msgspec

from kiosk.entities import ServiceRecord
from kiosk.errors import RecordError
from kiosk.events import KIND_OF, KINDS, Payload
from kiosk.records import chain

_DECODERS: dict[str, msgspec.json.Decoder[Payload]] = {
    kind: msgspec.json.Decoder(payload) for kind, payload in KINDS.items()}


class _Carrier(msgspec.Struct):
    """What of an event's body holds a service record; the rest of the body is passed over unread."""

    record: ServiceRecord | None = None
    replacement: ServiceRecord | None = None


_CARRIER = msgspec.json.Decoder(_Carrier)
_PROPERTIES = msgspec.json.Decoder(dict[str, Any])
_ENCODER = msgspec.json.Encoder(order="sorted")


def kind_of(payload: Payload) -> str:
    """Return the kind that the journal keeps for a payload.

    Raises:
        RecordError: this is no payload of ours.
    """
    kind = KIND_OF.get(type(payload))
    if kind is None:
        raise RecordError(f"Nothing is known of an event of the kind {type(payload).__name__}.")
    return kind


def encode(payload: Payload) -> str:
    """Return a payload as canonical JSON (RFC 8785).

    Raises:
        RecordError: a value that JSON cannot carry, NaN among them.
    """
    try:
        plain = msgspec.to_builtins(payload)
    except (TypeError, ValueError, msgspec.MsgspecError) as error:
        raise RecordError(f"This cannot be kept on record: {error}.") from error
    return chain.canonical_json(plain).decode()


def is_known(kind: str) -> bool:
    """Whether this program knows a kind of event; a newer one may know more."""
    return kind in _DECODERS


def decode(kind: str, body: str) -> Payload:
    """Return the payload of a body.

    Raises:
        RecordError: unknown kind, not JSON, a field is missing or of the wrong type.
    """
    decoder = _DECODERS.get(kind)
    if decoder is None:
        raise RecordError(f"Nothing is known of an event of the kind '{kind}'.")
    try:
        return decoder.decode(body)
    except (msgspec.MsgspecError, UnicodeError, RecursionError) as error:
        raise RecordError(f"An event '{kind}' is not what it should be: {error}.") from error


def record_of_body(body: str) -> ServiceRecord:
    """Return the service record that an event's body brings.

    Raises:
        RecordError: the body was damaged, or brings none.
    """
    try:
        carrier = _CARRIER.decode(body)
    except (msgspec.MsgspecError, UnicodeError) as error:
        raise RecordError(f"A service record cannot be read any more: {error}. Verify the journal.") from error
    record = carrier.record or carrier.replacement
    if record is None:
        raise RecordError("An entry of the journal that should bring a service record brings none. Verify the journal.")
    return record


def properties_text(properties: dict[str, Any]) -> str:
    """Return a part's properties as JSON with sorted keys."""
    return _ENCODER.encode(properties).decode()


def properties_from_text(text: str) -> dict[str, Any]:
    """Return the properties that `properties_text` wrote."""
    return _PROPERTIES.decode(text)
