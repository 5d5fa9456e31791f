"""The pad for typing a PIN, over any screen: drawn like the label pad, showing dots."""

from __future__ import annotations

from kivy.properties import ObjectProperty
from kivy.uix.boxlayout import BoxLayout

from kiosk.widgets import fields as _fields  # noqa: F401  used by the .kv file
from kiosk.widgets import keypad as _keypad  # noqa: F401  used by the .kv file
from kiosk.widgets.theme import load_kv


class PinPad(BoxLayout):
    """Shows a `PinPadState`; keys go to `presenter.pin_key`."""

    state = ObjectProperty(rebind=True)
    presenter = ObjectProperty(rebind=True)


load_kv(__file__)
