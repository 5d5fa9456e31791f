"""What two kiosks entered against each other, found as the entries are worked in; the same at every kiosk.

The rules, each chosen so that nothing is lost and the safer state holds until somebody looked:
- two new parts at one position: the later in the yard's order sits there, the other one's record and history stay;
- a part greased at two kiosks within the hour: both greasings count, so the strokes add up;
- work on a unit that was held elsewhere: the work stays on record and the unit stays held;
- a unit held at two kiosks: it stays held until somebody who knew of the last hold lets it go;
- a revision of a sheet adopted with two texts: the first in the yard's order is that revision;
- whatever else does not fit beside what other kiosks entered: the entry is set aside, kept in the journal and told.

The texts stand in the tables and are therefore English at every kiosk, whoever reads.
"""

from __future__ import annotations

import sqlite3
from datetime import timedelta

from kiosk.entities import Component, ConflictKind, Finding, JobType, ServiceRecord, Severity
from kiosk.events import ConflictSettled, HeadsSeen, JournalEntry
from kiosk.records.instants import utc_text
from kiosk.records.models import ConflictRow, FindingRow, insert_statement
from kiosk.records.projections.registry import project

# Common practice, no source: a second greasing so soon was not meant.
GREASED_AGAIN = timedelta(hours=1)
_SHORT = {ConflictKind.POSITION: "place", ConflictKind.GREASE: "grease", ConflictKind.HELD: "held",
          ConflictKind.SHEET: "sheet", ConflictKind.ASIDE: "aside"}
_CONFLICT = f"{insert_statement(ConflictRow)} ON CONFLICT DO NOTHING"
_FINDING = f"{insert_statement(FindingRow)} ON CONFLICT DO NOTHING"
_SETTLE = """UPDATE conflict SET settled_at = ?, settled_by = ?, settled_reason = ?
    WHERE id = ? AND settled_at IS NULL"""
_SETTLE_SHEET = """UPDATE conflict SET settled_at = ?, settled_by = ?, settled_reason = ?
    WHERE kind = ? AND subject = ? AND settled_at IS NULL"""
_TELL_SEEN = """INSERT INTO seen_head (by_kiosk, of_kiosk, seq, told_seq, before_seq) VALUES (?, ?, ?, ?, 0)
    ON CONFLICT DO UPDATE SET seq = excluded.seq, told_seq = excluded.told_seq, before_seq = seen_head.seq"""
_SEEN = "SELECT seq, told_seq, before_seq FROM seen_head WHERE by_kiosk = ? AND of_kiosk = ?"
_GREASED = """SELECT record.id, journal.kiosk, journal.seq, record.strokes
    FROM record JOIN journal ON journal.id = record.id
    WHERE record.component_id = ? AND record.at BETWEEN ? AND ? AND record.id <> ? AND record.corrected_by IS NULL
    AND record.job_type = 'grease' AND journal.kiosk <> ? ORDER BY record.at, record.id"""
_HELD = """SELECT unit_hold.id, journal.kiosk, journal.seq, unit_hold.reason
    FROM unit_hold JOIN journal ON journal.id = unit_hold.id
    WHERE unit_hold.unit_id = ? AND unit_hold.released_at IS NULL AND journal.kiosk <> ?"""


@project.register
def _(payload: HeadsSeen, entry: JournalEntry, connection: sqlite3.Connection) -> None:
    connection.executemany(_TELL_SEEN, [(entry.kiosk, int(kiosk), head.seq, entry.seq)
                                        for kiosk, head in sorted(payload.heads.items())])


@project.register
def _(payload: ConflictSettled, entry: JournalEntry, connection: sqlite3.Connection) -> None:
    event = entry.event
    connection.execute(_SETTLE, (utc_text(event.at), event.person_id, payload.reason, payload.conflict_id))


def had_come(connection: sqlite3.Connection, entry: JournalEntry, kiosk: int, seq: int) -> bool:
    """Whether another kiosk's entry had come to the kiosk of an entry before that one was saved."""
    found = connection.execute(_SEEN, (entry.kiosk, kiosk)).fetchone()
    return entry.kiosk == kiosk or (found is not None and seq <= found[0])


def knew_of(connection: sqlite3.Connection, entry: JournalEntry, kiosk: int, seq: int) -> bool:
    """Whether the kiosk of an entry knew of another kiosk's entry when the work of this one began.

    What came in with the kiosk's word just before the entry reached it while the form was open already: opening a
    form puts the scan on record.
    """
    if not had_come(connection, entry, kiosk, seq):
        return False
    found = connection.execute(_SEEN, (entry.kiosk, kiosk)).fetchone()
    return found is None or found[1] != entry.seq - 1 or bool(seq <= found[2])


def after_work(connection: sqlite3.Connection, entry: JournalEntry, record: ServiceRecord) -> None:
    """Look whether a record that was just added stands against what another kiosk entered."""
    _if_held(connection, entry, record)
    if record.job_type is JobType.GREASE:
        _if_greased_again(connection, entry, record)


