"""`precheck gate FILE...`: the verdict."""

from __future__ import annotations

import argparse
import sys
from pathlib import Path
from typing import Any

from precheck.cli.common import add_common, chosen, documents, rulebook, the_day
from precheck.cli.output import CannotJudge, write
from precheck.cli.several import run as run_several
from precheck.cli.several import several

# Of several files the worst counts: could not judge, NO-GO, UNDECIDED, GO.
_ORDER = (2, 1, 3, 0)


def add_to(verbs: Any) -> None:
    parser = verbs.add_parser(
        "gate",
        help="may it be used for this, on this day?",
        description="The verdict for a condition document. Exit: 0 GO, 1 NO-GO, 3 UNDECIDED, 2 could not "
        "judge. Without --for the whole ladder is shown, and the exit code is never 0.",
        allow_abbrev=False,
    )
    parser.add_argument("files", metavar="FILE", nargs="+", help="condition documents")
    parser.add_argument("--for", dest="uses", metavar="USE,...", help="what for: yard, proving, night ...")
    parser.add_argument("--on", metavar="DATE", help="the day, YYYY-MM-DD; today if left out")
    parser.add_argument("--sources", metavar="ID,...", help="which sources judge besides the floor")
    add_common(parser, ("text", "json", "html"))
    parser.set_defaults(run=run)


def run(options: argparse.Namespace) -> int:
    from precheck.answer.gate import Gate, Request
    from precheck.engine.faults import EngineFault

    if options.form == "html" and len(options.files) > 1:
        raise CannotJudge("precheck: --as html writes one page about one document; name one file at a time\n")
    day = the_day(options.on)
    book = rulebook(options)
    uses = chosen(options.uses, "--for", book.uses)
    sources = chosen(options.sources, "--sources", book.sources) if options.sources is not None else None
    if several(options.files):
        return run_several(options, book, Request(day, uses, sources))
    found = documents(options.files, book, day)
    request = Request(day, uses, sources, full=options.form == "json")
    try:
        gates = [Gate(document, book, request) for document in found]
        answers = [gate.answer() for gate in gates]
    except EngineFault as fault:
        raise CannotJudge(
            f"precheck: could not judge: {fault}\nThis is a fault of precheck, and no verdict.\n"
        ) from fault
    if options.form == "json":
        from precheck.report.as_json import render as as_json

        texts = [as_json(answer) for answer in answers]
    elif options.form == "html":
        from precheck.answer.plan import plan
        from precheck.report.html.gate import render as as_html

        texts = [as_html(answer, plan(gate, answer)) for gate, answer in zip(gates, answers, strict=True)]
    else:
        from precheck.report.text import render as as_text

        texts = [as_text(answer, letters=True) for answer in answers]
    inputs = [Path(name) for name in (*options.files, *options.rules)]
    write("\n".join(texts), options.out, sys.stdout, inputs)
    codes = {answer.exit_code for answer in answers}
    return next(code for code in _ORDER if code in codes)
