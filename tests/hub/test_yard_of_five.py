"""Five kiosks and a PostgreSQL with cuts, kills and wrong clocks for a while: all come to the same records."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
from yard_trial import YardTrial


@pytest.mark.slow
def test_yard__five_kiosks_with_cuts_and_kills__nothing_lost_nothing_doubled(server: Any, tmp_path: Path) -> None:
    """Every acknowledged event is at every kiosk once; tables, counts and chains are the same everywhere."""
    trial = YardTrial(server, tmp_path, 5, seed=11)
    try:
        tally = trial.run(seconds=20)
    finally:
        trial.close()
    print(tally, (tmp_path / "errors").read_text()[-2000:] if (tmp_path / "errors").exists() else "")
    assert (tally.lost, tally.doubled, tally.alike, tally.whole) == (0, 0, True, True)
    assert tally.acknowledged > 200 and tally.kills > 5 and tally.cuts > 20
    assert len(set(tally.entries.values())) == 1
