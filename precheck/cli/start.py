"""`precheck start FILE`: a first document, from options and from answers at a terminal."""

from __future__ import annotations

import argparse
import os
import sys
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any

from precheck.cli.common import rulebook, the_day
from precheck.cli.jot import the_name
from precheck.cli.output import CannotJudge, emit
from precheck.model.record import replace
from precheck.read.near import near
from precheck.read.show import problem_lines, visible

if TYPE_CHECKING:
    from precheck.model.catalogue import Day, Point
    from precheck.rulebook.book import Rulebook

# The commonest facts have an option of their own; every other fact goes by --set.
_OPTIONS = (
    ("called", "called", "NAME", "what you call the vehicle"),
    ("region", "region", "ID", "where it is used: us, gb, de ... (precheck show region)"),
    ("class", "vehicle-class", "CLASS", "car, van, light truck ..."),
    ("built", "build-date", "DATE", "1966, 1966-04"),
    ("weight-rating", "gross-weight-rating", "WEIGHT", '"7500 lb"'),
    ("brake-circuits", "brake-circuit-layout", "LAYOUT", '"one hydraulic circuit" ...'),
    ("front-brakes", "front-brake-type", "TYPE", "drum, disc, none"),
    ("rear-brakes", "rear-brake-type", "TYPE", "drum, disc, none"),
    ("voltage", "system-voltage", "VOLTAGE", '"12 V negative ground" ...'),
    ("rear-wheels", "rear-wheels", "HOW", "single, dual"),
    ("driven-wheels", "driven-wheels", "WHICH", "rear, front, all"),
)
_TRIES = 5


def add_to(verbs: Any) -> None:
    parser = verbs.add_parser(
        "start",
        help="write a first condition document",
        description="Writes a new condition document from options, and asks at a terminal for what they "
        "leave out. The answer unknown is always taken. No file is ever overwritten. It judges nothing. "
        "Exit: 0 written, 2 not.",
        allow_abbrev=False,
    )
    parser.add_argument("file", metavar="FILE", type=Path, help="the new document")
    for name, fact, metavar, words in _OPTIONS:
        parser.add_argument(f"--{name}", dest=f"fact_{fact}", metavar=metavar, help=words)
    parser.add_argument(
        "--set",
        dest="more",
        metavar="FACT=VALUE",
        action="append",
        default=[],
        help="any other fact (precheck show facts lists them); repeatable",
    )
    parser.add_argument("--not-fitted", metavar="FACT,...", help="equipment that it does not have")
    parser.add_argument("--by", metavar="NAME", help="who will look")
    parser.add_argument("--on", metavar="DATE", help="the day, YYYY-MM-DD; today if left out")
    parser.add_argument("--no-questions", action="store_true", help="do not ask, at a terminal either")
    parser.add_argument(
        "--rules", metavar="FILE", action="append", default=[], help="a local rule file; repeatable"
    )
    parser.set_defaults(run=run)


def run(options: argparse.Namespace) -> int:
    from precheck.answer.start import start
    from precheck.cli.save import create
    from precheck.report.start import render

    if os.path.lexists(options.file):
        raise CannotJudge(
            f"precheck: {visible(str(options.file))} is there already, and nothing is overwritten;\n"
            f"  name another file, or add to this one: precheck jot {visible(str(options.file))} LINE\n"
        )
    day, by = the_day(options.on), the_name(options.by)
    book = rulebook(options)
    facts = told(options, book, day)
    if sys.stdin.isatty() and not options.no_questions:
        facts |= asked(facts, _terminal, book, day)
    try:
        text, found = start(facts, str(options.file), book, day, by)
    except ValueError as error:
        raise CannotJudge(f"precheck: {visible(str(error))}; nothing was written\n") from error
    create(options.file, text)
    emit(render(found, letters=True), sys.stdout)
    return 0


