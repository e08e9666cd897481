"""Battery, wire and flashers against a maker's table, printed wire tables and the agency's letter."""

from __future__ import annotations

from fractions import Fraction

import pytest
from fluids.piping import t_from_gauge
from hypothesis import given, settings
from hypothesis import strategies as st

from precheck.derive.electrical import wire_diameter, wire_drop, wire_resistance
from precheck.derive.inverse import Goal
from precheck.derive.measures import FOOT, INCH
from precheck.model.quantity import Enclosure
from tests.derive.making import base, number, work
from tests.derive.roundtrip import round_trip

TWELVE, SIX = "12 V negative ground", "6 V positive ground"


def _charge(volts: str, system: str = TWELVE, air: str | None = None) -> Enclosure:
    told = {"battery-rest-voltage": f"{volts} V", "system-voltage": system, "air-temperature": air}
    return number("battery-charge", told)


# Battery maker's table at 80 degF (text): charge, 12 V; 6 V is half (arithmetic).
ROWS = [
    (100, "12.65", "6.325"),
    (75, "12.45", "6.225"),
    (50, "12.24", "6.12"),
    (25, "12.06", "6.03"),
    (0, "11.89", "5.945"),
]


@pytest.mark.parametrize(("percent", "twelve", "six"), ROWS)
def test_rows_of_the_charge_table(percent: int, twelve: str, six: str) -> None:
    assert _charge(twelve) == Enclosure.of(Fraction(percent, 100))
    assert _charge(six, SIX) == Enclosure.of(Fraction(percent, 100))


def test_between_rows_the_charge_lies_between_theirs() -> None:
    assert _charge("12.5") == Enclosure(Fraction(75, 100), Fraction(1))
    assert _charge("12.9") == Enclosure.of(1)
    assert _charge("11.5") == Enclosure.of(0)


def test_temperature_widens_by_the_correction() -> None:
    """The maker's table: 12.45 V read at 40 degF is 12.354 V corrected. Both readings count."""
    assert _charge("12.45", air="80 degF") == Enclosure.of(Fraction(75, 100))
    assert _charge("12.45", air="40 degF") == Enclosure(Fraction(50, 100), Fraction(75, 100))
    assert _charge("12.45", air="120 degF") == Enclosure(Fraction(75, 100), Fraction(1))


def test_a_voltage_of_another_system_is_asked_back() -> None:
    told = {"battery-rest-voltage": "12.5 V", "system-voltage": SIX, "air-temperature": None}
    assert "no rest voltage" in work("battery-charge", told).unclear
    told = {"battery-rest-voltage": "12.5 V", "system-voltage": "other", "air-temperature": None}
    assert "how many cells" in work("battery-charge", told).unclear
    assert "how many cells" in work("battery-cell-voltage", told).unclear


def test_voltage_of_a_cell() -> None:
    """6.325 V and 12.65 V are the same cell (the table of both systems)."""
    for volts, system in (("6.325", SIX), ("12.65", TWELVE)):
        told = {"battery-rest-voltage": f"{volts} V", "system-voltage": system}
        assert number("battery-cell-voltage", told) == Enclosure.of(Fraction("12.65") / 6)
    told = {"charge-voltage": "6 V", "system-voltage": SIX}
    round_trip("charge-cell-voltage", told, "charge-voltage", Goal(base("2.3 V"), True), base("0.01 V"))


def test_rise_over_rest() -> None:
    told = {"charge-voltage-lamps-on": "12.3 V", "battery-rest-voltage": "12.5 V"}
    assert number("charge-rise-lamps-on", told) == Enclosure.of(Fraction(-1, 5))
    goal = Goal(Fraction(0), True)
    need = round_trip("charge-rise-lamps-on", told, "charge-voltage-lamps-on", goal, base("0.01 V"))
    assert need.low == base("12.5 V")


@given(st.fractions(min_value=11, max_value=13, max_denominator=100), st.fractions(min_value=0, max_value=1))
@settings(max_examples=60, deadline=None)
def test_more_voltage_never_means_less_charge(volts: Fraction, more: Fraction) -> None:
    first, second = (_charge(f"{float(v):.6f}") for v in (volts, volts + more / 2))
    assert first.low <= second.low
    assert first.high <= second.high


# -- wire


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


# -- flashers


@pytest.mark.parametrize(
    ("times", "rate", "by_total"),
    [(["0.36 s", "0.36 s", "0.78 s"], "136.752", 120), (["0.45 s", "0.45 s", "1.05 s"], "107.937", 92)],
)
def test_flash_rates_of_the_agency_letters(times: list[str], rate: str, by_total: int) -> None:
    """Mean of the rates (136.8 printed): it fails 120 a minute, where flashes over the whole time pass."""
    found = number("turn-flash-rate", {"turn-flash-time": times})
    assert found.exact
    assert abs(found.low - Fraction(rate)) < Fraction(1, 1000)
    assert found.low > by_total


def test_a_flash_rate_needs_three_flashes() -> None:
    assert work("turn-flash-rate", {"turn-flash-time": ["0.5 s", "0.5 s"]}).unclear
    assert work("turn-flash-rate", {"turn-flash-time": ["0.5 s", "0.5 s", "0 s"]}).unclear
