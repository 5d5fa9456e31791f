"""The part's page: what a touch brings up beside the part, so that no touch seems to do nothing."""

from __future__ import annotations

from typing import Any

import pytest

pytestmark = pytest.mark.window


def find(root: Any, text: str) -> Any:
    """Return the first button below `root` that carries `text` as its words or title."""
    return next(widget for widget in root.walk() if hasattr(widget, "on_release")
                and text in (getattr(widget, "text", None), getattr(widget, "title", None)))


def test_one_touch_job__chosen_from_the_jobs__comes_up(open_window: Any) -> None:
    """The list of jobs gives way, as such a job is saved on the page itself."""
    window = open_window()
    window.show_sample("component", "jobs")
    window.tap(find(window.stage, "Adjust the sag of the upper strand"))
    assert window.stage.screen.face == ""


def test_stopped_greasing__shows_what_was_done__until_a_reason_is_wanted(open_window: Any) -> None:
    """Records and findings stay in sight; the big button brings the reasons up and saves nothing."""
    window = open_window()
    window.show_sample("component_stopped")
    window.tap(find(window.stage, "Give a reason"))
    assert window.stage.screen.face == "reasons"
    assert window.presenter.calls == []


def test_missing_reading_out_of_sight__a_touch_leads_to_it(open_window: Any) -> None:
    """What keeps 'Save' shut is one touch away."""
    from dataclasses import replace

    import screen_samples

    window = open_window()
    state = screen_samples.SAMPLES["form"]
    save = replace(state.save, enabled=False, missing="Still to measure: wear, right, as found.", row="elsewhere")
    window.show(replace(state, save=save, rows=state.rows[:1], advice=(), differences=()))
    window.tap(find(window.stage, save.missing))
    assert window.presenter.calls == [("focus", "elsewhere")]
