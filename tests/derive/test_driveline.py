"""Joint angles, tire diameters and sizes between axles, heat at idle and on the road."""

from __future__ import annotations

from fractions import Fraction

import mpmath
import pytest
from hypothesis import given
from hypothesis import strategies as st

from precheck.derive.driveline import joint_limit
from precheck.model.quantity import Enclosure
from tests.derive.making import number, work


def test_compound_angle_as_worked() -> None:
    """Trade rule (common practice): 2.15 and 2.5 degrees give 3.2973 (printed 3.3)."""
    found = number("joint-angle", {"joint-angle-side": "2.5 deg", "joint-angle-top": "-2.15 deg"})
    assert abs(found.low - Fraction("3.2973")) <= Fraction(1, 10000)
    assert found.high - found.low < Fraction(1, 10**9)


def test_the_trade_rule_is_near_the_angle_in_space() -> None:
    """mpmath: atan root(tan2 + tan2) of 6 and 6 degrees differs by less than 0.04 degrees."""
    found = number("joint-angle", {"joint-angle-side": "6 deg", "joint-angle-top": "6 deg"})
    slope = mpmath.tan(mpmath.radians(6))
    true = mpmath.degrees(mpmath.atan(mpmath.sqrt(2 * slope**2)))
    assert abs(float(found.low) - float(true)) < 0.04


def test_angles_of_the_two_joints() -> None:
    """Worked rows (secondary): 2 and 2 degrees are 0 apart, 2.5 and 3.5 are 1 apart."""
    for one, two, apart in (("2 deg", "2 deg", 0), ("2.5 deg", "3.5 deg", 1)):
        told = {"joint-angle": {"rear-shaft-front": one, "rear-shaft-rear": two}}
        assert number("joint-angles-apart", told) == Enclosure.of(apart)
    assert work("joint-angles-apart", {"joint-angle": {"middle-shaft-front": "2 deg"}}).unclear


def test_speed_of_the_driveshaft() -> None:
    """55 mph on tires of 688.6 turns a mile free and 710.7 loaded (worked sizes, secondary), 4.10 to 1."""
    told = {"driveshaft-turns": "4.10 turn", "tire-outside-diameter": {"left-rear": "29.2874 in"}}
    found = number("driveshaft-speed-at-55", told)
    free, loaded = (Fraction(turns) * 55 / 60 * Fraction("4.10") for turns in ("688.6", "710.7"))
    assert abs(found.low - free) < 1
    assert found.low < loaded < found.high < loaded * Fraction(101, 100)
    assert work("driveshaft-speed-at-55", {**told, "driveshaft-turns": "0 turn"}).unclear


# Driveline maker's chart: turns in a minute, most degrees (from 3,500 up read in its text, else memory).
CHART = [
    ("5000", "3.2"), ("4500", "3.7"), ("4000", "4.2"), ("3500", "5.0"),
    ("3000", "5.8"), ("2500", "7.0"), ("2000", "8.7"), ("1500", "11.5"),
]  # fmt: skip


def _spare(angle: str, speed: str) -> Enclosure:
    told = {"joint-angle": f"{angle} deg", "driveshaft-speed-at-55": f"{speed} per minute"}
    return number("joint-angle-spare-at-55", told)


@pytest.mark.parametrize(("speed", "most"), CHART)
def test_joint_angles_by_the_rows_of_the_chart(speed: str, most: str) -> None:
    assert _spare(most, speed) == Enclosure.of(0)
    assert _spare("1", speed) == Enclosure.of(Fraction(most) - 1)


def test_between_two_rows_the_limit_lies_between_theirs() -> None:
    assert _spare("4.2", "3700") == Enclosure(Fraction(0), Fraction("0.8"))
    assert _spare("0", "3400 per minute to 4100") == Enclosure(Fraction("3.7"), Fraction("5.8"))
    assert _spare("3.2", "5000") == Enclosure.of(0)
    slow = _spare("1.5", "1400")
    assert (slow.low, slow.high) == (10, None)
    told = {"joint-angle": "1 deg", "driveshaft-speed-at-55": "5001 per minute"}
    assert "ends at 5000" in work("joint-angle-spare-at-55", told).unclear


@given(st.integers(1, 5000), st.integers(0, 500))
def test_a_faster_shaft_allows_no_more(speed: int, more: int) -> None:
    slow, fast = (joint_limit(Enclosure.of(v)) for v in (speed, min(5000, speed + more)))
    assert slow is not None
    assert fast is not None
    assert slow.low is not None
    assert fast.low is not None
    assert fast.low <= slow.low


def test_tire_diameters_apart() -> None:
    """Plain arithmetic: 31 in against 30 in is one thirtieth."""
    told = {"tire-outside-diameter": {"left-front": "30 in", "right-front": "30.5 in", "left-rear": "31 in"}}
    assert number("driven-tires-apart", told) == Enclosure.of(Fraction(1, 30))
    told = {"tire-outside-diameter": {"left-front": "30 in", "left-rear": "30 in to 31 in"}}
    assert number("driven-tires-apart", told) == Enclosure(Fraction(0), Fraction(1, 30))


def test_sizes_are_compared_as_read() -> None:
    def state(*texts: str) -> str | None:
        places = ("left-front", "right-front", "left-rear")
        told = {"tire-size-marking": dict(zip(places, texts, strict=False))}
        return work("tire-sizes", told).values[0].state

    assert state("LT235/85R16", "lt 235/85 R16 120/116Q", "LT235/85R16 LRE") == "alike"
    assert state("7.50-16", "7.50R16") == "differ"
    assert state("7.00-16", "7.50-16") == "differ"
    assert work("tire-sizes", {"tire-size-marking": {"left-front": "7.00-16", "left-rear": "big"}}).unclear


def test_heat_idling_over_the_road() -> None:
    """20 degF apart are 100/9 K apart (definition of the scale)."""
    told = {"temperature-idle": "210 degF", "temperature-cruise": "190 degF"}
    assert number("heat-idle-over-road", told) == Enclosure.of(Fraction(100, 9))
