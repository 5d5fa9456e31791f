"""The printing protocol's messages: what is sent is read the same, and rubbish is refused with a sentence."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from labels.ipp import Answer, BadAnswer, Operation, Tag, answer, attribute, request
from labels.printer_words import job_sentences, printer_sentences, stops_printing

# RFC 8010, appendix A.1, the example Print-Job request, typed in from the text without its document.
PRINT_JOB_EXAMPLE = (
    bytes.fromhex("0101 0002 00000001 01")
    + b"\x47\x00\x12attributes-charset\x00\x05utf-8"
    + b"\x48\x00\x1battributes-natural-language\x00\x05en-us"
    + b"\x45\x00\x0bprinter-uri\x00\x2cipp://printer.example.com/ipp/print/pinetree"
    + b"\x42\x00\x08job-name\x00\x06foobar"
    + b"\x22\x00\x16ipp-attribute-fidelity\x00\x01\x01"
    + b"\x02"
    + b"\x21\x00\x06copies\x00\x04\x00\x00\x00\x14"
    + b"\x44\x00\x05sides\x00\x13two-sided-long-edge"
    + b"\x03"
)


def test_print_job_request_equals_rfc8010_appendix_a1() -> None:
    """Our request for the RFC's example is its bytes, but for the protocol's version."""
    ours = request(Operation.PRINT_JOB, 1, [
        (Tag.OPERATION, [
            attribute("attributes-charset", Tag.CHARSET, "utf-8"),
            attribute("attributes-natural-language", Tag.LANGUAGE, "en-us"),
            attribute("printer-uri", Tag.URI, "ipp://printer.example.com/ipp/print/pinetree"),
            attribute("job-name", Tag.NAME, "foobar"),
            attribute("ipp-attribute-fidelity", Tag.BOOLEAN, True),
        ]),
        (Tag.JOB, [attribute("copies", Tag.INTEGER, 20), attribute("sides", Tag.KEYWORD, "two-sided-long-edge")]),
    ])
    assert ours[:2] == bytes([2, 0]) and ours[2:] == PRINT_JOB_EXAMPLE[2:]


def test_collection_comes_back_as_it_was_sent() -> None:
    """A label's size inside media-col, two values of a keyword, and a resolution survive the way."""
    size = (attribute("x-dimension", Tag.INTEGER, 5100), attribute("y-dimension", Tag.INTEGER, 2500))
    media = (attribute("media-size", Tag.COLLECTION, size), attribute("media-top-margin", Tag.INTEGER, 0))
    sent = request(Operation.VALIDATE_JOB, 7, [(Tag.JOB, [
        attribute("media-col", Tag.COLLECTION, media), attribute("keywords", Tag.KEYWORD, "one", "two"),
        attribute("printer-resolution", Tag.RESOLUTION, (203, 203, 3))])])
    assert answer(sent) == Answer(int(Operation.VALIDATE_JOB), ((Tag.JOB, {
        "media-col": [{"media-size": [{"x-dimension": [5100], "y-dimension": [2500]}], "media-top-margin": [0]}],
        "keywords": ["one", "two"], "printer-resolution": [(203, 203, 3)]}),))


@given(st.integers(0, len(PRINT_JOB_EXAMPLE) - 1))
def test_message_cut_short_is_refused(length: int) -> None:
    """No part of a message passes for the whole."""
    with pytest.raises(BadAnswer, match="does not speak IPP"):
        answer(PRINT_JOB_EXAMPLE[:length])


@settings(max_examples=500)
@given(st.binary(max_size=300))
def test_any_bytes_are_read_or_refused(message: bytes) -> None:
    """Whatever answers at the address, the kiosk gets an answer or one sentence."""
    try:
        answer(message)
    except BadAnswer as error:
        assert error.operator_message


@settings(max_examples=300)
@given(st.integers(8, len(PRINT_JOB_EXAMPLE) - 1), st.integers(0, 255))
def test_a_wrong_byte_is_read_or_refused(place: int, byte: int) -> None:
    """One damaged byte never ends in anything but an answer or one sentence."""
    damaged = PRINT_JOB_EXAMPLE[:place] + bytes([byte]) + PRINT_JOB_EXAMPLE[place + 1 :]
    try:
        answer(damaged)
    except BadAnswer as error:
        assert error.operator_message


@pytest.mark.parametrize("ending", ["", "-report", "-warning", "-error"])
def test_out_of_labels_is_known_whatever_its_ending_rfc8011(ending: str) -> None:
    """Printers say how grave it is in the ending; nothing comes out in any case."""
    assert printer_sentences([f"media-empty{ending}"]) == ["The printer is out of labels. Put in a new roll."]
    assert stops_printing(f"media-empty{ending}")


def test_the_gravest_reason_stands_first() -> None:
    """A jam is told before ink that runs low."""
    assert printer_sentences(["toner-low-report", "media-jam-error"])[0].startswith("Labels are jammed")


def test_low_supplies_do_not_stop() -> None:
    """A roll that is nearly used up still prints."""
    assert not stops_printing("media-low-warning")
    assert not stops_printing("none")


def test_unknown_reason_is_shown_as_it_is() -> None:
    """A printer's own word is not swallowed."""
    assert printer_sentences(["acme-laser-tired"]) == ["The printer says 'acme-laser-tired'. Look at its display."]


def test_what_a_queue_tells_about_its_work_is_no_fault() -> None:
    """The queue's own words do not frighten anybody."""
    assert printer_sentences(["cups-waiting-for-job-completed", "none"]) == []
    assert job_sentences(["job-printing"]) == []
