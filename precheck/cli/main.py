"""The command `precheck`: one module a verb, the exit codes, and nothing that can end in a traceback.

Exit codes: 0 GO, 1 NO-GO, 3 UNDECIDED, 2 could not judge. Only 0 is go.
"""

from __future__ import annotations

import argparse
import os
import sys
from collections.abc import Sequence
from importlib import import_module

from precheck import __version__
from precheck.cli.output import CannotJudge, say

VERBS = ("gate", "why", "suppose", "compare", "work", "sheet", "show", "start", "jot", "rules")
COULD_NOT_JUDGE = 2


def parser(verb: str | None = None) -> argparse.ArgumentParser:
    """The command line: of one verb, or whole, for help and for completion.

    Only what is asked for is imported, so that a gate starts quickly.
    """
    top = argparse.ArgumentParser(
        prog="precheck",
        description="May this old vehicle be used for this purpose on this day? Exit: 0 GO, 1 NO-GO, "
        "3 UNDECIDED, 2 could not judge. Only 0 is go.",
        allow_abbrev=False,
    )
    top.add_argument("--version", action="version", version=f"precheck {__version__}")
    verbs = top.add_subparsers(dest="verb", metavar="VERB", required=True)
    for name in (verb,) if verb in VERBS else VERBS:
        import_module(f"precheck.cli.{name}").add_to(verbs)
    return top


def main(arguments: Sequence[str] | None = None) -> int:
    """Run one command; returns the exit code. Bad usage exits with 2 through argparse."""
    words = list(sys.argv[1:] if arguments is None else arguments)
    options = parser(words[0] if words else None).parse_args(words)
    try:
        code: int = options.run(options)
    except BrokenPipeError:
        raise
    except CannotJudge as stop:
        say(stop.text)
        return COULD_NOT_JUDGE
    except Exception as error:
        say(
            f"precheck: could not judge: {type(error).__name__}: {error}\n"
            "This is a fault of precheck, not of your file, and no verdict. Please report it.\n"
        )
        return COULD_NOT_JUDGE
    return code


def entry() -> None:
    """The console script."""
    try:
        code = main()
    except (BrokenPipeError, KeyboardInterrupt):
        code = COULD_NOT_JUDGE
    # What could not be written is not tried again while the interpreter ends, which would change the code.
    for stream in (sys.stdout, sys.stderr):
        try:
            if stream is not None:
                stream.flush()
        except OSError:
            os.dup2(os.open(os.devnull, os.O_WRONLY), stream.fileno())
    sys.exit(code)
