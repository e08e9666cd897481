"""Every cross-check of the design has a home: a rule, a derived value, a question, or work that voids.

The table is the design's own list of checks between measurements. A rule must have a case that meets and
one that fails, a derived value a test in this folder, a question a case that asks.
"""

from __future__ import annotations

from functools import lru_cache
from pathlib import Path

import pytest

from precheck.derive import crosscheck, crossdates, crosspairs, crosssigns
from precheck.derive.latest import latest
from precheck.rulebook.book import Rulebook
from precheck.rulebook.load import load
from tests.derive.making import book
from tests.derive.test_crosssigns import CASES, DAYS
from tests.derive.visits import visits

# rule, derived: its id. asks: the function that asks. ends: POINT WORK, work that voids a reading.
# again: WORK POINT, work after which a point is looked at again. none: why there is none.
TABLE = """
age-today       derived tire-age; derived brake-fluid-age; derived vehicle-age; rule tire-trade-ten
code-decade     derived tire-age
code-impossible derived tire-age; asks codes_of_a_set
code-mixed      derived tire-age-spread; asks codes_of_a_set
code-not-read   rule tire-trade-ten
pressure-axle   rule floor-tire-pressure-pair
pressure-set    rule floor-tire-pressure; rule floor-tire-pressure-most; rule floor-tire-pressure-sense
pressure-low-run rule floor-tire-pressure-low; rule floor-tire-run-low
pressure-warm   asks warm_pressure; derived tire-pressure-now
pressure-trend  asks falling_pressure; derived tire-pressure-days-left
load-tire       rule floor-tire-load-front; rule floor-tire-load-rear; rule floor-tire-load-dual
load-axle       rule floor-axle-load; derived gross-weight-margin
towing-chain    rule floor-trailer-hitch; rule floor-trailer-coupler; rule floor-trailer-brakes
tire-mix        rule floor-tire-mix; rule floor-tire-axle-match; derived driven-tires-apart
tire-rim        rule floor-tire-rim; asks spare_and_rim; derived tire-rim-apart; derived tire-size-rim
speed-cap       rule floor-tire-speed; derived tire-speed-allowed
tread-lowest    rule floor-tire-tread
wear-toe        asks wear_toe
brake-pair      asks brake_pair; rule floor-hub-heat
brake-balance   rule eu-1-2-1b-front; derived brake-lower-share
brake-sum       rule eu-1-4-2-combination; derived brake-force-share; derived parking-brake-force-share
brake-stop      rule floor-brake-stop; derived brake-stop-level; derived brake-stop-from-20
brake-clearance none shoe and lining together are no reading: nothing to take twice from the drum
lining-attachment rule us-570-59c-fastener-front; rule us-570-59c-bonded-front
brake-drag-heat rule floor-hub-heat; rule floor-brake-drag; derived hub-heat-apart
fluid-lost      asks fluid_lost
fluid-mix       asks fluid_kind
test-order      asks test_on_uneven_tires; ends brake-straight-stop tire-filled
play-sum        rule us-570-7a-lash; derived steering-lash-left-570; derived steering-lash-left-393
play-source     derived steering-play-source
bearing-or-pin  asks bearing_or_pin
shock-length    asks shock_room; derived shock-drop-spare; derived shock-bump-spare; derived shock-places
shock-pairs     asks shock_pairs
spring-pair     rule floor-sag; asks spring_pair
square-track    rule floor-axle-square; asks square_track
noise-support   asks noise_support
gas-path        rule floor-gas-path-leak; rule floor-gas-path-outlet
fire-path       rule floor-fire-path-exhaust; rule floor-fire-path-wiring; rule floor-fire-path-extinguisher
charge-balance  rule floor-charge-night-12; rule floor-charge-night-24; asks battery_cells
heat-pair       asks heat_pair; derived heat-idle-over-road
oil-pair        asks oil_pair; rule floor-oil-hot
rust-where      rule floor-frame-hole
hidden-share    rule floor-frame-seen
same-as         none its share is not told, and settling takes it for permanent marks of one visit only
stale           ends tire-pressure-cold stood-90-days
since-repair    again brake-shoes-replaced brake-free-turn
left-right      asks swapped_sides
outlier         asks outliers
too-good        asks too_even
fit-date        rule gb-light-dipped
"""
ROWS = {line.split(maxsplit=1)[0]: line.split(maxsplit=1)[1] for line in TABLE.strip().splitlines()}
HOMES = [(row, *home.strip().split(maxsplit=1)) for row, all_ in ROWS.items() for home in all_.split(";")]
NAMES = """
age-today code-decade code-impossible code-mixed code-not-read pressure-axle pressure-set pressure-low-run
pressure-warm pressure-trend load-tire load-axle towing-chain tire-mix tire-rim speed-cap tread-lowest
wear-toe brake-pair brake-balance brake-sum brake-stop brake-clearance lining-attachment brake-drag-heat
fluid-lost fluid-mix test-order play-sum play-source bearing-or-pin shock-length shock-pairs spring-pair
square-track noise-support gas-path fire-path charge-balance heat-pair oil-pair rust-where hidden-share
same-as stale since-repair left-right outlier too-good fit-date
"""


def _homes(kind: str) -> list[str]:
    return sorted({what for _, k, what in HOMES if k == kind})


@lru_cache(maxsize=1)
def _whole() -> Rulebook:
    """The rulebook with the cases of its rules, which the kept copy leaves out."""
    return load()


def test_every_check_of_the_design_has_a_row() -> None:
    assert list(ROWS) == NAMES.split()
    assert {k for _, k, _ in HOMES} <= {"rule", "derived", "asks", "ends", "again", "none"}


@pytest.mark.parametrize("name", _homes("rule"))
def test_a_rule_has_a_case_that_meets_and_one_that_fails(name: str) -> None:
    expected = {case.expect.value for case in _whole().rules[name].cases}
    assert {"meets", "fails", "not measured", "cannot tell"} <= expected


@pytest.mark.parametrize("name", _homes("derived"))
def test_a_derived_value_is_tested(name: str) -> None:
    assert name in book().derived
    folder = Path(__file__).parent
    others = [p.read_text("utf-8") for p in folder.glob("test_*.py") if p.name != Path(__file__).name]
    function = book().derived[name].function.replace("-", "_")
    assert any(f'"{name}"' in text or f"{function}(" in text for text in others)


@pytest.mark.parametrize("name", _homes("ends"))
def test_work_voids_the_reading(name: str) -> None:
    point, work = name.split()
    assert work in book().ends[point]


@pytest.mark.parametrize("name", _homes("again"))
def test_work_asks_for_another_look(name: str) -> None:
    work, point = name.split()
    assert point in book().works[work].again


def test_every_question_of_signs_has_a_case_that_asks() -> None:
    checks = (*crosspairs.CHECKS, *crosssigns.CHECKS, *crossdates.CHECKS)
    told = [visits((DAYS, odd)) for _, odd, _ in CASES]
    for check in checks:
        assert any(list(check(latest(d, d.visits, book()), book())) for d in told), check.__name__


def test_every_question_named_is_one_that_is_asked() -> None:
    asked = {check.__name__ for check in (*crosspairs.CHECKS, *crosssigns.CHECKS, *crossdates.CHECKS)}
    known = set(_homes("asks"))
    assert known - asked <= set(vars(crosscheck))
    # Odometer, dates and coolant colder than the air stand in the table of likely values, not in this one.
    assert asked - known <= {"cold_engine", "dates_before_built", "dates_to_come"}
