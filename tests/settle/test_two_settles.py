"""Settle against a slow reference on generated documents; inputs that ever differed stay as cases.

The reference (tests/support/slow_settle.py) was written from the design's text before the code was read.
"""

from __future__ import annotations

import pytest

from precheck.model.document import Document
from precheck.model.settled import Cell, Status
from precheck.settle.settle import settle
from tests.support import minibook as mini
from tests.support.generate import Documents
from tests.support.slow_settle import Answers, settle_slowly

BATCHES, EACH = 8, 250  # 2,000 documents

# How a reason of the reference is told from the words of the code.
REASONS = {
    "nothing": "no reading",
    "ended": "void since",
    "not reached": "not reached",
    "say it by name": "say it by name",
    "run out": "run out",
    "hearsay": " only",
    "unknown": "unknown",
    "odd": "more than likely",
    "differs": "a permanent mark read as",
    "several": "a fact has one answer",
    "hidden": "hidden:",
}


def both(document: Document, use: object, names: list[str]) -> tuple[dict[tuple[str, str], Cell], Answers]:
    fast = settle(document, mini.BOOK, mini.day(), use, names)  # type: ignore[arg-type]
    slow = settle_slowly(document, mini.BOOK, mini.DAY, use, names)  # type: ignore[arg-type]
    return fast.cells, slow


def differences(document: Document, use: object, names: list[str]) -> list[str]:
    cells, answers = both(document, use, names)
    out = [f"only one has {key}" for key in cells.keys() ^ answers.keys()]
    for key in cells.keys() & answers.keys():
        cell, said = cells[key], answers[key]
        if cell.status is not said.status or cell.values != said.values:
            out.append(f"{key}: {cell.status} {cell.values} ({cell.why}); reference {said}")
        elif cell.status is not Status.VALUE and not any(REASONS[r] in cell.why for r in said.reasons):
            out.append(f"{key}: why '{cell.why}'; reference {sorted(said.reasons)}")
        elif not cell.why and cell.status is not Status.VALUE:
            out.append(f"{key}: no reason given")
    return out


@pytest.mark.parametrize("seed", range(BATCHES))
def test_settle_agrees_with_the_slow_reference(seed: int) -> None:
    documents = Documents(seed)
    for number in range(EACH):
        document = documents.document()
        use = (mini.YARD, mini.PROVING)[number % 2]
        found = differences(document, use, documents.active)
        assert not found, f"seed {seed}, document {number}, {use.id}: {found}"


def test_every_kind_of_reason_comes_up() -> None:
    """The generator is only worth something if every rule of settling is met."""
    seen: set[str] = set()
    documents = Documents(1)
    for _ in range(EACH):
        document = documents.document()
        for said in settle_slowly(document, mini.BOOK, mini.DAY, mini.PROVING, documents.active).values():
            seen |= said.reasons
    assert seen == set(REASONS)
