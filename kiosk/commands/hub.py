"""`kiosk hub`: set up the yard's PostgreSQL, join it, leave it, tell how the kiosks stand, walk their chains."""

from __future__ import annotations

import argparse
import sys
from collections.abc import Callable
from pathlib import Path

from kiosk.commands.common import add_json, add_shop, print_json
from kiosk.entities import HubStanding
from kiosk.errors import ConfigError, HubUnavailable
from kiosk.one_window import only_window
from kiosk.records.hub.address import HubAddress, write_secret
from kiosk.records.hub.exchange import Exchange
from kiosk.records.hub.moving_in import MovedIn, move_in, parted
from kiosk.records.hub.setting_up import SetUp, set_up
from kiosk.records.hub.walk import HubReport, walk_hub
from kiosk.shop import Shop


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Declare the subcommands and their options."""
    does = parser.add_subparsers(dest="does", metavar="status|init|join|leave|verify", required=True)
    status = does.add_parser("status", help="each kiosk: last seen, entries waiting, chain")
    join = does.add_parser("join", help="take everything in that the hub has, send what is here; also where the "
                                        "records part from the hub's")
    join.add_argument("--take-over", action="store_true",
                      help="this computer takes the place of the one that had this number")
    leave = does.add_parser("leave", help="send what waits and take leave; then remove 'hub' from kiosk.toml")
    verify = does.add_parser("verify", help="walk every chain at the hub and hold it against the entries here")
    for each in (status, join, leave, verify):
        add_shop(each)
    init = does.add_parser("init", help="make or update the hub, and accounts for kiosks; run by the database's owner")
    init.add_argument("url", help="address of the owner's account, without a secret: postgresql://owner@host/yard")
    init.add_argument("--secret", type=Path, metavar="FILE", help="file with the owner's secret, mode 0600")
    init.add_argument("--kiosk", type=int, action="append", default=[], metavar="N",
                      help="make an account for kiosk N, or give it a new secret; may be given several times")
    init.add_argument("--secrets-to", type=Path, default=Path("."), metavar="FOLDER",
                      help="where to write hub-NN.secret of each account (default: here)")
    for each in (status, join, leave, verify, init):
        add_json(each)


def run(options: argparse.Namespace) -> int:
    """Do what was asked; exit 1 where something must be looked into."""
    does: dict[str, Callable[[argparse.Namespace], int]] = {
        "status": _status, "init": _init, "join": _join, "leave": _leave, "verify": _verify}
    return does[options.does](options)


def _init(options: argparse.Namespace) -> int:
    wrong = [kiosk for kiosk in options.kiosk if not 0 <= kiosk <= 99]
    if wrong:
        raise ConfigError(f"A kiosk's number is 0 to 99, not {wrong[0]}.")
    files = {kiosk: options.secrets_to / f"hub-{kiosk:02d}.secret" for kiosk in options.kiosk}
    there = next((path for path in files.values() if path.exists()), None)
    if there is not None:
        raise ConfigError(f"{there} is there already; a secret is never overwritten. Remove it first.")
    connection = HubAddress(options.url, options.secret).connect("kiosk hub init")
    try:
        done = set_up(connection, options.kiosk)
    finally:
        connection.close()
    for kiosk, path in files.items():
        write_secret(path, done.secrets[kiosk])
    _tell_set_up(done, files, options.json)
    return 0


def _tell_set_up(done: SetUp, files: dict[int, Path], as_json: bool) -> None:
    if as_json:
        print_json({"version": done.version, "made": done.made,
                    "secrets": {kiosk: str(path) for kiosk, path in files.items()}})
        return
    print(f"The hub is at version {done.version}{' now' if done.made else ', as it was'}.")
    for kiosk, path in files.items():
        print(f"Kiosk {kiosk}: carry {path} to its shop's folder as hub.secret, mode 0600.")


def _join(options: argparse.Namespace) -> int:
    with only_window(options.shop):
        moved = _move_in(options)
        with Shop.open(options.shop) as shop:
            exchange = shop.exchange()
            shop.records.try_again_with_all()
            try:
                standing = exchange.step(_progress())
            finally:
                exchange.close()
    if moved is not None:
        print(f"The records were made anew from the hub; {moved.carried} entries that stood only here were entered "
              f"again. The old file is {moved.kept}.", file=sys.stderr)
        for sentence in moved.refused:
            print(f"Not entered again: {sentence}", file=sys.stderr)
    return _tell(standing, options.json)


def _move_in(options: argparse.Namespace) -> MovedIn | None:
    """Make the records anew from the hub where they part from it; None where they do not."""
    with Shop.open(options.shop) as shop:
        exchange = shop.exchange()
        if options.take_over:
            exchange.take_over()
        link = exchange.link()
        try:
            is_parted = bool(parted(shop.records, link))
        finally:
            link.close()
        path, kiosk, exchange_of = shop.records.path, shop.config.kiosk, shop.exchange_of
    return move_in(path, kiosk, exchange_of, _progress()) if is_parted else None


def _leave(options: argparse.Namespace) -> int:
    with only_window(options.shop), Shop.open(options.shop) as shop:
        shop.exchange().leave()
    answer = "This kiosk left the hub; its entries stay there. Remove 'hub' from kiosk.toml."
    print_json({"left": True}) if options.json else print(answer)
    return 0


def _status(options: argparse.Namespace) -> int:
    with Shop.open(options.shop) as shop:
        exchange = shop.exchange()
        try:
            standing = exchange.look()
        except HubUnavailable as error:
            standing = exchange.standing(error)
        finally:
            exchange.close()
    return _tell(standing, options.json)


def _verify(options: argparse.Namespace) -> int:
    with Shop.open(options.shop) as shop:
        exchange: Exchange = shop.exchange()
        link = exchange.link()
        try:
            report = walk_hub(link, shop.records.hash_at)
        finally:
            link.close()
    print_json(report) if options.json else _tell_report(report)
    return 1 if report.bad or report.apart else 0


def _tell_report(report: HubReport) -> None:
    print(f"{report.entries} entries at the hub.")
    for kiosk, head in report.heads.items():
        print(f"kiosk {kiosk}: last entry {head.seq}, head {head.hash}")
    for bad in report.bad:
        print(f"Kiosk {bad.kiosk}, entry {bad.seq}: {bad.reason}")
    for kiosk, first, count, _ in report.apart:
        print(f"Kiosk {kiosk}: {count} entries from {first} on are kept apart; they do not follow.")


def _tell(standing: HubStanding, as_json: bool) -> int:
    print_json(standing) if as_json else _print(standing)
    return 1 if standing.is_alone or standing.trouble or any(each.trouble for each in standing.kiosks) else 0


def _print(standing: HubStanding) -> None:
    if standing.is_alone:
        print(standing.why)
    print(f"Last exchange: {standing.contact_at or 'never'}; {standing.waiting} to send, {standing.coming} to come.")
    if standing.trouble:
        print(standing.trouble)
    for each in standing.kiosks:
        seen = f"{each.seen_at:%Y-%m-%d %H:%M}" if each.seen_at else "never seen"
        print(f"kiosk {each.number}: {seen}, {each.waiting} wait there, {each.last_here} of {each.last_at_hub} here"
              f"{', left' if each.left else ''}{'. ' + each.trouble if each.trouble else ''}")


def _progress() -> Callable[[int, int], None] | None:
    def show(done: int, total: int) -> None:
        if sys.stderr.isatty() and total:
            filled = done * 30 // total
            print(f"\r[{'#' * filled}{' ' * (30 - filled)}] {done} of {total}", end="\n" if done >= total else "",
                  file=sys.stderr, flush=True)

    return show
