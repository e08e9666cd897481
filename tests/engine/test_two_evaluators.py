"""The network, the judge and a third plain evaluator on generated rules and documents.

`evaluate` raises where network and judge differ; the third (tests/support/slow_judge.py) was written from
the design's text. Exact limits, the ladder and the properties of a verdict are checked besides.
"""

from __future__ import annotations

import random
from collections import Counter
from collections.abc import Callable, Iterable, Sequence
from dataclasses import replace
from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from precheck.answer.judging import judge_for, points_read
from precheck.derive.cells import Cells
from precheck.engine import logic
from precheck.engine.evaluate import evaluate
from precheck.engine.plan import Unit, UnitKey
from precheck.engine.results import Results
from precheck.model.catalogue import VEHICLE, Use
from precheck.model.document import Document, Known
from precheck.model.quantity import Enclosure
from precheck.model.rules import Effects, Op, Part, Rule, State, Verdict
from precheck.model.rules import Test as Comparison
from precheck.model.settled import Cell, Settled, Status
from precheck.rulebook.book import Rulebook
from precheck.rulebook.rules import close_up, lowest, spread_limits
from precheck.settle.settle import settle
from tests.support import minibook as mini
from tests.support.generate import Documents
from tests.support.generate_rules import Rules
from tests.support.minibook import amount, at_least, at_most, claim, document, one_of, simple, visit
from tests.support.slow_judge import judge_slowly, verdict_of

BATCHES, EACH, POOL = 8, 250, 40  # 2,000 documents
# A short ladder with an included and a free side use: as deep as the long one, and twice as quick.
USES = tuple(u for u in mini.USES if u.id in (*mini.USES[3].includes[:1], "towing") or not u.side)
SHORT = mini.book(uses=[replace(u, includes=("night",)) if u.id == "everyday" else u for u in USES])

GO, NO_GO, UNDECIDED = Verdict.GO, Verdict.NO_GO, Verdict.UNDECIDED


def cells_of(paper: Document, rules: Iterable[Rule], book: Rulebook = SHORT, use: Use = mini.YARD) -> Cells:
    return Cells(settle(paper, book, mini.day(), use, points_read(rules, book)), book, mini.DAY)


def judged(
    paper: Document, rules: Sequence[Rule], book: Rulebook = SHORT, use: Use = mini.YARD
) -> tuple[tuple[Unit, ...], Results]:
    return evaluate(rules, cells_of(paper, rules, book, use), book)


# -- generated --------------------------------------------------------------------------------


@pytest.mark.parametrize("seed", range(BATCHES))
def test_three_evaluators_agree(seed: int) -> None:
    pool = Rules(seed).rules(POOL)
    documents = Documents(seed)
    rules: list[Rule] = []
    for number in range(EACH):
        if number % 25 == 0:
            # Mostly few rules, so that every verdict comes up; now and then many.
            many = documents.random.choice([1, 2, 2, 3, 3, 8])
            rules = documents.random.sample(pool, many)
        paper = documents.document(4)
        cells = cells_of(paper, rules, use=(mini.YARD, mini.PROVING)[number % 2])
        units, results = evaluate(rules, cells, SHORT)
        where = f"seed {seed}, document {number}"
        check_states(units, results, cells, where)
        for use in SHORT.uses:
            found = results.classes[use]
            assert {k for k, word in found.items() if word == logic.BAD} == {
                u.key for u in units if results.states[u.key] is State.FAILS and use in u.effects.blocks
            }, where
            open_ = {k for k, word in found.items() if word == logic.OPEN}
            assert results.verdicts[use] is verdict_of(use, units, results.states, open_, SHORT), where


def check_states(units: Sequence[Unit], results: Results, cells: Cells, where: str) -> None:
    """Every state holds however open facts are answered; what may yet fail is open where it blocks."""
    slow = judge_slowly(units, cells)
    for unit in units:
        if unit.key not in slow.could:
            continue
        state, could = results.states[unit.key], slow.could[unit.key]
        told = f"{where}: {unit.key} {state.value}, could be {sorted(s.value for s in could)}"
        lacking = state in (State.NOT_MEASURED, State.CANNOT_TELL)
        risky = lacking and unit.key in slow.risky
        if state is State.MEETS:
            assert could <= {State.MEETS, State.DOES_NOT_APPLY}, told
        elif not lacking or (len(could) == 1 and not risky):
            assert could == {state}, told
        for use in SHORT.uses:
            is_open = results.classes[use][unit.key] == logic.OPEN
            if lacking and (use in unit.effects.asks or (risky and use in unit.effects.blocks)):
                assert is_open, told
            if is_open:
                assert lacking, told
                assert use in unit.effects.asks | unit.effects.blocks, told


