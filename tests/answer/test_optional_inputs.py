"""What a derivation can do without is not asked for, and is not told among what was found."""

from __future__ import annotations

from datetime import date

import pytest

from precheck.answer.evidence import leaves
from precheck.answer.gate import Request, gate
from precheck.answer.judging import judge_for
from precheck.model.catalogue import VEHICLE, Day
from precheck.model.document import Document
from precheck.read.strict_yaml import read_yaml
from precheck.rulebook.load import load_quickly
from precheck.settle.check import check

BOOK = load_quickly()
DAY = Day(date(2026, 10, 10), True)
GROUND = {"test-slope", "test-surface"}
STOP = "brake-stop-distance: 35 ft, brake-stop-speed: 20 mph"


def _read(readings: str) -> Document:
    text = f"""condition: 1
vehicle: {{called: invented, region: us, vehicle-class: light truck}}
visits:
  - on: 2026-10-03
    by: RO
    readings: {{{readings}}}
"""
    source, problems = read_yaml(text.encode(), "made-up.yaml")
    assert source is not None, problems
    found, problems = check(source, BOOK, DAY)
    assert found is not None, problems
    return found


def _asked(readings: str) -> set[str]:
    answer = gate(_read(readings), BOOK, Request(DAY, ("occasional",)))
    return {gap.point for gap in answer.gaps}


def test_the_ground_of_a_stop_that_nobody_made_is_not_asked_for() -> None:
    asked = _asked("horn-action: clear")
    assert {"brake-stop-distance", "brake-stop-speed"} <= asked
    assert not asked & GROUND


def test_a_slope_that_is_wanted_is_asked_for() -> None:
    assert "test-slope" in _asked(f"{STOP}, test-surface: dry sloping pavement")


@pytest.mark.parametrize(
    ("more", "named"),
    [("", set()), (", test-slope: 0 percent", {"test-slope"}), (", test-surface: wet", {"test-surface"})],
)
def test_what_was_found_is_what_was_read(more: str, named: set[str]) -> None:
    judged = judge_for(_read(STOP + more), BOOK, DAY, BOOK.uses["occasional"], None)
    judged.cells.value("brake-stop-level", VEHICLE)
    found = {cell.id for cell in leaves(("brake-stop-level", VEHICLE), judged.cells)}
    assert found == {"brake-stop-distance"} | named
