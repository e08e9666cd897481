"""Units the derivations speak in, the constants they use, and values put into words.

The factors repeat rules/units.yaml, so that derivations need no rulebook; a test holds them together.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from fractions import Fraction
from itertools import product
from math import prod

from precheck.derive.enclose import hull
from precheck.derive.outcome import Outcome
from precheck.model.document import Value
from precheck.model.quantity import Enclosure, Unit
from precheck.model.settled import Cell, Status
from precheck.read.quantity import format_quantity

GRAVITY = Fraction(196133, 20000)  # m/s2, standard gravity (3rd General Conference on Weights and Measures)
ATMOSPHERE = Fraction(101325, 1000)  # kPa, standard atmosphere (10th General Conference)


def _unit(name: str, dimension: str, factor: Fraction | int, offset: Fraction | int = 0) -> Unit:
    return Unit(name, dimension, Fraction(factor), Fraction(offset), (f"{name}s",), "")


MM = _unit("mm", "length", 1)
INCH = _unit("in", "length", Fraction(127, 5))
FOOT = _unit("ft", "length", Fraction(1524, 5))
MPH = _unit("mph", "speed", Fraction(1397, 3125))
KMH = _unit("km/h", "speed", Fraction(5, 18))
FT_S2 = _unit("ft/s2", "acceleration", Fraction(381, 1250))
KG = _unit("kg", "mass", 1)
LB = _unit("lb", "mass", Fraction(45359237, 100000000))
LBF = _unit("lbf", "force", Fraction(8896443230521, 2000000000000))
PSI = _unit("psi", "pressure", Fraction(8896443230521, 1290320000000))
PERCENT = _unit("percent", "fraction", Fraction(1, 100))
VOLT = _unit("V", "voltage", 1)
AMPERE = _unit("A", "current", 1)
DEG = _unit("deg", "angle", 1)
TURN = _unit("turn", "angle", 360)
DEG_F = _unit("degF", "temperature", Fraction(5, 9), Fraction(45967, 180))
DEG_F_APART = _unit("degF difference", "temperature-difference", Fraction(5, 9))
DAY = _unit("day", "duration", 1)
MONTH = _unit("month", "age", 1)
COUNT = _unit("count", "count", 1)
PER_MINUTE = _unit("per minute", "frequency", 1)
ALL = (
    *(MM, INCH, FOOT, MPH, KMH, FT_S2, KG, LB, LBF, PSI, PERCENT, VOLT, DEG, TURN, DEG_F, DEG_F_APART),
    *(DAY, MONTH, COUNT, PER_MINUTE, AMPERE),
)


def say(number: Enclosure, unit: Unit) -> str:
    """A number in a unit, for people; `about` where it is not said exactly."""
    low = None if number.low is None else format_quantity(number.low, unit)
    high = None if number.high is None else format_quantity(number.high, unit)
    if low is None or high is None:
        return f"at least {low}" if low else f"at most {high}" if high else "open"
    return low if low == high else f"{low} to {high}"


def value(number: Enclosure, unit: Unit) -> Value:
    return Value(say(number, unit), number=number)


Found = tuple[Enclosure, str] | str
"""A number with the line that says how it came about, or why it cannot be told."""

_MOST = 200  # combinations worked through one by one; beyond, all values of an input count as one range


def work_out(cells: Sequence[Cell], unit: Unit, compute: Callable[..., Found]) -> Outcome:
    """One value for every combination of the numbers taken; `compute` gets one number for each cell.

    A cell without a value (an optional input) gives None. One combination that cannot be told makes
    the whole unclear.
    """
    choices = [_numbers(c) for c in cells]
    for cell, found in zip(cells, choices, strict=True):
        if not found:
            return Outcome(unclear=f"{cell.id} has no number")
    if prod(len(c) for c in choices) > _MOST:
        choices = [[hull(c)] for c in cells]
    values, steps = [], []
    for combination in product(*choices):
        got = compute(*combination)
        if isinstance(got, str):
            return Outcome(unclear=got)
        values.append(value(got[0], unit))
        steps.append(f"{got[1]} = {values[-1].written}")
    return Outcome(tuple(dict.fromkeys(values)), tuple(dict.fromkeys(steps)))


def _numbers(cell: Cell) -> list[Enclosure | None]:
    if cell.status is not Status.VALUE:
        return [None]
    return list(dict.fromkeys(v.number for v in cell.values if v.number is not None))


def state_of(cell: Cell) -> str | None:
    """The last state taken; None where the cell has no value."""
    return cell.values[-1].state if cell.values else None
