"""Every small change of a rule is noticed by some case; a sample here, all of it with tests.mutation.run."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace
from fractions import Fraction

import pytest

from precheck.model import rules
from precheck.model.rules import Rule
from precheck.rulebook.lint import _leaves, _wanted
from precheck.rulebook.load import load
from tests.mutation.effects import (
    against_table,
    idle_limits,
    names_lie,
    out_of_order,
    speaks_of_uses,
    unasked,
)
from tests.mutation.mutants import mutants
from tests.mutation.rare import RARE
from tests.mutation.run import every, known_survivors, tried

BOOK = load()
RULES = list(BOOK.rules.values())
SAMPLE = 8  # every eighth rule; the script takes all of them in about a minute


def test_a_sample_of_the_library_has_no_unknown_survivor(capsys: pytest.CaptureFixture[str]) -> None:
    out = tried(every(RULES, SAMPLE), BOOK)
    known = known_survivors()
    new = [m.name for m in out.survivors if m.name not in known]
    with capsys.disabled():
        print(
            f"\n{out.rules} of {len(RULES)} rules, {out.count} mutants: {len(out.survivors)} survive, ",
            end="",
        )
        print(f"{len(new)} of them not in tests/mutation/survivors.txt")
    assert out.count > 500
    assert new == [], "write a case that notices it, or say in survivors.txt why none can"
    assert [m.name for m in out.unnoticed] == [], "say its effect in convention.yaml or holds.yaml"


def test_known_survivors_carry_a_reason_and_are_of_rules_that_are_there() -> None:
    for name, why in known_survivors().items():
        assert why, name
        assert name.partition(":")[0] in BOOK.rules, f"{name}: take the line out"
        assert why != "no case yet", name


def test_any_of_and_all_of_are_the_same_only_where_the_parts_exclude_each_other() -> None:
    """At most one part applies, and one that may drop out neither meets an any-of nor fails an all-of."""
    for name in (n for n in known_survivors() if ": any and all: " in n):
        (step,) = BOOK.rules[name.partition(":")[0]].steps
        terms = [part.applies for part in step.condition.parts]
        assert not step.condition.tests
        assert all(len(t) == 1 and t[0].states for t in terms), name
        assert len({t[0].measure for t in terms}) == 1, name
        states = [s for t in terms for s in t[0].states]
        assert len(states) == len(set(states)), name


def test_a_share_moves_by_one_place_of_those_it_is_taken_over() -> None:
    at_vehicle = {m.words for m in mutants(BOOK.rules["sa-all-kind"], BOOK) if m.kind == "limit"}
    assert all(w.endswith((": one place up", ": one place down")) for w in at_vehicle)
    found = {
        rule: {
            t.limit for m in mutants(BOOK.rules[rule], BOOK) for t in _tests_of(m.rule) if m.kind == "limit"
        }
        for rule in ("sa-all-kind", "sa-axle-kind")
    }
    assert Fraction(3, 4) in found["sa-all-kind"]
    assert Fraction(1, 2) in found["sa-axle-kind"]


def _tests_of(rule: Rule) -> list[rules.Test]:
    condition = rule.steps[0].condition
    return [*condition.tests, *(t for part in condition.parts for t in part.tests)]


# -- the tool itself ------------------------------------------------------------------------------

TREAD = BOOK.rules["us-570-9a-tread"]
CUT = BOOK.rules["floor-tire-cut"]


def kinds(rule: Rule) -> Counter[str]:
    return Counter(m.kind for m in mutants(rule, BOOK))


def test_a_rule_with_a_limit_and_a_term_has_all_its_mutants() -> None:
    found = kinds(TREAD)
    assert found["operator"] == found["limit"] == 2
    assert found["term dropped"] == found["unit"] == found["term, unit"] == 1
    assert found["term, limit"] == found["term, operator"] == 2
    assert found["blocks"] == found["asks"] == 3
    assert found["limits"] >= 2


def test_a_graded_rule_has_each_step_dropped_and_its_states_moved() -> None:
    found = kinds(CUT)
    assert found["steps"] == len(CUT.steps) == 3
    assert found["states"] == 6


@pytest.mark.parametrize("rule", [TREAD, CUT], ids=["tread", "cut"])
def test_names_of_mutants_are_unique(rule: Rule) -> None:
    names = [m.name for m in mutants(rule, BOOK)]
    assert len(names) == len(set(names))


@pytest.mark.parametrize("rule", [TREAD, CUT], ids=["tread", "cut"])
def test_with_its_cases_none_survives_and_without_any_all_do(rule: Rule) -> None:
    assert tried([rule], BOOK).survivors == []
    bare = tried([replace(rule, cases=())], BOOK)
    assert len(bare.survivors) == bare.count > 0


def test_without_the_case_at_the_limit_the_operator_survives() -> None:
    at_limit = ("2/32 in is enough", "the least of three places counts")
    left = tuple(c for c in TREAD.cases if c.name not in at_limit)
    assert len(left) < len(TREAD.cases)
    assert any(m.kind == "operator" for m in tried([replace(TREAD, cases=left)], BOOK).survivors)


# -- effects ----------------------------------------------------------------------------------------


def test_case_names_that_speak_of_uses_tell_the_truth() -> None:
    lies = {rule.id: names_lie(rule, BOOK) for rule in RULES}
    assert {name: found for name, found in lies.items() if found} == {}
    assert sum(speaks_of_uses(c) for r in RULES for c in r.cases) > 500


def test_rules_of_sources_that_bind_follow_the_severity_table() -> None:
    assert [r.id for r in RULES if against_table(r, BOOK)] == []


def test_no_limit_lies_beyond_what_the_use_allows_anyway() -> None:
    assert [r.id for r in RULES if idle_limits(r, BOOK)] == []


def test_what_blocks_a_use_is_asked_for() -> None:
    """But for instruments that few have; without this a dropped `asks` would let silence pass."""
    assert {r.id: unasked(r, BOOK) for r in RULES if unasked(r, BOOK)} == {}
    read = {n for r in RULES for t in r.steps for n in _leaves(BOOK, _wanted(t.condition))}
    assert read >= RARE, "take idle names out of the list"
    dumb = replace(TREAD.steps[0].effects, asks=frozenset(), lowest_ask=None)
    assert unasked(replace(TREAD, steps=(replace(TREAD.steps[0], effects=dumb),)), BOOK)


def test_a_worse_grade_blocks_a_lower_use() -> None:
    assert [r.id for r in RULES if out_of_order(r, BOOK)] == []
    mild, *rest = CUT.steps
    assert out_of_order(replace(CUT, steps=(replace(mild, effects=rest[-1].effects), *rest)), BOOK)


def test_a_wrong_effect_is_noticed() -> None:
    """The tread rule of an inspection standard that blocks only everyday; the cut that blocks another use."""
    everyday = BOOK.rules["us-570-9a-tread"].steps[0].effects
    out = tried([TREAD, CUT], BOOK)
    noticed = Counter(m.kind for r in (TREAD, CUT) for m in mutants(r, BOOK) if m.effect)
    assert everyday.lowest_block == "occasional"
    assert sum(out.effects.values()) == sum(noticed.values())
    assert not [m for m in out.unnoticed if m.rule.id == CUT.id and m.kind == "blocks"]
