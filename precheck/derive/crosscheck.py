"""Checks between readings that no single rule can make: questions for a person, never a state or a verdict.

Each function takes the document up to the day and the rulebook, and gives lines for the watch list. All of
it is common practice (no source). Nothing here changes a reading.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from datetime import date, timedelta
from fractions import Fraction
from itertools import pairwise

from precheck.derive import crossdates, crosspairs, crosssigns
from precheck.derive.latest import latest, mate
from precheck.derive.measures import MPH, PSI, say
from precheck.model.catalogue import VEHICLE, Kind, Point
from precheck.model.document import Claim, Document, Visit
from precheck.model.quantity import Enclosure
from precheck.model.record import dataclass
from precheck.model.settled import Watch
from precheck.rulebook.book import Rulebook

FEW = 3  # swapped pairs, or points that are too even, before anything is asked
FAR = 3  # an outlier lies this many times further off than its siblings lie apart
LOW_SHARE = Fraction(8, 10)


@dataclass(frozen=True, slots=True)
class Read:
    """One exact number that was read at a place in a visit."""

    value: Fraction
    step: Fraction
    written: str


Table = dict[str, dict[str, Read]]  # by point, by place


def questions(document: Document, book: Rulebook, day: date) -> tuple[Watch, ...]:
    """All of the checks over the visits up to the day, in a fixed order."""
    visits = [v for v in document.visits if v.on <= day]
    checks: tuple[Callable[[Sequence[Visit], Rulebook], Iterator[Watch]], ...] = (
        swapped_sides,
        outliers,
        too_even,
        falling_pressure,
        fluid_lost,
        warm_pressure,
        odometer_jumps,
    )
    last = latest(document, visits, book)
    pairs = (*crosspairs.CHECKS, *crosssigns.CHECKS, *crossdates.CHECKS)
    return (
        *(line for check in checks for line in check(visits, book)),
        *(line for one in pairs for line in one(last, book)),
    )


def numbers_of(visit: Visit, book: Rulebook) -> Table:
    """The single exact numbers of a visit; later lines of the same visit win, struck ones do not count."""
    out: Table = {}
    for claim in visit.claims:
        point = book.points.get(claim.point)
        if (
            point is None
            or point.fact
            or point.kind is not Kind.NUMBER
            or claim.struck
            or claim.place is None
        ):
            continue
        numbers = [v.number for v in claim.values]
        if len(numbers) == 1 and numbers[0] is not None and numbers[0].exact and numbers[0].low is not None:
            quantity = claim.values[0].quantity
            step = quantity.step if quantity else Fraction(0)
            out.setdefault(point.id, {})[claim.place] = Read(numbers[0].low, step, claim.values[0].written)
    return out


def swapped_sides(visits: Sequence[Visit], book: Rulebook) -> Iterator[Watch]:
    """Left and right of a visit are right and left of the one before, for at least three pairs.

    A pair counts where its two values differ and have changed over exactly. Seen from the front instead of
    the driver's seat?
    """
    tables = [(v, numbers_of(v, book)) for v in visits]
    for (before, old), (after, new) in pairwise(tables):
        pairs = []
        for name in old.keys() & new.keys():
            for place in sorted(old[name].keys() & new[name].keys()):
                other = mate(place)
                if other not in old[name] or other not in new[name]:
                    continue
                was = (old[name][place].value, old[name][other].value)
                now = (new[name][other].value, new[name][place].value)
                if was == now and was[0] != was[1]:
                    pairs.append((name, place))
        if len(pairs) >= FEW:
            words = (
                f"{len(pairs)} pairs read on {after.on} are left for right those of {before.on}: "
                "seen from the front instead of the driver's seat?"
            )
            for name, place in sorted(pairs):
                yield Watch(name, place, words)


def outliers(visits: Sequence[Visit], book: Rulebook) -> Iterator[Watch]:
    """A number far from at least three others of the same point and visit, and from its own last reading.

    Far: more than three times as far from the nearest as the others lie apart, or as the writing can tell.
    """
    seen: dict[tuple[str, str], Read] = {}
    for visit in visits:
        table = numbers_of(visit, book)
        for name, here in sorted(table.items()):
            for place, read in sorted(here.items()):
                others = [r.value for p, r in here.items() if p != place]
                if len(others) < FEW:
                    continue
                apart = max(max(others) - min(others), 3 * read.step)
                off = min(abs(read.value - o) for o in others)
                last = seen.get((name, place))
                if off > FAR * apart and (last is None or abs(last.value - read.value) > apart):
                    words = (
                        f"'{read.written}' on {visit.on} lies far from the others of that day: read it again"
                    )
                    yield Watch(name, place, words)
        seen.update({(n, p): r for n, here in table.items() for p, r in here.items()})


def too_even(visits: Sequence[Visit], book: Rulebook) -> Iterator[Watch]:
    """Three or more points of one visit, each with the same number at four places or more.

    Zero, counts, what people set and what is molded on are even by nature and do not count.
    """
    for visit in visits:
        even = [
            name
            for name, here in sorted(numbers_of(visit, book).items())
            if len(here) > FEW
            and len({r.value for r in here.values()}) == 1
            and _worn(book.points[name], here)
        ]
        if len(even) >= FEW:
            words = f"the same at every place on {visit.on}, with {len(even)} points: was each one read?"
            for name in even:
                yield Watch(name, VEHICLE, words)


def _worn(point: Point, here: dict[str, Read]) -> bool:
    natural = point.adjustable or point.lasts.permanent or point.dimension == "count"
    return not natural and any(r.value != 0 for r in here.values())


PRESSURE, WANTED = "tire-pressure-cold", "tire-pressure-recommended"
FILLED = frozenset({"tire-filled", "tire-changed", "tire-size-changed"})


def falling_pressure(visits: Sequence[Visit], book: Rulebook) -> Iterator[Watch]:
    """Fall of a tire between its last two readings without filling between: rate, and the day it is low.

    The day is that on which it would be at 80 percent of the recommended pressure at the same rate.
    """
    tables = [(v, numbers_of(v, book)) for v in visits]
    up = {p.id: p.up for p in book.families["tires"].places}
    wanted = {p: r.value for _, table in tables for p, r in table.get(WANTED, {}).items()}
    for place in sorted({p for _, table in tables for p in table.get(PRESSURE, {})}):
        read = [(v, table[PRESSURE][place]) for v, table in tables if place in table.get(PRESSURE, {})]
        if len(read) < 2:
            continue
        (before, old), (after, new) = read[-2:]
        days = (after.on - before.on).days
        fall = old.value - new.value
        if days < 1 or fall <= 0 or _done_between(visits, before, after, FILLED):
            continue
        rate = fall / days
        words = f"fell from {old.written} on {before.on} to {new.written} on {after.on}"
        words += f", {say(Enclosure.of(rate * 7), PSI)} a week"
        target = wanted.get(up.get(place, ""))
        if target is not None:
            spare = new.value - LOW_SHARE * target
            left = min(36500, max(0, int(spare / rate)))
            words += f"; at 80 percent of what is recommended on {after.on + timedelta(days=left)}"
        yield Watch(PRESSURE, place, words)


def _done_between(visits: Sequence[Visit], before: Visit, after: Visit, works: frozenset[str]) -> bool:
    """Whether any of the works was done after the readings of one visit and before those of another."""
    return any(d.work in works for v in visits if before.index <= v.index < after.index for d in v.done)


LEVEL = "brake-fluid-level"
LEAKS = ("master-cylinder-leak", "wheel-cylinder-leak", "brake-fluid-traces")


def fluid_lost(visits: Sequence[Visit], book: Rulebook) -> Iterator[Watch]:
    """The brake fluid falls between two readings, and no leak was found at any point that was looked at.

    Then it goes where nobody looked: into a drum, the booster, a pipe above the frame.
    """
    point = book.points.get(LEVEL)
    if point is None:
        return
    levels: dict[str, list[tuple[Visit, Claim]]] = {}
    leaks: dict[str, str] = {}
    for visit in visits:
        for claim in visit.claims:
            if claim.struck or not claim.values:
                continue
            if claim.point == LEVEL:
                levels.setdefault(claim.place or "every chamber", []).append((visit, claim))
            elif claim.point in LEAKS:
                leaks[f"{claim.point} {claim.place}"] = claim.values[-1].state or ""
    if any(state != "dry" for state in leaks.values()):
        return
    for place, read in sorted(levels.items()):
        if len(read) < 2:
            continue
        (before, old), (after, new) = read[-2:]
        ranks = [point.states.index(c.values[-1].state or "") for c in (old, new)]
        works = book.ends.get(LEVEL, frozenset())
        if ranks[1] > ranks[0] and not _done_between(visits, before, after, works):
            words = (
                f"'{old.values[-1].written}' on {before.on}, '{new.values[-1].written}' on {after.on}, "
                "and no leak was found: look behind the drums, in the booster and along every pipe"
            )
            yield Watch(LEVEL, place, words)


def warm_pressure(visits: Sequence[Visit], book: Rulebook) -> Iterator[Watch]:
    """The last cold pressure of a tire was read on the day of a drive, after it: warm, so it reads high."""
    last = {p: (v, r) for v in visits for p, r in numbers_of(v, book).get(PRESSURE, {}).items()}
    for place, (visit, read) in sorted(last.items()):
        if any(v.on == visit.on and v.index < visit.index and v.drove for v in visits):
            words = (
                f"'{read.written}' was read on {visit.on} after a drive that day: a warm tire reads high; "
                "let no air out, and read it again after three hours of standing"
            )
            yield Watch(PRESSURE, place, words)


ODOMETER = "odometer-reading"
ODOMETER_MOST = 5000 * MPH.factor * 3600 * 1000  # 5,000 miles in mm


def odometer_jumps(visits: Sequence[Visit], book: Rulebook) -> Iterator[Watch]:
    """The odometer stands below its reading before, or more than 5,000 miles above it."""
    read = [(v, here[VEHICLE]) for v in visits if (here := numbers_of(v, book).get(ODOMETER))]
    if len(read) < 2:
        return
    (before, old), (after, new) = read[-2:]
    if not old.value <= new.value <= old.value + ODOMETER_MOST:
        words = f"{old.written} on {before.on}, {new.written} on {after.on}: "
        yield Watch(ODOMETER, VEHICLE, f"{words}tenths or a digit too many or too few, or rolled over?")
