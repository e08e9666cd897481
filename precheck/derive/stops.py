"""Stops: what a measured stop, or a deceleration meter, says of the brakes.

Base units: mm, m/s, m/s2, shares as plain fractions. Everything here is exact but the pull of a slope,
which is enclosed. What the ground leaves open makes a value one-sided (`ground`).
"""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from fractions import Fraction

from precheck.derive.enclose import add, less, monotone, scale
from precheck.derive.ground import Ground, ground_of, levelled, slope_pull
from precheck.derive.inverse import Goal, Inverse, at_least, at_most, end
from precheck.derive.measures import (
    FOOT,
    FT_S2,
    GRAVITY,
    MPH,
    PERCENT,
    Found,
    say,
    work_out,
)
from precheck.derive.outcome import Outcome
from precheck.model.quantity import Enclosure, Unit
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


def _efficiency(speed: Enclosure, distance: Enclosure, ground: Ground) -> Enclosure | str:
    """What the brakes gave, as a share of gravity: that of the stop, less the pull of the slope."""
    wrong = _moving(speed, distance)
    if wrong:
        return wrong
    found = scale(deceleration(speed, distance), 1 / GRAVITY)
    if ground.slope is not None:
        found = less(found, slope_pull(ground.slope))
    if found.low is not None and found.low > 1:
        return f"{say(found, PERCENT)} of gravity is more than gravity: read speed and distance again"
    return Enclosure(found.low, None) if ground.wet else found


def _of_stop(
    cells: tuple[Cell, ...], unit: Unit, compute: Callable[[Enclosure, Enclosure, Ground], Enclosure | str]
) -> Outcome:
    """A value of a stop, in ft/s2 or as a share of gravity."""
    ground = ground_of(cells[0], cells[2:])
    if isinstance(ground, str):
        return Outcome(unclear=ground)
    gravity = " x g" if unit is PERCENT else ""

    def both(distance: Enclosure, speed: Enclosure) -> Found:
        found = compute(speed, distance, ground)
        if isinstance(found, str):
            return found
        formula = f"({say(speed, MPH)}) squared / (2 x {say(distance, FOOT)}{gravity})"
        return found, f"{formula}, {ground.words}"

    return work_out(cells[:2], unit, both)


def stop_deceleration(cells: tuple[Cell, ...], day: date) -> Outcome:
    """Mean deceleration that the brakes gave in a measured stop: as `stop_efficiency`, times gravity."""

    def compute(speed: Enclosure, distance: Enclosure, ground: Ground) -> Enclosure | str:
        found = _efficiency(speed, distance, ground)
        return found if isinstance(found, str) else scale(found, GRAVITY)

    return _of_stop(cells, FT_S2, compute)


def stop_efficiency(cells: tuple[Cell, ...], day: date) -> Outcome:
    """Braking as a share of gravity, from a measured stop: speed squared / (2 x distance x g).

    Inputs: distance, speed; slope and surface (optional). Uphill is positive and its pull is taken off.
    On wet ground it is "at least" that. Without a slope the ground is taken as level and the step says
    so. Source: mechanics; worked rows of 67 Pa. Code ch. 175 Table I. More than gravity is asked back: a
    road stop does not reach it.
    """
    return _of_stop(cells, PERCENT, _efficiency)


def meter_deceleration(cells: tuple[Cell, ...], day: date) -> Outcome:
    """Deceleration that a meter's reading stands for: share x standard gravity, exact.

    The meter shows its best or settled figure, not the mean over a stop. Source: mechanics; percent and
    ft/s2 columns of 67 Pa. Code ch. 175 Table I.
    """

    def compute(share: Enclosure) -> Found:
        if share.low is None or share.low < 0:
            return "the reading must be zero or more"
        if share.low > 1:
            return f"{say(share, PERCENT)} is more than gravity: read the meter again"
        return scale(share, GRAVITY), f"{say(share, PERCENT)} of gravity"

    return work_out(cells, FT_S2, compute)


# -- distances on level ground


