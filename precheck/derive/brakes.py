"""Brakes: what a stop, a tester and a ruler say.

Base units: mm, m/s, m/s2, N, kg, shares as plain fractions. Everything here is exact but the pull of
a slope, which is enclosed.
"""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from fractions import Fraction

from precheck.derive.enclose import absolute, add, less, monotone, scale, square_root
from precheck.derive.inverse import Goal, Inverse, at_least, at_most, end, of_difference
from precheck.derive.measures import (
    DEG_F_APART,
    FOOT,
    FT_S2,
    GRAVITY,
    INCH,
    LBF,
    MPH,
    PERCENT,
    Found,
    say,
    work_out,
)
from precheck.derive.outcome import Outcome, entries
from precheck.model.quantity import Enclosure
from precheck.model.settled import Cell

TWENTY = 20 * MPH.factor  # m/s, the speed of the stop tables
BAND = Fraction(1, 10)  # how far from 20 mph a stop may begin and still be brought to it
BUILD_UP = Fraction(3, 10)  # s, longest time the brakes are taken to need to bite


def deceleration(speed: Enclosure, distance: Enclosure) -> Enclosure:
    """Mean deceleration in m/s2 over a whole stop: speed squared over twice the distance.

    `speed` in m/s (0 or more), `distance` in mm (above 0). Exact. Source: mechanics; worked rows in
    49 CFR 571.105 S5.1.3.3(b).
    """
    return monotone(lambda v, d: v * v * 1000 / (2 * d), (speed, 1), (distance, -1))


def _moving(speed: Enclosure, distance: Enclosure) -> str:
    """Why a stop cannot be worked out, or an empty text."""
    if speed.low is None or speed.low <= 0:
        return "the stop needs a speed above zero"
    if distance.low is None or distance.low <= 0:
        return "the stop needs a distance above zero"
    return ""


def stop_deceleration(cells: tuple[Cell, ...], day: date) -> Outcome:
    """Mean deceleration of a measured stop, from its distance and the speed it began at."""

    def compute(distance: Enclosure, speed: Enclosure) -> Found:
        wrong = _moving(speed, distance)
        if wrong:
            return wrong
        found = deceleration(speed, distance)
        if found.low is not None and found.low > GRAVITY:
            return f"{say(found, FT_S2)} is more than gravity: read speed and distance again"
        return found, f"({say(speed, MPH)}) squared / (2 x {say(distance, FOOT)})"

    return work_out(cells, FT_S2, compute)


def slope_pull(slope: Enclosure) -> Enclosure:
    """Share of the weight that pulls down a slope: s / root(1 + s squared), enclosed; s is rise over run."""

    def pull(s: Fraction) -> tuple[Fraction, Fraction]:
        low, high = square_root(1 + s * s)
        return (s / high, s / low) if s >= 0 else (s / low, s / high)

    return monotone(pull, (slope, 1))


def stop_efficiency(cells: tuple[Cell, ...], day: date) -> Outcome:
    """Braking as a share of gravity, from a measured stop: speed squared / (2 x distance x g).

    Inputs: distance, speed, slope (optional; uphill is positive and its pull is taken off). Without a
    slope the ground is taken as level and the step says so. Source: mechanics; worked rows of 67 Pa.
    Code ch. 175 Table I. More than gravity is asked back: a road stop does not reach it.
    """

    def compute(distance: Enclosure, speed: Enclosure, slope: Enclosure | None) -> Found:
        wrong = _moving(speed, distance)
        if wrong:
            return wrong
        found = scale(deceleration(speed, distance), 1 / GRAVITY)
        ground = "ground taken as level"
        if slope is not None:
            found = less(found, slope_pull(slope))
            ground = f"less the pull of the slope, {say(slope, PERCENT)}"
        if found.low is not None and found.low > 1:
            return f"{say(found, PERCENT)} is more than gravity: read speed and distance again"
        return found, f"({say(speed, MPH)}) squared / (2 x {say(distance, FOOT)} x g), {ground}"

    return work_out(cells, PERCENT, compute)


def stop_from_twenty(cells: tuple[Cell, ...], day: date) -> Outcome:
    """The stop distance brought to 20 mph, for a stop begun within 10 percent of it.

    distance x r squared + t x 20 mph x (1 - r), r = 20 mph / speed: the square rule, and what the time
    t that the brakes need to bite does to it. t is not known; 0 to 0.3 s is taken (common practice), so
    the answer is an enclosure unless the stop began at 20 mph.
    """

    def compute(distance: Enclosure, speed: Enclosure) -> Found:
        wrong = _moving(speed, distance)
        if wrong:
            return wrong
        assert speed.low is not None
        if speed.low < TWENTY * (1 - BAND) or speed.high is None or speed.high > TWENTY * (1 + BAND):
            return f"the stop began at {say(speed, MPH)}, more than 10 percent from 20 mph: take it again"
        squared = monotone(lambda d, v: d * (TWENTY / v) ** 2, (distance, 1), (speed, -1))
        bite = monotone(lambda v: BUILD_UP * TWENTY * (1 - TWENTY / v) * 1000, (speed, 1))
        assert bite.low is not None
        assert bite.high is not None
        bitten = Enclosure(min(bite.low, Fraction(0)), max(bite.high, Fraction(0)))
        return add(squared, bitten), (
            f"{say(distance, FOOT)} x (20 mph / {say(speed, MPH)}) squared, with 0 to 0.3 s to bite"
        )

    return work_out(cells, FOOT, compute)


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


def _stop_distance(divisor: Fraction) -> Callable[[Goal, tuple[Cell, ...], date], Enclosure | None]:
    def solve(goal: Goal, cells: tuple[Cell, ...], day: date) -> Enclosure | None:
        if goal.limit <= 0 or (len(cells) > 2 and cells[2].values):
            return None
        speed = end(cells[1], goal.at_least)
        if speed is None:
            return None
        distance = speed * speed * 1000 / (2 * goal.limit * divisor)
        return at_most(distance) if goal.at_least else at_least(distance)

    return solve


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


def _from_twenty(goal: Goal, cells: tuple[Cell, ...], day: date) -> Enclosure | None:
    """Distance that, brought to 20 mph, is at most the limit, the longest time to bite taken."""
    slowest = end(cells[1], True)
    fastest = end(cells[1], False)
    if goal.at_least or slowest is None or fastest is None or slowest <= 0:
        return None
    bite = max(Fraction(0), BUILD_UP * TWENTY * (1 - TWENTY / fastest) * 1000)
    return at_most((goal.limit - bite) * (slowest / TWENTY) ** 2) if goal.limit > bite else None


INVERSES: dict[str, tuple[Inverse, ...]] = {
    "stop-deceleration": (Inverse(0, _stop_distance(Fraction(1))),),
    "stop-efficiency": (Inverse(0, _stop_distance(GRAVITY)),),
    "pedal-travel": (Inverse(0, _pressed),),
    "stop-from-twenty": (Inverse(0, _from_twenty),),
    "left-to-wear": (Inverse(0, _wear),),
    "left-of-disc": (Inverse(0, of_difference(True)),),
}
