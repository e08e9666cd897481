"""A document in which every must-look entry of a use has a good value: the test's own idea of good.

Where a point is a number, or its best state is not the first, the value stands here; common practice
(no source). Everything else takes the first, best state.
"""

from __future__ import annotations

from collections.abc import Mapping

from precheck.model.catalogue import VEHICLE, Kind, Point
from precheck.rulebook.book import Rulebook
from precheck.rulebook.places import places_of

GOOD: dict[str, str] = {
    "region": "us",
    "vehicle-class": "light truck",
    "build-date": "1966-04",
    "gross-weight-rating": "7500 lb",
    "rear-wheels": "single",
    "spare-wheel": "not fitted",
    "brake-circuit-layout": "one hydraulic circuit",
    "brake-booster": "not fitted",
    "front-brake-type": "drum",
    "rear-brake-type": "drum",
    "front-springs": "leaf",
    "rear-springs": "leaf",
    "front-pivots": "kingpins",
    "system-voltage": "12 V negative ground",
    "power-steering": "not fitted",
    "wheel-fasteners-missing": "0",
    "wheel-fasteners-loose": "0",
    "tire-pressure-cold": "36 psi",
    "tire-pressure-recommended": "36 psi",
    "tire-maximum-pressure": "45 psi",
    "tire-date-code": "1424",
    "tire-tread-depth": "8/32 in",
    "tire-clearance": "2 in",
    "brake-pedal-sink": "0 in",
    "brake-pedal-reserve": "4 in",
    "brake-lining-thickness": "3/16 in",
    "brake-lining-attachment": "riveted",
    "steering-free-play": "1 in",
    "steering-wheel-diameter": "17 in",
    "steering-locking-pins": "0",
    "drag-link-play": "0 in",
    "tie-rod-end-play": "0 in",
    "kingpin-play": "0 in",
    "ball-joint-play": "0 in",
    "wheel-bearing-play": "0 in",
    "spring-leaves-broken": "0",
    "spring-clips-missing": "0",
    "windshield-crack": "0 in",
    "oil-pressure-hot-idle": "20 psi",
    "cabin-carbon-monoxide": "0 ppm",
}

Readings = dict[tuple[str, str], str]


# Other vehicles, as differences from the first: what does not apply to one applies to another.
VEHICLES: dict[str, dict[str, str]] = {
    "leaf springs, kingpins, drums": {},
    "coil springs, ball joints, booster": {
        "front-springs": "coil",
        "rear-springs": "coil",
        "front-pivots": "ball joints",
        "brake-circuit-layout": "two hydraulic circuits",
        "brake-booster": "fitted",
    },
    "rods or cables": {"brake-circuit-layout": "mechanical rods or cables"},
}


def good(point: Point, other: Mapping[str, str]) -> str:
    if point.id in other:
        return other[point.id]
    if point.id in GOOD:
        return GOOD[point.id]
    if point.kind is Kind.STATES:
        return point.states[0]
    raise KeyError(f"tests/support/goodvalues.py needs a good value for {point.id}")


def good_readings(book: Rulebook, use: str, vehicle: str = "leaf springs, kingpins, drums") -> Readings:
    """(point, place) -> value for every entry of the must-look list, and the facts of the vehicle."""
    out: Readings = {}
    other = VEHICLES[vehicle]

    def state(fact: str) -> str | None:
        return other.get(fact) or GOOD.get(fact) or book.points[fact].default

    differs = [name for name in other if name in book.points]
    for name in dict.fromkeys((*book.uses[use].must_look, *differs)):
        point = book.points[name]
        if point.family == VEHICLE:
            out[name, VEHICLE] = good(point, other)
            continue
        for place in places_of(point.family, book, state, {}):
            out[name, place.id] = good(point, other)
    return out


def document(book: Rulebook, readings: Readings, on: str) -> str:
    """The readings as the text of a condition document with one visit."""
    facts = [f"  {name}: {_plain(v)}" for (name, _), v in readings.items() if book.points[name].fact]
    lines: dict[str, list[str]] = {}
    for (name, place), value in readings.items():
        if not book.points[name].fact:
            text = _plain(value) if place == VEHICLE else f"{place}: {_plain(value)}"
            lines.setdefault(name, []).append(text)
    visit = [
        f"      {name}: {parts[0] if book.points[name].family == VEHICLE else '{' + ', '.join(parts) + '}'}"
        for name, parts in lines.items()
    ]
    vehicle = ["vehicle:", *facts] if facts else []
    visits = ["visits:", f"  - on: {on}", "    by: a test", "    readings:", *visit] if visit else []
    return "\n".join(["condition: 1", *vehicle, *visits, ""])


def _plain(value: str) -> str:
    return f'"{value}"'
