"""How long a reading counts: by days, by the calendar, by miles, and until an event."""

from __future__ import annotations

import calendar
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from fractions import Fraction

from precheck.model.catalogue import VEHICLE, Lasts, Work
from precheck.model.document import Claim, Visit

DRIVE = "drive"  # the event of a visit that drove any distance
ODOMETER = "odometer-reading"


def add_months(day: date, months: int) -> date:
    """The same day of a later month; the month's last day where it has no such day."""
    index = day.year * 12 + day.month - 1 + months
    year, month = divmod(index, 12)
    return date(year, month + 1, min(day.day, calendar.monthrange(year, month + 1)[1]))


def last_day(on: date | None, lasts: Lasts) -> date | None:
    """The last day on which a reading of `on` counts by time alone; None: time does not end it."""
    if on is None:
        return None
    ends = []
    if lasts.each_drive:
        ends.append(on)
    if lasts.days is not None:
        ends.append(on + timedelta(days=lasts.days))
    if lasts.months is not None:
        ends.append(add_months(on, lasts.months))
    return min(ends, default=None)


@dataclass(frozen=True, slots=True)
class Ended:
    """What ended an earlier reading: the work or event, in which visit, on which date."""

    work: str
    words: str
    visit: int
    on: date

    def __str__(self) -> str:
        return f"{self.words} on {self.on}"


class History:
    """What happened over the visits that count, for asking what became of a reading."""

    def __init__(self, visits: Sequence[Visit], works: dict[str, Work], up: dict[str, str]) -> None:
        self.visits = visits
        self.works = works
        self.up = up
        self.driven = {v.index: v.drove for v in visits if v.drove is not None}
        self.odometer = {
            claim.visit: claim.values[-1].number.low
            for visit in visits
            for claim in visit.claims
            if claim.point == ODOMETER and not claim.struck and claim.values and claim.values[-1].number
        }

    def ended(self, place: str, visit: int, ending: frozenset[str], family: frozenset[str]) -> Ended | None:
        """The first event or work of `ending` at `place` in or after visit number `visit`.

        Work and driving come after the readings of their own visit. `family` are all places of the
        point: work at a place that is none of them, and that none of them belongs to, ends the
        readings of all, because nobody can tell how far it reached.
        """
        for later in self.visits:
            if later.index < visit:
                continue
            for done in later.done:
                if done.work in ending and self._touches(self.works[done.work], done.at, place, family):
                    return Ended(done.work, self.works[done.work].words, later.index, later.on)
            if DRIVE in ending and later.drove:
                return Ended(DRIVE, "driven", later.index, later.on)
        return None

    def _touches(self, work: Work, at: tuple[str, ...], place: str, family: frozenset[str]) -> bool:
        if work.everywhere or not at or place == VEHICLE:
            return True
        if any(self._related(place, worked) for worked in at):
            return True
        return any(not any(self._related(member, worked) for member in family) for worked in at)

    def _related(self, place: str, worked: str) -> bool:
        return place == worked or self.up.get(place) == worked or self.up.get(worked) == place

    def distance_since(self, visit: int) -> Fraction:
        """Distance in mm driven in and after a visit: by odometer or by the drives written, the larger."""
        summed = sum((d for v, d in self.driven.items() if v >= visit), Fraction(0))
        before = [o for v, o in sorted(self.odometer.items()) if v <= visit and o is not None]
        after = [o for v, o in sorted(self.odometer.items()) if v >= visit and o is not None]
        by_odometer = after[-1] - before[-1] if before and after else Fraction(0)
        return max(summed, by_odometer)


def run_out(claim: Claim, lasts: Lasts, day: date, history: History) -> str:
    """Why a reading no longer counts by time or distance, or an empty text."""
    last = last_day(claim.on, lasts)
    if last is not None and last < day:
        return f"run out after {last}"
    if lasts.miles is not None and claim.on is not None:
        driven = history.distance_since(claim.visit)
        if driven > lasts.miles:
            return "run out by distance driven"
    return ""
