"""Inverses: what an input would have to be for a derived value to meet a limit.

Declared beside the function, for an answer such as "raise to at least 36 psi". An inverse never says
that something meets: whoever uses it applies the change and judges again.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import date
from fractions import Fraction

from precheck.model.quantity import Enclosure
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
