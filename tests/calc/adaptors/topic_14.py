"""Check values of topic 14, records: hashes, canonical JSON, the chain, ids, time stamps, rows of CSV."""

from __future__ import annotations

import hashlib
import json
from typing import Any

from kiosk.errors import RecordError
from kiosk.records import chain, ids, instants
from kiosk.reports import rows


def sha256(inputs: dict[str, Any]) -> dict[str, Any]:
    """The hash under the chain, of a text repeated."""
    return {"hex": hashlib.sha256(inputs["ascii"].encode("ascii") * inputs["repeat"]).hexdigest()}


def jcs(inputs: dict[str, Any]) -> dict[str, Any]:
    """Canonical JSON and its hash."""
    canonical = chain.canonical_json(json.loads(inputs["json"]))
    return {"canonical": canonical.decode(), "sha256": hashlib.sha256(canonical).hexdigest()}


def hash_chain(inputs: dict[str, Any]) -> dict[str, Any]:
    """The hashes of a chain from its beginning."""
    digests = [chain.GENESIS]
    for record in json.loads(inputs["records"]):
        digests.append(chain.link(digests[-1], chain.canonical_json(record)))
    return {"digests": digests[1:]}


def uuid7_parse(inputs: dict[str, Any]) -> dict[str, Any]:
    """Version and time of an id; only version 7 bears a time."""
    version = ids.version(inputs["uuid"])
    try:
        unix_ms = ids.unix_ms(inputs["uuid"])
    except RecordError:
        return {"version": version, "error": "not a version 7 UUID"}
    utc = ids.instant_of(inputs["uuid"]).isoformat(timespec="milliseconds").replace("+00:00", "Z")
    return {"version": version, "unix_ms": unix_ms, "utc": utc}


def uuid7_order(inputs: dict[str, Any]) -> dict[str, Any]:
    """Ids of two milliseconds, compared as text."""
    return {"first_sorts_before": ids.id_of_ms(inputs["first_ms"]) < ids.id_of_ms(inputs["second_ms"])}


def rfc3339(inputs: dict[str, Any]) -> dict[str, Any]:
    """A time stamp read, and written in UTC; a refusal is 'not valid'."""
    try:
        return {"valid": True, "utc": instants.short_utc_text(instants.parse_rfc3339(inputs["text"]))}
    except RecordError:
        return {"valid": False, "utc": ""}


def rfc4180_row(inputs: dict[str, Any]) -> dict[str, Any]:
    """One row of CSV."""
    return {"line": rows.csv_row(inputs["fields"])}


ADAPTORS = {"sha256": sha256, "jcs": jcs, "hash_chain": hash_chain, "uuid7_parse": uuid7_parse,
            "uuid7_order": uuid7_order, "rfc3339": rfc3339, "rfc4180_row": rfc4180_row}
