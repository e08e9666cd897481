"""Several vehicles for `gate`: files and folders in the order given; a bad one stops no other."""

from __future__ import annotations

import argparse
import os
import sys
from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from precheck.cli.output import CannotJudge, write
from precheck.model.problem import Mark, Problem

if TYPE_CHECKING:
    from precheck.answer.gate import Request
    from precheck.answer.many_record import Folder, VehicleLine
    from precheck.rulebook.book import Rulebook

ENDING = ".yaml"


def several(names: Sequence[str]) -> bool:
    """Whether the names ask for a table: more than one, or a folder."""
    return len(names) > 1 or (os.path.isdir(names[0]) and bool(_inside(names[0])[0]))


def run(options: argparse.Namespace, book: Rulebook, request: Request) -> int:
    """Judge every file and write the table; the exit code is the worst."""
    from precheck.answer.many import many

    if options.form not in ("text", "json"):
        raise CannotJudge(
            f"precheck: --as {options.form} is one page about one document; expected one file, or --as text "
            "or json for a table of several\n"
        )
    folders: list[Folder] = []
    files = list(_files(options.files, folders))
    found = many(
        (vehicle_line(name, problem, book, request) for name, problem in files), folders, book, request
    )
    if options.form == "json":
        from precheck.report.as_json import rendered

        text = rendered("gate-many", found)
    else:
        from precheck.report.many import render

        text = render(found, letters=True)
    write(text, options.out, sys.stdout, [Path(name) for name in (*(n for n, _ in files), *options.rules)])
    return found.exit_code


def _files(names: Sequence[str], folders: list[Folder]) -> Iterator[tuple[str, Problem | None]]:
    """The files to judge; an empty folder is a problem of its own."""
    from precheck.answer.many_record import Folder

    for name in names:
        if not os.path.isdir(name):
            yield name, None
            continue
        took, left = _inside(name)
        if not took:
            found = f"this folder holds no file that ends in {ENDING}"
            yield name, Problem(name, Mark(1, 1), "empty-folder", found, "condition documents in it")
            continue
        folders.append(Folder(name, took, left))
        yield from ((os.path.join(name, file), None) for file in took)


def _inside(folder: str) -> tuple[tuple[str, ...], int]:
    """The condition documents of a folder by name, and how many other entries it has."""
    try:
        entries = sorted(os.listdir(folder))
    except OSError:
        return (), 0
    took = tuple(e for e in entries if e.endswith(ENDING) and not e.startswith("."))
    return took, len(entries) - len(took)


def vehicle_line(name: str, problem: Problem | None, book: Rulebook, request: Request) -> VehicleLine:
    """One file read and judged; whatever is wrong with it becomes its line."""
    from precheck.answer.many import line, unjudged
    from precheck.read.files import read_file
    from precheck.settle.check import check

    if problem is not None:
        return unjudged(name, (problem,), request)
    try:
        source, problems = read_file(name)
        if source is None:
            return unjudged(name, problems, request)
        document, wrong = check(source, book, request.day)
        if document is None or problems:
            return unjudged(name, (*problems, *wrong), request)
        return line(document, book, request)
    except Exception as error:  # whatever one file does, the others are still judged
        fault = f"{type(error).__name__}: {error}; this is a fault of precheck, and no verdict"
        return unjudged(name, (), request, fault)
