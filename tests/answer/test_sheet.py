"""The sheet: nothing open is left off, it is in working order, and its jot words are taken by jot."""

from __future__ import annotations

from datetime import date
from functools import lru_cache
from pathlib import Path

import pytest

from precheck.answer.gate import Request, gate
from precheck.answer.jotwords import jot_words
from precheck.answer.sheet import ROUND, Wanted, sheet, zone
from precheck.answer.sheet_record import Sheet, SheetLine
from precheck.answer.supposing import suppose
from precheck.answer.tools import known_tools, missing_tools
from precheck.cli.common import documents
from precheck.model.catalogue import VEHICLE, Day, Kind, Point
from precheck.model.document import Document
from precheck.rulebook.book import Rulebook
from precheck.rulebook.load import load_quickly
from precheck.rulebook.places import all_places
from precheck.settle.jot import Vehicle, Where, read_jot
from tests.support.goodvalues import GOOD

ROOT = Path(__file__).resolve().parents[2]
DAY = Day(date(2026, 11, 14), True)
VEHICLES = ("juniper", "juniper-first-look", "juniper-ready", "heron", "linnet", "dunlin")
Keys = set[tuple[str, str]]


@lru_cache(maxsize=1)
def book() -> Rulebook:
    return load_quickly()


@lru_cache(maxsize=8)
def vehicle(name: str) -> Document:
    return documents([str(ROOT / "fixtures" / f"{name}.yaml")], book(), DAY)[0]


def keys(found: Sheet) -> list[tuple[str, str]]:
    return [(x.point, x.place) for p in found.positions for stop in p.stops for x in stop.lines]


def lines_of(name: str) -> list[SheetLine]:
    found = sheet(vehicle(name), book(), Wanted(DAY, ("proving",)))
    return [x for p in found.positions for stop in p.stops for x in stop.lines]


def left_off(found: Sheet) -> list[tuple[str, str]]:
    return [reading for other in found.elsewhere for reading in other.readings]


def open_for(name: str, uses: tuple[str, ...]) -> Keys:
    answer = gate(vehicle(name), book(), Request(DAY, uses))
    return {(gap.point, place) for gap in answer.gaps for place, _ in gap.places}


@pytest.mark.parametrize("name", VEHICLES)
@pytest.mark.parametrize("uses", [(), ("yard",), ("proving",), ("occasional", "towing")], ids=str)
def test_the_sheet_holds_what_is_open_and_nothing_else(name: str, uses: tuple[str, ...]) -> None:
    found = sheet(vehicle(name), book(), Wanted(DAY, uses))
    assert sorted(keys(found)) == sorted(open_for(name, uses))
    assert found.elsewhere == ()


@pytest.mark.parametrize("name", ["juniper", "juniper-first-look"])
@pytest.mark.parametrize(
    ("at", "tools"),
    [
        (("under",), None),
        ((), ()),
        ((), ("lamp", "ruler")),
        (("ground", "seat"), ("gauge",)),
        (("bench",), None),
    ],
    ids=str,
)
def test_what_a_filter_leaves_off_is_counted(
    name: str, at: tuple[str, ...], tools: tuple[str, ...] | None
) -> None:
    found = sheet(vehicle(name), book(), Wanted(DAY, ("proving",), None, at, tools))
    shown, other = keys(found), left_off(found)
    assert sorted(shown + other) == sorted(open_for(name, ("proving",)))
    assert other
    points = book().points
    assert all(not at or points[point].access in at for point, _ in shown)
    assert all(tools is None or not missing_tools(points[p].instrument, tools) for p, _ in shown)


@pytest.mark.parametrize("name", VEHICLES)
def test_the_order_is_that_of_the_positions_and_one_walk_round(name: str) -> None:
    found = sheet(vehicle(name), book(), Wanted(DAY, ("proving",)))
    access = list(book().access)
    order = [access.index(p.access) for p in found.positions]
    assert order == sorted(set(order))
    for position in found.positions:
        round_ = [ROUND.index(stop.words) for stop in position.stops]
        assert round_ == sorted(set(round_))
        told: set[str] = set()
        for line in (x for stop in position.stops for x in stop.lines):
            assert book().points[line.point].access == position.access
            assert line.again == (line.point in told)
            told.add(line.point)
            assert set(book().points[line.point].cautions) <= set(position.cautions)


def test_left_and_right_are_told_apart() -> None:
    assert zone("left-rear-inner") == "left rear"
    assert zone("right-front") == "right front"
    assert zone("kingpin-left", "front") == "left front"
    assert zone("main-tank") == "elsewhere"


