"""What would change it: for every result of every fixture, and for each kind of comparison by itself.

Expected numbers are arithmetic on the readings given here (no source); that a way does what it says is
judged again by both evaluators.
"""

from __future__ import annotations

import random
from collections.abc import Iterable
from datetime import date
from pathlib import Path

import pytest

from precheck.answer.explain import Remedy
from precheck.answer.judging import Judged, judge_for
from precheck.answer.remedies import Desk
from precheck.answer.supposing import suppose
from precheck.engine.plan import Unit
from precheck.model.catalogue import Day
from precheck.model.document import Document
from precheck.model.rules import Bound, Over, Rule, State
from precheck.read.files import read_file
from precheck.read.strict_yaml import read_yaml
from precheck.rulebook.book import Rulebook
from precheck.rulebook.load import load_quickly
from precheck.rulebook.questions import PENDING
from precheck.settle.check import check
from tests.support import minibook as mini
from tests.support.generate import Documents
from tests.support.generate_rules import Rules

FIXTURES = sorted((Path(__file__).resolve().parents[2] / "fixtures").glob("*.yaml"))
BOOK = load_quickly()
OPEN = (State.FAILS, State.NOT_MEASURED, State.CANNOT_TELL)
NOT_HERE = "as it is on this vehicle"


def opened(path: Path) -> tuple[Document, Day]:
    source, problems = read_file(str(path))
    assert source is not None, problems
    document, problems = check(source, BOOK, Day(date(2100, 1, 1), True))
    assert document is not None, problems
    return document, Day(max(v.on for v in document.visits), True)


def first(remedies: Iterable[Remedy]) -> Remedy | None:
    """The first way that makes the result meet, not the answer with which the rule does not apply."""
    return next((r for r in remedies if r.note != NOT_HERE and r.comes_to in ("", "meets")), None)


class Tried:
    """Many ways supposed at once, where they do not get into each other's way."""

    def __init__(self, document: Document, day: Day, use: str, judged: Judged) -> None:
        self.document, self.day, self.use, self.judged = document, day, BOOK.uses[use], judged
        self.desk = Desk(document, BOOK, day, self.use, None, judged)

    def wrong(self, ways: dict[Unit, Remedy]) -> list[str]:
        """The results that do not come to `meets`, each tried alone before it is called wrong."""
        left = dict(ways)
        while left:
            batch, taken = {}, {}
            for unit, way in left.items():
                said = {(m.point, m.place): m.to for m in way.moves}
                alone = way.jot.startswith(("done", "strike")) or any(BOOK.points[p].fact for p, _ in said)
                if all(taken.get(k, v) == v for k, v in said.items()) and not alone:
                    taken |= said
                    batch[unit] = way
            if not batch:
                break
            after, jotted = suppose(self.document, [w.jot for w in batch.values()], BOOK, self.day)
            assert after is not None, jotted.problems
            states = judge_for(after, BOOK, self.day, self.use, None).results.states
            good = [u for u in batch if states.get(u.key) is State.MEETS]
            left = {u: w for u, w in left.items() if u not in good}
            if len(good) < len(batch) / 2:
                break
        return [
            f"{u.key}: {w.jot}" for u, w in left.items() if self.desk.comes_to(u, [w.jot]) is not State.MEETS
        ]


CASES = [(path, "proving") for path in FIXTURES] + [(FIXTURES[0], "yard")]


@pytest.mark.parametrize(("path", "use"), CASES, ids=[f"{p.stem}-{use}" for p, use in CASES])
def test_every_result_of_every_fixture_has_a_way_that_does_what_it_says(path: Path, use: str) -> None:
    document, day = opened(path)
    judged = judge_for(document, BOOK, day, BOOK.uses[use], None)
    tried = Tried(document, day, use, judged)
    ways: dict[Unit, Remedy] = {}
    for unit in judged.units:
        if judged.results.states[unit.key] not in OPEN or unit.rule.id.startswith(PENDING):
            continue
        cite = unit.rule.cites[0]
        assert cite.source in BOOK.sources
        assert cite.clause
        way = first(tried.desk.remedies(unit, tried=False))
        assert way is not None, unit.key
        assert way.jot
        assert all(m.sentence and m.point in BOOK.points for m in way.moves)
        ways[unit] = way
    assert ways
    assert tried.wrong(ways) == []


# What is worked out from all tires of the rear axle waits for the answer how many there are.
HANGS_ON_REAR_TIRES = {"tire-tables-load", "trade-joint-chart"}


