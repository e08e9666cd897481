"""Wire: what copper of a gauge and length loses at a current, and what a measured drop shows beyond it.

Base units: mm, A, V, ohm. The gauge is the American one, a whole number (00 is written -1).
"""

from __future__ import annotations

from datetime import date
from fractions import Fraction

from precheck.derive.enclose import Bounds, less, monotone, pi, power
from precheck.derive.inverse import Goal, Inverse, at_most, end
from precheck.derive.measures import AMPERE, FOOT, VOLT, Found, say, work_out
from precheck.derive.outcome import Outcome
from precheck.model.quantity import Enclosure
from precheck.model.settled import Cell

COPPER = Fraction(1724, 10**11)  # ohm metre at 20 degC (printed value)
STRANDED = Fraction(110, 100)  # stranded car wire has up to so much more resistance than solid (memory)
GAUGES = (-3, 40)  # 0000 to the finest that tables print


def wire_diameter(gauge: int) -> Bounds:
    """Bounds of the diameter in mm of solid wire of an American gauge: 0.005 in x 92 ** ((36 - n) / 39)."""
    low, high = power(Fraction(92), Fraction(36 - gauge, 39))
    factor = Fraction(127, 1000)
    return low * factor, high * factor


def wire_resistance(gauge: int, length: Fraction) -> Bounds:
    """Bounds of the resistance in ohm of a length (mm) of solid copper wire: rho x length / area."""
    low, high = wire_diameter(gauge)
    low_pi, high_pi = pi()
    top = 4 * COPPER * length * 1000
    return top / (high_pi * high * high), top / (low_pi * low * low)


def wire_drop(gauge: int, length: Fraction, current: Fraction) -> Bounds:
    """Bounds of the voltage lost in a wire: current (A) x resistance of its length (mm)."""
    low, high = wire_resistance(gauge, length)
    return current * low, current * high


def _lost(gauge: Enclosure, length: Enclosure, current: Enclosure) -> Enclosure | str:
    """Voltage that the wire loses, from solid copper to stranded car wire; or why it cannot be told."""
    number = gauge.low
    if not gauge.exact or number is None or number.denominator != 1:
        return "a gauge is one whole number, as the wire's jacket or a gauge plate says"
    if not GAUGES[0] <= number <= GAUGES[1]:
        return f"{number} is no American wire gauge (0000 is -3, 40 the finest)"
    if length.low is None or length.low <= 0 or current.low is None or current.low < 0:
        return "length and current must be above zero"

    def drop(run: Fraction, amps: Fraction) -> Bounds:
        low, high = wire_drop(int(number), run, amps)
        return low, high * STRANDED

    return monotone(drop, (length, 1), (current, 1))


def _words(gauge: Enclosure, length: Enclosure, current: Enclosure) -> str:
    return f"{say(current, AMPERE)} through {say(length, FOOT)} of gauge {gauge.low}"


def wire_loss(cells: tuple[Cell, ...], day: date) -> Outcome:
    """Voltage lost in the copper of a run: current x 1.724e-8 ohm metre x length / area of the gauge.

    Enclosed from solid wire at 20 degC to 10 percent more, for stranded car wire (memory). Inputs: gauge,
    length of the wire between the two places, current. Source: physics tables.
    """

    def compute(gauge: Enclosure, length: Enclosure, current: Enclosure) -> Found:
        found = _lost(gauge, length, current)
        return found if isinstance(found, str) else (found, _words(gauge, length, current))

    return work_out(cells, VOLT, compute)


def loss_beyond_wire(cells: tuple[Cell, ...], day: date) -> Outcome:
    """Measured drop less what the copper between the two places loses: what joints and switches lose.

    Below zero the gauge, the length or the current is not what was written. Inputs: drop, then as
    `wire_loss`.
    """

    def compute(drop: Enclosure, gauge: Enclosure, length: Enclosure, current: Enclosure) -> Found:
        found = _lost(gauge, length, current)
        if isinstance(found, str):
            return found
        words = f"{say(drop, VOLT)} - {say(found, VOLT)} of {_words(gauge, length, current)}"
        return less(drop, found), words

    return work_out(cells, VOLT, compute)


# -- inverses


def _most_drop(goal: Goal, cells: tuple[Cell, ...], day: date) -> Enclosure | None:
    """The drop that leaves at most the wanted loss beside the wire, the least loss of the wire taken."""
    ends = [end(c, True) for c in cells[1:]]
    if goal.at_least or any(e is None for e in ends):
        return None
    gauge, length, current = (Enclosure.of(e) for e in ends if e is not None)
    lost = _lost(gauge, length, current)
    return None if isinstance(lost, str) or lost.low is None else at_most(lost.low + goal.limit)


INVERSES: dict[str, tuple[Inverse, ...]] = {"loss-beyond-wire": (Inverse(0, _most_drop),)}
