"""`precheck jot FILE LINE...`: what was found, written into the document; `--undo` takes the last back."""

from __future__ import annotations

import argparse
import sys
from collections.abc import Callable
from functools import partial
from typing import TYPE_CHECKING, Any

from precheck.cli.common import rulebook, the_day
from precheck.cli.output import CannotJudge, emit, problems_text
from precheck.model.problem import Problem
from precheck.read.fault import Fault
from precheck.read.files import read_bytes
from precheck.read.quantity import read_quantity
from precheck.read.show import visible

if TYPE_CHECKING:
    from precheck.answer.jotrecord import NotWritten
    from precheck.rulebook.book import Rulebook

_LONGEST_NAME = 80
_STDIN = "standard input"


def add_to(verbs: Any) -> None:
    parser = verbs.add_parser(
        "jot",
        help="write down what was found",
        description="Adds a visit with what the lines say to the document, and changes nothing else in it. "
        "What cannot be read is left out and told; the rest is written. It judges nothing. "
        "Exit: 0 all written, 2 something was not.",
        epilog='precheck jot FILE "lr tread 6 5 6; rr pressure 33 psi" "brake pedal firm told"',
        allow_abbrev=False,
    )
    parser.add_argument("file", metavar="FILE", help="a condition document")
    parser.add_argument("lines", metavar="LINE", nargs="*", help="what was found; a ; between readings")
    parser.add_argument("--from", dest="origin", metavar="FILE", help="take the lines from there; - is stdin")
    parser.add_argument(
        "--done", metavar="WORK", action="append", default=[], help='work done: "wheel cylinder replaced lr"'
    )
    parser.add_argument("--on", metavar="DATE", help="the day it was looked at; today if left out")
    parser.add_argument("--by", metavar="NAME", help="who looked; whoever looked last if left out")
    parser.add_argument("--drove", metavar="DISTANCE", help='how far it was driven: "12 mi"')
    parser.add_argument(
        "--not-reached", metavar="WHAT", action="append", default=[], help='"POINT@PLACE: why"'
    )
    parser.add_argument(
        "--nothing-found", metavar="WHAT", action="append", default=[], help='"SYSTEM: where you looked from"'
    )
    parser.add_argument("--undo", action="store_true", help="take the last jot back, and nothing else")
    parser.add_argument(
        "--rules", metavar="FILE", action="append", default=[], help="a local rule file; repeatable"
    )
    parser.set_defaults(run=run)
    parser.parse_known_args = partial(_lines_anywhere, parser.parse_known_args)


def _lines_anywhere(
    parse: Callable[..., tuple[argparse.Namespace, list[str]]], *given: Any
) -> tuple[argparse.Namespace, list[str]]:
    """Lines may stand after options too, where argparse by itself takes no further words."""
    found, rest = parse(*given)
    found.lines += [word for word in rest if not word.startswith("-")]
    return found, [word for word in rest if word.startswith("-")]


def run(options: argparse.Namespace) -> int:
    if options.undo:
        return _undo(options, rulebook(options))
    lines, origin = _lines(options)
    try:
        return _jot(options, lines, origin)
    except CannotJudge as stop:
        if options.origin == "-":  # nobody else has these lines any more
            said = "".join(f"  {visible(line)}\n" for line in lines)
            raise CannotJudge(f"{stop.text}These lines were not written:\n{said}") from stop
        raise


def _jot(options: argparse.Namespace, lines: tuple[str, ...], origin: str) -> int:
    from precheck.answer.jotrecord import NotWritten
    from precheck.answer.jotting import Wish, jot
    from precheck.cli.save import held
    from precheck.report.jot import render

    day = the_day(options.on)
    book = rulebook(options)
    wish = Wish(
        lines,
        origin,
        day,
        by=the_name(options.by),
        drove=_drove(options.drove, book),
        not_reached=tuple(options.not_reached),
        nothing_found=tuple(options.nothing_found),
    )
    with held(options.file) as file:
        try:
            new, found = jot(file.data, options.file, book, wish)
        except NotWritten as stop:
            raise _stopped(stop) from stop
        if new != file.data:
            file.replace(new)
    emit(render(found, letters=True), sys.stdout)
    return found.exit_code


def _undo(options: argparse.Namespace, book: Rulebook) -> int:
    from precheck.answer.jotrecord import NotWritten
    from precheck.answer.undoing import undo
    from precheck.cli.save import held
    from precheck.report.jot import render_undone

    others = (options.lines, options.origin, options.done, options.drove, options.not_reached)
    if any((*others, options.nothing_found)):
        raise CannotJudge("precheck: --undo takes the last jot back and writes nothing; say it alone\n")
    with held(options.file) as file:
        try:
            new, found = undo(file.data, options.file, book, the_day(options.on))
        except NotWritten as stop:
            raise _stopped(stop) from stop
        file.replace(new)
    emit(render_undone(found), sys.stdout)
    return 0


def _stopped(stop: NotWritten) -> CannotJudge:
    told = problems_text(stop.problems, "nothing was written") if stop.problems else ""
    return CannotJudge(f"precheck: {visible(stop.why)}\n{told}")


# -- what the options say -------------------------------------------------------------------------------


def _lines(options: argparse.Namespace) -> tuple[tuple[str, ...], str]:
    """The lines with something in them, and what problems call the place they come from."""
    if options.lines and options.origin:
        raise CannotJudge("precheck: lines on the command line, or --from a file; not both\n")
    lines, origin = list(options.lines), "jot"
    if options.origin == "-":
        lines, origin = sys.stdin.buffer.read().decode("utf-8", "surrogateescape").splitlines(), _STDIN
    elif options.origin:
        data = read_bytes(options.origin, options.origin)
        if isinstance(data, Problem):
            raise CannotJudge(problems_text([data], "nothing was written"))
        lines, origin = data.decode("utf-8-sig", "surrogateescape").splitlines(), options.origin
    lines += [f"done {work}" for work in options.done]
    rest = (options.drove, options.not_reached, options.nothing_found)
    if not any(line.strip() for line in lines) and not any(rest):
        raise CannotJudge(
            "precheck: there is nothing to write down; say what was found\n"
            f'  such as: precheck jot {visible(options.file)} "lr tread 6 5 6; brake pedal firm"\n'
        )
    return tuple(lines), origin


def the_name(name: str | None) -> str:
    """The name as it is written; empty where none is given."""
    if name is None:
        return ""
    said = name.strip()
    if not said or len(said) > _LONGEST_NAME or visible(said) != said:
        raise CannotJudge(
            f"precheck: --by '{visible(name[:_LONGEST_NAME])}' is no name; expected visible text of at most "
            f"{_LONGEST_NAME} characters, such as: --by RO\n"
        )
    return said


def _drove(text: str | None, book: Rulebook) -> str:
    """The distance as it is written; empty where none is given."""
    if text is None:
        return ""
    got = read_quantity(" ".join(text.split()), book.units, dimension="length")
    if isinstance(got, Fault):
        how = "12.5 mi" if got.code == "no-unit" else got.write or "12.5 mi"
        raise CannotJudge(
            f"precheck: --drove '{visible(text)}': {visible(got.found)}; expected {got.expected}; "
            f"write {how}\n"
        )
    if not got.value.exact or got.value.low is None or got.value.low < 0:
        raise CannotJudge(
            f"precheck: --drove '{visible(text)}': expected one distance, 0 or more; write 12.5 mi\n"
        )
    return got.written
