"""A round: order of the walk, one scan and one touch a fitting, reasons at the end, taken up by the next person."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta

import pytest

from kiosk.entities import JobType
from kiosk.events import CautionsConfirmed, JobDone, RoundBegun, RoundEnded, RoundJobSkipped, WorkHandedOver
from kiosk.presenters.command_card import COMMANDS
from kiosk.presenters.round_plan import is_round_job
from kiosk.presenters.states import CautionsState, FormState, IdleState, RoundState, UnitState
from kiosk.service_sheet import IntervalSpec, JobSpec
from kiosk.work_in_hand import HandOver

MORNING = datetime(2026, 3, 2, 6, 30, tzinfo=UTC)


def command(yard, key):
    """Scan a label of the command card."""
    number = next(label.number for label in yard.records.labels.values() if label.subject_id == key)
    yard.clock.move(seconds=3)
    return yard.scan(number)


def own_badge(yard, person_id="ana"):
    """Scan a badge after a while in which a card could be read."""
    yard.clock.move(seconds=3)
    return yard.scan(yard.records.person(person_id).badge)


def begin(yard, person_id="ana"):
    """Sign in, open the unit, confirm what is asked by touch, and begin its round."""
    yard.sign_in(person_id)
    yard.scan(yard.records.unit("u4").label)
    yard.screen.begin_round()
    confirm(yard)
    assert isinstance(yard.state, RoundState)


def confirm(yard):
    """Confirm cautions and hour meter by touch, where they are asked for."""
    if isinstance(yard.state, CautionsState):
        for card in yard.state.cards:
            yard.screen.confirm(card.key)
        if yard.state.hours is not None and not yard.state.hours.confirmed:
            yard.screen.confirm_hours()
        yard.screen.go_on()


@pytest.fixture
def due(yard):
    """Return the yard a month on, so that greasing, washing and the sag are due."""
    yard.clock.now = MORNING + timedelta(days=30)
    return yard


@pytest.mark.parametrize(("kind", "hours", "days", "is_of_it"), [
    (JobType.GREASE, 10, 1, True), (JobType.ADJUST, None, 14, True), (JobType.INSPECT, 50, None, True),
    (JobType.INSPECT, 200, 60, False), (JobType.REPLACE, 10, 1, False),
])
def test_round_job__by_interval(kind, hours, days, is_of_it):
    """What comes due within two weeks or fifty hours belongs to a round; a change of parts never does (our rule)."""
    job = JobSpec("j", "J", kind, interval=IntervalSpec(hours, days, "own"))
    assert is_round_job(job) is is_of_it


def test_round__begins_after_all_its_cautions_once(due):
    """The cards of all its jobs and the hour meter come once, most dangerous first."""
    due.sign_in()
    due.scan(due.records.unit("u4").label)
    due.screen.begin_round()
    assert [card.signal for card in due.state.cards] == ["DANGER", "DANGER", "NOTICE"]
    assert not due.records.payloads(RoundBegun)
    confirm(due)
    (begun,) = due.records.payloads(RoundBegun)
    assert [(job.position_id, job.job) for job in begun.jobs] == [
        ("p-bearing", "grease"), ("p-bearing", "wash"), ("p-chain", "sag")]


def test_round__one_scan_and_one_touch_a_fitting(due):
    """The part's next job comes up by itself; the page stays the round's."""
    begin(due)
    due.scan(due.label_of("c-bearing"))
    assert due.state.quick.job == "grease"
    due.screen.save_quick()
    assert due.state.quick.job == "wash" and due.state.progress == "1 of 3 done"
    due.screen.save_quick()
    assert due.state.quick is None and "flight chains" in due.state.hint
    assert [payload.record.job for payload in due.records.payloads(JobDone)] == ["grease", "wash"]


def test_round__job_with_readings__opens_its_form_and_comes_back(due):
    """The form's header tells how far the round is; saving leads back to it."""
    begin(due)
    due.scan(due.label_of("c-chain"))
    due.screen.save_quick()
    assert isinstance(due.state, FormState) and due.state.frame.header.round == "0 of 3 done"
    due.type("3.5")
    due.screen.next_row()
    due.type("3.5")
    due.screen.save()
    assert isinstance(due.state, RoundState) and due.state.progress == "1 of 3 done"


