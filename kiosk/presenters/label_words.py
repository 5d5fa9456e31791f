"""What `labels/` says in English, in the language spoken: its errors and a printer's states. `labels` is usable alone
and knows no catalogues, so its sentences are known here as they stand there.
"""

from __future__ import annotations

import functools
import re

from kiosk.errors import KioskError
from kiosk.language import N_, tr
from labels.errors import LabelError

SENTENCES = (
    N_("A label number has ten digits; this has {n}. Scan or type it again."),
    N_("A digit of this label number is wrong: its check digit does not fit. Compare it with the label and type it "
       "again."),
    N_("The bar code for {number} is wrong, nothing was printed. Tell the supervisor."),
    N_("There is no label number here. Scan the label or type its ten digits."),
    N_("A label number has digits only. Scan the label or type its ten digits."),
    N_("No label of this yard begins with {digit}. Is it another's label?"),
    N_("Kiosk {kiosk} has used up its label numbers. Give it a new kiosk number."),
    N_("'{text}' is too long to be read on a label of {width} mm. Shorten it."),
    N_("The label's type has no '{sign}', which stands in '{text}'. Write it otherwise."),
    N_("The label cannot be written to {path}: {why}."),
    N_("The label's page {name} cannot be read back."),
    N_("The printer does not answer. Is it switched on and its cable plugged in?"),
    N_("The printer is out of labels. Put in a new roll."),
    N_("The printer wants other labels. Put in the right roll."),
    N_("Labels are jammed in the printer. Open it and clear the way."),
    N_("The roll of labels is nearly used up."),
    N_("The printer is out of ribbon or ink."),
    N_("Ribbon or ink is nearly used up."),
    N_("The printer's waste box is full."),
    N_("The printer is out of toner."),
    N_("The toner is nearly used up."),
    N_("The printer's cover is open. Close it."),
    N_("The printer's door is open. Close it."),
    N_("The printer's tray is missing."),
    N_("The printer's outlet is full. Take the prints out."),
    N_("The printer is warming up or too hot."),
    N_("The printer is paused. Start it again at the printer."),
    N_("The printer is being paused."),
    N_("The printer is switched off."),
    N_("The printer's memory is full. Wait, or switch it off and on."),
    N_("Something at the printer is open. Close it."),
    N_("A part of the printer has stopped."),
    N_("The printer is stopping."),
    N_("The printer reports a fault. Look at its display."),
    N_("The printer says '{word}'. Look at its display."),
    N_("The printer has stopped."),
    N_("Look whether it came out all the same."),
    N_("It was cancelled at the printer."),
    N_("The printer gave up on it."),
    N_("The printer cannot print this kind of page."),
    N_("The printer could not read the page."),
    N_("The printer could not print the page."),
    N_("The printer is not ready: labels, ribbon or ink are missing."),
    N_("It was printed with errors."),
    N_("The printer does not remember it."),
    N_("as the page {name}"),
    N_("seen at the printer"),
    N_("new label"),
)


def sentence_of(error: KioskError | LabelError) -> str:
    """Return what an error says, in the language spoken."""
    return in_words(error.operator_message) if isinstance(error, LabelError) else error.operator_message


def in_words(text: str) -> str:
    """Return a text with those of its sentences that are known here in the language spoken."""
    whole = tr(text)
    return whole if whole != text else _known_sentences().sub(_translated, text)


def _translated(found: re.Match[str]) -> str:
    template = SENTENCES[int(str(found.lastgroup)[1:])]
    values = re.fullmatch(_pattern(template), found.group())
    return tr(template).format(**(values.groupdict() if values else {}))


@functools.cache
def _known_sentences() -> re.Pattern[str]:
    """Return what finds any sentence; each is a group named by its place."""
    plain = (re.sub(r"\(\?P<\w+>", "(?:", _pattern(template)) for template in SENTENCES)
    return re.compile("|".join(f"(?P<s{place}>{pattern})" for place, pattern in enumerate(plain)))


def _pattern(template: str) -> str:
    return re.sub(r"\\\{(\w+)\\\}", r"(?P<\1>.+?)", re.escape(template))