def two_parts(connection: sqlite3.Connection, entry: JournalEntry, new: Component, gone_description: str,
              other_id: str | None) -> None:
    """Tell that a part was put where another kiosk had put one, neither knowing of it."""
    text = (f"Two kiosks put a new part at this position: '{gone_description}' and '{new.description}' (label "
            f"{new.label}). The later entry counts. Look which part sits there, and replace it on record if it is the "
            "other one.")
    finding = _finding(entry, ConflictKind.POSITION, new.unit_id, new.position_id, new.id, text)
    _tell(connection, entry, ConflictKind.POSITION, text, new.id, other_id, finding)


def sheet_twice(connection: sqlite3.Connection, entry: JournalEntry, sheet: str, revision: int) -> None:
    """Tell that one revision of a sheet was adopted with two texts."""
    text = (f"Revision {revision} of the sheet '{sheet}' was adopted with two texts; the second at kiosk "
            f"{entry.kiosk}. The first counts, the other is kept in the journal. Put both together as a new revision.")
    _tell(connection, entry, ConflictKind.SHEET, text, sheet, None, None)


def sheet_settled(connection: sqlite3.Connection, entry: JournalEntry, sheet: str, revision: int) -> None:
    """A later revision puts an end to a quarrel over an earlier one."""
    event = entry.event
    connection.execute(_SETTLE_SHEET, (utc_text(event.at), event.person_id, f"revision {revision} was adopted",
                                       ConflictKind.SHEET, sheet))


def set_aside(connection: sqlite3.Connection, entry: JournalEntry, kind: str) -> None:
    """Tell that an entry does not fit beside what other kiosks entered; it stays in the journal alone."""
    text = (f"Entry {entry.seq} of kiosk {entry.kiosk} ('{kind}', {entry.event.at:%Y-%m-%d %H:%M} UTC) does not fit "
            "beside what another kiosk had entered. It is kept in the journal and counts nowhere else. Look into it, "
            "and enter again what should count.")
    _tell(connection, entry, ConflictKind.ASIDE, text, "", None, None)


def _if_greased_again(connection: sqlite3.Connection, entry: JournalEntry, record: ServiceRecord) -> None:
    low, high = utc_text(record.at - GREASED_AGAIN), utc_text(record.at + GREASED_AGAIN)
    for other_id, kiosk, seq, strokes in connection.execute(
            _GREASED, (record.component_id, low, high, record.id, entry.kiosk)):  # the first that counts ends it
        if not knew_of(connection, entry, kiosk, seq):
            text = (f"Greased twice within the hour: {_strokes(strokes)} at kiosk {kiosk}, {_strokes(record.strokes)} "
                    f"at kiosk {entry.kiosk}. Both count. Wipe off what came out and look at the seals.")
            finding = _finding_of_work(entry, ConflictKind.GREASE, record, text)
            _tell(connection, entry, ConflictKind.GREASE, text, record.component_id, other_id, finding)
            return


def _if_held(connection: sqlite3.Connection, entry: JournalEntry, record: ServiceRecord) -> None:
    found = connection.execute(_HELD, (record.unit_id, entry.kiosk)).fetchone()
    if found is None or knew_of(connection, entry, found[1], found[2]):
        return
    hold_id, kiosk, _, reason = found
    text = (f"Work ('{record.job}') was saved at kiosk {entry.kiosk} while the unit was held out of service at kiosk "
            f"{kiosk}: {reason}. The work is on record, the unit stays held. Look at the unit before it is let go.")
    _tell(connection, entry, ConflictKind.HELD, text, record.component_id, hold_id,
          _finding_of_work(entry, ConflictKind.HELD, record, text))


def _strokes(count: int | None) -> str:
    return "no strokes counted" if count is None else f"{count} stroke{'' if count == 1 else 's'}"


def _finding_of_work(entry: JournalEntry, kind: ConflictKind, record: ServiceRecord, text: str) -> Finding:
    return _finding(entry, kind, record.unit_id, record.position_id, record.component_id, text)


def _finding(entry: JournalEntry, kind: ConflictKind, unit_id: str, position_id: str, component_id: str, text: str
             ) -> Finding:
    event = entry.event
    return Finding(_id_of(entry, kind), unit_id, position_id, component_id, text, event.at, event.person_id or "",
                   severity=Severity.BEFORE_USE if kind is ConflictKind.HELD else Severity.WATCH)


def _id_of(entry: JournalEntry, kind: ConflictKind) -> str:
    return f"{entry.event.id[:50]}-{_SHORT[kind]}"


def _tell(connection: sqlite3.Connection, entry: JournalEntry, kind: ConflictKind, text: str, subject: str,
          other_id: str | None, finding: Finding | None) -> None:
    at = utc_text(entry.event.at)
    if finding is not None:
        connection.execute(
            _FINDING, (finding.id, finding.unit_id, finding.position_id, finding.component_id, text, at,
                       finding.opened_by, None, None, None, "", None, finding.severity))
    connection.execute(
        _CONFLICT, (_id_of(entry, kind), kind, text, at, entry.event.id, other_id,
                    None if finding is None else finding.unit_id, subject, None if finding is None else finding.id,
                    None, None, ""))
