"""Wear: the line through readings with no work between them, and when it reaches the limits in force.

An estimate for the owner; it feeds no verdict.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from datetime import date
from fractions import Fraction

from precheck.answer.comparing import limit_of_test
from precheck.answer.evidence import tests_that_apply
from precheck.answer.judging import Judged
from precheck.answer.leastsquares import Line, crossing, fit, root
from precheck.answer.targets import LOWER, in_unit
from precheck.answer.trend_record import Trend, TrendEnd, TrendLimit, TrendPoint
from precheck.model.catalogue import Day, Kind, Point, Use
from precheck.model.document import Claim, Document, Known, Value
from precheck.model.quantity import Quantity, Unit
from precheck.model.record import dataclass
from precheck.model.rules import Op, State
from precheck.read.quantity import format_quantity
from precheck.rulebook.book import Rulebook
from precheck.rulebook.places import words_of_place
from precheck.settle.lasting import ODOMETER, History
from precheck.settle.settle import live_readings

FEWEST = 3  # readings at three different days or distances, below which nothing is said
SPANS = 2  # how far beyond the first reading anything is said, in spans of the readings
_YEAR = 365
_FAR = 1000  # miles or kilometers that a rate is told for
_IDLE = (State.DOES_NOT_APPLY, State.SET_ASIDE)


def trends(
    document: Document,
    book: Rulebook,
    day: Day,
    use: Use,
    judged: Judged,
    points: Iterable[str] | None = None,
    place: str = "",
) -> tuple[Trend, ...]:
    """Every wear trend up to the day, or those of some points (at one place), as the catalogue has them."""
    wanted = None if points is None else frozenset(points)
    count = Counter(c.point for v in document.visits if v.on <= day.date for c in v.claims)
    wearing = [
        p
        for p in book.points.values()
        if count[p.id] >= FEWEST and _wears(p) and (wanted is None or p.id in wanted)
    ]
    if not wearing:
        return ()
    found = live_readings(document, book, day, use, wearing)
    scales = _Scales(document, book, day)
    out = []
    for (name, where), claims in found.items():
        if place in ("", where):
            trend = _trend(book.points[name], where, claims, scales, judged, book)
            out += [trend] if trend else []
    return tuple(out)


def _wears(point: Point) -> bool:
    """Whether a change of it without work is wear: a number with a better side, that nobody sets."""
    number = point.kind is Kind.NUMBER and not point.fact
    return number and point.better != 0 and not point.adjustable and not point.lasts.permanent


# -- what the readings are laid out over -------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class _Scale:
    """Days (`unit` None) or what the odometer showed, in mm."""

    unit: Unit | None

    def text(self, x: Fraction, up: bool | None = None) -> str:
        """x for people: a whole day or a whole mile, up, down, or the nearest one."""
        if self.unit is None:
            return date.fromordinal(min(_whole(x, up), date.max.toordinal())).isoformat()
        return in_unit(_whole(x / self.unit.factor, up) * self.unit.factor, self.unit)


class _Scales:
    def __init__(self, document: Document, book: Rulebook, day: Day) -> None:
        visits = tuple(v for v in document.visits if v.on <= day.date)
        self.odometer = History(visits, book.works, {}).odometer
        written = [c for v in visits for c in v.claims if c.point == ODOMETER and c.values]
        quantity = written[-1].values[-1].quantity if written else None
        self.unit = quantity.unit if quantity else None

    def of(self, claims: Sequence[Claim]) -> tuple[_Scale, list[Fraction]]:
        """The odometer where every reading has it and it runs on, else the date."""
        shown = [self.odometer[c.visit] for c in claims if c.visit in self.odometer]
        if self.unit is not None and len(shown) == len(claims) and shown == sorted(set(shown)):
            return _Scale(self.unit), shown
        return _Scale(None), [Fraction(c.on.toordinal()) for c in claims if c.on]


def _whole(x: Fraction, up: bool | None) -> int:
    if up is None:
        return (x + Fraction(1, 2)).__floor__()
    return x.__ceil__() if up else x.__floor__()


@dataclass(frozen=True, slots=True)
class _Held:
    """A limit in force with the rules that hold it; `written` as the first of them has it, where it does."""

    limit: Fraction
    written: str
    rules: tuple[str, ...]
    sources: tuple[str, ...]


# -- one trend ---------------------------------------------------------------------------------------


def _trend(
    point: Point, place: str, claims: Sequence[Claim], scales: _Scales, judged: Judged, book: Rulebook
) -> Trend | None:
    kept = list(_kept(point, claims))
    scale, xs = scales.of([claim for claim, _ in kept])
    values = [value for _, value in kept]
    quantities = [v.quantity for v in values if v.quantity]
    if len(set(xs)) < FEWEST or len(quantities) < len(kept):
        return None
    step = max(q.step for q in quantities)
    ys = [q.value.low for q in quantities if q.value.low is not None]
    line = fit(list(zip(xs, ys, strict=True)), step)
    end = min(xs) + SPANS * (max(xs) - min(xs))
    unit = quantities[-1].unit
    plain = Unit(unit.name, unit.dimension, unit.factor, Fraction(0), unit.aliases, unit.pint)
    limits = _limits(point, place, judged)
    reached = [_limit(held, line, (xs[-1], ys[-1], end), scale, point, quantities[-1]) for held in limits]
    points = [
        TrendPoint(scale.text(x), str(x), v.written, str(y), str(c.on), c.by)
        for x, y, (c, v) in zip(xs, ys, kept, strict=True)
    ]
    return Trend(
        point=point.id,
        words=point.observe,
        place=place,
        place_words=words_of_place(book, place),
        over="odometer" if scale.unit else "date",
        unit=unit.name,
        points=tuple(points),
        line=tuple(TrendEnd(scale.text(x), str(x), str(line.at(x))) for x in (min(xs), end)),
        rate=_rate(line, scale, plain),
        scatter=in_unit(_rounded(root(line.variance, True)), plain),
        step=in_unit(step, plain),
        reaches_to=scale.text(end, False),
        limits=tuple(reached),
        method=_method(scale),
    )


def _kept(point: Point, claims: Sequence[Claim]) -> Iterator[tuple[Claim, Value]]:
    """Of each visit the last reading that somebody took there, with the worst of its exact values."""
    last: dict[int, tuple[Claim, Value]] = {}
    for claim in claims:
        numbers = [v.number for v in claim.values]
        if claim.on is None or claim.known not in (Known.MEASURED, Known.SEEN) or claim.why_unknown:
            continue
        if not numbers or not all(n is not None and n.exact for n in numbers):
            continue
        pick = min if point.better > 0 else max
        last[claim.visit] = (claim, pick(claim.values, key=_number))
    yield from (last[visit] for visit in sorted(last))


def _number(value: Value) -> Fraction:
    assert value.number is not None
    assert value.number.low is not None
    return value.number.low


def _limits(point: Point, place: str, judged: Judged) -> list[_Held]:
    """The limits in force on the side to which it wears, with rule and source, the strictest first."""
    lower = point.better > 0
    found: dict[Fraction, dict[tuple[str, str], str]] = {}
    for unit in judged.units:
        if judged.results.states[unit.key] in _IDLE:
            continue
        for test in tests_that_apply(unit.step.condition, unit.place, judged.cells):
            direct = test.measure == point.id and not test.over and test.op is not Op.ONE_OF
            if not direct or (test.op in LOWER) != lower:
                continue
            if judged.cells.where(test.measure, unit.place) != place:
                continue
            limit = limit_of_test(test, unit.place, judged.cells)
            if limit is not None:
                cite = unit.rule.cites[0]
                written = "" if test.bound else test.written
                found.setdefault(limit, {})[unit.rule.id, f"{cite.source} {cite.clause}"] = written
    return [
        _Held(
            limit,
            next(iter(found[limit].values())),
            tuple(dict.fromkeys(rule for rule, _ in found[limit])),
            tuple(dict.fromkeys(source for _, source in found[limit])),
        )
        for limit in sorted(found, reverse=lower)
    ]


def _limit(
    held: _Held,
    line: Line,
    last: tuple[Fraction, Fraction, Fraction],
    scale: _Scale,
    point: Point,
    quantity: Quantity,
) -> TrendLimit:
    """When a limit is reached: nothing before the last reading, nothing beyond the end of what is said."""
    x, y, end = last
    limit = held.limit
    lower = point.better > 0
    there = y <= limit if lower else y >= limit
    toward = line.slope < 0 if lower else line.slope > 0
    got = crossing(line, limit)
    early, likely, late = "", "", ""
    if there:
        says = "the last reading is at it or past it"
    elif got.early is None:
        says = "the scatter of the readings reaches it already; when cannot be told"
        if toward and got.likely is not None and got.likely <= end:
            likely = scale.text(max(got.likely, x))
            says = f"by the line {likely}; too few readings, or too much scatter, to say how early or late"
    elif not toward and (got.late is not None or got.early < x):
        says = "the line does not run toward it"
    elif got.early > end:
        says = f"not before {scale.text(end, False)}, as far as these readings can tell"
    else:
        early = scale.text(max(got.early, x), False)
        if toward and got.likely is not None and got.likely <= end:
            likely = scale.text(max(got.likely, x))
        if toward and got.late is not None and got.late <= end:
            late = scale.text(max(got.late, x), True)
        beyond = f"later than {scale.text(end, False)}, or never"
        says = f"earliest {early}; by the line {likely or beyond}; latest {late or beyond}"
    return TrendLimit(
        limit=_words(held, lower, _written(limit, quantity)),
        number=str(limit),
        rules=held.rules,
        sources=held.sources,
        reached=there,
        earliest=early,
        likely=likely,
        latest=late,
        says=says,
    )


def _rate(line: Line, scale: _Scale, unit: Unit) -> str:
    if line.slope == 0:
        return "no change"
    per = scale.unit.factor * _FAR if scale.unit else Fraction(_YEAR)
    over = in_unit(per, scale.unit) if scale.unit else f"{_YEAR} days"
    change = in_unit(_rounded(abs(line.slope) * per), unit)
    return f"{'less' if line.slope < 0 else 'more'} by {change} per {over}"


def _written(limit: Fraction, like: Quantity) -> str:
    """A limit in the unit of a reading, as a fraction where the reading is written as one."""
    parts = like.step / like.unit.factor
    fraction = parts.denominator if "/" in like.written and parts.numerator == 1 else None
    return (
        format_quantity(limit, like.unit, as_fraction_of=fraction) if fraction else in_unit(limit, like.unit)
    )


def _words(held: _Held, lower: bool, own: str) -> str:
    """The limit as its rule has it, with the same in the unit of the readings where that reads otherwise."""
    if not held.written:
        return f"{'at least' if lower else 'at most'} {own}"
    return held.written if held.written.endswith(own) else f"{held.written} ({own})"


def _rounded(value: Fraction) -> Fraction:
    """To a part of what a person can hold: about four figures are plenty for an estimate."""
    return value.limit_denominator(10**9)


def _method(scale: _Scale) -> str:
    over = "what the odometer showed" if scale.unit else "the date"
    return (
        f"Least squares over {over}, through readings with no work between them; earliest and latest by "
        "the 95 percent prediction interval of one reading, with Student's t for two degrees of freedom "
        "fewer than readings; scatter taken as no less than the coarsest written step brings (over root "
        f"12); nothing is said beyond {SPANS} spans of the readings from the first. An estimate, and never "
        "part of a verdict."
    )
