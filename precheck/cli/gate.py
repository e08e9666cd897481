"""`precheck gate FILE...`: the verdict."""

from __future__ import annotations

import argparse
import sys
from pathlib import Path
from typing import Any

from precheck.cli.common import add_common, asked, documents, judging, rulebook, the_day
from precheck.cli.output import write
from precheck.cli.several import run as run_several
from precheck.cli.several import several
from precheck.model.record import replace


def add_to(verbs: Any) -> None:
    parser = verbs.add_parser(
        "gate",
        help="may it be used for this, on this day?",
        description="The verdict for a condition document; of several, or of a folder, a table with a line "
        "each. Exit: 0 GO, 1 NO-GO, 3 UNDECIDED, 2 could not judge; of several the worst. Without --for the "
        "whole ladder is shown, and the exit code is never 0.",
        allow_abbrev=False,
    )
    parser.add_argument("files", metavar="FILE", nargs="+", help="condition documents, or folders of them")
    parser.add_argument("--for", dest="uses", metavar="USE,...", help="what for: yard, proving, night ...")
    parser.add_argument("--on", metavar="DATE", help="the day, YYYY-MM-DD; today if left out")
    parser.add_argument("--sources", metavar="ID,...", help="which sources judge besides the floor")
    add_common(parser, ("text", "json", "html"))
    parser.set_defaults(run=run)


def run(options: argparse.Namespace) -> int:
    from precheck.answer.gate import Gate

    day = the_day(options.on)
    book = rulebook(options)
    request = asked(options, book, day)
    if several(options.files):
        return run_several(options, book, request)
    document = documents(options.files, book, day)[0]
    with judging():
        found = Gate(document, book, replace(request, full=options.form == "json"))
        answer = found.answer()
    if options.form == "json":
        from precheck.report.as_json import render as as_json

        text = as_json(answer)
    elif options.form == "html":
        from precheck.answer.plan import plan
        from precheck.report.html.gate import render as as_html

        text = as_html(answer, plan(found, answer), found.wear(answer.shown_for))
    else:
        from precheck.report.text import render as as_text

        text = as_text(answer, letters=True)
    write(text, options.out, sys.stdout, [Path(name) for name in (*options.files, *options.rules)])
    return answer.exit_code
