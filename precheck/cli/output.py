"""Printing, writing files, and the one way a command stops without a verdict."""

from __future__ import annotations

import contextlib
import os
import sys
from collections.abc import Iterable, Sequence
from pathlib import Path
from typing import TextIO

from precheck.model.problem import Problem, Problems
from precheck.read.show import problem_lines, visible


class CannotJudge(Exception):
    """The command ends with exit code 2 and this text."""

    def __init__(self, text: str) -> None:
        super().__init__(text)
        self.text = text


def emit(text: str, stream: TextIO | None) -> None:
    """Write text that is already safe to show, whatever the stream's encoding is, and hand it on at once.

    Raises CannotJudge where it cannot be written: a verdict that nobody got is none.
    """
    if stream is None:  # the shell closed it
        raise CannotJudge(
            "precheck: there is nowhere to write to; leave the output open, or use --out FILE\n"
        )
    encoding = stream.encoding or "ascii"
    try:
        stream.write(text.encode(encoding, "backslashreplace").decode(encoding))
        stream.flush()
    except BrokenPipeError:
        raise
    except OSError as error:
        raise CannotJudge(f"precheck: cannot write the answer: {error.strerror}\n") from error


def say(text: str) -> None:
    """To standard error, if anybody listens there."""
    with contextlib.suppress(CannotJudge, OSError):
        emit(text, sys.stderr)


def problems_text(problems: Iterable[Problem], so: str = "not judged, and no verdict") -> str:
    """Every problem in full, how many there are, and what was not done because of them."""
    found = sorted(problems, key=lambda p: p.order)
    lines = [line for p in found for line in (*problem_lines(p), "")]
    count = f"{len(found)} problem{'s' if len(found) != 1 else ''}"
    return "\n".join([*lines, f"{count}; {so}.", ""])


def stop(problems: Problems | Sequence[Problem]) -> CannotJudge:
    found = problems.problems if isinstance(problems, Problems) else tuple(problems)
    return CannotJudge(problems_text(found))


def write(text: str, out: Path | None, stream: TextIO, inputs: Iterable[Path] = ()) -> None:
    """To a file by a temporary name and a rename, or to the stream.

    Raises CannotJudge where the file cannot be written, or is one of the inputs.
    """
    if out is None:
        emit(text, stream)
        return
    if any(_same(out, path) for path in inputs):
        raise CannotJudge(
            f"precheck: --out {visible(str(out))} would overwrite an input; name another file\n"
        )
    import tempfile

    name = ""
    try:
        handle, name = tempfile.mkstemp(dir=out.parent, prefix=f".{out.name}.")
        with os.fdopen(handle, "w", encoding="utf-8") as file:
            file.write(text)
        os.replace(name, out)
    except OSError as error:
        if name:
            with contextlib.suppress(OSError):
                os.unlink(name)
        raise CannotJudge(f"precheck: cannot write {visible(str(out))}: {error.strerror}\n") from error


def _same(one: Path, other: Path) -> bool:
    try:
        return one.resolve() == other.resolve() or one.samefile(other)
    except OSError:
        return False
