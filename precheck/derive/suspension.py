"""Suspension: shock lengths against the room they have, shocks fitted at the wrong axle, broken leaves."""

from __future__ import annotations

from datetime import date
from fractions import Fraction

from precheck.derive.enclose import hull, less, monotone
from precheck.derive.inverse import Goal, Inverse, at_least, at_most, end, of_difference
from precheck.derive.measures import INCH, PERCENT, Found, say, work_out
from precheck.derive.outcome import Outcome, entries
from precheck.model.document import Value
from precheck.model.quantity import Enclosure
from precheck.model.settled import Cell


def spare_length(cells: tuple[Cell, ...], day: date) -> Outcome:
    """First length less the second. For a shock: fully out less the mounts with the axle hanging, or the
    mounts on the bump stop less fully in; below zero the shock, not the stop, takes the load.

    Shock sizing practice (secondary). Inputs: the length that must be larger, then the other.
    """
    return work_out(
        cells, INCH, lambda more, other: (less(more, other), f"{say(more, INCH)} - {say(other, INCH)}")
    )


def broken_share(cells: tuple[Cell, ...], day: date) -> Outcome:
    """Broken or missing leaves over the leaves the spring was made with. Inputs: broken, all."""

    def compute(broken: Enclosure, leaves: Enclosure) -> Found:
        if leaves.low is None or leaves.low <= 0 or broken.low is None or broken.low < 0:
            return "a spring has at least one leaf"
        if broken.high is None or broken.high > leaves.low:
            return "more leaves broken than the spring has: count again"
        share = monotone(lambda b, n: b / n, (broken, 1), (leaves, -1))
        return share, f"{broken.low} of {leaves.low} leaves"

    return work_out(cells, PERCENT, compute)


FITS, SWAPPED, SHORT = "all fit", "front and rear changed over would fit", "some fit nowhere"
SHOCK_STATES = (FITS, SWAPPED, SHORT)


def shock_places(cells: tuple[Cell, ...], day: date) -> Outcome:
    """Whether every shock fits where it is, or where the other axle's shocks are.

    A shock fits where fully out is at least the mount distance with the axle hanging, and fully in at most
    the distance on the bump stop. Inputs, each gathered over the shocks: out, in, hanging, on the stop.
    """
    out, shut, drop, bump = ({c.place: hull(c) for c in group} for group in entries(cells))
    fits: dict[str, bool | None] = {}
    other: dict[str, bool | None] = {}
    for place in out:
        fits[place] = _fits(out[place], shut.get(place), drop.get(place), bump.get(place))
        mate = _other_axle(place)
        if mate in drop:
            other[place] = _fits(out[place], shut.get(place), drop[mate], bump.get(mate))
    if None in fits.values():
        wrong = ", ".join(p for p, ok in fits.items() if ok is None)
        return Outcome(unclear=f"the lengths at {wrong} lie on both sides of what fits")
    bad = [p for p, ok in fits.items() if not ok]
    if not bad:
        return _state(FITS, "every shock has room in both directions")
    words = f"does not fit: {', '.join(bad)}"
    if len(other) == len(out) and all(other.values()):
        return _state(SWAPPED, f"{words}; every one would fit at the other axle")
    return _state(SHORT, words)


def _fits(
    out: Enclosure | None, shut: Enclosure | None, drop: Enclosure | None, bump: Enclosure | None
) -> bool | None:
    """True or False where it is sure, else None."""
    if out is None or shut is None or drop is None or bump is None:
        return None
    down, up = less(out, drop), less(bump, shut)
    if down.low is not None and down.low >= 0 and up.low is not None and up.low >= 0:
        return True
    if (down.high is not None and down.high < 0) or (up.high is not None and up.high < 0):
        return False
    return None


def _other_axle(place: str) -> str:
    side, _, end = place.partition("-")
    return f"{side}-{'rear' if end == 'front' else 'front'}"


def _state(word: str, step: str) -> Outcome:
    return Outcome((Value(word, state=word),), (step,))


# -- inverses: what length to buy


def _unbroken(goal: Goal, cells: tuple[Cell, ...], day: date) -> Enclosure | None:
    """Broken leaves allowed: share x leaves, down to whole leaves (up for at least)."""
    leaves = end(cells[1], not goal.at_least)
    if leaves is None or leaves <= 0 or goal.limit < 0:
        return None
    count = leaves * goal.limit
    return at_least(Fraction(count.__ceil__())) if goal.at_least else at_most(Fraction(count.__floor__()))


INVERSES: dict[str, tuple[Inverse, ...]] = {
    "spare-length": (Inverse(0, of_difference(True)), Inverse(1, of_difference(False))),
    "broken-share": (Inverse(0, _unbroken),),
}
