"""A straight line through readings by least squares, exactly; and where it meets a limit, as an interval.

Sums, slope, intercept and the residual sum of squares are exact Fractions. Only two numbers are not rational:
Student's t, taken from a table and rounded up, and a square root, rounded to the wider side. So an interval
here is never too narrow. No float, no clock.
"""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from math import isqrt

from precheck.model.record import dataclass

# What is rounded to a step lies anywhere within half of it either way: a variance of step squared over 12.
ROUNDING = Fraction(1, 12)
# Student's t for 95 percent, two-sided, by degrees of freedom 1 to 30, then 40, 60, 120: the table of any
# book on statistics, three decimals. tests/answer/test_least_squares.py holds it against scipy.
_T95 = (
    "12.706 4.303 3.182 2.776 2.571 2.447 2.365 2.306 2.262 2.228 2.201 2.179 2.160 2.145 2.131 "
    "2.120 2.110 2.101 2.093 2.086 2.080 2.074 2.069 2.064 2.060 2.056 2.052 2.048 2.045 2.042"
)
_TABLE = {number: Fraction(t) for number, t in enumerate(_T95.split(), 1)} | {
    40: Fraction("2.021"),
    60: Fraction("2.000"),
    120: Fraction("1.980"),
}
_ROUNDED = Fraction(1, 2000)  # the table is right to half of its last digit


def student_t(freedom: int) -> Fraction:
    """No less than Student's t for 95 percent, two-sided; between rows that of the row before.

    Raises ValueError for less than one degree of freedom.

    >>> student_t(1) > student_t(2) > student_t(35) == student_t(30)
    True
    """
    rows = [row for row in _TABLE if row <= freedom]
    if not rows:
        raise ValueError("Student's t needs a degree of freedom")
    return _TABLE[max(rows)] + _ROUNDED


def root(value: Fraction, up: bool) -> Fraction:
    """A square root to about 12 places of its size, not below (`up`) or not above the true one.

    Raises ValueError for a negative number.

    >>> root(Fraction(9, 4), True), root(Fraction(9, 4), False)
    (Fraction(3, 2), Fraction(3, 2))
    """
    if value < 0:
        raise ValueError("no root of a negative number")
    # root(n/d) = root(n*d) / d; more digits are had by a larger n and d alike.
    scale = 10 ** max(0, 25 - len(str(value.numerator * value.denominator)))
    number, below = value.numerator * value.denominator * scale * scale, value.denominator * scale
    whole = isqrt(number)
    return Fraction(whole + (up and whole * whole != number), below)


@dataclass(frozen=True, slots=True)
class Line:
    """y = intercept + slope * x through `count` readings; all exact.

    `mean` and `middle` are the means of x and y, `spread` the sum of squares of x about its mean, `left` the
    residual sum of squares. `variance` is that of one reading about the line: left / (count - 2), and never
    less than what writing to the coarsest step brings, step squared over 12.
    """

    count: int
    slope: Fraction
    intercept: Fraction
    mean: Fraction
    middle: Fraction
    spread: Fraction
    left: Fraction
    variance: Fraction

    def at(self, x: Fraction) -> Fraction:
        return self.intercept + self.slope * x


def fit(points: Sequence[tuple[Fraction, Fraction]], step: Fraction = Fraction(0)) -> Line:
    """The line of least squares through (x, y); `step` is the coarsest step of writing, in units of y.

    Raises ValueError for fewer than three points, or where all have the same x.
    """
    count = len(points)
    if count < 3:
        raise ValueError("a line with its scatter takes three readings")
    mean = sum((x for x, _ in points), Fraction(0)) / count
    middle = sum((y for _, y in points), Fraction(0)) / count
    spread = sum(((x - mean) ** 2 for x, _ in points), Fraction(0))
    if spread == 0:
        raise ValueError("all readings were taken at one x")
    slope = sum(((x - mean) * (y - middle) for x, y in points), Fraction(0)) / spread
    intercept = middle - slope * mean
    left = sum(((y - intercept - slope * x) ** 2 for x, y in points), Fraction(0))
    variance = max(left / (count - 2), step**2 * ROUNDING)
    return Line(count, slope, intercept, mean, middle, spread, left, variance)


@dataclass(frozen=True, slots=True)
class Crossing:
    """Where a line reaches a limit: by the line itself, and the ends within which a reading may reach it.

    `early` None: nothing can be said at all; `late` None: it cannot be told that it ever will.
    """

    early: Fraction | None
    likely: Fraction | None
    late: Fraction | None


def crossing(line: Line, limit: Fraction) -> Crossing:
    """All x at which the 95 percent prediction interval of one reading holds the limit, as an interval.

    With u = x - mean and d = limit - middle these are the x with
    (d - slope u)^2 <= t^2 variance (1 + 1/count + u^2/spread): the two roots of a quadratic where the slope
    is told apart from zero, else all x outside of them, of which the later ones are meant.
    """
    apart = limit - line.middle
    likely = line.mean + apart / line.slope if line.slope else None
    wide = student_t(line.count - 2) ** 2 * line.variance
    lead = line.slope**2 - wide / line.spread
    share = 1 + Fraction(1, line.count)
    rest = apart**2 - wide * share
    inside = wide * (lead * share + apart**2 / line.spread)
    if lead > 0:
        far = root(max(inside, Fraction(0)), True)
        ends = [line.mean + (line.slope * apart + sign * far) / lead for sign in (-1, 1)]
        return Crossing(ends[0], likely, ends[1])
    if rest <= 0 or inside < 0:
        return Crossing(None, likely, None)  # the limit lies within the scatter already, wherever one looks
    if lead == 0:
        if line.slope * apart <= 0:
            return Crossing(None, likely, None)
        return Crossing(line.mean + rest / (2 * line.slope * apart), likely, None)
    near = root(inside, False)
    ends = [line.mean + (line.slope * apart + sign * near) / lead for sign in (-1, 1)]
    return Crossing(max(ends), likely, None)
