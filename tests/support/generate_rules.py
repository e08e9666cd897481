"""Seeded random rules over the small rulebook: every form a rule can have, limits met exactly."""

from __future__ import annotations

import random
from fractions import Fraction

from precheck.model.catalogue import VEHICLE, Kind, Limit, Point
from precheck.model.rules import Bound, Effects, Op, Over, Part, Row, Rule, Test
from precheck.rulebook.book import Rulebook
from tests.support import minibook as mini
from tests.support.generate import NUMBERS

# A rule's places: families, single places (one of which not every vehicle has), the whole vehicle.
PLACES = (
    "tires", "tires", "road-wheels", "axles", "wheels", "brake-hoses", "underside-areas", "suspect-spots",
    "lamps", VEHICLE, VEHICLE, "left-front", "spare",
)  # fmt: skip
COMPARE = (Op.AT_LEAST, Op.AT_MOST, Op.MORE_THAN, Op.LESS_THAN)
CHAINS = (None, "stop", "stop", "hold-road", "fire")
RUNGS = ("yard", "proving", "occasional", "everyday")
# Measured values that another value may limit, by (measured, limit): both of one dimension.
PAIRS = (
    ("pressure", "pressure-wanted"),
    ("wall", "tread"),
    ("tread", "tread"),
    ("axle-rating", "weight-rating"),
)


