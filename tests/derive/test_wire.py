"""Wire against a handbook's diameters, a printed table of resistances and a circuit simulator."""

from __future__ import annotations

from fractions import Fraction

import pytest
from fluids.piping import t_from_gauge
from hypothesis import given, settings
from hypothesis import strategies as st

from precheck.derive.inverse import Goal
from precheck.derive.measures import FOOT, INCH
from precheck.derive.wire import wire_diameter, wire_drop, wire_resistance
from tests.derive.making import base, number, work
from tests.derive.roundtrip import round_trip


@pytest.mark.parametrize("gauge", [4, 6, 8, 10, 12, 14, 16, 18, 20])
def test_wire_diameters_of_a_handbook(gauge: int) -> None:
    """`fluids`, diameters of the American gauge tabulated from an engineering handbook, to 1e-4 in."""
    low, high = wire_diameter(gauge)
    assert abs(float(low / INCH.factor) - t_from_gauge(gauge, SI=False, schedule="AWG")) <= 1e-4
    assert high - low < Fraction(1, 10**9)


# Physics table (text): ohm for 1000 ft of solid copper at 20 degC, printed to four figures.
PRINTED = [
    (4, "0.2485"),
    (6, "0.3951"),
    (8, "0.6282"),
    (10, "0.9989"),
    (12, "1.588"),
    (14, "2.525"),
    (16, "4.016"),
    (18, "6.385"),
    (20, "10.15"),
]


@pytest.mark.parametrize(("gauge", "ohms"), PRINTED)
def test_wire_resistance_of_a_table(gauge: int, ohms: str) -> None:
    low, high = wire_resistance(gauge, 1000 * FOOT.factor)
    for end in (low, high):
        assert abs(end / Fraction(ohms) - 1) < Fraction(5, 10000)


# Worked with the copper formula; the first also by a circuit simulator (ngspice, v4 = 0.2396648 V).
@pytest.mark.parametrize(
    ("gauge", "feet", "amps", "volts", "within"),
    [
        (16, 14, "4.26321", "0.23966", "0.00001"),
        (10, 20, "30", "0.599", "0.0005"),
        (14, 20, "10", "0.505", "0.0005"),
    ],
)
def test_voltage_drops(gauge: int, feet: int, amps: str, volts: str, within: str) -> None:
    low, high = wire_drop(gauge, feet * FOOT.factor, Fraction(amps))
    assert abs(low - Fraction(volts)) <= Fraction(within)
    assert high - low < Fraction(1, 10**9)


def _run(gauge: object = 16, feet: object = 14, amps: object = "4.26321", **more: str) -> dict[str, str]:
    told = {"wire-gauge": f"{gauge} count", "wire-length": f"{feet} ft", "wire-current": f"{amps} A"}
    return told | {name.replace("_", "-"): text for name, text in more.items()}


def test_a_run_from_solid_to_stranded_wire() -> None:
    """ngspice: 0.2396648 V in 14 ft of gauge 16. The high end is the 10 percent of stranded wire (memory)."""
    found = number("wire-drop-copper", _run())
    assert abs(found.low - Fraction("0.2396648")) < Fraction(5, 10**5)
    assert abs(found.high / found.low - Fraction(11, 10)) < Fraction(1, 10**12)


def test_what_is_lost_beside_the_wire() -> None:
    """ngspice, a joint of 0.010 ohm in the lamp's wire: 12.56034 - 12.5177 V are lost in the joint."""
    wire, joint = Fraction("0.2396648"), Fraction("0.04264")
    found = number("wire-drop-beside", _run(wire_drop=f"{float(wire + joint):.6f} V"))
    assert abs(found.high - joint) < Fraction(1, 10**4)
    assert found.low < joint
    assert number("wire-drop-beside", _run(wire_drop="0.1 V")).high < 0


@pytest.mark.parametrize(
    ("told", "words"),
    [
        (_run("14 count to 16"), "one whole number"),
        (_run(41), "no American wire gauge"),
        (_run(feet=0), "above zero"),
        (_run(amps=-1), "above zero"),
    ],
)
def test_a_run_that_cannot_be(told: dict[str, str], words: str) -> None:
    assert words in work("wire-drop-copper", told).unclear
    assert words in work("wire-drop-beside", {**told, "wire-drop": "0.2 V"}).unclear


def test_the_drop_that_leaves_so_much_beside_the_wire() -> None:
    told = _run(wire_drop="0.6 V")
    goal = Goal(base("0.1 V"), False)
    need = round_trip("wire-drop-beside", told, "wire-drop", goal, base("0.001 V"))
    assert need.high is not None


@given(st.integers(0, 20), st.integers(1, 40), st.integers(0, 60), st.integers(0, 30))
@settings(max_examples=40, deadline=None)
def test_longer_thinner_or_more_never_loses_less(gauge: int, feet: int, amps: int, more: int) -> None:
    first = number("wire-drop-copper", _run(gauge, feet, amps))
    for told in (_run(gauge, feet + more, amps), _run(gauge, feet, amps + more), _run(gauge + 1, feet, amps)):
        other = number("wire-drop-copper", told)
        assert first.low is not None
        assert first.high is not None
        assert first.low <= other.low
        assert first.high <= other.high
