"""`precheck sheet FILE`: what is still to measure, by position of the vehicle."""

from __future__ import annotations

import argparse
import sys
from pathlib import Path
from typing import TYPE_CHECKING, Any

from precheck.cli.common import add_common, asked, chosen, documents, judging, rulebook, the_day
from precheck.cli.output import CannotJudge, write
from precheck.read.near import near
from precheck.read.show import visible
from precheck.rulebook.book import Rulebook

if TYPE_CHECKING:
    from precheck.answer.card_record import Card


def add_to(verbs: Any) -> None:
    parser = verbs.add_parser(
        "sheet",
        help="what is still to measure, to print and take along",
        description="What is still to measure or to look at, in the order the vehicle allows, with the limit "
        "that will judge it. Without --for it is about the next rung above the highest GO. Exit: as of the "
        "gate; 2 could not judge.",
        allow_abbrev=False,
    )
    parser.add_argument("file", metavar="FILE", help="a condition document")
    parser.add_argument("--for", dest="uses", metavar="USE,...", help="what for: yard, proving, night ...")
    parser.add_argument("--at", metavar="POSITION,...", help="only at these: ground, seat, hood, under ...")
    parser.add_argument("--tools", metavar="TOOL,...", help="only with these: lamp, ruler, air gauge ...")
    parser.add_argument(
        "--card", choices=("before", "after"), help="a short card instead: before the drive, or after it"
    )
    parser.add_argument("--on", metavar="DATE", help="the day, YYYY-MM-DD; today if left out")
    parser.add_argument("--sources", metavar="ID,...", help="which sources judge besides the floor")
    add_common(parser, ("text", "json", "html"))
    parser.set_defaults(run=run)


def run(options: argparse.Namespace) -> int:
    from precheck.answer.card import card
    from precheck.answer.sheet import Wanted, sheet

    day = the_day(options.on)
    book = rulebook(options)
    request = asked(options, book, day)
    at = chosen(options.at, "--at", book.access)
    tools = _tools(options.tools, book) if options.tools is not None else None
    document = documents([options.file], book, day)[0]
    with judging():
        if options.card:
            return _card(options, card(document, book, request, options.card))
        found = sheet(document, book, Wanted(day, request.uses, request.sources, at, tools))
    if options.form == "json":
        from precheck.report.as_json import rendered

        text = rendered("sheet", found)
    elif options.form == "html":
        from precheck.report.html.sheet import sheet_page

        text = sheet_page(found)
    else:
        from precheck.report.sheet import render

        text = render(found, letters=True)
    write(text, options.out, sys.stdout, [Path(name) for name in (options.file, *options.rules)])
    return found.exit_code


def _card(options: argparse.Namespace, found: Card) -> int:
    if options.form == "json":
        from precheck.report.as_json import rendered

        text = rendered("card", found)
    elif options.form == "html":
        from precheck.report.html.card import card_page

        text = card_page(found)
    else:
        from precheck.report.card import render

        text = render(found, letters=True)
    write(text, options.out, sys.stdout, [Path(name) for name in (options.file, *options.rules)])
    return found.exit_code


def _tools(word: str, book: Rulebook) -> tuple[str, ...]:
    """The tools somebody has; an empty list is none. Raises CannotJudge for one the catalogue has not."""
    from precheck.answer.tools import known_tools, tool_words

    names = tuple(dict.fromkeys(" ".join(part.split()).lower() for part in word.split(",") if part.strip()))
    known = tool_words(book)
    for name in names:
        if name not in known:
            close = near(name, known)
            hint = f"; did you mean {' or '.join(close)}?" if close else ""
            raise CannotJudge(
                f"precheck: --tools '{visible(name)}' is not known{hint}\n"
                f"  one of: {', '.join(known_tools(book))}\n"
            )
    return names
