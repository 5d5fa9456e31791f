"""What a kiosk's account may do at the hub, tried with the account itself: append its own, read all, change nothing."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import psycopg
import pytest
from small_yard import yard_events

from kiosk.errors import HubUnavailable
from kiosk.records import YardRecords
from kiosk.records.chain import GENESIS, envelope, link

Kiosk = Callable[[int], YardRecords]
AT = "2026-03-02T05:00:00.000000Z"
TABLES = ("hub.entry", "hub.kiosk", "hub.apart", "hub.version")


@pytest.fixture
def filled(hub: Any, kiosk: Kiosk) -> Any:
    """Return the hub with entries of the kiosks 1 and 2, and one kept apart."""
    for number in (1, 2):
        records = kiosk(number)
        records.append_all(yard_events())
        hub.exchange(records, number).step()
    with hub.kiosk(1) as connection:
        connection.execute("SELECT hub.set_apart('b', %s, %s, %s, %s, %s, %s, %s, %s)", _entry(1, 9, GENESIS))
    return hub


def _entry(kiosk: int, seq: int, previous: str, event_id: str = "e", body: str = "{}") -> list[list[Any]]:
    own = link(previous, envelope(kiosk=kiosk, seq=seq, event_id=event_id, at=AT, person_id=None, kind="yard named",
                                  body=body))
    return [[seq], [event_id], [AT], ["yard named"], [None], [body], [previous], [own]]


def _append(connection: Any, columns: list[list[Any]], box: str = "box-1") -> Any:
    return connection.execute("SELECT hub.append(%s, %s, %s, %s, %s, %s, %s, %s, %s)", (box, *columns)).fetchone()[0]


FORBIDDEN = [
    *(f"UPDATE {table} SET {column} = {column}" for table, column in zip(
        TABLES, ("body", "last_seq", "body", "title"), strict=True)),
    *(f"DELETE FROM {table}" for table in TABLES),
    *(f"TRUNCATE {table} CASCADE" for table in TABLES),
    *(f"DROP TABLE {table} CASCADE" for table in TABLES),
    *(f"LOCK TABLE {table} IN ACCESS EXCLUSIVE MODE" for table in TABLES),
    "INSERT INTO hub.entry SELECT 1, 99, 'x', at, kind, person_id, body, previous_hash, hash FROM hub.entry LIMIT 1",
    "INSERT INTO hub.kiosk (number, role) VALUES (9, 'intruder')",
    "INSERT INTO hub.apart SELECT kiosk, seq, id, at, kind, person_id, body, previous_hash, hash, 'b' FROM hub.entry",
    "UPDATE hub.kiosk SET role = session_user WHERE number = 2",
    "COPY hub.entry FROM PROGRAM 'true'",
    "COPY hub.entry TO '/tmp/all-entries'",
    "ALTER TABLE hub.entry DISABLE TRIGGER ALL",
    "DROP TRIGGER entries_stay ON hub.entry",
    "CREATE OR REPLACE FUNCTION hub.refuse() RETURNS trigger LANGUAGE plpgsql AS 'BEGIN RETURN NEW; END'",
    "ALTER FUNCTION hub.refuse() RENAME TO nothing",
    "SELECT hub.mine()",
    "CREATE TABLE hub.mine_too (a int)",
    "CREATE SCHEMA mine_too",
    "CREATE TEMP TABLE kiosk (number int)",
    "CREATE ROLE helper SUPERUSER",
    "SET ROLE owner",
    "SET SESSION AUTHORIZATION owner",
    "SET session_replication_role = replica",
    "ALTER ROLE owner PASSWORD 'x'",
    "SELECT rolpassword FROM pg_authid",
    "SELECT pg_read_file('postgresql.conf')",
    "SELECT lo_import('/etc/passwd')",
]


@pytest.mark.parametrize("number", [1, 2])
def test_account__every_way_to_change_what_is_there__is_refused(filled: Any, number: int) -> None:
    """No statement of a kiosk's account changes or adds anything past the functions, or gets it more rights."""
    before = _everything(filled)
    let_through = []
    with filled.kiosk(number) as connection:
        for statement in FORBIDDEN:
            try:
                with connection.transaction():
                    connection.execute(statement)
            except psycopg.Error as error:
                assert error.sqlstate in ("42501", "42704", "HUB05"), f"{statement}: {error}"
            else:
                let_through.append(statement)
    assert let_through == []
    assert _everything(filled) == before


