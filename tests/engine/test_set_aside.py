"""Set aside and accepted: each evaluator does it on its own, and one that does not is found out."""

from __future__ import annotations

from datetime import date

import pytest

from precheck.answer.judging import Judged, judge_for
from precheck.engine import evaluate as both
from precheck.engine import judge as plain
from precheck.engine import run
from precheck.engine.evaluate import evaluate
from precheck.engine.faults import Disagreement
from precheck.engine.logic import ASIDE, BAD, CLASSES
from precheck.model.catalogue import Day
from precheck.model.changes import Aside
from precheck.model.rules import State
from precheck.read.strict_yaml import read_yaml
from precheck.rulebook.load import load_quickly
from precheck.settle.check import check

BOOK = load_quickly()
DAY = Day(date(2026, 11, 14), True)
BODY = b"""\
condition: 1
vehicle: {region: us, vehicle-class: light truck, rear-wheels: single, gross-weight-rating: 6000 lb}
visits:
  - on: 2026-11-14
    readings: {tire-tread-depth: {left-front: 1/32 in, right-front: 8/32 in}}
"""
TREAD = "us-570-9a-tread"  # 49 CFR 570.9(a): at least 2/32 in; blocks occasional


@pytest.fixture(scope="module")
def judged() -> Judged:
    source, _ = read_yaml(BODY, "made-up.yaml")
    assert source is not None
    document, problems = check(source, BOOK, DAY)
    assert document is not None, problems
    return judge_for(document, BOOK, DAY, BOOK.uses["proving"], None)


def rules(judged: Judged) -> list[object]:
    return [r for r in judged.selection.rules if r.system == "tires"]


RULE = Aside(rules=frozenset({TREAD}))
PLACE = Aside(accepted=frozenset({(TREAD, "left-front", "occasional")}))


def test_a_rule_set_aside_is_so_at_every_place_and_for_every_use(judged: Judged) -> None:
    units, results = evaluate(rules(judged), judged.cells, BOOK, RULE)  # type: ignore[arg-type]
    mine = [u.key for u in units if u.rule.id == TREAD]
    assert len(mine) == 4
    for key in mine:
        assert results.states[key] is State.SET_ASIDE
        assert {classes[key] for classes in results.classes.values()} == {ASIDE}
    for classes in results.classes.values():
        assert len(classes) == len(units)
        assert set(classes.values()) <= set(CLASSES)


def test_an_accepted_finding_fails_and_blocks_other_uses_still(judged: Judged) -> None:
    _, results = evaluate(rules(judged), judged.cells, BOOK, PLACE)  # type: ignore[arg-type]
    key = (TREAD, "left-front", 0)
    assert results.states[key] is State.FAILS
    assert results.classes["occasional"][key] == ASIDE
    assert results.classes["everyday"][key] == BAD
    assert results.classes["occasional"][(TREAD, "right-rear", 0)] == "open"  # nobody measured it


@pytest.mark.parametrize("aside", [RULE, PLACE], ids=["rule", "place"])
@pytest.mark.parametrize("deaf", ["judge", "network"])
def test_one_evaluator_that_does_not_do_it_is_found_out(
    judged: Judged, monkeypatch: pytest.MonkeyPatch, aside: Aside, deaf: str
) -> None:
    judge, network = plain.judge, run.run
    if deaf == "judge":
        monkeypatch.setattr(both.plain, "judge", lambda units, cells, book, _: judge(units, cells, book))
    else:
        monkeypatch.setattr(both.run, "run", lambda units, cells, book, _: network(units, cells, book))
    with pytest.raises(Disagreement):
        evaluate(rules(judged), judged.cells, BOOK, aside)  # type: ignore[arg-type]
