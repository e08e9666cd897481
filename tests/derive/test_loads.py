"""Load index and load at pressure against preferred numbers and every row of the published tables."""

from __future__ import annotations

from fractions import Fraction
from math import log

import pytest
import renard
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.stats import linregress

from precheck.derive.inverse import Goal
from precheck.derive.loads import (
    BIAS_TRUCK,
    LOAD_INDEX,
    PASSENGER,
    RADIAL_TRUCK,
    UNKNOWN,
    Law,
    law_for,
    load_at,
)
from precheck.derive.measures import LB, PSI
from precheck.model.quantity import Enclosure
from tests.derive.making import base, cell, number, work
from tests.derive.roundtrip import round_trip

# Where the tire table rounds otherwise than the R80 series: index, table, series.
DIFFERENT = [
    (35, 121, 122), (61, 257, 258), (115, 1215, 1220), (117, 1285, 1280), (141, 2575, 2580),
    (143, 2725, 2720), (147, 3075, 3070), (155, 3875, 3870), (157, 4125, 4120), (159, 4375, 4370),
    (161, 4625, 4620), (163, 4875, 4870), (195, 12150, 12200), (197, 12850, 12800),
]  # fmt: skip


def test_load_index_table_is_the_r80_series_but_for_14_rows() -> None:
    """`renard`, preferred numbers of ISO 3: an unrelated standard gives the table of the 1994 order."""
    series = [Fraction(str(float(x))) for x in renard.rrange(renard.R80, 45, 14000)]
    assert len(LOAD_INDEX) == len(series) == 201
    found = [(k, t, s) for k, (t, s) in enumerate(zip(LOAD_INDEX, series, strict=True)) if t != s]
    assert found == DIFFERENT


def test_load_index_follows_its_law_within_2_percent() -> None:
    """45 kg x 10 ** (k / 80); index 37 is furthest, 128 against 130.53 (arithmetic on the table)."""
    off = [abs(float(w) / (45 * 10 ** (k / 80)) - 1) for k, w in enumerate(LOAD_INDEX)]
    assert max(off) < 0.02
    assert off.index(max(off)) == 37


@pytest.mark.parametrize(
    ("index", "pounds"),
    [(70, 739), (100, 1764), (108, 2205), (112, 2469), (118, 2910), (120, 3086), (121, 3197), (126, 3748)],
)
def test_load_index_in_pounds(index: int, pounds: int) -> None:
    """Printed pounds of a public table (secondary), kilograms x 2.20462262 rounded."""
    assert round(LOAD_INDEX[index] / LB.factor) == pounds


def test_index_of_a_single_tire_and_of_one_beside_another() -> None:
    """225/75R16C 121/120R: 1450 kg single, 1400 kg dual (worked size)."""
    from precheck.derive.loads import index_load

    for place, kilograms in (("left-front", 1450), ("left-rear-outer", 1400)):
        outcome = index_load((cell("tire-size-marking", "225/75R16C 121/120R", place),), None)  # type: ignore[arg-type]
        assert outcome.values[0].number == Enclosure.of(kilograms)
    assert index_load((cell("tire-size-marking", "P225/75R16 104S", "left-rear-inner"),), None).unclear  # type: ignore[arg-type]
    assert work("tire-index-load", {"tire-size-marking": "7.00-16"}).unclear


# Published load tables (secondary): psi from, step, then pounds a tire.
TABLES = [
    ("LT235/85R16 single", RADIAL_TRUCK, 35, [1700, 1870, 2030, 2205, 2335, 2485, 2623, 2765, 2905, 3042]),
    ("LT235/85R16 pair", RADIAL_TRUCK, 35, [3090, 3400, 3690, 4015, 4250, 4520, 4765, 5030, 5290, 5556]),
    ("31x10.50R15LT", RADIAL_TRUCK, 25, [1400, 1595, 1765, 1945, 2100, 2270]),
    ("30x9.50R15LT", RADIAL_TRUCK, 25, [1240, 1410, 1565, 1715, 1855, 1985]),
    ("33x9.50R15LT", RADIAL_TRUCK, 25, [1565, 1780, 1980, 2170, 2345, 2535]),
    ("33x12.50R15LT", RADIAL_TRUCK, 25, [1765, 2000, 2205]),
    ("8.00-16.5 single", BIAS_TRUCK, 30, [1360, 1490, 1610, 1765, 1840, 1945, 2040, 2145, 2240, 2335]),
    ("8.00-16.5 dual", BIAS_TRUCK, 30, [1195, 1310, 1415, 1520, 1620, 1710, 1825, 1885, 1970, 2040]),
]


