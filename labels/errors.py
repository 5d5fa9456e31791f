"""The labels' one family of errors, each with the sentence that the operator sees.

Built like the kiosk's family but on its own, because `labels` is usable alone and imports nothing from
`kiosk`.
"""

from __future__ import annotations


class LabelError(Exception):
    """Root of the family.

    Args:
        operator_message: One or two plain sentences: what is wrong and what to do now.
        details: For the log; may be technical. Never a secret.
    """

    def __init__(self, operator_message: str, details: str = "") -> None:
        super().__init__(operator_message)
        self.operator_message = operator_message
        self.details = details


class NotALabelNumber(LabelError, ValueError):
    """The text is no label number: other characters than digits, or a kind of label that does not exist."""

    def __init__(self, text: str, operator_message: str) -> None:
        self.text = text
        super().__init__(operator_message, details=f"given: {text[:80]!r}")


class WrongLength(NotALabelNumber):
    """The text has more or fewer than ten digits."""

    def __init__(self, text: str, length: int) -> None:
        self.length = length
        super().__init__(text, f"A label number has ten digits; this has {length}. Scan or type it again.")


class WrongCheckDigit(NotALabelNumber):
    """The last digit does not belong to the nine before it: a slip of the finger or a misread."""

    def __init__(self, text: str) -> None:
        super().__init__(text, "A digit of this label number is wrong: its check digit does not fit. "
                               "Compare it with the label and type it again.")


class OutOfNumbers(LabelError):
    """A kiosk has no serial left that may be issued."""


class WrongSymbol(LabelError):
    """The symbol that was made does not read as the number it was made for; nothing is printed."""

    def __init__(self, wanted: str, details: str) -> None:
        self.wanted = wanted
        super().__init__(f"The bar code for {wanted} is wrong, nothing was printed. Tell the supervisor.",
                         details=details)


class PrinterRefused(LabelError):
    """The printer, or the file that stands for it, did not take the label."""


class PrinterGone(LabelError):
    """The printer does not answer; nothing was sent to it."""


class PrinterBusy(LabelError):
    """The printer has another job and takes no more for now."""


class PrintUncertain(LabelError):
    """The way to the printer broke while the label was on it: it may have come out or not. Somebody must look."""


class ImageUnreadable(LabelError):
    """A file or an array is no picture that can be searched for labels."""
