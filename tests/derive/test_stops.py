"""The ground a stop was made on, the meter's reading, and the brake table of 49 CFR 393.52(d)."""

from __future__ import annotations

from datetime import date
from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.constants import g

from precheck.derive.functions import FUNCTIONS, INVERSES
from precheck.derive.ground import SURFACES
from precheck.derive.inverse import Goal
from precheck.derive.measures import FT_S2
from precheck.derive.stoptable import LINES, UNITS, lines_for
from precheck.model.quantity import Enclosure
from tests.derive.making import DAY, base, book, cell, cells_for, number, work
from tests.derive.roundtrip import round_trip

DISTANCES = ("brake-stop-level", "brake-stop-from-20")
SHARES = ("brake-stop-efficiency", "brake-stop-deceleration")


def _stop(feet: object = 30, mph: object = 20, **ground: str) -> dict[str, str]:
    told = {f"test-{name}": text for name, text in ground.items()}
    return {"brake-stop-distance": f"{feet} ft", "brake-stop-speed": f"{mph} mph", **told}


# -- ground


@pytest.mark.parametrize("name", DISTANCES)
def test_wet_or_downhill_a_dry_level_stop_is_no_longer(name: str) -> None:
    """Mechanics: less grip or a pull ahead only makes a stop longer. Water alone never helps the brakes."""
    measured = base("30 ft")
    assert number(name, _stop()) == Enclosure.of(measured)
    for ground in ({"surface": "wet"}, {"slope": "-3 percent"}, {"surface": "wet", "slope": "-3 percent"}):
        assert number(name, _stop(**ground)) == Enclosure(None, measured)


@pytest.mark.parametrize("name", DISTANCES)
def test_uphill_a_level_stop_is_no_shorter(name: str) -> None:
    assert number(name, _stop(slope="3 percent")) == Enclosure(base("30 ft"), None)
    assert "uphill stop on wet" in work(name, _stop(slope="3 percent", surface="wet")).unclear
    assert "either way" in work(name, _stop(slope="-2 percent to 2 percent")).unclear


@pytest.mark.parametrize("name", DISTANCES)
@pytest.mark.parametrize("slope", ["-1 percent", "0 percent", "1 percent"])
def test_within_one_percent_the_ground_is_level(name: str, slope: str) -> None:
    """The line that the point on the road of a stop draws (common practice)."""
    for surface in ("dry level pavement", "dry sloping pavement"):
        assert number(name, _stop(slope=slope, surface=surface)) == Enclosure.of(base("30 ft"))
    assert number(name, _stop(slope="1.01 percent")).high is None
    assert number(name, _stop(slope="-1.01 percent")).low is None


@pytest.mark.parametrize("name", SHARES)
def test_on_wet_ground_the_brakes_do_at_least_that(name: str) -> None:
    dry = number(name, _stop())
    wet = number(name, _stop(surface="wet"))
    assert wet == Enclosure(dry.low, None)
    climbed = number(name, _stop(slope="5 percent"))
    assert number(name, _stop(slope="5 percent", surface="wet")) == Enclosure(climbed.low, None)


def test_the_slope_counts_as_much_in_ft_s2_as_in_percent() -> None:
    """10 percent of slope pull 9.950 percent of weight (mechanics, from memory): 3.2013 of 32.174 ft/s2."""
    flat = number("brake-stop-deceleration", _stop())
    up = number("brake-stop-deceleration", _stop(slope="10 percent"))
    assert abs((flat.low - up.low) / FT_S2.factor - Fraction("3.2013")) < Fraction(2, 10**4)


@pytest.mark.parametrize("name", [*DISTANCES, *SHARES])
def test_ground_that_tells_nothing(name: str) -> None:
    assert "loose or soft" in work(name, _stop(surface="gravel or grass")).unclear
    assert "measure which way" in work(name, _stop(surface="dry sloping pavement")).unclear


@pytest.mark.parametrize("name", [*DISTANCES, *SHARES])
def test_ground_of_another_day_or_not_known(name: str) -> None:
    thing = book().derived[name]
    one, other = date(2026, 5, 1), date(2026, 5, 2)
    stop = [cell(c.id, c.values[0].written, on=one) for c in cells_for(name, _stop()) if c.values]
    same = cell("test-surface", "wet", on=one)
    assert FUNCTIONS[thing.function]((*stop, same), DAY).values
    late = cell("test-surface", "wet", on=other)
    assert "write both anew" in FUNCTIONS[thing.function]((*stop, late), DAY).unclear


