"""`kiosk reckon QUESTION …`: the shop-floor computations at a desk, with where each answer comes from.

Which question asks which function stands in `reckon_questions`; options and units are read from the functions'
signatures, formula and source from their docstrings. Where two sources disagree and none is chosen, the answer shows
both.
"""

from __future__ import annotations

import argparse
import dataclasses
import json
import re
import sys
from collections.abc import Callable, Iterator, Mapping, Sequence
from datetime import date, datetime, timedelta
from typing import Any, NamedTuple, get_type_hints

from kiosk import reckon_sure, units
from kiosk import reckon_words as words
from kiosk.errors import KioskError
from kiosk.reckon_questions import QUESTIONS
from kiosk.reckon_words import Asked

UNCERTAIN = ("uncertainty", "interval", "confidence", "chance", "probability", "_low", "_high", "low_", "high_",
             "earliest", "latest")
_NO_CLASS = re.compile(r"\b[A-Z][a-z]+[A-Z]\w*: ")


class Alternative(NamedTuple):
    """An argument over which printed sources disagree: what it may be, and what to tell the mechanic."""

    choices: Callable[[], Sequence[str]]
    note: Callable[[], str]


def _editions() -> Sequence[str]:
    from kiosk.calc.tables import load
    return tuple(load("bearing_factors")["life_factor"])


def _slack_cases() -> Sequence[str]:
    from kiosk.calc.slack import slack_rules
    return tuple(rule.name for rule in slack_rules())


def _why_slack_differs() -> str:
    from kiosk.calc.slack import why_rules_differ
    return why_rules_differ()


ALTERNATIVES = {
    ("bearing_life", "edition"): Alternative(_editions, lambda: (
        "Two editions of the life factor are in print and differ; ISO 281:2007 is the one in force.")),
    ("slack", "case"): Alternative(_slack_cases, _why_slack_differs),
}


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Add the question and whatever follows it; the question's own options are read when it is known."""
    parser.formatter_class = argparse.RawDescriptionHelpFormatter
    parser.epilog = "questions: " + ", ".join(QUESTIONS) + "\n\n`kiosk reckon QUESTION --help` shows what one asks for."
    parser.add_argument("question", nargs="?", metavar="QUESTION", help="what to work out; left out: list them all")
    parser.add_argument("rest", nargs=argparse.REMAINDER, help=argparse.SUPPRESS)


def run(args: argparse.Namespace) -> int:
    """Answer one question. Exit codes: 0 answered, 1 refused with a sentence on stderr, 2 usage."""
    if args.question is None:
        print("\n".join(f"{name:32}{_purpose(name)}" for name in QUESTIONS))
        return 2
    if args.question not in QUESTIONS:
        print(f"kiosk reckon: there is no question '{args.question}'; `kiosk reckon` lists them.", file=sys.stderr)
        return 2
    steps = [Step(path) for path in QUESTIONS[args.question]]
    asked = _asked(steps)
    options = _parser(args.question, asked).parse_args(args.rest)
    try:
        inputs = _inputs(asked, options)
        answers = _all_answers(steps, inputs)
        why = _why(steps, asked, inputs, answers, options) if options.why else {}
    except KioskError as error:
        print(f"kiosk reckon {args.question}: {error.operator_message}", file=sys.stderr)
        return 1
    _show(args.question, answers, why, options)
    return 0


class Step:
    """One function of a question's chain, and what it gives to the later ones."""

    def __init__(self, path: str) -> None:
        self.module, _, self.name = path.partition(".")
        self.function = words.function_named(path)
        self.kind = words.bare(get_type_hints(self.function).get("return"))

    def gives(self, name: str, kind: Any) -> bool:
        """Say whether this answer fills an argument: by its type, by its own name, or by the name of a part."""
        if dataclasses.is_dataclass(self.kind):
            return kind == self.kind or name in {field.name for field in dataclasses.fields(self.kind)}
        return self.name == name or self.name.endswith(f"_{name}")

    def part(self, answer: Any, name: str, kind: Any) -> Any:
        """Return the part of the answer that fills an argument."""
        return answer if not dataclasses.is_dataclass(self.kind) or kind == self.kind else getattr(answer, name)


def _purpose(question: str) -> str:
    return words.section(words.function_named(QUESTIONS[question][0]).__doc__, "").removeprefix("Return ")


def _asked(steps: Sequence[Step]) -> list[Asked]:
    """Return what the mechanic must say: what the functions ask for, less what earlier ones give.

    Where two functions mean different things by one name, the later one's is called by both names: 'predict_x'.
    """
    found: dict[str, Asked] = {}
    for place, step in enumerate(steps):
        for one in words.asked_of(step.function):
            if _giver(steps[:place], step, one.owner or one.name) is not None:
                continue
            if one.name in found and found[one.name].kind != one.kind:
                one = dataclasses.replace(one, name=f"{step.name}_{one.name}")
            if one.name not in found or one.is_needed:
                found[one.name] = one
    return list(found.values())


def _giver(earlier: Sequence[Step], step: Step, name: str) -> Step | None:
    kind = words.bare(get_type_hints(step.function)[name])
    return next((one for one in reversed(earlier) if one.gives(name, kind)), None)


