"""Which records of a history are wanted: chosen from lists by job, verdict, person and time, or typed.

Days are the yard's, local; a span holds its first and its last day. Hours are hour-meter hours, from and up to.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import replace
from datetime import date, datetime, time, timedelta
from typing import Any

from kiosk.entities import Verdict
from kiosk.errors import RecordError
from kiosk.language import N_, tr
from kiosk.presenters.helpers import Helpers
from kiosk.presenters.parts import ActionState, FilterGroup
from kiosk.presenters.ports import EVERYTHING
from kiosk.presenters.words import date_text, hours_text
from kiosk.service_sheet import ServiceSheet

JOB, VERDICT, PERSON, DATES, HOURS = "job", "verdict", "person", "dates", "hours"
SPANS = ((1, N_("Today")), (7, N_("The last 7 days")), (31, N_("The last 31 days")), (366, N_("The last year")))
_DAY = re.compile(r"\d{4}-\d{1,2}-\d{1,2}", re.ASCII)
_NUMBER = re.compile(r"\d+(?:\.\d+)?", re.ASCII)


class FilterBoard:
    """The filter of one history.

    Args:
        sheets: Whose jobs can be chosen.
    """

    def __init__(self, helpers: Helpers, sheets: Iterable[ServiceSheet]) -> None:
        self._helpers = helpers
        self._jobs = {job.key: job.title for sheet in sheets for job in sheet.jobs}
        self.filter = EVERYTHING
        self._span = ""

    def groups(self, with_person: bool) -> tuple[FilterGroup, ...]:
        """Return what can be chosen, each with what is chosen now."""
        wanted = self.filter
        people = {person.id: person.name for person in self._helpers.records.people()}
        groups = [
            self._group(JOB, tr("Job"), tr("All jobs"), wanted.job, self._jobs),
            self._group(VERDICT, tr("Verdict"), tr("Any verdict"), wanted.verdict,
                        {verdict.value: tr(verdict.value) for verdict in Verdict}),
            self._dates(),
            self._hours(),
        ]
        if with_person:
            groups.insert(2, self._group(PERSON, tr("Done by"), tr("Anybody"), wanted.person_id, people))
        return tuple(groups)

    def choose(self, group: str, key: str) -> None:
        """Choose from a list; '' is all."""
        if group == DATES:
            self._choose_span(key)
        elif group == HOURS:
            self.filter = replace(self.filter, hours_from=None, hours_until=None)
        else:
            chosen: dict[str, Any] = {{PERSON: "person_id"}.get(group, group): key or None}
            self.filter = replace(self.filter, **chosen)

    def type(self, group: str, text: str) -> None:
        """Take typed dates or hours.

        Raises:
            RecordError: nothing of the kind stands in the text.
        """
        if group == DATES:
            first, last = _days(text)
            self._set_days(first, last)
            self._span = date_text(first) if first == last else f"{date_text(first)} – {date_text(last)}"
        else:
            low, high = _hours_of(text)
            self.filter = replace(self.filter, hours_from=low, hours_until=high)

    def clear(self) -> None:
        """Want everything again."""
        self.filter, self._span = EVERYTHING, ""

    def in_words(self) -> str:
        """Return what is wanted in a few words, '' for everything."""
        chosen = (group.chosen for group in self.groups(with_person=True) if group.is_set)
        return " · ".join(chosen)

    def _group(self, key: str, title: str, all_text: str, chosen: str | None, names: dict[str, str]) -> FilterGroup:
        choices = (ActionState("", all_text, chosen is None),
                   *(ActionState(each, name, each == chosen) for each, name in names.items()))
        return FilterGroup(key, title, all_text if chosen is None else names.get(chosen, chosen), choices,
                           is_set=chosen is not None)

    def _dates(self) -> FilterGroup:
        is_set = self.filter.since is not None
        choices = (ActionState("", tr("All the time"), not is_set),
                   *(ActionState(str(days), tr(text), tr(text) == self._span) for days, text in SPANS))
        return FilterGroup(DATES, tr("Days"), self._span if is_set else tr("All the time"), choices,
                           tr("From which day to which? 2026-03-01 to 2026-03-31"), is_set)

    def _hours(self) -> FilterGroup:
        low, high = self.filter.hours_from, self.filter.hours_until
        is_set = low is not None or high is not None
        said = f"{hours_text(low or 0.0)} – {hours_text(high or 0.0)}" if is_set else tr("All hours")
        return FilterGroup(HOURS, tr("Hour meter"), said, (ActionState("", tr("All hours"), not is_set),),
                           tr("From which hours to which? 4000 to 4500"), is_set)

    def _choose_span(self, key: str) -> None:
        self._span = next((tr(text) for days, text in SPANS if str(days) == key), "")
        if not self._span:
            self.filter = replace(self.filter, since=None, until=None)
            return
        today = self._helpers.today()
        self._set_days(today - timedelta(days=int(key) - 1), today)

    def _set_days(self, first: date, last: date) -> None:
        zone = self._helpers.settings.zone
        since, until = (datetime.combine(day, time(0), zone) for day in (first, last + timedelta(days=1)))
        self.filter = replace(self.filter, since=since, until=until)


def _days(text: str) -> tuple[date, date]:
    try:
        found = sorted(date(*map(int, day.split("-"))) for day in _DAY.findall(text))
    except ValueError as error:
        raise RecordError(tr("'{text}' is no day of the calendar.").format(text=text)) from error
    if len(found) not in (1, 2):
        raise RecordError(tr("'{text}' is not one day or two. Type 2026-03-01 to 2026-03-31.").format(text=text))
    return found[0], found[-1]


def _hours_of(text: str) -> tuple[float, float]:
    found = sorted(map(float, _NUMBER.findall(text.replace(",", ""))))
    if len(found) != 2:
        raise RecordError(tr("'{text}' is not two numbers of hours. Type 4000 to 4500.").format(text=text))
    return found[0], found[1]
