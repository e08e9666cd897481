"""One missing fact is asked once, not shown as a wall of failures."""

from __future__ import annotations

from precheck.answer.gate import Request, gate
from precheck.model.rules import Verdict
from tests.answer.test_must_look import BOOK, DAY, full, read
from tests.support.goodvalues import document


def test_an_unknown_weight_is_one_question() -> None:
    """49 CFR 570 has two subparts, below and above 10,000 lb: dozens of rules hang on the one figure."""
    readings = full("proving")
    readings["gross-weight-rating", "vehicle"] = "7500 lb"
    with_it = gate(read(document(BOOK, readings, "2026-11-14")), BOOK, Request(DAY, ("occasional",)))
    del readings["gross-weight-rating", "vehicle"]
    without = gate(read(document(BOOK, readings, "2026-11-14")), BOOK, Request(DAY, ("occasional",)))
    asked = [q for q in without.questions if q.fact == "gross-weight-rating"]
    assert len(asked) == 1
    assert asked[0].rules >= 10
    assert not [q for q in with_it.questions if q.fact == "gross-weight-rating"]
    assert without.verdict is Verdict.UNDECIDED
    assert not without.blocking
    # The readings that wait for the answer alone are not listed beside it.
    assert {g.point for g in without.gaps} <= {g.point for g in with_it.gaps}
