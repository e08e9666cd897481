"""Dates: ISO 8601 extended form only; which days exist is the Gregorian calendar's business."""

from __future__ import annotations

from datetime import date, timedelta

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from precheck.read.dates import read_date, read_month_or_date
from precheck.read.fault import Fault


@pytest.mark.parametrize(
    ("text", "code"),
    [
        ("2024-1-5", "not-a-date"),
        ("15/01/2024", "not-a-date"),
        ("2024/01/05", "not-a-date"),
        ("20240105", "not-a-date"),
        ("2024-01-05T10:00:00", "not-a-date"),
        ("2024-01-05\n", "not-a-date"),
        (" 2024-01-05", "not-a-date"),
        ("٢٠٢٤-01-05", "not-a-date"),
        ("yesterday", "not-a-date"),
        ("", "not-a-date"),
        ("2024", "not-a-date"),
        ("2024-01", "not-a-date"),
        ("2024-02-30", "no-such-date"),
        ("2023-02-29", "no-such-date"),
        ("1900-02-29", "no-such-date"),  # no leap year: divisible by 100, not by 400
        ("2024-13-45", "no-such-date"),
        ("0000-01-01", "no-such-date"),
    ],
)
def test_refused(text, code):
    got = read_date(text)
    assert isinstance(got, Fault)
    assert got.code == code
    assert "write dates as 2024-01-05" in got.write


def test_read():
    assert read_date("2024-02-29") == date(2024, 2, 29)
    assert read_date("2000-02-29") == date(2000, 2, 29)
    assert "here 2024-01-05" in read_date("2024-1-5").write
    assert "here" not in read_date("2024-2-30").write
    assert "no such date" in read_date("2024-02-30").found


@settings(max_examples=200, deadline=None)
@given(st.dates())
def test_every_date_reads_back(day):
    assert read_date(day.isoformat()) == day
    assert read_month_or_date(day.isoformat()) == (day, day)
    first, last = read_month_or_date(day.isoformat()[:7])
    assert first <= day <= last
    assert (first.day, first.month, last.month) == (1, day.month, day.month)
    if last != date.max:
        assert (last + timedelta(1)).day == 1
    assert read_month_or_date(f"{day.year:04d}") == (date(day.year, 1, 1), date(day.year, 12, 31))


@pytest.mark.parametrize(
    "text", ["66", "1966-4", "1966-00", "1966-13", "0000", "0000-04", "04/1966", "x", ""]
)
def test_months_refused(text):
    assert isinstance(read_month_or_date(text), Fault)


@settings(max_examples=200, deadline=None)
@given(st.one_of(st.text(max_size=12), st.text("0123456789-/", max_size=11)))
def test_any_text(text):
    assert isinstance(read_date(text), date | Fault)
    assert isinstance(read_month_or_date(text), tuple | Fault)
