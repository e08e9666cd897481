"""Date codes of tires and ages on the day.

49 CFR 574.5(b)(3): two digits week, two digits year; week 01 is the first full week, Sunday to
Saturday, and the last week of a year may run up to six days into the next. Before the rule of
July 8, 1999 the year was one digit, so the decade is open.
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, timedelta
from fractions import Fraction

from precheck.derive.inverse import DAY, Goal, Inverse, at_least, at_most
from precheck.derive.outcome import Outcome
from precheck.model.document import Value
from precheck.model.quantity import Enclosure
from precheck.model.record import dataclass
from precheck.model.settled import Cell
from precheck.settle.lasting import add_months

FIRST_CODES = date(1971, 5, 22)  # 49 CFR Part 574 first in force
LAST_THREE_DIGITS = date(2000, 7, 1)  # four digits required from July 2000


@dataclass(frozen=True, slots=True)
class Week:
    """One production week, both days included."""

    first: date
    last: date
    week: int
    year: int


def first_sunday(year: int) -> date:
    """The Sunday that begins week 01 of a year."""
    new_year = date(year, 1, 1)
    return new_year + timedelta(days=(6 - new_year.weekday()) % 7)


def weeks_in(year: int) -> int:
    """52 or 53: the number of Sundays of the year."""
    return ((date(year, 12, 31) - first_sunday(year)).days) // 7 + 1


def production_week(week: int, year: int) -> Week | None:
    """The dates of a coded week, or None where that year has no such week."""
    if not 1 <= week <= weeks_in(year):
        return None
    first = first_sunday(year) + timedelta(weeks=week - 1)
    return Week(first, first + timedelta(days=6), week, year)


def weeks_of_code(code: str) -> tuple[Week, ...]:
    """Every week a code of three or four digits can mean, oldest first; empty for a misreading."""
    week = int(code[:2])
    if len(code) == 4:
        # Four digits were allowed as soon as the rule stood, so 99 is 1999 (from memory).
        found = production_week(week, 1999 if code[2:] == "99" else 2000 + int(code[2:]))
        return (found,) if found else ()
    years = range(1970 + int(code[2]), 2001, 10)
    weeks = [production_week(week, year) for year in years]
    return tuple(w for w in weeks if w and w.last >= FIRST_CODES and w.first <= LAST_THREE_DIGITS)


def age(born: date, day: date) -> Fraction:
    """Age in months: whole calendar months, and the share of the month that has begun.

    Exact at every whole month, so that "10 years" is met on the tenth anniversary.
    """
    months = (day.year - born.year) * 12 + day.month - born.month
    if add_months(born, months) > day:
        months -= 1
    begun, ends = add_months(born, months), add_months(born, months + 1)
    return months + Fraction((day - begun).days, (ends - begun).days)


def in_words(months: Fraction) -> str:
    """An age in years and months, whole months only."""
    years, rest = divmod(int(months), 12)
    parts = [f"{years} year{'s' if years != 1 else ''}"] if years else []
    if rest or not years:
        parts.append(f"{rest} month{'s' if rest != 1 else ''}")
    return " ".join(parts)


def tire_age(cells: tuple[Cell, ...], day: date) -> Outcome:
    """Age of a tire on the day, in months, from its date code: an enclosure over the production week.

    Three digits give "at least" the age of the youngest decade that is possible.
    """
    return age_of_codes([value.written for value in cells[0].values], day)


def _possible(code: str, day: date) -> tuple[Week, ...] | str:
    """The weeks a code can mean that are not after the day, or why there is none."""
    weeks = weeks_of_code(code)
    if not weeks:
        return f"'{code}' is no week of a year: weeks run from 01 to 52 or 53; read it again"
    if weeks[0].first > day:
        return f"'{code}' lies after {day}: read it again"
    return tuple(w for w in weeks if w.first <= day)


def age_of_codes(codes: Sequence[str], day: date) -> Outcome:
    """Ages of several codes, one value each; unclear where one cannot be read."""
    values, steps = [], []
    for code in codes:
        weeks = _possible(code, day)
        if isinstance(weeks, str):
            return Outcome(unclear=weeks)
        youngest = weeks[-1]
        low = age(min(youngest.last, day), day)
        if len(code) == 4:
            values.append(Value(in_words(low), number=Enclosure(low, age(youngest.first, day))))
            steps.append(
                f"{code}: week {youngest.week} of {youngest.year}, {youngest.first} to {youngest.last}"
            )
        else:
            values.append(Value(f"at least {in_words(low)}", number=Enclosure(low, None)))
            years = ", ".join(str(w.year) for w in weeks)
            steps.append(f"{code}: week {weeks[0].week} of {years}; three digits do not say the decade")
        steps.append(f"on {day}: {values[-1].written} old")
    return Outcome(tuple(values), tuple(steps))


def crossing(code: str, months: int) -> tuple[date, date] | None:
    """When a tire reaches an age: the first day it may be that old, and the first day it surely is.

    With a code of three digits the first counts from the oldest decade and the second from the youngest.
    None for a code that cannot be read.
    """
    weeks = weeks_of_code(code)
    if not weeks:
        return None
    return add_months(weeks[0].first, months), add_months(weeks[-1].last, months)


def age_spread(cells: tuple[Cell, ...], day: date) -> Outcome:
    """Months between the oldest and the youngest tire of a set, enclosed over weeks and open decades."""
    firsts, lasts, shown = [], [], []
    for cell in cells:
        for value in cell.values:
            weeks = _possible(value.written, day)
            if isinstance(weeks, str):
                return Outcome(unclear=f"{cell.place}: {weeks}")
            firsts.append(weeks[0].first)
            lasts.append(weeks[-1].last)
            shown.append(f"{cell.place} {value.written}")
    # The youngest tire was made between max(firsts) and max(lasts), the oldest between min and min.
    low = age(min(lasts), max(firsts)) if max(firsts) > min(lasts) else Fraction(0)
    high = age(min(firsts), max(lasts))
    apart = [in_words(low), in_words(high)]
    written = apart[0] if apart[0] == apart[1] else " to ".join(apart)
    return Outcome((Value(written, number=Enclosure(low, high)),), (f"between {', '.join(shown)}",))


def age_of_date(cells: tuple[Cell, ...], day: date) -> Outcome:
    """Months since a date, enclosed from the last to the first day of a month or year written alone."""
    values, steps = [], []
    for value in cells[0].values:
        ends = value.number
        if ends is None or ends.low is None or ends.high is None:
            return Outcome(unclear=f"'{value.written}' is no date")
        first, last = date.fromordinal(int(ends.low)), date.fromordinal(int(ends.high))
        if first > day:
            return Outcome(unclear=f"'{value.written}' lies after {day}: read it again")
        low, high = age(min(last, day), day), age(first, day)
        values.append(Value(in_words(low), number=Enclosure(low, high)))
        steps.append(f"from {value.written} to {day}")
    return Outcome(tuple(values), tuple(steps))


def _day_of_age(goal: Goal, cells: tuple[Cell, ...], day: date) -> Enclosure | None:
    """Days (as ordinals) on which the age meets a limit for sure: before it may be older, or once it is."""
    found = [crossing(v.written, int(goal.limit)) for v in cells[0].values]
    if not found or None in found or goal.limit.denominator != 1 or goal.limit < 0:
        return None
    if goal.at_least:
        return at_least(Fraction(max(c[1] for c in found if c).toordinal()))
    return at_most(Fraction(min(c[0] for c in found if c).toordinal()))


INVERSES: dict[str, tuple[Inverse, ...]] = {"tire-age": (Inverse(DAY, _day_of_age),)}