def test_round__end__asks_a_reason_for_each_job_left(due):
    """No job is passed over in silence; the last reason ends the round."""
    begin(due)
    due.screen.end()
    assert due.state.ending is not None and due.state.ending.left == 3
    for _ in range(3):
        due.screen.skip_for("access")
    assert [payload.reason for payload in due.records.payloads(RoundJobSkipped)] == ["cannot get at it"] * 3
    assert len(due.records.payloads(RoundEnded)) == 1 and due.state.is_over
    assert any("Left out" in line and "cannot get at it" in line for line in due.state.story)


def test_round__last_job_done__ends_by_itself(due):
    """Nothing is asked where nothing is left."""
    begin(due)
    due.scan(due.label_of("c-bearing"))
    due.screen.save_quick()
    due.screen.save_quick()
    due.screen.end()
    due.screen.skip_for("later")
    assert len(due.records.payloads(RoundEnded)) == 1


def test_round__idle_log_out__is_taken_up_by_the_next_who_is_told_whose_it_is(due):
    """Both are named, on screen and in the story; what was done stays done."""
    begin(due)
    due.scan(due.label_of("c-bearing"))
    due.screen.save_quick()
    due.clock.move(minutes=11)
    due.desk.tick()
    assert isinstance(due.state, IdleState) and due.state.rounds[0].people == "Ana"
    due.sign_in("bo")
    state = due.scan(due.records.unit("u4").label)
    assert "in the hands of Ana since today 06:30" in state.in_hand
    due.screen.begin_round()
    assert "in the hands of Ana" in due.message.text
    due.screen.answer("absent")
    assert isinstance(due.state, RoundState) and due.state.progress == "1 of 3 done"
    assert due.state.story[1].startswith("Taken up by Bo from Ana, who had left")


def test_hand_over__takes_both_badges_in_order(due):
    """The giver's first, then the taker's; neither alone changes anything, and the taker stays signed in."""
    begin(due)
    due.sign_in("bo")
    due.scan(due.records.unit("u4").label)
    due.screen.begin_round()
    due.screen.answer("give")
    due.scan(due.records.person("bo").badge)
    assert due.message.what_now == "First the badge of Ana." and not due.records.payloads(WorkHandedOver)
    due.scan(due.records.person("ana").badge)
    assert due.message.text == "Bo: scan your badge to take it." and not due.records.payloads(WorkHandedOver)
    due.scan(due.records.person("bo").badge)
    (handed,) = due.records.payloads(WorkHandedOver)
    assert (handed.giver_id, handed.how, handed.together) == ("ana", HandOver.BOTH_BADGES, False)
    assert isinstance(due.state, RoundState) and due.desk.session.person.id == "bo"


def test_job__on_a_unit_in_anothers_hands__is_not_begun_before_they_hand_over(due):
    """One-touch jobs and forms wait alike, and the person is told by name and time."""
    begin(due)
    due.sign_in("bo")
    due.clear("c-bearing", "grease", "bo")
    due.scan(due.label_of("c-bearing"))
    due.desk.home()
    due.scan(due.label_of("c-bearing"))
    due.screen.save_quick()
    assert "in the hands of Ana since today 06:30" in due.message.text
    assert not due.records.payloads(JobDone)
    due.screen.answer("together")
    due.scan(due.records.person("ana").badge)
    due.scan(due.records.person("bo").badge)
    assert len(due.records.payloads(JobDone)) == 1


def test_lock_out__noted__says_that_it_is_not_the_lock_and_stops_others(due):
    """The question and the warning to others defer to the yard's own procedure and the maker's manual."""
    due.sign_in()
    due.scan(due.records.unit("u4").label)
    due.screen.toggle_lock_out()
    assert "not the lock" in due.message.what_now and "maker's manual" in due.message.what_now
    due.screen.answer("yes")
    due.sign_in("bo")
    state = due.scan(due.records.unit("u4").label)
    assert isinstance(state, UnitState) and "locked out by Ana since today 06:30" in due.message.text
    assert "not the lock" in due.message.what_now
    due.screen.begin_round()
    assert "locked out by Ana" in due.message.text and not due.records.payloads(RoundBegun)


def test_lock_out__taken_back_by_its_owner(due):
    """Only after saying that the lock is off and everybody clear."""
    due.sign_in()
    due.scan(due.records.unit("u4").label)
    due.screen.toggle_lock_out()
    due.screen.answer("yes")
    due.screen.toggle_lock_out()
    assert "everybody clear" in due.message.text
    due.screen.answer("yes")
    assert due.records.work_in_hand("u4") == ()


