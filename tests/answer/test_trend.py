"""Wear trends: which readings make one, over what, toward which limit, and how far anything is said."""

from __future__ import annotations

from datetime import date, timedelta
from fractions import Fraction

import pytest
from scipy import stats

from precheck.answer.gate import Gate, Request, gate
from precheck.answer.trend import trends
from precheck.answer.trend_record import Trend
from precheck.model.catalogue import Day
from precheck.report.lines import Page
from precheck.report.trend import trend_section
from precheck.report.why import render as why_text
from tests.support.written import library, read, visit

DAY = date(2026, 10, 12)
BOOK = library()
STEADY = (("2026-01-10", 12), ("2026-04-10", 10), ("2026-07-10", 8), ("2026-10-10", 6))


def treads(series: tuple[tuple[str, object], ...], more: str = "") -> str:
    return "".join(visit(on, f"tire-tread-depth: {{lf: {depth}/32 in}}", more) for on, depth in series)


def wear(visits: str, day: date = DAY) -> tuple[Trend, ...]:
    document = read(visits, day)
    found = Gate(document, BOOK, Request(Day(day, True), ("wet",)))
    use = BOOK.uses["wet"]
    return trends(document, BOOK, Day(day, True), use, found.judged(use))


def one(visits: str) -> Trend:
    (found,) = wear(visits)
    return found


def test_the_line_is_that_of_scipy() -> None:
    found = one(treads(STEADY))
    xs = [float(Fraction(p.x_number)) for p in found.points]
    ys = [float(Fraction(p.number)) for p in found.points]
    line = stats.linregress(xs, ys)
    for end in found.line:
        x, y = float(Fraction(end.x_number)), float(Fraction(end.number))
        assert y == pytest.approx(line.intercept + line.slope * x, abs=1e-6)
    assert (found.over, found.unit, found.point, found.place) == (
        "date",
        "in",
        "tire-tread-depth",
        "left-front",
    )
    assert [p.written for p in found.points] == ["12/32 in", "10/32 in", "8/32 in", "6/32 in"]


def test_each_limit_in_force_the_strictest_first() -> None:
    """4/32 on the front axle in the floor and in 570.9(a), 2/32 after it; steady loss of 2/32 in 91 days."""
    found = one(treads(STEADY))
    numbers = [Fraction(limit.number) for limit in found.limits]
    assert numbers == sorted(numbers, reverse=True)
    assert Fraction(127, 40) in numbers  # 4/32 in
    first = next(limit for limit in found.limits if Fraction(limit.number) == Fraction(127, 40))
    by_hand = date(2026, 10, 10) + timedelta(days=91)  # 2/32 in more to lose at 2/32 in per 91 days
    assert abs((date.fromisoformat(first.likely) - by_hand).days) <= 2
    assert first.earliest < first.likely
    assert not first.reached


def test_two_readings_make_no_trend_and_neither_do_three_of_one_day() -> None:
    assert wear(treads(STEADY[:2])) == ()
    assert wear(treads((("2026-01-10", 12), ("2026-01-10", 10), ("2026-01-10", 8)))) == ()


def test_work_begins_a_new_series() -> None:
    changed = visit("2026-07-20", "tire-bulge: no", ", done: [{work: tire-changed, at: lf}]")
    assert wear(treads(STEADY[:3]) + changed + treads(STEADY[3:])) == ()
    again = (("2026-08-01", 12), ("2026-09-01", 11), ("2026-10-01", 10))
    assert len(one(treads(STEADY[:3]) + changed + treads(again)).points) == 3


def test_struck_told_unlikely_and_inexact_readings_are_left_out() -> None:
    odd = [
        visit("2026-08-01", "tire-tread-depth: {lf: {is: 11/32 in, known: told}}"),
        visit("2026-08-02", "tire-tread-depth: {lf: at least 7/32 in}"),
        visit("2026-08-03", "tire-tread-depth: {lf: unknown}"),
        visit("2026-08-04", "tire-tread-depth: {lf: 9/32 in}"),
        visit("2026-08-05", "tire-tread-depth: {lf: {is: 9/32 in, void: wrong wheel}}"),
        visit("2026-08-06", "tire-tread-depth: {lf: 40 in}"),
    ]
    found = one(treads(STEADY[:3]) + "".join(odd) + treads(STEADY[3:]))
    assert [p.written for p in found.points] == ["12/32 in", "10/32 in", "8/32 in", "6/32 in"]


def test_the_worst_of_several_values_and_the_last_word_of_a_visit() -> None:
    lists = (("2026-01-10", 12), ("2026-04-10", 10))
    found = one(treads(lists) + visit("2026-07-10", "tire-tread-depth: {lf: [9/32 in, 7/32 in, 8/32 in]}"))
    assert found.points[-1].written == "7/32 in"


def test_a_pressure_that_anybody_pumps_up_is_no_wear() -> None:
    visits = "".join(
        visit(on, f"tire-pressure-cold: {{lf: {value} psi}}")
        for on, value in (("2026-01-10", 36), ("2026-04-10", 33), ("2026-07-10", 30))
    )
    assert wear(visits) == ()


