"""Several contents in one place, one shown at a time: each child carries `shown_as`, `shown` names the one on show."""

from __future__ import annotations

from kivy.properties import StringProperty
from kivy.uix.relativelayout import RelativeLayout
from kivy.uix.widget import Widget


class Faces(RelativeLayout):
    """Shows the child whose `shown_as` is `shown`, over its whole place; the others are taken off."""

    shown = StringProperty("")

    def __init__(self, **kwargs: object) -> None:
        self._all: list[Widget] = []
        super().__init__(**kwargs)

    def on_kv_post(self, base: object) -> None:
        """Take the children that the .kv file gave, and put one of them on."""
        self._all = list(reversed(self.children))
        self.fbind("shown", self._put_on)
        self._put_on()

    def _put_on(self, *_: object) -> None:
        self.clear_widgets()
        for child in self._all:
            if child.shown_as == self.shown:
                self.add_widget(child)
