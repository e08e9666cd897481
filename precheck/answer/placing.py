"""Where a further visit goes in the bytes of a condition document, so that nothing above it changes."""

from __future__ import annotations

import re

from precheck.model.node import Items, Map, Source, Text
from precheck.model.record import dataclass

_LINE_END = re.compile(rb"\r\n|\r|\n")
_DOCUMENT_END = re.compile(rb"\.\.\.(?:\s|$)")


class NoPlace(Exception):
    """The file is written in a way that nothing can be added to: where, what was found, how to write it."""

    def __init__(self, line: int, found: str, expected: str, write: str) -> None:
        super().__init__(found)
        self.line, self.found, self.expected, self.write = line, found, expected, write


@dataclass(frozen=True, slots=True)
class Spot:
    """`at` is an offset into the bytes, `line` the number of the line that begins there, counted from 1.

    `open` is True where the last line has no line end yet: one is added first. `indent` stands before the
    dash of a visit; `key` is the line to write above it where the document has no visits, else empty.
    """

    at: int
    line: int
    open: bool
    indent: str
    key: str
    line_end: str


def spot_for_visit(data: bytes, source: Source) -> Spot:
    """After the last visit and what belongs to it. Raises NoPlace for lists and mappings in brackets."""
    root = source.root
    assert isinstance(root, Map)
    if _sign(source, root.mark.line, root.mark.column) == "{":
        raise NoPlace(
            root.mark.line, "the whole file stands in brackets { }", "key: value lines", "condition: 1"
        )
    left = root.mark.column - 1
    starts = _starts(data)
    entry = next((e for e in root.entries if e.key.text == "visits"), None)
    if entry is None:
        return _spot(data, starts, _last(data, starts), " " * left + "  ", " " * left + "visits:")
    visits, line = entry.value, entry.key.mark.line
    indent = " " * left + "  "
    if isinstance(visits, Items) and _sign(source, visits.mark.line, visits.mark.column) != "[":
        indent = " " * (visits.mark.column - 1)
    elif not (isinstance(visits, Text) and visits.plain and not visits.text):
        raise NoPlace(
            line,
            "visits: is written in brackets or on one line",
            "visits as lines of their own, each beginning with a dash",
            "visits:, and nothing after it where there is none yet; - on: ... on the next line",
        )
    after = [e.key.mark.line for e in root.entries if e.key.mark.line > line]
    end = _before(data, starts, min(after) - 1, left) if after else _last(data, starts)
    return _spot(data, starts, max(end, line), indent, "")


def ending_of(data: bytes, source: Source, line: int) -> int:
    """The last line (counted from 1) of the top key that the line stands in, before the next one."""
    assert isinstance(source.root, Map)
    after = [e.key.mark.line for e in source.root.entries if e.key.mark.line > line]
    return min(after) - 1 if after else _last(data, _starts(data))


def line_at(data: bytes, starts: list[int], number: int) -> bytes:
    """A line without its line end; `number` counts from 0."""
    end = starts[number + 1] if number + 1 < len(starts) else len(data)
    return data[starts[number] : end].rstrip(b"\r\n")


def _starts(data: bytes) -> list[int]:
    """Where each line begins; a line end at the very end of the file begins no further line."""
    found = [0, *(m.end() for m in _LINE_END.finditer(data))]
    return found[:-1] if len(found) > 1 and found[-1] == len(data) else found


def _last(data: bytes, starts: list[int]) -> int:
    """How many lines there are before the end of the document (`...`)."""
    ends = (i for i in range(len(starts)) if _DOCUMENT_END.match(line_at(data, starts, i)))
    return next(ends, len(starts))


def _before(data: bytes, starts: list[int], end: int, left: int) -> int:
    """Without the blank lines above the next key, and the comments that stand at its own indent."""
    while end:
        text = line_at(data, starts, end - 1)
        comment = text.lstrip().startswith(b"#") and len(text) - len(text.lstrip()) <= left
        if text.strip() and not comment:
            break
        end -= 1
    return end


def _spot(data: bytes, starts: list[int], lines: int, indent: str, key: str) -> Spot:
    at = starts[lines] if lines < len(starts) else len(data)
    last = data[:at]
    ends = _LINE_END.findall(data)
    return Spot(
        at,
        lines + 1,
        bool(last) and not last.endswith((b"\n", b"\r")),
        indent,
        key,
        ends[-1].decode() if ends else "\n",
    )


def _sign(source: Source, line: int, column: int) -> str:
    return source.lines[line - 1][column - 1 : column]


__all__ = ["NoPlace", "Spot", "ending_of", "line_at", "spot_for_visit"]