def stop_on_level(cells: tuple[Cell, ...], day: date) -> Outcome:
    """The stop distance as far as the ground lets it count, for a table made for dry, level pavement.

    As measured within 1 percent of level; "at least" that after a climb; "at most" that downhill or on wet
    ground. Inputs: distance; slope and surface (optional; not said is taken as level and dry).
    """
    ground = ground_of(cells[0], cells[1:])
    if isinstance(ground, str):
        return Outcome(unclear=ground)

    def compute(distance: Enclosure) -> Found:
        found = levelled(distance, ground)
        return found if isinstance(found, str) else (found, f"{say(distance, FOOT)}, {ground.words}")

    return work_out(cells[:1], FOOT, compute)


def stop_from_twenty(cells: tuple[Cell, ...], day: date) -> Outcome:
    """The stop distance brought to 20 mph, for a stop begun within 10 percent of it.

    distance x r squared + t x 20 mph x (1 - r), r = 20 mph / speed: the square rule, and what the time
    t that the brakes need to bite does to it. t is not known; 0 to 0.3 s is taken (common practice), so
    the answer is an enclosure unless the stop began at 20 mph. Inputs: distance, speed; slope and surface
    (optional) as in `stop_on_level`.
    """
    ground = ground_of(cells[0], cells[2:])
    if isinstance(ground, str):
        return Outcome(unclear=ground)

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
        found = levelled(add(squared, bitten), ground)
        if isinstance(found, str):
            return found
        words = f"{say(distance, FOOT)} x (20 mph / {say(speed, MPH)}) squared, with 0 to 0.3 s to bite"
        return found, f"{words}, {ground.words}"

    return work_out(cells[:2], FOOT, compute)


# -- inverses: on the ground as it is


def _stop_distance(divisor: Fraction) -> Callable[[Goal, tuple[Cell, ...], date], Enclosure | None]:
    """For a share of gravity (`divisor` g), or for m/s2 (`divisor` 1)."""

    def solve(goal: Goal, cells: tuple[Cell, ...], day: date) -> Enclosure | None:
        ground = ground_of(cells[0], cells[2:])
        speed = end(cells[1], goal.at_least)
        if isinstance(ground, str) or speed is None or (ground.wet and not goal.at_least):
            return None
        share = goal.limit * divisor / GRAVITY
        if ground.slope is not None:
            pull = slope_pull(ground.slope)
            steepest = pull.high if goal.at_least else pull.low
            assert steepest is not None
            share += steepest
        if share <= 0:
            return None
        distance = speed * speed * 1000 / (2 * share * GRAVITY)
        return at_most(distance) if goal.at_least else at_least(distance)

    return solve


def _counted(goal: Goal, ground: Ground | str) -> bool:
    """Whether a distance on this ground can show that one on the level meets the goal."""
    if isinstance(ground, str) or goal.limit <= 0:
        return False
    level = levelled(Enclosure.of(goal.limit), ground)
    return not isinstance(level, str) and (level.low if goal.at_least else level.high) is not None


def _from_twenty(goal: Goal, cells: tuple[Cell, ...], day: date) -> Enclosure | None:
    """Distance that, brought to 20 mph, is at most the limit, the longest time to bite taken."""
    slowest = end(cells[1], True)
    fastest = end(cells[1], False)
    if goal.at_least or not _counted(goal, ground_of(cells[0], cells[2:])):
        return None
    if slowest is None or fastest is None or slowest <= 0:
        return None
    bite = max(Fraction(0), BUILD_UP * TWENTY * (1 - TWENTY / fastest) * 1000)
    return at_most((goal.limit - bite) * (slowest / TWENTY) ** 2) if goal.limit > bite else None


def _reading(goal: Goal, cells: tuple[Cell, ...], day: date) -> Enclosure | None:
    share = goal.limit / GRAVITY
    if not 0 <= share <= 1:
        return None
    return at_least(share) if goal.at_least else at_most(share)


def _same_distance(goal: Goal, cells: tuple[Cell, ...], day: date) -> Enclosure | None:
    if not _counted(goal, ground_of(cells[0], cells[1:])):
        return None
    return at_least(goal.limit) if goal.at_least else at_most(goal.limit)


INVERSES: dict[str, tuple[Inverse, ...]] = {
    "stop-deceleration": (Inverse(0, _stop_distance(Fraction(1))),),
    "stop-efficiency": (Inverse(0, _stop_distance(GRAVITY)),),
    "stop-from-twenty": (Inverse(0, _from_twenty),),
    "stop-on-level": (Inverse(0, _same_distance),),
    "meter-deceleration": (Inverse(0, _reading),),
}
