"""`kiosk hub` from the command line, on shops of their own and a real PostgreSQL."""

from __future__ import annotations

import json
import shutil
from pathlib import Path
from typing import Any

import psycopg
import pytest
from small_yard import done, record, story_events, yard_events
from yard_tables import digests

from kiosk.__main__ import main
from kiosk.events import HeadsSeen
from kiosk.records import YardRecords

SHEETS = Path(__file__).parents[2] / "demo_shop" / "sheets"


@pytest.fixture
def database(server: Any) -> Any:
    """Return the name of an empty database."""
    import uuid

    name = f"yard_{uuid.uuid4().hex[:12]}"
    with psycopg.connect(server.owner_url(), autocommit=True) as connection:
        connection.execute(f"CREATE DATABASE {name}")
    return name


def _shop(folder: Path, server: Any, database: str, kiosk: int) -> Path:
    shop = folder / f"shop-{kiosk}"
    shutil.copytree(SHEETS, shop / "sheets")
    (shop / "kiosk.toml").write_text(f'kiosk = {kiosk}\nhub = "{server.url(database)}"\n', "utf-8")
    secret = folder / f"hub-{kiosk:02d}.secret"
    if secret.exists():
        shutil.copy2(secret, shop / "hub.secret")
    return shop


def test_commands__a_yard_of_two__from_nothing_to_leaving(
    server: Any, database: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Set up, join with what is there, join empty, tell, verify, leave: each with exit code and JSON."""
    owner = server.owner_url(database)
    assert main(["hub", "init", owner, "--kiosk", "1", "--kiosk", "2", "--secrets-to", str(tmp_path), "--json"]) == 0
    assert json.loads(capsys.readouterr().out)["made"] == [1]
    assert main(["hub", "init", owner, "--json"]) == 0  # again: nothing left to make
    assert json.loads(capsys.readouterr().out)["made"] == []
    one, two = (_shop(tmp_path, server, database, number) for number in (1, 2))
    records = YardRecords.open(one / "kiosk.db", 1)
    records.append_all([*yard_events(), *(each for each in story_events() if not isinstance(each.payload, HeadsSeen))])
    records.close()
    for shop in (one, two):
        assert main(["hub", "join", "--shop", str(shop), "--json"]) == 0
        assert json.loads(capsys.readouterr().out)["coming"] == 0
    assert digests(one / "kiosk.db") == digests(two / "kiosk.db")
    records = YardRecords.open(two / "kiosk.db", 2)
    records.append(done(record(30, component_id="bearing-left-2")))
    records.close()
    assert main(["hub", "status", "--shop", str(two), "--json"]) == 0
    status = json.loads(capsys.readouterr().out)
    assert (status["waiting"], [each["number"] for each in status["kiosks"]]) == (2, [1])
    assert main(["hub", "verify", "--shop", str(two), "--json"]) == 0
    assert json.loads(capsys.readouterr().out)["bad"] == []
    assert main(["hub", "leave", "--shop", str(two)]) == 0
    capsys.readouterr()
    assert main(["hub", "status", "--shop", str(one), "--json"]) == 0
    (other,) = json.loads(capsys.readouterr().out)["kiosks"]
    assert other["left"] and other["last_at_hub"] == 2


def test_status__hub_is_away__says_since_when_and_how_many_wait(
    server: Any, database: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Alone, the command tells why and what waits, and exits 1."""
    shop = _shop(tmp_path, server, "nowhere", 3)
    records = YardRecords.open(shop / "kiosk.db", 3)
    records.append_all(yard_events())
    records.close()
    (shop / "hub.secret").write_text("x\n")
    (shop / "hub.secret").chmod(0o600)
    assert main(["hub", "status", "--shop", str(shop), "--json"]) == 1
    status = json.loads(capsys.readouterr().out)
    assert status["is_alone"] and status["waiting"] == len(yard_events()) and status["contact_at"] is None


def test_init__secret_is_there_already__is_not_overwritten(
    server: Any, database: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """A second set-up over the same file is refused before anything changes at the hub."""
    owner = server.owner_url(database)
    assert main(["hub", "init", owner, "--kiosk", "1", "--secrets-to", str(tmp_path)]) == 0
    before = (tmp_path / "hub-01.secret").read_text("utf-8")
    assert before.strip() not in capsys.readouterr().out
    assert main(["hub", "init", owner, "--kiosk", "1", "--secrets-to", str(tmp_path)]) == 1
    assert "never overwritten" in capsys.readouterr().err
    assert (tmp_path / "hub-01.secret").read_text("utf-8") == before


def test_verify__entry_changed_at_the_hub__names_kiosk_and_entry(
    server: Any, database: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Whoever owns the hub can switch its guards off; the chain still tells."""
    assert main(["hub", "init", server.owner_url(database), "--kiosk", "1", "--secrets-to", str(tmp_path)]) == 0
    shop = _shop(tmp_path, server, database, 1)
    records = YardRecords.open(shop / "kiosk.db", 1)
    records.append_all(yard_events())
    records.close()
    assert main(["hub", "join", "--shop", str(shop)]) == 0
    with psycopg.connect(server.owner_url(database), autocommit=True) as owner:
        owner.execute("ALTER TABLE hub.entry DISABLE TRIGGER ALL")
        owner.execute("ALTER TABLE hub.entry DROP CONSTRAINT is_what_its_hash_says")
        owner.execute("UPDATE hub.entry SET body = replace(body, 'Quay', 'Other') WHERE seq = 1")
    capsys.readouterr()
    assert main(["hub", "verify", "--shop", str(shop), "--json"]) == 1
    (bad,) = json.loads(capsys.readouterr().out)["bad"]
    assert (bad["kiosk"], bad["seq"]) == (1, 1)