def test_surfaces_are_those_of_the_point() -> None:
    assert book().points["test-surface"].states == SURFACES
    assert book().points["brake-stop-unit"].states == UNITS
    stop = book().points["brake-stop-distance"]
    for name in ("test-surface", "test-slope"):  # ground must not run out before the stop it belongs to
        assert book().points[name].lasts == stop.lasts
        assert book().ends[name] <= book().ends[stop.id]


# -- the meter

# 67 Pa. Code ch. 175 Table I: percent and ft/s2, printed to a tenth and to the whole foot.
COLUMNS = [("65.2", 21), ("52.8", 17), ("43.5", 14)]


@pytest.mark.parametrize(("percent", "rate"), COLUMNS)
def test_a_meter_reads_the_deceleration_of_the_table(percent: str, rate: int) -> None:
    found = number("brake-meter-deceleration", {"brake-meter-reading": f"{percent} percent"})
    assert found.exact
    assert abs(found.low / FT_S2.factor - rate) < Fraction(5, 100)


def test_scipy_knows_the_same_gravity() -> None:
    found = number("brake-meter-deceleration", {"brake-meter-reading": "50 percent"})
    assert abs(float(found.low) - 0.5 * g) < 1e-12


def test_more_than_gravity_is_asked_back() -> None:
    told = {"brake-meter-reading": "120 percent"}
    assert "more than gravity" in work("brake-meter-deceleration", told).unclear


def test_the_reading_that_reaches_a_deceleration() -> None:
    told = {"brake-meter-reading": "40 percent"}
    goal = Goal(base("17 ft/s2"), True)
    round_trip("brake-meter-deceleration", told, "brake-meter-reading", goal, base("0.001 percent"))


def test_the_distance_that_a_floor_figure_leaves() -> None:
    goal = Goal(base("30 ft"), False)
    round_trip("brake-stop-level", _stop(40), "brake-stop-distance", goal, base("0.01 ft"))


@pytest.mark.parametrize("ground", [{}, {"surface": "wet"}, {"slope": "-3 percent"}, {"slope": "1 percent"}])
@pytest.mark.parametrize("name", DISTANCES)
def test_the_distance_that_does_on_this_ground(name: str, ground: dict[str, str]) -> None:
    goal = Goal(base("25 ft"), False)
    round_trip(name, _stop(40, **ground), "brake-stop-distance", goal, base("0.01 ft"))


@pytest.mark.parametrize("ground", [{}, {"surface": "wet"}, {"slope": "-3 percent"}, {"slope": "6 percent"}])
@pytest.mark.parametrize(("name", "limit"), [*zip(SHARES, ("50 percent", "17 ft/s2"), strict=True)])
def test_the_distance_that_brakes_so_hard_on_this_ground(
    name: str, limit: str, ground: dict[str, str]
) -> None:
    goal = Goal(base(limit), True)
    round_trip(name, _stop(40, **ground), "brake-stop-distance", goal, base("0.01 ft"))


def test_no_distance_does_on_ground_that_tells_nothing() -> None:
    for ground in ({"slope": "3 percent"}, {"surface": "gravel or grass"}):
        for name in DISTANCES:
            (inverse,) = INVERSES[book().derived[name].function]
            assert inverse.solve(Goal(base("25 ft"), False), cells_for(name, _stop(**ground)), DAY) is None
    (inverse,) = INVERSES["stop-efficiency"]
    wet = cells_for("brake-stop-efficiency", _stop(surface="wet"))
    assert inverse.solve(Goal(Fraction(1, 2), False), wet, DAY) is None


# -- the table of 393.52(d)

# 67 Pa. Code ch. 175 Table I, the numbers of 49 CFR 393.52(d): percent, ft/s2, ft.
TABLE = [(65.2, 21, 20), (52.8, 17, 25), (43.5, 14, 35), (52.8, 17, 25), (43.5, 14, 35), (43.5, 14, 40)]


def test_rows_are_the_printed_ones() -> None:
    assert [(float(x.percent), x.rate, x.feet) for x in LINES] == TABLE


def test_percent_of_each_row_is_its_rate_over_gravity() -> None:
    """A misprinted cell of the state's page, 3.4 beside 14 ft/s2, would not pass."""
    for line in LINES:
        gravity = 100 * line.rate * FT_S2.factor / base("1 g")
        assert abs(gravity - line.percent) < Fraction(1, 10)


def _left(feet: object, vehicle: str, **facts: str) -> Enclosure:
    told = {"brake-stop-from-20": f"{feet} ft", "vehicle-class": vehicle}
    return number("brake-stop-left-393", {**told, **{k.replace("_", "-"): v for k, v in facts.items()}})


