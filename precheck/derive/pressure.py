"""Tire pressure: another temperature, and how long it lasts at the rate it falls.

Gas at fixed volume, absolute pressure with the standard atmosphere of 101.325 kPa. Real air changes up to
REAL more than the ideal law says (property tables, up to 120 psi, -40 to 140 degF): the answer is enclosed
between the two.
"""

from __future__ import annotations

from datetime import date, timedelta
from fractions import Fraction

from precheck.derive.enclose import Bounds, monotone
from precheck.derive.inverse import Goal, Inverse, at_least, at_most, end
from precheck.derive.measures import ATMOSPHERE, DAY, DEG_F, PSI, Found, say, work_out
from precheck.derive.outcome import Outcome
from precheck.model.quantity import Enclosure
from precheck.model.settled import Cell

REAL = Fraction(5, 100)
LOW_SHARE = Fraction(8, 10)  # of the recommended pressure: from here down a tire counts as run low


def at_temperature(pressure: Enclosure, then: Enclosure, now: Enclosure) -> Enclosure:
    """Gauge pressure (kPa) at another temperature (K): p + (p + atmosphere) x (now / then - 1).

    The change is taken once as it is and once REAL larger.
    """

    def ends(p: Fraction, t: Fraction, n: Fraction) -> Bounds:
        change = (p + ATMOSPHERE) * (n / t - 1)
        both = (p + change, p + change * (1 + REAL))
        return min(both), max(both)

    return monotone(ends, (pressure, 1), (then, -1), (now, 1))


def pressure_at_temperature(cells: tuple[Cell, ...], day: date) -> Outcome:
    """Cold pressure as it will be at another air temperature. Inputs: pressure, temperature then, and now."""

    def compute(pressure: Enclosure, then: Enclosure, now: Enclosure) -> Found:
        if then.low is None or then.low <= 0 or now.low is None or now.low <= 0:
            return "a temperature is below any that there is"
        if pressure.low is None or pressure.low < 0:
            return "the pressure must not be below zero"
        found = at_temperature(pressure, then, now)
        words = f"{say(pressure, PSI)} at {say(then, DEG_F)}, brought to {say(now, DEG_F)}"
        return found, f"{words}, atmosphere 101.325 kPa"

    return work_out(cells, PSI, compute)


def days_left(cells: tuple[Cell, ...], day: date) -> Outcome:
    """Whole days until a tire is at 80 percent of its recommended pressure, if it falls as it did.

    (pressure - 80 percent of recommended) / loss in a day, less the days since it was taken. A tire that
    leaks falls slower as it empties, so the date is an early one. Inputs: pressure, recommended, loss in
    a day. Without a loss there is no such day; then the days are stated as at least 3650.
    """
    claim = cells[0].claim
    taken = claim.on if claim and claim.on else day
    since = (day - taken).days

    def compute(pressure: Enclosure, wanted: Enclosure, loss: Enclosure) -> Found:
        ends = (pressure.low, pressure.high, wanted.low, wanted.high, loss.low)
        if any(e is None for e in ends) or (loss.low is not None and loss.low < 0):
            return "pressures and loss must be known from both sides"
        low, high = (
            _days(p, w, x) for p, w, x in ((ends[0], ends[3], loss.high), (ends[1], ends[2], loss.low))
        )
        first = Fraction(3650 if low is None else low - since)
        last = None if high is None else Fraction(high - since)
        found = Enclosure(first if last is None else min(first, last), last)
        until = "no day" if low is None else str(taken + timedelta(days=min(low, 36500)))
        return found, f"falls from {say(pressure, PSI)} to 80 percent of {say(wanted, PSI)} on {until}"

    return work_out(cells, DAY, compute)


def _days(pressure: Fraction | None, wanted: Fraction | None, loss: Fraction | None) -> int | None:
    """Whole days to the low mark; None where it does not fall."""
    assert pressure is not None
    assert wanted is not None
    spare = pressure - LOW_SHARE * wanted
    if loss is None:
        return 0
    if loss == 0:
        return None if spare > 0 else 0
    return max(0, int(spare / loss))


# -- inverses


def _fill_now(goal: Goal, cells: tuple[Cell, ...], day: date) -> Enclosure | None:
    """The pressure to have at the temperature then, so that the limit is met at the one now."""
    then, now = end(cells[1], not goal.at_least), end(cells[2], goal.at_least)
    if then is None or now is None:
        return None
    if then <= 0 or now <= 0:
        return None
    change = now / then - 1
    if (change < 0) == goal.at_least:  # the end that decides is the one with the larger change
        change *= 1 + REAL
    needed = (goal.limit - ATMOSPHERE * change) / (1 + change)
    return at_least(needed) if goal.at_least else at_most(needed)


INVERSES: dict[str, tuple[Inverse, ...]] = {"pressure-at-temperature": (Inverse(0, _fill_now),)}
