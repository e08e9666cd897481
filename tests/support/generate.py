"""Seeded random documents and rule sets over the small rulebook.

Few points, places and dates a document, so that readings meet: several of one point, work between
them, the same day twice, a boundary day.
"""

from __future__ import annotations

import random
from dataclasses import replace
from datetime import date, timedelta
from fractions import Fraction

from precheck.model.catalogue import VEHICLE, Point
from precheck.model.document import Claim, Document, Done, Known, NotReached, Visit
from precheck.rulebook.book import Rulebook
from tests.support import minibook as mini

# Days before the day judged: the same day, both sides of 30 and 90 days, of 6, 12 months.
AGES = (-2, 0, 0, 0, 1, 3, 29, 30, 31, 60, 89, 90, 91, 181, 182, 183, 364, 365, 366)
NUMBERS = {
    "tread": ["1/32 in", "2/32 in", "3/32 in", "8/32 in", "2 mm", "1 to 3 mm", "at least 2 mm", "40 mm"],
    "pressure": ["24 psi", "35 psi", "36 psi", "250 kPa", "at most 30 psi"],
    "pressure-wanted": ["30 psi", "36 psi"],
    "nut-torque": ["80 count", "90 count"],
    "wall": ["1 mm", "2 mm", "3 mm", "1/8 in"],
    "axle-rating": ["3000 lb", "3500 lb", "1500 kg", "50 lb"],
    "odometer-reading": ["41000 mi", "41090 mi", "41100 mi", "41600 mi", "44000 mi", "44100 mi"],
    "weight-rating": ["6000 lb", "10000 lb", "10001 lb", "at least 9000 lb"],
    "build-date": ["1966-04-01 to 1966-04-30", "1968-01-01 to 1968-01-01", "1967-01-01 to 1968-12-31"],
    "date-code": ["1417", "1420", "0109", "031", "9999"],
    "size": ["7.00-16", "LT215/85R16"],
}
SPOTS = ("left-rail", "behind-cab", "hanger")
LOOKS = (
    ("tires", "ground"), ("brakes", "under"), ("fuel", "under"), ("frame", "under"),
    ("frame", "under-running"), ("identity", "ground"),
)  # fmt: skip
DROVE = (None, None, None, 0, 1, 50, 100, 101, 500, 501, 3000, 3001)
KNOWN = (None, None, None, None, None, None, Known.TOLD, Known.TOLD, Known.PAPERS)


