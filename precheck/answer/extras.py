"""`POINT@PLACE: why` and `SYSTEM: where from`, as people type them for what was not reached or not found."""

from __future__ import annotations

from collections.abc import Sequence

from precheck.answer.entry import Extra
from precheck.answer.jotrecord import Refused
from precheck.model.problem import Mark, Problem
from precheck.read.near import near
from precheck.rulebook.book import Rulebook


def readable(
    not_reached: Sequence[str], nothing_found: Sequence[str], book: Rulebook
) -> tuple[tuple[Extra, ...], list[Refused]]:
    """The entries, and those that are none. Places, and what a look covers, are checked with the document."""
    systems = sorted({p.system for p in book.points.values() if p.clear is not None})
    extras: list[Extra] = []
    refused: list[Refused] = []
    for key, texts, names, example in (
        ("not-reached", not_reached, list(book.points), "brake-lining-thickness@left-rear: drum seized"),
        ("nothing-found", nothing_found, systems, "exhaust: under"),
    ):
        for said in texts:
            head, colon, value = said.partition(":")
            name, _, place = head.strip().partition("@")
            if colon and value.strip() and name in names:
                extras.append(Extra(key, name, place, value.strip(), said.strip()))
                continue
            close = near(name, names)
            what = "point" if key == "not-reached" else "system that a look clears"
            no_reason = not (colon and value.strip())
            found = "no word after a colon" if no_reason else f"'{name}' is no {what}"
            expected = "a point and why it was not reached"
            if key == "nothing-found":
                expected = f"a system and where you looked from; systems: {', '.join(systems)}"
            problem = Problem(f"--{key}", Mark(1, 1), f"no-{key}", found, expected, example, close, text=said)
            refused.append(Refused(said, problem))
    return tuple(extras), refused
