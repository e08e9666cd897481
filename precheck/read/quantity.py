"""Measurements as people write them, read exactly: `2/32 in`, `1 1/16 in`, `4 ft 3 in`, `at least 40 psi`.

Only ASCII digits, at most 12 in a number, and a unit from the closed list. Whatever could be taken for
another value (1,000; 3,5; 1e3; 1/2 written as one sign; 5") is refused with the way to write it.
Numbers become Fractions; nothing is rounded.

    quantity := number [space] unit
              | whole [space] unit  number [space] smaller-unit         4 ft 3 1/2 in, 1 min 20 s
              | "at least" quantity | "at most" quantity                open-ended
              | (number | quantity) "to" quantity                       low to high
    number   := [sign] ( 12 | 1.60 | 2/32 | 1 1/16 | 1-1/16 )
"""

from __future__ import annotations

import re
from fractions import Fraction

from precheck.model.quantity import Enclosure, Quantity, Unit
from precheck.model.record import dataclass
from precheck.read.fault import Fault
from precheck.read.traps import trap
from precheck.read.units import Units

__all__ = ["MAX_DIGITS", "MAX_LENGTH", "Fault", "Units", "format_quantity", "read_quantity"]

MAX_DIGITS = 12
MAX_LENGTH = 80

_NUMBER = r"[0-9]+[ -][0-9]+/[0-9]+|[0-9]+/[0-9]+|[0-9]+\.[0-9]+|[0-9]+"
_ONE = re.compile(rf"([+-]?)({_NUMBER})(.*)")
_TWO = re.compile(rf"([+-]?)([0-9]+) ?([^0-9 ](?:[^0-9]*[^0-9 ])?) ?({_NUMBER}) ?([^0-9 ].*)")
_MIXED = re.compile(r"([0-9]+)[ -]([0-9]+)/([0-9]+)")
_BOUND = re.compile(r"(at least|at most) (.+)")
_EXPECTED = "a number and its unit"


@dataclass(frozen=True, slots=True)
class _Number:
    value: Fraction
    step: Fraction  # one of the last written digit or part: 1.60 -> 1/100, 2/32 -> 1/32, 12 -> 1


@dataclass(frozen=True, slots=True)
class _Single:
    """One value in base units."""

    value: Fraction
    unit: Unit
    step: Fraction


def read_quantity(text: str, units: Units, *, dimension: str | None = None) -> Quantity | Fault:
    """Read one measurement; the result is in the base unit of its dimension.

    With `dimension` a unit of any other dimension is a Fault, and a bare number is taken only for a count.
    `step` of the Quantity is 0 for bounds and ranges: their width says what is not known.
    """
    if len(text) > MAX_LENGTH:
        shown = text[:30]
        return Fault(
            "too-long",
            f'"{shown}..." is longer than {MAX_LENGTH} characters',
            _EXPECTED,
            _example(units, dimension),
        )
    words = re.sub(r" +", " ", text.strip(" "))
    caught = trap(words, _example(units, dimension))
    if caught:
        return caught
    if words.count(" to ") > 1 or (" to " in words and words.startswith("at ")):
        return Fault("range", f'"{words}" holds more than one range or bound', "at most one", "5 to 6 mm")
    bound = _BOUND.fullmatch(words)
    if bound:
        one = _single(bound[2], units, dimension)
        if isinstance(one, Fault):
            return one
        low, high = (one.value, None) if bound[1] == "at least" else (None, one.value)
        return Quantity(text, Enclosure(low, high), one.unit, Fraction(0))
    left, middle, right = words.partition(" to ")
    if middle:
        return _range(text, left, right, units, dimension)
    one = _single(words, units, dimension)
    if isinstance(one, Fault):
        return one
    return Quantity(text, Enclosure.of(one.value), one.unit, one.step)


def _range(text: str, left: str, right: str, units: Units, dimension: str | None) -> Quantity | Fault:
    high = _single(right, units, dimension)
    if isinstance(high, Fault):
        return high
    bare = _ONE.fullmatch(left)
    if bare and not bare[3].strip(" "):
        if _TWO.fullmatch(right) and not _plain_unit(right, units):
            found = f'"{left}" has no unit of its own'
            return Fault("range", found, "a unit on both sides", f"{left} {high.unit.name} to {right}")
        left = f"{left} {high.unit.name}"
    low = _single(left, units, high.unit.dimension)
    if isinstance(low, Fault):
        return low
    if low.value > high.value:
        return Fault(
            "upside-down", f"{left} is more than {right}", "the smaller number first", f"{right} to {left}"
        )
    return Quantity(text, Enclosure(low.value, high.value), high.unit, Fraction(0))


