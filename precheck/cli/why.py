"""`precheck why FILE [POINT or RULE][@PLACE]`: the reasons, and what would change them."""

from __future__ import annotations

import argparse
import sys
from pathlib import Path
from typing import Any

from precheck.cli.common import add_common, asked, documents, judging, rulebook, the_day
from precheck.cli.output import CannotJudge, write
from precheck.read.show import visible


def add_to(verbs: Any) -> None:
    parser = verbs.add_parser(
        "why",
        help="why is it so, and what would change it?",
        description="Without a name every reason behind the verdict, the shortest way first. With a point, a "
        "rule, a fact or a derived value, with or without @place, that in full: also where it passes, does "
        "not apply or is set aside. Exit: as of the gate; 2 for a name that matches nothing.",
        allow_abbrev=False,
    )
    parser.add_argument("file", metavar="FILE", help="a condition document")
    parser.add_argument("asked", metavar="POINT|RULE[@PLACE]", nargs="?", help="tire-pressure-cold@lr ...")
    parser.add_argument("--for", dest="uses", metavar="USE,...", help="what for: yard, proving, night ...")
    parser.add_argument("--on", metavar="DATE", help="the day, YYYY-MM-DD; today if left out")
    parser.add_argument("--sources", metavar="ID,...", help="which sources judge besides the floor")
    add_common(parser, ("text", "json", "html"))
    parser.set_defaults(run=run)


def run(options: argparse.Namespace) -> int:
    from precheck.answer.why import NoSuch, explain

    day = the_day(options.on)
    book = rulebook(options)
    request = asked(options, book, day)
    document = documents([options.file], book, day)[0]
    try:
        with judging():
            found = explain(document, book, request, options.asked)
    except NoSuch as none:
        hint = f"  did you mean {' or '.join(none.near)}?\n" if none.near else ""
        raise CannotJudge(
            f"precheck: {visible(none.found)}\n  expected: {visible(none.expected)}\n{visible(hint[:-1])}\n"
        ) from none
    if options.form == "json":
        from precheck.report.as_json import rendered

        text = rendered("why", found)
    elif options.form == "html":
        from precheck.report.html.said import why_page

        text = why_page(found)
    else:
        from precheck.report.why import render

        text = render(found, letters=True)
    write(text, options.out, sys.stdout, [Path(name) for name in (options.file, *options.rules)])
    return found.exit_code
