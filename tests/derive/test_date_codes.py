"""Date codes and ages by the calendar, with independent counts as referees.

Published: the example of 49 CFR 574.5(b)(3) and its first day, May 22, 1971. Referees: strptime's %U, which
counts weeks from the first Sunday, and dateutil's relativedelta for ages. Common practice (no source) where a
line says so.
"""

from __future__ import annotations

import calendar
from datetime import date, datetime, timedelta
from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from precheck.derive.dates import age, in_words, production_week, tire_age, weeks_in, weeks_of_code
from precheck.model.document import Value
from precheck.model.settled import Cell, Status

DAYS = st.dates(date(1950, 1, 1), date(2060, 12, 31))


def codes(*written: str) -> tuple[Cell, ...]:
    return (Cell("tire-date-code", "left-front", Status.VALUE, tuple(Value(w) for w in written)),)


def age_on(code: str, day: date) -> tuple[Fraction | None, Fraction | None]:
    [value] = tire_age(codes(code), day).values
    assert value.number is not None
    return value.number.low, value.number.high


# -- weeks ------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("code", "first", "last"),
    [
        ("0109", date(2009, 1, 4), date(2009, 1, 10)),  # the clause's own example
        ("0301", date(2001, 1, 21), date(2001, 1, 27)),  # the rest: counted with %U
        ("3103", date(2003, 8, 3), date(2003, 8, 9)),
        ("3623", date(2023, 9, 3), date(2023, 9, 9)),
        ("5323", date(2023, 12, 31), date(2024, 1, 6)),  # the last week runs into the next year
    ],
)
def test_first_and_last_day(code: str, first: date, last: date) -> None:
    [week] = weeks_of_code(code)
    assert (week.first, week.last) == (first, last)
    assert first.strftime("%A") == "Sunday"


def test_weeks_of_all_years_are_those_of_strptime() -> None:
    for year in range(1971, 2100):
        for week in range(1, weeks_in(year) + 1):
            found = production_week(week, year)
            assert found is not None
            assert found.first == datetime.strptime(f"{year} {week} 0", "%Y %U %w").date()
            assert found.last - found.first == timedelta(days=6)
        assert production_week(0, year) is None
        assert production_week(weeks_in(year) + 1, year) is None


def test_the_weeks_of_a_year_follow_each_other_without_a_gap() -> None:
    for year in range(1971, 2099):
        last, following = production_week(weeks_in(year), year), production_week(1, year + 1)
        assert last is not None
        assert following is not None
        assert following.first - last.last == timedelta(days=1)


def test_years_of_53_weeks_have_53_sundays() -> None:
    """Counted from the calendar: a year of 53 begins on a Sunday, or on a Saturday if it is a leap year."""
    found = [year for year in range(1971, 2100) if weeks_in(year) == 53]
    assert [y for y in found if 1995 <= y <= 2028] == [1995, 2000, 2006, 2012, 2017, 2023, 2028]
    sunday, saturday = 6, 5
    for year in range(1971, 2100):
        begins = date(year, 1, 1).weekday()
        assert (year in found) is (begins == sunday or (begins == saturday and calendar.isleap(year)))


@pytest.mark.parametrize("code", ["0009", "0000", "5409", "9909", "5322", "000", "540"])
def test_a_week_that_no_year_has_is_a_misreading(code: str) -> None:
    """2022 has 52 weeks."""
    assert weeks_of_code(code) == ()
    found = tire_age(codes(code), date(2026, 6, 1))
    assert found.values == ()
    assert "read it again" in found.unclear


def test_three_digits_leave_the_decade_open() -> None:
    """Week 3 of 1971 lies before the rule's first day, May 22, 1971."""
    assert [w.year for w in weeks_of_code("031")] == [1981, 1991]
    assert [w.year for w in weeks_of_code("201")] == [1971, 1981, 1991]  # May 16 to 22, 1971
    assert [w.year for w in weeks_of_code("191")] == [1981, 1991]  # May 9 to 15, 1971
    assert [w.year for w in weeks_of_code("030")] == [
        1980,
        1990,
        2000,
    ]  # from memory: allowed until July 2000
    assert [w.year for w in weeks_of_code("530")] == []  # 1980 and 1990 have 52 weeks; 5300 came after July


def test_53_of_one_digit_is_only_in_years_that_have_it() -> None:
    assert [w.year for w in weeks_of_code("535")] == [1995]
    assert [w.year for w in weeks_of_code("532")] == [1972]


# -- ages -------------------------------------------------------------------------------------


