"""A reading to be typed: its field with the verdict, the gauge under it."""

from __future__ import annotations

from kivy.properties import ObjectProperty
from kivy.uix.boxlayout import BoxLayout

from kiosk.widgets import fields as _fields  # noqa: F401  used by the .kv file
from kiosk.widgets import gauge as _gauge  # noqa: F401  used by the .kv file
from kiosk.widgets.theme import load_kv


class ReadingCard(BoxLayout):
    """Shows one `ReadingRow`. Event `on_press_field` asks to type into it."""

    state = ObjectProperty(rebind=True)
    __events__ = ("on_press_field",)

    def on_press_field(self) -> None:
        """Event: the field was pressed."""


load_kv(__file__)
