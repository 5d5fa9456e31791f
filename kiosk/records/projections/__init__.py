"""The tables that are made from the journal: one small projector for each kind of payload.

The same projectors serve a live append and a rebuild, so both make the same tables. They write through statements
made once; they decide nothing: what is not allowed was refused before (`rules`).
"""

from kiosk.records.projections import (
    conflicts,
    corrections,
    courses,
    findings,
    holds,
    label_life,
    labels,
    parts,
    photos,
    replacement,
    work,
    work_in_hand,
    yard,
)
from kiosk.records.projections.registry import project

__all__ = ["conflicts", "corrections", "courses", "findings", "holds", "label_life", "labels", "parts", "photos",
           "project", "replacement", "work", "work_in_hand", "yard"]
