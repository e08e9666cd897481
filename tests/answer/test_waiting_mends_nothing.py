"""What failed stays in the way until it is looked at again: no day passes it, no bad drive, no word for all.

A reading that failed and has run out is missing like any other, and holds back every use that it blocked,
also where the rule asks for a reading only above that use.
"""

from __future__ import annotations

from datetime import date, timedelta
from functools import cache
from pathlib import Path

import pytest

from precheck.answer.gate import Gate, Request
from precheck.engine.logic import BAD, OPEN
from precheck.model.catalogue import Day
from precheck.model.document import Document
from precheck.model.rules import State, Verdict
from precheck.read.strict_yaml import read_yaml
from precheck.rulebook.book import Rulebook
from precheck.rulebook.load import load_quickly
from precheck.settle.check import check

FIXTURES = Path(__file__).resolve().parents[2] / "fixtures"
DAY = date(2026, 11, 14)


@cache
def book() -> Rulebook:
    return load_quickly()


def paper(text: str, day: date = DAY) -> Document:
    source, problems = read_yaml(text.encode(), "paper.yaml")
    assert source is not None, problems
    document, problems = check(source, book(), Day(day, True))
    assert document is not None, problems
    return document


def gate(text: str, day: date) -> Gate:
    return Gate(paper(text, day), book(), Request(Day(day, True)))


@pytest.mark.parametrize("days", [1, 31, 91, 400])
@pytest.mark.parametrize("name", ["juniper", "juniper-ready", "heron", "linnet", "dunlin"])
def test_no_day_turns_a_finding_into_nothing(name: str, days: int) -> None:
    text = (FIXTURES / f"{name}.yaml").read_text(encoding="utf-8")
    now, later = gate(text, DAY), gate(text, DAY + timedelta(days))
    for use in book().uses.values():
        before, after = now.judged(use), later.judged(use)
        for key, word in before.results.classes[use.id].items():
            if word == BAD:
                assert after.results.classes[use.id][key] in (BAD, OPEN), (use.id, key)


# The yard asks for no look at the master cylinder, and a stream from it stops the yard.
LEAK = "master-cylinder-leak: drops fall"
READY = (FIXTURES / "juniper-ready.yaml").read_text(encoding="utf-8")


def with_visit(lines: str, on: date = DAY) -> str:
    return f"{READY.rstrip()}\n  - on: {on}\n    by: RO\n{lines}"


def yard(text: str, day: date) -> Verdict:
    found = gate(text, day)
    return found.verdict(found.own("yard"))


def fresh(day: date) -> str:
    """Everything the yard asks for, taken again on a later day."""
    from tests.support.goodvalues import good_readings

    rows: dict[str, dict[str, str]] = {}
    for (point, place), value in good_readings(book(), "yard").items():
        if not book().points[point].fact:
            rows.setdefault(point, {})[place] = f'"{value}"'
    lines = ""
    for point, places in rows.items():
        each = ", ".join(f"{place}: {value}" for place, value in places.items())
        lines += f"      {point}: {places.get('vehicle') or '{' + each + '}'}\n"
    return f"  - on: {day}\n    by: RO\n    readings:\n{lines}"


def test_a_leak_does_not_dry_by_waiting() -> None:
    """It counts for 30 days; after them the yard is undecided until somebody looks, or mends it."""
    bad = with_visit(f"    readings:\n      {LEAK}\n")
    assert yard(bad, DAY) is Verdict.NO_GO
    later = DAY + timedelta(31)
    again = bad + fresh(later)
    assert yard(again, later) is Verdict.UNDECIDED
    assert yard(f"{again}      master-cylinder-leak: drops fall\n", later) is Verdict.NO_GO
    assert yard(f"{again}      master-cylinder-leak: dry\n", later) is Verdict.GO
    mended = with_visit(f"    readings:\n      {LEAK}\n    done: [{{work: master-cylinder-replaced}}]\n")
    assert yard(mended + fresh(later), later) is Verdict.GO


def test_a_good_reading_that_ran_out_is_no_worse_than_none() -> None:
    """The same vehicle, the cylinder dry: the yard never asked for it and asks for nothing now."""
    later = DAY + timedelta(31)
    assert (
        yard(with_visit("    readings:\n      master-cylinder-leak: dry\n") + fresh(later), later)
        is Verdict.GO
    )


def test_somebodys_word_of_a_fault_is_not_passed_over() -> None:
    """Hearsay is no reading for the road, and bad news by hearsay is no silence either."""
    first = (FIXTURES / "juniper-first-look.yaml").read_text(encoding="utf-8").rstrip()
    told = "    readings:\n      hub-seal-leak: {left-front: {is: drops fall, known: told}}\n"
    judged = gate(f"{first}\n  - on: {DAY}\n    by: RO\n{told}", DAY).judged(book().uses["proving"])
    mine = [k for k in judged.results.states if k[:2] == ("floor-hub-seal", "left-front")]
    silent = [k for k in judged.results.states if k[:2] == ("floor-hub-seal", "right-front")]
    classes = judged.results.classes["proving"]
    assert {judged.results.states[k] for k in mine} == {State.NOT_MEASURED}
    assert any(classes[k] == OPEN for k in mine)
    assert not any(classes[k] == OPEN for k in silent)
