"""How long a reading counts: by days, by the calendar, by miles, and until an event."""

from __future__ import annotations

import calendar
from collections.abc import Sequence
from datetime import MAXYEAR, date, timedelta
from fractions import Fraction

from precheck.model.catalogue import VEHICLE, Lasts, Work
from precheck.model.document import Claim, Visit
from precheck.model.record import dataclass
from precheck.settle.struck import struck

DRIVE = "drive"  # the event of a visit that drove any distance
ODOMETER = "odometer-reading"


def add_months(day: date, months: int) -> date:
    """The same day of a later month; the month's last day where it has no such day.

    Past the end of the calendar it is the calendar's last day.
    """
    index = day.year * 12 + day.month - 1 + months
    year, month = divmod(index, 12)
    if year > MAXYEAR:
        return date.max
    return date(year, month + 1, min(day.day, calendar.monthrange(year, month + 1)[1]))


def last_day(on: date | None, lasts: Lasts) -> date | None:
    """The last day on which a reading of `on` counts by time alone; None: time does not end it."""
    if on is None:
        return None
    ends = []
    if lasts.each_drive:
        ends.append(on)
    if lasts.days is not None:
        ends.append(on + min(timedelta(days=lasts.days), date.max - on))
    if lasts.months is not None:
        ends.append(add_months(on, lasts.months))
    return min(ends, default=None)


@dataclass(frozen=True, slots=True)
class Ended:
    """What ended an earlier reading: the work or event in words, and the date. Work may have mended it."""

    words: str
    on: date
    event: bool

    def __str__(self) -> str:
        return f"{self.words} on {self.on}"


class History:
    """What happened over the visits that count, for asking what became of a reading."""

    def __init__(self, visits: Sequence[Visit], works: dict[str, Work], up: dict[str, str]) -> None:
        self.visits = visits
        self.works = works
        self.up = up
        self.odometer = odometer_shown(visits)

    def ended(self, place: str, visit: Visit, ending: frozenset[str], family: frozenset[str]) -> Ended | None:
        """What in a visit ended, after its readings, those of a point at `place`.

        `ending` are the work and events that end the point, `family` all its places: work at a place
        that is none of them, and that none of them belongs to, ends the readings of all, because nobody
        can tell how far it reached. Driving ends everywhere.
        """
        for done in visit.done:
            if done.work in ending and self._touches(self.works[done.work], done.at, place, family):
                work = self.works[done.work]
                return Ended(work.words, visit.on, work.event)
        if DRIVE in ending and visit.drove:
            return Ended("driven", visit.on, True)
        return None

    def _touches(self, work: Work, at: tuple[str, ...], place: str, family: frozenset[str]) -> bool:
        if work.everywhere or not at or place == VEHICLE:
            return True
        if work.both_sides:
            at = tuple(self.up.get(worked) or worked for worked in at)
        if any(self._related(place, worked) for worked in at):
            return True
        return any(not any(self._related(member, worked) for member in family) for worked in at)

    def _related(self, place: str, worked: str) -> bool:
        return place == worked or self.up.get(place) == worked or self.up.get(worked) == place

    def distance_since(self, visit: int) -> Fraction:
        """The most that has been driven in and after a visit, in mm, by odometer and written drives.

        Between two looks at the odometer the larger of its difference and the drives written counts; the
        latest look at or before the visit stands for the visit itself.
        """
        before = [shown for index, shown in self.odometer.items() if index <= visit]
        reached = Fraction(0)
        start = -before[-1] if before else None  # what to add to the odometer to have the distance
        for later in self.visits:
            if later.index < visit:
                continue
            shown = self.odometer.get(later.index) if later.index > visit else None
            if shown is not None:
                reached = max(reached, start + shown) if start is not None else reached
                start = max(start, reached - shown) if start is not None else reached - shown
            reached += later.drove or 0
        return reached


def odometer_shown(visits: Sequence[Visit]) -> dict[int, Fraction]:
    """What the odometer showed last in each visit that wrote it down, in mm; nothing struck or odd."""
    claims = [[c for c in v.claims if c.point == ODOMETER] for v in visits]
    wrong = struck((group, False) for group in claims)
    out = {}
    for claim in (c for group in claims for c in group if id(c) not in wrong and not c.why_unknown):
        number = claim.values[-1].number if claim.values else None
        if number is not None and number.low is not None:
            out[claim.visit] = number.low
    return out


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