def test_form__looked_at_and_left__is_in_nobodys_hands(due):
    """A form that was opened and left without an entry blocks nobody; one with an entry does."""
    due.open_job("c-chain", "sag")
    assert [work.what for work in due.records.work_in_hand("u4")] == ["Set the sag, flight chains"]
    due.screen.back()
    assert due.records.work_in_hand("u4") == ()
    due.screen.open_job("sag")
    due.type("3.5")
    due.desk.home()
    assert len(due.records.work_in_hand("u4")) == 1


# --- by the scanner alone ---


def test_caution__own_badge_scanned_again__confirms_the_next_card_and_says_so(due):
    """One scan a card, by its reader's own badge; the journal keeps how."""
    due.sign_in()
    due.scan(due.records.unit("u4").label)
    command(due, "save")
    for confirmed in (1, 2, 3):
        own_badge(due)
        assert sum(card.confirmed for card in due.state.cards) == confirmed
    for digit in "1356":
        command(due, digit)
    command(due, "save")
    assert isinstance(due.state, RoundState)
    assert due.records.payloads(CautionsConfirmed)[-1].how == "own badge"


def test_caution__badge_before_it_could_be_read__confirms_nothing(due):
    """A scanner that reads twice, or a badge waved through, is not a deliberate act."""
    due.sign_in()
    due.scan(due.records.unit("u4").label)
    due.screen.begin_round()
    due.scan(due.records.person("ana").badge)
    assert not any(card.confirmed for card in due.state.cards) and "Read the card first" in due.message.text


def test_caution__anothers_badge__signs_them_in_and_confirms_nothing(due):
    """Cards are confirmed by the owner of the badge that is in."""
    due.sign_in()
    due.scan(due.records.unit("u4").label)
    due.screen.begin_round()
    own_badge(due, "bo")
    assert not isinstance(due.state, CautionsState) and not due.records.payloads(CautionsConfirmed)


def test_command_card__whole_round_without_a_touch(due):
    """Fittings, strokes, a form with readings, and the reasons at the end: all by labels."""
    due.sign_in()
    due.scan(due.records.unit("u4").label)
    command(due, "save")
    for _ in range(3):
        own_badge(due)
    command(due, "save")
    due.scan(due.label_of("c-bearing"))
    command(due, "plus")
    assert due.state.quick.strokes == 3
    command(due, "strokes")
    command(due, "save")
    due.scan(due.label_of("c-chain"))
    command(due, "save")
    for key in ("3", "half", "next", "3", "half", "save"):
        command(due, key)
    assert isinstance(due.state, RoundState) and due.state.progress == "2 of 3 done"
    command(due, "done")
    command(due, "4")
    (skipped,) = due.records.payloads(RoundJobSkipped)
    assert skipped.reason == "no time in this shift" and due.state.is_over


def test_command_card__question__is_answered_by_a_digit(due):
    """The answers count from left to right."""
    begin(due)
    due.sign_in("bo")
    due.scan(due.records.unit("u4").label)
    command(due, "save")
    command(due, "3")
    assert due.records.payloads(WorkHandedOver)[-1].how is HandOver.GIVER_ABSENT


@pytest.mark.parametrize("key", [key for key in COMMANDS if key not in ("back", "done")])
def test_command_card__on_the_start_screen__says_what_it_cannot(due, key):
    """No command fails without a word, wherever it is scanned."""
    command(due, key)
    assert due.message is not None or due.state.frame.label_pad is not None


def test_form__left_open_and_saved_by_another__first_asks_for_the_hand_over(due):
    """Stepping up to a form that somebody else has in hand saves nothing before both agree."""
    due.open_job("c-chain", "sag")
    due.type("3.5")
    due.screen.next_row()
    due.type("3.5")
    due.sign_in("bo")
    due.clear("c-chain", "sag", "bo")
    due.screen.save()
    assert "in the hands of Ana" in due.message.text and not due.records.payloads(JobDone)
    due.screen.answer("give")
    due.scan(due.records.person("ana").badge)
    due.scan(due.records.person("bo").badge)
    (done,) = due.records.payloads(JobDone)
    assert done.record.person_id == "bo" and due.records.work_in_hand("u4") == ()
