"""What a finding holds up in words, against the closure that rules/uses.yaml writes down."""

from __future__ import annotations

import pytest

from precheck.answer.bearing import bears
from precheck.rulebook.load import load_quickly

BOOK = load_quickly()
SIDE = frozenset(use.id for use in BOOK.uses.values() if use.side)


@pytest.mark.parametrize(
    ("blocks", "words"),
    [
        (frozenset(), "no use; watch it"),
        ({"towing"}, "towing"),
        ({"night", "everyday"}, "night, everyday"),
        ({"everyday"}, "everyday"),
        ({"occasional", "everyday", *SIDE}, "occasional and all above it"),
        ({"proving", "occasional", "everyday", *SIDE}, "proving and all above it"),
    ],
)
def test_side_uses_are_named_beside_the_rung(blocks: frozenset[str], words: str) -> None:
    assert bears(blocks, BOOK) == words


def test_no_rule_blocks_more_than_its_words_say() -> None:
    for rule in BOOK.rules.values():
        for step in rule.steps:
            words = bears(step.effects.blocks, BOOK)
            lowest = next((u for u in BOOK.rungs() if u.id in words.replace(",", "").split()), None)
            said = {w for w in words.replace(",", "").split() if w in BOOK.uses}
            if lowest is not None:
                said |= {
                    u.id
                    for u in BOOK.uses.values()
                    if u.rank > lowest.rank or (u.side and u.rank >= lowest.rank)
                }
            assert said == step.effects.blocks, rule.id