def _parser(question: str, asked: Sequence[Asked]) -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(prog=f"kiosk reckon {question}", description=_purpose(question))
    for name, flags in words.options(asked).items():
        one = next(each for each in asked if each.name == name)
        details: dict[str, Any] = {"dest": name, "help": one.help.replace("%", "%%")}
        if one.kind is bool and one.default is not True:
            parser.add_argument(*flags, action="store_true", **details)
            continue
        row = {"nargs": "*"} if words.is_row(one.kind) or _is_named(one.kind) else {}
        parser.add_argument(*flags, required=one.is_needed and not _has_alternatives(one.name, question),
                            metavar=one.unit.upper().replace("%", "PERCENT") or "VALUE", **row, **details)
    parser.add_argument("--unit", choices=("mm", "in"), default="mm", help="unit of a bare length (default mm)")
    parser.add_argument("--json", action="store_true", help="print the answer as JSON")
    parser.add_argument("--why", action="store_true", help="print formula, inputs, source and how sure it is")
    return parser


def _is_named(kind: Any) -> bool:
    return getattr(kind, "__origin__", None) is Mapping


def _has_alternatives(name: str, question: str) -> bool:
    return any((path.partition(".")[0], name) in ALTERNATIVES for path in QUESTIONS[question])


def _inputs(asked: Sequence[Asked], options: argparse.Namespace) -> dict[str, Any]:
    """Return the arguments that were typed, each in the unit its function takes."""
    found = {}
    for one in asked:
        typed = getattr(options, one.name)
        if typed is not None and (typed is not False or one.is_needed):
            found[one.name] = _typed(one, typed, options.unit)
    return found


def _typed(one: Asked, typed: Any, length_unit: str) -> Any:
    if isinstance(typed, bool):
        return typed
    if _is_named(one.kind):
        return words.pairs(typed, length_unit)
    if words.is_row(one.kind):
        element = words.bare(one.kind.__args__[0])
        return tuple(words.value_of(text, element, one.unit, length_unit) for text in typed)
    return words.value_of(typed, one.kind, one.unit, length_unit)


def _all_answers(steps: Sequence[Step], inputs: Mapping[str, Any]) -> dict[str, Any]:
    """Answer once, or once for each of the sources that disagree when none was chosen."""
    for step in steps:
        for name in (one.name for one in words.asked_of(step.function)):
            alternative = ALTERNATIVES.get((step.module, name))
            if alternative and name not in inputs:
                answers = {choice: _tried(steps, {**inputs, name: choice}) for choice in alternative.choices()}
                if all(isinstance(answer, str) for answer in answers.values()):
                    return _answers(steps, {**inputs, name: alternative.choices()[0]})  # refuses in its own words
                return {**answers, "sources_disagree": alternative.note()}
    return _answers(steps, inputs)


def _tried(steps: Sequence[Step], inputs: Mapping[str, Any]) -> Any:
    """Return the answers by one source, or why that source has none."""
    try:
        return _answers(steps, inputs)
    except KioskError as error:
        return error.operator_message


def _answers(steps: Sequence[Step], inputs: Mapping[str, Any]) -> dict[str, Any]:
    """Call the functions in turn and return the answer of each by the function's name."""
    found: list[tuple[Step, Any]] = []
    for step in steps:
        arguments = _arguments(step, found, inputs)
        found.append((step, step.function(**arguments)))
    return {step.name: answer for step, answer in found}


def _arguments(step: Step, found: Sequence[tuple[Step, Any]], inputs: Mapping[str, Any]) -> dict[str, Any]:
    hints = get_type_hints(step.function)
    arguments: dict[str, Any] = {}
    laid_out: dict[str, dict[str, Any]] = {}
    for one in words.asked_of(step.function):
        name = one.owner or one.name
        giver = _giver([earlier for earlier, _ in found], step, name)
        if giver is not None:
            answer = next(each for earlier, each in found if earlier is giver)
            arguments[name] = giver.part(answer, name, words.bare(hints[name]))
        elif one.owner:
            given = {one.name: inputs[one.name]} if one.name in inputs else {}
            laid_out.setdefault(one.owner, {}).update(given)
        else:
            arguments[name] = inputs.get(f"{step.name}_{name}", inputs.get(name, one.default))
    return {**arguments, **{owner: words.bare(hints[owner])(**fields) for owner, fields in laid_out.items()}}


# --- showing ---


def _show(question: str, answers: Mapping[str, Any], why: Mapping[str, Any], options: argparse.Namespace) -> None:
    plain = {name: plain_value(answer, name) for name, answer in answers.items()}
    if options.json:
        answer = next(iter(plain.values())) if len(plain) == 1 else plain
        document = {"question": question, "answer": answer, **({"why": why} if why else {})}
        print(json.dumps(document, ensure_ascii=False, indent=1))
        return
    print("\n".join(_lines(plain)))
    if why:
        print("\n" + "\n".join(_lines(why)))


