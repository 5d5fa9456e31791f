"""Putting a backup in the place of the records: which backup, what would come of it, and doing it.

Looking and rehearsing are for leads as well; to restore takes a supervisor, and a PIN on top of the badge. While the
records can still be saved to, they are first opened to be read only: nobody may go on working in what is replaced.
"""

from __future__ import annotations

from kiosk.entities import Person, Role
from kiosk.errors import NotAllowed
from kiosk.language import N_, tr
from kiosk.presenters.base import ScreenPresenter
from kiosk.presenters.navigation import Navigation
from kiosk.presenters.pages import PagePresenter, require_lead
from kiosk.presenters.parts import GOOD, UNSURE, PageRow
from kiosk.presenters.ports import BackupCopy, RestoreOutcome, Restores
from kiosk.presenters.words import FINE, NOTHING, clock_text, mark

SHOWN = 6
"""So many backups are offered; older ones are put back at the desk."""


class RestorePage(PagePresenter):
    """The backups to choose from, newest first."""

    def __init__(self, desk: Navigation) -> None:
        super().__init__(desk)
        self.title = tr("Restore the records from a backup")
        self.empty_text = tr("There is no backup, neither in the shop's folder nor on the second disk. Put in the "
                             "stick with the backups and open this page again, or restore at the desk with "
                             "'kiosk restore'.")
        if restores_of(desk).can_restore:
            self.note = tr("Choose a backup: first it is only tried, and nothing is changed.")
        else:
            self.note = tr("The records can be saved to. To restore them all the same, the kiosk closes them first.")

    def rows(self) -> tuple[PageRow, ...]:
        """Return the backups, or the way to close records that are open."""
        if not restores_of(self.desk).can_restore:
            return (PageRow("tables", tr("Make the tables anew from the journal"),
                            (tr("If the kiosk said that they are not as the journal says. Nothing is lost by it."),),
                            NOTHING),
                    PageRow("close", tr("Close the records, to restore them"),
                            (tr("The kiosk starts again. Scan your badge once more then."),), NOTHING),)
        return tuple(self._row(copy, number == 0) for number, copy in enumerate(self._copies()))

    def _copies(self) -> tuple[BackupCopy, ...]:
        return restores_of(self.desk).backups()[:SHOWN]

    def _row(self, copy: BackupCopy, newest: bool) -> PageRow:
        taken = clock_text(copy.taken_at, self.helpers.settings.zone) if copy.taken_at else copy.path
        where = tr("on this kiosk's disk") if copy.is_here else tr("on the second disk")
        lines = (tr("the newest") if newest else "", f"{where}, {copy.size_bytes / 1e6:.1f} MB")
        return PageRow(copy.path, taken, tuple(line for line in lines if line), FINE if newest else NOTHING)

    def pressed(self, key: str) -> None:
        """Try a backup, or close the records."""
        restores = restores_of(self.desk)
        if key == "close":
            require_supervisor(self.desk)
            self.desk.prove(lambda: restores.start_again(to_restore=True))
            return
        if key == "tables":
            require_supervisor(self.desk)
            self.later(lambda: tr("The tables were made anew from {n} entries.").format(
                n=f"{restores.make_tables_anew():,}"), tr("Making the tables anew"))
            return
        copy = next(copy for copy in self._copies() if copy.path == key)
        self.note = tr("Trying the backup; nothing is changed …")
        self.helpers.run_slow(lambda: restores.rehearse(copy.path), lambda found: self._tried(copy, found),
                              self._failed, tr("Trying the backup"))

    def _tried(self, copy: BackupCopy, found: RestoreOutcome) -> None:
        self.note = ""
        if self.desk.is_current(self):
            self.desk.open_page(RehearsedPage(self.desk, copy, found))


