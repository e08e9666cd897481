"""Shock lengths and broken leaves against worked rows."""

from __future__ import annotations

from fractions import Fraction

import pytest

from precheck.derive.inverse import Goal
from precheck.model.quantity import Enclosure
from tests.derive.making import base, number, work
from tests.derive.roundtrip import round_trip


def _shock(out: str, shut: str, drop: str, bump: str) -> dict[str, str]:
    names = ("extended-length", "collapsed-length", "mount-distance-drop", "mount-distance-bump")
    return {f"shock-{n}": f"{v} in" for n, v in zip(names, (out, shut, drop, bump), strict=True)}


def test_worked_rows_of_shock_sizing() -> None:
    """Shock sizing (secondary): 23.0 out and 13.75 in, between 22.0 and 14.5 in: 1.0 and 0.75 in to spare;
    with 24.0 in at full drop it tops out first."""
    told = _shock("23.0", "13.75", "22.0", "14.5")
    assert number("shock-drop-spare", told) == Enclosure.of(base("1 in"))
    assert number("shock-bump-spare", told) == Enclosure.of(base("0.75 in"))
    assert number("shock-drop-spare", _shock("23.0", "13.75", "24.0", "14.5")).high < 0


FRONT = ("20", "12", "19", "13")
REAR = ("26", "15", "25", "16")


def _all(front: tuple[str, ...], rear: tuple[str, ...]) -> dict[str, dict[str, str]]:
    out: dict[str, dict[str, str]] = {}
    for place, numbers in (
        ("left-front", front),
        ("right-front", front),
        ("left-rear", rear),
        ("right-rear", rear),
    ):
        for name, text in _shock(*numbers).items():
            out.setdefault(name, {})[place] = text
    return out


def _state(told: dict[str, dict[str, str]]) -> str | None:
    return work("shock-places", told).values[0].state


def test_a_front_shock_at_the_rear_is_found() -> None:
    """Common practice (no source): the lengths fit the other axle's distances and not their own."""
    assert _state(_all(FRONT, REAR)) == "all fit"
    swapped = _all(REAR[:2] + FRONT[2:], FRONT[:2] + REAR[2:])
    assert _state(swapped) == "front and rear changed over would fit"
    assert _state(_all(FRONT, ("24", "15", "25", "16"))) == "some fit nowhere"
    assert "both sides" in work("shock-places", _all(FRONT, ("24 in to 26", "15", "25", "16"))).unclear


@pytest.mark.parametrize(("leaves", "broken", "out"), [("8", "2", True), ("9", "2", False), ("7", "2", True)])
def test_a_quarter_of_the_leaves(leaves: str, broken: str, out: bool) -> None:
    """Out-of-service practice as worked (secondary): one quarter or more of the leaves."""
    found = number("spring-broken-share", {"spring-leaves-broken": broken, "spring-leaves": leaves})
    assert found.exact
    assert (found.low >= Fraction(1, 4)) is out
    assert work("spring-broken-share", {"spring-leaves-broken": "8", "spring-leaves": "7"}).unclear


def test_how_many_leaves_may_be_broken() -> None:
    told = {"spring-leaves-broken": "4", "spring-leaves": "9"}
    goal = Goal(Fraction(1, 4), False)
    assert round_trip("spring-broken-share", told, "spring-leaves-broken", goal, Fraction(1)).high == 2


def test_what_length_to_buy() -> None:
    told = _shock("23", "15", "24", "14.5")
    step, goal = base("0.01 in"), Goal(Fraction(0), True)
    need = round_trip("shock-drop-spare", told, "shock-extended-length", goal, step)
    assert need.low == base("24 in")
    need = round_trip("shock-bump-spare", told, "shock-collapsed-length", goal, step)
    assert need.high == base("14.5 in")
