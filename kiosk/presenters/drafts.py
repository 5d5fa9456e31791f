"""What was typed and not saved yet, kept per part and job until it is saved, whoever comes to the kiosk in between."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from datetime import datetime
from typing import Protocol, TypeVar

D = TypeVar("D", bound="Draft")


@dataclass(frozen=True)
class Typed:
    """A text as typed, and the unit that a bare number in it is read in."""

    text: str
    unit: str


@dataclass(frozen=True)
class Draft:
    """Root of what is kept. `by` and `at`: who typed last and when; None while nothing was typed."""

    by: str | None = None
    at: datetime | None = None


@dataclass(frozen=True)
class FormDraft(Draft):
    """An open form.

    Args:
        typed: {row key: typed}. `repeats`: {row key: earlier readings of the same thing}.
        active: The row that the keypad goes to. `unit`: of bare numbers typed now.
        steps: Numbers of the steps ticked. `resolves`: ids of the findings to close.
    """

    phase: str = "as found"
    active: str = ""
    unit: str = "in"
    typed: Mapping[str, Typed] = field(default_factory=dict)
    steps: frozenset[int] = frozenset()
    resolves: frozenset[str] = frozenset()
    note: str = ""
    repeats: Mapping[str, tuple[Typed, ...]] = field(default_factory=dict)

    def with_text(self, row: str, typed: Typed) -> FormDraft:
        """Return the draft with another text in a row."""
        return replace(self, typed={**self.typed, row: typed})

    def measured_again(self, row: str) -> FormDraft:
        """Return the draft with a row's text kept as an earlier reading, and room for the next one."""
        typed = self.typed[row]
        kept = (*self.repeats.get(row, ()), typed)
        return replace(self.with_text(row, Typed("", typed.unit)), repeats={**self.repeats, row: kept})

    def taken_back(self, row: str) -> FormDraft:
        """Return the draft with a row's last earlier reading back in its field."""
        kept = self.repeats[row]
        return replace(self.with_text(row, kept[-1]), repeats={**self.repeats, row: kept[:-1]})


@dataclass(frozen=True)
class SessionDraft(Draft):
    """What of an adjustment session is not on record yet.

    Args:
        form: What is being measured.
        turned: What was turned by hand, {item: flats or mm}; None while it is as advised.
        goes_on: Whether the person turns on although the readings are within.
    """

    form: FormDraft = field(default_factory=FormDraft)
    turned: Mapping[str, float] | None = None
    goes_on: bool = False


@dataclass(frozen=True)
class StepListDraft(Draft):
    """What of a step list is not on record yet.

    Args:
        reason: Why the part goes. `chosen`: ids of the positions whose parts are changed, the own one among them.
        names: {position id: what the new part is}.
        form: What is being measured at the step.
    """

    reason: str = ""
    chosen: tuple[str, ...] = ()
    names: Mapping[str, str] = field(default_factory=dict)
    form: FormDraft = field(default_factory=FormDraft)


@dataclass(frozen=True)
class SpliceDraft(Draft):
    """A splice under way.

    Args:
        stage: 'damage', 'plan', 'steps' or 'joint'. `chosen`: key of the plan, '' before.
        start, end: The bad length, from the datum mark. `steps`: how many of the list are done.
        tightened: Bolts ticked so far, in order, one joint after the other.
    """

    stage: str = "damage"
    active: str = "start"
    unit: str = "in"
    start: Typed = Typed("", "in")
    end: Typed = Typed("", "in")
    chosen: str = ""
    tightened: int = 0
    steps: int = 0


@dataclass(frozen=True)
class ReplaceDraft(Draft):
    """A replacement under way.

    Args:
        reason: Why the old part goes. `texts`: {row: text} of the new part.
        number, pdf: The label issued for the new part, '' before. `read_back`: how it was read, '' before.
    """

    reason: str = ""
    active: str = "description"
    texts: Mapping[str, str] = field(default_factory=dict)
    number: str = ""
    pdf: str = ""
    read_back: str = ""


DraftKey = tuple[str, str]
"""(component id, job key)"""


class DraftStore(Protocol):
    """Keeps drafts over a restart. It never raises: what cannot be kept is on the screen all the same."""

    def load(self) -> Mapping[DraftKey, Draft]: ...
    def save(self, drafts: Mapping[DraftKey, Draft]) -> None: ...


class NoDraftStore:
    """Keeps nothing: drafts last as long as the kiosk runs."""

    def load(self) -> Mapping[DraftKey, Draft]:
        """Return no draft."""
        return {}

    def save(self, drafts: Mapping[DraftKey, Draft]) -> None:
        """Forget them."""


class Drafts:
    """The drafts of this kiosk, by part and job.

    Args:
        store: Where they outlive a restart; `write` brings what changed there.
    """

    def __init__(self, store: DraftStore) -> None:
        self._store = store
        self._kept: dict[DraftKey, Draft] = dict(store.load())
        self._changed = False

    def of(self, component_id: str, job: str, fresh: D) -> D:
        """Return the kept draft of a part's job if it is of the kind of `fresh`, else `fresh`."""
        kept = self._kept.get((component_id, job))
        return kept if isinstance(kept, type(fresh)) else fresh

    def has(self, component_id: str, job: str) -> bool:
        """Say whether anything was entered for a part's job and not saved."""
        return (component_id, job) in self._kept

    def begun(self, component_id: str, job: str) -> Draft | None:
        """Return the draft of a part's job, None where nobody began it."""
        return self._kept.get((component_id, job))

    def keep(self, component_id: str, job: str, draft: Draft) -> None:
        """Keep a draft in place of the one before."""
        self._kept[component_id, job] = draft
        self._changed = True

    def drop(self, component_id: str, job: str) -> None:
        """Forget a draft: it was saved, or the part is gone."""
        if self._kept.pop((component_id, job), None) is not None:
            self._changed = True
            self.write()  # a saved job's draft must not come back after a power cut

    def write(self) -> None:
        """Bring what changed since the last time to the store; called about once a second, not for every key."""
        if self._changed:
            self._changed = False
            self._store.save(self._kept)

    def is_promised(self, number: str) -> bool:
        """Say whether a label was issued for a replacement that is under way."""
        return any(isinstance(draft, ReplaceDraft) and draft.number == number for draft in self._kept.values())
