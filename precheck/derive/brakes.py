"""Brakes: what a tester, a ruler and a thermometer say.

Base units: mm, N, kg, shares as plain fractions. Everything here is exact.
"""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from fractions import Fraction

from precheck.derive.enclose import absolute, add, less, monotone, scale
from precheck.derive.inverse import Goal, Inverse, at_least, at_most, end, of_difference
from precheck.derive.measures import (
    DEG_F_APART,
    GRAVITY,
    INCH,
    LBF,
    PERCENT,
    Found,
    say,
    work_out,
)
from precheck.derive.outcome import Outcome, entries
from precheck.model.quantity import Enclosure
from precheck.model.settled import Cell


def force_share(cells: tuple[Cell, ...], day: date) -> Outcome:
    """Sum of the forces of all wheels over the weight (mass x g). Inputs: forces, then one or more masses."""
    forces, masses = entries(cells)

    def compute(*numbers: Enclosure) -> Found:
        total = add(*numbers[: len(forces)])
        weight = scale(add(*numbers[len(forces) :]), GRAVITY)
        if weight.low is None or weight.low <= 0:
            return "the weight must be above zero"
        if any(f.low is None or f.low < 0 for f in numbers[: len(forces)]):
            return "a force must be known to be zero or more"
        found = monotone(lambda f, w: f / w, (total, 1), (weight, -1))
        return found, f"{say(total, LBF)} / {say(weight, LBF)}"

    return work_out((*forces, *masses), PERCENT, compute)


def _pair(cells: tuple[Cell, ...], compute: Callable[[Fraction, Fraction], Fraction], words: str) -> Outcome:
    """A ratio of the lower to the higher of two forces of one axle; `compute` takes (lower, higher)."""
    if len(cells) != 2:
        return Outcome(unclear=f"{len(cells)} wheels on the axle: two are compared")

    def both(one: Enclosure, two: Enclosure) -> Found:
        ends = (one.low, one.high, two.low, two.high)
        if any(e is None for e in ends):
            return "a force without both ends cannot be compared"
        a, b, c, d = (e for e in ends if e is not None)
        if min(a, c) < 0 or max(b, d) <= 0:
            return "no force at either wheel: there is nothing to compare"
        corners = [(x, y) for x in (a, b) for y in (c, d) if max(x, y) > 0]
        if len(corners) < 4:
            return "a force that may be zero at both wheels cannot be compared"
        ratios = [Fraction(min(x, y), max(x, y)) for x, y in corners]
        top = Fraction(1) if max(a, c) <= min(b, d) else max(ratios)
        low, high = min(ratios), top
        found = sorted((compute(low, Fraction(1)), compute(high, Fraction(1))))
        return Enclosure(found[0], found[1]), f"{words} of {say(one, LBF)} and {say(two, LBF)}"

    return work_out(cells, PERCENT, both)


def lower_share(cells: tuple[Cell, ...], day: date) -> Outcome:
    """The lower force of an axle as a share of the higher (Directive 2014/45/EU Annex I item 1.2.1)."""
    return _pair(cells, lambda low, high: low / high, "lower / higher")


def imbalance_of_larger(cells: tuple[Cell, ...], day: date) -> Outcome:
    """Difference over the higher force of an axle (GB inspection manual item 1.2.1)."""
    return _pair(cells, lambda low, high: (high - low) / high, "difference / higher")


def imbalance_of_smaller(cells: tuple[Cell, ...], day: date) -> Outcome:
    """Difference over the lower force: the stricter reading of 49 CFR 570.5(d)(1), which names no base.

    No force at one wheel gives no ratio; 100 percent of the higher is then stated as "at least".
    """
    if len(cells) == 2 and any(
        v.number is not None and v.number.low is not None and v.number.low <= 0
        for c in cells
        for v in c.values
    ):
        larger = _pair(cells, lambda low, high: (high - low) / high, "difference / higher")
        values = tuple(
            type(v)(f"at least {v.written}", number=Enclosure(v.number.low, None))
            for v in larger.values
            if v.number is not None
        )
        return Outcome(values, larger.steps, larger.unclear)
    return _pair(cells, lambda low, high: (high - low) / low, "difference / lower")


def left_to_wear(cells: tuple[Cell, ...], day: date) -> Outcome:
    """Left to wear up to the largest diameter cast in a drum. Inputs: measured diameter, mark."""
    return work_out(cells, INCH, lambda now, mark: (less(mark, now), f"{say(mark, INCH)} - {say(now, INCH)}"))


def left_of_disc(cells: tuple[Cell, ...], day: date) -> Outcome:
    """What is left of a disc above the least thickness marked on it (inputs: measured, mark)."""
    return work_out(cells, INCH, lambda now, mark: (less(now, mark), f"{say(now, INCH)} - {say(mark, INCH)}"))


def pedal_travel(cells: tuple[Cell, ...], day: date) -> Outcome:
    """Share of the pedal's travel used: (A - B) / A, A floor to free pedal, B floor to pedal pressed.

    49 CFR 570.55(c)(1), in the same words for 570.5(c). Inputs: B, then A.
    """

    def compute(pressed: Enclosure, free: Enclosure) -> Found:
        if free.low is None or free.low <= 0 or pressed.low is None or pressed.low < 0:
            return "the heights must be measured above the floor"
        if pressed.high is None or pressed.high > free.low:
            return "the pressed pedal stands higher than the free one: measure both again"
        found = monotone(lambda b, a: (a - b) / a, (pressed, -1), (free, 1))
        return found, f"({say(free, INCH)} - {say(pressed, INCH)}) / {say(free, INCH)}"

    return work_out(cells, PERCENT, compute)


def heat_apart(cells: tuple[Cell, ...], day: date) -> Outcome:
    """How much hotter one wheel of an axle is than its mate. Common practice (no source)."""
    if len(cells) != 2:
        return Outcome(unclear=f"{len(cells)} wheels on the axle: two are compared")
    places = " and ".join(c.place for c in cells)
    return work_out(cells, DEG_F_APART, lambda a, b: (absolute(less(a, b)), f"difference between {places}"))


# -- inverses


def _pressed(goal: Goal, cells: tuple[Cell, ...], day: date) -> Enclosure | None:
    """Height of the pressed pedal: A x (1 - share)."""
    free = end(cells[1], goal.at_least)
    if free is None or not 0 <= goal.limit <= 1:
        return None
    pressed = free * (1 - goal.limit)
    return at_most(pressed) if goal.at_least else at_least(pressed)


def _wear(goal: Goal, cells: tuple[Cell, ...], day: date) -> Enclosure | None:
    mark = end(cells[1], goal.at_least)
    if mark is None:
        return None
    return at_most(mark - goal.limit) if goal.at_least else at_least(mark - goal.limit)


INVERSES: dict[str, tuple[Inverse, ...]] = {
    "pedal-travel": (Inverse(0, _pressed),),
    "left-to-wear": (Inverse(0, _wear),),
    "left-of-disc": (Inverse(0, of_difference(True)),),
}
