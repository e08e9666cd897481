"""Loads: load index, what a tire carries at the pressure it has, and what an axle has to spare.

Load against pressure follows a power law, load = rating x (pressure / rating pressure) ** n. No law is
exact: published tables lie around it, so every answer below the rating pressure is an enclosure wide
enough to hold the tables that were read. Above it the load does not rise.
"""

from __future__ import annotations

from datetime import date
from fractions import Fraction

from precheck.derive.enclose import add, ceil_to, less, power, scale
from precheck.derive.inverse import Goal, Inverse, at_least, at_most
from precheck.derive.measures import LB, PSI, Found, say, state_of, value, work_out
from precheck.derive.outcome import Outcome, entries
from precheck.derive.sizes import read_size
from precheck.model.document import Value
from precheck.model.quantity import Enclosure
from precheck.model.record import dataclass
from precheck.model.settled import Cell

# Kilograms by load index from 0, ten a line. French ministerial order of 24 October 1994, Annexe II; its
# misprint at 59 (240) is 243 in every other table and in the R80 series.
_TABLE = """
45 46.2 47.5 48.7 50 51.5 53 54.5 56 58
60 61.5 63 65 67 69 71 73 75 77.5
80 82.5 85 87.5 90 92.5 95 97.5 100 103
106 109 112 115 118 121 125 128 132 136
140 145 150 155 160 165 170 175 180 185
190 195 200 206 212 218 224 230 236 243
250 257 265 272 280 290 300 307 315 325
335 345 355 365 375 387 400 412 425 437
450 462 475 487 500 515 530 545 560 580
600 615 630 650 670 690 710 730 750 775
800 825 850 875 900 925 950 975 1000 1030
1060 1090 1120 1150 1180 1215 1250 1285 1320 1360
1400 1450 1500 1550 1600 1650 1700 1750 1800 1850
1900 1950 2000 2060 2120 2180 2240 2300 2360 2430
2500 2575 2650 2725 2800 2900 3000 3075 3150 3250
3350 3450 3550 3650 3750 3875 4000 4125 4250 4375
4500 4625 4750 4875 5000 5150 5300 5450 5600 5800
6000 6150 6300 6500 6700 6900 7100 7300 7500 7750
8000 8250 8500 8750 9000 9250 9500 9750 10000 10300
10600 10900 11200 11500 11800 12150 12500 12850 13200 13600
14000
"""
LOAD_INDEX = tuple(Fraction(word) for word in _TABLE.split())  # kg


@dataclass(frozen=True, slots=True)
class Law:
    """rating x ratio ** n: the low end with `steep` and less `off`, the high end with `flat` and more `off`.

    `full_at` is a pressure (kPa) at which the whole load is carried at the latest, whatever is molded.
    """

    words: str
    steep: Fraction
    flat: Fraction
    off: Fraction
    full_at: Fraction | None = None


# Exponents fitted to published load tables (secondary): light truck radial 0.7 (tables within 1.6 percent of
# it), light truck bias 0.585 (within 2.4 percent).
RADIAL_TRUCK = Law(
    "light truck radial: load goes with pressure to the power 0.7, tables within 2 percent",
    Fraction(7, 10),
    Fraction(7, 10),
    Fraction(2, 100),
)
BIAS_TRUCK = Law(
    "light truck bias: load goes with pressure to the power 0.585, tables within 2.5 percent",
    Fraction(117, 200),
    Fraction(117, 200),
    Fraction(25, 1000),
)
# Passenger formula (power 0.5, secondary) and the straight line (power 1, secondary), which is the cautious
# one downward; a standard-load passenger tire carries its load at 35 psi whatever its highest pressure.
PASSENGER = Law(
    "passenger tire: between the straight line and the square root of pressure",
    Fraction(1),
    Fraction(1, 2),
    Fraction(0),
    35 * PSI.factor,
)
UNKNOWN = Law(
    "no law published for this kind: between the straight line and the square root of pressure",
    Fraction(1),
    Fraction(1, 2),
    Fraction(0),
)


def law_for(standard: str | None, construction: str | None) -> Law:
    """The law for what a tire was built as, by its marking."""
    if standard == "light truck" and construction == "radial":
        return RADIAL_TRUCK
    if standard == "light truck" and construction in ("bias ply", "bias-belted"):
        return BIAS_TRUCK
    if standard == "passenger" and construction == "radial":
        return PASSENGER
    return UNKNOWN


def _share(pressure: Fraction, full: Fraction, law: Law, high: bool) -> Fraction:
    """Share of the rating carried at a pressure: its low or its high end."""
    if high and law.full_at is not None:
        full = min(full, law.full_at)
    if pressure >= full:
        return Fraction(1)
    if pressure <= 0:
        return Fraction(0)
    if high:
        return min(Fraction(1), power(pressure / full, law.flat)[1] * (1 + law.off))
    return power(pressure / full, law.steep)[0] * (1 - law.off)


def load_at(pressure: Enclosure, full: Enclosure, rating: Enclosure, law: Law) -> Enclosure:
    """Load (kg) one tire carries at a pressure (kPa), by its rating (kg) and the pressure of that."""
    low = high = None
    if pressure.low is not None and full.high is not None and rating.low is not None:
        low = rating.low * _share(pressure.low, full.high, law, False)
    if rating.high is not None:
        high = rating.high
        if pressure.high is not None and full.low is not None:
            high *= _share(pressure.high, full.low, law, True)
    return Enclosure(low, high)


