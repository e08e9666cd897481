"""The brake table of 49 CFR 393.52(d): which rows may be a vehicle's, and what a reading has to spare.

Six rows by what is carried, chassis, weight and trailer. The facts of a document seldom say all of that
(a van may be built on the chassis of a car or of a truck), so several rows may be possible: then the limit
lies between theirs. The three columns are tests of their own; none is worked out from another.
"""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from fractions import Fraction

from precheck.derive.enclose import hull, less
from precheck.derive.measures import FOOT, FT_S2, LB, PERCENT, Found, say, state_of, work_out
from precheck.derive.outcome import Outcome
from precheck.model.quantity import Enclosure, Unit
from precheck.model.record import dataclass
from precheck.model.settled import Cell


@dataclass(frozen=True, slots=True)
class Line:
    """A row: braking force as percent of the gross weight, ft/s2, and feet from 20 mph, service brake."""

    name: str
    percent: Fraction
    rate: Fraction
    feet: Fraction


def _line(name: str, percent: str, rate: int, feet: int) -> Line:
    return Line(name, Fraction(percent), Fraction(rate), Fraction(feet))


# Read in a state's table of the same numbers (secondary for the federal one); its 3.4 percent beside 14 ft/s2
# is a misprint of 43.5. Names of the rows are our own.
CAR = _line("A(1), 10 seats or fewer on the chassis of a car", "65.2", 21, 20)
MANY_SEATS = _line("A(2), more seats, or a chassis of a truck or bus up to 10,000 lb", "52.8", 17, 25)
PEOPLE = _line("A(3), any other that carries people", "43.5", 14, 35)
LIGHT_GOODS = _line("B(1), goods, up to 10,000 lb", "52.8", 17, 25)
GOODS = _line("B(2), goods over 10,000 lb, or with a trailer of 3,000 lb at most", "43.5", 14, 35)
REST = _line("B(3), tractors and all else with a trailer", "43.5", 14, 40)
LINES = (CAR, MANY_SEATS, PEOPLE, LIGHT_GOODS, GOODS, REST)

ALONE, TRACTOR, COUPLED = UNITS = ("vehicle alone", "truck tractor alone", "vehicle with trailer")
TEN_THOUSAND = 10000 * LB.factor
SEATS = 10


def _sides(number: Enclosure | None, border: Fraction) -> tuple[bool, bool]:
    """Whether a number may be at most the border, and whether it may be above; not known: both."""
    low = number.low if number else None
    high = number.high if number else None
    return low is None or low <= border, high is None or high > border


def lines_for(
    vehicle: str, weight: Enclosure | None, seats: Enclosure | None, unit: str | None
) -> tuple[Line, ...]:
    """The rows that may be those of a vehicle, in the order of the table.

    `vehicle` is its class, `weight` its gross weight rating (kg), `seats` with the driver's, `unit` what was
    stopped; None where it is not known. A class that the table has no place for gets no row.
    """
    light, heavy = _sides(weight, TEN_THOUSAND)
    few, many = _sides(seats, Fraction(SEATS))
    people = {MANY_SEATS: light, PEOPLE: heavy}
    goods = {LIGHT_GOODS: light, GOODS: heavy}
    tables: dict[str, dict[Line, bool]] = {
        "car": {CAR: few, MANY_SEATS: many},
        "van": {CAR: few and light, **people, **goods},
        "light truck": goods,
        "heavy truck": goods,
        "bus": people,
        "motorhome": people,
    }
    if vehicle not in tables:
        return ()
    possible: dict[Line, bool] = {}
    if unit in (None, ALONE):
        possible |= tables[vehicle]
    if unit in (None, TRACTOR) and vehicle.endswith("truck"):
        possible |= {LIGHT_GOODS: light or possible.get(LIGHT_GOODS, False), REST: heavy}
    if unit in (None, COUPLED):  # the table does not say which row people with a trailer have
        own = {} if vehicle.endswith("truck") else tables[vehicle]
        possible |= own | {GOODS: True, REST: True}
    return tuple(line for line in LINES if possible.get(line, False))


def _limit(cells: tuple[Cell, ...], column: Callable[[Line], Fraction]) -> tuple[Enclosure, str] | str:
    """The limit by the facts (class, weight, seats, unit; the last three may lack a value), with words."""
    vehicle, weight, seats, unit = cells
    lines = lines_for(state_of(vehicle) or "", hull(weight), hull(seats), state_of(unit))
    if not lines:
        return f"the table of 393.52(d) has no row for {vehicle.values[-1].written}, {state_of(unit)}"
    limits = [column(line) for line in lines]
    return Enclosure(min(limits), max(limits)), " or ".join(line.name for line in lines)


def _spare(cells: tuple[Cell, ...], unit: Unit, column: Callable[[Line], Fraction], below: bool) -> Outcome:
    """What the limit leaves: limit less value where the value must stay `below` it, else value less limit."""
    found = _limit(cells[1:], column)
    if isinstance(found, str):
        return Outcome(unclear=found)
    limit, words = found

    def compute(value: Enclosure) -> Found:
        first, second = (limit, value) if below else (value, limit)
        return less(first, second), f"row {words}: {say(first, unit)} - {say(second, unit)}"

    return work_out(cells[:1], unit, compute)


def stop_left(cells: tuple[Cell, ...], day: date) -> Outcome:
    """Feet that 49 CFR 393.52(d) leaves beyond a stop from 20 mph (mm in, mm out); below zero it is too long.

    Inputs: stop brought to 20 mph, vehicle class; gross weight rating, seats and what was stopped (optional:
    without one all rows that are possible count).
    """
    return _spare(cells, FOOT, lambda line: line.feet * FOOT.factor, below=True)


def force_left(cells: tuple[Cell, ...], day: date) -> Outcome:
    """Braking force beyond the share of the gross weight that 49 CFR 393.52(d) asks for, inputs as above."""
    return _spare(cells, PERCENT, lambda line: line.percent / 100, below=False)


def rate_left(cells: tuple[Cell, ...], day: date) -> Outcome:
    """Deceleration beyond the one 49 CFR 393.52(d) asks for (m/s2), inputs as above."""
    return _spare(cells, FT_S2, lambda line: line.rate * FT_S2.factor, below=False)