def test_every_state_and_verdict_comes_up() -> None:
    seen: Counter[str] = Counter()
    for seed in (1, 2, 3, 4):
        rules, documents = Rules(seed).rules(8), Documents(seed)
        for _ in range(40):
            _, results = judged(documents.document(8), rules)
            seen.update(results.fine.values())
            seen.update(v.value for v in results.verdicts.values())
            seen.update(word for found in results.classes.values() for word in found.values())
    states = {s.value for s in State} - {State.SET_ASIDE.value} | {logic.MEETS_IF, logic.MAY_FAIL}
    classes = set(logic.CLASSES) - {logic.ASIDE}
    assert states | classes | {v.value for v in Verdict} <= set(seen)


# -- exact limits -----------------------------------------------------------------------------

STEP = Fraction(1, 10**12)
LIMIT = amount("2/32 in")


def one_cell(test: Comparison, cell: Cell) -> State:
    """What a rule of one test comes to on one cell, by both evaluators."""
    rule = simple("one", test)
    settled = Settled({(cell.id, cell.place): cell}, {VEHICLE: (VEHICLE,)}, {}, (), False)
    units, results = evaluate([rule], Cells(settled, SHORT, mini.DAY), SHORT)
    return results.states[units[0].key]


def number_cell(*values: Enclosure) -> Cell:
    found = tuple(replace(mini.value("oil", "dark"), state=None, number=v) for v in values)
    return Cell("weight-rating", VEHICLE, Status.VALUE, found)


# op: below the limit, at it, above it
AROUND = {
    Op.AT_LEAST: (State.FAILS, State.MEETS, State.MEETS),
    Op.MORE_THAN: (State.FAILS, State.FAILS, State.MEETS),
    Op.AT_MOST: (State.MEETS, State.MEETS, State.FAILS),
    Op.LESS_THAN: (State.MEETS, State.FAILS, State.FAILS),
}


@pytest.mark.parametrize("op", AROUND)
def test_at_the_limit_and_one_step_either_side(op: Op) -> None:
    test = Comparison("weight-rating", op, "limit", LIMIT)
    for offset, state in zip((-STEP, 0, STEP), AROUND[op], strict=True):
        assert one_cell(test, number_cell(Enclosure.of(LIMIT + offset))) is state


@pytest.mark.parametrize("op", AROUND)
def test_enclosures_at_the_limit(op: Op) -> None:
    """All of it meets, or all of it fails, else it cannot be told."""
    test = Comparison("weight-rating", op, "limit", LIMIT)
    ends = [None, LIMIT - STEP, LIMIT, LIMIT + STEP]
    below, at, above = AROUND[op]
    for low in ends:
        for high in [*ends[1:], None]:
            if low is not None and high is not None and low > high:
                continue
            held = set()
            if low is None or low < LIMIT:
                held.add(below)
            if (low is None or low <= LIMIT) and (high is None or high >= LIMIT):
                held.add(at)
            if high is None or high > LIMIT:
                held.add(above)
            expected = held.pop() if len(held) == 1 else State.CANNOT_TELL
            assert one_cell(test, number_cell(Enclosure(low, high))) is expected, (low, high)


@pytest.mark.parametrize(
    ("written", "limit", "state"),
    [
        ("2/32 in", "2/32 in", State.MEETS),
        ("1/16 in", "2/32 in", State.MEETS),
        ("1.5875 mm", "2/32 in", State.MEETS),  # 25.4 mm to the inch, by definition
        ("1.5874 mm", "2/32 in", State.FAILS),
        ("1.6 mm", "2/32 in", State.MEETS),
        ("2/32 in", "1.6 mm", State.FAILS),
        ("63/1000 in", "1.6 mm", State.MEETS),
        ("62/1000 in", "1.6 mm", State.FAILS),
    ],
)
def test_another_unit_at_the_limit(written: str, limit: str, state: State) -> None:
    assert one_cell(at_least("weight-rating", limit), number_cell(Enclosure.of(amount(written)))) is state


