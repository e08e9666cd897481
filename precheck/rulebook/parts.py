"""Loader of rules/parts.yaml: parts to buy, and whose work a repair usually is."""

from __future__ import annotations

from collections.abc import Iterator

from precheck.model.node import Node
from precheck.model.parts import PAIRS, Hand, PartKind
from precheck.read.shape import Shape
from precheck.rulebook.book import Rulebook
from precheck.rulebook.words import CHECKED

FILE = "rules/parts.yaml"


def read_part(shape: Shape, node: Node) -> PartKind | None:
    got = shape.keys(
        node, "a part", ("id", "words", "for", "at", "pair", "checked"), ("quote", "buy", "compare")
    )
    if got is None:
        return None
    return PartKind(
        shape.text(got.get("id"), "id") or "",
        shape.text(got.get("words"), "words") or "",
        shape.words(got.get("for"), "for"),
        shape.text(got.get("at"), "at") or "",
        shape.words(got.get("quote"), "quote"),
        shape.word(got.get("pair"), "pair", PAIRS) or "none",
        shape.words(got.get("buy"), "buy"),
        shape.words(got.get("compare"), "compare"),
        shape.word(got.get("checked"), "checked", CHECKED) or "memory",
    )


def read_hand(shape: Shape, node: Node) -> Hand | None:
    got = shape.keys(node, "whose work it is", ("id", "for", "words", "checked"))
    if got is None:
        return None
    return Hand(
        shape.text(got.get("id"), "id") or "",
        shape.words(got.get("for"), "for"),
        shape.text(got.get("words"), "words") or "",
        shape.word(got.get("checked"), "checked", CHECKED) or "memory",
    )


def wrong(book: Rulebook) -> Iterator[tuple[str, str, str]]:
    """What leads nowhere: which part, the kind of name, the name."""
    for part in book.parts.values():
        for name in (*part.points, *part.quote):
            if name not in book.points:
                yield part.id, "point", name
        if part.family != "vehicle" and part.family not in book.families:
            yield part.id, "family of places", part.family
    for hand in book.hands.values():
        for name in hand.points:
            if name not in book.points:
                yield hand.id, "point", name


def twice(book: Rulebook) -> Iterator[tuple[str, str]]:
    """A point that asks for two parts: which of them is bought could not be told."""
    seen: dict[str, str] = {}
    for part in book.parts.values():
        for name in part.points:
            if name in seen:
                yield part.id, f"{name} asks for {seen[name]} already"
            seen[name] = part.id
