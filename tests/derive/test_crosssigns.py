"""Questions about pairs and about signs together: each is asked at the step beyond, and not at the limit.

Every expectation is common practice (no source); the figures are those of the functions' own docstrings.
"""

from __future__ import annotations

from datetime import date
from fractions import Fraction

import pytest

from precheck.derive.crossdates import dates_to_come
from precheck.derive.latest import latest
from precheck.model.document import Claim, Document, Known, Value
from precheck.model.quantity import Enclosure
from tests.derive.making import DAY, book
from tests.derive.visits import HERE as HERE_MARK
from tests.derive.visits import Readings, ask, visits

DAYS = "2026-05-01"
HERE = "vehicle"
Told = dict[str, dict[str, str]]


def _sides(point: str, left: str, right: str, end: str = "-front") -> Told:
    return {point: {f"left{end}": left, f"right{end}": right}}


def _one(**told: str) -> Told:
    return {name.replace("_", "-"): {HERE: text} for name, text in told.items()}


SIX, TWELVE = "6 V negative ground", "12 V negative ground"
BOLT = {"spring-center-bolt": {"left-rear": "suspect"}}
DROP = "shock-mount-distance-drop"
BUMP = "shock-mount-distance-bump"
FEATHERED = {"tire-wear-pattern": {"left-front": "feathered"}}
LEAK = {"exhaust-leak": {"front-pipe": "soot trace"}}

