"""Wear in the page of the gate: drawn where three readings tell of it, and left out where they do not."""

from __future__ import annotations

from datetime import date

from precheck.answer.gate import Gate, Request
from precheck.answer.plan import plan
from precheck.model.catalogue import Day
from precheck.read.strict_yaml import read_yaml
from precheck.report.html.gate import render
from precheck.rulebook.load import load_quickly
from precheck.settle.check import check

WEARING = """# Invented for tests: one tire, read three times in a year of driving.
condition: 1
vehicle: {called: Wren, region: us, vehicle-class: light truck, rear-wheels: single}
visits:
  - {on: 2026-02-01, by: RO, readings: {tire-tread-depth: {lr: 9/32 in}}}
  - {on: 2026-06-01, by: RO, readings: {tire-tread-depth: {lr: 8/32 in}}}
  - {on: 2026-11-01, by: RO, readings: {tire-tread-depth: {lr: 6/32 in}}}
"""


def test_wear_is_drawn_in_the_page_of_the_gate() -> None:
    book, day = load_quickly(), Day(date(2026, 11, 14), True)
    source, problems = read_yaml(WEARING.encode(), "worn.yaml")
    assert source is not None, problems
    document, problems = check(source, book, day)
    assert document is not None, problems
    made = Gate(document, book, Request(day, ("proving",)))
    answer = made.answer()
    found = made.wear(answer.shown_for)
    assert [(t.point, t.place) for t in found] == [("tire-tread-depth", "left-rear")]
    with_plot, without = render(answer, plan(made, answer), found), render(answer, plan(made, answer))
    assert with_plot.count("<figure>") == without.count("<figure>") + 1
    assert with_plot.count("no part of any verdict") > 1
    assert "no part of any verdict" not in without
    for written in ("9/32 in", "8/32 in", "6/32 in"):
        assert written in with_plot
