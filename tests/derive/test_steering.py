"""Play as an angle and a share, every row of the lash tables, toe against its figure."""

from __future__ import annotations

from fractions import Fraction

import mpmath
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from precheck.derive.inverse import Goal
from precheck.derive.steering import play_angle
from precheck.model.quantity import Enclosure
from tests.derive.making import base, number, work
from tests.derive.roundtrip import round_trip


def _told(play: str, diameter: str, power: str = "not fitted") -> dict[str, str]:
    return {"steering-free-play": play, "steering-wheel-diameter": diameter, "power-steering": power}


# 49 CFR 393.209(b)(1) as printed: wheel, manual, power (inches).
TABLE_393 = [
    ("16", "2", "4 1/4"),
    ("18", "2 1/4", "4 3/4"),
    ("19", "2 3/8", "5"),
    ("20", "2 1/2", "5 1/4"),
    ("21", "2 5/8", "5 1/2"),
    ("22", "2 3/4", "5 3/4"),
]


@pytest.mark.parametrize(("diameter", "manual", "power"), TABLE_393)
def test_rows_of_393_209(diameter: str, manual: str, power: str) -> None:
    for fitted, limit in (("not fitted", manual), ("fitted", power)):
        found = number("steering-lash-left-393", _told(f"{limit} in", f"{diameter} in", fitted))
        assert found == Enclosure.of(0)


def test_393_209_as_worked() -> None:
    """18 in, manual, 2 3/8 in: rejected; with power steering allowed. 15 in is in the row of 16 or less."""
    assert number("steering-lash-left-393", _told("2 3/8 in", "18 in")).high < 0
    assert number("steering-lash-left-393", _told("2 3/8 in", "18 in", "fitted")).low > 0
    assert number("steering-lash-left-393", _told("2 in", "15 in")) == Enclosure.of(0)


def test_a_wheel_without_a_row_goes_by_the_angle() -> None:
    """17 in, manual: 14 degrees (393.209(b)(2)), about 2.08 in round the rim or 2.07 across."""
    outcome = work("steering-lash-left-393", _told("2.07 in", "17 in"))
    assert "14 degrees" in outcome.steps[0]
    found = outcome.values[0].number
    assert base("0 in") <= found.low <= found.high <= base("0.01 in")
    assert number("steering-lash-left-393", _told("2.08 in", "17 in")).high < 0
    assert number("steering-lash-left-393", _told("4.3 in", "17 in", "fitted")).low > 0
    assert number("steering-lash-left-393", _told("4.5 in", "17 in", "fitted")).high < 0


# 49 CFR 570.7(a) Table 1, the same in 570.60(a).
@pytest.mark.parametrize(
    ("diameter", "limit"), [("15", "2"), ("16", "2"), ("18", "2 1/4"), ("20", "2 1/2"), ("22", "2 3/4")]
)
def test_rows_of_570_7(diameter: str, limit: str) -> None:
    assert number("steering-lash-left-570", _told(f"{limit} in", f"{diameter} in")) == Enclosure.of(0)


def test_between_the_rows_of_570_7_the_limit_lies_between_theirs() -> None:
    found = number("steering-lash-left-570", _told("2 1/8 in", "17 in"))
    assert found == Enclosure(base("-1/8 in"), base("1/8 in"))
    assert number("steering-lash-left-570", _told("2 in", "17 in")).low == 0
    assert work("steering-lash-left-570", _told("2 in", "23 in")).unclear


# 49 CFR 396 appendix A 7.a as restated in a state's rule that must comply with it: wheel, manual, power.
@pytest.mark.parametrize(
    ("diameter", "manual", "power"),
    [
        ("15", "2", "4 1/2"),
        ("16", "2", "4 1/2"),
        ("18", "2 1/4", "4 3/4"),
        ("20", "2 1/2", "5 1/4"),
        ("22", "2 3/4", "5 3/4"),
    ],
)
def test_rows_of_396_appendix_a(diameter: str, manual: str, power: str) -> None:
    for fitted, limit in (("not fitted", manual), ("fitted", power)):
        found = number("steering-lash-left-396", _told(f"{limit} in", f"{diameter} in", fitted))
        assert found == Enclosure.of(0)


def test_16_in_with_power_steering_is_judged_two_ways() -> None:
    """4 1/2 in: allowed by 396 appendix A 7.a as restated, over the 4 1/4 of 393.209(b)(1)."""
    told = _told("4 1/2 in", "16 in", "fitted")
    assert number("steering-lash-left-396", told) == Enclosure.of(0)
    assert number("steering-lash-left-393", told).high < 0
    assert number("steering-lash-left-396", _told("5 1/8 in", "19 in", "fitted")).low < 0
    assert number("steering-lash-left-396", _told("5 1/8 in", "19 in", "fitted")).high > 0
    assert work("steering-lash-left-396", _told("2 in", "23 in")).unclear


