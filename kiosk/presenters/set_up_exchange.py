"""Take the set-up out, bring a prepared one in: on a stick or in the shop's folder, told line by line first."""

from __future__ import annotations

from pathlib import Path

from kiosk.language import N_, tr
from kiosk.presenters.navigation import Navigation
from kiosk.presenters.parts import PageRow
from kiosk.presenters.set_up_page import SetUpPage
from kiosk.presenters.set_up_ports import PreparedSetUp
from kiosk.presenters.words import FINE, NOTHING, counted

LINES_A_TIME = 40


class ExchangePage(SetUpPage):
    """Where to, and where from."""

    title = N_("Take out, bring in")

    def rows(self) -> tuple[PageRow, ...]:
        """Return the folders that it can go to, then those with a prepared set-up."""
        out = [PageRow(f"out {path}", tr("Take the set-up out"), (tr("to {folder}").format(folder=path),), NOTHING)
               for path in self.set_up.ways_out()]
        into = [PageRow(f"in {path}", tr("Bring in a prepared set-up"), (tr("from {folder}").format(folder=path),),
                        NOTHING) for path in self.set_up.prepared()]
        none = PageRow("none", tr("Nothing is prepared"), (tr("Plug in a stick with tables, then come here again"),),
                       NOTHING, enabled=False)
        return (*out, *(into or [none]))

    def pressed(self, key: str) -> None:
        """Take it out, or look through what comes in."""
        way, _, path = key.partition(" ")
        if way == "in":
            self.desk.open_page(IntakePage(self.desk, Path(path)))
            return
        set_up = self.set_up

        def take_out() -> str:
            counts = set_up.take_out(Path(path))
            said = ", ".join(f"{count} {what}" for what, count in counts.items())
            return tr("Taken out to {folder}: {what}").format(folder=path, what=said)

        self.later(take_out, tr("Writing the tables"))


class IntakePage(SetUpPage):
    """What a prepared set-up would change, line by line, then all of it or nothing."""

    title = N_("Bring in a prepared set-up")
    empty_text = N_("It says what is on record already; nothing would change.")

    def __init__(self, desk: Navigation, path: Path) -> None:
        super().__init__(desk)
        self._prepared: PreparedSetUp = self.set_up.look_through(path, self.by)
        self._first, self._is_in = 0, False
        self.note = tr("{changes} would change something, {unchanged} say what is on record already.").format(
            changes=counted(len(self._prepared.lines), "line"), unchanged=counted(self._prepared.unchanged, "line"))

    def rows(self) -> tuple[PageRow, ...]:
        """Return the way to bring it in, and the lines, so many at a time."""
        lines = self._prepared.lines
        if not lines or self._is_in:
            return ()
        shown = lines[self._first:self._first + LINES_A_TIME]
        rows = [PageRow("in", tr("Bring all of it in"), (tr("All of it, or nothing"),), FINE)]
        if len(lines) > LINES_A_TIME:
            rows.append(PageRow("more", tr("More lines"), (tr("{first} to {last} of {all}").format(
                first=self._first + 1, last=self._first + len(shown), all=len(lines)),), NOTHING))
        return (*rows, *(self._line(self._first + at, line) for at, line in enumerate(shown)))

    def _line(self, at: int, line: str) -> PageRow:
        where, _, change = line.partition(": ")
        return PageRow(f"line {at}", change, (where,), NOTHING, enabled=False)

    def pressed(self, key: str) -> None:
        """Bring it in, or show more lines."""
        if key == "more":
            self._first = self._first + LINES_A_TIME if self._first + LINES_A_TIME < len(self._prepared.lines) else 0
        elif key == "in" and not self._is_in:
            self.set_up.bring_in(self._prepared)
            self._is_in = True
            self.empty_text = tr("Brought in.")
            self.done(tr("{lines} are on record.").format(lines=counted(len(self._prepared.lines), "line")))
