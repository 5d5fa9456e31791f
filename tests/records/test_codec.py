"""Payloads to canonical JSON and back: every kind, whatever a person may type into it."""

from __future__ import annotations

import json
from dataclasses import fields
from datetime import UTC
from typing import Any

import pytest
import rfc8785
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from kiosk.entities import Component, Finding, Label, Person, Position, Reading, ServiceRecord
from kiosk.errors import RecordError
from kiosk.events import KINDS, JobDone, Payload, RecordCorrected
from kiosk.records import codec

TEXT = st.text(st.characters(exclude_categories=("Cs",)), max_size=20)
NUMBER = st.floats(allow_nan=False, allow_infinity=False)
WHOLE = st.integers(-(2**53) + 1, 2**53 - 1)
# Beyond 2**53 a JSON reader that knows no types takes a whole number for another.
FREE_NUMBER = NUMBER.filter(lambda number: abs(number) < 2**53)
PROPERTIES = st.dictionaries(
    TEXT, st.recursive(st.none() | st.booleans() | WHOLE | FREE_NUMBER | TEXT,
                       lambda inner: st.lists(inner, max_size=3) | st.dictionaries(TEXT, inner, max_size=3),
                       max_leaves=6), max_size=4)

st.register_type_strategy(str, TEXT)
st.register_type_strategy(float, NUMBER)
st.register_type_strategy(int, WHOLE)
INSTANT = st.datetimes(timezones=st.just(UTC))


def _built(entity: type) -> st.SearchStrategy[Any]:
    """Build an entity with every field drawn, and free properties where it has some."""
    free: dict[str, Any] = {}
    for field in fields(entity):
        if field.name.endswith("_at") or field.name == "at":
            free[field.name] = INSTANT if "None" not in str(field.type) else st.none() | INSTANT
        elif str(field.type).startswith(("dict[str, object]", "dict[str, Any]")):
            free[field.name] = PROPERTIES if "None" not in str(field.type) else st.none() | PROPERTIES
    return st.builds(entity, **free)


for each in (Person, Position, Reading, Component, Label, Finding, ServiceRecord):
    st.register_type_strategy(each, _built(each))


@pytest.mark.parametrize("kind", KINDS)
def test_round_trip__every_kind__gives_the_same_payload(kind: str) -> None:
    """What was put in comes out, typed, whatever text and numbers it holds."""

    @settings(max_examples=60, deadline=None, suppress_health_check=list(HealthCheck))
    @given(_built(KINDS[kind]))
    def holds(payload: Payload) -> None:
        assert codec.kind_of(payload) == kind
        assert codec.decode(kind, codec.encode(payload)) == payload

    holds()


@settings(max_examples=60, deadline=None, suppress_health_check=list(HealthCheck))
@given(_built(JobDone))
def test_encode__rfc8785__is_canonical_and_stays_so(payload: JobDone) -> None:
    """A body decoded and encoded again is the same text, so that its hash is."""
    body = codec.encode(payload)
    assert rfc8785.dumps(json.loads(body, parse_int=float)).decode() == body
    assert codec.encode(codec.decode("job done", body)) == body


@settings(max_examples=60, deadline=None, suppress_health_check=list(HealthCheck))
@given(_built(ServiceRecord))
def test_record_of_body__each_kind_that_brings_one__is_the_whole_record(record: ServiceRecord) -> None:
    """The record read out of a job's, and of a correction's body, is the record that was put in."""
    for payload in (JobDone(record), RecordCorrected("old", "reason", record)):
        assert codec.record_of_body(codec.encode(payload)) == record


@pytest.mark.parametrize(("kind", "body"), [
    pytest.param("job done", "{}", id="field-missing"),
    pytest.param("hours read", '{"unit_id":"u1","hours":"12"}', id="text-for-a-number"),
    pytest.param("hours read", '{"unit_id":1,"hours":12}', id="number-for-a-text"),
    pytest.param("hours read", '{"unit_id":"u1","hours":12', id="cut-short"),
    pytest.param("hours read", "", id="empty"),
    pytest.param("hours read", "[]", id="list"),
    pytest.param("person added", '{"person":{"id":"a","name":"b","role":"king","badge":""}}', id="no-such-role"),
    pytest.param("label issued", '{"serial":1,"label":{"number":"1","kind":"component","subject_id":null,'
                                 '"issued_at":"yesterday"}}', id="no-time"),
    pytest.param("job undone", "{}", id="unknown-kind"),
    pytest.param("record corrected", "[" * 100_000, id="nested-too-deep"),
])
def test_decode__not_what_it_claims__is_refused(kind: str, body: str) -> None:
    """A bad body ends in a sentence, not in a half-filled payload."""
    with pytest.raises(RecordError):
        codec.decode(kind, body)


@settings(max_examples=300, deadline=None)
@given(st.sampled_from(sorted(KINDS)), st.text() | st.binary().map(lambda raw: raw.decode("latin-1")))
def test_decode__any_rubbish__is_refused_or_typed(kind: str, body: str) -> None:
    """No text whatever gets past with another error."""
    try:
        assert type(codec.decode(kind, body)) is KINDS[kind]
    except RecordError as error:
        assert error.operator_message


@pytest.mark.parametrize("details", [
    {"x": float("nan")}, {"x": float("inf")}, {"x": 2**60}, {"x": "\ud800"}, {"x": object()},
], ids=["nan", "infinity", "huge", "surrogate", "object"])
def test_encode__what_json_cannot_carry__is_refused(details: dict[str, object]) -> None:
    """Values that would come back as something else are refused at the door."""
    payload = RecordCorrected("r", "why", None, details)
    with pytest.raises(RecordError, match="cannot be kept"):
        codec.encode(payload)


@pytest.mark.parametrize("body", ['{"record": {"id": 3}}', "{}", '{"record": ', ""])
def test_record_of_body__damaged_or_of_another_event__is_refused(body: str) -> None:
    """A body that brings no record has a sentence that says what to do."""
    with pytest.raises(RecordError, match="Verify"):
        codec.record_of_body(body)
