"""Makes a hub out of an empty PostgreSQL database: numbered migrations, one account for each kiosk.

Run by whoever owns the database, never by a kiosk. A kiosk's account may call the functions that append its own entries
and read everybody's; it may change or remove nothing. Passwords reach the server only as SCRAM verifiers (RFC 5802,
RFC 7677), so that none stands in its log.
"""

from __future__ import annotations

import secrets
from collections.abc import Sequence
from dataclasses import dataclass
from importlib.resources import files
from typing import TYPE_CHECKING, Any

from kiosk.errors import HubUnavailable
from kiosk.language import tr
from kiosk.records.hub.address import refused, role_of

if TYPE_CHECKING:
    import psycopg

# Number, title, the lowest number that a kiosk's program must know to work with it.
MIGRATIONS: tuple[tuple[int, str, int], ...] = ((1, "kiosks, entries, what is kept apart", 1),)
NEWEST = MIGRATIONS[-1][0]
_ALONE = 7_203_114  # only one set-up at a time
_SECRET_BYTES = 24

_VERSIONS = """CREATE SCHEMA IF NOT EXISTS hub;
CREATE TABLE IF NOT EXISTS hub.version (
    number integer PRIMARY KEY, title text NOT NULL, works_from integer NOT NULL,
    made_at timestamptz NOT NULL DEFAULT now())"""
# After every migration again: what a newer one adds is covered too.
_RIGHTS = """REVOKE ALL ON SCHEMA hub FROM PUBLIC;
REVOKE ALL ON ALL TABLES IN SCHEMA hub FROM PUBLIC, {group};
REVOKE ALL ON ALL FUNCTIONS IN SCHEMA hub FROM PUBLIC, {group};
REVOKE ALL ON DATABASE {database} FROM PUBLIC;
GRANT CONNECT ON DATABASE {database} TO {group};
GRANT USAGE ON SCHEMA hub TO {group};
GRANT SELECT ON hub.version, hub.kiosk, hub.entry, hub.apart TO {group};
GRANT EXECUTE ON FUNCTION hub.greet, hub.append, hub.set_apart, hub.report, hub.leave TO {group}"""


@dataclass(frozen=True)
class SetUp:
    """What was done.

    Args:
        made: Numbers of the migrations that ran. `version`: the newest there is now.
        secrets: {kiosk's number: its new secret}; kept nowhere else.
    """

    made: tuple[int, ...]
    version: int
    secrets: dict[int, str]


def set_up(connection: psycopg.Connection[Any], kiosks: Sequence[int]) -> SetUp:
    """Bring the hub to the newest version and give each named kiosk an account with a new secret.

    Raises:
        HubUnavailable: the account may not do this, or the database refuses.
    """
    import psycopg

    try:
        with connection.transaction():
            connection.execute("SELECT pg_advisory_xact_lock(%s)", (_ALONE,))
            made = _migrate(connection)
            _give_rights(connection)
            new = {kiosk: _account(connection, kiosk) for kiosk in kiosks}
    except psycopg.errors.InsufficientPrivilege as error:
        raise HubUnavailable(tr("This account may not set up the hub; use the one that owns the database and may make "
                                "accounts."), str(error), "account") from error
    except psycopg.Error as error:
        raise refused(error) from error
    return SetUp(made, NEWEST, new)


def _migrate(connection: psycopg.Connection[Any]) -> tuple[int, ...]:
    connection.execute(_VERSIONS)
    row = connection.execute("SELECT coalesce(max(number), 0) FROM hub.version").fetchone()
    have = int(row[0]) if row else 0
    due = [migration for migration in MIGRATIONS if migration[0] > have]
    for number, title, works_from in due:
        script = files(__package__).joinpath(f"schema_{number:04d}.sql").read_text(encoding="utf-8")
        connection.execute(script.encode())
        connection.execute("INSERT INTO hub.version (number, title, works_from) VALUES (%s, %s, %s)",
                           (number, title, works_from))
    return tuple(number for number, *_ in due)


def _give_rights(connection: psycopg.Connection[Any]) -> None:
    from psycopg import sql

    database = connection.info.dbname
    group = f"{database}_kiosks"
    if not _is_role(connection, group):
        connection.execute(sql.SQL("CREATE ROLE {} NOLOGIN").format(sql.Identifier(group)))
    for statement in _RIGHTS.split(";"):
        connection.execute(sql.SQL(statement).format(
            group=sql.Identifier(group), database=sql.Identifier(database)))


def _account(connection: psycopg.Connection[Any], kiosk: int) -> str:
    """Make a kiosk's account, or give it a new secret; return the secret."""
    from psycopg import sql

    database = connection.info.dbname
    role, group = role_of(kiosk).format(database=database), f"{database}_kiosks"
    secret = secrets.token_urlsafe(_SECRET_BYTES)
    verifier = connection.pgconn.encrypt_password(secret.encode(), role.encode(), b"scram-sha-256").decode()
    name = sql.Identifier(role)
    if not _is_role(connection, role):
        connection.execute(sql.SQL("CREATE ROLE {} LOGIN CONNECTION LIMIT 4 IN ROLE {}").format(
            name, sql.Identifier(group)))
        connection.execute(sql.SQL("ALTER ROLE {} SET idle_in_transaction_session_timeout = '60s'").format(name))
        connection.execute(sql.SQL("ALTER ROLE {} SET tcp_keepalives_idle = 30").format(name))
    connection.execute(sql.SQL("ALTER ROLE {} PASSWORD {}").format(name, sql.Literal(verifier)))
    connection.execute("INSERT INTO hub.kiosk (number, role) VALUES (%s, %s) ON CONFLICT DO NOTHING", (kiosk, role))
    return secret


def _is_role(connection: psycopg.Connection[Any], name: str) -> bool:
    return connection.execute("SELECT 1 FROM pg_roles WHERE rolname = %s", (name,)).fetchone() is not None