def test_several_values_worst_decides() -> None:
    low, high = Enclosure.of(LIMIT - STEP), Enclosure.of(LIMIT + STEP)
    for op, state in ((Op.AT_LEAST, State.FAILS), (Op.AT_MOST, State.FAILS)):
        assert one_cell(Comparison("weight-rating", op, "limit", LIMIT), number_cell(low, high)) is state
    assert one_cell(one_of("oil", "clear"), state_cell("clear", "milky")) is State.FAILS
    assert one_cell(one_of("oil", "clear", "milky"), state_cell("clear", "milky")) is State.MEETS


def state_cell(*words: str) -> Cell:
    return Cell("oil", VEHICLE, Status.VALUE, tuple(mini.value("oil", w) for w in words))


@pytest.mark.parametrize("op", AROUND)
def test_missing_and_unclear(op: Op) -> None:
    test = Comparison("weight-rating", op, "limit", LIMIT)
    assert one_cell(test, Cell("weight-rating", VEHICLE, Status.MISSING)) is State.NOT_MEASURED
    assert one_cell(test, Cell("weight-rating", VEHICLE, Status.UNCLEAR)) is State.CANNOT_TELL


@given(
    st.fractions(max_denominator=10**6),
    st.sampled_from(list(AROUND)),
    st.fractions(max_denominator=10**6),
)
@settings(deadline=None, max_examples=60)
def test_any_number_against_any_limit(number: Fraction, op: Op, limit: Fraction) -> None:
    found = one_cell(Comparison("weight-rating", op, "limit", limit), number_cell(Enclosure.of(number)))
    assert found is AROUND[op][1 + (number > limit) - (number < limit)]


# -- applicability ----------------------------------------------------------------------------


def kleene(weight: str | None, tread: str | None) -> tuple[State, str]:
    rule = simple(
        "tread", at_least("tread", "2/32 in"), family="left-front",
        applies=[at_most("weight-rating", "10000 lb")],
    )  # fmt: skip
    facts = {**mini.LIGHT_TRUCK, **({"weight-rating": weight} if weight else {})}
    readings = [claim("tread", tread, "left-front")] if tread else []
    units, results = judged(document(visit(mini.DAY, *readings), facts=facts), [rule])
    return results.states[units[0].key], results.fine[units[0].key]


@pytest.mark.parametrize(
    ("weight", "tread", "state"),
    [
        ("10000 lb", "2/32 in", State.MEETS),
        ("10000 lb", "1 mm", State.FAILS),
        ("10000 lb", None, State.NOT_MEASURED),
        ("10000 lb", "unknown", State.CANNOT_TELL),
        ("10001 lb", "1 mm", State.DOES_NOT_APPLY),
        ("10001 lb", None, State.DOES_NOT_APPLY),
        ("unknown", "2/32 in", State.MEETS),  # or does not apply
        ("unknown", "1 mm", State.CANNOT_TELL),
        ("unknown", None, State.CANNOT_TELL),
        ("unknown", "unknown", State.CANNOT_TELL),
        (None, "2/32 in", State.MEETS),
        (None, "1 mm", State.CANNOT_TELL),
        (None, None, State.CANNOT_TELL),
        ("at least 9000 lb", "1 mm", State.CANNOT_TELL),
        ("at least 10001 lb", "1 mm", State.DOES_NOT_APPLY),
    ],
)
def test_applicability_implies_the_test(weight: str | None, tread: str | None, state: State) -> None:
    assert kleene(weight, tread)[0] is state


def test_meets_or_does_not_apply_is_kept_apart() -> None:
    assert kleene(None, "2/32 in")[1] == "meets (or does not apply)"
    assert kleene("10000 lb", "2/32 in")[1] == "meets"


def test_a_failing_reading_stands_in_the_way_while_it_is_open_whether_it_applies() -> None:
    """It blocks whatever `asks` says; while the fact is missing the blocked uses stay open."""
    rule = simple(
        "tread", at_least("tread", "2/32 in"), blocks=["proving"], asks=[], family="left-front",
        applies=[at_most("weight-rating", "10000 lb")],
    )  # fmt: skip
    good = simple("oil", one_of("oil", "clear"))
    paper = document(visit(mini.DAY, claim("tread", "1 mm", "left-front"), claim("oil", "clear")))
    _, results = judged(paper, [rule, good])
    assert results.verdicts["yard"] is GO
    assert results.verdicts["proving"] is UNDECIDED