def odometer(*series: tuple[str, int, int | None]) -> str:
    out = []
    for on, depth, miles in series:
        shown = f", odometer-reading: {miles} mi" if miles is not None else ""
        out.append(visit(on, f"tire-tread-depth: {{lf: {depth}/32 in}}{shown}"))
    return "".join(out)


def test_over_the_odometer_where_every_visit_has_it() -> None:
    full = odometer(("2026-01-10", 12, 41000), ("2026-04-10", 10, 43000), ("2026-07-10", 8, 45000))
    found = one(full)
    assert found.over == "odometer"
    assert found.rate == "less by 1/32 in per 1000 mi"
    assert found.points[0].x == "41000 mi"
    first = next(limit for limit in found.limits if Fraction(limit.number) == Fraction(127, 40))
    assert first.likely == "49000 mi"  # 4/32 in more to lose, 1/32 in per 1000 mi
    assert found.reaches_to == "49000 mi"
    gap = odometer(("2026-01-10", 12, 41000), ("2026-04-10", 10, None), ("2026-07-10", 8, 45000))
    assert one(gap).over == "date"
    back = odometer(("2026-01-10", 12, 45000), ("2026-04-10", 10, 43000), ("2026-07-10", 8, 41000))
    assert one(back).over == "date"


def test_nothing_is_said_beyond_two_spans() -> None:
    slow = (("2026-01-10", 14), ("2026-02-10", 13), ("2026-03-10", 12))
    found = one(treads(slow))
    assert found.reaches_to == "2026-05-08"  # 59 days from first to last, twice that from the first
    for limit in found.limits:
        assert (limit.likely, limit.latest) == ("", "")
        assert limit.earliest <= "2026-05-08"


def test_at_the_limit_already() -> None:
    low = (("2026-01-10", 8), ("2026-04-10", 6), ("2026-07-10", 4))
    found = one(treads(low))
    reached = {Fraction(limit.number): limit.reached for limit in found.limits}
    assert reached[Fraction(127, 40)]
    assert not reached[Fraction(127, 80)]


def test_growing_tread_runs_toward_no_limit() -> None:
    found = one(treads((("2026-01-10", 8), ("2026-04-10", 10), ("2026-07-10", 12), ("2026-10-10", 14))))
    assert all(not limit.likely and "does not run toward it" in limit.says for limit in found.limits)


def test_scatter_is_no_less_than_the_written_step_brings() -> None:
    """A line without residuals, written to 1/32 inch: 1/32 over root 12 is 0.00902 inch."""
    found = one(odometer(("2026-01-10", 12, 41000), ("2026-04-10", 10, 43000), ("2026-07-10", 8, 45000)))
    assert (found.step, found.scatter) == ("1/32 in", "about 0.00902 in")


def test_too_few_readings_to_bound_it() -> None:
    """Three readings that scatter: the line reaches the limit, when at the earliest cannot be told."""
    found = one(treads((("2026-01-10", 12), ("2026-04-10", 10), ("2026-07-10", 7))))
    first = next(limit for limit in found.limits if Fraction(limit.number) == Fraction(127, 40))
    assert (first.earliest, first.latest) == ("", "")
    assert first.likely
    assert "too few readings" in first.says


def test_a_trend_never_feeds_a_verdict() -> None:
    """The last reading alone gives the same answer, whatever was read before it."""
    request = Request(Day(DAY, True), ("wet",), full=True)
    long, short = read(treads(STEADY), DAY), read(treads(STEADY[3:]), DAY)
    states = [
        {(f.rule, f.place, f.step): f.state for f in gate(d, BOOK, request).findings} for d in (long, short)
    ]
    assert states[0] == states[1]


def test_the_text_tells_readings_rate_and_limits() -> None:
    page = Page(80, False)
    trend_section(wear(treads(STEADY)), page)
    text = page.text()
    assert "WEAR (1 estimate, no part of any verdict)" in text
    assert "12/32 in (2026-01-10)" in text
    assert "at least 4/32 in" in text
    assert max(map(len, text.splitlines())) <= 80


def test_why_of_a_point_shows_its_wear_at_that_place_alone() -> None:
    from precheck.answer.why import explain

    visits = treads(STEADY) + "".join(
        visit(on, "tire-tread-depth: {rf: 9/32 in}") for on in ("2026-02-01", "2026-05-01", "2026-08-01")
    )
    request = Request(Day(DAY, True), ("wet",))
    found = explain(read(visits, DAY), BOOK, request, "tire-tread-depth@lf")
    assert [t.place for t in found.trends] == ["left-front"]
    assert "WEAR (1 estimate" in why_text(found)
    both = explain(read(visits, DAY), BOOK, request, "tire-tread-depth")
    assert [t.place for t in both.trends] == ["left-front", "right-front"]
    assert explain(read(visits, DAY), BOOK, request).trends == ()
