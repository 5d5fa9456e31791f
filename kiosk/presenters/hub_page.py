"""The kiosks of the yard: how each stands with the hub, and what two of them entered against each other."""

from __future__ import annotations

from datetime import datetime

from kiosk.entities import HubStanding, OtherKiosk
from kiosk.errors import NotFound
from kiosk.events import ConflictSettled, FindingClosed
from kiosk.language import N_, tr, trn
from kiosk.presenters.pages import PagePresenter
from kiosk.presenters.parts import BAD, DUE, PageRow
from kiosk.presenters.words import FINE, NOTHING, mark, sentence_case, when_text

PARTED = mark(N_("look into it"), BAD)
AWAY = mark(N_("alone"), DUE)
BEHIND = mark(N_("waiting"), DUE)


class HubPage(PagePresenter):
    """Each kiosk with what waits and how its chain is; above them what must be looked into."""

    title = N_("Kiosks of the yard")

    def rows(self) -> tuple[PageRow, ...]:
        """Return what is to be settled, this kiosk, then the others."""
        standing = self.helpers.hub_watch.standing() if self.helpers.hub_watch else None
        others = standing.kiosks if standing else ()
        return (*self._conflicts(), self._own_row(standing), *map(self._other_row, others))

    def typed_text(self, key: str, text: str) -> None:
        """Settle what two kiosks entered against each other, with what was found."""
        conflict = next((each for each in self.helpers.records.open_conflicts() if each.id == key), None)
        if conflict is None:
            raise NotFound(tr("This is settled already."))
        payload = (ConflictSettled(conflict.id, text) if conflict.finding_id is None
                   else FindingClosed(conflict.finding_id, text))
        self.helpers.records.append(self.desk.session.event(payload))
        self.note = tr("It is settled.")
        self.helpers.feedback("saved")

    def _conflicts(self) -> tuple[PageRow, ...]:
        return tuple(
            PageRow(each.id, sentence_case(tr(each.kind.value)), (each.text,), PARTED,
                    tr("What was found, and what holds now?"))
            for each in self.helpers.records.open_conflicts())

    def _own_row(self, standing: HubStanding | None) -> PageRow:
        title = tr("This kiosk")
        if standing is None:
            return PageRow("own", title, (tr("No exchange yet."),), NOTHING, enabled=False)
        lines = [tr("Last exchange {when}").format(when=self._when(standing.contact_at)),
                 trn("{n} entry to send", "{n} entries to send", standing.waiting).format(n=standing.waiting)]
        if standing.coming:
            lines.append(trn("{n} entry of others to come", "{n} entries of others to come", standing.coming).format(
                n=standing.coming))
        lines += [text for text in (standing.why if standing.is_alone else "", standing.trouble) if text]
        state = PARTED if standing.trouble else AWAY if standing.is_alone else FINE
        return PageRow("own", title, tuple(dict.fromkeys(lines)), state, enabled=False)

    def _other_row(self, other: OtherKiosk) -> PageRow:
        lines = [tr("Last seen {when}").format(when=self._when(other.seen_at))]
        if other.waiting:
            lines.append(trn("{n} entry waits there", "{n} entries wait there", other.waiting).format(n=other.waiting))
        missing = other.last_at_hub - other.last_here
        if missing > 0:
            lines.append(trn("{n} entry not here yet", "{n} entries not here yet", missing).format(n=missing))
        if other.left:
            lines.append(tr("It left the yard."))
        lines += [text for text in (other.trouble, other.chain) if text]
        state = PARTED if other.trouble or other.chain else BEHIND if missing > 0 or other.waiting else FINE
        return PageRow(f"kiosk-{other.number}", tr("Kiosk {number}").format(number=other.number),
                       tuple(lines), state, enabled=False)

    def _when(self, at: datetime | None) -> str:
        if at is None:
            return tr("never")
        return when_text(at, self.helpers.clock(), self.helpers.settings.zone)
