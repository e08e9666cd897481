"""Silence never passes: each must-look entry, and each place of one, is needed for GO."""

from __future__ import annotations

from collections.abc import Collection
from datetime import date

import pytest

from precheck.answer.evidence import leaves
from precheck.answer.gate import Request, gate
from precheck.answer.judging import Judged, judge_for
from precheck.answer.uses import with_their_own, worst
from precheck.engine.plan import tests_of as every_test_of
from precheck.model.catalogue import Day
from precheck.model.document import Document
from precheck.model.rules import State, Verdict
from precheck.read.strict_yaml import read_yaml
from precheck.rulebook.book import Rulebook
from precheck.rulebook.load import load_quickly
from precheck.settle.check import check
from tests.support.goodvalues import VEHICLES, Readings, document, good_readings

DAY = Day(date(2026, 11, 14), True)
USES = ("yard", "proving")
BOOK = load_quickly()
FIRST = next(iter(VEHICLES))


def read(text: str, book: Rulebook = BOOK) -> Document:
    source, problems = read_yaml(text.encode(), "made-up.yaml")
    assert source is not None, problems
    found, problems = check(source, book, DAY)
    assert found is not None, problems
    return found


def full(use: str, vehicle: str = FIRST) -> Readings:
    return good_readings(BOOK, use, vehicle)


def judged_by(readings: Readings, use: str, only: Collection[str] | None = None) -> Judged:
    return judge_for(read(document(BOOK, readings, "2026-11-14")), BOOK, DAY, BOOK.uses[use], None, only=only)


def verdict(readings: Readings, use: str) -> Verdict:
    judged = judged_by(readings, use)
    return worst([judged.results.verdicts[u.id] for u in with_their_own([use], BOOK)])


@pytest.mark.parametrize(("use", "vehicle"), [(use, vehicle) for use in USES for vehicle in VEHICLES])
def test_the_must_look_list_alone_gives_go(use: str, vehicle: str) -> None:
    answer = gate(read(document(BOOK, full(use, vehicle), "2026-11-14")), BOOK, Request(DAY, (use,)))
    assert answer.verdict is Verdict.GO, [f.rule for f in answer.blocking] + [g.point for g in answer.gaps]
    assert answer.exit_code == 0


def test_the_lists_are_as_short_as_promised() -> None:
    """Principle 11: about 30 entries for the yard, under 130 for proving, 16 at most on the day."""
    assert len(BOOK.uses["yard"].must_look) <= 32
    assert len(BOOK.uses["proving"].must_look) < 130
    for use in USES:
        assert len(BOOK.uses[use].same_day) <= 16


def without(use: str, vehicle: str, name: str) -> Verdict:
    readings = {k: v for k, v in full(use, vehicle).items() if k[0] != name}
    return verdict(readings, use)


@pytest.mark.parametrize(("use", "name"), [(use, name) for use in USES for name in BOOK.uses[use].must_look])
def test_without_one_entry_it_is_undecided(use: str, name: str) -> None:
    """On the first vehicle; an entry that does not apply to it, on one of the others."""
    point = BOOK.points[name]
    assert not (point.fact and point.default is not None), "a fact with a default is no must-look entry"
    first = without(use, FIRST, name)
    found = [first] if first is Verdict.UNDECIDED else [without(use, vehicle, name) for vehicle in VEHICLES]
    if found[0] is not Verdict.UNDECIDED:
        assert found[0] is Verdict.GO
        assert Verdict.UNDECIDED in found, "no vehicle needs this entry"


@pytest.mark.parametrize("use", USES)
def test_without_one_place_it_is_undecided(use: str) -> None:
    """Each place that a rule asks for at this use; every wheel of an entry is one of them.

    Taking a reading away touches only the rules that read it, so those are judged alone.
    """
    readings = full(use)
    judged = judged_by(readings, use)
    asked: dict[tuple[str, str], set[str]] = {}
    for unit in judged.units:
        if use not in unit.effects.asks or judged.results.states[unit.key] is not State.MEETS:
            continue
        for test in every_test_of(unit.rule):
            for leaf in leaves(judged.cells.key(test, unit.place), judged.cells):
                asked.setdefault((leaf.id, leaf.place), set()).add(unit.rule.id)
    needed = {key: rules for key, rules in asked.items() if key in readings and key[0] not in ANY_OF}
    wheels = {"left-front", "right-front", "left-rear", "right-rear"}
    for name, place in readings:
        if place in wheels and any(n == name for n, _ in needed):
            assert (name, place) in needed
    assert len(needed) > len(BOOK.uses[use].must_look) / 2
    for key, rules in needed.items():
        left = {k: v for k, v in readings.items() if k != key}
        found = judged_by(left, use, rules).results.verdicts[use]
        assert found is Verdict.UNDECIDED, key


# Read only in the other branch of an any-of, which the first branch makes needless.
ANY_OF = frozenset({"wheel-ring-seat"})


def test_an_empty_document_is_never_go() -> None:
    answer = gate(read("condition: 1\n"), BOOK, Request(DAY))
    assert answer.highest == ""
    assert all(line.verdict is Verdict.UNDECIDED for line in answer.ladder)
    assert answer.exit_code == 3


def test_an_unknown_region_is_never_go() -> None:
    for region in ("unknown", None):
        readings = full("yard")
        del readings["region", "vehicle"]
        if region:
            readings["region", "vehicle"] = region
        assert verdict(readings, "yard") is Verdict.UNDECIDED


def test_with_no_law_besides_the_floor_no_road_use_is_go() -> None:
    text = document(BOOK, full("proving"), "2026-11-14")
    answer = gate(read(text), BOOK, Request(DAY, ("proving",), ()))
    assert answer.verdict is Verdict.UNDECIDED
    assert any("besides the floor" in notice for notice in answer.notices)