@pytest.mark.parametrize(("vehicle", "without"), [("", HANGS_ON_REAR_TIRES), ("rear-wheels: single", set())])
def test_an_empty_document_has_a_way_for_everything(vehicle: str, without: set[str]) -> None:
    day = Day(date(2026, 11, 14), True)
    text = f"condition: 1\nvehicle: {{{vehicle}}}\nvisits: []\n"
    source, _ = read_yaml(text.encode(), "empty.yaml")
    assert source is not None
    document, _ = check(source, BOOK, day)
    assert document is not None
    judged = judge_for(document, BOOK, day, BOOK.uses["proving"], None)
    tried = Tried(document, day, "proving", judged)
    open_units = [u for u in judged.units if judged.results.states[u.key] in OPEN]
    ways = {u: way for u in open_units if (way := first(tried.desk.remedies(u, tried=False)))}
    assert {u.rule.id for u in open_units if u not in ways} == without
    assert tried.wrong(ways) == []


# -- each kind of comparison, in a small rulebook ------------------------------------------------------


class Small:
    """One rule, one document, at one place."""

    def __init__(self, rule: Rule, *visits: object, lines: Iterable[str] = ()) -> None:
        self.book: Rulebook = mini.book([rule])
        self.day = mini.day()
        self.document = mini.document(*visits)  # type: ignore[arg-type]
        if lines:
            read, jotted = suppose(self.document, tuple(lines), self.book, self.day)
            assert read is not None, jotted.problems
            self.document = read
        judged = judge_for(self.document, self.book, self.day, self.book.uses["proving"], ())
        self.desk = Desk(self.document, self.book, self.day, self.book.uses["proving"], (), judged)
        self.units = {u.place: u for u in judged.units if u.rule.id == rule.id}

    def ways(self, place: str) -> tuple[Remedy, ...]:
        return self.desk.remedies(self.units[place])

    def said(self, place: str) -> list[str]:
        return [m.sentence for r in self.ways(place)[:1] for m in r.moves]


def visit(*claims: object, **more: object) -> object:
    return mini.visit(mini.DAY, *claims, **more)  # type: ignore[arg-type]


def test_a_reading_is_raised_to_the_limit() -> None:
    rule = mini.simple("r", mini.at_least("pressure", "36 psi"), family="road-wheels")
    small = Small(rule, visit(mini.claim("pressure", "27 psi", "left-rear")))
    assert small.said("left-rear") == ["raise pressure at left rear by 9 psi to 36 psi or more"]
    assert small.ways("left-rear")[0].jot == "pressure@left-rear: 36 psi"
    assert small.ways("left-rear")[0].comes_to == "meets"


def test_in_the_unit_the_person_wrote_rounded_to_the_safe_side() -> None:
    rule = mini.simple("r", mini.at_least("pressure", "36 psi"), family="road-wheels")
    small = Small(rule, lines=["pressure@left-rear: 200 kPa"])
    # 36 psi is 248.2 kPa, and the gauge was read to whole kPa
    assert small.ways("left-rear")[0].jot == "pressure@left-rear: 249 kPa"
    assert small.said("left-rear") == [
        "raise pressure at left rear by 49 kPa to about 248 kPa or more (249 kPa will do)"
    ]


def test_a_strict_limit_is_passed_by_one_step() -> None:
    rule = mini.simple("r", mini.less_than("pressure", "36 psi"), family="road-wheels")
    small = Small(rule, visit(mini.claim("pressure", "40 psi", "left-rear")))
    assert small.ways("left-rear")[0].jot == "pressure@left-rear: 35 psi"
    assert small.said("left-rear") == [
        "lower pressure at left rear by 5 psi to less than 36 psi (35 psi will do)"
    ]


def test_a_limit_from_another_value() -> None:
    bound = mini.Test("pressure", mini.Op.AT_LEAST, "at least 80 percent of it", mini.Fraction(0),
                      bound=Bound("pressure-wanted", mini.Fraction(4, 5)))  # fmt: skip
    small = Small(
        mini.simple("r", bound, family="road-wheels"),
        visit(mini.claim("pressure", "20 psi", "left-rear"), mini.claim("pressure-wanted", "40 psi", "rear")),
    )
    assert small.said("left-rear") == ["raise pressure at left rear by 12 psi to 32 psi or more"]


def test_states_that_would_meet() -> None:
    rule = mini.simple("r", mini.one_of("hose", "sound", "fine lines"), family="brake-hoses")
    small = Small(rule, visit(mini.claim("hose", "deep cracks", "left-front")))
    (move,) = small.ways("left-front")[0].moves
    assert move.accepted == ("sound", "fine lines")
    assert move.kind == "mend"
    (gap,) = small.ways("rear")[0].moves
    assert gap.kind == "look"


def test_a_fact_to_answer_and_the_answer_that_takes_the_rule_away() -> None:
    rule = mini.simple(
        "r", mini.one_of("pedal", "firm"), applies=[mini.one_of("brake-actuation", "hydraulic")]
    )
    small = Small(rule, visit(mini.claim("pedal", "sinks")))
    ways = small.ways("vehicle")
    assert [(w.jot, w.comes_to) for w in ways] == [
        ("brake-actuation: mechanical", "does not apply"),
        ("pedal: firm", "meets"),
    ]


