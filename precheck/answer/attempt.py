"""One attempt at making a rule meet: the readings changed so far, and how one is changed."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Self

from precheck.answer.sampling import default_value
from precheck.answer.targets import Range, nearest
from precheck.answer.trial import Trial, Values
from precheck.derive.cells import Key
from precheck.engine.judge import worst_value
from precheck.model.document import Value
from precheck.model.record import dataclass
from precheck.model.rules import Op, State, Test
from precheck.model.settled import Cell, Status


@dataclass(frozen=True, slots=True)
class Fix:
    """One reading that would have to be otherwise.

    `wanted` and `states` are all the values that would do, as far as the condition says so itself;
    `worked` where the value was found from a derived value or by trial; `times` how often it has to be
    taken, where a derivation wants several.
    """

    key: Key
    value: Value
    wanted: Range | None = None
    states: tuple[str, ...] = ()
    worked: bool = False
    sure: bool = False
    times: int = 1

    @property
    def values(self) -> Values:
        return (self.value,) * self.times

    @property
    def written(self) -> str:
        return ", ".join(v.written for v in self.values)


class Attempt:
    """`fixes` are what was changed, in the order it came to them."""

    def __init__(
        self, trial: Trial, fixes: dict[Key, Fix] | None = None, held: Sequence[tuple[Test, str]] = ()
    ) -> None:
        self.trial = trial
        self.book = trial.book
        self.fixes: dict[Key, Fix] = dict(fixes or {})
        self.held = list(held)  # comparisons met so far, which a value found by trial must not undo

    def fork(self) -> Self:
        return type(self)(self.trial, self.fixes, self.held)

    @property
    def changed(self) -> dict[Key, Values]:
        return {key: fix.values for key, fix in self.fixes.items()}

    @property
    def cost(self) -> int:
        return sum(self._cost(fix) for fix in self.fixes.values())

    def _cost(self, fix: Fix) -> int:
        """Answering is cheaper than measuring, measuring than filling or adjusting, that than mending."""
        point = self.book.points[fix.key[0]]
        was = self.trial.settled.cells.get(fix.key)
        if was is None or was.status is not Status.VALUE:
            return 10 if point.fact else 20
        if point.fact or point.lasts.permanent:
            return 90
        return 30 if point.adjustable else 60

    # -- asking ---------------------------------------------------------------------------------

    def outcome(self, test: Test, place: str) -> tuple[State, Cell]:
        return self.trial.outcome(test, place, self.changed)

    def meets(self, test: Test, place: str) -> bool:
        return self.outcome(test, place)[0] is State.MEETS

    def cell(self, key: Key) -> Cell:
        return self.trial.cells(self.changed).value(*key)

    def now(self, key: Key, op: Op) -> Value | None:
        """The reading as it was settled: of several values the one that decides."""
        cell = self.trial.settled.cells.get(key)
        if cell is None or not cell.values:
            return None
        worst = worst_value(op, cell) if cell.values[0].number else None
        same = [v for v in cell.values if v.number == worst]
        return same[0] if same else cell.values[0]

    def open_leaves(self, cell: Cell) -> list[Key]:
        """The readings behind a cell that have no value."""
        out: list[Key] = []
        cells = self.trial.cells(self.changed)
        known = cell.id in self.book.points or cell.id in self.book.derived
        todo = [(cell.id, cell.place)] if known else list(cell.inputs)
        while todo:
            key = todo.pop(0)
            found = cells.value(*key) if key[0] in self.book.points or key[0] in self.book.derived else None
            if key[0] in self.book.points and (found is None or found.status is not Status.VALUE):
                if key not in out:
                    out.append(key)
            elif found is not None:
                todo += found.inputs
        return out

    def fill(self, cell: Cell) -> bool:
        """Give every reading behind a cell that has none a usual value."""
        for key in self.open_leaves(cell):
            value = default_value(self.book, key, self.trial)
            if value is None:
                return False
            self.fixes[key] = Fix(key, value, worked=True)
        return True

    # -- changing -------------------------------------------------------------------------------

    def leaf(self, key: Key, test: Test) -> bool:
        """Change a reading itself, within what was asked of it before."""
        point = self.book.points[key[0]]
        if test.op is Op.ONE_OF:
            return self.states(key, tuple(s for s in point.states if s in test.states))
        assert test.limit is not None
        return self.number(key, Range.of(test.op, test.limit), test.op)

    def states(self, key: Key, states: Sequence[str], worked: bool = False) -> bool:
        before = self.fixes.get(key)
        allowed = [s for s in states if not (before and before.states) or s in before.states]
        if not allowed:
            return False
        value = Value(allowed[0], state=allowed[0])
        self.fixes[key] = Fix(key, value, states=tuple(allowed), worked=worked)
        return True

    def number(self, key: Key, wanted: Range, op: Op, worked: bool = False) -> bool:
        point = self.book.points[key[0]]
        before = self.fixes.get(key)
        if before and before.wanted:
            wanted = wanted.also(before.wanted)
        picked = nearest(point, wanted, self.now(key, op), self.book.units)
        if picked is None:
            return False
        self.fixes[key] = Fix(key, picked.value, wanted, worked=worked, sure=picked.sure)
        return True