# -- conditions -------------------------------------------------------------------------------

READINGS = {"meets": "clear", "fails": "milky", "not measured": None, "cannot tell": "unknown"}


@pytest.mark.parametrize("any_of", [False, True])
def test_all_of_and_any_of_over_every_pair(any_of: bool) -> None:
    """The tables of design section 5."""
    order = ["meets", "not measured", "cannot tell", "fails"] if any_of else [
        "fails", "not measured", "cannot tell", "meets",
    ]  # fmt: skip
    for one in READINGS:
        for other in READINGS:
            for third in ("applies", "does not apply"):
                parts = [
                    mini.all_of(one_of("oil", "clear")),
                    mini.all_of(one_of("service", "private"), applies=[one_of("region", "us")]),
                    mini.all_of(one_of("brake-actuation", "air")),
                ]
                part = mini.any_of(*parts) if any_of else mini.all_of(parts=parts)
                rule = mini.rule("both", (part, mini.effects(["yard"], ["yard"])))
                readings = []
                if READINGS[one]:
                    readings.append(claim("oil", READINGS[one] or ""))
                actuation = {"meets": "air", "fails": "hydraulic", "cannot tell": "unknown"}.get(other)
                region = "us" if third == "applies" else "gb"
                facts = {**mini.LIGHT_TRUCK, "region": region, "service": "commercial"}
                if actuation:
                    facts["brake-actuation"] = actuation
                units, results = judged(document(visit(mini.DAY, *readings), facts=facts), [rule])
                held = {one, other, *(["fails"] if third == "applies" else [])}
                assert results.states[units[0].key].value == next(s for s in order if s in held)


def nested(*parts: Part, weight: str | None = None) -> tuple[State, dict[str, Verdict]]:
    """Any of the parts, in a rule that blocks the yard and asks nothing; the oil is milky, the pedal firm."""
    rules = [mini.rule("any", (mini.any_of(*parts), mini.effects(["yard"], []))), simple("ok", PEDAL)]
    facts = {**mini.LIGHT_TRUCK, **({"weight-rating": weight} if weight else {})}
    said = [claim("oil", "milky"), claim("pedal", "firm")]
    _, results = judged(document(visit(mini.DAY, *said), facts=facts), rules)
    return results.states["any", VEHICLE, 0], dict(results.verdicts)


OIL, PEDAL, TANK = one_of("oil", "clear"), one_of("pedal", "firm"), one_of("tank-leak", "dry")
HEAVY = [mini.more_than("weight-rating", "10000 lb")]


def test_a_part_that_may_not_apply_passes_no_any_of_however_deep() -> None:
    """If the vehicle is not heavy the pedal drops out, and the milky oil fails."""
    inner = mini.all_of(PEDAL, applies=HEAVY)
    for part in (
        inner,
        mini.all_of(parts=[inner]),
        mini.any_of(inner),
        mini.any_of(mini.all_of(parts=[inner])),
    ):
        for others in ((mini.all_of(OIL), part), (part, mini.all_of(OIL))):
            state, verdicts = nested(*others)
            assert state is State.CANNOT_TELL
            assert verdicts["yard"] is UNDECIDED
            assert nested(*others, weight="9000 lb")[0] is State.FAILS
            assert nested(*others, weight="12000 lb")[0] is State.MEETS


def test_a_failing_reading_is_not_hidden_by_a_missing_one_that_may_not_apply() -> None:
    inner = mini.all_of(TANK, applies=HEAVY)  # not measured, if it applies
    state, verdicts = nested(mini.all_of(OIL), inner)
    assert state is State.CANNOT_TELL
    assert verdicts["yard"] is UNDECIDED
    assert nested(mini.all_of(OIL), inner, weight="9000 lb")[0] is State.FAILS


def test_a_part_that_keeps_a_met_half_cannot_drop_out() -> None:
    """Heavy or not, the pedal half stays: the whole is met or waits for the tank, and never fails."""
    half = mini.all_of(parts=[mini.all_of(PEDAL), mini.all_of(TANK, applies=HEAVY)])
    state, verdicts = nested(mini.all_of(OIL), half)
    assert state is State.CANNOT_TELL
    assert verdicts["yard"] is GO
    assert nested(mini.all_of(OIL), half, weight="9000 lb")[0] is State.MEETS
    assert nested(mini.all_of(OIL), half, weight="12000 lb")[0] is State.NOT_MEASURED


