"""What a reading would have to be: ranges of numbers, and the nearest value in one, written for a person."""

from __future__ import annotations

import re
from datetime import date
from fractions import Fraction

from precheck.model.catalogue import Kind, Point
from precheck.model.document import Value
from precheck.model.quantity import Enclosure, Unit
from precheck.model.record import dataclass
from precheck.model.rules import Op, Test
from precheck.read.fault import Fault
from precheck.read.quantity import format_quantity, read_quantity
from precheck.read.units import Units

LOWER = (Op.AT_LEAST, Op.MORE_THAN)
_PART_OF_INCH = re.compile(r"([0-9]+)(?:nds|ths) in")
_FIRST_DAY = Fraction(date(1900, 1, 1).toordinal())


@dataclass(frozen=True, slots=True)
class Range:
    """Numbers in base units from `low` to `high`; None is open, an end that is `out` is left out."""

    low: Fraction | None = None
    low_out: bool = False
    high: Fraction | None = None
    high_out: bool = False

    def holds(self, value: Fraction) -> bool:
        if self.low is not None and (value < self.low or (value == self.low and self.low_out)):
            return False
        return not (self.high is not None and (value > self.high or (value == self.high and self.high_out)))

    def also(self, other: Range) -> Range:
        """Numbers in both."""
        low, low_out = _stricter((self.low, self.low_out), (other.low, other.low_out), 1)
        high, high_out = _stricter((self.high, self.high_out), (other.high, other.high_out), -1)
        return Range(low, low_out, high, high_out)

    @property
    def empty(self) -> bool:
        if self.low is None or self.high is None:
            return False
        return self.low > self.high or (self.low == self.high and (self.low_out or self.high_out))

    @staticmethod
    def of(op: Op, limit: Fraction) -> Range:
        """The values that meet one comparison."""
        if op in LOWER:
            return Range(low=limit, low_out=op is Op.MORE_THAN)
        return Range(high=limit, high_out=op is Op.LESS_THAN)

    @staticmethod
    def within(enclosure: Enclosure | None) -> Range:
        return Range() if enclosure is None else Range(low=enclosure.low, high=enclosure.high)


def side_of(test: Test) -> str:
    """Limits of one value and side can be compared."""
    return "states" if test.op is Op.ONE_OF else "lower" if test.op in LOWER else "upper"


def strictness(test: Test) -> tuple[Fraction, int, str]:
    """Orders the limits of one value and side, the strictest first."""
    if test.op is Op.ONE_OF:
        return (Fraction(len(test.states)), 0, test.written)
    limit = test.limit if test.limit is not None else Fraction(0)
    open_end = 0 if test.op in (Op.MORE_THAN, Op.LESS_THAN) else 1
    return (-limit if test.op in LOWER else limit, open_end, test.written)


def _stricter(
    one: tuple[Fraction | None, bool], other: tuple[Fraction | None, bool], way: int
) -> tuple[Fraction | None, bool]:
    if one[0] is None or other[0] is None:
        return other if one[0] is None else one
    if one[0] == other[0]:
        return (one[0], one[1] or other[1])
    return one if (one[0] - other[0]) * way > 0 else other


@dataclass(frozen=True, slots=True)
class Picked:
    """A value that would do: as it is written, and `sure` where it is an unlikely one."""

    value: Value
    sure: bool = False


def nearest(point: Point, wanted: Range, now: Value | None, units: Units) -> Picked | None:
    """The value in a range that is nearest to what was read, written in the unit it was read in.

    Without a reading: the end of the range, in the jotting unit. None where nothing fits.
    """
    if point.kind is Kind.DATE:
        return _date(wanted, now)
    unit = now.quantity.unit if now and now.quantity else point.unit or units.base(point.dimension)
    if unit is None or wanted.empty:
        return None
    likely = wanted.also(Range.within(point.plausible))
    aim, sure = (wanted, point.plausible is not None) if likely.empty else (likely, False)
    step = now.quantity.step if now and now.quantity else Fraction(0)
    start = _start(aim, now.number if now else None, wanted)
    for value, up in start:
        for text in _texts(value, unit, up, step, now):
            got = read_quantity(text, units, dimension=point.dimension)
            if isinstance(got, Fault) or got.value.low is None or not got.value.exact:
                continue
            if aim.holds(got.value.low):
                return Picked(Value(text, number=got.value, quantity=got), sure)
    return None


