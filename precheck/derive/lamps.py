"""Headlamp aim: a drop at the wall it was measured at, as an angle and at the distance a rule names."""

from __future__ import annotations

from datetime import date
from fractions import Fraction

from precheck.derive.enclose import atan_degrees, monotone
from precheck.derive.inverse import Goal, Inverse, at_least, at_most, end
from precheck.derive.measures import DEG, FOOT, INCH, Found, say, work_out
from precheck.derive.outcome import Outcome
from precheck.model.quantity import Enclosure
from precheck.model.settled import Cell


def _ends(offset: Enclosure, distance: Enclosure) -> str:
    if distance.low is None or distance.low <= 0 or distance.high is None:
        return "the wall must stand at a distance above zero"
    if offset.low is None or offset.high is None:
        return "the offset must be known from both sides"
    return ""


def at_25_feet(cells: tuple[Cell, ...], day: date) -> Outcome:
    """Offset of the beam as it would be on a wall at 25 ft: offset x 25 ft / distance. Exact, sign kept.

    Similar triangles; N.J. Rev. Stat. 39:3-57 names 5 in at 25 ft and the line it draws. Inputs: offset,
    distance to the wall.
    """

    def compute(offset: Enclosure, distance: Enclosure) -> Found:
        wrong = _ends(offset, distance)
        if wrong:
            return wrong
        ends = [o * 25 * FOOT.factor / d for o in _pair(offset) for d in _pair(distance)]
        words = f"{say(offset, INCH)} x 25 ft / {say(distance, FOOT)}"
        return Enclosure(min(ends), max(ends)), words

    return work_out(cells, INCH, compute)


def angle(cells: tuple[Cell, ...], day: date) -> Outcome:
    """Offset of the beam as an angle: atan(offset / distance), enclosed, sign kept. Same inputs."""

    def compute(offset: Enclosure, distance: Enclosure) -> Found:
        wrong = _ends(offset, distance)
        if wrong:
            return wrong
        slopes = [o / d for o in _pair(offset) for d in _pair(distance)]
        found = monotone(atan_degrees, (Enclosure(min(slopes), max(slopes)), 1))
        return found, f"angle of {say(offset, INCH)} at {say(distance, FOOT)}"

    return work_out(cells, DEG, compute)


def _pair(number: Enclosure) -> list[Fraction]:
    return [e for e in (number.low, number.high) if e is not None]


def _offset(goal: Goal, cells: tuple[Cell, ...], day: date) -> Enclosure | None:
    """Offset at the wall that comes to the limit at 25 ft, the safe end of the distance taken."""
    ends = [end(cells[1], lowest) for lowest in (True, False)]
    if any(e is None or e <= 0 for e in ends):
        return None
    found = [goal.limit * e / (25 * FOOT.factor) for e in ends if e is not None]
    return at_least(max(found)) if goal.at_least else at_most(min(found))


INVERSES: dict[str, tuple[Inverse, ...]] = {"at-25-feet": (Inverse(0, _offset),)}