def test_of_parts_that_may_all_not_apply_one_that_meets_is_enough() -> None:
    assert nested(mini.all_of(PEDAL, applies=HEAVY))[0] is State.MEETS


def test_a_value_on_both_sides_of_its_limit_is_open_beside_a_missing_one() -> None:
    """Written as two rules it would be open; one rule of both is no looser."""
    both = mini.all_of(at_least("wall", "2 mm"), one_of("spot-crack", "none"))
    spot = mini.rule("spot", (both, mini.effects(["yard"], [])), family="suspect-spots")
    said = [claim("pedal", "firm"), claim("wall", "1 to 3 mm", "hanger")]
    _, results = judged(document(visit(mini.DAY, *said)), [spot, simple("ok", PEDAL)])
    assert results.states["spot", "hanger", 0] is State.NOT_MEASURED
    assert results.verdicts["yard"] is UNDECIDED


@pytest.mark.parametrize("any_of", [False, True])
def test_parts_that_do_not_apply_drop_out_and_none_left_does_not_apply(any_of: bool) -> None:
    parts = [mini.all_of(one_of("oil", "clear"), applies=[one_of("region", "gb")])] * 2
    part = mini.any_of(*parts) if any_of else mini.all_of(parts=parts)
    rule = mini.rule("none", (part, mini.effects(["yard"], ["yard"])))
    units, results = judged(document(visit(mini.DAY, claim("oil", "milky"))), [rule])
    assert results.states[units[0].key] is State.DOES_NOT_APPLY


# -- the ladder -------------------------------------------------------------------------------

ABOVE = {  # what stands on each use of the long ladder, by design section 2, written out
    "yard": {u.id for u in mini.USES},
    "proving": {u.id for u in mini.USES} - {"yard"},
    "occasional": {u.id for u in mini.USES} - {"yard", "proving"},
    "everyday": {"everyday"},
    "night": {"night", "everyday"},
    "wet": {"wet", "everyday"},
    "loaded": {"loaded", "everyday"},
    "passengers": {"passengers"},
    "towing": {"towing"},
    "motorway": {"motorway"},
    "off-road": {"off-road"},
}


@pytest.mark.parametrize("use", ABOVE)
def test_blocking_and_asking_close_the_ladder_upward(use: str) -> None:
    good = simple("good", one_of("region", "us"), blocks=["yard"], asks=["yard"])
    bad = simple("bad", one_of("oil", "clear"), blocks=[use], asks=[])
    asked = simple("asked", one_of("pedal", "firm"), blocks=[], asks=[use])
    paper = document(visit(mini.DAY, claim("oil", "milky")))
    _, results = judged(paper, [good, bad], mini.BOOK)
    assert {u for u, v in results.verdicts.items() if v is NO_GO} == ABOVE[use]
    _, results = judged(paper, [good, asked], mini.BOOK)
    assert {u for u, v in results.verdicts.items() if v is UNDECIDED} == ABOVE[use]
    assert set(results.verdicts.values()) <= {GO, UNDECIDED}


@pytest.mark.parametrize(
    ("written", "blocks", "at"),
    [
        (["yard"], ["proving"], ["yard"]),
        (["proving"], ["everyday"], ["proving", "occasional"]),
        (["proving", "night"], ["occasional", "towing"], ["proving"]),
        (["night"], [], ["night"]),
        (["yard"], [], ["yard", "proving", "occasional", "everyday"]),
    ],
)
def test_limits_run_up_to_the_next_use_named_or_blocked(
    written: list[str], blocks: list[str], at: list[str]
) -> None:
    uses = {u.id: u for u in mini.USES}
    blocked = close_up(blocks, uses)
    found = spread_limits(dict.fromkeys(written, mini.DRY), blocked, uses)
    assert sorted(name for name, _ in found) == sorted(at)