def _why(steps: Sequence[Step], asked: Sequence[Asked], inputs: Mapping[str, Any], answers: Mapping[str, Any],
         options: argparse.Namespace) -> dict[str, Any]:
    """Return what was asked with which inputs, by which formula, from which source, and how sure it is."""
    return {
        "what": [words.section(step.function.__doc__, "") for step in steps],
        "inputs": {one.name: _input(one, inputs) for one in asked if one.name in inputs or one.default is not None},
        "formula_and_source": [words.section(step.function.__doc__, "Source") or "stands in the answer"
                               for step in steps],
        "refused_when": sorted({_NO_CLASS.sub("", text) for step in steps
                                if (text := words.section(step.function.__doc__, "Raises"))}),
        "how_sure": _how_sure(answers) or "The formula carries no uncertainty of its own.",
        "if_each_number_typed_is_rounded_to_its_last_digit": _from_digits(steps, asked, inputs, options)
        or "Nothing was typed that rounding could move.",
    }


def _from_digits(steps: Sequence[Step], asked: Sequence[Asked], inputs: Mapping[str, Any],
                 options: argparse.Namespace) -> dict[str, Any]:
    """Return what rounding the typed numbers to their last digit does to the answer."""
    typed = {one.name: (inputs[one.name], _step(one, getattr(options, one.name), options.unit)) for one in asked
             if one.kind is float and one.name in inputs}
    return reckon_sure.from_digits(lambda moved: _all_answers(steps, {**inputs, **moved}), typed)


def _step(one: Asked, text: str, length_unit: str) -> float:
    """Return the worth of the last digit typed, in the unit that the function takes."""
    if words.is_length(text, one.unit):
        return reckon_sure.length_step_mm(text, length_unit)
    number = words.number_of(text)
    low, high = (words.quantity(text.replace(number, str(size), 1), one.unit, length_unit) for size in (0, 1))
    return (high - low) * reckon_sure.last_digit(number)


def _input(one: Asked, inputs: Mapping[str, Any]) -> Any:
    value = inputs.get(one.name, one.default)
    return plain_value(None if value is dataclasses.MISSING else value, one.name)


def _how_sure(answers: Mapping[str, Any]) -> dict[str, Any]:
    return {f"{name}.{part}": plain_value(value, part) for name, answer in answers.items()
            for part, value in _numbers(answer) if any(word in part for word in UNCERTAIN)}


def _numbers(answer: Any) -> Iterator[tuple[str, Any]]:
    if dataclasses.is_dataclass(answer) and not isinstance(answer, type):
        for field in dataclasses.fields(answer):
            value = getattr(answer, field.name)
            if isinstance(value, int | float) and not isinstance(value, bool):
                yield field.name, value
            else:
                yield from _numbers(value)
    elif isinstance(answer, Mapping):
        for value in answer.values():
            yield from _numbers(value)


def plain_value(value: Any, name: str) -> Any:
    """Return an answer as plain numbers, texts, lists and dicts; a number keeps its unit in its name."""
    if dataclasses.is_dataclass(value) and not isinstance(value, type):
        return {field.name: plain_value(getattr(value, field.name), field.name) for field in dataclasses.fields(value)}
    if isinstance(value, Mapping):
        return {str(key): plain_value(one, str(key)) for key, one in value.items()}
    if isinstance(value, tuple | list):
        return [plain_value(one, name) for one in value]
    if isinstance(value, date | datetime | timedelta):
        return str(value)
    return value.item() if hasattr(value, "item") else value


def _lines(values: Mapping[str, Any], indent: str = "") -> Iterator[str]:
    """Yield a dict as lines a person reads, each number with its unit."""
    for name, value in values.items():
        if value in ("", []):
            continue
        if isinstance(value, Mapping):
            yield f"{indent}{_title(name, value)}:"
            yield from _lines(value, indent + "  ")
        elif isinstance(value, list) and any(isinstance(one, Mapping | str) for one in value):
            yield f"{indent}{_title(name, value)}:"
            for one in value:
                yield from _entry(one, name, indent + "  ")
        else:
            yield f"{indent}{_title(name, value)}: {_shown(value, name)}"


def _entry(value: Any, name: str, indent: str) -> Iterator[str]:
    if isinstance(value, Mapping):
        first, *rest = _lines(value, indent + "  ")
        yield f"{indent}- {first.strip()}"
        yield from rest
    else:
        yield f"{indent}- {_shown(value, name)}"


def _title(name: str, value: Any) -> str:
    """A number shows its unit, so its name need not; a text's name stays whole."""
    function, dot, part = name.rpartition(".")
    short = part if isinstance(value, str) else words.without_unit(part)
    return (function + dot + short).replace("_", " ")


def _shown(value: Any, name: str) -> str:
    if value is None:
        return "-"
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, list):
        return ", ".join(_shown(one, name) for one in value)
    if isinstance(value, int | float):
        return _number(value, words.unit_of(name.rpartition(".")[2]))
    return str(value)


def _number(value: float, unit: str) -> str:
    text = f"{value:,.0f}" if isinstance(value, int) else f"{value:.5g}"
    if unit != "mm" or abs(value) > units.LONGEST_MM:
        return f"{text} {unit}".strip()
    return f"{text} mm ({units.nearest_fraction(value, 32).text} in)"