def test_few_are_marked_and_all_of_them_are_missing_for_the_lowest_rung() -> None:
    found = sheet(vehicle("juniper"), book(), Wanted(DAY, ("everyday",)))
    marked = {x.point for p in found.positions for stop in p.stops for x in stop.lines if x.holds_up}
    assert found.holds == "proving"  # the yard is GO on that day
    assert 1 <= len(marked) <= 5
    assert marked <= {point for point, _ in open_for("juniper", ("proving",))}


def test_an_old_value_is_shown_with_why_it_does_not_count() -> None:
    line = next(x for x in lines_of("juniper") if (x.point, x.place) == ("wheel-cylinder-leak", "left-rear"))
    assert line.was == ("drop forms",)
    assert "replaced" in line.why


def test_the_strictest_limit_is_first_and_names_what_it_needs() -> None:
    lines = [x for name in ("juniper", "juniper-first-look") for x in lines_of(name)]
    sink = next(x for x in lines if x.point == "brake-pedal-sink")
    # rules/floor/brakes.yaml: 1/8 in for the road, 1 in before it.
    assert [limit.written for limit in sink.limits] == ["at most 1/8 in", "at most 1 in"]
    assert [limit.strictest for limit in sink.limits] == [True, False]
    pressure = next(x for x in lines if x.point == "tire-pressure-cold" and x.place == "left-front")
    needs = {need for limit in pressure.limits for need in limit.needs}
    assert "tire-pressure-recommended at front axle" in needs


def test_a_tool_stands_for_those_whose_name_holds_its_words() -> None:
    assert missing_tools("lamp, mirror", ("lamp",)) == ("mirror",)
    assert missing_tools("air gauge", ("gauge",)) == ()
    assert missing_tools("gauge", ("air gauge",)) == ("gauge",)
    assert missing_tools("tape round the tread, or caliper", ("caliper",)) == ()
    assert missing_tools("slope gauge or level and ruler", ()) == ()
    assert missing_tools("", ()) == ()
    assert "eyes" not in known_tools(book())


# -- the jot words ----------------------------------------------------------------------------------


def good(point: Point) -> str:
    """A value that meets, in the sense of tests/support/goodvalues.py; else any that can be read."""
    if point.id in GOOD:
        return GOOD[point.id]
    if point.kind is Kind.STATES:
        return point.clear or point.states[0]
    if point.kind is Kind.NUMBER:
        assert point.unit is not None
        return "1" if point.unit.name == "count" else f"1 {point.unit.name}"
    return {Kind.DATE: "2020-05", Kind.DATE_CODE: "1420", Kind.TEXT: "as molded"}[point.kind]


def test_the_jot_words_of_every_point_mean_that_point_at_that_place() -> None:
    cars = [Vehicle({"rear-wheels": word, "spare-wheel": "fitted"}, {}) for word in ("single", "dual")]
    where = Where(DAY.date, 0, "RO")
    lines = [
        (point.id, place, f"{jot_words(book(), point, place)} {good(point)}")
        for point in book().points.values()
        for place in (
            [VEHICLE]
            if point.family not in book().families
            else [q.id for q in all_places(book().families[point.family])][:1]
        )
    ]
    found = read_jot([line for _, _, line in lines], book(), cars[0], DAY, where)
    wrong = {p.mark.line for p in found.problems}
    assert not [lines[n - 1] for n in wrong]
    assert [(c.point, c.place or VEHICLE) for c in found.claims] == [(p, q) for p, q, _ in lines]


@pytest.mark.parametrize(
    ("name", "use"),
    [("juniper-first-look", "yard"), ("juniper", "proving"), ("linnet", "proving"), ("dunlin", "proving")],
)
def test_jotting_good_values_for_all_lines_leaves_nothing_open(name: str, use: str) -> None:
    document = vehicle(name)
    points = book().points
    for _ in range(4):
        found = sheet(document, book(), Wanted(DAY, (use,)))
        lines = [x for p in found.positions for stop in p.stops for x in stop.lines]
        if not lines and not found.questions:
            break
        jots = [f"{q.fact}: {good(points[q.fact])}" for q in found.questions]
        jots += [f"{x.jot} {good(points[x.point])}" for x in lines]
        after, jotted = suppose(document, jots, book(), DAY)
        assert not jotted.problems
        assert after is not None
        document = after
    assert keys(found) == []
    assert found.questions == ()
