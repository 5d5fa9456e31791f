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


@pytest.mark.parametrize("new_number", [1, 2], ids=["same-computer", "own-number"])
def test_join__records_that_part_from_the_hub__are_made_anew_and_carried_over(
    server: Any, database: str, tmp_path: Path, capsys: pytest.CaptureFixture[str], new_number: int
) -> None:
    """A kiosk that went back to an old copy and wrote on, with its number or a new one, loses nothing by joining."""
    init = ["hub", "init", server.owner_url(database), "--kiosk", "1", "--kiosk", "2", "--secrets-to", str(tmp_path)]
    assert main(init) == 0
    shop = _shop(tmp_path, server, database, 1)
    records = YardRecords.open(shop / "kiosk.db", 1)
    records.append_all(yard_events())
    records.backup(tmp_path / "old.db")
    first = records.append(done(record(1))).event.id
    records.close()
    assert main(["hub", "join", "--shop", str(shop)]) == 0
    for path in shop.glob("kiosk.db*"):
        path.unlink()
    shutil.copy2(tmp_path / "old.db", shop / "kiosk.db")
    records = YardRecords.open(shop / "kiosk.db", 1)
    second = records.append(done(record(2))).event.id
    records.close()
    if new_number == 2:
        text = (shop / "kiosk.toml").read_text("utf-8")
        (shop / "kiosk.toml").write_text(text.replace("kiosk = 1", "kiosk = 2"), "utf-8")
        shutil.copy2(tmp_path / "hub-02.secret", shop / "hub.secret")
    capsys.readouterr()
    assert main(["hub", "join", "--shop", str(shop)]) == 0
    assert "1 entries that stood only here" in capsys.readouterr().err
    records = YardRecords.open(shop / "kiosk.db", new_number)
    assert {first, second} <= {entry.event.id for entry in records.entries()}
    assert records.entry(second).kiosk == new_number
    assert records.verify().first_bad is None and records.tables_unlike_journal() == []
    records.close()
    assert list(shop.glob("kiosk.db.before-restore-*"))
    assert main(["hub", "verify", "--shop", str(shop)]) == 0
