"""Dates as people must write them: YYYY-MM-DD of the Gregorian calendar (ISO 8601 extended form)."""

from __future__ import annotations

import calendar
import re
from datetime import date

from precheck.read.fault import Fault

_DATE = re.compile(r"([0-9]{4})-([0-9]{2})-([0-9]{2})")
_MONTH = re.compile(r"([0-9]{4})-([0-9]{2})")
_YEAR = re.compile(r"[0-9]{4}")
_LOOSE = re.compile(r"([0-9]{4})[-/. ]([0-9]{1,2})[-/. ]([0-9]{1,2})")
_HOW = "write dates as 2024-01-05"


def read_date(text: str) -> date | Fault:
    """One calendar day.

    >>> read_date("2024-02-29")
    datetime.date(2024, 2, 29)
    """
    match = _DATE.fullmatch(text)
    if not match:
        return _not_a_date(text, "a date, year-month-day", _HOW)
    return _day(text, *(int(part) for part in match.groups()))


def read_month_or_date(text: str) -> tuple[date, date] | Fault:
    """The first and last day that `1966`, `1966-04` or `1966-04-12` may mean."""
    if _YEAR.fullmatch(text):
        year = int(text)
        return (date(year, 1, 1), date(year, 12, 31)) if year else _no_such(text)
    match = _MONTH.fullmatch(text)
    if match:
        year, month = int(match[1]), int(match[2])
        if not year or not 1 <= month <= 12:
            return _no_such(text)
        return date(year, month, 1), date(year, month, calendar.monthrange(year, month)[1])
    if _DATE.fullmatch(text):
        day = read_date(text)
        return day if isinstance(day, Fault) else (day, day)
    return _not_a_date(text, "a year, a month or a date", "write 1966, 1966-04 or 1966-04-12")


def _day(text: str, year: int, month: int, day: int) -> date | Fault:
    try:
        return date(year, month, day)
    except ValueError:
        return _no_such(text)


def _no_such(text: str) -> Fault:
    return Fault("no-such-date", f"there is no such date as {text}", "a date of the calendar", _HOW)


def _not_a_date(text: str, expected: str, how: str) -> Fault:
    """Where year, month and day are plain to see in that order, say the date itself."""
    loose = _LOOSE.fullmatch(text)
    if loose:
        meant = _day(text, *(int(part) for part in loose.groups()))
        if isinstance(meant, date):
            how = f"{how}; here {meant.isoformat()}"
    shown = text if len(text) <= 40 else text[:37] + "..."
    return Fault("not-a-date", f'"{shown}" is not written as a date', expected, how)