class Rules:
    """A stream of rules; each call of `rule` gives the next one."""

    def __init__(self, seed: int, book: Rulebook = mini.BOOK) -> None:
        self.random = random.Random(seed)
        self.book = book
        self.count = 0

    def rules(self, number: int) -> list[Rule]:
        return [self.rule() for _ in range(number)]

    def rule(self) -> Rule:
        r = self.random
        self.count += 1
        family = r.choice(PLACES)
        steps = [(self.part(family, 0), self.effects()) for _ in range(r.choice([1, 1, 1, 2, 3]))]
        return mini.rule(
            f"rule-{self.count}",
            *steps,
            family=family,
            applies=self.terms(family, 0.35),
            chain=r.choice(CHAINS),
            source=r.choice(["floor", "floor", "us-law", "gb-law", "manual"]),
        )

    # -- conditions ---------------------------------------------------------------------------

    def part(self, family: str, depth: int) -> Part:
        r = self.random
        if depth >= 3 or r.random() < (0.7, 0.5, 0.8)[min(depth, 2)]:
            applies = self.terms(family, 0.2) if depth else ()
            return Part(False, applies, tuple(self.test(family) for _ in range(r.choice([1, 1, 1, 2]))))
        parts = tuple(self.part(family, depth + 1) for _ in range(r.randint(1, 3)))
        tests = (self.test(family),) if r.random() < 0.2 else ()
        return Part(r.random() < 0.5, self.terms(family, 0.2) if depth else (), tests, parts)

    def terms(self, family: str, chance: float) -> tuple[Test, ...]:
        """What must hold for a rule or part to apply: on facts, sometimes on a point or derived value."""
        r = self.random
        out = []
        while r.random() < chance:
            out.append(self.on_fact() if r.random() < 0.8 else self.test(family))
        return tuple(out)

    def on_fact(self) -> Test:
        facts = [p for p in self.book.points.values() if p.fact]
        return self.on(self.random.choice(facts))

    def test(self, family: str) -> Test:
        r = self.random
        roll = r.random()
        if roll < 0.12:
            return self.across()
        if roll < 0.24:
            return self.bounded()
        if roll < 0.30:
            months = Fraction(r.choice([0, 12, 72, 119, 120, 121, 360]))
            return Test("age", r.choice(COMPARE), f"{months} month", months)
        points = [p for p in self.book.points.values() if p.kind in (Kind.NUMBER, Kind.STATES, Kind.DATE)]
        near = [
            p for p in points if p.family in (family, VEHICLE) or (family == "axles" and p.family == "tires")
        ]
        return self.on(r.choice(near if near and r.random() < 0.85 else points))

    def on(self, point: Point) -> Test:
        """A comparison with a point's value. Limits are values that documents hold, or a hair beside."""
        r = self.random
        if point.states:
            some = r.sample(point.states, r.randint(1, len(point.states)))
            return Test(point.id, Op.ONE_OF, " / ".join(some), states=tuple(some))
        return Test(point.id, r.choice(COMPARE), point.id, self.limit(point.id))

    def limit(self, point: str) -> Fraction:
        r = self.random
        number = mini.value(point, r.choice(NUMBERS[point])).number
        assert number is not None
        exact = number.low if number.low is not None else number.high
        assert exact is not None
        return exact + r.choice([0, 0, 0, Fraction(1, 10**9), -Fraction(1, 10**9)])

    def across(self) -> Test:
        r = self.random
        take = r.choice(["count", "share", "lowest", "highest", "spread", "distinct"])
        over = r.choice(["tires", "road-wheels", "axles"])
        if take in ("count", "share"):
            point = self.book.points[r.choice(["bulge", "construction"])]
            some = tuple(r.sample(point.states, r.randint(1, len(point.states) - 1)))
            limit = Fraction(r.randint(0, 4)) if take == "count" else Fraction(r.randint(0, 4), 4)
            return Test(point.id, r.choice(COMPARE), take, limit, over=Over(over, take, some))
        if take == "distinct":
            point = self.book.points[r.choice(["construction", "size", "date-code", "tread"])]
            return Test(point.id, Op.AT_MOST, "at most 1", Fraction(r.randint(1, 2)), over=Over(over, take))
        limit = self.limit("tread") - (self.limit("tread") if take == "spread" else 0)
        return Test("tread", r.choice(COMPARE), take, limit, over=Over(over, take))

    def bounded(self) -> Test:
        r = self.random
        if r.random() < 0.5:
            measured, other = r.choice(PAIRS)
            share = r.choice([Fraction(1), Fraction(4, 5), Fraction(24, 45)])
            plus = r.choice([Fraction(0), Fraction(0), Fraction(1), Fraction(-3, 7)])
            over = (
                Over("tires", r.choice(["lowest", "spread"]))
                if measured == "tread" and r.random() < 0.3
                else None
            )
            bound = Bound(other, share, plus)
            return Test(measured, r.choice(COMPARE), "bound", Fraction(0), bound=bound, over=over)
        if r.random() < 0.5:
            rows = [
                Row(None, False, None, False, w, mini.amount(q), w)
                for w, q in (("radial", "2/32 in"), ("bias", "3/32 in"))
            ]
            return Test(
                "tread",
                r.choice(COMPARE),
                "table",
                Fraction(0),
                bound=Bound("construction", rows=tuple(rows), table="by construction"),
            )
        first, second = mini.amount("6000 lb"), mini.amount("10000 lb")
        rows = [
            Row(None, False, first, False, None, mini.amount("2/32 in"), "to 6000 lb"),
            Row(first, True, second, False, None, mini.amount("3/32 in"), "to 10000 lb"),
        ]
        return Test(
            "tread",
            r.choice(COMPARE),
            "table",
            Fraction(0),
            bound=Bound("weight-rating", rows=tuple(rows), table="by weight"),
        )

    # -- effects ------------------------------------------------------------------------------

    def effects(self) -> Effects:
        r = self.random
        uses = list(self.book.uses)
        limits: dict[str, tuple[Limit, ...]] = {}
        if r.random() < 0.4:
            limits[r.choice([*RUNGS[:3], "night"])] = (Limit("speed", "35 mph", mini.amount("35 mph")),)
        return mini.effects(
            r.sample(uses, r.choice([0, 1, 1, 2])), r.sample(uses, r.choice([0, 1, 1, 1, 2])), limits
        )
