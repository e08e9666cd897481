"""Questions about signs that say more together: heat, oil, play, wear, air in the tires, what is wired.

Common practice (no source). Nothing here judges or changes a reading.
"""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from precheck.derive.electrical import cells_in
from precheck.derive.latest import Latest, mate
from precheck.derive.measures import DEG_F_APART, VOLT, say
from precheck.model.catalogue import VEHICLE
from precheck.model.quantity import Enclosure
from precheck.model.settled import Watch
from precheck.rulebook.book import Rulebook
from precheck.rulebook.places import all_places

HEAT_APART = 10 * DEG_F_APART.factor
AIR_BELOW = 5 * DEG_F_APART.factor
PRESSURE_SHARE = Fraction(1, 10)
REST = (Fraction(19, 10), Fraction(22, 10))  # V of one cell at rest
CHARGING = Fraction(26, 10)  # V of one cell, the most


def wear_toe(latest: Latest, book: Rulebook) -> Iterator[Watch]:
    """Feathered front tires: play in the pivots comes before the toe, and is measured before it is set."""
    point = "tire-wear-pattern"
    pivots = ("kingpin-play", "ball-joint-play")
    slack = [f"{p} at {q}" for p in pivots for q in latest.places(p) if latest.number(p, q)]
    known = any(latest.read(p, q) for p in pivots for q in latest.places(p))
    for place in ("left-front", "right-front"):
        if latest.state(point, place) == "feathered" and (slack or not known):
            todo = f"mend {', '.join(slack)} first" if slack else "measure kingpin or ball joint play first"
            yield Watch(point, place, f"feathered: {todo}, then set the toe")


def bearing_or_pin(latest: Latest, book: Rulebook) -> Iterator[Watch]:
    """Play in the bearing and in the pin of one wheel: the foot brake tells them apart."""
    for place in latest.places("wheel-bearing-play"):
        if latest.number("wheel-bearing-play", place) and latest.number("kingpin-play", place):
            words = (
                "play in bearing and kingpin: rock it once more with the foot brake on; what stays is the pin"
            )
            yield Watch("wheel-bearing-play", place, words)


def heat_pair(latest: Latest, book: Rulebook) -> Iterator[Watch]:
    """Hotter idling than on the road is want of air, the other way round want of flow or late ignition."""
    idle, road = latest.number("temperature-idle"), latest.number("temperature-cruise")
    if idle is None or road is None or abs(idle - road) <= HEAT_APART:
        return
    shown = f"idle {latest.shown('temperature-idle')}, on the road {latest.shown('temperature-cruise')}"
    if idle > road:
        yield Watch("temperature-idle", VEHICLE, f"{shown}: look at fan, shroud and the outside of the core")
    else:
        words = f"{shown}: look at flow through the core, the pump and the ignition; spare it on grades"
        yield Watch("temperature-cruise", VEHICLE, words)


def cold_engine(latest: Latest, book: Rulebook) -> Iterator[Watch]:
    """A running engine's coolant cannot be colder than the air: degrees C written as F?"""
    air = latest.read("air-temperature")
    for point in ("temperature-idle", "temperature-cruise"):
        read, hot, cold = latest.read(point), latest.number(point), latest.number("air-temperature")
        if read is None or air is None or read.on != air.on or hot is None or cold is None:
            continue
        if hot < cold - AIR_BELOW:
            words = f"{latest.shown(point)} with air of {latest.shown('air-temperature')}: "
            yield Watch(point, VEHICLE, f"{words}degrees C written as degrees F?")


def oil_pair(latest: Latest, book: Rulebook) -> Iterator[Watch]:
    """Oil that smells of fuel is thin: what its pressure says of wear counts after a change."""
    point = "oil-pressure-hot-idle"
    if latest.state("engine-oil-condition") == "smells of fuel" and latest.read(point):
        words = (
            f"{latest.shown(point)} with oil that smells of fuel: change it and mend what lets the fuel in, "
        )
        yield Watch(point, VEHICLE, f"{words}then read again before wear is blamed")


def noise_support(latest: Latest, book: Rulebook) -> Iterator[Watch]:
    """A hanger gone beside a joint that leaks: the next part along carries the load and cracks next."""
    family = book.families.get("exhaust-joints")
    runs = [p.id for p in all_places(family)] if family else []
    for place in latest.places("exhaust-support"):
        if latest.state("exhaust-support", place) not in ("loose", "broken or missing") or place not in runs:
            continue
        here = runs.index(place)
        beside = runs[max(0, here - 1) : here + 2]
        leaks = [q for q in beside if latest.state("exhaust-leak", q) not in ("", "none")]
        if leaks:
            words = f"{latest.state('exhaust-support', place)}, and {', '.join(leaks)} leaks: "
            yield Watch("exhaust-support", place, f"{words}the parts beside it crack next; hang it first")


def fluid_kind(latest: Latest, book: Rulebook) -> Iterator[Watch]:
    """Brake fluid is wanting and its kind is not known: no topping up before it is."""
    if latest.read("brake-fluid-type"):
        return
    for place in latest.places("brake-fluid-level"):
        if latest.state("brake-fluid-level", place) in ("below minimum", "under a quarter", "empty"):
            words = f"{latest.state('brake-fluid-level', place)}, and the kind of fluid is not known: "
            yield Watch("brake-fluid-level", place, f"{words}find out which it is before any is added")


def battery_cells(latest: Latest, book: Rulebook) -> Iterator[Watch]:
    """A voltage that the cells of this system do not have: 6 V taken for 12 V, or the other way round?

    At rest 1.9 to 2.2 V a cell, charging at most 2.6 V.
    """
    count = cells_in(latest.state("system-voltage"))
    if count is None:
        return
    system = latest.shown("system-voltage")
    rest, low, high = latest.number("battery-rest-voltage"), REST[0] * count, REST[1] * count
    if rest is not None and not low <= rest <= high:
        words = f"{latest.shown('battery-rest-voltage')} at rest, system {system}: a sound battery has "
        yield Watch("battery-rest-voltage", VEHICLE, f"{words}{say(Enclosure(low, high), VOLT)}")
    for point in ("charge-voltage", "charge-voltage-lamps-on"):
        volts = latest.number(point)
        if volts is not None and volts > CHARGING * count:
            words = f"{latest.shown(point)} charging, system {system}: more than "
            yield Watch(point, VEHICLE, f"{words}{say(Enclosure.of(CHARGING * count), VOLT)}; 6, 12 or 24 V?")


def test_on_uneven_tires(latest: Latest, book: Rulebook) -> Iterator[Watch]:
    """A stop or a straight run judged on tires of one axle more than 10 percent apart in pressure.

    Only where the tires were read on the day of the test: later pumping does not mend an old test.
    """
    air = "tire-pressure-cold"
    for point in ("brake-straight-stop", "steering-wander", "brake-stop-distance"):
        test = latest.read(point)
        if test is None:
            continue
        for place in latest.places(air):
            one, two = latest.read(air, place), latest.read(air, mate(place))
            if one is None or two is None or not one.on == two.on == test.on:
                continue
            left, right = latest.number(air, place), latest.number(air, mate(place))
            if left and right and abs(left - right) > PRESSURE_SHARE * max(left, right):
                words = f"made with {one.values[-1].written} left and {two.values[-1].written} right: "
                yield Watch(point, VEHICLE, f"{words}set the pressures and make the test again")


CHECKS = (
    wear_toe,
    bearing_or_pin,
    heat_pair,
    cold_engine,
    oil_pair,
    noise_support,
    fluid_kind,
    battery_cells,
    test_on_uneven_tires,
)
