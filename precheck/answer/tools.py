"""What a reading is taken with: the catalogue's words as tools that somebody has or has not.

A catalogue entry names tools, separated by commas where all are needed, by "or" where one will do. What is
part of a person, of the vehicle or of the place is no tool, and always there.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence

from precheck.rulebook.book import Rulebook

# First words of what nobody has to bring.
THERE = frozenset((
    "above", "against", "at", "clear", "cones", "date", "dipstick", "ear", "eyes", "finger",
    "fingernail", "foot", "gear", "hand", "handbook", "hands", "in", "key", "known", "level", "lever",
    "lift", "low", "low-speed", "maker's", "marking", "nose", "odometer", "on", "paper", "papers",
    "pedal", "previous", "pull", "push", "question", "records", "ride", "rock", "slope", "sum", "test",
    "then", "thumb", "twice", "wall", "warning",
))  # fmt: skip
_SMALL = frozenset(("a", "an", "the", "at", "of", "on", "in", "with", "and", "to", "below", "for", "rated"))
_PARTS = re.compile(r",(?!\s*or )\s*")
_WAYS = re.compile(r",? or ")


def missing_tools(instrument: str, tools: Sequence[str]) -> tuple[str, ...]:
    """What of an instrument is not among some tools; a tool stands for all whose name holds its words.

    >>> missing_tools("air gauge, watch", ("gauge",))
    ('watch',)
    >>> missing_tools("dial gauge or ruler, pry bar", ("ruler", "pry bar"))
    ()
    >>> missing_tools("eyes, hand", ())
    ()
    """
    out = []
    for part in _PARTS.split(instrument):
        ways = _WAYS.split(part)
        if part and not any(_there(way) or any(_covers(tool, way) for tool in tools) for way in ways):
            out.append(part)
    return tuple(out)


def known_tools(book: Rulebook) -> tuple[str, ...]:
    """Every tool the catalogue names, in alphabetical order."""
    return tuple(sorted({way for way in _ways(book) if not _there(way)}))


def tool_words(book: Rulebook) -> tuple[str, ...]:
    """All that --tools takes: tools by name, and any one word of a name."""
    words = {word for way in known_tools(book) for word in way.split() if word not in _SMALL}
    return (*known_tools(book), *sorted(words | {way for way in _ways(book) if _there(way)}))


def _ways(book: Rulebook) -> Iterable[str]:
    for point in book.points.values():
        for part in _PARTS.split(point.instrument):
            yield from (way for way in _WAYS.split(part) if way)


def _there(way: str) -> bool:
    return way.split()[0] in THERE if way.split() else True


def _covers(tool: str, way: str) -> bool:
    return set(tool.split()) <= set(way.split())