def test_account__of_another_database_owner_too__entries_stay(filled: Any) -> None:
    """The owner's own slip changes nothing either: triggers refuse it."""
    with filled.owner() as connection:
        for statement in ("UPDATE hub.entry SET body = '{}'", "DELETE FROM hub.entry WHERE seq = 1",
                          "TRUNCATE hub.entry", "DELETE FROM hub.apart", "TRUNCATE hub.apart"):
            with pytest.raises(psycopg.Error, match="never changed or removed"):
                connection.execute(statement)


def test_account__appends__only_under_its_own_number(filled: Any) -> None:
    """An entry made for another kiosk does not fit its own chain, whatever number stands in it."""
    with filled.owner() as owner:
        last, head = owner.execute("SELECT last_seq, head FROM hub.kiosk WHERE number = 2").fetchone()
    with filled.kiosk(1) as connection, pytest.raises(psycopg.Error):
        _append(connection, _entry(2, last + 1, head))


@pytest.mark.parametrize(("change", "state"), [
    pytest.param(lambda columns, last: columns[0].__setitem__(0, last + 2), "HUB02", id="gap"),
    pytest.param(lambda columns, last: columns[6].__setitem__(0, "ab" * 32), "HUB01", id="does-not-follow"),
    pytest.param(lambda columns, last: columns[5].__setitem__(0, '{"name":"x"}'), "23514", id="changed-body"),
    pytest.param(lambda columns, last: columns[1].__setitem__(0, "other"), "23514", id="changed-id"),
    pytest.param(lambda columns, last: columns[4].__setitem__(0, "boss"), "23514", id="changed-person"),
    pytest.param(lambda columns, last: (columns[0].__setitem__(0, last), columns[7].__setitem__(0, "cd" * 32)), "HUB01",
                 id="another-under-the-same-number"),
])
def test_append__what_does_not_follow__is_refused(filled: Any, change: Callable[[Any, int], None], state: str) -> None:
    """Gaps, another chain, an entry that is not what its hash says: the hub itself refuses them."""
    with filled.owner() as owner:
        last, head = owner.execute("SELECT last_seq, head FROM hub.kiosk WHERE number = 1").fetchone()
    columns = _entry(1, last + 1, head)
    change(columns, last)
    with filled.kiosk(1) as connection, pytest.raises(psycopg.Error) as error:
        _append(connection, columns)
    assert error.value.sqlstate == state


def test_append__text_of_every_kind__has_the_hash_that_the_kiosk_made(filled: Any) -> None:
    """The hub's canonical JSON is the kiosk's, for quotes, control signs, other scripts and signs beyond 16 bits."""
    with filled.owner() as owner:
        last, head = owner.execute("SELECT last_seq, head FROM hub.kiosk WHERE number = 1").fetchone()
    hard = 'a"b\\c/d\b\f\n\r\t\x01\x1f\x7f é 車 \U0001f527 \u2028 </'
    with filled.kiosk(1) as connection:
        assert _append(connection, _entry(1, last + 1, head, hard)) == last + 1


def test_kiosk_without_account__is_told_so(filled: Any) -> None:
    """A kiosk whose number has no account gets a sentence."""
    address = filled.address(1)
    with pytest.raises(HubUnavailable) as error:
        type(address)(address.url, address.secret_file, "{database}_kiosk_77").connect("test")
    assert error.value.kind in ("secret", "account")


def test_accounts_secret__is_not_in_the_servers_log(filled: Any) -> None:
    """Secrets reach the server as verifiers only; not even a log of every statement holds one."""
    assert [number for number, secret in filled.secrets.items() if secret in filled.server.log()] == []


def _everything(hub: Any) -> list[Any]:
    with hub.owner() as connection:
        return [connection.execute(f"SELECT * FROM {table} ORDER BY 1, 2").fetchall() for table in TABLES]
