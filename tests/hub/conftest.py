"""Several kiosks' records in the test's own folder, and what stands in their tables."""

from __future__ import annotations

import uuid
from collections.abc import Callable, Iterator
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import psycopg
import pytest
from postgres import Postgres, programs

from kiosk.records import YardRecords
from kiosk.records.hub.address import HubAddress, role_of, write_secret
from kiosk.records.hub.exchange import Exchange
from kiosk.records.hub.setting_up import set_up


@pytest.fixture
def kiosk(tmp_path: Path) -> Iterator[Callable[[int], YardRecords]]:
    """Open the records of a kiosk by its number, the same ones at the second call."""
    made: dict[int, YardRecords] = {}

    def open_kiosk(number: int) -> YardRecords:
        if number not in made:
            made[number] = YardRecords.open(tmp_path / f"kiosk-{number}.db", number)
        return made[number]

    yield open_kiosk
    for records in made.values():
        records.close()


@pytest.fixture(scope="session")
def server() -> Iterator[Postgres]:
    """Return a PostgreSQL that runs as long as the tests do."""
    if programs() is None:
        pytest.skip("PostgreSQL is not installed")
    postgres = Postgres(["fsync=off", "log_statement=all"])
    postgres.start()
    yield postgres
    postgres.stop()


class Hub:
    """A hub of a test's own, with an account for each of the kiosks 1 to 5.

    Args:
        server: Where it is. `name`: of its database. `secrets`: {kiosk: its secret}.
    """

    def __init__(self, server: Postgres, name: str, folder: Path) -> None:
        self.server, self.name, self._folder = server, name, folder
        with psycopg.connect(server.owner_url(), autocommit=True) as connection:
            connection.execute(f"CREATE DATABASE {name}")
        with self.owner() as connection:
            self.secrets = set_up(connection, range(1, 6)).secrets

    def owner(self) -> psycopg.Connection[Any]:
        """Return a connection of whoever owns the hub."""
        return psycopg.connect(self.server.owner_url(self.name), autocommit=True)

    def kiosk(self, number: int) -> psycopg.Connection[Any]:
        """Return a connection of a kiosk's account."""
        return self.address(number).connect("test")

    def address(self, number: int, port: int | None = None) -> HubAddress:
        """Return the address by which a kiosk gets in."""
        path = self._folder / f"{self.name}-{number}.secret"
        if not path.exists():
            write_secret(path, self.secrets[number])
        return HubAddress(self.server.url(self.name, port), path, role_of(number))

    def exchange(self, records: YardRecords, number: int, box: str = "") -> Exchange:
        """Return what exchanges a kiosk's entries."""
        return Exchange(records, number, self.address(number), box or f"box-{number}", "1", lambda: datetime.now(UTC))


@pytest.fixture
def hub(server: Postgres, tmp_path: Path) -> Hub:
    """Return a new hub."""
    return Hub(server, f"yard_{uuid.uuid4().hex[:12]}", tmp_path)