# words of the question, a visit that asks, a visit that does not
CASES: list[tuple[str, Readings, Readings]] = [
    (
        "lies before build-date",
        _one(build_date="1966-04-02", brake_fluid_date="1966-04-01"),
        _one(build_date="1966-04-02", brake_fluid_date="1966-04-02"),
    ),
    (
        "lies before build-date",
        _one(build_date="1966-04-02", first_use_date="1966-01-31"),
        _one(build_date="1966-04-02", first_use_date="1966-04-02"),
    ),
    ("lies after 2026-05-01", _one(build_date="2026-05-02"), _one(build_date="2026-05-01")),
    ("lies after 2026-05-01", _one(brake_fluid_date="2026-11-01"), _one(brake_fluid_date="2026-01-11")),
    (
        "mixed pair",
        _sides("shock-extended-length", "20 in", "20.26 in"),
        _sides("shock-extended-length", "20 in", "20.25 in"),
    ),
    (
        "mixed pair",
        _sides("shock-collapsed-length", "12.26 in", "12 in"),
        _sides("shock-collapsed-length", "12.25 in", "12 in"),
    ),
    (
        "at least 24 in fully out",
        {"shock-extended-length": {"left-rear": "23.9 in"}, DROP: {"left-rear": "24 in"}},
        {"shock-extended-length": {"left-rear": "24 in"}, DROP: {"left-rear": "24 in"}},
    ),
    (
        "at most 14.5 in fully in",
        {"shock-collapsed-length": {"left-rear": "14.6 in"}, BUMP: {"left-rear": "14.5 in"}},
        {"shock-collapsed-length": {"left-rear": "14.5 in"}, BUMP: {"left-rear": "14.5 in"}},
    ),
    (
        "two kinds of spring",
        _sides("spring-leaves", "6", "7", "-rear"),
        _sides("spring-leaves", "7", "7", "-rear"),
    ),
    (
        "walked on its spring",
        {**BOLT, **_sides("axle-squareness", "100 in", "100 5/16 in", "")},
        {**BOLT, **_sides("axle-squareness", "100 in", "100 1/4 in", "")},
    ),
    (
        "walked on its spring",
        {**BOLT, **_sides("axle-squareness", "100 in", "101 in", "")},
        {
            "spring-center-bolt": {"left-rear": "seated"},
            **_sides("axle-squareness", "100 in", "101 in", ""),
        },
    ),
    (
        "two kinds of lining",
        _sides("brake-lining-attachment", "riveted", "bonded"),
        _sides("brake-lining-attachment", "riveted", "riveted"),
    ),
    (
        "within 0.010 in",
        _sides("brake-drum-diameter", "11.060 in", "11.071 in"),
        _sides("brake-drum-diameter", "11.060 in", "11.070 in"),
    ),
    (
        "before any air goes in",
        {"tire-size-marking": {"spare": "8.75-16.5"}, "wheel-rim-diameter": {"spare": "16 in"}},
        {"tire-size-marking": {"spare": "7.50-16"}, "wheel-rim-diameter": {"spare": "406 mm"}},
    ),
    (
        # The first week of 2015 began on Sunday, January 4; the tenth of 2020 on Sunday, March 8.
        "more than five years",
        _sides("tire-date-code", "0115", "1020"),
        _sides("tire-date-code", "1015", "1020"),
    ),
    (
        "before that week",
        {"tire-date-code": {"left-front": "2026"}},
        {"tire-date-code": {"left-front": "1526"}},
    ),
    ("measure kingpin or ball joint play first", FEATHERED, {"tire-wear-pattern": {"left-front": "even"}}),
    (
        "mend kingpin-play at left-front first",
        {**FEATHERED, "kingpin-play": {"left-front": "0.05 in"}},
        {**FEATHERED, "kingpin-play": {"left-front": "0 in"}},
    ),
    (
        "what stays is the pin",
        {"wheel-bearing-play": {"left-front": "0.02 in"}, "kingpin-play": {"left-front": "0.03 in"}},
        {"wheel-bearing-play": {"left-front": "0.02 in"}, "kingpin-play": {"left-front": "0 in"}},
    ),
    (
        "outside of the core",
        _one(temperature_idle="205 degF", temperature_cruise="194 degF"),
        _one(temperature_idle="204 degF", temperature_cruise="194 degF"),
    ),
    (
        "flow through the core",
        _one(temperature_idle="180 degF", temperature_cruise="191 degF"),
        _one(temperature_idle="180 degF", temperature_cruise="190 degF"),
    ),
    (
        "degrees C written",
        _one(temperature_idle="64 degF", air_temperature="70 degF"),
        _one(temperature_idle="65 degF", air_temperature="70 degF"),
    ),
    (
        "before wear is blamed",
        _one(engine_oil_condition="smells of fuel", oil_pressure_hot_idle="8 psi"),
        _one(engine_oil_condition="dark", oil_pressure_hot_idle="8 psi"),
    ),
    (
        "hang it first",
        {**LEAK, "exhaust-support": {"muffler": "broken or missing"}},
        {**LEAK, "exhaust-support": {"tail-pipe": "broken or missing"}},
    ),
    (
        "before any is added",
        {"brake-fluid-level": {"chamber-1": "below minimum"}},
        {"brake-fluid-level": {"chamber-1": "above minimum"}},
    ),
    (
        "a sound battery has",
        _one(system_voltage=SIX, battery_rest_voltage="6.7 V"),
        _one(system_voltage=SIX, battery_rest_voltage="6.6 V"),
    ),
    (
        "a sound battery has",
        _one(system_voltage=TWELVE, battery_rest_voltage="11.3 V"),
        _one(system_voltage=TWELVE, battery_rest_voltage="11.4 V"),
    ),
    (
        "6, 12 or 24 V?",
        _one(system_voltage=SIX, charge_voltage="7.9 V"),
        _one(system_voltage=SIX, charge_voltage="7.8 V"),
    ),
    (
        "6, 12 or 24 V?",
        _one(system_voltage=TWELVE, charge_voltage_lamps_on="15.7 V"),
        _one(system_voltage=TWELVE, charge_voltage_lamps_on="15.6 V"),
    ),
    (
        "make the test again",
        {**_sides("tire-pressure-cold", "40 psi", "35 psi"), "brake-straight-stop": {HERE: "drifts"}},
        {**_sides("tire-pressure-cold", "40 psi", "36 psi"), "brake-straight-stop": {HERE: "drifts"}},
    ),
]


def _asked(words: str, *told: object) -> bool:
    return any(words in w.words for w in ask(*told))  # type: ignore[arg-type]


