"""Roots, powers and angles against mpmath at 50 digits, exact sums against Fractions."""

from __future__ import annotations

from fractions import Fraction

import mpmath
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from precheck.derive.enclose import (
    absolute,
    add,
    asin_degrees,
    atan_degrees,
    less,
    pi,
    power,
    scale,
    square_root,
)
from precheck.model.quantity import Enclosure

WIDTH = Fraction(1, 10**12)
POSITIVE = st.fractions(min_value=Fraction(1, 1000), max_value=1000, max_denominator=10**6)
ANY = st.fractions(min_value=-100, max_value=100, max_denominator=10**4)


def _mp(value: Fraction) -> mpmath.mpf:
    return mpmath.mpf(value.numerator) / value.denominator


def _holds(bounds: tuple[Fraction, Fraction], true: mpmath.mpf) -> None:
    """The referee's value lies in the bounds, and they are narrow."""
    low, high = bounds
    slack = mpmath.mpf(10) ** -40 * max(1, abs(true))  # the referee rounds at its fiftieth digit
    assert _mp(low) - slack <= true <= _mp(high) + slack
    assert high - low <= WIDTH * max(1, abs(high))


@pytest.fixture(autouse=True)
def _fifty_digits() -> None:
    mpmath.mp.dps = 50


@given(POSITIVE)
@settings(max_examples=60, deadline=None)
def test_square_roots_hold_the_true_root(value: Fraction) -> None:
    _holds(square_root(value), mpmath.sqrt(_mp(value)))


@given(POSITIVE, st.sampled_from([(7, 10), (1, 2), (117, 200), (10, 7), (-36, 39), (33, 39), (2, 1)]))
@settings(max_examples=60, deadline=None)
def test_powers_hold_the_true_power(value: Fraction, exponent: tuple[int, int]) -> None:
    n = Fraction(*exponent)
    _holds(power(value, n), _mp(value) ** _mp(n))


@given(ANY)
@settings(max_examples=60, deadline=None)
def test_angles_hold_the_true_angle(slope: Fraction) -> None:
    _holds(atan_degrees(slope), mpmath.degrees(mpmath.atan(_mp(slope))))


@given(st.fractions(min_value=0, max_value=Fraction(99, 100), max_denominator=10**4))
@settings(max_examples=60, deadline=None)
def test_arcsines_hold_the_true_angle(share: Fraction) -> None:
    _holds(asin_degrees(share), mpmath.degrees(mpmath.asin(_mp(share))))


def test_pi_lies_between_its_bounds() -> None:
    _holds(pi(), mpmath.pi())


def test_exact_roots_stay_exact() -> None:
    assert square_root(Fraction(9, 4)) == (Fraction(3, 2), Fraction(3, 2))
    assert power(Fraction(4), Fraction(1, 2)) == (2, 2)
    assert power(Fraction(1), Fraction(7, 10)) == (1, 1)


@given(ANY, ANY, ANY, ANY)
def test_sums_and_differences_hold_every_member(a: Fraction, b: Fraction, c: Fraction, d: Fraction) -> None:
    one, two = Enclosure(min(a, b), max(a, b)), Enclosure(min(c, d), max(c, d))
    for x in (a, b):
        for y in (c, d):
            for found, true in (
                (add(one, two), x + y),
                (less(one, two), x - y),
                (absolute(one), abs(x)),
                (scale(one, Fraction(3)), 3 * x),
            ):
                assert found.low is not None
                assert found.high is not None
                assert found.low <= true <= found.high


def test_open_ends_stay_open() -> None:
    some, rest = Enclosure(Fraction(1), None), Enclosure(Fraction(2), Fraction(3))
    assert add(some, rest) == Enclosure(Fraction(3), None)
    assert less(rest, some) == Enclosure(None, Fraction(2))
    assert absolute(Enclosure(None, Fraction(2))) == Enclosure(Fraction(0), None)
