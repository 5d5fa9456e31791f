"""What may be put on record and by whom, asked straight at the journal; each refusal has its sentence."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import pytest
from small_yard import (
    at,
    course_begun,
    done,
    event,
    finding,
    label_issued,
    part,
    photo,
    record,
    replacement,
    yard_events,
)

from kiosk.entities import (
    Assembly,
    ConflictKind,
    JobType,
    Label,
    LabelKind,
    LabelSighting,
    Person,
    PhotoOf,
    Position,
    PrintState,
    Role,
    ScanSource,
    Side,
    Unit,
)
from kiosk.errors import NotAllowed, NotFound, RecordError
from kiosk.events import (
    KINDS,
    CautionsConfirmed,
    ClockDoubted,
    ClockTrusted,
    ComponentInstalled,
    ComponentReplaced,
    ConflictSettled,
    CourseEnded,
    CourseStepped,
    Event,
    FindingClosed,
    FindingOpened,
    HeadsSeen,
    HoursRead,
    JobScheduled,
    LabelFound,
    LabelIssued,
    LabelPrintMoved,
    LabelPrintQueued,
    LabelReplaced,
    LabelRetired,
    LabelSeen,
    LabelsSwapped,
    PersonAdded,
    PersonLocked,
    PersonUnlocked,
    PhotoAdded,
    PinSet,
    PinsPaused,
    RecordCorrected,
    RecordsRestored,
    RoundBegun,
    RoundEnded,
    RoundJobSkipped,
    SheetAdopted,
    SignedIn,
    SignedOut,
    UnitAdded,
    UnitHeld,
    UnitReleased,
    WorkClosed,
    WorkHandedOver,
    WorkOpened,
    YardNamed,
)
from kiosk.guided import Outcome, StepKind
from kiosk.records import YardRecords
from kiosk.records.ids import new_id
from kiosk.records.instants import utc_text
from kiosk.records.permissions import PERMISSIONS
from kiosk.work_in_hand import HandOver, RoundJob, WorkKind

MECHANIC, LEAD, SUPERVISOR, SET_UP = "mechanic", "lead", "boss", None
EVERYBODY = {MECHANIC, LEAD, SUPERVISOR}
OTHER_UNIT = Unit("u2", "Two", "", "")


def _corrected(person_id: str | None, of: str) -> Event:
    return event(RecordCorrected(of, "typed twice", None), person_id)


LEFT_GREASE = RoundJob("u1", "u1-left", "bearing-left-1", "grease")
RIGHT_GREASE = RoundJob("u1", "u1-right", "bearing-right-1", "grease")

# What is done, as an event by the given person → who may.
ACTIONS: dict[str, tuple[Callable[[str | None], Event], set[str | None]]] = {
    "name the yard": (lambda who: event(YardNamed("Other"), who), {SUPERVISOR, SET_UP}),
    "add a person": (lambda who: event(PersonAdded(Person("p9", "Di", Role.MECHANIC, "")), who),
                     {SUPERVISOR, SET_UP}),
    "add a unit": (lambda who: event(UnitAdded(Unit("u9", "Nine", "", ""), (), ()), who), {SUPERVISOR, SET_UP}),
    "adopt a sheet": (lambda who: event(SheetAdopted("belt", 1, "x = 1"), who), {SUPERVISOR, SET_UP}),
    "close a finding": (lambda who: event(FindingClosed("f1", "seen again"), who), {LEAD, SUPERVISOR}),
    "settle a conflict": (lambda who: event(ConflictSettled("two sheets", "looked at it"), who), {LEAD, SUPERVISOR}),
    "see others' heads": (lambda who: event(HeadsSeen({}), who), {SET_UP}),
    "annul a record": (lambda who: _corrected(who, "saved"), {LEAD, SUPERVISOR}),
    "open a finding": (lambda who: event(FindingOpened(finding("f9")), who), EVERYBODY | {SET_UP}),
    "add a photo": (lambda who: event(PhotoAdded(PhotoOf.FINDING, "f1", photo()), who), EVERYBODY),
    "read hours": (lambda who: event(HoursRead("u1", 200.0), who), EVERYBODY | {SET_UP}),
    "confirm cautions": (lambda who: event(CautionsConfirmed("u1", "early", ("a",)), who), EVERYBODY),
    "sign in": (lambda who: event(SignedIn("early"), who), EVERYBODY),
    "sign out": (lambda who: event(SignedOut("idle"), who), EVERYBODY | {SET_UP}),
    "issue a label": (lambda who: replace(label_issued("1000000009", 9), person_id=who), EVERYBODY | {SET_UP}),
    "retire a label": (lambda who: event(LabelRetired("1000000003", "torn"), who), {LEAD, SUPERVISOR, SET_UP}),
    "give a part another label": (
        lambda who: event(LabelReplaced("bearing-left-1", "1000000001", "1000000003", "torn"), who),
        EVERYBODY | {SET_UP}),
    "swap labels": (lambda who: event(LabelsSwapped("bearing-left-1", "bearing-right-1", "mixed up"), who),
                    EVERYBODY | {SET_UP}),
    "find a label": (lambda who: event(LabelFound("1000000001", "floor"), who), EVERYBODY | {SET_UP}),
    "see a label": (lambda who: event(LabelSeen("1000000001", LabelSighting(at(1), ScanSource.CAMERA)), who),
                    EVERYBODY | {SET_UP}),
    "queue a print": (lambda who: event(LabelPrintQueued("1000000003", ("a line",), 1, "torn"), who),
                      EVERYBODY | {SET_UP}),
    "move a print": (lambda who: event(LabelPrintMoved("print", PrintState.SENDING), who), EVERYBODY | {SET_UP}),
    "hold a unit": (lambda who: event(UnitHeld("u1", "seal gone"), who), {LEAD, SUPERVISOR}),
    "release a unit": (lambda who: event(UnitReleased("u2", "seal new"), who), {LEAD, SUPERVISOR}),
    "take a unit in hand": (lambda who: event(WorkOpened("u1", WorkKind.LOCK_OUT, "lock-out"), who), EVERYBODY),
    "take over by both badges": (lambda who: _taken_over(who, HandOver.BOTH_BADGES), EVERYBODY),
    "take over a job without its holder": (lambda who: _taken_over(who, HandOver.GIVER_ABSENT), {LEAD, SUPERVISOR}),
    "close another's work": (lambda who: event(WorkClosed("job-in-hand", "machine is whole again"), who),
                             {LEAD, SUPERVISOR}),
    "begin a round": (lambda who: event(RoundBegun("u1", "Round", "early", (RIGHT_GREASE,)), who), EVERYBODY),
    "leave a job of one's round out": (
        lambda who: event(RoundJobSkipped("round", "bearing-left-1", "grease", "no access"), who), EVERYBODY),
    "end one's round": (lambda who: event(RoundEnded("round-settled"), who), EVERYBODY),
    "set one's own PIN": (lambda who: event(PinSet(who or LEAD, "scrypt"), who), EVERYBODY | {SET_UP}),
    "set another's PIN": (lambda who: event(PinSet("other", "scrypt"), who), {SET_UP}),
    "lock a person": (lambda who: event(PersonLocked(LEAD, at(1), 5), who), {SET_UP}),
    "unlock a person": (lambda who: event(PersonUnlocked(LEAD, "asked"), who), {SUPERVISOR, SET_UP}),
    "doubt the clock": (lambda who: event(ClockDoubted(at(-9), at(1)), who), {SET_UP}),
    "trust the clock": (lambda who: event(ClockTrusted("looked at it"), who), {LEAD, SUPERVISOR, SET_UP}),
    "restore the records": (lambda who: event(RecordsRestored("records-1.db", 9, 0, 0, 50), who),
                            {SUPERVISOR, SET_UP}),
    "pause PINs": (lambda who: event(PinsPaused(at(1), 12), who), {SET_UP}),
    "fit a part": (lambda who: event(ComponentInstalled(part("new", "spare", "1000000003")), who),
                   EVERYBODY | {SET_UP}),
    "save a job": (lambda who: replace(done(record(2, person_id=who or "")), person_id=who), EVERYBODY),
    "replace a part": (lambda who: _replaced_by(who), EVERYBODY),
    "begin guided work": (lambda who: course_begun(who, job="sag"), EVERYBODY),
    "go on with guided work": (lambda who: event(CourseStepped("open", StepKind.TURNED, {"left": 2}), who), EVERYBODY),
    "end guided work": (lambda who: event(CourseEnded("open", Outcome.GIVEN_UP, "thread is stripped"), who),
                        EVERYBODY),
    "schedule a job": (lambda who: event(JobScheduled("u1", "bearing-left-1", "adjust", "new joint", 9.0, 8.0, 1), who),
                       EVERYBODY),
}


def _taken_over(who: str | None, how: HandOver) -> Event:
    return event(WorkHandedOver("job-in-hand", "other", False, how, "went home"), who)


def _quarrel(yard: YardRecords, conflict_id: str) -> None:
    """Put what another kiosk would have entered against this one beside the tables."""
    event_id = next(yard.entries()).event.id
    with yard._store.transaction() as connection:
        connection.execute("INSERT INTO conflict VALUES "
                           "(?, ?, 'a text', ?, ?, NULL, NULL, 'belt', NULL, NULL, NULL, '')",
                           (conflict_id, ConflictKind.SHEET, utc_text(at()), event_id))


def _replaced_by(who: str | None) -> Event:
    plain = replacement()
    payload = plain.payload
    assert isinstance(payload, ComponentReplaced)
    return replace(plain, person_id=who,
                   payload=replace(payload, record=replace(payload.record, person_id=who or "")))


@pytest.fixture
def busy_yard(yard: YardRecords) -> YardRecords:
    """The small yard with a record 'saved', an open finding 'f1' and an empty position."""
    spare = Position("u1-spare", "u1", "u1-elevator", "spare", "bearing", Side.BOTH, 0.5, 0.5, 9)
    unit = next(each for each in yard_events() if isinstance(each.payload, UnitAdded)).payload
    assert isinstance(unit, UnitAdded)
    yard.append(event(replace(unit, positions=(*unit.positions, spare))))
    yard.append(event(PersonAdded(Person("other", "Di Other", Role.LEAD, ""))))
    yard.append(event(UnitAdded(OTHER_UNIT, (), ())))
    yard.append(event(UnitHeld("u2", "seal gone"), LEAD))
    yard.append(label_issued("1000000004", 4))
    yard.append(event(LabelPrintQueued("1000000004", ("a line",), 1, "torn"), event_id="print"))
    yard.append(done(record(1, id="saved")))
    _quarrel(yard, "two sheets")
    yard.append(event(FindingOpened(finding("f1")), MECHANIC))
    yard.append(course_begun(course_id="open"))
    yard.append(event(WorkOpened("u1", WorkKind.JOB, "Set the sag", "bearing-left-1", "sag"), "other", 1,
                      "job-in-hand"))
    _begin_rounds(yard)
    return yard


def _begin_rounds(yard: YardRecords) -> None:
    """Begin two rounds that all four of the crew have in hand; of the second nothing is open."""
    settled = replace(LEFT_GREASE, job="look")
    for round_id, job in (("round", LEFT_GREASE), ("round-settled", settled)):
        yard.append(event(RoundBegun("u1", "Round", "early", (job,)), "other", 1, round_id))
        for who in (MECHANIC, LEAD, SUPERVISOR):
            yard.append(event(WorkHandedOver(round_id, "other", True, HandOver.BOTH_BADGES), who, 1))
    yard.append(event(RoundJobSkipped("round-settled", "bearing-left-1", "look", "no access"), "other", 1))


@pytest.mark.parametrize("who", [MECHANIC, LEAD, SUPERVISOR, SET_UP])
@pytest.mark.parametrize("action", ACTIONS)
def test_role__every_action_by_everybody__is_as_the_table_says(
    busy_yard: YardRecords, action: str, who: str | None
) -> None:
    """Roles hold where events are appended, whatever a screen may have shown."""
    make, may = ACTIONS[action]
    if who in may:
        busy_yard.append(make(who))
        return
    with pytest.raises(NotAllowed):
        busy_yard.append(make(who))


def test_role__every_kind_of_event__has_a_row_and_is_tried() -> None:
    """No payload goes without a permission, and none without a trial by every role."""
    assert set(PERMISSIONS) == set(KINDS.values())
    assert {type(make(MECHANIC).payload) for make, _ in ACTIONS.values()} == set(KINDS.values())


def test_role__stranger__is_not_found(yard: YardRecords) -> None:
    """An event by somebody who is not of the crew is refused."""
    with pytest.raises(NotFound, match="crew"):
        yard.append(event(SignedIn("early"), "stranger"))


LONG = "x" * 65
REFUSED: dict[str, tuple[Event, str]] = {
    "event id too long": (event(SignedIn("early"), MECHANIC, event_id=LONG), "64 characters"),
    "event id empty": (Event("", at(), MECHANIC, SignedIn("early")), "64 characters"),
    "yard without name": (event(YardNamed("  ")), "yard's name"),
    "person without name": (event(PersonAdded(Person("p", "", Role.LEAD, ""))), "person's name"),
    "badge of another": (event(PersonAdded(Person("p", "P", Role.LEAD, "1000000001"))), "belongs to something else"),
    "position of another unit": (event(UnitAdded(OTHER_UNIT, (Assembly("a", "u2", "a", ""),), (
        Position("p", "u1", "a", "place", "s", Side.LEFT, 0.5, 0.5, 1),))), "does not belong"),
    "position that is on another unit": (event(UnitAdded(OTHER_UNIT, (Assembly("a", "u2", "a", ""),), (
        Position("u1-left", "u2", "a", "x", "s", Side.LEFT, 0.1, 0.1, 1),))), "is on another unit"),
    "position on no assembly": (event(UnitAdded(OTHER_UNIT, (), (
        Position("p", "u2", "a", "place", "s", Side.LEFT, 0.5, 0.5, 1),))), "no assembly"),
    "position outside drawing": (event(UnitAdded(OTHER_UNIT, (Assembly("a", "u2", "a", ""),), (
        Position("p", "u2", "a", "place", "s", Side.LEFT, 1.5, 0.5, 1),))), "outside its drawing"),
    "sheet revision 0": (event(SheetAdopted("belt", 0, "")), "counts from 1"),
    "label issued twice": (label_issued("1000000001", 9), "issued before"),
    "label that is a path": (label_issued("../../etc/", 9), "10 digits"),
    "label of other digits": (label_issued("١٢٣٤٥٦٧٨٩٠", 9), "10 digits"),
    "label serial negative": (event(LabelIssued(Label("1000000009", LabelKind.UNIT, None, at()), -1)), "negative"),
    "unknown label retired": (event(LabelRetired("9999999999", "torn")), "never issued"),
    "label retired without reason": (event(LabelRetired("1000000003", "")), "reason is missing"),
    "part at a taken position": (event(ComponentInstalled(part("n", "left", "1000000003"))), "sits at this position"),
    "part with unknown label": (event(ComponentInstalled(part("n", "left", "1234567890"))), "never issued"),
    "part with another's label": (event(ComponentInstalled(part("n", "left", "1000000001"))), "something else"),
    "part at unknown position": (event(ComponentInstalled(part("n", "top", "1000000003"))), "not on record"),
    "part on record already": (event(ComponentInstalled(part("bearing-left-1", "left", "1000000003"))),
                               "on record already"),
    "part retired from the first": (event(ComponentInstalled(part("n", "left", "1000000003", retired_at=at(1)))),
                                    "when it is fitted"),
    "part fitted at negative hours": (event(ComponentInstalled(part("n", "left", "1000000003", installed_hours=-1.0))),
                                      "hour meter"),
    "hours negative": (event(HoursRead("u1", -0.1), MECHANIC), "hour meter"),
    "hours beyond any meter": (event(HoursRead("u1", 2e6), MECHANIC), "hour meter"),
    "hours of an unknown unit": (event(HoursRead("u9", 5.0), MECHANIC), "not on record"),
    "hours not a number": (event(HoursRead("u1", float("nan")), MECHANIC), "cannot be kept"),
    "record with another id": (Event(new_id(), at(1), MECHANIC, done(record()).payload), "id of the event"),
    "record in another's name": (replace(done(record()), person_id=LEAD), "did the work"),
    "record on an unknown part": (done(record(component_id="x")), "not on record"),
    "record at another position": (done(record(position_id="u1-right")), "another position"),
    "record on another unit": (done(record(unit_id="u2")), "another position"),
    "record at negative hours": (done(record(hours=-1.0)), "hour meter"),
    "record of a nameless job": (done(record(job="")), "job's id"),
    "strokes negative": (done(record(strokes=-1)), "strokes"),
    "strokes beyond reason": (done(record(strokes=10_000)), "strokes"),
    "replacement saved as a job": (done(record(job_type=JobType.REPLACE)), "with the new part"),
    "unknown finding closed by a job": (done(record(), findings_closed=("f9",)), "not on record"),
    "finding without words": (event(FindingOpened(replace(finding("f"), text=" ")), MECHANIC), "finding is missing"),
    "finding on an unknown part": (event(FindingOpened(finding("f", "x")), MECHANIC), "not on record"),
    "photo of an unknown finding": (event(PhotoAdded(PhotoOf.FINDING, "f", photo()), MECHANIC), "not on record"),
    "photo of an unknown record": (event(PhotoAdded(PhotoOf.RECORD, "x", photo()), MECHANIC), "not on record"),
    "photo that is a path": (event(PhotoAdded(PhotoOf.FINDING, "f", photo("../")), MECHANIC), "SHA-256"),
    "photo without a size": (event(PhotoAdded(PhotoOf.FINDING, "f", replace(photo(), width_px=0)), MECHANIC),
                             "without a size"),
    "unknown finding closed": (event(FindingClosed("f", "seen"), LEAD), "not on record"),
    "unknown record corrected": (event(RecordCorrected("x", "typed twice", None), LEAD), "not there"),
    "replacement of an unknown part": (replacement(old="x"), "not on record"),
    "replacement without reason": (replacement(reason=" "), "reason is missing"),
    "replacement with unknown label": (replacement(label="1234567890"), "never issued"),
}


@pytest.mark.parametrize("case", REFUSED)
def test_append__what_cannot_be_right__is_refused_with_a_sentence(yard: YardRecords, case: str) -> None:
    """Each refusal says what is wrong, and nothing is saved."""
    refused, says = REFUSED[case]
    count = yard.verify().entries
    with pytest.raises(RecordError) as error:
        yard.append(refused)
    assert says in error.value.operator_message
    assert error.value.operator_message.endswith(".")
    assert yard.verify().entries == count


def test_sheet__same_revision_other_text__is_refused(yard: YardRecords) -> None:
    """A changed sheet needs a new revision; the same text again does no harm."""
    yard.append(event(SheetAdopted("belt", 1, "x = 1")))
    yard.append(event(SheetAdopted("belt", 1, "x = 1")))
    with pytest.raises(RecordError, match="new revision"):
        yard.append(event(SheetAdopted("belt", 1, "x = 2")))


def test_job__on_a_part_that_was_replaced__is_refused(yard: YardRecords) -> None:
    """Work on the old part after its end belongs on the part that sits there now."""
    yard.append(replacement())
    with pytest.raises(RecordError, match="was replaced"):
        yard.append(done(record(21)))


def test_replace__the_same_part_twice__is_refused(yard: YardRecords) -> None:
    """A second kiosk's late replacement of the same part does not retire the new one."""
    yard.append(replacement())
    yard.append(label_issued("1000000004", 4))
    with pytest.raises(RecordError, match="was replaced"):
        yard.append(replacement(label="1000000004", new_id_="bearing-left-3"))