@pytest.mark.parametrize(("name", "law", "first", "pounds"), TABLES)
def test_every_row_of_the_load_tables_lies_in_the_enclosure(
    name: str, law: Law, first: int, pounds: list[int]
) -> None:
    """Whichever row is taken as the rating, every lower row lies between the ends."""
    rows = [(first + 5 * i, load) for i, load in enumerate(pounds)]
    for top, rating in rows:
        for psi, load in rows:
            if psi > top:
                continue
            found = load_at(
                *(Enclosure.of(x) for x in (psi * PSI.factor, top * PSI.factor, rating * LB.factor)), law
            )
            assert found.low <= load * LB.factor <= found.high, (name, psi, top)
            assert found.high - found.low <= found.high * Fraction(6, 100)


@pytest.mark.parametrize(("name", "law", "first", "pounds"), TABLES)
def test_the_exponents_are_those_that_fit_the_tables(
    name: str, law: Law, first: int, pounds: list[int]
) -> None:
    """scipy linregress, log load on log pressure: 0.645 to 0.704 for radials, 0.586 to 0.590 for bias."""
    fit = linregress([log(first + 5 * i) for i in range(len(pounds))], [log(x) for x in pounds])
    assert fit.rvalue**2 > 0.995
    low, high = (0.64, 0.71) if law is RADIAL_TRUCK else (0.58, 0.595)
    assert low < fit.slope < high


def test_the_ends_hold_the_law_itself() -> None:
    """3042 lb at 80 psi by the power 0.7 at 50 psi (numpy power is near enough for a referee)."""
    found = load_at(
        Enclosure.of(50 * PSI.factor),
        Enclosure.of(80 * PSI.factor),
        Enclosure.of(3042 * LB.factor),
        RADIAL_TRUCK,
    )
    law = 3042 * (50 / 80) ** 0.7
    assert abs(float(found.low / LB.factor) - law * 0.98) < 1e-6
    assert abs(float(found.high / LB.factor) - law * 1.02) < 1e-6


def test_which_law_holds_for_which_tire() -> None:
    assert law_for("light truck", "radial") is RADIAL_TRUCK
    assert law_for("light truck", "bias ply") is BIAS_TRUCK
    assert law_for("passenger", "radial") is PASSENGER
    assert law_for("no such marking", "bias ply") is UNKNOWN
    assert law_for("heavy truck", "radial") is UNKNOWN


def _tire(psi: str, **more: str) -> dict[str, str]:
    told = {
        "tire-pressure-cold": f"{psi} psi",
        "tire-maximum-pressure": "80 psi",
        "tire-load-rating": "3042 lb",
        "tire-construction": "radial",
        "tire-standard": "light truck",
    }
    return {**told, **{k.replace("_", "-"): v for k, v in more.items()}}


def test_the_rating_at_and_above_its_pressure() -> None:
    for psi in ("80", "85"):
        assert number("tire-load-at-pressure", _tire(psi)) == Enclosure.of(base("3042 lb"))
    assert number("tire-load-at-pressure", _tire("0")) == Enclosure.of(0)
    outcome = work("tire-load-at-pressure", _tire("50"))
    assert "power 0.7" in outcome.steps[0]


def test_a_passenger_tire_carries_its_load_at_35_psi_at_the_latest() -> None:
    """Dealer chart (secondary): P-metric standard load is full at 35 psi, whatever its highest pressure."""
    tire = _tire("35", tire_standard="passenger", tire_maximum_pressure="44 psi", tire_load_rating="1874 lb")
    found = number("tire-load-at-pressure", tire)
    assert found.high == base("1874 lb")
    assert found.low == base("1874 lb") * Fraction(35, 44)


