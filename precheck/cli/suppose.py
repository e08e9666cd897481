"""`precheck suppose FILE LINE...`: the gate again as if the lines were found."""

from __future__ import annotations

import argparse
import sys
from pathlib import Path
from typing import Any

from precheck.cli.common import add_common, asked, documents, judging, rulebook, the_day
from precheck.cli.output import stop, write


def add_to(verbs: Any) -> None:
    parser = verbs.add_parser(
        "suppose",
        help="what would the gate say if ...?",
        description="Judges the document as it is and with the readings of the lines added, and shows what "
        "moves. Writes nothing. Exit: 1 NO-GO, 3 anything better, 2 could not judge; never 0.",
        allow_abbrev=False,
    )
    parser.add_argument("file", metavar="FILE", help="a condition document")
    parser.add_argument("lines", metavar="LINE", nargs="+", help='"lr pressure 36 psi; rear wheels dual"')
    parser.add_argument("--for", dest="uses", metavar="USE,...", help="what for: yard, proving, night ...")
    parser.add_argument("--on", metavar="DATE", help="the day, YYYY-MM-DD; today if left out")
    parser.add_argument("--sources", metavar="ID,...", help="which sources judge besides the floor")
    add_common(parser, ("text", "json", "html"))
    parser.set_defaults(run=run)


def run(options: argparse.Namespace) -> int:
    from precheck.answer.suppose import Unreadable, suppose

    day = the_day(options.on)
    book = rulebook(options)
    request = asked(options, book, day)
    document = documents([options.file], book, day)[0]
    try:
        with judging():
            found = suppose(document, book, request, options.lines)
    except Unreadable as unreadable:
        raise stop(unreadable.problems) from unreadable
    if options.form == "json":
        from precheck.report.as_json import rendered

        text = rendered("suppose", found)
    elif options.form == "html":
        from precheck.report.html.said import suppose_page

        text = suppose_page(found)
    else:
        from precheck.report.suppose import render

        text = render(found, letters=True)
    write(text, options.out, sys.stdout, [Path(name) for name in (options.file, *options.rules)])
    return found.exit_code
