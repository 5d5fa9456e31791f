"""A sheet edited as text: what is not changed stays to the byte, limits need a source, slips are told by field."""

from __future__ import annotations

import difflib

import pytest

from kiosk.errors import KioskError
from kiosk.set_up.desk import SetUpDesk
from kiosk.set_up.sheet_draft import FieldRefused, TomlDraft


@pytest.fixture
def draft(desk: SetUpDesk) -> TomlDraft:
    """Return the shaft bearing's sheet being edited."""
    made = desk.edit_sheet("shaft-bearing")
    assert isinstance(made, TomlDraft)
    return made


def set_to(draft: TomlDraft, way: str, typed: str) -> None:
    """Change one thing."""
    draft.change(draft.find(way), typed)


def test_one_limit_and_its_source__only_those_lines_change(draft: TomlDraft, desk: SetUpDesk) -> None:
    """Comments, order and everything else stay as the yard wrote them."""
    set_to(draft, "reading/housing-temperature/upper", "70")
    set_to(draft, "reading/housing-temperature/source", "maker's manual, page 12")
    lines = difflib.unified_diff(desk.shop.sheets.text("shaft-bearing").splitlines(), draft.text().splitlines(), n=0,
                                 lineterm="")
    changed = [line for line in lines if line[:1] in "+-" and line[:3] not in ("+++", "---")]
    assert changed == ["-revision = 1", "+revision = 2", "-upper = 65", "+upper = 70",
                       '-source = "template, no source: take the maker\'s limit"',
                       "+source = \"maker's manual, page 12\""]


def test_limit_without_its_source_said__does_not_come_into_force(draft: TomlDraft, desk: SetUpDesk) -> None:
    """A number nobody answers for is refused, and what was typed stays."""
    set_to(draft, "reading/shaft-play/upper_mm", "0.5")
    with pytest.raises(KioskError, match="where the new limit of 'reading shaft-play' comes from"):
        desk.adopt(draft, None)
    assert draft.value(draft.find("reading/shaft-play/upper_mm")) == "0.5"
    set_to(draft, "reading/shaft-play/source", draft.value(draft.find("reading/shaft-play/source")))
    assert desk.adopt(draft, None).reading("shaft-play").upper == 0.5


def test_interval__needs_its_source_too(draft: TomlDraft) -> None:
    """When a job falls due is a limit as well."""
    set_to(draft, "job/grease/interval/hours", "8")
    assert "job grease interval" in draft.problems()[0]


def test_length_in_inches__is_kept_in_millimetres(draft: TomlDraft) -> None:
    """1/64 in is 0.396875 mm (25.4 mm an inch, exact by definition)."""
    set_to(draft, "reading/shaft-play/upper_mm", "1/64 in")
    assert draft.value(draft.find("reading/shaft-play/upper_mm")) == "0.396875"


def test_word_for_a_number__names_the_field(draft: TomlDraft) -> None:
    """The refusal says which field and what was typed; the old value stays."""
    with pytest.raises(FieldRefused, match="Upper limit: 'warm' is no number"):
        set_to(draft, "reading/housing-temperature/upper", "warm")
    assert draft.value(draft.find("reading/housing-temperature/upper")) == "65"
    assert not draft.is_changed


def test_limits_crossed__names_the_reading(draft: TomlDraft) -> None:
    """What the reader of files refuses, the editor refuses in the same words."""
    set_to(draft, "reading/grease-weighed/lower", "9")
    set_to(draft, "reading/grease-weighed/source", "weighed by us")
    assert draft.problems() == ("grease-weighed: the lower limit, 9, is above the upper, 8.",)


def test_lower_limit__can_be_added(draft: TomlDraft) -> None:
    """A reading that had only an upper limit gets a lower one."""
    absent = [field.path[-1] for field in draft.fields(draft.find("reading/housing-temperature"))
              if field.kind == "absent"]
    assert absent == ["lower", "largest_difference"]
    set_to(draft, "reading/housing-temperature/lower", "-20")
    assert draft.sheet().reading("housing-temperature").lower == -20


def test_caution__copied_changed_and_taken_out(draft: TomlDraft) -> None:
    """A new caution begins as another's copy; one that a job still names cannot go."""
    path = draft.copy(draft.find("caution/guards"))
    draft.change((*path, "hazard"), "A loose sleeve is drawn in.")
    assert draft.sheet().caution("guards-2").hazard == "A loose sleeve is drawn in."
    draft.remove(path)
    assert not draft.is_changed
    draft.remove(draft.find("caution/guards"))
    assert "'guards' is not defined" in draft.problems()[0]


def test_steps__one_changed_one_added_one_out(draft: TomlDraft) -> None:
    """A list's texts are edited one by one."""
    steps = draft.find("job/inspect/steps")
    draft.change((*steps, 0), "Read the temperature at once.")
    draft.change((*steps, 99), "Write down what you heard.")
    draft.remove((*steps, 1))
    assert draft.sheet().job("inspect").steps == (
        "Read the temperature at once.", "Turn the shaft by hand; listen for grating.",
        "Look at seals, set screws and housing bolts.", "Write down what you heard.")


def test_every_value_of_every_sheet__can_be_reached(desk: SetUpDesk) -> None:
    """Whatever stands on a sheet is a field of the editor, tables that it does not know too."""

    def count(draft: TomlDraft, path: tuple[str | int, ...]) -> int:
        fields = draft.fields(path)
        return sum(count(draft, field.path) if field.kind == "table" else field.kind != "absent" for field in fields)

    def leaves(value: object) -> int:
        if isinstance(value, dict):
            return sum(leaves(one) for key, one in value.items() if key not in ("key", "revision"))
        if isinstance(value, list) and value and isinstance(value[0], dict):
            return sum(map(leaves, value))
        return 1

    for sheet in desk.shop.sheets.sheets():
        draft = desk.edit_sheet(sheet.key)
        assert isinstance(draft, TomlDraft)
        assert count(draft, ()) == leaves(draft._document.unwrap()), sheet.key


def test_another_revision_came_in_between__is_refused(draft: TomlDraft, desk: SetUpDesk) -> None:
    """Two editors at once: the second begins anew on what the first brought."""
    first = desk.edit_sheet("shaft-bearing")
    first.change(("title",), "Bearing of a shaft")
    desk.adopt(first, None)
    draft.change(("title",), "Shaft bearings")
    with pytest.raises(FieldRefused, match="in the meantime"):
        desk.adopt(draft, None)


def test_record_of_yesterday__keeps_the_limits_of_its_day(desk: SetUpDesk, draft: TomlDraft) -> None:
    """Both revisions' texts stay in the journal, whatever is in force."""
    before = desk.shop.sheets.text("shaft-bearing")
    set_to(draft, "title", "Bearing")
    desk.adopt(draft, None)
    assert desk.shop.records.sheet_text("shaft-bearing", 2) == desk.shop.sheets.text("shaft-bearing") != before
