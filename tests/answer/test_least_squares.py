"""Least squares against certified values and scipy; Student's t; roots and intervals never too narrow."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import optimize, stats

from precheck.answer.leastsquares import crossing, fit, root, student_t

# NIST StRD, linear regression, data set Norris (36 observations, y and x, lower level of difficulty) and its
# certified values: slope and intercept with standard deviations, residual standard deviation. Written down
# from memory of the published table; that they agree to 13 figures says that both were remembered rightly.
NORRIS = """
0.1 0.2 338.8 337.4 118.1 118.2 888.0 884.6 9.2 10.1 228.1 226.5 668.5 666.3 998.5 996.3 449.1 448.6
778.9 777.0 559.2 558.2 0.3 0.4 0.1 0.6 778.1 775.5 668.8 666.9 339.3 338.0 448.9 447.5 10.8 11.6
557.7 556.0 228.3 228.1 998.0 995.8 888.8 887.6 119.6 120.2 0.3 0.3 0.6 0.3 557.6 556.8 339.3 339.1
888.0 887.2 998.5 999.0 778.9 779.0 10.2 11.1 117.6 118.3 228.9 229.2 668.4 669.1 449.2 448.9 0.2 0.5
"""
# NIST StRD data set NoInt1 (11 observations), fitted here with an intercept: y = x + 70 exactly.
STRAIGHT = [(Fraction(x), Fraction(x + 70)) for x in range(60, 71)]


def norris() -> list[tuple[Fraction, Fraction]]:
    numbers = [Fraction(word) for word in NORRIS.split()]
    return [(x, y) for y, x in zip(numbers[0::2], numbers[1::2], strict=True)]


def test_norris_as_certified() -> None:
    line = fit(norris())
    assert line.count == 36
    assert float(line.slope) == pytest.approx(1.00211681802045, rel=1e-13)
    assert float(line.intercept) == pytest.approx(-0.262323073774029, rel=1e-12)
    assert float(line.left / 34) ** 0.5 == pytest.approx(0.884796396144373, rel=1e-13)
    deviation = float(line.variance / line.spread) ** 0.5
    assert deviation == pytest.approx(0.429796848199937e-3, rel=1e-12)
    of_intercept = float(line.variance * (Fraction(1, 36) + line.mean**2 / line.spread)) ** 0.5
    assert of_intercept == pytest.approx(0.232818234301152, rel=1e-12)


def test_a_straight_line_is_exact() -> None:
    line = fit(STRAIGHT)
    assert (line.slope, line.intercept, line.left) == (1, 70, 0)
    assert fit(STRAIGHT, Fraction(1, 32)).variance == Fraction(1, 12 * 32**2)  # a step of rounding


values = st.fractions(min_value=-1000, max_value=1000, max_denominator=64)
many = st.lists(st.tuples(values, values), min_size=3, max_size=12).filter(
    lambda found: max(x for x, _ in found) - min(x for x, _ in found) > 1
)


@settings(max_examples=40, deadline=None)
@given(many)
def test_as_scipy_has_it(points: list[tuple[Fraction, Fraction]]) -> None:
    line = fit(points)
    found = stats.linregress([float(x) for x, _ in points], [float(y) for _, y in points])
    assert float(line.slope) == pytest.approx(found.slope, rel=1e-6, abs=1e-6)
    assert float(line.intercept) == pytest.approx(found.intercept, rel=1e-6, abs=1e-3)
    deviation = float(line.variance / line.spread) ** 0.5
    if len({y for _, y in points}) > 1:  # scipy divides by zero there
        assert deviation == pytest.approx(found.stderr, rel=1e-4, abs=1e-4)


def test_student_t_is_never_too_small_and_hardly_too_large() -> None:
    for freedom in range(1, 400):
        true = stats.t.ppf(0.975, freedom)
        assert 0 <= float(student_t(freedom)) - true <= (0.0011 if freedom <= 30 else 0.024), freedom
    with pytest.raises(ValueError, match="degree of freedom"):
        student_t(0)


@given(st.fractions(min_value=0, max_value=10**9, max_denominator=10**6))
def test_roots_are_rounded_to_their_side(value: Fraction) -> None:
    low, high = root(value, False), root(value, True)
    assert low * low <= value <= high * high
    assert high - low <= max(high, Fraction(1)) / 10**12


def test_a_root_of_less_than_nothing() -> None:
    with pytest.raises(ValueError, match="negative"):
        root(Fraction(-1), True)


@pytest.mark.parametrize("points", [[(1, 1), (2, 2)], [(1, 1), (1, 2), (1, 3)]])
def test_no_line_from_too_little(points: list[tuple[int, int]]) -> None:
    with pytest.raises(ValueError, match=r"readings"):
        fit([(Fraction(x), Fraction(y)) for x, y in points])


def band(points: list[tuple[Fraction, Fraction]], x: float) -> tuple[float, float]:
    """The 95 percent prediction interval of one reading at x, by the textbook formula and scipy's t."""
    xs, ys = [float(a) for a, _ in points], [float(b) for _, b in points]
    found = stats.linregress(xs, ys)
    mean, count = sum(xs) / len(xs), len(xs)
    spread = sum((a - mean) ** 2 for a in xs)
    left = sum((b - found.intercept - found.slope * a) ** 2 for a, b in zip(xs, ys, strict=True))
    half = (
        stats.t.ppf(0.975, count - 2)
        * (left / (count - 2) * (1 + 1 / count + (x - mean) ** 2 / spread)) ** 0.5
    )
    middle = found.intercept + found.slope * x
    return middle - half, middle + half


WEAR = [
    (Fraction(x), Fraction(y)) for x, y in ((0, 80), (100, 72), (200, 61), (300, 52), (400, 39), (500, 31))
]


def test_where_the_band_meets_a_limit() -> None:
    """Against the roots of the textbook band, found by scipy; ours is a hair wider."""
    got = crossing(fit(WEAR), Fraction(16))
    early = optimize.brentq(lambda x: band(WEAR, x)[0] - 16, 400, 700)
    late = optimize.brentq(lambda x: band(WEAR, x)[1] - 16, 600, 1500)
    assert got.early is not None
    assert got.late is not None
    assert got.likely is not None
    assert early - 0.2 <= float(got.early) <= early
    assert late <= float(got.late) <= late + 0.2
    assert got.early < got.likely < got.late


def test_a_slope_that_scatter_hides_has_no_latest_day() -> None:
    """Three readings up and down: the later end cannot be told; the earlier is where the band meets."""
    points = [(Fraction(x), Fraction(y)) for x, y in ((0, 80), (100, 81), (200, 79))]
    got = crossing(fit(points), Fraction(16))
    assert got.late is None
    assert got.early is not None
    low, _ = band(points, float(got.early))
    assert low == pytest.approx(16, abs=0.1)
    assert crossing(fit(points), Fraction(78)).early is None


def test_no_slope_at_all() -> None:
    points = [(Fraction(x), Fraction(80)) for x in (0, 100, 200)]
    got = crossing(fit(points), Fraction(16))
    assert (got.likely, got.late) == (None, None)
    got = crossing(fit(points, Fraction(1)), Fraction(16))
    assert got.late is None
    assert got.early is not None
    assert got.early > 200
