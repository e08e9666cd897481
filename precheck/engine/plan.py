"""What is expected: every selected rule at every place of this vehicle, step by step."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from precheck.derive.cells import Cells
from precheck.model.record import dataclass
from precheck.model.rules import Effects, Part, Rule, Step, Test
from precheck.rulebook.book import Rulebook

UnitKey = tuple[str, str, int]  # rule id, place, step from 0


@dataclass(frozen=True, slots=True)
class Unit:
    """One step of one rule at one place: the smallest thing that ends in exactly one state."""

    rule: Rule
    place: str
    number: int

    @property
    def key(self) -> UnitKey:
        return (self.rule.id, self.place, self.number)

    @property
    def step(self) -> Step:
        return self.rule.steps[self.number]

    @property
    def effects(self) -> Effects:
        return self.step.effects


def tests_in(part: Part) -> Iterator[Test]:
    """Every test of a condition, its applicability terms included."""
    yield from part.applies
    yield from part.tests
    for inner in part.parts:
        yield from tests_in(inner)


def tests_of(rule: Rule) -> Iterator[Test]:
    yield from rule.applies
    for step in rule.steps:
        yield from tests_in(step.condition)


def places_for(rule: Rule, cells: Cells) -> tuple[str, ...]:
    """The places a rule is judged at: its family's, one named place, or the spots that were written."""
    settled, book = cells.settled, cells.book
    family = book.families.get(rule.family)
    if family and family.kind == "spots":
        measures = _readings_of({t.measure for t in tests_of(rule)}, cells.book)
        return tuple(
            sorted({place for name, place in settled.cells if name in measures and _spot(cells, name)})
        )
    if rule.family in settled.places:
        return settled.places[rule.family]
    exists = any(rule.family in places for places in settled.places.values())
    return (rule.family,) if exists else ()


def _readings_of(names: Iterable[str], book: Rulebook) -> set[str]:
    """The points behind tests: a derived value is judged where one of its inputs was written."""
    out: set[str] = set()
    todo = list(names)
    while todo:
        name = todo.pop()
        if name in book.derived:
            todo += book.derived[name].inputs
        out.add(name)
    return out


def _spot(cells: Cells, measure: str) -> bool:
    family = cells.book.families.get(cells.book.family_of(measure))
    return family is not None and family.kind == "spots"


def plan(rules: Sequence[Rule], cells: Cells) -> tuple[Unit, ...]:
    """The expected set, with every cell its tests read made ready in `cells`."""
    units = []
    for rule in rules:
        for place in places_for(rule, cells):
            for test in tests_of(rule):
                cells.add(test, place)
            units += [Unit(rule, place, number) for number in range(len(rule.steps))]
    return tuple(units)
