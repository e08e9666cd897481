"""From settled cells to all cells that the tests of the selected rules read."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from datetime import date

from precheck.derive.across import across
from precheck.derive.functions import FUNCTIONS
from precheck.derive.margin import margin
from precheck.derive.outcome import Outcome
from precheck.model.catalogue import VEHICLE, Derived
from precheck.model.document import Value
from precheck.model.record import replace
from precheck.model.rules import Test
from precheck.model.settled import Cell, Settled, Status
from precheck.rulebook.book import Rulebook
from precheck.rulebook.places import read_at

Key = tuple[str, str]


class Cells:
    """Cells by (id, place), settled and derived; asking for one computes what it needs."""

    def __init__(self, settled: Settled, book: Rulebook, day: date) -> None:
        self.settled = settled
        self.book = book
        self.day = day
        self.found: dict[Key, Cell] = dict(settled.cells)
        self._where: dict[Key, str | None] = {}

    def key(self, test: Test, place: str) -> Key:
        """Where a test at a place reads its value."""
        if test.over or test.bound:
            return (test.cell, place)
        return (test.measure, self.where(test.measure, place) or place)

    def where(self, measure: str, place: str) -> str | None:
        """The place at which a value is read for a place; None where it is taken at none that fits."""
        key = (measure, place)
        if key not in self._where:
            self._where[key] = self._read_at(measure, place)
        return self._where[key]

    def _read_at(self, measure: str, place: str) -> str | None:
        family = self.book.family_of(measure)
        found = self.book.families.get(family)
        if found and found.kind == "spots":
            return place
        return read_at(family, place, self.settled.places, self.settled.up)

    def add(self, test: Test, place: str) -> Key:
        """Make sure the cell a test reads at a place is there; returns its key."""
        key = self.key(test, place)
        if key not in self.found:
            self.found[key] = self._bounded(test, place) if test.bound else self._base(test, place)
        return key

    def _base(self, test: Test, place: str) -> Cell:
        return self._over(test, place) if test.over else self.value(test.measure, place)

    def value(self, measure: str, place: str) -> Cell:
        """A point's, fact's or derived value for a place."""
        where = self.where(measure, place)
        if where is None:
            return Cell(measure, place, Status.MISSING, why=f"{measure} is not taken at {place}")
        key = (measure, where)
        if key not in self.found:
            derived = self.book.derived.get(measure)
            if derived is None:
                return Cell(measure, where, Status.MISSING, why="no reading")
            self.found[key] = self._derived(derived, where)
        return self.found[key]

    def _derived(self, derived: Derived, place: str) -> Cell:
        """A value worked out at a place; inputs that are gathered come from each place at or below it."""
        inputs: list[Cell] = []
        families = dict(derived.gather)
        for name in derived.inputs:
            places = self._below(families[name], place) if name in families else [place]
            inputs += [self.value(name, q) for q in places]
            if not places:
                why = f"no place of {families[name]} at {place}"
                inputs.append(Cell(name, place, Status.MISSING, why=why))
        return combine(
            derived.id,
            place,
            inputs,
            lambda cells: FUNCTIONS[derived.function](tuple(cells), self.day),
            derived.optional,
        )

    def _below(self, family: str, place: str) -> list[str]:
        """The places of a family that are this one, belong to it, or are all of the vehicle's."""
        there = self.settled.places.get(family, ())
        return [q for q in there if place in (VEHICLE, q) or self.settled.up.get(q) == place]

    def _over(self, test: Test, place: str) -> Cell:
        over = test.over
        assert over is not None
        chosen = self._below(over.family, place)
        name = test.cell.split("|less ")[0]
        if not chosen:
            return Cell(name, place, Status.MISSING, why=f"no place of {over.family} at {place}")
        inputs = [self.value(test.measure, q) for q in chosen]
        return combine(name, place, inputs, lambda cells: across(over, cells))

    def _bounded(self, test: Test, place: str) -> Cell:
        bound = test.bound
        assert bound is not None
        measured = self._base(test, place)
        reference = self.value(bound.of, place)
        return combine(
            test.cell, place, [measured, reference], lambda cells: margin(cells[0], cells[1], bound)
        )


def combine(
    name: str,
    place: str,
    inputs: Sequence[Cell],
    compute: Callable[[Sequence[Cell]], Outcome],
    optional: Sequence[str] = (),
) -> Cell:
    """A derived cell: computed where all inputs have values, else missing or unclear because of them.

    Inputs named in `optional` hold nothing up; those without a value reach the function as they are.
    """
    keys = tuple((c.id, c.place) for c in inputs)
    for status in (Status.MISSING, Status.UNCLEAR):
        lacking = [c for c in inputs if c.status is status and c.id not in optional]
        if lacking:
            why = "; ".join(f"{c.id} at {c.place}: {c.why}" for c in _unique(lacking))
            return Cell(name, place, status, why=why, inputs=keys, was=_was(inputs, lacking, compute))
    outcome = compute(inputs)
    if not outcome.values:
        return Cell(name, place, Status.UNCLEAR, why=outcome.unclear, inputs=keys, steps=outcome.steps)
    ends = [c.runs_out for c in inputs if c.runs_out is not None]
    return Cell(
        name,
        place,
        Status.VALUE,
        outcome.values,
        runs_out=min(ends, default=None),
        inputs=keys,
        steps=outcome.steps,
    )


def _was(
    inputs: Sequence[Cell], lacking: Sequence[Cell], compute: Callable[[Sequence[Cell]], Outcome]
) -> tuple[Value, ...]:
    """What it came to with the readings that no longer count; empty where some never were there."""
    if any(not c.was for c in lacking):
        return ()
    old = [replace(c, status=Status.VALUE, values=c.was) if c in lacking else c for c in inputs]
    return compute(old).values


def _unique(cells: Iterable[Cell]) -> list[Cell]:
    seen: dict[Key, Cell] = {}
    for cell in cells:
        seen.setdefault((cell.id, cell.place), cell)
    return list(seen.values())
