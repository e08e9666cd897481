"""Word for word: every likely mistake in a document or a rule file, its place and all that is said to it.

The stored words were read one by one. Where a sentence changes, write them anew and read them again.
"""

from __future__ import annotations

from pathlib import Path

import pytest

from precheck.rulebook.load import load_quickly
from tests.messages.said import EXPECTED, RULES, documents, expected, of_document, of_rules, said

BOOK = load_quickly()
ALL = [*RULES, *documents()]


def test_there_are_more_than_sixty() -> None:
    assert len(RULES) >= 50
    assert len(documents()) >= 30
    stored = sorted(EXPECTED.glob("*/*.txt"))
    assert stored == sorted(expected(path) for path in ALL)


@pytest.mark.parametrize("path", ALL, ids=lambda path: path.name)
def test_word_for_word(path: Path) -> None:
    assert said(path, BOOK) == expected(path).read_text(encoding="utf-8")


@pytest.mark.parametrize("path", RULES, ids=lambda path: path.name)
def test_every_rule_file_says_it_is_invented_and_brings_its_problem(path: Path) -> None:
    lines = path.read_text(encoding="utf-8").splitlines()
    assert lines[0].startswith("# Invented for tests: ")
    found = of_rules(path, BOOK)
    assert found
    for problem in found:
        assert problem.mark.line > 1, "a problem stands at its own line, not at the top"
        assert problem.text == lines[problem.mark.line - 1]
        assert 1 <= problem.mark.column <= len(problem.text) + 1
        assert problem.found
        assert problem.expected


@pytest.mark.parametrize("path", ALL, ids=lambda path: path.name)
def test_no_line_is_wider_than_a_terminal(path: Path) -> None:
    assert all(len(line) <= 80 for line in said(path, BOOK).splitlines())


@pytest.mark.parametrize("path", documents(), ids=lambda path: path.name)
def test_places_of_documents_are_those_counted_by_hand(path: Path) -> None:
    counted = path.with_suffix(".expected").read_text(encoding="ascii").split("\n")
    found = sorted(of_document(path, BOOK), key=lambda p: p.order)
    assert [f"{p.mark.line}:{p.mark.column} {p.code}" for p in found] == [line for line in counted if line]


# What is wrong in the file, letter by letter: the problem must stand where it begins.
WRONG = {
    "01-wrong-indent": "requires:",
    "02-tab": "\tmeasure:",
    "05-comma-in-braces": "top,",
    "06-key-twice": "asks: proving",
    "12-top-key-misspelt": "tipical:",
    "13-rule-key-misspelt": "block:",
    "16-cite-checked": "yes}",
    "19-point-misspelt": "tire-tred-depth",
    "20-limit-as-text": "at least 3/32 in",
    "21-operator-misspelt": "at least: 3/32 in",
    "23-unit-of-another-kind": "30 psi",
    "24-unit-unknown": "3/32 inchs",
    "26-decimal-comma": '"2,5 mm"',
    "27-spaced-fraction": "3 / 32 in",
    "31-state-unknown": "rusty",
    "33-date-order": "01.04.1968",
    "35-use-misspelt": "ocasional",
    "37-limit-kind": "top-speed",
    "40-fact-misspelt": "gross-weight: {",
    "42-case-expects": "ok}",
    "44-case-point-misspelt": "tire-tred-depth",
    "47-tighten-looser": "{at-least: 1/32 in}",
    "50-set-aside-the-floor": "floor-tire-cut",
    "51-set-aside-until": "31.03.2027",
    "52-change-rule-misspelt": "us-570-9b-sizes",
}


@pytest.mark.parametrize("name", WRONG)
def test_a_problem_stands_where_the_mistake_begins(name: str) -> None:
    path = next(p for p in RULES if p.stem == name)
    body = path.read_text(encoding="utf-8").split("\n", 1)[1]  # below the line that says what is wrong
    before = body[: body.index(WRONG[name])]
    place = (before.count("\n") + 2, len(before) - before.rfind("\n"))
    assert [(p.mark.line, p.mark.column) for p in of_rules(path, BOOK)] == [place]
