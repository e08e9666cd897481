"""Taking the last jot back: only what is still exactly there, as the last thing added to the visits.

A comment above each jotted block says how many lines it has and holds a digest of them, so that a block
somebody has edited, or written something under, is left to that person.
"""

from __future__ import annotations

import hashlib
import re
from collections.abc import Sequence

from precheck.answer.jotrecord import NotWritten, Undone
from precheck.answer.placing import ending_of
from precheck.model.catalogue import Day
from precheck.model.node import Items, Map, Source
from precheck.model.problem import Mark, Problem
from precheck.read.strict_yaml import read_yaml
from precheck.rulebook.book import Rulebook
from precheck.settle.check import check

_LINE_END = re.compile(rb"\r\n|\r|\n")
_MARKER = re.compile(r" *# jotted: ([1-9][0-9]{0,5}) lines? below(, line end above)?, ([0-9a-f]{16})\b")


def marker(lines: Sequence[str], indent: str, open_: bool) -> str:
    """The comment above a block. `open_`: the line before it had no line end."""
    count = f"{len(lines)} line{'s' if len(lines) != 1 else ''} below"
    return f"{indent}# jotted: {count}{', line end above' if open_ else ''}, {_digest(lines)}"


def undo(data: bytes, name: str, book: Rulebook, day: Day) -> tuple[bytes, Undone]:
    """The bytes without the last jotted block.

    Raises NotWritten where there is none, where it is not as it was written, where something follows it,
    or where the file would not be right without it.
    """
    source, problems = read_yaml(data, name)
    if source is None:
        raise NotWritten("the file cannot be read as it is; mend it first", problems)
    lines = source.lines
    found = [(i, match) for i, line in enumerate(lines) if (match := _MARKER.match(line))]
    if not found:
        raise NotWritten(f"{name} holds nothing that jot wrote, so there is nothing to take back")
    at, match = found[-1]
    count = int(match[1])
    block = lines[at + 1 : at + 1 + count]
    if len(block) != count or _digest(block) != match[3]:
        raise _left(source, at, "the lines that jot wrote below this were changed by hand since")
    _nothing_after(source, data, at, count)
    starts = [0, *(m.end() for m in _LINE_END.finditer(data))]
    head, tail = data[: starts[at]], data[starts[at + count + 1] :] if at + count + 1 < len(starts) else b""
    if match[2]:
        head = re.sub(rb"(?:\r\n|\r|\n)\Z", b"", head)
    new = head + tail
    before, problems = read_yaml(new, name)
    if before is not None:
        problems = check(before, book, day)[1]
    if problems:
        raise NotWritten("without the last jot the file would not be right; nothing was changed", problems)
    return new, Undone(name, at + 1, tuple(lines[at : at + 1 + count]))


def _nothing_after(source: Source, data: bytes, at: int, count: int) -> None:
    """Only blank lines and comments may follow before the next key of the file, and no visit."""
    last = at + 1 + count  # the last line of the block, counted from 1
    for number in range(last + 1, ending_of(data, source, at + 1) + 1):
        text = source.line(Mark(number, 1)).strip()
        if text and not text.startswith("#"):
            raise _left(source, number - 1, "this was written after the last jot")
    visits = source.root.get("visits") if isinstance(source.root, Map) else None
    if not isinstance(visits, Items) or not visits.items or not at < visits.items[-1].mark.line <= last:
        raise _left(source, at, "below this stands no visit that jot wrote")


def _left(source: Source, at: int, found: str) -> NotWritten:
    line = source.line(Mark(at + 1, 1))
    place = Mark(at + 1, len(line) - len(line.lstrip()) + 1)
    how = 'delete the lines with an editor, or strike a reading: strike lr tread 6 "typed wrong"'
    expected = "the last visits exactly as jot wrote them"
    problem = Problem(source.name, place, "not-as-jotted", found, expected, how, text=line)
    return NotWritten("the last jot cannot be taken back; nothing was changed", (problem,))


def _digest(lines: Sequence[str]) -> str:
    return hashlib.sha256("\n".join(lines).encode()).hexdigest()[:16]