class RehearsedPage(PagePresenter):
    """What would be there and what would be lost, and the way to do it."""

    def __init__(self, desk: Navigation, copy: BackupCopy, found: RestoreOutcome) -> None:
        super().__init__(desk)
        self._copy, self._found, self._busy = copy, found, False
        self.title = tr("This is what would be there")
        self.note = tr("Nothing was changed yet.")

    def rows(self) -> tuple[PageRow, ...]:
        """Return what the trial found, to be read, and the button."""
        found = self._found
        until = clock_text(found.until, self.helpers.settings.zone) if found.until else ""
        return (
            PageRow("copy", tr("From the backup: {n} entries").format(n=f"{found.entries:,}"),
                    (tr("the last of {at}").format(at=until),) if until else (), NOTHING, enabled=False),
            PageRow("carried", tr("Newer ones that can be saved from the old file: {n}").format(n=f"{found.carried:,}"),
                    (tr("Each is held against its hash."),), FINE if found.carried else NOTHING, enabled=False),
            self._lost_row(),
            PageRow("kept", tr("The old file is kept"), (tr("under another name, never overwritten"),), NOTHING,
                    enabled=False),
            PageRow("restore", tr("Restore now"), (tr("Takes a supervisor's badge and PIN. The kiosk starts again."),),
                    NOTHING, enabled=not self._busy),
        )

    def _lost_row(self) -> PageRow:
        found = self._found
        if found.lost:
            lines = [tr("Saved once, and not among the entries above.")]
            if found.stranded:
                lines.append(tr("{n} of them can be read in the old file.").format(n=f"{found.stranded:,}"))
            return PageRow("lost", tr("Lost: {n}").format(n=f"{found.lost:,}"), tuple(lines), mark(N_("lost"), UNSURE),
                           enabled=False)
        if found.is_known:
            return PageRow("lost", tr("Nothing that is known of is lost"), (), mark(N_("nothing lost"), GOOD),
                           enabled=False)
        return PageRow("lost", tr("How much is lost is not known"),
                       (tr("The old file cannot be read: all that was saved after the backup is lost."),),
                       mark(N_("not known"), UNSURE), enabled=False)

    def pressed(self, key: str) -> None:
        """Restore, once a supervisor has shown badge and PIN and said so again."""
        require_supervisor(self.desk)
        self.desk.prove(self._ask)

    def _ask(self) -> None:
        found = self._found
        lost = (tr("{n} saved entries are lost by it.").format(n=f"{found.lost:,}") if found.lost else "")
        self.ask(tr("Put this backup in the place of the records?"), {
            "yes": (tr("Yes, restore"), self._restore), "no": (tr("No"), lambda: None),
        }, lost)

    def _restore(self) -> None:
        person, restores, path = require_supervisor(self.desk), restores_of(self.desk), self._copy.path
        self._busy = True
        self.note = tr("Restoring; leave the kiosk switched on …")
        self.helpers.run_slow(lambda: restores.restore(path, person.id), self._restored, self._not_restored,
                              tr("Restoring"))

    def _restored(self, _found: RestoreOutcome) -> None:
        self.helpers.feedback("saved")
        restores_of(self.desk).start_again()

    def _not_restored(self, error: Exception) -> None:
        self._busy = False
        self._failed(error)


def offer(desk: Navigation, screen: ScreenPresenter, person: Person) -> None:
    """Ask a supervisor who just came whether to restore, where the records cannot be saved to."""
    restores = desk.helpers.restores
    if restores is None or not restores.can_restore or person.role is not Role.SUPERVISOR or screen.is_asking:
        return
    screen.ask(tr("Nothing can be saved to the records. Restore them from a backup?"), {
        "restore": (tr("Look at the backups"), lambda: desk.open_page(RestorePage(desk))),
        "no": (tr("Not now"), lambda: None),
    }, tr("A backup is tried first; nothing is changed by that."))


def restores_of(desk: Navigation) -> Restores:
    """Return who can restore.

    Raises:
        NotAllowed: nobody can, here.
    """
    restores = desk.helpers.restores
    if restores is None:
        raise NotAllowed(tr("Records are not restored here; use 'kiosk restore' at the desk."))
    return restores


def require_supervisor(desk: Navigation) -> Person:
    """Return the supervisor who is signed in.

    Raises:
        NotAllowed: somebody else is, or nobody.
    """
    person = require_lead(desk.session)
    if person.role is not Role.SUPERVISOR:
        raise NotAllowed(tr("This takes a supervisor; you are signed in as {role}.").format(role=person.role.value))
    return person
