"""`precheck compare FILE --since DATE`, `precheck compare OLD NEW`: what moved, and by what."""

from __future__ import annotations

import argparse
import sys
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, Any

from precheck.cli.common import add_common, asked, documents, judging, rulebook, the_day
from precheck.cli.output import CannotJudge, write
from precheck.model.catalogue import Day
from precheck.read.dates import read_date
from precheck.read.fault import Fault
from precheck.read.show import visible

if TYPE_CHECKING:
    from precheck.answer.corners import Past
    from precheck.model.document import Document
    from precheck.rulebook.book import Rulebook


def add_to(verbs: Any) -> None:
    parser = verbs.add_parser(
        "compare",
        help="what is new, worse, better, run out or mended since a day?",
        description="One vehicle then and now. With one FILE the old side is what was known on the day of "
        "--since; with OLD and NEW it is the older file, on the day of its last visit or of --since. "
        "Exit: as of the gate for the new side; 2 could not judge.",
        allow_abbrev=False,
    )
    parser.add_argument("files", metavar="FILE", nargs="+", help="one condition document, or OLD NEW")
    parser.add_argument("--since", metavar="DATE", help="the old day, YYYY-MM-DD")
    parser.add_argument("--on", metavar="DATE", help="the day, YYYY-MM-DD; today if left out")
    parser.add_argument("--for", dest="uses", metavar="USE,...", help="what for: yard, proving, night ...")
    parser.add_argument("--sources", metavar="ID,...", help="which sources judge besides the floor")
    parser.add_argument(
        "--rules-then",
        metavar="FILE",
        action="append",
        default=[],
        help="a local rule file of the old side, where it had others than --rules; repeatable",
    )
    parser.add_argument(
        "--no-rules-then", action="store_true", help="the old side had no local rule file at all"
    )
    parser.add_argument("--find", metavar="WORD", default="", help="list the notes that hold a word")
    add_common(parser, ("text", "json", "html"))
    parser.set_defaults(run=run)


def run(options: argparse.Namespace) -> int:
    from precheck.answer.compare import compare

    if len(options.files) > 2:
        raise _wrong(f"{len(options.files)} files", "one FILE with --since DATE, or OLD NEW")
    if options.no_rules_then and options.rules_then:
        raise _wrong("--no-rules-then beside --rules-then", "one of them")
    day, since = the_day(options.on), _since(options)
    if since is not None and since > day.date:
        raise _wrong(f"--since {since} is after the day, {day.date}", "a day on or before the day judged")
    book = rulebook(options)
    request = asked(options, book, day)
    document, past = _sides(options, book, day, since)
    with judging():
        found = compare(document, book, request, past, options.find)
    if options.form == "json":
        from precheck.report.as_json import rendered

        text = rendered("compare", found)
    elif options.form == "html":
        from precheck.report.html.said import compare_page

        text = compare_page(found)
    else:
        from precheck.report.compare import render

        text = render(found, letters=True)
    inputs = [Path(name) for name in (*options.files, *options.rules, *options.rules_then)]
    write(text, options.out, sys.stdout, inputs)
    return found.exit_code


def _since(options: argparse.Namespace) -> date | None:
    if options.since is None:
        if len(options.files) == 1:
            raise _wrong("one file and no --since", "the old day: --since 2026-10-03, or an older file")
        return None
    got = read_date(options.since)
    if isinstance(got, Fault):
        raise CannotJudge(
            f"precheck: --since {visible(options.since)}: {got.found}; expected {got.expected}; {got.write}\n"
        )
    return got


def _sides(
    options: argparse.Namespace, book: Rulebook, day: Day, since: date | None
) -> tuple[Document, Past]:
    """The new document, and the old side as read by the rules of each side."""
    from precheck.answer.compare import day_of_last_visit
    from precheck.answer.corners import Past, up_to

    moved = options.no_rules_then or options.rules_then
    before = rulebook(argparse.Namespace(rules=options.rules_then)) if moved else book
    # An older file may hold visits after the day asked: they are left out, so its day counts as given.
    lenient = Day(day.date, True) if len(options.files) == 2 else day
    old, new = options.files[0], options.files[-1]
    document = documents([new], book, day)[0]
    new_by_then = documents([new], before, day)[0] if moved else document
    if len(options.files) == 1:
        by_now, of_then = document, new_by_then
    else:
        by_now = documents([old], book, lenient)[0]
        of_then = documents([old], before, lenient)[0] if moved else by_now
    then = since or min(day_of_last_visit(by_now, day.date), day.date)
    return document, Past(up_to(of_then, then), Day(then, True), before, up_to(by_now, then), new_by_then)


def _wrong(found: str, expected: str) -> CannotJudge:
    return CannotJudge(f"precheck: compare: {found}; expected {expected}\n")