def test_three_limits_on_one_chain_block_the_next_rung() -> None:
    """Findings that each only limit proving; three on the chain `stop` block what stands above it."""
    points = ("oil", "pedal", "tank-leak", "silt")
    good = {p: mini.BOOK.points[p].states[0] for p in points}
    bad = {p: mini.BOOK.points[p].states[-1] for p in points}

    def verdicts(failing: int, chain: str | None = "stop") -> dict[str, Verdict]:
        rules = [
            simple(p, one_of(p, good[p]), [], ["yard"], {"proving": mini.DRY, "occasional": ()}, chain=chain)
            for p in points
        ]
        rules.append(simple("region", one_of("region", "us")))
        said = [claim(p, bad[p] if i < failing else good[p]) for i, p in enumerate(points)]
        return dict(judged(document(visit(mini.DAY, *said)), rules)[1].verdicts)

    assert set(verdicts(2).values()) == {GO}
    assert [verdicts(3)[u] for u in ("yard", "proving", "occasional", "everyday")] == [GO, GO, NO_GO, NO_GO]
    assert verdicts(3)["towing"] is NO_GO
    assert set(verdicts(4, "be-seen").values()) == {GO}
    assert set(verdicts(4, None).values()) == {GO}


# -- properties of the verdict ----------------------------------------------------------------


def outcome(paper: Document, rules: Sequence[Rule]) -> tuple[dict[UnitKey, State], dict[str, Verdict]]:
    _, results = judged(paper, rules)
    return dict(results.states), dict(results.verdicts)


@pytest.mark.parametrize("seed", range(3))
def test_the_order_of_rules_and_readings_does_not_matter(seed: int) -> None:
    rules, documents, shuffle = Rules(seed).rules(10), Documents(seed), random.Random(seed)
    for _ in range(15):
        paper = documents.document(8)
        # Readings of one point keep their order among themselves; points change places.
        points = sorted({c.point for v in paper.visits for c in v.claims}, key=lambda _: shuffle.random())
        moved = replace(
            paper,
            visits=tuple(
                replace(v, claims=tuple(sorted(v.claims, key=lambda c: points.index(c.point))))
                for v in paper.visits
            ),
        )
        assert outcome(paper, rules) == outcome(moved, shuffle.sample(rules, len(rules)))


@pytest.mark.parametrize("seed", range(3))
def test_a_reading_that_no_rule_reads_changes_nothing(seed: int) -> None:
    rules, documents = Rules(seed).rules(6), Documents(seed)
    unread = [
        p for p in SHORT.points.values()
        if not p.fact and p.id not in points_read(rules, SHORT) | {"odometer-reading", "underside-visibility"}
    ]  # fmt: skip
    assert unread
    for number in range(15):
        paper = documents.document(8)
        point = unread[number % len(unread)]
        place = {"tires": "left-front", "axles": "front"}.get(point.family, "left-rail")
        extra = claim(point.id, "unknown", place)
        more = replace(paper, visits=mini.numbered([*paper.visits, visit(mini.DAY, extra)]))
        assert outcome(paper, rules) == outcome(more, rules)


TIGHTER = {
    Op.AT_LEAST: 1,
    Op.MORE_THAN: 1,
    Op.AT_MOST: -1,
    Op.LESS_THAN: -1,
}


@pytest.mark.parametrize("seed", range(6))
def test_tightening_a_limit_never_turns_a_use_to_go(seed: int) -> None:
    """A number moved inward, a state taken off the list; never on a term of applicability."""
    rules, documents, pick = Rules(seed).rules(8), Documents(seed), random.Random(seed)
    for _ in range(20):
        paper = documents.document(8)
        place = pick.randrange(len(rules))
        tight = [*rules[:place], tightened(rules[place], pick), *rules[place + 1 :]]
        before, after = outcome(paper, rules)[1], outcome(paper, tight)[1]
        for use, verdict in after.items():
            if verdict is GO:
                assert before[use] is GO, (seed, rules[place].id, use)


def tightened(rule: Rule, pick: random.Random) -> Rule:
    def test(t: Comparison) -> Comparison:
        if t.op is Op.ONE_OF:
            return replace(t, states=t.states[:-1], written="tighter")
        assert t.limit is not None
        by = TIGHTER[t.op] * pick.choice([STEP, Fraction(1, 32), 1, 100])
        return replace(t, limit=t.limit + by, written="tighter")

    steps = tuple(replace(s, condition=_tests_by(s.condition, test)) for s in rule.steps)
    return replace(rule, steps=steps)


def _tests_by(part: Part, test: Callable[[Comparison], Comparison]) -> Part:
    return replace(
        part, tests=tuple(test(t) for t in part.tests), parts=tuple(_tests_by(p, test) for p in part.parts)
    )


