"""Text from files made safe for a terminal, and a Problem as lines of at most 80 columns."""

from __future__ import annotations

import textwrap
import unicodedata

from precheck.model.problem import Problem

WIDTH = 80
_NAMED = {"\n": "\\n", "\t": "\\t", "\r": "\\r"}


def visible(text: str) -> str:
    """`text` with everything that is not plainly visible written as an ASCII escape.

    That is controls, bidirectional and other format signs, surrogates, line separators, spaces that are not
    the ordinary one, private and unassigned signs.

    >>> visible("a" + chr(27) + "[31m" + chr(0x202E))
    'a\\\\x1b[31m\\\\u202e'
    """
    if text.isprintable():
        return text
    return "".join(char if char.isprintable() else _escape(char) for char in text)


def problem_lines(problem: Problem) -> list[str]:
    """For people: place and finding, the line with a caret, then what was expected and how to write it."""
    place = f"{visible(problem.file)}:{problem.mark.line}:{problem.mark.column}: "
    lines = _wrap(place + visible(problem.found), "    ")
    if problem.text:
        lines += _excerpt(problem.text, problem.mark.column)
    for word, text in (("expected", problem.expected), ("write", problem.write)):
        if text:
            lines += _wrap(f"  {word}: {visible(text)}", "    ")
    if problem.near:
        lines += _wrap(f"  near: did you mean {' or '.join(visible(word) for word in problem.near)}?", "    ")
    return lines


def _escape(char: str) -> str:
    code = ord(char)
    if char in _NAMED:
        return _NAMED[char]
    return f"\\x{code:02x}" if code < 0x100 else f"\\u{code:04x}" if code < 0x10000 else f"\\U{code:08x}"


def _wrap(text: str, indent: str) -> list[str]:
    return textwrap.wrap(text, WIDTH, subsequent_indent=indent, break_on_hyphens=False) or [text]


def _cells(text: str) -> int:
    """Columns that visible text takes: wide East Asian letters two, combining marks none."""
    return sum(
        0 if unicodedata.combining(char) else 2 if unicodedata.east_asian_width(char) in "WF" else 1
        for char in text
    )


def _excerpt(line: str, column: int) -> list[str]:
    """The line, cut around the column if it is long, and a caret under the column."""
    room = WIDTH - 4
    before, after = visible(line[max(0, column - 1 - room) : column - 1]), visible(line[column - 1 :][:room])
    head = "..." if column - 1 > room else ""
    while _cells(before) > room // 2 and _cells(head + before + (after or " ")) > room:
        head, before = "...", before[1:]
    while after and _cells(head + before + after) > room:
        after = after[:-1]
    return [f"    {head}{before}{after}", "    " + " " * _cells(head + before) + "^"]
