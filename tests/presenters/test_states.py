"""States are frozen all the way down, and every screen's actions are there."""

from __future__ import annotations

import dataclasses
import inspect
import re
from typing import get_args

import pytest

import kiosk.presenters
from kiosk.presenters import parts, states
from kiosk.presenters.cautions import CautionsPresenter
from kiosk.presenters.component import ComponentPresenter
from kiosk.presenters.desk import Desk
from kiosk.presenters.form import FormPresenter
from kiosk.presenters.history import HistoryPresenter
from kiosk.presenters.idle import IdlePresenter
from kiosk.presenters.replace import ReplacePresenter
from kiosk.presenters.saved import SavedPresenter
from kiosk.presenters.splice import SplicePresenter
from kiosk.presenters.unit import UnitPresenter

PRESENTERS = {one.__name__: one for one in (
    CautionsPresenter, ComponentPresenter, Desk, FormPresenter, HistoryPresenter, IdlePresenter, ReplacePresenter,
    SavedPresenter, SplicePresenter, UnitPresenter)}
CLASSES = [one for module in (parts, states) for _, one in inspect.getmembers(module, dataclasses.is_dataclass)]


@pytest.mark.parametrize("kind", CLASSES, ids=lambda kind: kind.__name__)
def test_state_is_frozen_and_holds_no_list(kind):
    """No screen can change what it is shown."""
    assert kind.__dataclass_params__.frozen
    assert not any("list" in str(field.type) or "dict" in str(field.type) for field in dataclasses.fields(kind))


def test_every_screen_has_a_frame():
    """Header, message, pad and way back are on every screen."""
    assert all("frame" in {field.name for field in dataclasses.fields(kind)} for kind in get_args(states.State))


def documented():
    """Return (presenter, action) for every action that the package's table names."""
    pairs = []
    for block in re.split(r"\n(?=[A-Z])", kiosk.presenters.__doc__ or ""):
        name = re.match(r"(?:\w+State → )?(\w+)", block)
        if name and name[1] in PRESENTERS:
            pairs += [(name[1], action) for action in re.findall(r"(\w+)\(", block.split(":", 1)[1])]
    return pairs


@pytest.mark.parametrize(("presenter", "action"), documented())
def test_documented_action_exists(presenter, action):
    """The table in the package's docstring tells the truth."""
    assert callable(getattr(PRESENTERS[presenter], action))


def test_table_names_every_presenter():
    """Nothing is left out of the table."""
    assert {presenter for presenter, _ in documented()} == set(PRESENTERS)


COMMON = ("answer", "back", "home", "sign_out", "open_label_pad", "label_key", "close_label_pad")


@pytest.mark.parametrize("name", COMMON)
def test_every_screen_has_the_common_actions(name):
    """Messages, the way back and the label pad work everywhere."""
    assert all(callable(getattr(one, name)) for one in PRESENTERS.values() if one is not Desk)
