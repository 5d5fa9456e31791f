"""`kiosk life [KIND]`: which parts do not last, left and right, and which positions are worse than chance."""

from __future__ import annotations

import argparse

from kiosk.commands.common import add_json, add_shop, print_json
from kiosk.life_study import LifeStudy, group_words, life_study
from kiosk.report_book import kind_of_part
from kiosk.shop import Shop


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Declare the command's options."""
    add_shop(parser)
    parser.add_argument("kind", nargs="?", default="", help="key or title of a service sheet (default: every kind)")
    add_json(parser)


def run(options: argparse.Namespace) -> int:
    """Print what the lives of one kind of part, or of every kind, say."""
    with Shop.open(options.shop) as shop:
        kinds = [kind_of_part(shop.sheets, options.kind)] if options.kind else [
            sheet.key for sheet in shop.sheets.sheets()]
        studies = [life_study(shop.records, shop.sheets, kind) for kind in kinds]
    if options.json:
        print_json([_plain(study) for study in studies])
        return 0
    for study in studies:
        if options.kind or study.groups[0].failures:
            _print(study)
    return 0


def _plain(study: LifeStudy) -> dict[str, object]:
    groups = [{"name": group.name, "failed": group.failures, "running": len(group.lives) - group.failures,
               "weibull": group.fit, "why_not": group.why_not, "curve": group.curve} for group in study.groups]
    return {"kind": study.sheet, "title": study.title, "groups": groups, "positions": study.positions}


def _print(study: LifeStudy) -> None:
    print(study.title)
    for group in study.groups:
        print(f"  {group.name}: {group_words(group)}")
    for each in study.positions:
        if each.is_worse:
            print(f"  worse than chance: {each.name}: {each.failures} failed in {each.hours:,.0f} h, "
                  f"{each.expected:.1f} expected")
