"""Exact arithmetic on enclosures, and roots, powers and angles enclosed between rational bounds.

Sums, products and ratios of exact values stay exact. Roots, powers, pi and angles have no exact
fraction: their functions return [low, high] with the true value between, rounded outward to DIGITS
digits after the point (relative for powers). Nothing here is a float.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from fractions import Fraction
from functools import lru_cache
from math import isqrt

from precheck.model.quantity import Enclosure
from precheck.model.settled import Cell

DIGITS = 15  # after the point; far below what any gauge can show
_ONE = 10**DIGITS

Bounds = tuple[Fraction, Fraction]
"""Low and high of one value that has no exact fraction."""


def hull(cell: Cell) -> Enclosure | None:
    """All numbers that were taken, from the lowest to the highest; None where there is none."""
    return join(v.number for v in cell.values if v.number is not None)


def join(numbers: Iterable[Enclosure]) -> Enclosure | None:
    """The smallest enclosure of all of them."""
    found = list(numbers)
    if not found:
        return None
    lows = [n.low for n in found if n.low is not None]
    highs = [n.high for n in found if n.high is not None]
    return Enclosure(
        min(lows) if len(lows) == len(found) else None, max(highs) if len(highs) == len(found) else None
    )


def add(*terms: Enclosure) -> Enclosure:
    """The sum; open where a term is open."""
    low = high = Fraction(0)
    open_low = any(t.low is None for t in terms)
    open_high = any(t.high is None for t in terms)
    low = sum((t.low for t in terms if t.low is not None), Fraction(0))
    high = sum((t.high for t in terms if t.high is not None), Fraction(0))
    return Enclosure(None if open_low else low, None if open_high else high)


def less(first: Enclosure, second: Enclosure) -> Enclosure:
    """first - second; open where either is open on the side that counts."""
    low = None if first.low is None or second.high is None else first.low - second.high
    high = None if first.high is None or second.low is None else first.high - second.low
    return Enclosure(low, high)


def scale(number: Enclosure, factor: Fraction) -> Enclosure:
    """number * factor, for a factor of 0 or more."""
    low = None if number.low is None else number.low * factor
    high = None if number.high is None else number.high * factor
    return Enclosure(low, high)


def absolute(number: Enclosure) -> Enclosure:
    """The size without its sign."""
    low, high = number.low, number.high
    if low is not None and low >= 0:
        return number
    if high is not None and high <= 0:
        return Enclosure(-high, None if low is None else -low)
    top = None if low is None or high is None else max(-low, high)
    return Enclosure(Fraction(0), top)


Exact = Callable[..., Fraction | Bounds]


def monotone(function: Exact, *inputs: tuple[Enclosure, int]) -> Enclosure:
    """The values of a function that rises (+1) or falls (-1) in each input, over all of them.

    The function takes exact Fractions and returns one, or bounds. Where the corner it needs is
    open, that side of the result is open. Whoever calls answers for the direction being right.
    """
    low = [e.low if way > 0 else e.high for e, way in inputs]
    high = [e.high if way > 0 else e.low for e, way in inputs]
    return Enclosure(_end(function, low, 0), _end(function, high, 1))


def _end(function: Exact, corner: list[Fraction | None], side: int) -> Fraction | None:
    if any(c is None for c in corner):
        return None
    found = function(*corner)
    return found[side] if isinstance(found, tuple) else found


# -- roots and powers


def floor_to(value: Fraction, places: int = DIGITS) -> Fraction:
    """The next lower (or equal) decimal fraction."""
    return Fraction((value * 10**places).__floor__(), 10**places)


def ceil_to(value: Fraction, places: int = DIGITS) -> Fraction:
    """The next higher (or equal) decimal fraction."""
    return Fraction((value * 10**places).__ceil__(), 10**places)


def square_root(value: Fraction) -> Bounds:
    """Bounds of the root of a value of 0 or more, equal where the root is a decimal fraction."""
    if value < 0:
        raise ValueError("no root of a negative number")
    scaled = (value * _ONE * _ONE).__floor__()
    low = isqrt(scaled)
    exact = Fraction(low * low, _ONE * _ONE) == value
    return Fraction(low, _ONE), Fraction(low if exact else low + 1, _ONE)


def power(base: Fraction, exponent: Fraction) -> Bounds:
    """Bounds of base ** exponent for a base above 0 and a fraction as exponent.

    By integer roots: base ** (p/q) is the q-th root of base ** p. The base is first rounded outward
    to 30 digits, so that the numbers stay short; the result is good to DIGITS digits after the point.
    """
    if base <= 0:
        raise ValueError("a power needs a base above zero")
    if exponent.denominator == 1:
        exact = base**exponent.numerator
        return exact, exact
    if base == 1:
        return base, base
    if exponent < 0:
        return power(1 / base, -exponent)
    low, high = floor_to(base, 30), ceil_to(base, 30)
    return _root(low, exponent, 0), _root(high, exponent, 1)


def _root(base: Fraction, exponent: Fraction, up: int) -> Fraction:
    q = exponent.denominator
    wanted = base**exponent.numerator * _ONE**q
    root = _integer_root(wanted.__floor__(), q)
    exact = Fraction(root) ** q == wanted
    return Fraction(root + (up if not exact else 0), _ONE)


def _integer_root(value: int, q: int) -> int:
    """The largest whole number whose q-th power is not above `value`."""
    if value == 0:
        return 0
    guess = 1 << -(-value.bit_length() // q)
    while True:
        better = ((q - 1) * guess + value // guess ** (q - 1)) // q
        if better >= guess:
            return guess
        guess = better


# -- angles, in degrees


@lru_cache(maxsize=1)
def pi() -> Bounds:
    """Bounds of pi, from 16 atan(1/5) - 4 atan(1/239)."""
    a, b = _atan(Fraction(1, 5)), _atan(Fraction(1, 239))
    return floor_to(16 * a[0] - 4 * b[1], 25), ceil_to(16 * a[1] - 4 * b[0], 25)


def _atan(x: Fraction) -> Bounds:
    """Bounds of atan x in radians for 0 <= x <= 1/2: the alternating series between two sums."""
    total, term, n = Fraction(0), x, 0
    while True:
        step = term / (2 * n + 1)
        after = total + (step if n % 2 == 0 else -step)
        if step < Fraction(1, 10**30):
            return min(total, after), max(total, after)
        total, term, n = after, term * x * x, n + 1


def atan_degrees(slope: Fraction) -> Bounds:
    """Bounds of the angle whose tangent is `slope`, in degrees; any sign."""
    if slope < 0:
        low, high = atan_degrees(-slope)
        return -high, -low
    low_pi, high_pi = pi()
    if slope > 1:
        low, high = atan_degrees(1 / slope)
        return 90 - high, 90 - low
    if slope > Fraction(1, 2):  # atan x = 45 degrees - atan((1 - x) / (1 + x))
        low, high = atan_degrees((1 - slope) / (1 + slope))
        return 45 - high, 45 - low
    low = _atan(floor_to(slope, 30))[0]
    high = _atan(ceil_to(slope, 30))[1]
    return floor_to(low * 180 / high_pi), ceil_to(high * 180 / low_pi)


def asin_degrees(share: Fraction) -> Bounds:
    """Bounds of the angle whose sine is `share` (0 to less than 1), by its tangent."""
    if not 0 <= share < 1:
        raise ValueError("a sine lies from 0 to below 1")
    if share == 0:
        return Fraction(0), Fraction(0)
    low, high = square_root(1 - share * share)
    if low == 0:
        raise ValueError("too near to a right angle")
    return atan_degrees(share / high)[0], atan_degrees(share / low)[1]
