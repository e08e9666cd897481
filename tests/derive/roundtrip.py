"""Holds a declared inverse against its function: its answer meets the limit, a step beyond does not."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from fractions import Fraction

from precheck.derive.functions import FUNCTIONS, INVERSES
from precheck.derive.inverse import Goal
from precheck.model.document import Value
from precheck.model.quantity import Enclosure
from tests.derive.making import DAY, book, cells_for


def round_trip(
    derived: str, told: Mapping[str, object], changed: str, goal: Goal, step: Fraction
) -> Enclosure:
    thing = book().derived[derived]
    cells = cells_for(derived, told)  # type: ignore[arg-type]
    position = thing.inputs.index(changed)
    inverse = next(i for i in INVERSES[thing.function] if i.position == position)
    need = inverse.solve(goal, cells, DAY)
    assert need is not None
    end = need.low if need.low is not None else need.high
    assert end is not None
    beyond = end - step if need.low is not None else end + step

    def meets(number: Fraction) -> bool:
        put = tuple(
            replace(c, values=(Value("changed", number=Enclosure.of(number)),)) if c.id == changed else c
            for c in cells
        )
        outcome = FUNCTIONS[thing.function](put, DAY)
        assert outcome.values, outcome.unclear
        found = outcome.values[0].number
        assert found is not None
        if goal.at_least:
            return found.low is not None and found.low >= goal.limit
        return found.high is not None and found.high <= goal.limit

    assert meets(end), (derived, end)
    assert not meets(beyond), (derived, beyond)
    return need