def _plain_unit(words: str, units: Units) -> bool:
    match = _ONE.fullmatch(words)
    return match is not None and units.get(match[3].strip(" ")) is not None


def _single(words: str, units: Units, dimension: str | None) -> _Single | Fault:
    match = _ONE.fullmatch(words)
    if not match:
        if units.get(words):
            return Fault("no-number", f'"{words}" is a unit without a number', _EXPECTED, f"5 {words}")
        return Fault("not-a-number", f'"{words}" is not a measurement', _EXPECTED, _example(units, dimension))
    sign = -1 if match[1] == "-" else 1
    word = match[3].strip(" ")
    unit = units.get(word)
    if unit is None and word:
        two = _TWO.fullmatch(words)
        if two and (units.get(two[3]) or units.get(two[5])):
            return _two_parts(two, units, dimension)
        return _unknown(match[2], word, units, dimension)
    number = _number(match[2])
    if isinstance(number, Fault):
        return number
    if unit is None:
        unit = units.base("count") if dimension == "count" else None
        if unit is None:
            how = f"{words} {_names(units, dimension)[0]}"
            return Fault("no-unit", f'"{words}" has no unit', _one_of(units, dimension), how)
    return _with_unit(_Number(sign * number.value, number.step), unit, words, units, dimension)


def _with_unit(
    number: _Number, unit: Unit, words: str, units: Units, dimension: str | None
) -> _Single | Fault:
    if dimension is not None and unit.dimension != dimension:
        found = f'"{words}" is {_a(unit.dimension)}, not {_a(dimension)}'
        return Fault("wrong-dimension", found, _one_of(units, dimension), _example(units, dimension))
    if unit.dimension == "count" and number.value.denominator != 1:
        return Fault("not-whole", f'"{words}" is not a whole number', "a whole number of things", "2")
    return _Single(number.value * unit.factor + unit.offset, unit, number.step * unit.factor)


def _two_parts(match: re.Match[str], units: Units, dimension: str | None) -> _Single | Fault:
    """`4 ft 3 in`: two units of one dimension, the second part smaller than one of the first."""
    sign, first, large_word, second, small_word = match.groups()
    large, small = units.get(large_word), units.get(small_word)
    if large is None or small is None:
        return _unknown(first, small_word if small is None else large_word, units, dimension)
    words = match.group().strip()
    one, two = _number(first), _number(second)
    if isinstance(one, Fault):
        return one
    if isinstance(two, Fault):
        return two
    if large.dimension != small.dimension or large.factor <= small.factor or large.offset or small.offset:
        found = f'"{words}" puts {large.name} and {small.name} together'
        return Fault(
            "two-units", found, "one unit, or a larger and a smaller one such as ft and in", "4 ft 3 in"
        )
    if two.value * small.factor >= large.factor:
        found = f"{second} {small.name} is not less than 1 {large.name}"
        return Fault(
            "two-units", found, f"a second part below 1 {large.name}", f"{first} {large.name} and less"
        )
    value = one.value * large.factor / small.factor + two.value
    return _with_unit(_Number(-value if sign == "-" else value, two.step), small, words, units, dimension)


def _number(text: str) -> _Number | Fault:
    """An unsigned number. Never calls Fraction or int on more than MAX_DIGITS digits."""
    if sum(char.isdigit() for char in text) > MAX_DIGITS:
        return Fault(
            "too-many-digits",
            f"{text[:20]}... has too many digits",
            f"at most {MAX_DIGITS} digits",
            "1.5, not 1.5000000000001",
        )
    mixed = _MIXED.fullmatch(text)
    whole, top, bottom = (int(part) for part in mixed.groups()) if mixed else (0, 0, 1)
    if not mixed and "/" in text:
        top, bottom = (int(part) for part in text.split("/"))
    elif not mixed:
        return _Number(Fraction(text), Fraction(1, 10 ** len(text.partition(".")[2])))
    if bottom == 0:
        return Fault("zero-denominator", f"{text} divides by zero", "a fraction such as 2/32", "2/32")
    if mixed and top >= bottom:
        plain = whole + Fraction(top, bottom)
        return Fault("not-mixed", f"the fraction of {text} is not below 1", "such as 1 1/16", f"{plain}")
    return _Number(whole + Fraction(top, bottom), Fraction(1, bottom))