def told(options: argparse.Namespace, book: Rulebook, day: Day) -> dict[str, str]:
    """The facts that the options say. Raises CannotJudge with everything wrong in them."""
    given: list[tuple[str, str, str]] = []
    wrong: list[str] = []
    for name, fact, _, _ in _OPTIONS:
        value = getattr(options, f"fact_{fact}")
        if value is not None:
            given.append((f"--{name}", fact, value))
    for said in options.more:
        fact, sign, value = said.partition("=")
        if not sign:
            wrong.append(f"--set '{visible(said)}': expected FACT=VALUE, such as --set transmission=manual")
        given += [("--set", fact.strip(), value)] if sign else []
    for fact in (options.not_fitted or "").split(","):
        given += [("--not-fitted", fact.strip(), "not fitted")] if fact.strip() else []
    facts: dict[str, str] = {}
    for option, fact, value in given:
        value = " ".join(value.split())
        fault = _fault(fact, value, book, day)
        if fault:
            wrong.append(f"{option} {visible(fact)}={visible(value)}\n{fault}")
        elif facts.get(fact, value) != value:
            wrong.append(f"{option} {fact}={value}: {fact} is '{facts[fact]}' already; say it once")
        facts[fact] = value
    if wrong:
        raise CannotJudge("\n".join([*(f"precheck: {line}" for line in wrong), "nothing was written", ""]))
    return facts


def asked(facts: dict[str, str], ask: Callable[[str], str], book: Rulebook, day: Day) -> dict[str, str]:
    """The answers of a person to what is not said yet; an empty one leaves the fact open."""
    from precheck.answer.start import equipment, first_facts

    out: dict[str, str] = {}
    emit("An empty answer leaves it open; the word unknown is an answer.\n", sys.stderr)
    for point in first_facts(book):
        if point.id not in facts:
            value = _asked(point, ask, book, day)
            out |= {point.id: value} if value else {}
    names = [p.id for p in equipment(book) if p.id not in facts]
    for _ in range(_TRIES):
        line = ask(
            f"Which of these does it NOT have? Names with commas between; empty: not said yet\n"
            f"{_wrapped(names)}\n> "
        )
        said = [name.strip() for name in line.split(",") if name.strip()]
        strange = [name for name in said if name not in names]
        if not strange:
            return out | dict.fromkeys(said, "not fitted")
        for name in strange:
            emit(f"'{visible(name)}' is not among them{_hint(name, names)}\n", sys.stderr)
    raise CannotJudge("precheck: no answer that can be read; nothing was written\n")


def _asked(point: Point, ask: Callable[[str], str], book: Rulebook, day: Day) -> str:
    choice = f"\n  {_wrapped(point.states, ' / ')}" if point.states else ""
    for _ in range(_TRIES):
        value = " ".join(ask(f"{point.question or point.observe}{choice}\n> ").split())
        fault = _fault(point.id, value, book, day) if value else ""
        if not fault:
            return value
        emit(f"{fault}\n", sys.stderr)
    raise CannotJudge(f"precheck: no answer to {point.id} that can be read; nothing was written\n")


def _fault(fact: str, value: str, book: Rulebook, day: Day) -> str:
    """What is wrong with an answer, in lines; empty where nothing is."""
    from precheck.answer.start import problem_of

    facts = [p.id for p in book.points.values() if p.fact]
    if fact not in facts:
        return f"  '{visible(fact)}' is no fact{_hint(fact, facts)} (precheck show facts)"
    if not value:
        return "  nothing is said; expected an answer, or the word unknown"
    problem = problem_of(fact, value, book, day)
    if problem is None:
        return ""
    lines = problem_lines(replace(problem, text=""))
    start = next(i for i, line in enumerate(lines) if line.startswith("  expected: "))
    return "\n".join([f"  {visible(problem.found)}", *lines[start:]])


def _hint(name: str, known: Sequence[str]) -> str:
    close = near(name, known)
    return f"; did you mean {' or '.join(close)}?" if close else ""


def _wrapped(words: Sequence[str], between: str = ", ") -> str:
    import textwrap

    return "\n  ".join(textwrap.wrap(between.join(words), 76, break_on_hyphens=False))


def _terminal(prompt: str) -> str:
    emit(prompt, sys.stderr)
    line = sys.stdin.readline()
    if not line:
        raise CannotJudge("precheck: the answers ended; nothing was written\n")
    return line.strip()
