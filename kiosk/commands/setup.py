"""`kiosk setup TASK`: make a yard, add units, parts, people, change sheets; take all of it out, bring one in.

What the set-up's pages do at the kiosk, at the desk; entries are made without a person, as the set-up's.
"""

from __future__ import annotations

import argparse
from collections.abc import Callable
from pathlib import Path

from kiosk.commands.common import add_json, add_shop, find_unit, print_json
from kiosk.commands.label_prints import person_id
from kiosk.entities import Role, Side
from kiosk.errors import RecordError
from kiosk.presenters.set_up_ports import FirstYard, NewPlace
from kiosk.records.ids import new_id
from kiosk.set_up import founding
from kiosk.set_up.desk import SetUpDesk
from kiosk.set_up.intake import Intake
from kiosk.set_up.sheet_draft import TomlDraft
from kiosk.set_up.templates import unit_templates
from kiosk.shop import Shop

Answer = tuple[object, str]
"""What a task answers: as JSON, and in words."""


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Declare what can be done and its options."""
    add_shop(parser)
    tasks = parser.add_subparsers(dest="task", metavar="TASK", required=True)
    for name, summary, declare in (
        ("new", "make a shop's folder with a yard and its first supervisor", _declare_new),
        ("out", "write yard, units, positions, parts, crew, labels and sheets into a folder", _declare_out),
        ("in", "bring in a prepared set-up: a folder, or one file of it", _declare_in),
        ("templates", "list the templates of units", lambda _: None),
        ("unit", "add a unit from a template, with its parts and label numbers", _declare_unit),
        ("position", "add a position to a unit", _declare_position),
        ("part", "put a part on record at an empty position", _declare_part),
        ("person", "add a person with a badge number, change or retire one", _declare_person),
        ("sheet", "change a service sheet and put its next revision into force", _declare_sheet),
    ):
        task = tasks.add_parser(name, help=summary, description=summary[0].upper() + summary[1:] + ".")
        declare(task)
        add_json(task)


def run(options: argparse.Namespace) -> int:
    """Do what was asked for, and print the answer."""
    if options.task == "new":
        answer, words = _new(options)
    else:
        tasks: dict[str, Callable[[SetUpDesk, argparse.Namespace], Answer]] = {
            "out": _out, "in": _in, "templates": _templates, "unit": _unit, "position": _position, "part": _part,
            "person": _person, "sheet": _sheet}
        with Shop.open(options.shop) as shop:
            answer, words = tasks[options.task](desk_of(shop), options)
    if options.json:
        print_json(answer)
    else:
        print(words)
    return 0


def desk_of(shop: Shop) -> SetUpDesk:
    """Return the set-up of an open shop."""
    return SetUpDesk(shop, new_id)


# --- the first run ---


def _declare_new(task: argparse.ArgumentParser) -> None:
    begin = founding.guessed()
    task.add_argument("--yard", required=True, metavar="NAME", help="the yard's name")
    task.add_argument("--supervisor", required=True, metavar="NAME", help="the first supervisor; chooses a PIN with "
                      "the first scan of the badge, or by `kiosk pin set`")
    task.add_argument("--kiosk", type=int, default=begin.kiosk, metavar="N", help="this kiosk's number, 0 to 99")
    task.add_argument("--time-zone", default=begin.time_zone, metavar="ZONE", help="default: %(default)s")
    task.add_argument("--units", choices=("in", "mm"), default=begin.units, help="default: %(default)s")
    task.add_argument("--page", choices=("Letter", "A4"), default=begin.page, help="default: %(default)s")
    task.add_argument("--language", default=begin.language, help="default: %(default)s")


def _new(options: argparse.Namespace) -> Answer:
    first = FirstYard(options.yard, options.supervisor, options.kiosk, options.time_zone, options.units, options.page,
                      options.language)
    if founding.is_empty(options.shop):
        founding.make_folder(options.shop, first)
    with Shop.open(options.shop) as shop:
        desk = desk_of(shop)
        person = desk.record_founding(first)
        page = desk.print_badge(person.id, None)
    return ({"yard": first.yard, "supervisor": person.id, "badge": person.badge, "page": str(page)},
            f"{first.yard} is made. The badge of {person.name} is {person.badge}, printed as {page}.")


# --- out and in ---


def _declare_out(task: argparse.ArgumentParser) -> None:
    task.add_argument("folder", type=Path, help="new, empty, or with a set-up taken out before")


def _declare_in(task: argparse.ArgumentParser) -> None:
    task.add_argument("path", type=Path, help="the folder or file")
    task.add_argument("--dry-run", action="store_true", help="say line by line what would change, and change nothing")


def _out(desk: SetUpDesk, options: argparse.Namespace) -> Answer:
    counts = desk.take_out(options.folder)
    words = ", ".join(f"{count} {what}" for what, count in counts.items())
    return {"folder": str(options.folder), "written": counts}, f"{options.folder}: {words}"


def _in(desk: SetUpDesk, options: argparse.Namespace) -> Answer:
    intake = desk.look_through(options.path)
    if not options.dry_run:
        desk.bring_in(intake)
    end = "Nothing was changed: --dry-run." if options.dry_run else "On record."
    count = f"{len(intake.changes)} lines change something, {intake.unchanged} say what is on record already. {end}"
    return _intake_answer(intake, options.dry_run), "\n".join([*intake.lines, count])


def _intake_answer(intake: Intake, dry_run: bool) -> dict[str, object]:
    changes = [{"file": change.file, "line": change.line, "change": change.text} for change in intake.changes]
    return {"changes": changes, "unchanged": intake.unchanged, "brought_in": not dry_run}


# --- units ---


def _declare_unit(task: argparse.ArgumentParser) -> None:
    task.add_argument("name", help="the unit's name")
    task.add_argument("--template", required=True, choices=[template.key for template in unit_templates()])
    task.add_argument("--hours", type=float, default=0.0, help="what its hour meter says")
    task.add_argument("--labels", action="store_true", help="write its labels to one PDF of sheets")


def _declare_position(task: argparse.ArgumentParser) -> None:
    task.add_argument("unit", help="the unit's name, id or label")
    task.add_argument("name", help="the position's name")
    task.add_argument("--sheet", required=True, metavar="KEY", help="the service sheet of the part that sits there")
    task.add_argument("--side", choices=[side.value for side in Side], default="both")
    task.add_argument("--across", type=float, default=50.0, help="place on the drawing from its left edge, percent")
    task.add_argument("--up", type=float, default=50.0, help="place on the drawing from its lower edge, percent")


def _declare_part(task: argparse.ArgumentParser) -> None:
    task.add_argument("position", help="the position's id")
    task.add_argument("--description", default="", metavar="TEXT", help="what it is")
    task.add_argument("--properties", default="", metavar="TEXT", help="like 'bearing=UC208; mass_kg=0.45'")


def _templates(desk: SetUpDesk, options: argparse.Namespace) -> Answer:
    found = [{"key": one.key, "title": one.title, "positions": len(one.places)} for one in desk.templates()]
    return found, "\n".join(f"{one['key']}: {one['title']}, {one['positions']} positions" for one in found)


def _unit(desk: SetUpDesk, options: argparse.Namespace) -> Answer:
    unit_id = desk.add_unit(options.template, options.name, options.hours, None)
    parts = len(desk.shop.records.components_of_unit(unit_id))
    labels = str(desk.label_sheet(unit_id)) if options.labels else ""
    said = f"{options.name} is on record with {parts} parts." + (f" Labels: {labels}" if labels else "")
    return {"unit": unit_id, "parts": parts, "labels": labels}, said


def _position(desk: SetUpDesk, options: argparse.Namespace) -> Answer:
    place = NewPlace(options.name, options.sheet, Side(options.side), options.across / 100, options.up / 100)
    position = desk.add_place(find_unit(desk.shop, options.unit).id, place, None)
    return {"position": position}, f"{options.name} is on record as {position}."


def _part(desk: SetUpDesk, options: argparse.Namespace) -> Answer:
    desk.put_part(options.position, options.description, options.properties, None)
    part = desk.part_at(options.position)
    assert part is not None
    return {"part": part.id, "label": part.label}, f"The part is on record with the label {part.label}."


# --- crew ---


def _declare_person(task: argparse.ArgumentParser) -> None:
    task.add_argument("name", help="a new name; with --retire or --new-badge a name, badge or id of the crew")
    task.add_argument("--role", choices=[role.value for role in Role], default="mechanic")
    do = task.add_mutually_exclusive_group()
    do.add_argument("--retire", metavar="REASON", help="the badge counts no more; records stay")
    do.add_argument("--new-badge", metavar="REASON", help="the old badge counts no more, and why")


def _person(desk: SetUpDesk, options: argparse.Namespace) -> Answer:
    if options.retire:
        who = person_id(desk.shop, options.name)
        desk.retire(who, options.retire, None)
        return {"person": who, "retired": True}, f"The badge of {options.name} counts no more."
    if options.new_badge:
        person = desk.new_badge(person_id(desk.shop, options.name), options.new_badge, None)
    else:
        person = desk.add_person(options.name, Role(options.role), None)
    page = desk.print_badge(person.id, None)
    return ({"person": person.id, "badge": person.badge, "page": str(page)},
            f"The badge of {person.name} is {person.badge}, printed as {page}.")


# --- sheets ---


def _declare_sheet(task: argparse.ArgumentParser) -> None:
    task.add_argument("key", help="the sheet's key")
    task.add_argument("--set", dest="changes", action="append", default=[], metavar="WAY=VALUE",
                      help="like reading/shaft-play/upper_mm=0.5; a changed limit needs its source said too: "
                           "reading/shaft-play/source=…")
    task.add_argument("--dry-run", action="store_true", help="only say whether it could come into force")


def _sheet(desk: SetUpDesk, options: argparse.Namespace) -> Answer:
    draft = desk.edit_sheet(options.key)
    assert isinstance(draft, TomlDraft)
    for change in options.changes:
        way, sign, value = change.partition("=")
        if not sign:
            raise RecordError(f"'{change}' sets nothing; write it like reading/shaft-play/upper_mm=0.5.")
        draft.change(draft.find(way), value)
    problems = list(draft.problems())
    if not options.dry_run:
        desk.adopt(draft, None)
    answer = {"sheet": draft.key, "revision": draft.revision, "in_force": not options.dry_run, "problems": problems}
    could = "\n".join(problems) or f"Revision {draft.revision} of '{draft.title}' could come into force."
    return answer, could if options.dry_run else f"Revision {draft.revision} of '{draft.title}' is in force."
