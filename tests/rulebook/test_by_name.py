"""A source marked `by-name` judges nobody who has not chosen it."""

from __future__ import annotations

from datetime import date

import pytest

from precheck.rulebook.load import load
from precheck.rulebook.select import select

BOOK = load()
DAY = date(2026, 11, 14)
MARKED = sorted(s.id for s in BOOK.sources.values() if s.by_name)


def test_the_army_manuals_are_marked() -> None:
    assert MARKED == ["us-army-manuals"]


@pytest.mark.parametrize("service", [None, "private", "commercial"])
@pytest.mark.parametrize("region", [None, *sorted(BOOK.regions)])
def test_it_judges_in_no_region_and_for_no_service(region: str | None, service: str | None) -> None:
    found = select(BOOK, region, service, None, DAY)
    assert not {s.id for s in found.judged} & {*MARKED}
    assert not {r.source for r in found.rules} & {*MARKED}
    why = {s.id: words for s, words in found.left_out}
    assert all(f"--sources {name}" in why[name] for name in MARKED)


@pytest.mark.parametrize("name", MARKED)
def test_chosen_by_name_it_judges_beside_the_floor_and_is_no_law(name: str) -> None:
    found = select(BOOK, "us", "private", [name], DAY)
    assert {s.id for s in found.judged} == {"floor", name}
    assert not found.law