@given(
    st.fractions(min_value=0, max_value=6, max_denominator=64),
    st.fractions(min_value=12, max_value=24, max_denominator=64),
)
@settings(max_examples=60, deadline=None)
def test_angle_of_the_play(play: Fraction, diameter: Fraction) -> None:
    """mpmath at 50 digits: arc and chord both lie in the enclosure, which is no wider than they are apart."""
    mpmath.mp.dps = 50
    found = play_angle(Enclosure.of(play), Enclosure.of(diameter))
    share = mpmath.mpf(play.numerator) / play.denominator / diameter.numerator * diameter.denominator
    arc, chord = share * 360 / mpmath.pi(), 2 * mpmath.degrees(mpmath.asin(share))
    low, high = (mpmath.mpf(x.numerator) / x.denominator for x in (found.low, found.high))
    assert low <= arc <= chord <= high or share == 0
    assert arc - low < 1e-9
    assert high - chord < 1e-9


def test_the_angle_of_14_degrees() -> None:
    """393.209(b)(2): 2.0769 in round a wheel of 17 in are 14 degrees (14 / 360 x 17 pi, geometry)."""
    found = number("steering-free-play-angle", _told("2.0769 in", "17 in"))
    assert abs(found.low - 14) < Fraction(1, 1000)


@pytest.mark.parametrize(
    ("play", "diameter", "share"),
    [("76 mm", "380 mm", "1/5"), ("77 mm", "380 mm", "77/380"), ("80 mm", "400 mm", "1/5")],
)
def test_share_of_the_diameter(play: str, diameter: str, share: str) -> None:
    """Directive 2014/45/EU item 2.3 as worked: 380 mm wheel, limit 76 mm; 400 mm wheel, 80 mm."""
    assert number("steering-free-play-share", _told(play, diameter)) == Enclosure.of(Fraction(share))


def test_odd_play_is_asked_back() -> None:
    for told in (_told("-1 in", "16 in"), _told("15 in", "16 in"), _told("1 in", "0 in")):
        for derived in ("steering-free-play-angle", "steering-free-play-share", "steering-lash-left-570"):
            assert work(derived, told).unclear


def test_toe_against_its_figure() -> None:
    """49 CFR 570.7(d) as worked: figure 1/8 in, limit 3/16 in."""

    def share(toe: str, figure: str) -> Enclosure:
        return number("wheel-toe-share", {"wheel-toe": toe, "wheel-toe-specified": figure})

    assert share("3/16 in", "1/8 in") == Enclosure.of(Fraction(3, 2))
    assert share("-3/16 in", "-1/8 in") == Enclosure.of(Fraction(3, 2))
    assert share("-1/16 in", "1/8 in") == Enclosure(Fraction(1, 2), None)
    assert share("0 in", "1/8 in") == Enclosure.of(0)
    assert work("wheel-toe-share", {"wheel-toe": "1/8 in", "wheel-toe-specified": "0 in"}).unclear


def _parts(**more: object) -> dict[str, object]:
    told: dict[str, object] = {
        "steering-free-play": "3 in",
        "steering-box-mounting": "no movement",
        "pitman-arm-security": "tight and marked",
        "tie-rod-end-play": {"left-outer": "0 in", "right-outer": "0 in"},
        "drag-link-play": {"box-end": "0 in", "wheel-end": "0 in"},
        "kingpin-play": {"left-front": "0 in", "right-front": "0 in"},
    }
    return {**told, **{name.replace("_", "-"): v for name, v in more.items()}}


def test_where_play_comes_from() -> None:
    """Common practice (no source): parts against the whole; the box only when everything else is tight."""

    def state(**more: object) -> str | None:
        return work("steering-play-source", _parts(**more)).values[0].state  # type: ignore[arg-type]

    def unclear(**more: object) -> str:
        return work("steering-play-source", _parts(**more)).unclear  # type: ignore[arg-type]

    assert state() == "inside the box"
    assert state(steering_free_play="0 in") == "no play"
    assert state(tie_rod_end_play={"left-outer": "0 in", "right-outer": "1/16 in"}) == "joints or pins"
    assert state(steering_box_mounting="loose") == "box mounting or arm"
    assert "measure" in unclear(drag_link_play=None)
    assert "measure" in unclear(kingpin_play=None)
    assert "not measured" in unclear(kingpin_play={"left-front": "0 in", "right-front": None})
    assert unclear(tie_rod_end_play={"left-outer": "0 in to 1/16 in", "right-outer": "0 in"})


def test_inverses_of_tables_and_toe() -> None:
    step, spare = base("0.01 in"), Goal(Fraction(0), True)
    for derived in ("steering-lash-left-393", "steering-lash-left-570", "steering-lash-left-396"):
        for diameter in ("16 in", "17 in", "22 in"):
            need = round_trip(derived, _told("5 in", diameter), "steering-free-play", spare, step)
            assert need.high >= base("2 in")
    told = {"wheel-toe": "1/2 in", "wheel-toe-specified": "1/8 in"}
    from precheck.derive.functions import INVERSES
    from tests.derive.making import DAY, cells_for

    need = INVERSES["toe-share"][0].solve(
        Goal(Fraction(3, 2), False), cells_for("wheel-toe-share", told), DAY
    )
    assert need == Enclosure(Fraction(0), base("3/16 in"))


def test_inverses() -> None:
    told = _told("3 in", "17 in")
    step = base("0.01 in")
    round_trip("steering-free-play-share", told, "steering-free-play", Goal(Fraction(1, 5), False), step)
    need = round_trip("steering-free-play-angle", told, "steering-free-play", Goal(Fraction(14), False), step)
    assert base("2.07 in") < need.high < base("2.08 in")
