"""What a failure does follows the convention, or stands in its list with a reason."""

from __future__ import annotations

from dataclasses import replace

import pytest

from precheck.model.rules import Rule
from precheck.rulebook.load import load
from tests.mutation.convention import Convention, effects_of, unlike

BOOK = load()
CONVENTION = Convention(BOOK)
KEYS = {
    "binds",
    "source",
    "grade",
    "chain",
    "blocks",
    "asks",
    "watch",
    "limits",
    "why",
    "rules",
    "grades",
    "steps",
}
LAWS = [r for r in BOOK.rules.values() if not r.floor]


def test_rules_of_other_sources_than_the_floor_keep_the_convention() -> None:
    assert [words for rule in LAWS for words in CONVENTION.differs(rule)] == []


def test_every_row_and_every_exception_says_why() -> None:
    table = CONVENTION.table
    for row in (*table["rows"], *table["graded"], *table["exceptions"]):
        assert len(row["why"]) > 20, row
        assert set(row) <= KEYS, row


def test_exceptions_name_steps_that_are_there_and_do_leave_the_convention() -> None:
    bare = Convention(BOOK)
    bare.except_ = {}
    for name in CONVENTION.except_:
        rule, _, number = name.partition(".")
        assert rule in BOOK.rules, f"{name}: take it out"
        away = bare.differs(BOOK.rules[rule])
        assert any(f"{rule}.{number}" in words for words in away), f"{name} keeps the convention: take it out"


def test_every_row_is_some_rules_row() -> None:
    rules = [(r, CONVENTION.grade(r, n)) for r in LAWS for n in range(1, len(r.steps) + 1)]
    found = [CONVENTION._row(rule, grade) for rule, grade in rules]
    assert [row for row in CONVENTION.table["rows"] if row not in found] == []
    assert [r for r in CONVENTION.grades if r not in BOOK.rules] == []


TREAD = BOOK.rules["us-570-9a-tread"]


@pytest.mark.parametrize(
    ("blocks", "asks", "limits"),
    [
        (["proving"], ["occasional"], {}),
        (["occasional"], ["everyday"], {"proving": {"speed": "35 mph", "distance": "5 mi"}}),
        (["occasional"], ["occasional"], {"proving": {"speed": "36 mph", "distance": "5 mi"}}),
        (["occasional"], ["occasional"], {"proving": {"speed": "35 mph"}}),
        (["occasional"], ["occasional"], {}),
    ],
)
def test_an_effect_that_is_not_the_conventions_is_told(
    blocks: list[str], asks: list[str], limits: dict[str, dict[str, str]]
) -> None:
    effects = effects_of(blocks, asks, limits, BOOK)
    assert CONVENTION.differs(changed(TREAD, effects))
    assert not CONVENTION.differs(TREAD)


def changed(rule: Rule, effects: object) -> Rule:
    return replace(rule, steps=(replace(rule.steps[0], effects=effects), *rule.steps[1:]))


def test_two_effects_are_alike_only_in_all_they_do() -> None:
    a = effects_of(["occasional"], ["proving"], {"yard": {"speed": "5 mph", "look-again": "*"}}, BOOK)
    assert not unlike(a, a)
    b = effects_of(["occasional"], ["proving"], {"yard": {"speed": "8 km/h", "look-again": "*"}}, BOOK)
    assert unlike(a, b)