def load_at_pressure(cells: tuple[Cell, ...], day: date) -> Outcome:
    """Load one tire carries at the pressure it has, an enclosure; the law used stands in the steps.

    Inputs: pressure, pressure of the rating (highest molded), load rating, construction, standard.
    Rises with pressure, never above the rating.
    """
    law = law_for(state_of(cells[4]), state_of(cells[3]))

    def compute(pressure: Enclosure, full: Enclosure, rating: Enclosure) -> Found:
        if full.low is None or full.low <= 0:
            return "the pressure of the load rating must be above zero"
        if rating.low is not None and rating.low < 0:
            return "a load rating cannot be below zero"
        return (
            load_at(pressure, full, rating, law),
            f"{law.words}; {say(rating, LB)} at {say(full, PSI)}, at {say(pressure, PSI)}",
        )

    return work_out(cells[:3], LB, compute)


def load_counted(cells: tuple[Cell, ...], day: date) -> Outcome:
    """The load a tire counts for on an axle: a passenger tire on anything but a car for load / 1.10.

    49 CFR 571.120 S5.1.2. Inputs: load, standard of the tire, class of the vehicle.
    """
    standard, kind = state_of(cells[1]), state_of(cells[2])
    derated = standard == "passenger" and kind != "car"

    def compute(load: Enclosure) -> Found:
        if derated:
            return scale(load, Fraction(10, 11)), f"passenger tire on a {kind}: {say(load, LB)} / 1.10"
        return load, f"{say(load, LB)} counts whole"

    return work_out(cells[:1], LB, compute)


def margin_of_sum(cells: tuple[Cell, ...], day: date) -> Outcome:
    """Sum of what is carried less what must be carried. Inputs: loads (gathered), then the one weight.

    49 CFR 571.120 S5.1.2: the sum of the ratings on an axle must be at least its rated weight.
    """
    carried, weight = entries(cells)

    def compute(*numbers: Enclosure) -> Found:
        total = add(*numbers[: len(carried)])
        asked = numbers[-1]
        return less(total, asked), f"{say(total, LB)} on {len(carried)} - {say(asked, LB)}"

    return work_out((*carried, *weight), LB, compute)


def margin_to_rating(cells: tuple[Cell, ...], day: date) -> Outcome:
    """A rating less the sum of weights. Inputs: the rating, then the weights (gathered)."""

    def compute(rating: Enclosure, *weights: Enclosure) -> Found:
        total = add(*weights)
        return less(rating, total), f"{say(rating, LB)} - {say(total, LB)}"

    return work_out(cells, LB, compute)


def index_load(cells: tuple[Cell, ...], day: date) -> Outcome:
    """Load by the load index in the size marking: the second figure for a tire beside another.

    French ministerial order of 24 October 1994, Annexe II. kg, exact. Input: size marking.
    """
    dual = cells[0].place.endswith(("-outer", "-inner"))
    values: list[Value] = []
    steps = []
    for written in cells[0].values:
        size = read_size(written.written)
        if isinstance(size, str):
            return Outcome(unclear=size)
        if size.load_index is None:
            return Outcome(unclear=f"{size.written}: no load index in the marking")
        single, double = size.load_index
        index = double if dual and double is not None else single
        if dual and double is None:
            return Outcome(unclear=f"{size.written}: no load index for two tires side by side")
        values.append(value(Enclosure.of(LOAD_INDEX[index]), LB))
        steps.append(f"load index {index}: {LOAD_INDEX[index]} kg, {values[-1].written}")
    return Outcome(tuple(values), tuple(steps))


# -- inverses


def _pressure_needed(goal: Goal, cells: tuple[Cell, ...], day: date) -> Enclosure | None:
    """The pressure from which a load is surely carried; rounded up to the next thousandth of a kPa."""
    if not goal.at_least or goal.limit <= 0:
        return None
    fulls = [v.number.high for v in cells[1].values if v.number is not None]
    ratings = [v.number.low for v in cells[2].values if v.number is not None]
    if not fulls or not ratings or None in fulls or None in ratings:
        return None
    full = max(f for f in fulls if f is not None)
    rating = min(r for r in ratings if r is not None)
    if full <= 0 or rating <= 0 or goal.limit > rating:
        return None
    law = law_for(state_of(cells[4]), state_of(cells[3]))
    wanted = goal.limit / (rating * (1 - law.off))
    if wanted >= 1:
        return at_least(full)
    return at_least(min(full, ceil_to(full * power(wanted, 1 / law.steep)[1], 3)))


def _weight_allowed(goal: Goal, cells: tuple[Cell, ...], day: date) -> Enclosure | None:
    """The weight that leaves the wanted margin: sum carried less margin."""
    if not goal.at_least:
        return None
    carried, _ = entries(cells)
    lows = [
        min((v.number.low for v in c.values if v.number and v.number.low is not None), default=None)
        for c in carried
    ]
    known = [low for low in lows if low is not None]
    return at_most(sum(known, Fraction(0)) - goal.limit) if len(known) == len(lows) else None


INVERSES: dict[str, tuple[Inverse, ...]] = {
    "load-at-pressure": (Inverse(0, _pressure_needed),),
    "margin-of-sum": (Inverse(1, _weight_allowed),),
}
