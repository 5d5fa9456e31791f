"""Typing readings on a screen of guided work: fields by keypad, units, slips asked about, what is still missing.

The screen says which rows are measured now, where its draft is kept, and what becomes of the readings.
"""

from __future__ import annotations

from abc import abstractmethod
from collections.abc import Sequence
from dataclasses import replace

from kiosk.entities import Phase, Reading
from kiosk.errors import NotAllowed
from kiosk.language import tr
from kiosk.presenters.base import ScreenPresenter, action
from kiosk.presenters.drafts import FormDraft, Typed
from kiosk.presenters.form_model import FormRows, form_rows, missing_row, row_name
from kiosk.presenters.keys import keypad_key, text_after
from kiosk.presenters.readings import Judged
from kiosk.service_sheet import JobSpec, ReadingSpec

_OTHER_UNIT = {"in": "mm", "mm": "in"}


class MeasuringPresenter(ScreenPresenter):
    """A screen on which readings are typed while `is_measuring`."""

    @property
    @abstractmethod
    def form(self) -> FormDraft:
        """What is typed so far."""

    @abstractmethod
    def keep_form(self, form: FormDraft) -> None:
        """Keep what is typed."""

    @abstractmethod
    def measured_rows(self) -> tuple[Judged, ...]:
        """Return the rows that are measured now, each judged as it stands."""

    @abstractmethod
    def is_measuring(self) -> bool:
        """Say whether readings are typed now."""

    @abstractmethod
    def put_measured(self, rows: tuple[Judged, ...]) -> None:
        """Put the readings on record."""

    # --- actions ---

    @action
    def key(self, key: str) -> None:
        """Take a key of the keypad for the active reading."""
        if key == "unit":
            self._toggle_unit()
        elif key == "next":
            self._next_row()
        elif self.is_measuring():
            self._press(key)

    def typed(self, key: str) -> bool:
        """Take a key of a real keyboard for the active reading; elsewhere a label may be typed."""
        if not self.is_measuring():
            return False
        self.key(keypad_key(key))
        return True

    @action
    def focus(self, row: str) -> None:
        """Send the keypad to a reading."""
        if row in {known.key for known in self.measured_rows()}:
            self.keep_form(replace(self.form, active=row))

    @action
    def next_row(self) -> None:
        """Go to the next reading."""
        self._next_row()

    @action
    def toggle_unit(self) -> None:
        """Read bare numbers in the other unit, the active reading's too."""
        self._toggle_unit()

    @action
    def take_suggestion(self) -> None:
        """Take what the active reading's question offers ('did you mean 41 mm?')."""
        row = self.active_row(self.measured_rows())
        if row is not None and row.meant:
            self._correct(row)

    @action
    def measure_again(self) -> None:
        """Keep what stands in the active field as one reading of several: their mean is judged."""
        row = self.active_row(self.measured_rows())
        if row is not None and row.can_repeat:
            self.keep_form(self.form.measured_again(row.key))

    # --- for the screen's own steps ---

    def active_row(self, rows: Sequence[Judged]) -> Judged | None:
        """Return the row that is typed into: the one chosen, else the first."""
        return next((row for row in rows if row.key == self.form.active), rows[0] if rows else None)

    def missing_reading(self) -> str:
        """Return what must still be measured or corrected, '' if nothing."""
        row = missing_row(FormRows(tuple(self.measured_rows()), ())) if self.is_measuring() else None
        if row is None:
            return ""
        text = tr("Cannot be read: {row}.") if row.typed.text.strip() else tr("Still to measure: {row}.")
        return text.format(row=row_name(row))

    def save_measured(self) -> None:
        """Put what is typed on record; asks first about a reading that looks like a slip.

        Raises:
            NotAllowed: something is missing or cannot be read.
        """
        missing = self.missing_reading()
        if missing:
            raise NotAllowed(missing)
        rows = self.measured_rows()
        doubtful = next((row for row in rows if row.meant), None)
        if doubtful is None:
            self.put_measured(rows)
            return
        self.helpers.feedback("refused")
        self.ask(f"{row_name(doubtful).capitalize()}: {doubtful.message}", {
            "meant": (tr("Yes, {meant}").format(meant=doubtful.meant), lambda: self._correct(doubtful)),
            "stands": (tr("No, it stands as typed"), lambda: self.put_measured(rows)),
        })

    # --- typing ---

    def _correct(self, row: Judged) -> None:
        self.keep_form(self.form.with_text(row.key, Typed(row.meant, self.form.unit)))

    def _press(self, key: str) -> None:
        form, row = self.form, self.active_row(self.measured_rows())
        if row is None:
            return
        typed = form.typed.get(row.key)
        typed = typed if typed is not None and typed.text else Typed("", form.unit)
        if key == "back" and not typed.text and form.repeats.get(row.key):
            self.keep_form(form.taken_back(row.key))
        else:
            self.keep_form(form.with_text(row.key, Typed(text_after(typed.text, key), typed.unit)))

    def _next_row(self) -> None:
        rows = self.measured_rows()
        keys, active = [row.key for row in rows], self.active_row(rows)
        if active is not None and active.key in keys[:-1]:
            self.keep_form(replace(self.form, active=keys[keys.index(active.key) + 1]))

    def _toggle_unit(self) -> None:
        form, row = self.form, self.active_row(self.measured_rows())
        changed = replace(form, unit=_OTHER_UNIT[form.unit])
        typed = form.typed.get(row.key) if row is not None else None
        if row is not None and typed is not None and typed.text:
            changed = changed.with_text(row.key, Typed(typed.text, changed.unit))
        self.keep_form(changed)


def rows_on_record(specs: Sequence[ReadingSpec], job: JobSpec, readings: Sequence[Reading]) -> tuple[Judged, ...]:
    """Return readings that are on record as rows, judged by the sheet in force."""
    typed = {f"{Phase.AS_FOUND.value}|{one.quantity}|{one.side.value}": Typed(f"{one.value:.9g}", "mm")
             for one in readings}
    rows = form_rows(specs, replace(job, computation=None), FormDraft(typed=typed)).found
    return tuple(row for row in rows if row.value is not None)
