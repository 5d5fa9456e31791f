"""The kiosk's one family of errors, each with the sentence that the operator sees.

An error is caught where a library is used and raised again as one of these, `from` the original. A presenter
turns it into state; only `app.py` catches the rest. Errors of `labels/` are a family of their own there.
"""

from __future__ import annotations

from kiosk.language import number, tr


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
        super().__init__(tr("{name}: {value} is not possible here; {permitted}.").format(
            name=name.replace("_", " "), value=repr(value), permitted=self._permitted()))

    def _permitted(self) -> str:
        unit = f" {self.unit}" if self.unit else ""
        if self.low is not None and self.high is not None:
            return tr("it must be between {low} and {high}{unit}").format(
                       low=number(self.low, "g"), high=number(self.high, "g"), unit=unit)
        if self.low is not None:
            return tr("it must be {low}{unit} or more").format(low=number(self.low, "g"), unit=unit)
        if self.high is not None:
            return tr("it must be {high}{unit} or less").format(high=number(self.high, "g"), unit=unit)
        return tr("it must be an ordinary number{unit}").format(unit=unit)


class NoTableRow(CalcError):
    """A table has no row for what was asked; tables are never extrapolated silently."""

    def __init__(self, table: str, asked: object, known: tuple[str, ...] = ()) -> None:
        self.table, self.asked, self.known = table, asked, known
        hint = tr(" It knows: {known}.").format(known=", ".join(known)) if known else ""
        super().__init__(tr("The table '{table}' has no row for {asked!r}.{hint}").format(
                             table=table, asked=asked, hint=hint))


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


class HubUnavailable(RecordError):
    """The hub cannot be reached, does not let this kiosk in, or does not take its entries; nothing is lost by it.

    Args:
        kind: Why, in a word: 'away', 'address', 'secret', 'certificate', 'account', 'forked', 'another computer',
            'older', 'newer'.
    """

    def __init__(self, operator_message: str, details: str = "", kind: str = "away") -> None:
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
