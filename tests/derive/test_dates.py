"""Date codes and tire numbers against strptime, the law's own example and the groups it names."""

from __future__ import annotations

from datetime import date, datetime, timedelta
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from precheck.derive.dates import INVERSES, crossing, first_sunday, weeks_in, weeks_of_code
from precheck.derive.functions import FUNCTIONS
from precheck.derive.inverse import DAY, Goal
from precheck.derive.numbers import SYMBOLS, TireNumber, read_number
from precheck.model.quantity import Enclosure
from tests.derive.making import cell, number, work


def test_the_example_printed_in_574_5_b_3() -> None:
    """0109: Sunday January 4 to Saturday January 10, 2009. An ISO week would begin 2008-12-29."""
    (week,) = weeks_of_code("0109")
    assert (week.first, week.last) == (date(2009, 1, 4), date(2009, 1, 10))


def test_every_week_of_every_year_is_the_week_strptime_counts() -> None:
    """Python's %U: week 01 begins on the first Sunday. An independent count."""
    for year in range(1971, 2036):
        for week in range(1, weeks_in(year) + 1):
            counted = datetime.strptime(f"{year} {week:02} 0", "%Y %U %w").date()
            assert first_sunday(year) + timedelta(weeks=week - 1) == counted


def test_years_with_a_week_53() -> None:
    """The twelve that %U gives from 1971 to 2035."""
    found = [y for y in range(1971, 2036) if weeks_in(y) == 53]
    assert found == [1972, 1978, 1984, 1989, 1995, 2000, 2006, 2012, 2017, 2023, 2028, 2034]


@pytest.mark.parametrize(
    ("code", "years"), [("031", [1981, 1991]), ("317", [1977, 1987, 1997]), ("459", [1979, 1989, 1999])]
)
def test_three_digits_give_every_decade(code: str, years: list[int]) -> None:
    """Worked in the notes on the old form; week 03 of 1971 lies before the rule of May 22, 1971."""
    assert [w.year for w in weeks_of_code(code)] == years


def test_three_digits_say_at_least_the_age_of_the_youngest() -> None:
    found = number("tire-age", {"tire-date-code": "317"}, date(2026, 6, 1))
    assert found.high is None
    assert Fraction(28 * 12) < found.low < Fraction(29 * 12)  # 1997, week 31


@given(st.integers(1, 52), st.integers(1, 24), st.integers(0, 4000), st.integers(0, 400))
def test_a_later_day_never_makes_a_tire_younger(week: int, year: int, first: int, more: int) -> None:
    code = f"{week:02}{year:02}"
    start = weeks_of_code(code)[0].last + timedelta(days=first)
    before = number("tire-age", {"tire-date-code": code}, start)
    after = number("tire-age", {"tire-date-code": code}, start + timedelta(days=more))
    assert before.low <= after.low
    assert before.high <= after.high


def test_the_days_an_age_is_crossed() -> None:
    """0109 is ten years old from January 4, 2019 at the earliest and January 10 at the latest (calendar)."""
    assert crossing("0109", 120) == (date(2019, 1, 4), date(2019, 1, 10))
    assert crossing("0009", 120) is None
    cells = (cell("tire-date-code", "0109"),)
    (inverse,) = INVERSES["tire-age"]
    assert inverse.position == DAY
    last = inverse.solve(Goal(Fraction(120), False), cells, date(2020, 1, 1))
    day = date.fromordinal(int(last.high))
    at = FUNCTIONS["tire-age"](cells, day).values[0].number
    beyond = FUNCTIONS["tire-age"](cells, day + timedelta(days=1)).values[0].number
    assert at.high <= 120 < beyond.high
    first = inverse.solve(Goal(Fraction(120), True), cells, date(2020, 1, 1))
    assert FUNCTIONS["tire-age"](cells, date.fromordinal(int(first.low))).values[0].number.low >= 120


def test_spread_of_dates_over_a_set() -> None:
    """0109 to 0114 (January 4 to 10, 2009; January 5 to 11, 2014): about five years (calendar)."""
    codes = {"left-front": "0109", "right-front": "0114", "left-rear": "0112"}
    found = number("tire-age-spread", {"tire-date-code": codes})
    assert found.low < 60 < found.high
    assert found.high - found.low < 1
    same = number("tire-age-spread", {"tire-date-code": {"left-front": "0109", "right-front": "0109"}})
    assert same.low == 0
    assert same.high < 1
    open_ = number("tire-age-spread", {"tire-date-code": {"left-front": "317", "right-front": "0109"}})
    assert open_.low < 12 * 12  # 1997
    assert open_.high > 31 * 12  # 1977
    assert work("tire-age-spread", {"tire-date-code": {"left-front": "5309", "right-front": "0109"}}).unclear


def test_age_of_a_date() -> None:
    found = number("brake-fluid-age", {"brake-fluid-date": "2024-06-01"}, date(2026, 6, 1))
    assert found == Enclosure.of(24)
    assert work("brake-fluid-age", {"brake-fluid-date": "2027-06-01"}).unclear


# 49 CFR 574.5(a), (b), (c), (g): the groups of each form. The numbers are invented.
@pytest.mark.parametrize(
    ("text", "parts"),
    [
        ("DOT 1AB CDEFHJ 0109", TireNumber("new", "1AB", "CDEFHJ", "0109")),
        ("DOTA1BCDEF0109", TireNumber("older", "A1", "BCDEF", "0109")),
        ("A1BC 3103", TireNumber("older", "A1", "BC", "3103")),
        ("1AB 0109", TireNumber("retread or older", "1AB", "", "0109")),
        ("DOT A1 BC DEF 317", TireNumber("three-digit date", "A1", "BCDEF", "317")),
    ],
)
def test_parts_of_a_number(text: str, parts: TireNumber) -> None:
    assert read_number(text) == parts


def test_symbols_that_cannot_stand_in_a_number() -> None:
    """49 CFR 574.5(f) allows no G, I, O, Q, S or Z; an O was a 0, an S a 5."""
    assert set("GIOQSZ").isdisjoint(SYMBOLS)
    assert len(SYMBOLS) == 30
    for bad in "GIOQSZ":
        assert isinstance(read_number(f"A1B{bad}CD0109"), str)
    assert "O (0?)" in str(read_number("A1BOCD0109"))


@pytest.mark.parametrize("text", ["", "DOT", "0109", "A1", "A1BCDEFHJKLMNP0109", "A1BCDEF09", "A1BC"])
def test_what_is_no_number(text: str) -> None:
    assert isinstance(read_number(text), str)


@given(st.text(max_size=20))
def test_no_text_breaks_the_reader(text: str) -> None:
    assert isinstance(read_number(text), TireNumber | str)


def test_age_by_the_whole_number_is_the_age_by_its_code() -> None:
    for text, code in (("DOT 1AB CDEFHJ 0109", "0109"), ("DOT A1 BC DEF 317", "317")):
        whole = work("tire-number-age", {"tire-identification-number": text})
        assert whole.values == work("tire-age", {"tire-date-code": code}).values
    assert work("tire-number-age", {"tire-identification-number": "A1BCDEF5309"}).unclear


def test_the_age_of_the_vehicle() -> None:
    """From April 1, 1966 to June 1, 2026: 60 years and 2 months, by the calendar."""
    assert number("vehicle-age", {"build-date": "1966-04-01"}, date(2026, 6, 1)) == Enclosure.of(722)
    assert work("vehicle-age", {"build-date": "2027-01-01"}).unclear