def test_replace__record_on_another_part__is_refused(yard: YardRecords) -> None:
    """The record of a replacement is on the part that goes, the new part at its position."""
    plain = replacement()
    assert isinstance(plain.payload, ComponentReplaced)
    wrong = replace(plain.payload, old_component_id="bearing-right-1")
    with pytest.raises(RecordError, match="old part"):
        yard.append(replace(plain, payload=wrong))


def test_finding__closed_twice__is_refused(busy_yard: YardRecords) -> None:
    """A closed finding keeps its first reason."""
    busy_yard.append(event(FindingClosed("f1", "seen again"), LEAD))
    with pytest.raises(RecordError, match="closed already"):
        busy_yard.append(event(FindingClosed("f1", "other reason"), LEAD))


def test_correction__of_a_corrected_record__is_refused(busy_yard: YardRecords) -> None:
    """Only the record that holds now can be corrected."""
    busy_yard.append(_corrected(LEAD, "saved"))
    with pytest.raises(RecordError, match="corrected already"):
        busy_yard.append(_corrected(LEAD, "saved"))


def test_correction__annulling_a_replacement__is_refused(yard: YardRecords) -> None:
    """The parts on the machine changed; a word in the journal does not put the old one back."""
    swap = yard.append(replacement())
    with pytest.raises(RecordError, match="cannot be annulled"):
        yard.append(_corrected(LEAD, swap.event.id))