def test_2105_is_18_years_old_in_2023() -> None:
    """Common practice (no source): week 21 of 2005 is May 22 to 28, so from May 28, 2023 it is 18."""
    assert weeks_of_code("2105")[0].first == date(2005, 5, 22)
    low, high = age_on("2105", date(2023, 6, 15))
    assert low is not None
    assert high is not None
    assert 18 * 12 <= low < high < 19 * 12
    assert tire_age(codes("2105"), date(2023, 6, 15)).values[0].written == "18 years"


def test_the_age_is_enclosed_by_the_production_week() -> None:
    """Ten years after the first day of its week a tire may be ten years old, after the last it surely is."""
    assert age_on("0109", date(2019, 1, 3))[1] < 120  # type: ignore[operator]
    low, high = age_on("0109", date(2019, 1, 4))
    assert low is not None
    assert low < 120 == high
    assert age_on("0109", date(2019, 1, 10))[0] == 120


def test_three_digits_mean_at_least() -> None:
    low, high = age_on("031", date(2026, 6, 1))
    assert low == age(date(1991, 1, 26), date(2026, 6, 1))  # Saturday of week 3 of 1991
    assert high is None
    assert tire_age(codes("031"), date(2026, 6, 1)).values[0].written == "at least 35 years 4 months"


def test_three_digits_on_a_day_when_the_youngest_decade_has_not_come() -> None:
    low, _ = age_on("319", date(1985, 1, 1))
    assert low == age(date(1979, 8, 11), date(1985, 1, 1))


def test_a_tire_of_this_week_is_new_and_one_of_the_next_is_misread() -> None:
    assert age_on("0109", date(2009, 1, 4)) == (0, 0)
    assert age_on("0109", date(2009, 1, 7))[0] == 0
    assert tire_age(codes("0109"), date(2009, 1, 3)).values == ()
    assert "lies after" in tire_age(codes("0109"), date(2009, 1, 3)).unclear


def test_one_code_that_cannot_be_read_spoils_a_list() -> None:
    assert tire_age(codes("0109", "5409"), date(2026, 6, 1)).values == ()
    assert len(tire_age(codes("0109", "031"), date(2026, 6, 1)).values) == 2


@given(DAYS, st.integers(0, 100))
@settings(deadline=None)
def test_an_age_is_whole_on_every_anniversary(born: date, years: int) -> None:
    if born.month == 2 and born.day == 29:
        born -= timedelta(days=1)
    if born.year + years <= 9999:
        assert age(born, born.replace(year=born.year + years)) == 12 * years
        if years:
            assert age(born, born.replace(year=born.year + years) - timedelta(days=1)) < 12 * years


def test_february_29() -> None:
    """Common practice (no source): in other years the last day of February is the anniversary."""
    born = date(2004, 2, 29)
    assert age(born, date(2005, 2, 27)) < 12
    assert age(born, date(2005, 2, 28)) == 12
    assert age(born, date(2008, 2, 28)) < 48
    assert age(born, date(2008, 2, 29)) == 48


def test_ages_at_the_end_of_a_month() -> None:
    born = date(2001, 1, 31)
    assert age(born, date(2001, 2, 28)) == 1
    assert age(born, date(2001, 3, 30)) == Fraction(1) + Fraction(30, 31)
    assert age(born, date(2001, 3, 31)) == 2
    assert age(born, born) == 0


@given(DAYS, st.integers(0, 20000), st.integers(1, 800))
@settings(deadline=None)
def test_age_never_falls_as_days_pass(born: date, days: int, more: int) -> None:
    day = born + timedelta(days=days)
    assert age(born, day) < age(born, day + timedelta(days=more))
    assert age(born, day) > age(born + timedelta(days=1), day) if days else True


@given(DAYS, DAYS)
@settings(deadline=None)
def test_whole_months_are_those_of_dateutil(one: date, other: date) -> None:
    relativedelta = pytest.importorskip("dateutil.relativedelta", reason="the referee dateutil").relativedelta
    born, day = sorted((one, other))
    apart = relativedelta(day, born)
    months = age(born, day)
    assert int(months) == apart.years * 12 + apart.months
    assert (months == int(months)) is (apart.days == 0)


@pytest.mark.parametrize(
    ("months", "words"),
    [("0", "0 months"), ("1", "1 month"), ("23/2", "11 months"), ("12", "1 year"), ("25", "2 years 1 month"),
     ("120", "10 years")],
)  # fmt: skip
def test_ages_in_words(months: str, words: str) -> None:
    assert in_words(Fraction(months)) == words
