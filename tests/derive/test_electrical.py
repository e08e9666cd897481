"""Battery, wire and flashers against a maker's table, printed wire tables and the agency's letter."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from precheck.derive.inverse import Goal
from precheck.model.quantity import Enclosure
from tests.derive.making import base, number, work
from tests.derive.roundtrip import round_trip

TWELVE, SIX, TWENTY_FOUR = "12 V negative ground", "6 V positive ground", "24 V negative ground"


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
    double = format(2 * float(twelve), ".2f")  # 24 V is twice the 12 V figure (arithmetic)
    assert _charge(double, TWENTY_FOUR) == Enclosure.of(Fraction(percent, 100))


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


def test_of_24_v_each_battery_is_to_be_read_alone() -> None:
    """A pair at 24.5 V can be one good and one dead battery (12.6 and 11.9 V): the step says so."""
    told = {"battery-rest-voltage": "24.5 V", "system-voltage": TWENTY_FOUR, "air-temperature": None}
    outcome = work("battery-charge", told)
    assert "each by itself" in outcome.steps[0]
    assert outcome.values[0].number == Enclosure(Fraction(50, 100), Fraction(75, 100))


def test_no_cell_shows_three_volts() -> None:
    """12.6 V on a 6 V system, 25 V on one of 12 V: 4.2 V a cell is the voltage of another system."""
    for volts, system in (("9", SIX), ("12.6", SIX), ("25", TWELVE)):
        told = {"charge-voltage": f"{volts} V", "system-voltage": system}
        assert "no voltage of" in work("charge-cell-voltage", told).unclear
    told = {"charge-voltage": "8.9 V", "system-voltage": SIX}
    assert number("charge-cell-voltage", told) == Enclosure.of(Fraction("8.9") / 3)


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
