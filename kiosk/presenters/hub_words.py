"""What the line on top of every screen says of the hub."""

from __future__ import annotations

from datetime import datetime, tzinfo

from kiosk.entities import HubStanding
from kiosk.language import date_short, tr


def hub_words(standing: HubStanding | None, now: datetime, zone: tzinfo) -> str:
    """Return the hub's words on the line on top of every screen, '' while all is well."""
    if standing is None:
        return ""
    if standing.trouble or any(other.trouble for other in standing.kiosks):
        return tr("Hub: tell the supervisor")
    if not standing.is_alone:
        return ""
    waiting = tr("{n} to send").format(n=standing.waiting)
    if standing.contact_at is None:
        return tr("Alone, {waiting}").format(waiting=waiting)
    local = standing.contact_at.astimezone(zone)
    when = f"{local:%H:%M}" if local.date() == now.astimezone(zone).date() else date_short(local.date())
    return tr("Alone since {when}, {waiting}").format(when=when, waiting=waiting)
