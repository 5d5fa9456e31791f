"""Why a report is not there."""

from __future__ import annotations

from kiosk.errors import KioskError


class ReportNotWritten(KioskError):
    """The report's file cannot be written."""
