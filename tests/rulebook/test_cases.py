"""Every rule of the library: its cases hold, by both evaluators, and nothing unlooked-at ever meets."""

from __future__ import annotations

from collections.abc import Sequence

import pytest

from precheck.answer.judging import points_read
from precheck.answer.prove import CASE_DAY, prove_all
from precheck.derive.cells import Cells
from precheck.engine.evaluate import evaluate
from precheck.engine.plan import tests_of as every_test_of
from precheck.model.catalogue import Day
from precheck.model.document import Claim, Document, Known, Visit
from precheck.model.problem import Mark
from precheck.model.rules import Op, Rule, State
from precheck.rulebook.load import load
from precheck.settle.settle import settle

BOOK = load()
SOURCES = sorted({rule.source for rule in BOOK.rules.values()})
HERE = Mark(1, 1)


def rules_of(source: str) -> list[Rule]:
    return [rule for rule in BOOK.rules.values() if rule.source == source]


@pytest.mark.parametrize("source", SOURCES)
def test_every_case_holds(source: str) -> None:
    """The expected states are the cases' own, from the clause each rule cites."""
    wrong = [
        f"{p.rule.file}:{p.case.mark.line}: {p.rule.id}: {p.case.name}: expected {p.case.expect.value}, "
        f"got {p.got.value if p.got else p.problems}"
        for p in prove_all(rules_of(source), BOOK)
        if not p.holds
    ]
    assert wrong == []


@pytest.mark.parametrize("rule", BOOK.rules.values(), ids=lambda r: r.id)
def test_every_rule_has_cases_for_the_usual(rule: Rule) -> None:
    expected = {case.expect for case in rule.cases}
    assert State.MEETS in expected
    assert State.FAILS in expected
    assert expected & {State.NOT_MEASURED, State.CANNOT_TELL}
    numbers = [t for t in every_test_of(rule) if t.op is not Op.ONE_OF]
    if numbers and any(t in (*_condition(rule),) for t in numbers):
        assert len(rule.cases) >= 4, "a number needs cases at the limit, one step either side, and missing"


def _condition(rule: Rule) -> Sequence[object]:
    return [t for step in rule.steps for t in step.condition.tests]


def place_of(name: str) -> str | None:
    """The vehicle, or no place: then it speaks for all."""
    return "vehicle" if BOOK.points[name].family == "vehicle" else None


def judged(rule: Rule, claims: tuple[Claim, ...]) -> tuple[set[State], Cells]:
    day = Day(CASE_DAY, True)
    visit = Visit(0, CASE_DAY, "", claims, (), (), None, HERE)
    document = Document("made-up", "", (), (), (visit,))
    settled = settle(document, BOOK, day, BOOK.rungs()[0], points_read([rule], BOOK))
    cells = Cells(settled, BOOK, CASE_DAY)
    _, results = evaluate([rule], cells, BOOK)
    return set(results.states.values()), cells


@pytest.mark.parametrize("source", SOURCES)
def test_nothing_unlooked_at_and_nothing_unknown_ever_meets(source: str) -> None:
    """Principle 1; a rule that asks only for facts with a default is answered by the default."""
    for rule in rules_of(source):
        names = points_read([rule], BOOK)
        if all(BOOK.points[n].fact and BOOK.points[n].default is not None for n in names):
            continue
        conditions = {t.measure for step in rule.steps for t in step.condition.tests}
        only_facts = (
            all(n in BOOK.points and BOOK.points[n].default is not None for n in conditions) and conditions
        )
        if only_facts:
            continue
        unknown = tuple(
            Claim(n, place_of(n), (), Known.SEEN, CASE_DAY, 0, "", HERE, why_unknown="written as unknown")
            for n in sorted(names)
        )
        for claims in ((), unknown):
            states, _ = judged(rule, claims)
            assert State.MEETS not in states, rule.id


TREAD = [
    # 1 in is 25.4 mm exactly (international inch, 1959): 2/32 in is 1.5875 mm.
    ("2/32 in", State.MEETS),
    ("1/16 in", State.MEETS),
    ("1.5875 mm", State.MEETS),
    ("1.6 mm", State.MEETS),
    ("2 32nds", State.MEETS),
    ("1.58 mm", State.FAILS),
    ("1/32 in", State.FAILS),
    ("1.5 to 1.6 mm", State.CANNOT_TELL),
    ("at least 2/32 in", State.MEETS),
    ("at most 1/32 in", State.FAILS),
]


@pytest.mark.parametrize(("written", "state"), TREAD)
def test_tread_at_its_limit_in_several_units(written: str, state: State) -> None:
    """49 CFR 570.9(a): at least 2/32 inch."""
    from precheck.model.document import Value
    from precheck.model.quantity import Quantity
    from precheck.read.quantity import read_quantity

    rule = BOOK.rules["us-570-9a-tread"]
    quantity = read_quantity(written, BOOK.units, dimension="length")
    assert isinstance(quantity, Quantity)
    claims = [Claim("tire-tread-depth", None, (Value(written, number=quantity.value, quantity=quantity),),
                    Known.MEASURED, CASE_DAY, 0, "", HERE)]  # fmt: skip
    for name, word in (("vehicle-class", "light truck"), ("rear-wheels", "single")):
        claims.append(Claim(name, "vehicle", (Value(word, state=word),), Known.SEEN, CASE_DAY, 0, "", HERE))
    weight = read_quantity("7500 lb", BOOK.units, dimension="mass")
    assert isinstance(weight, Quantity)
    value = Value("7500 lb", number=weight.value, quantity=weight)
    claims.append(Claim("gross-weight-rating", "vehicle", (value,), Known.SEEN, CASE_DAY, 0, "", HERE))
    states, _ = judged(rule, tuple(claims))
    assert states - {State.DOES_NOT_APPLY} == {state}
