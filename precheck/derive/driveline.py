"""Driveline: joint angles from two views, tire sizes between driven axles, heat at idle and on the road."""

from __future__ import annotations

from datetime import date
from fractions import Fraction

from precheck.derive.enclose import (
    Bounds,
    absolute,
    ceil_to,
    floor_to,
    join,
    less,
    monotone,
    pi,
    square_root,
)
from precheck.derive.measures import (
    DEG,
    DEG_F_APART,
    INCH,
    MPH,
    PER_MINUTE,
    PERCENT,
    TURN,
    Found,
    say,
    work_out,
)
from precheck.derive.outcome import Outcome, entries
from precheck.derive.sizes import read_size
from precheck.model.document import Value
from precheck.model.quantity import Enclosure
from precheck.model.settled import Cell


def compound_angle(cells: tuple[Cell, ...], day: date) -> Outcome:
    """True angle of a joint from the angle seen from the side and from above: root(side2 + top2), enclosed.

    The trade's rule (common practice). Up to 6 degrees in each view it differs from the angle of the two
    shafts in space by less than four hundredths. Inputs: side, top (degrees).
    """

    def compute(side: Enclosure, top: Enclosure) -> Found:
        found = monotone(_length, (absolute(side), 1), (absolute(top), 1))
        return found, f"root of {say(side, DEG)} squared + {say(top, DEG)} squared"

    return work_out(cells, DEG, compute)


def _length(one: Fraction, two: Fraction) -> Bounds:
    return square_root(one * one + two * two)


def angles_apart(cells: tuple[Cell, ...], day: date) -> Outcome:
    """Difference of the angles of the two joints of a shaft (trade rule: within 1 degree of each other)."""
    if len(cells) != 2:
        return Outcome(unclear=f"{len(cells)} joint of this shaft: two are compared")
    return work_out(
        cells,
        DEG,
        lambda one, two: (absolute(less(one, two)), f"difference of {say(one, DEG)} and {say(two, DEG)}"),
    )


ROAD = 55 * MPH.factor  # m/s
LOADED = Fraction(104, 100)  # a loaded tire turns up to this often for one turn of a free one (secondary)


def shaft_speed(cells: tuple[Cell, ...], day: date) -> Outcome:
    """Turns of the driveshaft in a minute at 55 mph: turns for one of the wheel x speed / (pi x diameter).

    Enclosed from the free tire to one that turns 4 percent more often (published tires: 3 to 3.5 percent).
    Inputs: shaft turns (deg), diameters of the driven tires (gathered; all of them are held).
    """

    def compute(turns: Enclosure, *sizes: Enclosure) -> Found:
        size = join(sizes)
        if size is None or size.low is None or size.low <= 0 or turns.low is None or turns.low <= 0:
            return "turns and diameters must be above zero"
        found = monotone(_per_minute, (turns, 1), (size, -1))
        return found, f"at 55 mph, {say(turns, TURN)} for one of the wheel, tires of {say(size, INCH)}"

    return work_out(cells, PER_MINUTE, compute)


def _per_minute(turns: Fraction, diameter: Fraction) -> Bounds:
    low_pi, high_pi = pi()
    top = turns / 360 * ROAD * 1000 * 60 / diameter
    return floor_to(top / high_pi), ceil_to(top * LOADED / low_pi)


# Turns in a minute and the most a joint may run at, in degrees, for a shaft with two equal angles. Driveline
# maker's chart: from 3,500 up read in its text, below from memory.
JOINT_LIMITS = (
    (1500, Fraction("11.5")),
    (2000, Fraction("8.7")),
    (2500, Fraction(7)),
    (3000, Fraction("5.8")),
    (3500, Fraction(5)),
    (4000, Fraction("4.2")),
    (4500, Fraction("3.7")),
    (5000, Fraction("3.2")),
)


def joint_limit(speed: Enclosure) -> Enclosure | None:
    """The most that a joint may run at (degrees) at a speed of the shaft (per minute).

    Between two rows the limit lies between theirs; below the first it is at least that row's. None above
    the last row, and for a speed that is open.
    """
    low, high = speed.low, speed.high
    if low is None or high is None or high > JOINT_LIMITS[-1][0]:
        return None
    least = max(limit for turns, limit in JOINT_LIMITS if turns >= high)
    most = min((limit for turns, limit in JOINT_LIMITS if turns <= low), default=None)
    return Enclosure(least, most)


def joint_spare(cells: tuple[Cell, ...], day: date) -> Outcome:
    """Most angle that the chart allows a joint at the shaft's speed, less the angle it runs at.

    Inputs: angle of the joint (degrees), speed of the shaft (per minute). The chart is for one shaft with
    two equal angles; `angles_apart` says whether they are.
    """

    def compute(angle: Enclosure, speed: Enclosure) -> Found:
        limit = joint_limit(speed)
        if limit is None:
            last = JOINT_LIMITS[-1][0]
            return f"the chart ends at {last} per minute, the shaft turns {say(speed, PER_MINUTE)}"
        words = f"chart at {say(speed, PER_MINUTE)}: {say(limit, DEG)} - {say(angle, DEG)}"
        return less(limit, angle), words

    return work_out(cells, DEG, compute)


def diameter_apart(cells: tuple[Cell, ...], day: date) -> Outcome:
    """Largest less smallest tire diameter, over the smallest, of all tires gathered. Exact.

    On a vehicle that drives both axles the difference winds up the driveline (common practice).
    """
    (tires,) = entries(cells)

    def compute(*sizes: Enclosure) -> Found:
        lows = [s.low for s in sizes if s.low is not None]
        highs = [s.high for s in sizes if s.high is not None]
        if len(lows) < len(sizes) or len(highs) < len(sizes) or min(lows) <= 0:
            return "every diameter must be known from both sides"
        least = max(Fraction(0), max(lows) / min(highs) - 1)
        most = max(highs) / min(lows) - 1
        shown = ", ".join(say(s, INCH) for s in sizes)
        return Enclosure(least, most), f"largest against smallest of {shown}"

    return work_out(tires, PERCENT, compute)


def sizes_alike(cells: tuple[Cell, ...], day: date) -> Outcome:
    """Whether all tires gathered have one size: alike, or differing. Read sizes, not their spelling."""
    found: dict[str, tuple[object, ...]] = {}
    for cell in cells:
        for written in cell.values:
            size = read_size(written.written)
            if isinstance(size, str):
                return Outcome(unclear=f"{cell.place}: {size}")
            found[f"{cell.place} {written.written}"] = (
                size.form,
                size.standard,
                size.construction,
                size.width,
                size.aspect,
                size.letter,
                size.rim,
                size.diameter,
            )
    word = ALIKE if len(set(found.values())) == 1 else DIFFER
    return Outcome((Value(word, state=word),), (", ".join(found),))


ALIKE, DIFFER = "alike", "differ"


def heat_on_road(cells: tuple[Cell, ...], day: date) -> Outcome:
    """Settled temperature idling less that on a steady run: above zero points to air, below to flow or
    ignition (common practice). Inputs: idle, steady run."""
    return work_out(cells, DEG_F_APART, lambda idle, run: (less(idle, run), "idling less on a steady run"))
