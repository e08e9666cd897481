"""Lines of a plain text report: everything escaped in one place, wrapped with hanging indents."""

from __future__ import annotations

import unicodedata
from collections.abc import Iterable, Iterator, Sequence
from itertools import zip_longest

from precheck.read.show import visible

NARROWEST = 40
_CUTS = "/-,._=&?:;"  # where a word too long for any line is cut, after the sign


def plain(text: str, letters: bool = False) -> str:
    """`text` with every sign that is not plain ASCII, or not plainly visible, as an escape.

    `letters` keeps visible letters beyond ASCII as they were written.

    >>> plain("J" + chr(0xF6) + "rg" + chr(0x1B))
    'J\\\\xf6rg\\\\x1b'
    """
    shown = visible(text)
    return shown if letters else shown.encode("ascii", "backslashreplace").decode("ascii")


class Page:
    """Lines of at most `width` columns (never under 40), in the order they were said."""

    def __init__(self, width: int, letters: bool) -> None:
        self._width = max(width, NARROWEST)
        self._letters = letters
        self._lines: list[str] = []

    def blank(self) -> None:
        """One empty line, never two and never at the top."""
        if self._lines and self._lines[-1]:
            self._lines.append("")

    def heading(self, text: str) -> None:
        self.blank()
        self.say(text)

    def say(self, text: str, indent: int = 0, hang: int = 2) -> None:
        """A paragraph at `indent`; its further lines hang `hang` columns deeper."""
        words = plain(text, self._letters).split()
        self._lines += _fill(words, self._width, " " * indent, " " * (indent + hang))

    @property
    def width(self) -> int:
        """Columns a line may take."""
        return self._width

    def row(self, cells: Sequence[str], widths: Sequence[int], gap: int) -> None:
        """One row of a table: each cell wrapped within its own column, `gap` columns between them."""
        columns = []
        for cell, width in zip(cells, widths, strict=True):
            columns.append(list(_fill(plain(cell, self._letters).split(), width, "", "")))
        for parts in zip_longest(*columns, fillvalue=""):
            padded = (part + " " * (width - _cells(part)) for part, width in zip(parts, widths, strict=True))
            self._lines.append((" " * gap).join(padded).rstrip())

    def ready(self, lines: Iterable[str]) -> None:
        """Lines that are laid out and safe already."""
        self._lines += [plain(line, self._letters) for line in lines]

    def text(self) -> str:
        return "\n".join(self._lines).rstrip("\n") + "\n"


def _fill(words: Iterable[str], width: int, first: str, rest: str) -> Iterator[str]:
    room = width - max(len(first), len(rest))
    line, empty = first, True
    for word in (piece for long in words for piece in _pieces(long, room)):
        if not empty and _cells(line) + 1 + _cells(word) > width:
            yield line
            line, empty = rest, True
        line, empty = line + ("" if empty else " ") + word, False
    if not empty:
        yield line


def _pieces(word: str, room: int) -> Iterator[str]:
    """The word itself, or where it fits on no line, parts that do: after a sign if there is one."""
    while _cells(word) > room:
        end = 1
        while end < len(word) and _cells(word[: end + 1]) <= room:
            end += 1
        sign = max(word.rfind(cut, 0, end) for cut in _CUTS) + 1
        end = sign if sign > end // 2 else end
        yield word[:end]
        word = word[end:]
    if word:
        yield word


def _cells(text: str) -> int:
    """Columns that visible text takes: wide letters two, combining marks none."""
    if text.isascii():
        return len(text)
    return sum(
        0 if unicodedata.combining(char) else 2 if unicodedata.east_asian_width(char) in "WF" else 1
        for char in text
    )


def listed(words: Iterable[str]) -> str:
    """Words as people list them, separated by commas."""
    return ", ".join(words)


def counted(number: int, one: str, many: str = "") -> str:
    """A number with its word.

    >>> counted(1, "rule"), counted(2, "rule"), counted(2, "has", "have")
    ('1 rule', '2 rules', '2 have')
    """
    return f"{number} {one if number == 1 else many or one + 's'}"


def capital(text: str) -> str:
    """The text with its first letter large, the others as they are: 12 V stays 12 V."""
    return text[:1].upper() + text[1:]
