"""The library's derived values: functions exist, units agree, inputs that are gathered or optional."""

from __future__ import annotations

from fractions import Fraction

from precheck.derive import measures
from precheck.derive.functions import FUNCTIONS, INVERSES
from precheck.model.catalogue import VEHICLE
from precheck.model.quantity import Enclosure
from precheck.model.settled import Status
from tests.derive.making import base, book, settle_by_hand

AXLES = ("front", "rear")
WHEELS = ("left-front", "right-front", "left-rear", "right-rear")
PLACES = {"axles": AXLES, "wheels": WHEELS, VEHICLE: (VEHICLE,)}


def test_every_function_named_is_there_and_every_function_is_named() -> None:
    named = {d.function for d in book().derived.values()}
    assert set(INVERSES) <= named
    assert set(FUNCTIONS) == named


def test_inverses_point_at_inputs() -> None:
    for value in book().derived.values():
        for inverse in INVERSES.get(value.function, ()):
            assert -1 <= inverse.position < len(value.inputs)


def test_units_are_those_of_the_library() -> None:
    for unit in measures.ALL:
        known = book().units.get(unit.name)
        assert known is not None, unit.name
        assert (known.dimension, known.factor, known.offset) == (unit.dimension, unit.factor, unit.offset)
    assert base("1 g") == measures.GRAVITY


def test_an_axle_gathers_its_own_wheels() -> None:
    forces = dict(zip(WHEELS, ("1000 N", "500 N", "800 N", "800 N"), strict=True))
    cells = settle_by_hand({("brake-force-at-wheel", p): f for p, f in forces.items()}, PLACES)
    found = {a: cells.value("brake-lower-share", a) for a in AXLES}
    assert found["front"].values[0].number == Enclosure.of(Fraction(1, 2))
    assert found["rear"].values[0].number == Enclosure.of(1)
    assert found["front"].inputs == (
        ("brake-force-at-wheel", "left-front"),
        ("brake-force-at-wheel", "right-front"),
    )


def test_one_wheel_missing_leaves_the_axle_not_measured() -> None:
    cells = settle_by_hand({("brake-force-at-wheel", "left-front"): "1000 N"}, PLACES)
    found = cells.value("brake-lower-share", "front")
    assert found.status is Status.MISSING
    assert "right-front" in found.why


def test_the_vehicle_gathers_all_and_keeps_kinds_apart() -> None:
    readings = {("brake-force-at-wheel", p): "500 lbf" for p in WHEELS}
    readings |= {("axle-load-actual", a): "2000 lb" for a in AXLES}
    found = settle_by_hand(readings, PLACES).value("brake-force-share", VEHICLE)
    assert found.values[0].number == Enclosure.of(Fraction(1, 2))
    nowhere = settle_by_hand(readings, {**PLACES, "wheels": ()}).value("brake-force-share", VEHICLE)
    assert nowhere.status is Status.MISSING
    assert "no place of wheels" in nowhere.why


def test_an_optional_input_may_be_missing_and_others_may_not() -> None:
    stop = {("brake-stop-distance", VEHICLE): "25 ft", ("brake-stop-speed", VEHICLE): "20 mph"}
    found = settle_by_hand(stop, PLACES).value("brake-stop-efficiency", VEHICLE)
    assert found.status is Status.VALUE
    sloped = settle_by_hand({**stop, ("test-slope", VEHICLE): "2 percent"}, PLACES)
    assert sloped.value("brake-stop-efficiency", VEHICLE).values != found.values
    del stop["brake-stop-speed", VEHICLE]
    assert settle_by_hand(stop, PLACES).value("brake-stop-efficiency", VEHICLE).status is Status.MISSING


def test_a_value_of_a_value() -> None:
    """Load at the pressure, then what it counts for: 80 psi of 80 psi, a passenger tire on a light truck."""
    told = {
        ("tire-pressure-cold", "left-front"): "80 psi",
        ("tire-maximum-pressure", "left-front"): "80 psi",
        ("tire-load-rating", "left-front"): "1100 lb",
        ("tire-construction", "left-front"): "radial",
        ("tire-standard", "left-front"): "passenger",
        ("vehicle-class", VEHICLE): "light truck",
    }
    cells = settle_by_hand(told, {**PLACES, "tires": WHEELS})
    assert cells.value("tire-load-counted", "left-front").values[0].number == Enclosure.of(base("1000 lb"))
