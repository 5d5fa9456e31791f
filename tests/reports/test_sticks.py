"""USB sticks as the system's list of what is mounted tells them."""

from __future__ import annotations

from pathlib import Path

import pytest

from kiosk.presenters.ports import FileWish, HistoryRequest
from kiosk.report_desk import ReportDesk
from kiosk.reports.trouble import ReportNotWritten
from kiosk.shop import Shop, utc_now
from kiosk.sticks import plugged_in


def test_sticks__below_their_roots_alone__with_spaces_in_names(tmp_path: Path) -> None:
    r"""Two sticks, one with a space in its name (written \040, fstab(5)); the system's own disks are none."""
    root = tmp_path / "media"
    for name in ("PLAIN", "MY STICK"):
        (root / "me" / name).mkdir(parents=True)
    mounts = tmp_path / "mounts"
    mounts.write_text(f"/dev/sda1 / ext4 rw 0 0\n/dev/sdb1 {root}/me/PLAIN vfat rw 0 0\n"
                      f"/dev/sdc1 {root}/me/MY\\040STICK vfat rw 0 0\nbroken line\n")
    assert plugged_in(mounts, (root,)) == {"PLAIN": root / "me" / "PLAIN", "MY STICK": root / "me" / "MY STICK"}
    assert plugged_in(tmp_path / "none", (root,)) == {}


@pytest.mark.parametrize("kind", ["pdf", "csv", "jsonl"])
def test_history__to_a_stick__is_there__and_a_pulled_one_is_told(kind: str, yard: Path, tmp_path: Path) -> None:
    """Each kind of file comes to the stick that was chosen; without the stick nothing is written elsewhere."""
    stick = tmp_path / "stick"
    stick.mkdir()
    plugged = {"STICK": stick}
    with Shop.open(yard) as shop:
        desk = ReportDesk(shop.records, shop.sheets, tmp_path / "reports", shop.zone, "A4", True, utc_now,
                          lambda: plugged)
        part = shop.records.components_of_unit("unit-01")[0]
        shares: list[float] = []
        path = desk.history(HistoryRequest(part.id), FileWish(kind, "Letter", "STICK"), shares.append)
        assert path.parent == stick and path.stat().st_size > 100 and shares
        plugged.clear()
        with pytest.raises(ReportNotWritten, match="not plugged in"):
            desk.history(HistoryRequest(part.id), FileWish(kind, "", "STICK"))
        assert not (tmp_path / "reports").exists()
