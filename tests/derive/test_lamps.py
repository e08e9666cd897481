"""Headlamp aim at the distances that laws name, as inches and degrees."""

from __future__ import annotations

from fractions import Fraction

import pytest

from precheck.derive.inverse import Goal
from precheck.model.quantity import Enclosure
from tests.derive.making import base, number, work
from tests.derive.roundtrip import round_trip


def _told(offset: str, distance: str) -> dict[str, str]:
    return {"headlamp-aim": offset, "headlamp-aim-distance": distance}


# Worked with N.J. Rev. Stat. 39:3-57 (5 in), Utah R714-160-13 (4 in at 10 ft), visual aiming (2 in): degrees.
@pytest.mark.parametrize(
    ("offset", "distance", "degrees"),
    [
        ("5 in", "25 ft", "0.955"),
        ("2 in", "25 ft", "0.382"),
        ("3 in", "25 ft", "0.573"),
        ("4 in", "25 ft", "0.764"),
        ("4 in", "10 ft", "1.909"),
    ],
)
def test_inches_and_degrees(offset: str, distance: str, degrees: str) -> None:
    found = number("headlamp-aim-angle", _told(offset, distance))
    assert abs(found.low - Fraction(degrees)) <= Fraction(6, 10000)
    assert found.high - found.low < Fraction(1, 10**9)
    below = number("headlamp-aim-angle", _told(f"-{offset}", distance))
    assert (below.low, below.high) == (-found.high, -found.low)


def test_the_same_beam_on_another_wall() -> None:
    """5 in at 25 ft is 15 in at 75 ft (the same statute's second figure); 4 in at 10 ft is 10 in at 25 ft."""
    assert number("headlamp-aim-at-25-ft", _told("-15 in", "75 ft")) == Enclosure.of(base("-5 in"))
    assert number("headlamp-aim-at-25-ft", _told("4 in", "10 ft")) == Enclosure.of(base("10 in"))


def test_the_offset_to_aim_for() -> None:
    told = _told("0 in", "10 ft")
    for limit, lower in (("2 in", False), ("-4 in", True)):
        round_trip("headlamp-aim-at-25-ft", told, "headlamp-aim", Goal(base(limit), lower), base("0.01 in"))


def test_no_wall_no_aim() -> None:
    assert work("headlamp-aim-at-25-ft", _told("4 in", "0 ft")).unclear
    assert work("headlamp-aim-angle", _told("4 in", "0 ft")).unclear
