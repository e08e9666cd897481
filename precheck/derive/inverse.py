"""Inverses: what an input would have to be for a derived value to meet a limit.

Declared beside the function, for an answer such as "raise to at least 36 psi". An inverse never says
that something meets: whoever uses it applies the change and judges again.
"""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from fractions import Fraction

from precheck.model.quantity import Enclosure
from precheck.model.record import dataclass
from precheck.model.settled import Cell

DAY = -1


@dataclass(frozen=True, slots=True)
class Goal:
    """A limit on the derived value, in base units: at least it, or at most it."""

    limit: Fraction
    at_least: bool


Solve = Callable[[Goal, tuple[Cell, ...], date], Enclosure | None]
"""Takes the goal, the cells as the function would get them, and the day.

Returns values of the one input (base units) with which the function surely meets the goal, the others
staying as they are; the end that lies on the limit is rounded to the safe side where it has no exact
fraction. None: no value of that input does it, or it cannot be told.
"""


@dataclass(frozen=True, slots=True)
class Inverse:
    """`position`: which input of `from:` would change, counted from 0; DAY: the day, as its ordinal."""

    position: int
    solve: Solve


def at_least(value: Fraction) -> Enclosure:
    return Enclosure(value, None)


def at_most(value: Fraction) -> Enclosure:
    return Enclosure(None, value)


def end(cell: Cell, lowest: bool) -> Fraction | None:
    """The lowest or highest end of all that was taken; None where it is open or there is nothing."""
    ends = [v.number.low if lowest else v.number.high for v in cell.values if v.number is not None]
    known = [e for e in ends if e is not None]
    if not known or len(known) < len(ends):
        return None
    return min(known) if lowest else max(known)


def of_difference(first: bool) -> Solve:
    """For a value that is one input less another: what the first, or the second, would have to be."""

    def solve(goal: Goal, cells: tuple[Cell, ...], day: date) -> Enclosure | None:
        other = end(cells[1] if first else cells[0], goal.at_least is not first)
        if other is None:
            return None
        found = other + goal.limit if first else other - goal.limit
        return at_least(found) if goal.at_least is first else at_most(found)

    return solve
