"""Options and steps that verbs share: the day, the uses, the rulebook, the document."""

from __future__ import annotations

import argparse
from collections.abc import Iterable, Iterator, Sequence
from contextlib import contextmanager
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

from precheck.cli.output import CannotJudge, stop
from precheck.model.catalogue import Day
from precheck.model.document import Document
from precheck.model.problem import Problem, Problems
from precheck.read.dates import read_date
from precheck.read.fault import Fault
from precheck.read.files import read_file
from precheck.read.near import near
from precheck.read.show import visible
from precheck.rulebook.book import Rulebook

if TYPE_CHECKING:
    from precheck.answer.gate import Request


def add_common(parser: argparse.ArgumentParser, forms: Sequence[str] = ("text", "json")) -> None:
    """`forms` are those the verb has; a verb takes no other."""
    parser.add_argument(
        "--rules", metavar="FILE", action="append", default=[], help="a local rule file; repeatable"
    )
    parser.add_argument("--as", dest="form", choices=forms, default="text", help="the form of the answer")
    parser.add_argument("--out", metavar="FILE", type=Path, help="write there instead of to the terminal")


def rulebook(options: argparse.Namespace) -> Rulebook:
    """The library with the added files. Raises CannotJudge with every problem."""
    from precheck.rulebook.load import load_quickly

    try:
        return load_quickly(added=[Path(name) for name in options.rules])
    except Problems as problems:
        raise stop(problems) from problems
    except FileNotFoundError as error:
        raise CannotJudge(f"precheck: {error}\n") from error


def the_day(word: str | None) -> Day:
    """The day judged: as given, or today, read once here and nowhere else."""
    if word is None:
        return Day(date.today(), False)
    got = read_date(word)
    if isinstance(got, Fault):
        found = f"{got.found}; expected {got.expected}; {got.write}"
        raise CannotJudge(f"precheck: --on {visible(word)}: {found}\n")
    return Day(got, True)


def chosen(word: str | None, what: str, known: Iterable[str]) -> tuple[str, ...]:
    """A comma list of known names, in the order written, each once."""
    if word is None:
        return ()
    names = [part.strip() for part in word.split(",")]
    choices = list(known)
    for name in names:
        if name not in choices:
            close = near(name, choices)
            hint = f"; did you mean {' or '.join(close)}?" if close else ""
            raise CannotJudge(
                f"precheck: {what} '{visible(name)}' is not known{hint}\n  one of: {', '.join(choices)}\n"
            )
    return tuple(dict.fromkeys(names))


def asked(options: argparse.Namespace, book: Rulebook, day: Day) -> Request:
    """What --for and --sources ask for. Raises CannotJudge for a name that is not known."""
    from precheck.answer.gate import Request

    uses = chosen(options.uses, "--for", book.uses)
    sources = chosen(options.sources, "--sources", book.sources) if options.sources is not None else None
    return Request(day, uses, sources)


@contextmanager
def judging() -> Iterator[None]:
    """What cannot be trusted ends the command without a verdict."""
    from precheck.engine.faults import EngineFault

    try:
        yield
    except EngineFault as fault:
        raise CannotJudge(
            f"precheck: could not judge: {fault}\nThis is a fault of precheck, and no verdict.\n"
        ) from fault


def documents(names: Sequence[str], book: Rulebook, day: Day) -> list[Document]:
    """Every file read and checked. Raises CannotJudge with the problems of all of them."""
    from precheck.settle.check import check

    found: list[Document] = []
    wrong: list[Problem] = []
    for name in names:
        source, problems = read_file(name)
        wrong += problems
        if source is None:
            continue
        document, problems = check(source, book, day)
        wrong += problems
        if document is not None:
            found.append(document)
    if wrong:
        raise stop(wrong)
    return found