@pytest.mark.parametrize(("words", "odd", "plain"), CASES)
def test_asked_beyond_the_limit_and_not_at_it(words: str, odd: Readings, plain: Readings) -> None:
    assert _asked(words, (DAYS, odd))
    assert not _asked(words, (DAYS, plain))


@pytest.mark.parametrize(("words", "odd", "plain"), CASES)
def test_half_of_what_is_compared_asks_nothing(words: str, odd: Readings, plain: Readings) -> None:
    """Without one of the points, or with one place of it, no question compares what is not there."""
    if len(odd) == 1 and all(len(here) == 1 for here in odd.values()):
        assert _asked(words, (DAYS, odd))
        return
    for point, here in odd.items():
        less = {p: r for p, r in odd.items() if p != point}
        if len(here) > 1:
            less[point] = dict(list(here.items())[:1])
        if point == "kingpin-play" and "tire-wear-pattern" in odd:
            continue  # without the play, it is asked for: the case above
        assert not _asked(words, (DAYS, less)), point


def test_work_takes_the_question_away() -> None:
    pair = _sides("shock-extended-length", "20 in", "22 in")
    assert _asked("mixed pair", (DAYS, pair))
    assert "shock-replaced" in book().ends["shock-extended-length"]
    assert not _asked("mixed pair", (DAYS, pair, ("shock-replaced",)))
    assert _asked("mixed pair", ("2026-04-01", {}, ("shock-replaced",)), (DAYS, pair))


def test_pressures_of_another_day_do_not_void_a_test() -> None:
    air = _sides("tire-pressure-cold", "40 psi", "30 psi")
    stop = _one(brake_straight_stop="drifts")
    assert not _asked("make the test again", ("2026-04-30", air), (DAYS, stop))
    assert _asked("make the test again", (DAYS, air), (DAYS, stop))


def test_a_tire_read_warm() -> None:
    air = {"tire-pressure-cold": {"left-front": "44 psi"}}
    drive: tuple[str, ...] = ("drove 5 mi",)
    assert _asked("warm tire", (DAYS, {}, drive), (DAYS, air))
    assert not _asked("warm tire", (DAYS, air, drive))
    assert not _asked("warm tire", ("2026-04-30", {}, drive), (DAYS, air))
    assert not _asked("warm tire", (DAYS, {}, drive), (DAYS, air), ("2026-05-02", air))
    assert not _asked("warm tire", (DAYS, {}, ("drove 0 mi",)), (DAYS, air))


@pytest.mark.parametrize(
    ("new", "asked"), [("41200 mi", False), ("41199 mi", True), ("46200 mi", False), ("46201 mi", True)]
)
def test_an_odometer_that_falls_or_leaps(new: str, asked: bool) -> None:
    told = (DAYS, _one(odometer_reading="41200 mi")), ("2026-05-09", _one(odometer_reading=new))
    assert _asked("rolled over", *told) is asked


def test_the_day_bounds_all() -> None:
    assert DAY.isoformat() < "2027-01-01"
    assert not ask(("2027-01-01", _sides("shock-extended-length", "20 in", "22 in")))


def test_a_fluid_whose_kind_is_known_may_be_topped_up() -> None:
    low = {"brake-fluid-level": {"chamber-1": "empty"}}
    assert _asked("before any is added", (DAYS, low))
    assert not _asked("before any is added", (DAYS, {**low, "brake-fluid-type": {HERE: "glycol"}}))


@pytest.mark.parametrize(("year", "asked"), [(2026, False), (2027, True)])
def test_an_undated_fact_is_held_against_the_last_visit(year: int, asked: bool) -> None:
    """A year alone may still begin before the visit of May 1, 2026."""
    visit = visits((DAYS, _one(horn_action="clear"))).visits
    span = Enclosure(*(Fraction(date(year, m, d).toordinal()) for m, d in ((1, 1), (12, 31))))
    fact = Claim("build-date", None, (Value(str(year), number=span),), Known.PAPERS, None, 0, "", HERE_MARK)
    last = latest(Document("test", "", (fact,), (), visit), visit, book())
    assert bool(list(dates_to_come(last, book()))) is asked
