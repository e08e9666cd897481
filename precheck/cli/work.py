"""`precheck work FILE`: what to mend first, what may wait, what to buy, what to look at again."""

from __future__ import annotations

import argparse
import sys
from pathlib import Path
from typing import Any

from precheck.cli.common import add_common, asked, documents, judging, rulebook, the_day
from precheck.cli.output import stop, write


def add_to(verbs: Any) -> None:
    parser = verbs.add_parser(
        "work",
        help="what to mend first, what may wait and until when, what to buy",
        description="Repairs in the order in which they open uses, what may wait and until when, the parts "
        "with their sizes as taken, and work done that was not looked at again yet. Without --for it is "
        "about the lowest use that something stands against. Exit: as of the gate; 2 could not judge.",
        allow_abbrev=False,
    )
    parser.add_argument("file", metavar="FILE", help="a condition document")
    parser.add_argument("--for", dest="uses", metavar="USE,...", help="what for: yard, proving, night ...")
    parser.add_argument("--on", metavar="DATE", help="the day, YYYY-MM-DD; today if left out")
    parser.add_argument("--sources", metavar="ID,...", help="which sources judge besides the floor")
    only = parser.add_mutually_exclusive_group()
    only.add_argument("--parts", action="store_true", help="the list of parts alone, for the counter")
    only.add_argument(
        "--after",
        metavar="WORK[@PLACE]",
        help="what this work would make void, before you start: brake-hose-replaced@lf",
    )
    add_common(parser, ("text", "json", "html"))
    parser.set_defaults(run=run)


def run(options: argparse.Namespace) -> int:
    from precheck.answer.work import Unreadable, work

    day = the_day(options.on)
    book = rulebook(options)
    request = asked(options, book, day)
    document = documents([options.file], book, day)[0]
    try:
        with judging():
            found = work(document, book, request, options.after)
    except Unreadable as unreadable:
        raise stop(unreadable.problems) from unreadable
    if options.form == "json":
        from precheck.report.as_json import rendered

        text = rendered("work", found)
    elif options.form == "html":
        from precheck.report.html.work import work_page

        text = work_page(found, parts_only=options.parts)
    else:
        from precheck.report.work import render

        text = render(found, letters=True, parts_only=options.parts)
    write(text, options.out, sys.stdout, [Path(name) for name in (options.file, *options.rules)])
    return found.exit_code
