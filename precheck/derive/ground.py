"""The ground a stop was made on: what slope and surface leave open of it.

Wet ground never shortens a stop, so a wet one is told as one-sided: the brakes do at least so much. What
soft ground does nobody can tell. Slopes are rise over run, uphill positive.
"""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from precheck.derive.enclose import monotone, square_root
from precheck.derive.measures import PERCENT, say
from precheck.model.quantity import Enclosure
from precheck.model.record import dataclass
from precheck.model.settled import Cell, Status

LEVEL = Fraction(1, 100)  # ground within this slope counts as level (common practice)

SURFACES = ("dry level pavement", "dry sloping pavement", "wet", "gravel or grass")
_FLAT, SLOPING, WET, SOFT = SURFACES


@dataclass(frozen=True, slots=True)
class Ground:
    """What the ground of a stop leaves open. `slope` is rise over run, uphill positive; None: not said."""

    wet: bool = False
    slope: Enclosure | None = None

    @property
    def words(self) -> str:
        slope = "ground taken as level" if self.slope is None else f"slope {say(self.slope, PERCENT)}"
        return f"{slope}, and wet: dry it would be no worse" if self.wet else slope


def ground_of(stop: Cell, ground: Sequence[Cell]) -> Ground | str:
    """The ground by its cells (slope, then surface, both optional), or why a stop on it cannot count.

    Ground that was told of another day than the stop is that of another stop.
    """
    for cell in ground:
        if cell.status is Status.UNCLEAR:
            return f"the ground of the stop is not known ({cell.id}: {cell.why})"
        if cell.values and stop.claim and cell.claim and stop.claim.on != cell.claim.on:
            return f"{cell.id} was written on {cell.claim.on}, the stop on {stop.claim.on}: write both anew"
    slope, surface = ({c.id: c for c in ground if c.values}.get(n) for n in ("test-slope", "test-surface"))
    states = {v.state for v in surface.values} if surface else set()
    if SOFT in states:
        return "loose or soft ground drags and slides: take the stop on dry, level pavement"
    if slope is None and SLOPING in states:
        return "the ground slopes: measure which way and how much (test-slope), or stop on the level"
    numbers = [v.number for v in slope.values if v.number is not None] if slope else []
    if not numbers:
        return Ground(WET in states)
    lows, highs = [n.low for n in numbers], [n.high for n in numbers]
    if None in lows or None in highs:
        return "the slope must be known from both sides"
    low, high = min(e for e in lows if e is not None), max(e for e in highs if e is not None)
    return Ground(WET in states, Enclosure(low, high))


def slope_pull(slope: Enclosure) -> Enclosure:
    """Share of the weight that pulls down a slope: s / root(1 + s squared), enclosed; s is rise over run."""

    def pull(s: Fraction) -> tuple[Fraction, Fraction]:
        low, high = square_root(1 + s * s)
        return (s / high, s / low) if s >= 0 else (s / low, s / high)

    return monotone(pull, (slope, 1))


def levelled(distance: Enclosure, ground: Ground) -> Enclosure | str:
    """The distance it would be on the level and dry: longer than after a climb, shorter than downhill."""
    slope = ground.slope or Enclosure.of(Fraction(0))
    assert slope.low is not None
    assert slope.high is not None
    shorter = ground.wet or slope.low < -LEVEL
    longer = slope.high > LEVEL
    if shorter and longer:
        return "an uphill stop on wet ground, or on a slope of either way, tells no distance on the level"
    return Enclosure(None if shorter else distance.low, None if longer else distance.high)
