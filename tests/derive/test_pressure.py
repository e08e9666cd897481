"""Pressure at another temperature against worked rows and real air; days left by plain arithmetic."""

from __future__ import annotations

from datetime import date
from fractions import Fraction

import pytest
from CoolProp.CoolProp import PropsSI
from hypothesis import given, settings
from hypothesis import strategies as st

from precheck.derive.functions import FUNCTIONS
from precheck.derive.inverse import Goal
from precheck.derive.measures import ATMOSPHERE, DEG_F, PSI
from precheck.derive.pressure import at_temperature
from precheck.model.quantity import Enclosure
from tests.derive.making import DAY, base, cell, number, work
from tests.derive.roundtrip import round_trip


def _at(psi: object, then: object, now: object) -> Enclosure:
    told = {
        "tire-pressure-cold": f"{psi} psi",
        "tire-pressure-air": f"{then} degF",
        "air-temperature": f"{now} degF",
    }
    return number("tire-pressure-now", told)


# Ideal gas at fixed volume (secondary), printed to 0.01 psi with an atmosphere of 14.7 psi.
@pytest.mark.parametrize(
    ("psi", "then", "now", "result"),
    [
        (20, 70, 50, "18.69"), (20, 70, 130, "23.93"), (35, 70, 60, "34.06"), (35, 80, 20, "29.47"),
        (45, 70, 20, "39.36"), (80, 70, 60, "78.21"), (65, 70, 60, "63.50"), (50, 70, -20, "39.01"),
        (32, 68, 0, "25.98"),
    ],
)  # fmt: skip
def test_worked_rows(psi: int, then: int, now: int, result: str) -> None:
    found = _at(psi, then, now)
    ideal = found.high if now < then else found.low
    assert abs(ideal / PSI.factor - Fraction(result)) <= Fraction(6, 1000)
    assert found.high - found.low <= abs(ideal - base(f"{psi} psi")) * Fraction(51, 1000)


def _kelvin(fahrenheit: int) -> float:
    return float(fahrenheit * DEG_F.factor + DEG_F.offset)


@given(st.integers(5, 120), st.integers(-40, 140), st.integers(-40, 140))
@settings(max_examples=150, deadline=None)
def test_real_air_lies_in_the_enclosure(psi: int, then: int, now: int) -> None:
    """CoolProp, air at constant density: its change is 0 to 5 percent larger than the ideal one."""
    start = float((psi * PSI.factor + ATMOSPHERE) * 1000)
    density = PropsSI("D", "P", start, "T", _kelvin(then), "Air")
    real = PropsSI("P", "D", density, "T", _kelvin(now), "Air") / 1000 - float(ATMOSPHERE)
    ours = at_temperature(
        Enclosure.of(psi * PSI.factor),
        *(Enclosure.of(t * DEG_F.factor + DEG_F.offset) for t in (then, now)),
    )
    assert float(ours.low) - 1e-6 <= real <= float(ours.high) + 1e-6


def test_the_pressure_to_set_now() -> None:
    told = {"tire-pressure-cold": "30 psi", "tire-pressure-air": "80 degF", "air-temperature": "20 degF"}
    goal = Goal(base("35 psi"), True)
    need = round_trip("tire-pressure-now", told, "tire-pressure-cold", goal, base("0.01 psi"))
    assert need.low > base("40 psi")


def _days(psi: str, loss: str, on: date = DAY) -> Enclosure:
    cells = (
        cell("tire-pressure-cold", psi, "left-front", on),
        cell("tire-pressure-recommended", "40 psi", "front"),
        cell("tire-pressure-loss", loss, "left-front"),
    )
    found = FUNCTIONS["days-left"](cells, DAY).values[0].number
    assert found is not None
    return found


def test_days_until_80_percent() -> None:
    """Plain arithmetic: 40 psi to 32 at 1 psi a day is 8 days; taken 3 days ago, 5 are left."""
    assert _days("40 psi", "1 psi") == Enclosure.of(8)
    assert _days("40 psi", "1 psi", date(2026, 5, 29)) == Enclosure.of(5)
    assert _days("40 psi", "0.3 psi") == Enclosure.of(26)
    assert _days("32 psi", "1 psi") == Enclosure.of(0)
    assert _days("20 psi", "1 psi") == Enclosure.of(0)
    assert _days("40 psi", "0 psi") == Enclosure(Fraction(3650), None)
    assert _days("20 psi", "0 psi") == Enclosure.of(0)
    assert _days("40 psi", "0 to 1 psi") == Enclosure(Fraction(8), None)


def test_below_absolute_zero_is_no_temperature() -> None:
    told = {"tire-pressure-cold": "30 psi", "tire-pressure-air": "-500 degF", "air-temperature": "20 degF"}
    assert work("tire-pressure-now", told).unclear


def test_days_until_a_tire_is_low() -> None:
    """38 psi, 32 psi is 80 percent of 40: 6 psi at 1/2 psi a day are 12 days, by arithmetic."""
    told = {
        "tire-pressure-cold": "38 psi",
        "tire-pressure-recommended": "40 psi",
        "tire-pressure-loss": "0.5 psi",
    }
    assert number("tire-pressure-days-left", told) == Enclosure.of(12)
    assert number("tire-pressure-days-left", {**told, "tire-pressure-cold": "32 psi"}) == Enclosure.of(0)