def test_a_pickup_as_worked() -> None:
    """Worked with the table: a pickup of 6,000 lb stops in 24 ft, which is enough; 26 ft are not."""
    light = {"gross_weight_rating": "6000 lb", "brake_stop_unit": "vehicle alone"}
    assert _left(24, "light truck", **light) == Enclosure.of(base("1 ft"))
    assert _left(26, "light truck", **light) == Enclosure.of(base("-1 ft"))


@pytest.mark.parametrize(
    ("vehicle", "weight", "seats", "unit", "feet"),
    [
        ("car", "4000 lb", "5 count", "vehicle alone", (20, 20)),
        ("car", "4000 lb", "10 count", "vehicle alone", (20, 20)),
        ("car", "4000 lb", "11 count", "vehicle alone", (25, 25)),
        ("car", "4000 lb", None, "vehicle alone", (20, 25)),
        ("van", "6000 lb", "3 count", "vehicle alone", (20, 25)),
        ("van", "6000 lb", "12 count", "vehicle alone", (25, 25)),
        ("van", "10001 lb", "3 count", "vehicle alone", (35, 35)),
        ("bus", "10000 lb", "16 count", "vehicle alone", (25, 25)),
        ("bus", "10001 lb", "16 count", "vehicle alone", (35, 35)),
        ("motorhome", None, None, "vehicle alone", (25, 35)),
        ("light truck", "10000 lb", None, "vehicle alone", (25, 25)),
        ("heavy truck", "10001 lb", None, "vehicle alone", (35, 35)),
        ("heavy truck", "26000 lb", None, "truck tractor alone", (40, 40)),
        ("light truck", "9000 lb", None, "truck tractor alone", (25, 25)),
        ("heavy truck", "26000 lb", None, "vehicle with trailer", (35, 40)),
        ("light truck", "9000 lb", None, None, (25, 40)),
        ("light truck", None, None, None, (25, 40)),
        ("car", "4000 lb", "5 count", "vehicle with trailer", (20, 40)),
    ],
)
def test_the_row_by_the_facts(
    vehicle: str, weight: str | None, seats: str | None, unit: str | None, feet: tuple[int, int]
) -> None:
    """Where the facts leave two rows open the limit lies between theirs."""
    facts = {"gross_weight_rating": weight, "seat_count": seats, "brake_stop_unit": unit}
    found = _left(0, vehicle, **{k: v for k, v in facts.items() if v})
    assert (found.low, found.high) == tuple(base(f"{f} ft") for f in feet)


def test_no_row_for_a_car_that_is_a_tractor() -> None:
    told = {"brake-stop-from-20": "20 ft", "vehicle-class": "car", "brake-stop-unit": "truck tractor alone"}
    assert "no row" in work("brake-stop-left-393", told).unclear


def test_force_and_rate_are_tests_of_their_own() -> None:
    facts = {"vehicle-class": "light truck", "gross-weight-rating": "6000 lb"}
    facts["brake-stop-unit"] = "vehicle alone"
    force = number("brake-force-left-393", {"brake-force-share-rated": "53 percent", **facts})
    assert force == Enclosure.of(base("0.2 percent"))
    rate = number("brake-rate-left-393", {"brake-meter-deceleration": "17 ft/s2", **facts})
    assert rate == Enclosure.of(0)


@given(
    st.sampled_from(["car", "van", "light truck", "heavy truck", "bus", "motorhome"]),
    st.integers(1, 30000),
    st.integers(0, 20000),
    st.integers(1, 40),
    st.sampled_from([*UNITS, None]),
)
@settings(max_examples=150, deadline=None)
def test_a_heavier_vehicle_is_never_asked_for_more(
    vehicle: str, pounds: int, more: int, seats: int, unit: str | None
) -> None:
    light, heavy = (
        lines_for(vehicle, Enclosure.of(base(f"{w} lb")), Enclosure.of(seats), unit)
        for w in (pounds, pounds + more)
    )
    assert bool(light) == bool(heavy)
    for low, high in ((min, max),) if light else ():
        assert low(x.feet for x in heavy) >= low(x.feet for x in light)
        assert high(x.percent for x in heavy) <= high(x.percent for x in light)


@given(st.integers(18, 22), st.integers(10, 80), st.integers(0, 40), st.sampled_from(["wet", None]))
@settings(max_examples=40, deadline=None)
def test_a_longer_stop_never_leaves_more(mph: int, feet: int, more: int, surface: str | None) -> None:
    ground = {"surface": surface} if surface else {}
    short, long = (number("brake-stop-from-20", _stop(d, mph, **ground)) for d in (feet, feet + more))
    assert short.high <= long.high
