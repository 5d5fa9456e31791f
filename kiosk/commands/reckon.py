"""`kiosk reckon QUESTION …`: a computation at the desk; the questions live in `kiosk.reckon`."""

from kiosk.reckon import add_arguments, run

__all__ = ["add_arguments", "run"]
