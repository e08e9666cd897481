"""What is asked back as unlikely: the ends of each range, and the slip of the pen that it guards against.

The ranges are common practice from memory: they ask, they never judge. A value that stands at the end is
not asked about; the value of the slip is, with the slip in words; nothing is changed.
"""

from __future__ import annotations

import pytest

from precheck.model.catalogue import Kind
from precheck.settle.values import implausible
from tests.derive.making import book, cell

# point, lowest and highest not asked about, a slip as it would be typed, a word that names the slip
ROWS = [
    ("tire-pressure-cold", "5 psi", "110 psi", "2.5 psi", "bar"),
    ("tire-pressure-cold", "5 psi", "110 psi", "250 psi", "kPa"),
    ("tire-pressure-recommended", "5 psi", "110 psi", "3 psi", "bar"),
    ("tire-maximum-pressure", "5 psi", "150 psi", "300 psi", "kPa"),
    ("tire-tread-depth", "0 in", "24/32 in", "80/32 in", "mm"),
    ("tire-tread-depth", "0 in", "24/32 in", "2.32 in", "mm"),
    ("brake-lining-thickness", "0 in", "0.6 in", "5 in", "mm"),
    ("brake-lining-thickness", "0 in", "0.6 in", "3.16 in", "3/16"),
    ("brake-drum-diameter", "7 in", "16 in", "280 in", "mm"),
    ("brake-drum-diameter", "7 in", "16 in", "5.5 in", "radius"),
    ("brake-disc-thickness", "0.25 in", "1.6 in", "22 in", "mm"),
    ("brake-pedal-reserve", "0 in", "8 in", "60 in", "mm"),
    ("steering-free-play", "0 in", "8 in", "10 in", "degrees"),
    ("steering-wheel-diameter", "12 in", "24 in", "42 in", "cm"),
    ("steering-wheel-diameter", "12 in", "24 in", "8.5 in", "radius"),
    ("tie-rod-end-play", "0 in", "1 in", "12 in", "thousandths"),
    ("drag-link-play", "0 in", "1 in", "12 in", "thousandths"),
    ("kingpin-play", "0 in", "1 in", "12 in", "thousandths"),
    ("ball-joint-play", "0 in", "1 in", "12 in", "thousandths"),
    ("wheel-bearing-play", "0 in", "1 in", "5 in", "thousandths"),
    ("wheel-toe", "-1/2 in", "1/2 in", "0.75 in", "degrees"),
    ("wheel-fastener-torque", "30 lb-ft", "500 lb-ft", "1080 lb-ft", "lb-in"),
    ("shock-extended-length", "6 in", "36 in", "58 in", "cm"),
    ("shock-collapsed-length", "6 in", "36 in", "40 in", "cm"),
    ("ride-height", "4 in", "40 in", "45 in", "cm"),
    ("frame-wall-thickness", "0.03 in", "0.4 in", "4 in", "mm"),
    ("axle-load-actual", "200 lb", "30000 lb", "180 lb", "kg"),
    ("tire-load-rating", "200 lb", "12000 lb", "150 lb", "kg"),
    ("compression", "20 psi", "250 psi", "900 psi", "kPa"),
    ("compression", "20 psi", "250 psi", "9 psi", "bar"),
    ("oil-pressure-hot-idle", "0 psi", "100 psi", "140 psi", "bar"),
    ("battery-rest-voltage", "5 V", "29 V", "4.9 V", "6 V"),
    ("charge-voltage", "5 V", "32 V", "32.1 V", "6 V"),
    ("cranking-voltage", "2 V", "26 V", "27 V", "6 V"),
    ("temperature-idle", "40 degF", "260 degF", "270 degF", "degrees C"),
    ("low-vacuum-warning-level", "0 inHg", "25 inHg", "27 inHg", "kPa"),
    ("brake-stop-distance", "3 ft", "400 ft", "2 ft", "paces"),
    ("brake-stop-speed", "3 mph", "90 mph", "100 mph", "km/h"),
    ("cabin-carbon-monoxide", "0 ppm", "1000 ppm", "1200 ppm", "percent"),
    ("headlamp-aim", "-20 in", "20 in", "24 in", "distance"),
    ("odometer-reading", "0 mi", "1000000 mi", "1000001 mi", "tenths"),
]


def _asked(name: str, written: str) -> str:
    return implausible(book().points[name], cell(name, written).values[0])


@pytest.mark.parametrize(("name", "low", "high", "slip", "word"), ROWS)
def test_the_slip_is_asked_about_and_the_ends_are_not(
    name: str, low: str, high: str, slip: str, word: str
) -> None:
    assert _asked(name, low) == _asked(name, high) == ""
    asked = _asked(name, slip)
    assert asked.startswith(f"'{slip}' is ")
    assert word in asked
    assert asked.endswith("?)")


@pytest.mark.parametrize("name", sorted({row[0] for row in ROWS}))
def test_a_step_beyond_an_end_is_asked_about(name: str) -> None:
    point = book().points[name]
    assert point.plausible is not None
    assert point.unit is not None
    for end, way in ((point.plausible.low, -1), (point.plausible.high, 1)):
        assert end is not None
        beyond = (end - point.unit.offset) / point.unit.factor + way
        if point.plausible.low == 0 and way < 0:
            continue  # below nothing: no such reading can be written
        assert _asked(name, f"{beyond.numerator}/{beyond.denominator} {point.unit.name}".replace("/1 ", " "))


def test_a_range_that_reaches_beyond_is_asked_about() -> None:
    assert _asked("tire-pressure-cold", "at least 40 psi") == ""
    assert _asked("tire-pressure-cold", "at least 4 psi")


def test_every_number_with_a_range_names_its_slip() -> None:
    for point in book().points.values():
        if point.plausible is not None:
            assert point.kind is Kind.NUMBER
            assert point.slip, point.id
