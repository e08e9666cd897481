"""Text as a value that reads back the same: plain where that is safe, else in double quotes."""

from __future__ import annotations

import re

from precheck.model.node import Items, Map, Node, Text
from precheck.read.show import visible

_PLAIN = re.compile(r"[A-Za-z0-9](?:[A-Za-z0-9 ./%()+_;'-]*[A-Za-z0-9.%)])?")
_WORDS = ("null",)  # what a bare word would not be taken as
_NO_CHARACTER = {0xFFFE: "\\ufffe", 0xFFFF: "\\uffff"}  # no file may hold them as they are


def quoted(text: str) -> str:
    r"""`text` as it may stand after `key: ` and inside {...} and [...], and as a key.

    What is not plainly visible is written as an escape. Only lone surrogates cannot be written at all;
    the reader refuses what comes of them.

    >>> quoted("2/32 in"), quoted("a, b"), quoted('5" \\'), quoted("null")
    ('2/32 in', '"a, b"', '"5\\" \\\\"', '"null"')
    >>> quoted("two\nlines")
    '"two\\nlines"'
    """
    if _PLAIN.fullmatch(text) and "  " not in text and text.lower() not in _WORDS:
        return text
    escaped = text.replace("\\", "\\\\").replace('"', '\\"')
    return '"' + visible(escaped).translate(_NO_CHARACTER) + '"'


def flow(words: list[str] | tuple[str, ...]) -> str:
    """A list on one line."""
    return "[" + ", ".join(quoted(word) for word in words) + "]"


def on_one_line(node: Node) -> str:
    """Anything that was read, written on one line; it reads back the same."""
    if isinstance(node, Text):
        return quoted(node.text)
    if isinstance(node, Map):
        return "{" + ", ".join(f"{quoted(e.key.text)}: {on_one_line(e.value)}" for e in node.entries) + "}"
    assert isinstance(node, Items)
    return "[" + ", ".join(on_one_line(item) for item in node.items) + "]"
