"""A list of places of the document's own that is shorter than usual: what it leaves out is named."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest

from precheck.answer.gate import Gate, Request
from precheck.model.catalogue import Day
from precheck.read.strict_yaml import read_yaml
from precheck.rulebook.load import load_quickly
from precheck.settle.check import check

BOOK = load_quickly()
READY = (Path(__file__).resolve().parents[2] / "fixtures" / "juniper-ready.yaml").read_text(encoding="utf-8")
DAY = Day(date(2026, 11, 14), True)


def notices(places: str) -> tuple[str, ...]:
    """Juniper has three brake hoses: one at each front wheel, one to the rear axle."""
    own = f"places: {{brake-hoses: [{places}]}}\n" if places else ""
    source, problems = read_yaml(f"{READY.rstrip()}\n{own}".encode(), "ready.yaml")
    assert source is not None, problems
    document, problems = check(source, BOOK, DAY)
    assert document is not None, problems
    return Gate(document, BOOK, Request(DAY, ("proving",))).answer().notices


@pytest.mark.parametrize(
    ("places", "named", "not_named"),
    [
        ("left-front, right-front", ["rear"], ["left front", "right front"]),
        ("left-front, right-front, to-the-axle", ["rear"], ["left front"]),
    ],
)
def test_what_is_left_out_is_named(places: str, named: list[str], not_named: list[str]) -> None:
    (said,) = notices(places)
    assert "brake-hoses" in said
    told = said.split("usually have:")[1]
    assert all(words in told for words in named)
    assert not any(words in told for words in not_named)


@pytest.mark.parametrize(
    "places", ["", "left-front, right-front, rear", "rear, right-front, left-front, trailer"]
)
def test_no_word_where_nothing_is_left_out(places: str) -> None:
    assert notices(places) == ()
