"""What a printer's and a job's states mean, in the words of the person who stands in front of it. Pure.

Reasons come with an ending that tells how grave they are ('media-empty-report', '-warning', '-error') or without,
so they are known by how they begin.

Source of the keywords: RFC 8011, 5.3.8 and 5.4.12; PWG 5100.13.
"""

from __future__ import annotations

from collections.abc import Iterable

_NO_ANSWER = "The printer does not answer. Is it switched on and its cable plugged in?"

# Longer beginnings stand before shorter ones that they begin with. What stops printing stands first.
PRINTER_REASONS: dict[str, str] = {
    "media-empty": "The printer is out of labels. Put in a new roll.",
    "media-needed": "The printer wants other labels. Put in the right roll.",
    "media-jam": "Labels are jammed in the printer. Open it and clear the way.",
    "media-low": "The roll of labels is nearly used up.",
    "marker-supply-empty": "The printer is out of ribbon or ink.",
    "marker-supply-low": "Ribbon or ink is nearly used up.",
    "marker-waste-full": "The printer's waste box is full.",
    "toner-empty": "The printer is out of toner.",
    "toner-low": "The toner is nearly used up.",
    "cover-open": "The printer's cover is open. Close it.",
    "door-open": "The printer's door is open. Close it.",
    "input-tray-missing": "The printer's tray is missing.",
    "output-area-full": "The printer's outlet is full. Take the prints out.",
    "fuser": "The printer is warming up or too hot.",
    "paused": "The printer is paused. Start it again at the printer.",
    "moving-to-paused": "The printer is being paused.",
    "shutdown": "The printer is switched off.",
    "connecting-to-device": _NO_ANSWER,
    "offline": _NO_ANSWER,
    "timed-out": _NO_ANSWER,
    "spool-area-full": "The printer's memory is full. Wait, or switch it off and on.",
    "interlock-open": "Something at the printer is open. Close it.",
    "stopped-partly": "A part of the printer has stopped.",
    "stopping": "The printer is stopping.",
    "other": "The printer reports a fault. Look at its display.",
}
# Reasons that let it go on printing.
_HARMLESS = ("media-low", "marker-supply-low", "toner-low", "none")
# With these nothing comes out, however lightly the printer takes them: idle printers report them without alarm.
_ALWAYS_STOP = ("media-empty", "media-needed", "media-jam", "cover-open", "door-open", "marker-supply-empty", "paused",
                "shutdown", "offline", "connecting-to-device", "timed-out")
# What a queue tells about its own work is no fault.
_QUEUE_TALK = "cups-"

# A queue says only in its message that the printer behind it is off (seen with CUPS 2.4).
_MESSAGES_OF_NO_ANSWER = ("not responding", "unavailable", "unable to connect", "not connected", "unreachable",
                          "offline")

JOB_REASONS: dict[str, str] = {
    "printer-stopped": "The printer has stopped.",
    "job-canceled-by-user": "Look whether it came out all the same.",
    "job-canceled-by-operator": "It was cancelled at the printer.",
    "job-canceled-at-device": "It was cancelled at the printer.",
    "aborted-by-system": "The printer gave up on it.",
    "unsupported-document-format": "The printer cannot print this kind of page.",
    "document-format-error": "The printer could not read the page.",
    "document-unprintable-error": "The printer could not print the page.",
    "resources-are-not-ready": "The printer is not ready: labels, ribbon or ink are missing.",
    "job-completed-with-errors": "It was printed with errors.",
    "cups-ipp-missing-job-history": "The printer does not remember it.",
}


def printer_sentences(reasons: Iterable[str]) -> list[str]:
    """Return a sentence for each of a printer's state reasons, the gravest first; unknown ones by their keyword."""
    return _sentences(reasons, PRINTER_REASONS, "The printer says '{}'. Look at its display.")


def job_sentences(reasons: Iterable[str]) -> list[str]:
    """Return a sentence for those of a job's state reasons that mean trouble."""
    known = [reason for reason in reasons if _key(reason, JOB_REASONS)]
    return _sentences(known, JOB_REASONS, "")


def message_sentences(message: str) -> list[str]:
    """Return what a printer's or a job's own message means when it tells of a printer that does not answer."""
    return [_NO_ANSWER] if any(words in message.lower() for words in _MESSAGES_OF_NO_ANSWER) else []


def stops_printing(reason: str) -> bool:
    """Return whether a printer's state reason means that nothing comes out until somebody acts."""
    if reason.startswith(_ALWAYS_STOP):
        return True
    return not reason.endswith(("-report", "-warning")) and not reason.startswith((*_HARMLESS, _QUEUE_TALK))


def _sentences(reasons: Iterable[str], words: dict[str, str], unknown: str) -> list[str]:
    wanted = [reason for reason in reasons
              if reason != "none" and (_key(reason, words) or not reason.startswith(_QUEUE_TALK))]
    order = {key: place for place, key in enumerate(words)}
    wanted.sort(key=lambda reason: order.get(_key(reason, words), len(order)))
    found = [words.get(_key(reason, words)) or unknown.format(reason) for reason in wanted]
    return list(dict.fromkeys(found))


def _key(reason: str, words: dict[str, str]) -> str:
    return next((key for key in words if reason.startswith(key)), "")
