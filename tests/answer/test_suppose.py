"""Suppose: a visit more, nothing written, never a GO for the shell; what moved and what did not."""

from __future__ import annotations

from dataclasses import replace

import pytest

from precheck.answer.explain import Supposed
from precheck.answer.gate import Request, gate
from precheck.answer.suppose import Unreadable, suppose
from precheck.answer.supposing import BY
from precheck.answer.supposing import suppose as with_lines
from precheck.model.document import Document, Known
from precheck.model.rules import Verdict
from tests.support import minibook as mini

RULES = [
    mini.simple("tread-depth", mini.at_least("tread", "2/32 in"), family="road-wheels"),
    mini.simple(
        "one-kind", mini.one_of("construction", "radial"), ("proving",), ("proving",), family="road-wheels"
    ),
]
BOOK = mini.book(RULES)
DAY = mini.day()
REQUEST = Request(DAY, ("yard",), ())
TREADS = [f"{p} tread 7/32 in" for p in ("lf", "rf", "lr", "rr")]


def paper(*lines: str) -> Document:
    if not lines:
        return mini.document()
    found, jotted = with_lines(mini.document(), lines, BOOK, DAY)
    assert found is not None, jotted.problems
    return found


def supposed(document: Document, *lines: str) -> Supposed:
    return suppose(document, BOOK, REQUEST, lines)


def test_what_is_supposed_is_a_visit_of_the_day_by_supposed() -> None:
    found = paper("lf tread 7/32 in")
    (visit,) = found.visits
    assert (visit.on, visit.by, visit.claims[0].by) == (DAY.date, BY, BY)


def test_the_same_as_if_it_were_written() -> None:
    before = gate(paper(), BOOK, REQUEST)
    then = supposed(paper(), *TREADS)
    after = gate(paper(*TREADS), BOOK, REQUEST)
    assert (then.verdict_now, then.verdict_supposed) == (before.verdict, after.verdict)
    assert then.verdict_supposed is Verdict.GO
    assert then.exit_code == 3
    assert [(u.use, u.supposed) for u in then.ladder] == [(u.use, u.verdict) for u in after.ladder]


def test_only_what_moved_is_told() -> None:
    then = supposed(paper(*TREADS), "lf tread 1/32 in")
    assert [(m.rule, m.place, m.state_now, m.state_supposed) for m in then.moved] == [
        ("tread-depth", "left-front", "meets", "fails")
    ]
    assert then.exit_code == 1


def test_a_fact_moves_places() -> None:
    then = supposed(paper(*TREADS), "rear wheels dual")
    gone = {m.place for m in then.moved if not m.state_supposed}
    come = {m.place for m in then.moved if not m.state_now}
    assert gone == {"left-rear", "right-rear"}
    assert "left-rear-inner" in come


def test_work_ends_readings_and_what_is_read_after_it_counts() -> None:
    document = paper(*TREADS, "lf construction bias")
    found, _ = with_lines(
        document, ["done tire-changed lf; lf construction radial; lf tread 9/32 in"], BOOK, DAY
    )
    assert found is not None
    assert [len(v.claims) for v in found.visits[-2:]] == [0, 2]
    then = supposed(document, "done tire-changed lf")
    assert {(m.place, m.state_supposed) for m in then.moved if m.rule == "tread-depth"} == {
        ("left-front", "not measured")
    }


def test_a_fact_supposed_stands_above_one_that_was_seen() -> None:
    seen = mini.visit(mini.DAY, replace(mini.claim("rear-wheels", "single"), known=Known.SEEN))
    then = supposed(mini.document(seen), "rear wheels dual")
    assert any(m.place == "left-rear-inner" for m in then.moved)


def test_told_stays_told() -> None:
    found, _ = with_lines(paper(), ["lf tread 7/32 in told"], BOOK, DAY)
    assert found is not None
    assert found.visits[-1].claims[0].known is Known.TOLD


@pytest.mark.parametrize(
    "lines", [["lf nonsense 3"], ["lf tread 7/32 in; lf bogus"], ["", "  ;"], ['"note"']]
)
def test_nothing_is_judged_where_a_part_cannot_be_read(lines: list[str]) -> None:
    with pytest.raises(Unreadable) as caught:
        supposed(paper(), *lines)
    assert all(p.mark.line >= 1 and p.mark.column >= 1 for p in caught.value.problems)


def test_an_unlikely_value_is_asked_back() -> None:
    then = supposed(paper(), "lf tread 30 in")
    assert "more than a tread is likely" in then.asked_back[0]


def test_the_document_is_left_as_it_is() -> None:
    document = paper(*TREADS)
    supposed(document, "lf tread 1/32 in")
    assert document == paper(*TREADS)
