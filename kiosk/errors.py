"""The kiosk's one family of errors, each with the sentence that the operator sees.

An error is caught where a library is used and raised again as one of these, `from` the original. A presenter
turns it into state; only `app.py` catches the rest. Errors of `labels/` are a family of their own there.
"""

from __future__ import annotations


class KioskError(Exception):
    """Root of the family.

    Args:
        operator_message: One or two plain sentences: what is wrong and what to do now.
        details: For the log; may be technical. Never a secret.
    """

    def __init__(self, operator_message: str, details: str = "") -> None:
        super().__init__(operator_message)
        self.operator_message = operator_message
        self.details = details


class CalcError(KioskError, ValueError):
    """A computation was asked for something it does not answer."""


class OutOfRange(CalcError):
    """An argument lies outside what the formula is valid for.

    Args:
        name: The argument's name as in the signature.
        value: What was given.
        unit: Unit of the argument, '' for a ratio or a count.
        low: Lowest permitted value, None where there is no lower bound.
        high: Highest permitted value, None where there is no upper bound.
        source: Where the range comes from, '' for plain arithmetic.
    """

    def __init__(
        self,
        name: str,
        value: object,
        unit: str = "",
        low: float | None = None,
        high: float | None = None,
        source: str = "",
    ) -> None:
        self.name, self.value, self.unit = name, value, unit
        self.low, self.high, self.source = low, high, source
        super().__init__(f"{name.replace('_', ' ')}: {value!r} is not possible here; {self._permitted()}.")

    def _permitted(self) -> str:
        unit = f" {self.unit}" if self.unit else ""
        if self.low is not None and self.high is not None:
            return f"it must be between {self.low:g} and {self.high:g}{unit}"
        if self.low is not None:
            return f"it must be {self.low:g}{unit} or more"
        if self.high is not None:
            return f"it must be {self.high:g}{unit} or less"
        return f"it must be an ordinary number{unit}"


class NoTableRow(CalcError):
    """A table has no row for what was asked; tables are never extrapolated silently."""

    def __init__(self, table: str, asked: object, known: tuple[str, ...] = ()) -> None:
        self.table, self.asked, self.known = table, asked, known
        hint = f" It knows: {', '.join(known)}." if known else ""
        super().__init__(f"The table '{table}' has no row for {asked!r}.{hint}")


class UnreadableNumber(KioskError, ValueError):
    """What was typed is not a length or number; the text is kept for the screen."""

    def __init__(self, text: str, operator_message: str) -> None:
        self.text = text
        super().__init__(operator_message, details=f"typed: {text!r}")


class ConfigError(KioskError):
    """kiosk.toml or a command's options cannot be used."""


class SheetError(KioskError):
    """A service sheet is refused; says file, line and reason."""

    def __init__(self, file: str, line: int, reason: str) -> None:
        self.file, self.line, self.reason = file, line, reason
        super().__init__(f"{file}, line {line}: {reason}")


class RecordError(KioskError):
    """Root of what the records refuse or cannot do."""


class NotFound(RecordError):
    """Nothing is recorded under what was asked for."""


class NotAllowed(RecordError):
    """The rules of the yard or the badge's role forbid it."""


class StoreUnavailable(RecordError):
    """The database cannot be read or written.

    Args:
        kind: Why, in a word: 'full', 'read-only', 'locked', 'damaged', 'gone', 'moved', 'failing', 'foreign',
            'newer'.
    """

    def __init__(self, operator_message: str, details: str = "", kind: str = "") -> None:
        super().__init__(operator_message, details)
        self.kind = kind


class DeviceError(KioskError):
    """Root of what goes wrong with a device."""


class ScannerLost(DeviceError):
    """The hand scanner is missing, was pulled out or is held by another program."""


class CameraLost(DeviceError):
    """The camera is missing or was pulled out."""


class UpdateRefused(KioskError):
    """A new version of the program cannot be installed or does not work here; the old one stays."""


class InstallRefused(KioskError):
    """This computer cannot be made a kiosk as asked."""
