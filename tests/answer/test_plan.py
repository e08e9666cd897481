"""The plan view: every finding and every gap of a wheel or axle, as it was written, and nothing else."""

from __future__ import annotations

from datetime import date
from functools import cache
from pathlib import Path

import pytest

from precheck.answer.gate import Gate, Request
from precheck.answer.plan import plan
from precheck.answer.plan_record import Plan, PlanLine
from precheck.answer.record import Answer
from precheck.model.catalogue import Day
from precheck.rulebook.load import load_quickly
from tests.support.written import HEAD, library, read, visit

FIXTURES = Path(__file__).resolve().parents[2] / "fixtures"
DAY = date(2026, 11, 14)
DUAL = HEAD.replace("rear-wheels: single", "rear-wheels: dual, spare-wheel: fitted")
ONE = [
    ("front", "middle", "front"),
    ("left-front", "left", "front"),
    ("right-front", "right", "front"),
    ("rear", "middle", "rear"),
    ("left-rear", "left", "rear"),
    ("right-rear", "right", "rear"),
]


def of_tires(
    readings: str, head: str = HEAD, use: str = "proving", system: str = "tires"
) -> tuple[Answer, Plan]:
    """Judged by the rules of one system alone."""
    document = read(visit(str(DAY), readings), DAY, head)
    gate = Gate(document, library((system,)), Request(Day(DAY, True), (use,)))
    answer = gate.answer()
    return answer, plan(gate, answer)


@cache
def of_fixture(name: str, *uses: str) -> tuple[Answer, Plan]:
    text = (FIXTURES / f"{name}.yaml").read_text(encoding="utf-8")
    document = read(text, DAY, head="", name=f"{name}.yaml")
    gate = Gate(document, load_quickly(), Request(Day(DAY, True), uses))
    answer = gate.answer()
    return answer, plan(gate, answer)


def at(view: Plan, place: str, thing: str, where: str = "") -> PlanLine:
    lines = [line for p in view.places if p.place == place for line in p.lines]
    (found,) = [line for line in lines if (line.thing, line.where) == (thing, where)]
    return found


def test_places_stand_from_the_front_to_the_rear_and_left_before_right() -> None:
    head = HEAD.replace("rear-wheels: single", "rear-wheels: single, spare-wheel: not fitted")
    _, view = of_tires("tire-tread-depth: {lf: 7/32 in}", head)
    assert [(p.place, p.side, p.end) for p in view.places] == ONE
    assert not view.dual_rears
    assert not view.spare


def test_dual_rears_and_a_spare_have_places_of_their_own() -> None:
    _, view = of_tires("tire-pressure-cold: {lri: 20 psi, sp: 40 psi}", DUAL)
    assert view.dual_rears
    assert view.spare
    assert {"left-rear-outer", "left-rear-inner", "right-rear-outer", "right-rear-inner", "left-rear"} <= {
        p.place for p in view.places
    }
    assert view.places[-1].place == "spare"
    assert at(view, "left-rear-inner", "tire-pressure-cold").written == ("20 psi",)
    assert at(view, "spare", "tire-pressure-cold").written == ("40 psi",)


def test_values_stand_as_they_were_written() -> None:
    _, view = of_tires("tire-tread-depth: {lf: [7/32 in, 5.5 mm, 0.3 in]}, tire-cracking: {lf: none}")
    tread = at(view, "left-front", "tire-tread-depth")
    assert (tread.written, tread.number, tread.mark) == (("7/32 in", "5.5 mm", "0.3 in"), True, "")
    assert not at(view, "left-front", "tire-cracking").number


# 49 CFR 570.9(a): 2/32 inch in two adjacent grooves.
def test_what_fails_says_so_and_which_rule_and_for_what() -> None:
    _, view = of_tires("tire-tread-depth: {lf: 1/32 in, rf: 7/32 in}", use="occasional")
    bad = at(view, "left-front", "tire-tread-depth")
    assert (bad.mark, bad.holds) == ("fails", True)
    assert "Tread depth" in bad.why
    assert at(view, "right-front", "tire-tread-depth").mark == ""


def test_what_fails_between_two_places_stands_at_their_axle() -> None:
    _, view = of_fixture("juniper", "proving")
    pair = at(view, "rear", "Pressure left against right")
    assert (pair.mark, pair.holds) == ("fails", True)
    assert "27 psi" in pair.written[0]
    assert "37 psi" in pair.written[0]


def test_juniper_as_its_file_has_it() -> None:
    _, view = of_fixture("juniper", "proving")
    assert at(view, "right-front", "brake-hose-condition").mark == "fails"
    assert at(view, "left-rear", "wheel-fasteners-missing").written == ("1",)
    assert at(view, "left-rear", "tire-tread-depth").mark == "fails, allowed within limits"
    leak = at(view, "left-rear", "wheel-cylinder-leak")
    assert (leak.mark, leak.written) == ("not measured", ())
    assert leak.why.startswith("void since")


def test_an_unreadable_value_is_not_a_pass() -> None:
    _, view = of_tires("tire-tread-depth: {lf: unknown}", use="occasional")
    assert at(view, "left-front", "tire-tread-depth").mark == "cannot tell"


def test_a_value_that_may_fail_is_not_a_pass_either() -> None:
    """0.5 mm is less than 1/32 inch; whether the rule applies hangs on the kind of brake, not said here."""
    readings = "brake-lining-thickness: {lr: 0.5 mm}"
    _, view = of_tires(readings, system="brakes")
    line = at(view, "left-rear", "brake-lining-thickness")
    assert (line.written, line.mark, line.holds) == (("0.5 mm",), "cannot tell", False)
    assert "fails if" in line.why
    _, told = of_tires(f"{readings}, rear-brake-type: drum", system="brakes")
    assert at(told, "left-rear", "brake-lining-thickness").mark == "fails"


@pytest.mark.parametrize("uses", [(), ("proving",), ("everyday", "night")], ids=str)
@pytest.mark.parametrize("name", ["juniper", "juniper-ready", "heron", "linnet", "dunlin"])
def test_every_finding_and_gap_at_a_wheel_or_axle_is_there(name: str, uses: tuple[str, ...]) -> None:
    answer, view = of_fixture(name, *uses)
    places = {p.place: p.lines for p in view.places}
    assert view.about == answer.shown_for
    for found in (*answer.blocking, *answer.limited):
        if found.place in places:
            assert any(found.title in line.why and line.holds for line in places[found.place]), found.title
    for gap in answer.gaps:
        for place, why in gap.places:
            if place in places:
                line = at(view, place, gap.point)
                assert (line.mark in ("not measured", "cannot tell"), line.why) == (True, why) or line.holds
    held = [line for lines in places.values() for line in lines if line.holds]
    titles = {found.title for found in (*answer.blocking, *answer.limited)}
    assert all(titles & set(line.why.split("; ")) for line in held)
