"""Sends this kiosk's own new entries to the hub and brings the others' in. Run on a thread of its own.

Nothing is remembered that is not also found out again: what the hub has of us is asked when the connection opens, what
we have of the others stands in our journal. So a kill at any point, a lost answer or a batch sent twice changes
nothing. Where two chains part, nothing is merged: the entries that do not follow are kept apart, here and at the hub.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from datetime import datetime, timedelta

from kiosk.entities import HubStanding, OtherKiosk
from kiosk.errors import HubUnavailable
from kiosk.language import tr, trn
from kiosk.records.chain import GENESIS
from kiosk.records.hub.address import HubAddress
from kiosk.records.hub.link import AtHub, HubLink
from kiosk.records.incoming import KEPT_APART, Row, Stop
from kiosk.records.verify import Head
from kiosk.records.yard_records import YardRecords

# So many entries go at a time: a transaction stays short on both sides.
PUSHED_AT_A_TIME = 500
MOST_PULLED = 2_000
LEAST_OF_EACH = 40
MOST_BYTES = 4_000_000
NOTED_EVERY = timedelta(minutes=1)
_NONE = Head(0, GENESIS)

Progress = Callable[[int, int], None]


class Exchange:
    """Exchanges entries until `close`; `step` may be called again after any error.

    Args:
        records: Of this kiosk. `kiosk`: its number.
        address: Where the hub is. `box`: which computer this is. `program`: which version runs here.
        clock: The time now. Aware UTC.
    """

    def __init__(self, records: YardRecords, kiosk: int, address: HubAddress, box: str, program: str,
                 clock: Callable[[], datetime]) -> None:
        self._records, self._kiosk, self._address = records, kiosk, address
        self._box, self._program, self._clock = box, program, clock
        self._link: HubLink | None = None
        self._at_hub = _NONE
        self._stops: dict[int, Stop] = {}
        self._kiosks: dict[int, AtHub] = {}
        self._trouble = ""
        self._contact: datetime | None = None
        self.hurry: Callable[[], bool] = lambda: False

    def close(self) -> None:
        """Close the connection; closing twice does no harm."""
        if self._link is not None:
            self._link.close()
            self._link = None

    def step(self, progress: Progress | None = None) -> HubStanding:
        """Exchange everything there is to exchange now.

        Raises:
            HubUnavailable: the hub is away or refuses; what was exchanged so far stays.
            StoreUnavailable: this kiosk's disk.
        """
        try:
            link = self._opened()
            self._push(link)
            self._pull(link, progress)
            waiting = self._waiting()
            link.report(waiting, self._chain_words())
            self._note_contact()
        except BaseException:
            self.close()
            raise
        return self.standing()

    def look(self) -> HubStanding:
        """Ask the hub how everybody stands; nothing is exchanged."""
        link = self.link()
        try:
            self._kiosks = link.kiosks()
        finally:
            link.close()
        own = self._kiosks.get(self._kiosk)
        self._at_hub = own.head if own else _NONE
        return self.standing()

    def link(self) -> HubLink:
        """Return a new connection; the caller closes it."""
        return HubLink(self._address, self._box)

    def take_over(self) -> None:
        """Go under this kiosk's number from now on, whatever computer did before."""
        link = self.link()
        try:
            link.greet(self._program, take_over=True)
        finally:
            link.close()

    def leave(self) -> None:
        """Send what waits, then take leave of the hub."""
        self.step()
        assert self._link is not None
        self._link.leave()
        self.close()

    def standing(self, error: HubUnavailable | None = None) -> HubStanding:
        """Return how things stand, after an error too."""
        at = self._contact or self._records.hub_contact()[0]
        kept = self._records.kept_apart()
        heads = self._records.heads()
        kiosks = tuple(self._other(each, heads, kept) for each in self._kiosks.values() if each.number != self._kiosk)
        coming = sum(max(0, each.last_at_hub - each.last_here) for each in kiosks)
        return HubStanding(at, error is not None, "" if error is None else error.operator_message, self._waiting(),
                           coming, self._trouble or self._records.hub_note("trouble"), kiosks)

    # --- the connection, and what the hub has of us ---

    def _opened(self) -> HubLink:
        if self._link is None:
            self._link = self.link()
            self._at_hub = self._link.greet(self._program)
            self._compare_own(self._link)
        return self._link

    def _compare_own(self, link: HubLink) -> None:
        """Hold the hub's last entry of this kiosk against our own: the same, behind, ahead, or another."""
        own = self._records.own_head() or _NONE
        hub = self._at_hub
        if hub.seq > own.seq and (own.seq == 0 or link.hash_at(self._kiosk, own.seq) == own.hash):
            self._take_back(link, own, hub)
        elif hub.seq and self._records.hash_at(self._kiosk, hub.seq) != hub.hash:
            self._set_apart(link)

    def _take_back(self, link: HubLink, own: Head, hub: Head) -> None:
        """Our end is missing here: an old copy was restored, or the disk lost it. The hub still has it."""
        last = own.seq
        while rows := link.fetch({self._kiosk: last}, MOST_PULLED):
            self._records.take_in(rows, self._clock())
            last = rows[-1][1]
        self._work_in()
        lost = hub.seq - own.seq
        self._note_trouble(trn(
            "{n} entry of this kiosk was missing here and came back from the hub (from number {first} on). An old copy "
            "was restored, or the end was cut off.",
            "{n} entries of this kiosk were missing here and came back from the hub (from number {first} on). An old "
            "copy was restored, or the end was cut off.", lost).format(n=lost, first=own.seq + 1))

    def _set_apart(self, link: HubLink) -> None:
        """Another chain goes under our number. Ours is not sent into it; it is kept beside it, and told."""
        parted = last_in_common(self._records, link, self._kiosk,
                                min((self._records.own_head() or _NONE).seq, self._at_hub.seq))
        last = parted
        while rows := self._records.own_rows(last, PUSHED_AT_A_TIME):
            link.set_apart(rows)
            last = rows[-1][1]
        sentence = tr("The records of this kiosk and those the hub has of kiosk {number} part at entry {seq}: two "
                      "computers wrote under this number, or an old copy was restored and written to. Entries from "
                      "there on are kept apart. If another computer has this number, give this one a number of its own "
                      "in kiosk.toml. Then run 'kiosk hub join' here.").format(number=self._kiosk, seq=parted + 1)
        self._note_trouble(sentence)
        raise HubUnavailable(sentence, f"parted at {parted + 1}", "forked")

    def _note_contact(self) -> None:
        """Remember the contact, on disk only now and then: each time is a commit of its own."""
        now = self._clock()
        noted, seq = self._records.hub_contact()
        self._contact = now
        if noted is None or abs(now - noted) >= NOTED_EVERY or seq != self._at_hub.seq:
            self._records.note_contact(now, self._at_hub.seq)

    def _note_trouble(self, sentence: str) -> None:
        self._trouble = sentence
        self._records.write_hub_note("trouble", sentence)

    # --- there and back ---

    def _push(self, link: HubLink) -> None:
        while rows := _fitting(self._records.own_rows(self._at_hub.seq, PUSHED_AT_A_TIME)):
            last = link.append(rows)
            self._at_hub = Head(last, rows[-1][-1])

    def _pull(self, link: HubLink, progress: Progress | None) -> None:
        """Bring in what is new of everybody who can be taken in."""
        total = None
        while True:
            wanted = self._wanted(link)
            total = sum(wanted.values()) if total is None else total
            heads = self._records.heads()
            most = max(LEAST_OF_EACH, MOST_PULLED // max(1, len(wanted)))
            rows = _evenly(link.fetch({kiosk: heads.get(kiosk, _NONE).seq for kiosk in wanted}, most), most)
            if not rows:
                break
            taken, self._stops = self._records.take_in(rows, self._clock())
            if progress:
                progress(total - sum(self._wanted(link).values()), total)
            if not taken:
                break
            if progress is None:  # while somebody joins, all is worked in at the end
                self._work_in()
        self._work_in()

    def _wanted(self, link: HubLink) -> dict[int, int]:
        """Return {kiosk: how many of its entries are at the hub and not here}, and note whose chains part."""
        self._kiosks = link.kiosks()
        heads, kept = self._records.heads(), self._records.kept_apart()
        wanted = {}
        for number, there in self._kiosks.items():
            here = heads.get(number, _NONE)
            if number == self._kiosk or number in kept:
                continue
            if there.head.seq > here.seq:
                wanted[number] = there.head.seq - here.seq
            elif there.head.seq and self._records.hash_at(number, there.head.seq) != there.head.hash:
                self._records.take_in(link.fetch({number: there.head.seq - 1}, 1), self._clock())
        return wanted

    def _work_in(self) -> None:
        while not self._records.work_in():
            if self.hurry():
                return

    # --- words ---

    def _waiting(self) -> int:
        own = self._records.own_head() or _NONE
        return max(0, own.seq - max(self._at_hub.seq, self._records.hub_contact()[1]))

    def _chain_words(self) -> str:
        """Return what is wrong with chains as seen from here, for the others' supervisors; '' if nothing."""
        return " ".join(reason for _, reason in self._records.kept_apart().values())

    def _other(self, there: AtHub, heads: Mapping[int, Head], kept: Mapping[int, tuple[int, str]]) -> OtherKiosk:
        stop = self._stops.get(there.number)
        trouble = kept[there.number][1] if there.number in kept else ""
        if not trouble and stop is not None and stop.why not in KEPT_APART:
            trouble = stop.sentence
        return OtherKiosk(there.number, heads.get(there.number, _NONE).seq, there.head.seq, there.seen_at,
                          there.waiting, trouble, there.chain, there.left_at is not None)


def last_in_common(records: YardRecords, link: HubLink, kiosk: int, both: int) -> int:
    """Return the number of the last entry of a kiosk that is the same here and at the hub; a chain parts only once.

    Args:
        both: Up to here both have entries.
    """
    low, high = 0, both
    if both and records.hash_at(kiosk, both) == link.hash_at(kiosk, both):
        return both
    while low < high:
        middle = (low + high + 1) // 2
        if records.hash_at(kiosk, middle) == link.hash_at(kiosk, middle):
            low = middle
        else:
            high = middle - 1
    return low


def _fitting(rows: list[Row]) -> list[Row]:
    """Return as many of the rows as go in one message, one at least."""
    size = 0
    fitting: list[Row] = []
    for row in rows:
        size += len(row[6])
        if fitting and size > MOST_BYTES:
            break
        fitting.append(row)
    return fitting


def _evenly(rows: list[Row], most: int) -> list[Row]:
    """Return what lies before the time up to which every kiosk's entries were fetched, so that tables go on with time.

    Of a kiosk from which `most` rows came there may be more. Each kiosk's stay in their order: its latest time so far
    holds for entries that its clock put before it.
    """
    latest: dict[int, str] = {}
    counts: dict[int, int] = {}
    timed = []
    for row in rows:
        latest[row[0]] = max(row[3], latest.get(row[0], ""))
        counts[row[0]] = counts.get(row[0], 0) + 1
        timed.append((latest[row[0]], row))
    horizon = min((latest[kiosk] for kiosk, count in counts.items() if count >= most), default="~")
    return [row for at, row in timed if at <= horizon]
