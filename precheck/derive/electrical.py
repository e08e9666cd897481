"""Electrical: charge of a rested battery, voltages by the cell, flash rate."""

from __future__ import annotations

from datetime import date
from fractions import Fraction

from precheck.derive.enclose import less, scale
from precheck.derive.inverse import Goal, Inverse, at_least, at_most, of_difference
from precheck.derive.measures import DEG_F, PER_MINUTE, PERCENT, VOLT, Found, say, state_of, value, work_out
from precheck.derive.outcome import Outcome
from precheck.model.quantity import Enclosure
from precheck.model.settled import Cell

CELL_NOMINAL = 2  # V of one lead-acid cell
CELL_MOST = 3  # V that no cell shows, charging or not


def cells_in(system: str | None) -> int | None:
    """Battery cells by the first words of the system-voltage fact: 3, 6 or 12; None for another."""
    word, _, unit = (system or "").partition(" ")
    if not word.isdigit() or not unit.startswith("V"):
        return None
    volts = int(word)
    return volts // CELL_NOMINAL if volts % CELL_NOMINAL == 0 else None


# Battery maker's table, 12 V flooded battery at 80 degF (text): charge in percent, volts. Other tables
# differ by up to 0.1 V at half charge.
CHARGE = (
    (Fraction(0), Fraction("11.89")),
    (Fraction(25), Fraction("12.06")),
    (Fraction(50), Fraction("12.24")),
    (Fraction(75), Fraction("12.45")),
    (Fraction(100), Fraction("12.65")),
)
# The same maker: 0.024 V for 10 degF off 80 degF, 12 V battery; add above, subtract below.
PER_DEGREE = Fraction(24, 10000)  # V per degF
REFERENCE = 80  # degF
PAIR = 12  # cells: two batteries of 12 V in a row


def per_cell(cells: tuple[Cell, ...], day: date) -> Outcome:
    """Voltage of one cell: battery voltage / number of cells, exact. Inputs: voltage, system voltage.

    A lead-acid cell never shows 3 V, so more is the voltage of another system and asked back.
    """
    count = cells_in(state_of(cells[1]))
    if count is None:
        return Outcome(unclear=f"'{cells[1].values[-1].written}' does not say how many cells the battery has")

    def compute(volts: Enclosure) -> Found:
        if volts.low is not None and volts.low >= CELL_MOST * count:
            return f"{say(volts, VOLT)} is no voltage of {count} cells: read it and the system voltage again"
        return scale(volts, Fraction(1, count)), f"{say(volts, VOLT)} / {count} cells"

    return work_out(cells[:1], VOLT, compute)


def charge_by_voltage(cells: tuple[Cell, ...], day: date) -> Outcome:
    """Charge of a rested battery, as the table rows it lies between; at the last row and above, full.

    Inputs: rest voltage, system voltage, air temperature (optional). The maker's correction for
    temperature is not agreed on (the cell itself hardly changes), so with a temperature the answer holds
    both the corrected and the plain reading; without one the step says that 80 degF is taken. 24 V are two
    batteries in a row: one may be full and the other dead, so the step says to read each alone.
    """
    count = cells_in(state_of(cells[1]))
    if count is None:
        return Outcome(unclear=f"'{cells[1].values[-1].written}' does not say how many cells the battery has")

    def compute(volts: Enclosure, air: Enclosure | None) -> Found:
        twelve = scale(volts, Fraction(6, count))
        low, high, words = twelve.low, twelve.high, "taken at 80 degF"
        if low is None or high is None:
            return "the voltage must be known from both sides"
        if low > Fraction(27, 2) or high < Fraction(5):
            return f"{say(volts, VOLT)} is no rest voltage of {count} cells"
        if air is not None and air.low is not None and air.high is not None:
            off = [_degrees(t) * PER_DEGREE for t in (air.low, air.high)]
            low, high = low + min(Fraction(0), *off), high + max(Fraction(0), *off)
            words = f"with and without the correction from {say(air, DEG_F)}"
        found = Enclosure(_row_below(low), _row_above(high))
        if count == PAIR:
            words += "; of two batteries in a row read each by itself too"
        return found, f"{say(volts, VOLT)} at {count} cells, {words}"

    return work_out((cells[0], *cells[2:3]), PERCENT, compute)


def _degrees(kelvin: Fraction) -> Fraction:
    return (kelvin - DEG_F.offset) / DEG_F.factor - REFERENCE


def _row_below(volts: Fraction) -> Fraction:
    return max((p for p, v in CHARGE if v <= volts), default=Fraction(0)) / 100


def _row_above(volts: Fraction) -> Fraction:
    return min((p for p, v in CHARGE if v >= volts), default=Fraction(100)) / 100


def voltage_rise(cells: tuple[Cell, ...], day: date) -> Outcome:
    """Voltage running less voltage at rest: above zero the battery is charged. Inputs: running, rest."""
    return work_out(cells, VOLT, lambda on, rest: (less(on, rest), f"{say(on, VOLT)} - {say(rest, VOLT)}"))


def flash_rate(cells: tuple[Cell, ...], day: date) -> Outcome:
    """Flashes in a minute: the mean of the rates of single flashes, as the agency's letter works it out.

    Not flashes over the whole time, which flatters an uneven flasher. Input: the times of single flashes,
    on and off together, as a list (s). Exact. At least three, after five that are not counted.
    """
    times = [v.number for v in cells[0].values if v.number is not None]
    if len(times) < 3:
        return Outcome(unclear=f"{len(times)} flashes timed: time at least three")
    if any(t.low is None or t.low <= 0 or t.high is None for t in times):
        return Outcome(unclear="a flash takes some time: time it again")
    low = sum((60 / t.high for t in times if t.high), Fraction(0)) / len(times)
    high = sum((60 / t.low for t in times if t.low), Fraction(0)) / len(times)
    found = value(Enclosure(low, high), PER_MINUTE)
    shown = ", ".join(v.written for v in cells[0].values)
    return Outcome((found,), (f"mean of 60 s / each of {shown} = {found.written}",))


# -- inverses


def _volts_for_cell(goal: Goal, cells: tuple[Cell, ...], day: date) -> Enclosure | None:
    count = cells_in(state_of(cells[1]))
    if count is None:
        return None
    return at_least(goal.limit * count) if goal.at_least else at_most(goal.limit * count)


INVERSES: dict[str, tuple[Inverse, ...]] = {
    "per-cell": (Inverse(0, _volts_for_cell),),
    "voltage-rise": (Inverse(0, of_difference(True)),),
}
