"""Questions about dates: one that lies before the vehicle was built, or after the day it was written on.

Day and month changed over, or a year mistyped, gives a good date that cannot be meant. Common practice (no
source). Nothing here judges or changes a reading.
"""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date

from precheck.derive.latest import Latest
from precheck.model.catalogue import Kind
from precheck.model.document import Claim
from precheck.model.quantity import Enclosure
from precheck.model.settled import Watch
from precheck.rulebook.book import Rulebook

BUILT = "build-date"


def _dates(latest: Latest, book: Rulebook) -> Iterator[tuple[str, str, Claim, Enclosure]]:
    """Every date that was read, with its first and last possible day."""
    for point, place in sorted(latest.claims):
        if book.points[point].kind is not Kind.DATE:
            continue
        claim = latest.read(point, place)
        number = claim.values[-1].number if claim else None
        if claim and number:
            yield point, place, claim, number


def dates_before_built(latest: Latest, book: Rulebook) -> Iterator[Watch]:
    """A date that ends before the first day on which the vehicle may have been built."""
    built = latest.read(BUILT)
    first = built.values[-1].number.low if built and built.values[-1].number else None
    if built is None or first is None:
        return
    for point, place, claim, number in _dates(latest, book):
        if point != BUILT and number.high is not None and number.high < first:
            words = f"{claim.values[-1].written} lies before {BUILT} {built.values[-1].written}: "
            yield Watch(point, place, f"{words}day and month changed over, or another part?")


def dates_to_come(latest: Latest, book: Rulebook) -> Iterator[Watch]:
    """A date that begins after the day it was written on; for an undated fact, after the last visit."""
    days = [c.on for c in latest.claims.values() if c.on is not None]
    if not days:
        return
    last = max(days)
    for point, place, claim, number in _dates(latest, book):
        written_on = claim.on or last
        if number.low is not None and date.fromordinal(int(number.low)) > written_on:
            words = f"{claim.values[-1].written} lies after {written_on}, when it was written: "
            yield Watch(point, place, f"{words}day and month changed over, or a wrong year?")


CHECKS = (dates_before_built, dates_to_come)