def _start(aim: Range, now: Enclosure | None, wanted: Range) -> list[tuple[Fraction, bool]]:
    """Where to look for a value, and in which direction a rounded one must lie."""
    low, high = aim.low, aim.high
    above = now is not None and high is not None and (now.high is None or now.high > high)
    ends = [(e, up) for e, up in ((low, True), (high, False)) if e is not None]
    if above or (now is None and wanted.low is None and wanted.high is not None):
        ends.reverse()
    if not ends:
        middle = now.low if now and now.low is not None else Fraction(0)
        ends = [(middle, True)]
    return ends


def _texts(value: Fraction, unit: Unit, up: bool, step: Fraction, now: Value | None) -> list[str]:
    """Ways to write a value in a unit, the plainest first; each is exact or lies in the direction asked."""
    number = (value - unit.offset) / unit.factor
    grain = step / unit.factor if step else Fraction(0)
    out = []
    if now and "/" in now.written and grain.numerator == 1 and grain.denominator > 1:
        out.append(format_quantity(value, unit, as_fraction_of=grain.denominator))
    out.append(in_unit(value, unit))
    if grain:
        out.append(_decimal(_to(number, grain, up), unit))
    for places in (0, 1, 2, 3, 4, 6) if unit.name != "count" else (0,):
        size = Fraction(1, 10**places)
        close = abs(_to(number, size, up) - number) <= max(abs(number) / 50, Fraction(1, 1000))
        if close or places in (0, 6):
            if close:
                out.append(_decimal(_to(number, size, up), unit))
            out.append(_decimal(_to(number, size, up) + (size if up else -size), unit))
    return [text for text in dict.fromkeys(out) if not text.startswith("about ")]


def _to(number: Fraction, grain: Fraction, up: bool) -> Fraction:
    parts = number / grain
    whole = parts.__ceil__() if up else parts.__floor__()
    return whole * grain


def _decimal(number: Fraction, unit: Unit) -> str:
    return format_quantity(number * unit.factor + unit.offset, unit)


def in_unit(value: Fraction, unit: Unit) -> str:
    """A base value in a unit; parts of an inch as people write them (2/32 in, not 2 32nds in).

    >>> in_unit(Fraction(127, 80), Unit("32nds in", "length", Fraction(127, 160), Fraction(0), (), ""))
    '2/32 in'
    """
    number = (value - unit.offset) / unit.factor
    part = _PART_OF_INCH.fullmatch(unit.name)
    if part and number.denominator == 1:
        return f"{number.numerator}/{part[1]} in" if number else "0 in"
    return format_quantity(value, unit)


def _date(wanted: Range, now: Value | None) -> Picked | None:
    """The nearest day, written out."""
    aim = wanted.also(Range(low=_FIRST_DAY))
    low = aim.low if aim.low is not None else _FIRST_DAY
    first = int(low) + (1 if aim.low_out else 0)
    last = None if aim.high is None else int(aim.high) - (1 if aim.high_out else 0)
    if last is not None and last < first:
        return None
    day = first
    if last is not None and (wanted.low is None or (now and now.number and (now.number.low or 0) > last)):
        day = last
    text = date.fromordinal(day).isoformat()
    return Picked(Value(text, number=Enclosure.of(day)))


def range_words(wanted: Range, unit: Unit | None, dimension: str) -> str:
    """A range for people: "36 psi or more", "from 1 mm to 2 mm", "less than 3 in"."""

    def shown(value: Fraction) -> str:
        if dimension == "date":
            return date.fromordinal(int(value)).isoformat()
        return in_unit(value, unit) if unit else str(value)

    low, high = wanted.low, wanted.high
    if low is not None and high is not None:
        return shown(low) if low == high else f"between {shown(low)} and {shown(high)}"
    if low is not None:
        return f"more than {shown(low)}" if wanted.low_out else f"{shown(low)} or more"
    if high == 0 and not wanted.high_out:
        return shown(high)  # nothing measured here lies below zero, or less would do as well
    if high is not None:
        return f"less than {shown(high)}" if wanted.high_out else f"{shown(high)} or less"
    return "any value"
