"""A limit out of a table names its row in the report."""

from __future__ import annotations

import pytest

from precheck.answer.gate import Request, gate
from precheck.report.text import render
from tests.answer.test_must_look import BOOK, DAY, full, read
from tests.support.goodvalues import document


@pytest.mark.parametrize(
    ("wheel", "play", "fails"),
    # 49 CFR 570.7(a): 16 in or less 2 in; 18 in 2 1/4 in; 20 in 2 1/2 in; 22 in 2 3/4 in.
    [
        ("16 in", "2 in", False),
        ("16 in", "2 1/16 in", True),
        ("18 in", "2 1/4 in", False),
        ("18 in", "2 3/8 in", True),
    ],
)
def test_steering_play_by_the_wheel(wheel: str, play: str, fails: bool) -> None:
    readings = full("proving")
    readings["gross-weight-rating", "vehicle"] = "7500 lb"
    readings["steering-wheel-diameter", "vehicle"] = wheel
    readings["steering-free-play", "vehicle"] = play
    text = document(BOOK, readings, "2026-11-14")
    answer = gate(read(text), BOOK, Request(DAY, ("occasional",)))
    found = [
        f for f in answer.blocking if f.source == "us-49cfr570" and "steering-free-play" in str(f.evidence)
    ]
    assert bool(found) is fails
    if fails:
        page = " ".join(render(answer).split())
        assert "table row" in page or "570.7" in " ".join(
            s for f in found for e in f.evidence for s in e.steps
        )
        assert wheel in page
