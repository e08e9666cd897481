"""Checks of local rule files: names, limits, standing, the published schema, and what their cases give."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from pathlib import Path

from precheck.answer.prove import given_of
from precheck.model.problem import Problem, Problems
from precheck.model.record import replace
from precheck.model.rules import Rule
from precheck.read.files import read_file
from precheck.rulebook.book import Rulebook
from precheck.rulebook.load import extend
from precheck.rulebook.schema import against


def check_files(files: Sequence[Path], book: Rulebook) -> Rulebook:
    """The rulebook with these files. Raises `Problems` with everything wrong in them, ordered by place.

    What only the schema finds is told where nothing else is wrong: the loader's words are plainer.
    """
    loaded = extend(book, files)
    found: list[Problem] = []
    for path in files:
        source, problems = read_file(path, str(path))
        found += problems
        if source is None:
            continue
        mine = [r for r in loaded.rules.values() if r.file == source.name]
        found += [replace(p, text=source.line(p.mark)) for p in case_problems(mine, loaded)]
        found += against(source, "local-rules")
    if found:
        raise Problems(tuple(found))
    return loaded


def case_problems(rules: Sequence[Rule], book: Rulebook) -> Iterator[Problem]:
    """What cases give that is no point, no place, no value."""
    for rule in rules:
        for case in rule.cases:
            yield from given_of(rule, case, book)[2]
