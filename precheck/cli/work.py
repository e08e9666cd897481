"""`precheck work FILE`: what to mend first, what may wait, what to buy, what to look at again."""

from __future__ import annotations

import argparse
import sys
from pathlib import Path
from typing import Any

from precheck.cli.common import add_common, chosen, documents, rulebook, the_day
from precheck.cli.output import CannotJudge, stop, write


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
    from precheck.answer.gate import Request
    from precheck.answer.work import Unreadable, work
    from precheck.engine.faults import EngineFault

    day = the_day(options.on)
    book = rulebook(options)
    uses = chosen(options.uses, "--for", book.uses)
    sources = chosen(options.sources, "--sources", book.sources) if options.sources is not None else None
    document = documents([options.file], book, day)[0]
    try:
        found = work(document, book, Request(day, uses, sources), options.after)
    except Unreadable as unreadable:
        raise stop(unreadable.problems) from unreadable
    except EngineFault as fault:
        raise CannotJudge(
            f"precheck: could not judge: {fault}\nThis is a fault of precheck, and no verdict.\n"
        ) from fault
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