@pytest.mark.parametrize("seed", range(4))
def test_never_go_for_an_empty_document(seed: int) -> None:
    """Whatever the rules: the questions that every vehicle must answer are open."""
    empty = document(facts={})
    rules = Rules(seed).rules(20)
    for number, rule in enumerate(rules):
        full = judge_for(empty, mini.book([rule, *rules[: number // 4]]), mini.day(), mini.YARD, None)
        assert GO not in full.results.verdicts.values()


@pytest.mark.parametrize("facts", [{}, mini.LIGHT_TRUCK])
def test_never_go_without_rules(facts: dict[str, str]) -> None:
    paper = document(visit(mini.DAY, claim("oil", "clear")), facts=facts)
    _, results = judged(paper, [])
    assert set(results.verdicts.values()) == {UNDECIDED}
    full = judge_for(paper, mini.BOOK, mini.day(), mini.YARD, None)
    assert GO not in full.results.verdicts.values()


def test_never_go_where_no_rule_of_the_use_applies() -> None:
    """Facts that are answered, and a rule for buses only: nothing was judged of this car."""
    buses = simple("bus", one_of("oil", "clear"), applies=[one_of("vehicle-class", "bus")])
    paper = document(visit(mini.DAY, claim("oil", "milky")))
    full = judge_for(paper, mini.book([buses]), mini.day(), mini.YARD, None)
    assert GO not in full.results.verdicts.values()


def test_a_rule_that_says_nothing_of_a_use_is_no_ground_for_it() -> None:
    """Met, but it neither blocks nor limits nor is asked for below night."""
    rules = [simple("lamp", one_of("oil", "clear"), blocks=["night"], asks=["night"])]
    verdicts = outcome(document(visit(mini.DAY, claim("oil", "clear"))), rules)[1]
    assert {u for u, v in verdicts.items() if v is GO} == {"night", "everyday"}
    assert {u for u, v in verdicts.items() if v is UNDECIDED} == set(SHORT.uses) - {"night", "everyday"}


@pytest.mark.parametrize("place", ["left-front", "right-front", "left-rear", "right-rear"])
def test_never_go_with_a_place_missing(place: str) -> None:
    rules = [simple("bulge", one_of("bulge", "no"), family="road-wheels")]
    said = [claim("bulge", "no", p) for p in ("left-front", "right-front", "left-rear", "right-rear")]
    assert set(outcome(document(visit(mini.DAY, *said)), rules)[1].values()) == {GO}
    lacking = document(visit(mini.DAY, *(c for c in said if c.place != place)))
    assert set(outcome(lacking, rules)[1].values()) == {UNDECIDED}


@pytest.mark.parametrize("seed", range(3))
def test_taking_readings_away_makes_nothing_meet(seed: int) -> None:
    """Silence never passes. Rules of one comparison, where no reading decides whether another applies."""
    documents = Documents(seed)
    rules = [r for r in Rules(seed).rules(60) if not r.applies and one_plain_test(r)][:8]
    assert rules
    for _ in range(15):
        paper = documents.document(3)
        before = outcome(paper, rules)[0]
        for point in documents.active:
            if point in ("odometer-reading", "underside-visibility"):
                continue  # these decide over other readings
            silent = replace(
                paper,
                visits=tuple(
                    replace(v, claims=tuple(c for c in v.claims if c.point != point)) for v in paper.visits
                ),
            )
            after = outcome(silent, rules)[0]
            assert {k for k, state in after.items() if state is State.MEETS} <= {
                k for k, state in before.items() if state is State.MEETS
            }


def one_plain_test(rule: Rule) -> bool:
    return all(
        not s.condition.parts and len(s.condition.tests) == 1 and not s.condition.tests[0].over
        for s in rule.steps
    )


def test_hearsay_opens_the_road_uses_only() -> None:
    rules = [simple("pedal", one_of("pedal", "firm"))]
    paper = document(visit(mini.DAY, claim("pedal", "firm", known=Known.TOLD)))
    assert judged(paper, rules, use=mini.YARD)[1].verdicts["yard"] is GO
    assert judged(paper, rules, use=mini.PROVING)[1].verdicts["proving"] is UNDECIDED


def test_effects_are_made_as_the_loader_makes_them() -> None:
    made = mini.effects(["proving"], ["occasional"], {"yard": mini.DRY})
    uses = {u.id: u for u in mini.USES}
    blocked = close_up(["proving"], uses)
    assert made == Effects(
        blocked,
        close_up(["occasional"], uses),
        (("yard", mini.DRY),),
        lowest(["proving"], uses),
        "occasional",
    )
