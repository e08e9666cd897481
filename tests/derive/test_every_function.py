"""What holds for every derived number: it runs one way in each input, and its inverse is kept.

One row for each function that gives a number: readings that are plain, and which way the value runs when
one of them rises (mechanics, geometry and arithmetic; no outside figure is needed for a direction). A
direction is left out where there is none, such as for a difference without its sign.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import timedelta
from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from precheck.derive.functions import FUNCTIONS, INVERSES
from precheck.derive.inverse import DAY as THE_DAY
from precheck.derive.inverse import Goal
from precheck.derive.outcome import Outcome
from precheck.model.document import Value
from precheck.model.quantity import Enclosure, Unit
from precheck.model.record import replace
from precheck.model.settled import Cell
from tests.derive.making import DAY, book, cells_for, work

RISES, FALLS = 1, -1


@dataclass(frozen=True)
class Run:
    """An input, which way the value runs as it rises, and between which numbers (its unit) that is tried."""

    name: str
    way: int
    low: int
    high: int


@dataclass(frozen=True)
class Row:
    derived: str
    told: Mapping[str, object]
    runs: tuple[Run, ...] = ()


STOP = {"brake-stop-distance": "30 ft", "brake-stop-speed": "20 mph", "test-slope": "2 percent"}
LEVEL = {"brake-stop-distance": "30 ft", "brake-stop-speed": "20 mph"}
OF_A_STOP = (
    Run("brake-stop-distance", FALLS, 14, 90),
    Run("brake-stop-speed", RISES, 5, 25),
    Run("test-slope", FALLS, -15, 15),
)
ALONE = {
    "vehicle-class": "motorhome",
    "gross-weight-rating": "9000 lb",
    "seat-count": "4 count",
    "brake-stop-unit": "vehicle alone",
}
FORCES = dict.fromkeys(("left-front", "right-front"), "500 lbf")
TIRE = {
    "tire-pressure-cold": "50 psi",
    "tire-maximum-pressure": "80 psi",
    "tire-load-rating": "3000 lb",
    "tire-construction": "radial",
    "tire-standard": "light truck",
}
PLAY = {"steering-free-play": "1 in", "steering-wheel-diameter": "17 in", "power-steering": "not fitted"}
OF_PLAY = (Run("steering-free-play", RISES, 0, 10), Run("steering-wheel-diameter", FALLS, 12, 24))
WIRE = {"wire-gauge": "14 count", "wire-length": "10 ft", "wire-current": "10 A", "wire-drop": "0.5 V"}
AIM = {"headlamp-aim": "3 in", "headlamp-aim-distance": "20 ft"}
OF_AIM = (Run("headlamp-aim", RISES, -20, 20), Run("headlamp-aim-distance", FALLS, 5, 40))
TWELVE = {"system-voltage": "12 V negative ground"}

ROWS = {
    "stop-deceleration": Row("brake-stop-deceleration", STOP, OF_A_STOP),
    "stop-efficiency": Row("brake-stop-efficiency", STOP, OF_A_STOP),
    "stop-from-twenty": Row(
        "brake-stop-from-20",
        LEVEL,
        (Run("brake-stop-distance", RISES, 14, 90), Run("brake-stop-speed", FALLS, 18, 22)),
    ),
    "stop-on-level": Row("brake-stop-level", LEVEL, (Run("brake-stop-distance", RISES, 1, 90),)),
    "meter-deceleration": Row(
        "brake-meter-deceleration",
        {"brake-meter-reading": "50 percent"},
        (Run("brake-meter-reading", RISES, 0, 100),),
    ),
    "stop-left": Row(
        "brake-stop-left-393",
        {"brake-stop-from-20": "24 ft", **ALONE},
        (Run("brake-stop-from-20", FALLS, 10, 60), Run("gross-weight-rating", RISES, 3000, 20000)),
    ),
    "force-left": Row(
        "brake-force-left-393",
        {"brake-force-share-rated": "50 percent", **ALONE},
        (Run("brake-force-share-rated", RISES, 0, 90), Run("gross-weight-rating", RISES, 3000, 20000)),
    ),
    "rate-left": Row(
        "brake-rate-left-393",
        {"brake-meter-deceleration": "17 ft/s2", **ALONE},
        (Run("brake-meter-deceleration", RISES, 0, 30), Run("gross-weight-rating", RISES, 3000, 20000)),
    ),
    "force-share": Row(
        "brake-force-share",
        {"brake-force-at-wheel": FORCES, "axle-load-actual": {"front": "2000 lb", "rear": "2200 lb"}},
        (Run("brake-force-at-wheel", RISES, 0, 2000), Run("axle-load-actual", FALLS, 500, 5000)),
    ),
    "lower-share": Row("brake-lower-share", {"brake-force-at-wheel": FORCES}),
    "imbalance-of-larger": Row("brake-imbalance-of-larger", {"brake-force-at-wheel": FORCES}),
    "imbalance-of-smaller": Row("brake-imbalance-of-smaller", {"brake-force-at-wheel": FORCES}),
    "left-to-wear": Row(
        "brake-drum-left",
        {"brake-drum-diameter": "11 in", "brake-drum-limit-mark": "11.09 in"},
        (Run("brake-drum-diameter", FALLS, 7, 16), Run("brake-drum-limit-mark", RISES, 7, 16)),
    ),
    "left-of-disc": Row(
        "brake-disc-left",
        {"brake-disc-thickness": "1 in", "brake-disc-limit-mark": "0.9 in"},
        (Run("brake-disc-thickness", RISES, 0, 2), Run("brake-disc-limit-mark", FALLS, 0, 2)),
    ),
    "pedal-travel": Row(
        "brake-pedal-travel-used",
        {"brake-pedal-reserve": "2 in", "brake-pedal-free-height": "8 in"},
        (Run("brake-pedal-reserve", FALLS, 0, 8), Run("brake-pedal-free-height", RISES, 2, 14)),
    ),
    "heat-apart": Row("hub-heat-apart", {"hub-drum-temperature": dict.fromkeys(FORCES, "150 degF")}),
    "age-of-date": Row("vehicle-age", {"build-date": "1966-04-12"}),
    "tire-age": Row("tire-age", {"tire-date-code": "1417"}),
    "number-age": Row("tire-number-age", {"tire-identification-number": "A1CABCDEF1417"}),
    "age-spread": Row("tire-age-spread", {"tire-date-code": {"left-front": "1417", "left-rear": "1012"}}),
    "size-diameter": Row("tire-size-diameter", {"tire-size-marking": "LT235/85R16"}),
    "size-section-height": Row("tire-size-section-height", {"tire-size-marking": "LT235/85R16"}),
    "size-rim": Row("tire-size-rim", {"tire-size-marking": "G78-15"}),
    "rim-apart": Row(
        "tire-rim-apart",
        {"tire-size-marking": "7.50-16", "wheel-rim-diameter": "16 in"},
        (Run("wheel-rim-diameter", RISES, 17, 25),),
    ),
    "size-ply-rating": Row("tire-ply-rating", {"tire-size-marking": "7.00-16 6PR"}),
    "marked-speed": Row("tire-speed-allowed", {"tire-speed-limit": "104S"}),
    "index-load": Row("tire-index-load", {"tire-size-marking": "LT235/85R16 120/116Q"}),
    "load-at-pressure": Row(
        "tire-load-at-pressure",
        TIRE,
        (
            Run("tire-pressure-cold", RISES, 0, 100),
            Run("tire-maximum-pressure", FALLS, 30, 120),
            Run("tire-load-rating", RISES, 500, 5000),
        ),
    ),
    "load-counted": Row(
        "tire-load-counted",
        {"tire-load-at-pressure": "2000 lb", "tire-standard": "passenger", "vehicle-class": "van"},
        (Run("tire-load-at-pressure", RISES, 0, 5000),),
    ),
    "margin-of-sum": Row(
        "axle-load-margin",
        {"tire-load-counted": dict.fromkeys(FORCES, "1500 lb"), "axle-load-actual": "2800 lb"},
        (Run("tire-load-counted", RISES, 0, 5000), Run("axle-load-actual", FALLS, 500, 9000)),
    ),
    "margin-to-rating": Row(
        "gross-weight-margin",
        {"gross-weight-rating": "7500 lb", "axle-load-actual": {"front": "3000 lb", "rear": "4000 lb"}},
        (Run("gross-weight-rating", RISES, 2000, 20000), Run("axle-load-actual", FALLS, 500, 9000)),
    ),
    "pressure-at-temperature": Row(
        "tire-pressure-now",
        {"tire-pressure-cold": "35 psi", "tire-pressure-air": "70 degF", "air-temperature": "60 degF"},
        (
            Run("tire-pressure-cold", RISES, 10, 100),
            Run("tire-pressure-air", FALLS, -20, 110),
            Run("air-temperature", RISES, -20, 110),
        ),
    ),
    "days-left": Row(
        "tire-pressure-days-left",
        {
            "tire-pressure-cold": "40 psi",
            "tire-pressure-recommended": "44 psi",
            "tire-pressure-loss": "0.5 psi",
        },
        (Run("tire-pressure-cold", RISES, 20, 60), Run("tire-pressure-recommended", FALLS, 20, 60)),
    ),
    "diameter-apart": Row("driven-tires-apart", {"tire-outside-diameter": dict.fromkeys(FORCES, "30 in")}),
    "free-play-angle": Row("steering-free-play-angle", PLAY, OF_PLAY),
    "free-play-share": Row("steering-free-play-share", PLAY, OF_PLAY),
    "lash-spare-commercial": Row("steering-lash-left-393", PLAY, (Run("steering-free-play", FALLS, 0, 10),)),
    "lash-spare-in-use": Row(
        "steering-lash-left-570",
        PLAY,
        (Run("steering-free-play", FALLS, 0, 10), Run("steering-wheel-diameter", RISES, 12, 22)),
    ),
    "lash-spare-periodic": Row(
        "steering-lash-left-396",
        PLAY,
        (Run("steering-free-play", FALLS, 0, 10), Run("steering-wheel-diameter", RISES, 12, 22)),
    ),
    "toe-share": Row(
        "wheel-toe-share",
        {"wheel-toe": "1/8 in", "wheel-toe-specified": "1/8 in"},
        (Run("wheel-toe", RISES, 0, 1), Run("wheel-toe-specified", FALLS, 0, 1)),
    ),
    "spare-length": Row(
        "shock-drop-spare",
        {"shock-extended-length": "23 in", "shock-mount-distance-drop": "22 in"},
        (Run("shock-extended-length", RISES, 6, 36), Run("shock-mount-distance-drop", FALLS, 6, 36)),
    ),
    "broken-share": Row(
        "spring-broken-share",
        {"spring-leaves-broken": "1 count", "spring-leaves": "8 count"},
        (Run("spring-leaves-broken", RISES, 0, 8), Run("spring-leaves", FALLS, 1, 14)),
    ),
    "per-cell": Row(
        "charge-cell-voltage", {"charge-voltage": "14 V", **TWELVE}, (Run("charge-voltage", RISES, 5, 17),)
    ),
    "charge-by-voltage": Row(
        "battery-charge",
        {"battery-rest-voltage": "12.4 V", **TWELVE},
        (Run("battery-rest-voltage", RISES, 8, 13),),
    ),
    "voltage-rise": Row(
        "charge-rise-lamps-on",
        {"charge-voltage-lamps-on": "13 V", "battery-rest-voltage": "12.5 V"},
        (Run("charge-voltage-lamps-on", RISES, 5, 16), Run("battery-rest-voltage", FALLS, 5, 14)),
    ),
    "flash-rate": Row(
        "turn-flash-rate",
        {"turn-flash-time": ["0.7 s", "0.8 s", "0.7 s"]},
    ),
    "wire-loss": Row(
        "wire-drop-copper",
        WIRE,
        (Run("wire-length", RISES, 1, 60), Run("wire-current", RISES, 0, 100)),
    ),
    "loss-beyond-wire": Row(
        "wire-drop-beside",
        WIRE,
        (
            Run("wire-drop", RISES, 0, 12),
            Run("wire-length", FALLS, 1, 60),
            Run("wire-current", FALLS, 0, 100),
        ),
    ),
    "at-25-feet": Row("headlamp-aim-at-25-ft", AIM, OF_AIM),
    "aim-angle": Row("headlamp-aim-angle", AIM, OF_AIM),
    "compound-angle": Row(
        "joint-angle",
        {"joint-angle-side": "3 deg", "joint-angle-top": "1 deg"},
        (Run("joint-angle-side", RISES, 0, 12), Run("joint-angle-top", RISES, 0, 12)),
    ),
    "angles-apart": Row("joint-angles-apart", {"joint-angle": {"a-front": "2 deg", "a-rear": "3 deg"}}),
    "shaft-speed": Row(
        "driveshaft-speed-at-55",
        {"driveshaft-turns": "4.1 turn", "tire-outside-diameter": {"left-rear": "30 in"}},
        (Run("driveshaft-turns", RISES, 2, 9), Run("tire-outside-diameter", FALLS, 20, 45)),
    ),
    "joint-spare": Row(
        "joint-angle-spare-at-55",
        {"joint-angle": "3 deg", "driveshaft-speed-at-55": "3000 per minute"},
        (Run("joint-angle", FALLS, 0, 15), Run("driveshaft-speed-at-55", FALLS, 500, 5000)),
    ),
    "heat-on-road": Row(
        "heat-idle-over-road",
        {"temperature-idle": "210 degF", "temperature-cruise": "190 degF"},
        (Run("temperature-idle", RISES, 100, 260), Run("temperature-cruise", FALLS, 100, 260)),
    ),
}
RUNS = [(function, run) for function, row in ROWS.items() for run in row.runs]
BACK = [(function, inverse.position) for function, all_ in INVERSES.items() for inverse in all_]


def test_every_function_that_gives_a_number_has_a_row() -> None:
    numbers = {d.function for d in book().derived.values() if not d.states}
    assert numbers == set(ROWS)


@pytest.mark.parametrize("function", sorted(ROWS))
def test_the_plain_readings_give_one_number(function: str) -> None:
    row = ROWS[function]
    assert book().derived[row.derived].function == function
    outcome = work(row.derived, row.told)  # type: ignore[arg-type]
    assert len(outcome.values) == 1, outcome.unclear
    assert outcome.values[0].number is not None


def _unit(name: str) -> Unit:
    thing = book().points.get(name) or book().derived[name]
    assert thing.unit is not None
    return thing.unit


def _cells(row: Row) -> tuple[Cell, ...]:
    return cells_for(row.derived, row.told)  # type: ignore[arg-type]


def _with(row: Row, name: str, number: Fraction) -> Outcome:
    """The value with every reading of one input put to a number of its unit."""
    unit = _unit(name)
    held = Value("changed", number=Enclosure.of(number * unit.factor + unit.offset))
    cells = tuple(replace(c, values=(held,)) if c.id == name else c for c in _cells(row))
    return FUNCTIONS[book().derived[row.derived].function](cells, DAY)


@pytest.mark.parametrize(("function", "run"), RUNS, ids=[f"{f} {r.name}" for f, r in RUNS])
@given(st.data())
@settings(max_examples=12, deadline=None)
def test_it_runs_one_way_in_each_input(function: str, run: Run, data: st.DataObject) -> None:
    whole = _unit(run.name).name == "count"
    places = 1 if whole else 1000
    one, two = (Fraction(data.draw(st.integers(run.low * places, run.high * places)), places) for _ in "ab")
    less, more = (_with(ROWS[function], run.name, n) for n in sorted((one, two)))
    if not less.values or not more.values:
        return  # asked back: more than gravity, a pedal above its free height
    before, after = less.values[0].number, more.values[0].number
    if run.way == FALLS:
        before, after = after, before
    assert before is not None
    assert after is not None
    for here, there in ((before.low, after.low), (before.high, after.high)):
        if here is not None and there is not None:
            assert here <= there


AGES = ("age-of-date", "tire-age", "number-age")


@pytest.mark.parametrize("function", AGES)
@given(st.integers(0, 20000), st.integers(0, 20000))
@settings(max_examples=25, deadline=None)
def test_a_later_day_never_makes_anything_younger(function: str, days: int, more: int) -> None:
    cells = _cells(ROWS[function])
    first, second = (FUNCTIONS[function](cells, DAY + timedelta(days=n)) for n in (days, days + more))
    before, after = first.values[0].number, second.values[0].number
    assert before is not None
    assert after is not None
    assert before.low <= after.low
    assert before.high <= after.high


def _meets(outcome: Outcome, goal: Goal) -> bool:
    assert outcome.values, outcome.unclear
    found = [v.number for v in outcome.values if v.number is not None]
    if goal.at_least:
        return all(n.low is not None and n.low >= goal.limit for n in found)
    return all(n.high is not None and n.high <= goal.limit for n in found)


@pytest.mark.parametrize(("function", "position"), BACK, ids=[f"{f} {p}" for f, p in BACK])
@given(st.data())
@settings(max_examples=25, deadline=None)
def test_an_inverse_is_kept_and_a_step_short_of_it_is_not(
    function: str, position: int, data: st.DataObject
) -> None:
    """The limit is what the value comes to at some reading; then the inverse gives a reading that does it."""
    if position == THE_DAY:
        return  # days have a test of their own, test_dates.py
    row = ROWS[function]
    name = book().derived[row.derived].inputs[position]
    run = next(r for r in row.runs if r.name == name)
    whole = _unit(name).name == "count"
    places = 1 if whole else 1000
    aim = Fraction(data.draw(st.integers(run.low * places, run.high * places)), places)
    at_it = _with(row, name, aim)
    if not at_it.values or at_it.values[0].number is None:
        return
    at_least = data.draw(st.booleans())
    limit = at_it.values[0].number.low if at_least else at_it.values[0].number.high
    if limit is None:
        return
    goal = Goal(limit, at_least)
    inverse = next(i for i in INVERSES[function] if i.position == position)
    need = inverse.solve(goal, _cells(row), DAY)
    if need is None:
        return
    unit = _unit(name)
    ends = [(e, way) for e, way in ((need.low, -1), (need.high, 1)) if e is not None]
    for end, way in ends:
        here = (end - unit.offset) / unit.factor
        assert _meets(_with(row, name, here), goal)
        beyond = _with(row, name, here + way * (Fraction(1) if whole else Fraction(1, 100)))
        if beyond.values and run.low <= here < run.high:
            assert not _meets(beyond, goal), (goal, end)


def test_every_inverse_answers_at_some_limit() -> None:
    """None would be kept by the test above too."""
    for function, position in BACK:
        if position == THE_DAY:
            continue
        row = ROWS[function]
        number = work(row.derived, row.told).values[0].number  # type: ignore[arg-type]
        assert number is not None
        cells = tuple(c for c in _cells(row) if c.id != "test-slope")
        if function in ("stop-deceleration", "stop-efficiency"):
            cells = cells_for(row.derived, LEVEL)
        goals = [Goal(e, way) for e in (number.low, number.high) if e is not None for way in (True, False)]
        inverse = next(i for i in INVERSES[function] if i.position == position)
        assert any(inverse.solve(goal, cells, DAY) is not None for goal in goals), function
