"""Proving rules: each case is judged like a document, by both evaluators."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

from precheck.answer.judging import points_read
from precheck.derive.cells import Cells
from precheck.engine.evaluate import evaluate
from precheck.model.catalogue import Day
from precheck.model.document import Claim, Document, Visit
from precheck.model.node import Map, Source
from precheck.model.problem import Mark, Problem
from precheck.model.record import dataclass
from precheck.model.rules import Case, Rule, State
from precheck.read.shape import Shape
from precheck.rulebook.book import Rulebook
from precheck.settle.check import claims_of_case
from precheck.settle.settle import settle

CASE_DAY = date(2026, 1, 1)  # the day of a case that names none
_WORST = (State.FAILS, State.NOT_MEASURED, State.CANNOT_TELL, State.MEETS, State.DOES_NOT_APPLY)


@dataclass(frozen=True, slots=True)
class Proof:
    """One case: what was expected, what came out at its worst place, or why it cannot be read."""

    rule: Rule
    case: Case
    got: State | None
    problems: tuple[Problem, ...] = ()

    @property
    def holds(self) -> bool:
        return self.got is self.case.expect and not self.problems


def prove(rule: Rule, case: Case, book: Rulebook) -> Proof:
    """Run one case. Raises an EngineFault where the evaluators differ."""
    day = Day(case.on or CASE_DAY, True)
    facts, readings, problems = given_of(rule, case, book)
    if problems:
        return Proof(rule, case, None, problems)
    visit = Visit(0, day.date, "case", readings, (), (), None, case.mark)
    document = Document(rule.file, "", facts, (), (visit,))
    settled = settle(document, book, day, book.rungs()[0], points_read([rule], book))
    cells = Cells(settled, book, day.date)
    units, results = evaluate([rule], cells, book)
    by_place: dict[str, list[State]] = {}
    for unit in units:
        if case.step is None or unit.number == case.step - 1:
            by_place.setdefault(unit.place, []).append(results.states[unit.key])
    found = [_worst(states) for states in by_place.values()]
    if not found:
        nowhere = Problem(
            rule.file,
            case.mark,
            "case",
            f"case '{case.name}': the rule has no place here",
            "a place to judge",
        )
        return Proof(rule, case, None, (nowhere,))
    return Proof(rule, case, _worst(found))


def given_of(
    rule: Rule, case: Case, book: Rulebook
) -> tuple[tuple[Claim, ...], tuple[Claim, ...], tuple[Problem, ...]]:
    """The facts and readings that a case gives, and what is wrong with them."""
    given = _laid_over(case.typical, case.given)
    shape = Shape(Source(rule.file, (), given), book.units)
    facts, readings = claims_of_case(shape, book, given, Day(case.on or CASE_DAY, True))
    return facts, readings, tuple(shape.problems)


def prove_all(rules: Sequence[Rule], book: Rulebook) -> list[Proof]:
    return [prove(rule, case, book) for rule in rules for case in rule.cases]


def _worst(states: Sequence[State]) -> State:
    return next(s for s in _WORST if s in states)


def _laid_over(typical: Map | None, given: Map) -> Map:
    names = {e.key.text for e in given.entries}
    kept = tuple(e for e in typical.entries if e.key.text not in names) if typical else ()
    return Map((*kept, *given.entries), given.mark or Mark(1, 1))