# -- saying what is wrong


def _unknown(number: str, word: str, units: Units, dimension: str | None) -> Fault:
    parts = word.split(" ")
    for count in range(len(parts) - 1, 0, -1):
        unit = units.get(" ".join(parts[:count]))
        if unit and (dimension is None or unit.dimension == dimension):
            rest = " ".join(parts[count:])
            found = f'"{rest}" after the unit {unit.name}'
            return Fault(
                "trailing-text", found, "nothing after the unit", f"{number} {unit.name}, the rest as a note"
            )
    if re.match(r"[-+./0-9]", word):
        return Fault("not-a-number", f'"{word}" after {number}', "one number, such as 1.60, 2/32 or 1 1/16")
    close = tuple(name for name in units.near(word, dimension) if _fits(units, name, dimension))
    how = f"{number} {close[0]}" if close else _example(units, dimension)
    return Fault("unknown-unit", f'"{word}" is not a unit', _one_of(units, dimension), how, close)


def _fits(units: Units, name: str, dimension: str | None) -> bool:
    unit = units.get(name)
    return dimension is None or (unit is not None and unit.dimension == dimension)


def _names(units: Units, dimension: str | None) -> tuple[str, ...]:
    known = tuple(unit.name for unit in units.of(dimension)) if dimension else ()
    return known or tuple(name for name in ("mm", "in", "psi", "lb", "V", "percent") if units.get(name))


def _one_of(units: Units, dimension: str | None) -> str:
    names = _names(units, dimension)
    return (
        f"a unit of {dimension}: {', '.join(names)}" if dimension else f"a unit, such as {', '.join(names)}"
    )


def _example(units: Units, dimension: str | None) -> str:
    return "5" if dimension == "count" else f"5 {_names(units, dimension)[0]}"


def _a(word: str) -> str:
    if not word:
        return "of this dimension"
    return f"an {word}" if word[0] in "aeiou" else f"a {word}"


# -- showing


def format_quantity(value: Fraction, unit: Unit, *, as_fraction_of: int | None = None) -> str:
    """An exact base value in a unit, for people.

    Exact wherever it can be said shortly; otherwise three figures (never fewer than the whole part)
    after "about".
    `as_fraction_of=32` says 2/32 rather than 0.0625 where that is exact.
    """
    number = (value - unit.offset) / unit.factor
    if unit.name == "count" and number.denominator == 1:
        return str(number)
    word = len(unit.name) > 3 or unit.dimension in ("age", "duration")  # years, days, but lb and in
    plural = word and abs(number) != 1 and f"{unit.name}s" in unit.aliases
    name = f"{unit.name}s" if plural else unit.name
    if as_fraction_of and (number * as_fraction_of).denominator == 1:
        return f"{(number * as_fraction_of).numerator}/{as_fraction_of} {name}"
    if (number * 10**4).denominator == 1:
        return f"{_decimal(number, 4)} {name}"
    if unit.name == "in" and number.denominator in (32, 64):
        whole, rest = divmod(abs(number), 1)
        mixed = f"{whole} {rest}" if whole else f"{rest}"
        return f"{'-' if number < 0 else ''}{mixed} {name}"
    places = 2
    size = abs(number)
    while size >= 10 and places:
        size, places = size / 10, places - 1
    while 0 < size < 1 and places < 12:
        size, places = size * 10, places + 1
    return f"about {_decimal(number, places)} {name}"


def _decimal(number: Fraction, places: int) -> str:
    """Rounded half to even, without trailing zeros."""
    scaled = round(number * 10**places)
    whole, rest = divmod(abs(scaled), 10**places)
    digits = f"{rest:0{places}d}".rstrip("0") if places else ""
    return f"{'-' if scaled < 0 else ''}{whole}{'.' + digits if digits else ''}"