class Documents:
    """A stream of documents; each call of `document` gives the next one."""

    def __init__(self, seed: int, book: Rulebook = mini.BOOK, on: date = mini.DAY) -> None:
        self.random = random.Random(seed)
        self.book = book
        self.on = on
        self.points = [p for p in book.points.values() if not p.fact]
        self.facts = [p for p in book.points.values() if p.fact]
        self.active: list[str] = []  # the points that the last document speaks of

    # -- one document -------------------------------------------------------------------------

    def document(self, points: int = 4) -> Document:
        """Facts (some missing or unknown), a few points said again and again, and what happened between."""
        r = self.random
        facts = self._vehicle()
        active = r.sample(self.points, points)
        if r.random() < 0.3 and not any(p.id == "underside-visibility" for p in active):
            active.append(self.book.points["underside-visibility"])
        self.active = [p.id for p in active]
        listed: dict[str, tuple[str, ...]] = {}
        if r.random() < 0.2:
            listed["brake-hoses"] = r.choice([("left-front", "rear"), ("rear", "middle")])
        ages = sorted((r.choice(AGES) for _ in range(r.randint(0, 5))), reverse=True)
        visits = [self._visit(self.on - timedelta(days=age), active, facts, listed) for age in ages]
        numbered = mini.numbered(visits)
        return Document("invented.yaml", "", facts, tuple(listed.items()), numbered)

    def _vehicle(self) -> tuple[Claim, ...]:
        r = self.random
        out: dict[str, str] = {}
        for point in self.facts:
            if r.random() < 0.75:
                out[point.id] = self._word(point)
        return mini.vehicle(out)

    def _word(self, point: Point) -> str:
        r = self.random
        if r.random() < 0.08:
            return "unknown"
        if point.states:
            weights = [3] + [2] * (len(point.states) - 1)
            return r.choices(point.states, weights)[0]
        return r.choice(NUMBERS[point.id])

    def _places(
        self, point: Point, facts: tuple[Claim, ...], listed: dict[str, tuple[str, ...]]
    ) -> list[str]:
        if point.family == VEHICLE:
            return [VEHICLE]
        family = self.book.families[point.family]
        if family.kind == "spots":
            return list(SPOTS)
        if family.id in listed:
            return list(listed[family.id])
        state = {c.point: c.values[0].state for c in facts if c.values}
        if family.kind == "fixed":
            return [p.id for p in family.places if all(state.get(f, w[0]) in w for f, w in p.when)]
        lists = dict(family.by_class)
        return [p.id for p in lists.get(state.get("vehicle-class") or "", lists["any"])]

    def _visit(
        self, on: date, active: list[Point], facts: tuple[Claim, ...], listed: dict[str, tuple[str, ...]]
    ) -> Visit:
        r = self.random
        claims: list[Claim] = []
        for point in active:
            places = self._places(point, facts, listed)
            # Two places are enough to tell "here" from "there".
            for place in places[:2] if r.random() < 0.8 else places:
                while r.random() < 0.45:
                    claims.append(self._claim(point, place))
            if point.family != VEHICLE and r.random() < 0.35:
                claims.append(self._claim(point, None))
        r.shuffle(claims)
        for point in self.facts:
            if r.random() < 0.06:
                claims.append(self._claim(point, VEHICLE))
        if r.random() < 0.25:
            written = r.choice(NUMBERS["odometer-reading"])
            claims.append(
                mini.claim("odometer-reading", written, struck="typed wrong" if r.random() < 0.1 else "")
            )
        claims = [self._same_as(c, claims) for c in claims]
        for system, access in LOOKS:
            if r.random() < 0.3:
                claims += mini.clear(system, access)
        return mini.visit(
            on,
            *claims,
            done=self._done(active),
            not_reached=self._not_reached(active, facts, listed),
            drove=_miles(r.choice(DROVE)),
        )

    def _claim(self, point: Point, place: str | None) -> Claim:
        r = self.random
        word: str | list[str] = self._word(point)
        if place is None and not point.states and point.family != VEHICLE:
            word = "unknown"  # a number never speaks for all places
        elif word != "unknown" and r.random() < 0.1:
            again = self._word(point)
            word = [str(word), again] if again != "unknown" else word
        claim = mini.claim(point.id, word, place)
        known = r.choice(KNOWN)
        if known is not None:
            claim = replace(claim, known=known)
        odd = any(
            v.number is not None and point.plausible is not None and _outside(v.number, point.plausible)
            for v in claim.values
        )
        if odd:
            claim = replace(claim, why_unknown="more than likely")
        if r.random() < 0.08:
            claim = replace(claim, struck="typed wrong", why_unknown="")
        return claim

    def _same_as(self, claim: Claim, claims: list[Claim]) -> Claim:
        """A permanent mark may be said to be the same as one written in this visit."""
        point = self.book.points[claim.point]
        others = [
            c for c in claims if c.point == point.id and c.place not in (None, claim.place) and c.values
        ]
        permanent = point.lasts.permanent and not point.fact and claim.place not in (None, VEHICLE)
        if not (permanent and others and self.random.random() < 0.2):
            return claim
        target = self.random.choice(others)
        return replace(
            claim, known=Known.SAME_AS, same_as=target.place or "", values=target.values, why_unknown=""
        )

    def _done(self, active: list[Point]) -> list[Done]:
        r = self.random
        out = []
        ending = sorted({w for p in active for w in self.book.ends[p.id]})
        while ending and r.random() < 0.25:
            at = r.choice(
                [(), (), ("left-front",), ("left-rear",), ("front",), ("rear",), ("left-rail",),
                 ("left-rear-outer",), ("spare",), ("left-front", "rear")]
            )  # fmt: skip
            out.append(mini.work(r.choice(ending), *at))
        return out

    def _not_reached(
        self, active: list[Point], facts: tuple[Claim, ...], listed: dict[str, tuple[str, ...]]
    ) -> list[NotReached]:
        r = self.random
        out = []
        for point in active:
            if r.random() < 0.15:
                place = r.choice([None, r.choice(self._places(point, facts, listed))])
                out.append(mini.missed(point.id, place))
        return out


def _miles(miles: int | None) -> Fraction | None:
    return None if miles is None else miles * mini.MILE


def _outside(number: object, allowed: object) -> bool:
    low, high = number.low, number.high  # type: ignore[attr-defined]
    return (low is not None and low < allowed.low) or (high is not None and high > allowed.high)  # type: ignore[attr-defined]