def test_the_cheapest_branch_of_any_of_comes_first() -> None:
    either = mini.any_of(
        mini.all_of(mini.one_of("construction", "radial"), mini.at_least("tread", "4/32 in")),
        mini.all_of(mini.at_least("pressure", "30 psi")),
    )
    rule = mini.rule("r", (either, mini.effects(("yard",), ("yard",))), family="road-wheels")
    at = "left-front"
    small = Small(
        rule,
        visit(
            mini.claim("construction", "bias", at),
            mini.claim("tread", "5/32 in", at),
            mini.claim("pressure", "20 psi", at),
        ),
    )
    assert [w.jot for w in small.ways(at)] == [
        "pressure@left-front: 30 psi",
        "done tire-changed left-front; construction@left-front: radial; tread@left-front: 5/32 in; "
        "pressure@left-front: 20 psi",
    ]


def test_a_permanent_mark_takes_work_or_the_wrong_one_struck() -> None:
    rule = mini.simple("r", mini.one_of("construction", "radial"), family="road-wheels")
    at = "left-front"
    renewed = Small(rule, visit(mini.claim("construction", "bias", at))).ways(at)[0]
    assert renewed.jot == "done tire-changed left-front; construction@left-front: radial"
    assert renewed.moves[0].work == "tire-changed"
    twice = Small(
        rule, visit(mini.claim("construction", "bias", at), mini.claim("construction", "radial", at))
    )
    assert twice.ways(at)[0].jot == "strike construction@left-front: bias; construction@left-front: radial"
    assert twice.ways(at)[0].moves[0].kind in ("look", "correct")


def test_a_spread_is_brought_together_at_the_better_end() -> None:
    spread = mini.at_most("pressure", "3 psi", over=Over("road-wheels", "spread"))
    rule = mini.simple("r", spread, family="axles")
    small = Small(
        rule,
        visit(
            mini.claim("pressure", "31 psi", "left-front"), mini.claim("pressure", "24 psi", "right-front")
        ),
    )
    assert small.ways("front")[0].jot == "pressure@right-front: 28 psi"


def test_a_count_asks_for_as_few_places_as_it_needs() -> None:
    count = mini.at_most("bulge", "1 count", over=Over("road-wheels", "count", ("yes",)))
    rule = mini.simple("r", count)
    small = Small(rule, visit(mini.claim("bulge", "yes")))
    assert len(small.ways("vehicle")[0].moves) == 3


def test_one_value_for_all() -> None:
    alike = mini.at_most("construction", "1 count", over=Over("road-wheels", "distinct"))
    rule = mini.simple("r", alike, family="axles")
    small = Small(
        rule,
        visit(
            mini.claim("construction", "radial", "left-front"),
            mini.claim("construction", "bias", "right-front"),
        ),
    )
    (move,) = small.ways("front")[0].moves
    assert move.to in ("radial", "bias")


def test_of_a_derived_value_the_input() -> None:
    rule = mini.simple("r", mini.at_most("age", "6 year"), family="road-wheels")
    small = Small(rule, visit(mini.claim("date-code", "1410", "left-front")))
    (way, *_) = small.ways("left-front")
    # Week 22 of 2020 ran from May 31 to June 6 (49 CFR 574.5(b)(3)): made on its first day it is over six
    # years old on 2026-06-01. Week 23 is young enough whatever day it was.
    assert way.jot == "done tire-changed left-front; date-code@left-front: 2320"


def test_what_meets_needs_no_way() -> None:
    rule = mini.simple("r", mini.at_least("pressure", "36 psi"), family="road-wheels")
    small = Small(rule, visit(mini.claim("pressure", "36 psi", "left-rear")))
    assert small.ways("left-rear") == ()


def test_what_cannot_be_met_says_so() -> None:
    never = mini.all_of(mini.at_least("pressure", "36 psi"), mini.at_most("pressure", "30 psi"))
    rule = mini.rule("r", (never, mini.effects(("yard",), ("yard",))), family="road-wheels")
    small = Small(rule, visit(mini.claim("pressure", "36 psi", "left-rear")))
    assert small.ways("left-rear") == ()


# -- any rules, any document ---------------------------------------------------------------------------


@pytest.mark.parametrize("seed", range(12))
def test_whatever_is_said_comes_true(seed: int) -> None:
    """Random rules and documents: a way that claims `meets` does it when everything is judged again."""
    rules = Rules(seed).rules(6)
    book = mini.book(rules)
    document = Documents(seed, book).document()
    day = mini.day()
    use = book.uses[random.Random(seed).choice(["yard", "proving"])]
    judged = judge_for(document, book, day, use, ())
    desk = Desk(document, book, day, use, (), judged)
    for unit in judged.units:
        for way in desk.remedies(unit):
            after, jotted = suppose(document, [way.jot], book, day)
            assert after is not None, jotted.problems
            states = judge_for(after, book, day, use, ()).results.states
            assert states.get(unit.key, State.DOES_NOT_APPLY).value == way.comes_to, way.jot
