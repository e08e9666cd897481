"""A small rulebook in memory: every kind of point, place, work and use, and nothing of rules/.

All of it is invented for tests; the limits say nothing about real vehicles.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import replace
from datetime import date
from fractions import Fraction
from typing import Any

from precheck.model.catalogue import (
    VEHICLE,
    Access,
    Day,
    Derived,
    Family,
    Kind,
    Lasts,
    Limit,
    LimitKind,
    Place,
    Point,
    Region,
    Source,
    Use,
    Work,
)
from precheck.model.document import Claim, Document, Done, Known, NotReached, Value, Visit
from precheck.model.problem import Mark
from precheck.model.quantity import Enclosure, Unit
from precheck.model.rules import Cite, Effects, Op, Part, Rule, Step, Test
from precheck.read.units import Units
from precheck.rulebook.book import Policy, Rulebook
from precheck.rulebook.load import ends
from precheck.rulebook.rules import close_up, lowest, spread_limits

HERE = Mark(1, 1)
DAY = date(2026, 6, 1)  # the day most tests judge
MILE = Fraction(1609344)  # mm

_UNITS = (
    Unit("mm", "length", Fraction(1), Fraction(0), (), "millimeter"),
    Unit("in", "length", Fraction(127, 5), Fraction(0), (), "inch"),
    Unit("km", "length", Fraction(1000000), Fraction(0), (), "kilometer"),
    Unit("mi", "length", MILE, Fraction(0), (), "mile"),
    Unit("kPa", "pressure", Fraction(1), Fraction(0), (), "kilopascal"),
    Unit("psi", "pressure", Fraction(8896443230521, 1290320000000), Fraction(0), (), "psi"),
    Unit("kg", "mass", Fraction(1), Fraction(0), (), "kilogram"),
    Unit("lb", "mass", Fraction(45359237, 100000000), Fraction(0), (), "pound"),
    Unit("month", "age", Fraction(1), Fraction(0), (), "month"),
    Unit("year", "age", Fraction(12), Fraction(0), (), "year"),
    Unit("count", "count", Fraction(1), Fraction(0), (), "count"),
    Unit("percent", "fraction", Fraction(1, 100), Fraction(0), (), "percent"),
    Unit("mph", "speed", Fraction(1397, 3125), Fraction(0), (), "mph"),
)
UNITS = Units(_UNITS, {u.name: u for u in _UNITS})


def amount(written: str) -> Fraction:
    """`2/32 in` in base units."""
    number, unit = written.split(" ")
    return Fraction(number) * UNITS.index[unit].factor


# -- the catalogue ----------------------------------------------------------------------------


def states(name: str, words: Iterable[str], family: str = VEHICLE, **more: Any) -> Point:
    return Point(
        id=name,
        system=more.pop("system", "tires"),
        observe=name.replace("-", " "),
        kind=Kind.STATES,
        family=family,
        access=more.pop("access", "ground"),
        states=tuple(words),
        ordered=more.pop("ordered", True),
        **more,
    )


def number(name: str, unit: str, family: str = VEHICLE, **more: Any) -> Point:
    found = UNITS.index[unit]
    return Point(
        id=name,
        system=more.pop("system", "tires"),
        observe=name.replace("-", " "),
        kind=Kind.NUMBER,
        family=family,
        access=more.pop("access", "ground"),
        dimension=found.dimension,
        unit=found,
        **more,
    )


def fact(name: str, words: Iterable[str] = (), kind: Kind = Kind.STATES, **more: Any) -> Point:
    return Point(
        id=name,
        system="identity",
        observe=name.replace("-", " "),
        kind=kind,
        family=VEHICLE,
        access="papers",
        states=tuple(words),
        fact=True,
        question=f"{name}?",
        **more,
    )


FACTS = (
    fact("region", ["us", "gb", "elsewhere"], opens="yard"),
    fact("vehicle-class", ["car", "light truck", "bus"], opens="yard", ends=("body-changed",)),
    fact("rear-wheels", ["single", "dual"], opens="yard"),
    fact("spare-wheel", ["fitted", "not fitted"], default="not fitted"),
    fact("service", ["private", "commercial"], default="private"),
    fact("brake-actuation", ["hydraulic", "mechanical", "air"], ends=("brakes-converted",)),
    fact("build-date", kind=Kind.DATE, dimension="date"),
    fact("weight-rating", kind=Kind.NUMBER, dimension="mass", unit=UNITS.index["lb"]),
)

POINTS = (
    # tires
    number("tread", "in", "tires", lasts=Lasts(days=90, miles=3000 * MILE), ends=("tire-changed",), better=1,
           chain="hold-road", plausible=Enclosure(Fraction(0), Fraction(20))),
    number("pressure", "psi", "tires", lasts=Lasts(each_drive=True), ends=("tire-filled", "tire-changed"),
           adjustable=True, better=1, chain="hold-road"),
    number("pressure-wanted", "psi", "axles", access="papers", lasts=Lasts()),
    states("bulge", ["no", "yes"], "tires", clear="no", lasts=Lasts(days=30), ends=("tire-changed",),
           chain="hold-road"),
    states("construction", ["radial", "bias", "belted bias"], "tires", ordered=False, lasts=Lasts(),
           ends=("tire-changed",), chain="hold-road"),
    Point("date-code", "tires", "date code", Kind.DATE_CODE, "tires", "ground", dimension="date",
          lasts=Lasts(), ends=("tire-changed",), chain="hold-road"),
    Point("size", "tires", "size marking", Kind.TEXT, "tires", "ground", lasts=Lasts(),
          ends=("tire-changed",)),
    number("nut-torque", "count", "wheels", lasts=Lasts(miles=100 * MILE), ends=("wheel-off",), better=1,
           adjustable=True, chain="hold-road"),
    # brakes
    states("hose", ["sound", "fine lines", "deep cracks"], "brake-hoses", system="brakes", access="under",
           clear="sound", lasts=Lasts(months=6), ends=("brakes-opened",), chain="stop"),
    states("traces", ["dry", "brake fluid", "grease"], "wheels", system="brakes", access="under",
           ordered=False, clear="dry", lasts=Lasts(days=30), ends=("cylinder-replaced", "drive"),
           chain="stop"),
    states("pedal", ["firm", "soft", "sinks"], system="brakes", access="seat", lasts=Lasts(each_drive=True),
           ends=("brakes-opened", "drive"), chain="stop"),
    # fuel, frame
    states("tank-leak", ["dry", "seep", "drops"], system="fuel", access="under", clear="dry",
           lasts=Lasts(days=30), ends=("tank-repaired", "drive"), chain="fire"),
    states("rail-rust", ["none", "light", "pitted", "holed"], "underside-areas", system="frame",
           access="under-running", clear="none", lasts=Lasts(months=12), ends=("rail-welded",),
           chain="hold-road"),
    states("underside-visibility",
           ["bare or paint", "thin film", "thick coating hides metal", "cannot be seen"],
           "underside-areas", system="identity", access="under", lasts=Lasts(months=12),
           ends=("underside-cleaned",)),
    number("wall", "mm", "suspect-spots", system="frame", access="under", lasts=Lasts(months=12),
           ends=("rail-welded",), better=1, chain="hold-road"),
    states("spot-crack", ["none", "fine", "open"], "suspect-spots", system="frame", access="under",
           clear="none", lasts=Lasts(months=12), ends=("rail-welded",), chain="hold-road"),
    # the rest
    states("silt", ["none", "to the floor", "to the engine"], system="identity", clear="none",
           lasts=Lasts(), ends=("flooded",)),
    states("oil", ["clear", "dark", "milky"], system="engine", access="hood", lasts=Lasts(days=365)),
    states("lamp", ["works", "dim", "dead"], "lamps", system="electrical", chain="be-seen",
           lasts=Lasts(days=30, miles=500 * MILE)),
    number("axle-rating", "lb", "axles", access="papers", lasts=Lasts(),
           plausible=Enclosure(Fraction(90), Fraction(13608))),
    number("odometer-reading", "mi", system="identity", access="seat", lasts=Lasts(each_drive=True)),
)  # fmt: skip

_TIRES = (
    Place("left-front", "left front", "lf", "front"),
    Place("right-front", "right front", "rf", "front"),
    Place("left-rear", "left rear", "lr", "rear", (("rear-wheels", ("single",)),)),
    Place("right-rear", "right rear", "rr", "rear", (("rear-wheels", ("single",)),)),
    Place("left-rear-outer", "left rear outer", "lro", "rear", (("rear-wheels", ("dual",)),)),
    Place("left-rear-inner", "left rear inner", "lri", "rear", (("rear-wheels", ("dual",)),)),
    Place("right-rear-outer", "right rear outer", "rro", "rear", (("rear-wheels", ("dual",)),)),
    Place("right-rear-inner", "right rear inner", "rri", "rear", (("rear-wheels", ("dual",)),)),
)
_SPARE = Place("spare", "spare", "sp", "", (("spare-wheel", ("fitted",)),))
_ENDS = tuple(
    Place(f"{side}-{end}", f"{side} {end}", side[0] + end[0], end)
    for end in ("front", "rear")
    for side in ("left", "right")
)


def _places(*names: str) -> tuple[Place, ...]:
    return tuple(Place(n, n.replace("-", " ")) for n in names)


FAMILIES = (
    Family("axles", "fixed", "each axle", _places("front", "rear")),
    Family("tires", "fixed", "each tire", (*_TIRES, _SPARE)),
    Family("road-wheels", "fixed", "each wheel on the ground", _TIRES),
    Family("wheels", "fixed", "each wheel end", _ENDS),
    Family("brake-hoses", "listed", "each hose", by_class=(
        ("car", (Place("left-front", "left front", "lf", "front"), Place("rear", "rear"))),
        ("any", (Place("left-front", "left front", "lf", "front"),
                 Place("right-front", "right front", "rf", "front"), Place("rear", "rear"))),
    )),
    Family("lamps", "listed", "each lamp", by_class=(("any", _places("left-stop", "right-stop")),)),
    Family("underside-areas", "listed", "each area", by_class=(
        ("any", _places("left-rail", "right-rail", "crossmembers")),
    )),
    Family("suspect-spots", "spots", "each suspect spot"),
)  # fmt: skip

WORKS = (
    Work("tire-changed", "tire changed", (), ()),
    Work("tire-filled", "air let in or out", (), ()),
    Work("wheel-off", "wheel taken off", (), ()),
    Work("bad-drive", "a drive went badly", ("nut-torque",), (), event=True, both_sides=True),
    Work("cylinder-replaced", "wheel cylinder replaced", ("pedal",), ()),
    Work("brakes-opened", "a joint of the brake fluid opened", ("traces",), (), everywhere=True),
    Work("tank-repaired", "tank repaired", (), ()),
    Work("rail-welded", "rail welded", (), ()),
    Work("underside-cleaned", "underside cleaned", ("rail-rust",), ()),
    Work("brakes-converted", "brakes converted", (), ()),
    Work("body-changed", "another body", (), ()),
    Work("flooded", "stood in water", (), (), event=True),
    Work("drive", "driven", (), (), event=True),
)

_SIDE = ("night", "wet", "passengers", "loaded", "towing", "motorway", "off-road")
USES = (
    Use("yard", "private ground", False, 0, limits=(Limit("speed", "10 mph", amount("10 mph")),)),
    Use("proving", "first road drives", False, 1),
    Use("occasional", "chosen days", False, 2),
    Use("everyday", "any day", False, 3, ("night", "wet", "loaded")),
    *(Use(name, name, True, 2) for name in _SIDE),
)

POLICY = Policy(
    knowing=frozenset({Known.MEASURED, Known.SEEN, Known.TOLD}),
    sure=frozenset({Known.MEASURED, Known.SEEN}),
    sure_chains=frozenset({"stop", "steer", "hold-road", "fire", "gas"}),
    combine=3,
    combine_chains=("stop", "steer", "hold-road"),
    turn_back=("A new noise.",),
)

SOURCES = (
    Source("floor", "common practice", "common practice", "", "", "", None, "nobody", floor=True),
    Source("us-law", "an invented law", "law", "", "", "", "us", "road"),
    Source("gb-law", "another invented law", "law", "", "", "", "gb", "road"),
    Source("us-fleet", "an invented law for hire", "law", "", "", "", "us", "road", service="commercial"),
    Source("manual", "an invented manual", "manual", "", "", "", None, "nobody"),
)

LIMIT_KINDS = (
    LimitKind("speed", "top speed", "lowest", "speed"),
    LimitKind("dry", "dry roads", "flag"),
    LimitKind("look-again", "look again", "list"),
)
DRY = (Limit("dry", "dry roads"),)


def book(
    rules: Iterable[Rule] = (),
    *,
    points: Iterable[Point] = (*FACTS, *POINTS),
    uses: Iterable[Use] = USES,
    families: Iterable[Family] = FAMILIES,
    works: Iterable[Work] = WORKS,
    policy: Policy = POLICY,
) -> Rulebook:
    """The rulebook, with the rules given."""
    catalogue = {p.id: p for p in points}
    done = {w.id: w for w in works}
    age = Derived(
        "age", "age of the tire", ("date-code",), "tire-age", "age", UNITS.index["year"], "tires", "", ""
    )
    access = ("papers", "ground", "seat", "hood", "under", "under-running")
    return Rulebook(
        units=UNITS,
        points=catalogue,
        derived={"age": age},
        families={f.id: f for f in families},
        access={a: Access(a, a) for a in access},
        limit_kinds={k.id: k for k in LIMIT_KINDS},
        uses={u.id: u for u in uses},
        policy=policy,
        sources={s.id: s for s in SOURCES},
        clauses=(),
        cautions={},
        regions={r: Region(r, r, (), "", "") for r in ("us", "gb", "elsewhere")},
        works=done,
        rules={r.id: r for r in rules},
        digest="",
        ends=ends(catalogue, done),
    )


BOOK = book()
YARD, PROVING = USES[0], USES[1]


def day(on: date = DAY, given: bool = True) -> Day:
    return Day(on, given)


# -- rules ------------------------------------------------------------------------------------


def at_least(measure: str, written: str, **more: Any) -> Test:
    return _compare(Op.AT_LEAST, measure, written, more)


def at_most(measure: str, written: str, **more: Any) -> Test:
    return _compare(Op.AT_MOST, measure, written, more)


def more_than(measure: str, written: str, **more: Any) -> Test:
    return _compare(Op.MORE_THAN, measure, written, more)


def less_than(measure: str, written: str, **more: Any) -> Test:
    return _compare(Op.LESS_THAN, measure, written, more)


def _compare(op: Op, measure: str, written: str, more: Mapping[str, Any]) -> Test:
    return Test(measure, op, f"{op.value} {written}", amount(written), **more)


def one_of(measure: str, *words: str, **more: Any) -> Test:
    return Test(measure, Op.ONE_OF, " / ".join(words), states=words, **more)


def effects(
    blocks: Iterable[str] = (),
    asks: Iterable[str] = (),
    limits: Mapping[str, tuple[Limit, ...]] | None = None,
) -> Effects:
    """As the loader makes them: closed upward, limits spread."""
    uses = {u.id: u for u in USES}
    blocked = close_up(tuple(blocks), uses)
    return Effects(
        blocked,
        close_up(tuple(asks), uses),
        spread_limits(limits or {}, blocked, uses),
        lowest(tuple(blocks), uses),
        lowest(tuple(asks), uses),
    )


def rule(
    name: str,
    *steps: tuple[Part, Effects],
    family: str = VEHICLE,
    applies: Iterable[Test] = (),
    chain: str | None = None,
    source: str = "floor",
) -> Rule:
    return Rule(
        id=name,
        title=name,
        cites=(Cite(source, "1", "memory"),),
        requires=f"{name}.",
        system="tires",
        family=family,
        applies=tuple(applies),
        steps=tuple(Step(part, effect, "") for part, effect in steps),
        chain=chain,
        consequence="",
        fix="",
        cautions=(),
        cases=(),
        floor=source == "floor",
        file="rules/invented.yaml",
        mark=HERE,
    )


def all_of(*tests: Test, parts: Iterable[Part] = (), applies: Iterable[Test] = ()) -> Part:
    return Part(False, tuple(applies), tests, tuple(parts))


def any_of(*parts: Part, applies: Iterable[Test] = ()) -> Part:
    return Part(True, tuple(applies), (), parts)


def simple(
    name: str,
    test: Test,
    blocks: Iterable[str] = ("yard",),
    asks: Iterable[str] = ("yard",),
    limits: Mapping[str, tuple[Limit, ...]] | None = None,
    **more: Any,
) -> Rule:
    """A rule of one comparison."""
    return rule(name, (all_of(test), effects(blocks, asks, limits)), **more)


# -- documents --------------------------------------------------------------------------------


def value(point: str, written: str) -> Value:
    """A value as the reader makes it, for points and facts of this rulebook."""
    found = BOOK.points[point]
    if found.kind is Kind.NUMBER:
        return Value(written, number=_enclosure(written))
    if found.kind is Kind.STATES:
        return Value(written, state=written)
    if found.kind is Kind.DATE:
        first, last = (date.fromisoformat(d) for d in written.split(" to "))
        return Value(written, number=Enclosure(Fraction(first.toordinal()), Fraction(last.toordinal())))
    return Value(written)


def _enclosure(written: str) -> Enclosure:
    """`5 mm`, `5 to 6 mm`, `at least 5 mm`, `at most 5 mm`."""
    if written.startswith("at least "):
        return Enclosure(amount(written[9:]), None)
    if written.startswith("at most "):
        return Enclosure(None, amount(written[8:]))
    low, to, high = written.partition(" to ")
    if not to:
        return Enclosure.of(amount(low))
    return Enclosure(amount(f"{low} {high.split(' ')[1]}"), amount(high))


def claim(point: str, written: str | Iterable[str], place: str | None = None, **more: Any) -> Claim:
    """One reading. `unknown` has no value. A point of the vehicle has its place filled in."""
    found = BOOK.points[point]
    words = (written,) if isinstance(written, str) else tuple(written)
    known = more.pop("known", None)
    if known is None:
        known = Known.MEASURED if found.kind is Kind.NUMBER else Known.SEEN
    unknown = words == ("unknown",)
    return Claim(
        point=point,
        place=VEHICLE if found.family == VEHICLE else place,
        values=() if unknown else tuple(value(point, w) for w in words),
        known=known,
        on=DAY,
        visit=0,
        by=more.pop("by", "RO"),
        mark=HERE,
        why_unknown=more.pop("why_unknown", "written as unknown" if unknown else ""),
        **more,
    )


def clear(system: str, access: str) -> list[Claim]:
    """What a `nothing-found: {SYSTEM: ACCESS}` line says."""
    return [
        Claim(p.id, None, (Value(p.clear, state=p.clear),), Known.SEEN, DAY, 0, "RO", HERE, clear_of=access)
        for p in POINTS
        if p.clear is not None and p.system == system and p.access == access
    ]


def work(name: str, *at: str) -> Done:
    return Done(name, at, HERE)


def missed(point: str, place: str | None = None, why: str = "seized") -> NotReached:
    return NotReached(point, place, why)


def visit(
    on: date,
    *claims: Claim,
    done: Iterable[Done] = (),
    not_reached: Iterable[NotReached] = (),
    drove: Fraction | int | None = None,
) -> Visit:
    """`drove` in mm. The claims get the date of the visit; `document` numbers it."""
    return Visit(
        0,
        on,
        "RO",
        tuple(replace(c, on=on) for c in claims),
        tuple(not_reached),
        tuple(done),
        None if drove is None else Fraction(drove),
        HERE,
    )


def numbered(visits: Iterable[Visit]) -> tuple[Visit, ...]:
    """In order of date, then as given, each with its number."""
    ordered = sorted(visits, key=lambda v: v.on)
    return tuple(
        replace(v, index=i, claims=tuple(replace(c, visit=i) for c in v.claims))
        for i, v in enumerate(ordered)
    )


LIGHT_TRUCK = {"region": "us", "vehicle-class": "light truck", "rear-wheels": "single"}


def vehicle(facts: Mapping[str, str]) -> tuple[Claim, ...]:
    """The undated short form of facts."""
    return tuple(
        replace(claim(name, written), known=Known.PAPERS, on=None, visit=-1, by="")
        for name, written in facts.items()
    )


def document(
    *visits: Visit,
    facts: Mapping[str, str] = LIGHT_TRUCK,
    listed: Mapping[str, tuple[str, ...]] | None = None,
) -> Document:
    return Document("invented.yaml", "", vehicle(facts), tuple((listed or {}).items()), numbered(visits))