def test_a_passenger_tire_on_a_truck_counts_for_less() -> None:
    """49 CFR 571.120 S5.1.2 as worked: 2205 lb / 1.10 = 2004.5, two tires 4009.1 lb."""
    told = {"tire-load-at-pressure": "2205 lb", "tire-standard": "passenger", "vehicle-class": "light truck"}
    found = number("tire-load-counted", told)
    assert abs(found.low / LB.factor - Fraction("2004.5")) <= Fraction(1, 20)
    two = {"tire-load-counted": dict.fromkeys(("left-rear", "right-rear"), "2004.5454 lb")}
    margin = number("axle-load-margin", {**two, "axle-load-actual": "4009 lb"})
    assert Fraction(0) < margin.low / LB.factor < Fraction(1, 10)
    for kind, standard in (("car", "passenger"), ("light truck", "light truck")):
        whole = {**told, "vehicle-class": kind, "tire-standard": standard}
        assert number("tire-load-counted", whole) == Enclosure.of(base("2205 lb"))


def test_ratings_of_an_axle_against_its_rated_weight() -> None:
    four = dict.fromkeys(
        ("left-rear-outer", "left-rear-inner", "right-rear-inner", "right-rear-outer"), "1500 lb"
    )
    found = number("axle-tire-rating-margin", {"tire-load-rating": four, "axle-weight-rating": "6001 lb"})
    assert found == Enclosure.of(base("-1 lb"))


def test_gross_weight_left() -> None:
    told = {"gross-weight-rating": "7500 lb", "axle-load-actual": {"front": "3000 lb", "rear": "4400 lb"}}
    assert number("gross-weight-margin", told) == Enclosure.of(base("100 lb"))


@given(
    st.fractions(min_value=1, max_value=100, max_denominator=50),
    st.fractions(min_value=0, max_value=20, max_denominator=50),
    st.sampled_from([RADIAL_TRUCK, BIAS_TRUCK, PASSENGER, UNKNOWN]),
)
@settings(max_examples=60, deadline=None)
def test_more_pressure_never_carries_less(psi: Fraction, more: Fraction, law: Law) -> None:
    full, rating = Enclosure.of(50 * PSI.factor), Enclosure.of(1000)
    first, second = (load_at(Enclosure.of(p * PSI.factor), full, rating, law) for p in (psi, psi + more))
    assert first.low <= second.low
    assert first.high <= second.high
    assert second.high <= 1000


@pytest.mark.parametrize(
    ("standard", "construction", "limit"),
    [
        ("light truck", "radial", "2200 lb"),
        ("light truck", "bias ply", "1000 lb"),
        ("passenger", "radial", "2000 lb"),
        ("light truck", "radial", "3030 lb"),
    ],
)
def test_the_pressure_to_fill_to(standard: str, construction: str, limit: str) -> None:
    told = _tire("30", tire_standard=standard, tire_construction=construction)
    goal = Goal(base(limit), True)
    need = round_trip("tire-load-at-pressure", told, "tire-pressure-cold", goal, base("0.01 psi"))
    assert need.low <= base("80 psi")


def test_no_pressure_carries_more_than_the_rating() -> None:
    from precheck.derive.functions import INVERSES
    from tests.derive.making import DAY, cells_for

    (inverse,) = INVERSES["load-at-pressure"]
    cells = cells_for("tire-load-at-pressure", _tire("30"))
    assert inverse.solve(Goal(base("3043 lb"), True), cells, DAY) is None


def test_the_load_an_axle_may_have() -> None:
    told = {
        "tire-load-counted": {"left-front": "1500 lb", "right-front": "1400 lb"},
        "axle-load-actual": "3000 lb",
    }
    round_trip("axle-load-margin", told, "axle-load-actual", Goal(Fraction(0), True), base("1 lb"))


def test_a_rating_below_zero_carries_nothing() -> None:
    told = {
        "tire-pressure-cold": "at least 10 psi",
        "tire-maximum-pressure": "80 psi",
        "tire-load-rating": "-1 lb",
        "tire-construction": "radial",
        "tire-standard": "passenger",
    }
    assert "below zero" in work("tire-load-at-pressure", told).unclear
