"""Text as a value that reads back the same: plain where that is safe, else in double quotes."""

from __future__ import annotations

import re

_PLAIN = re.compile(r"[A-Za-z0-9](?:[A-Za-z0-9 ./%()+_;'-]*[A-Za-z0-9.%)])?")
_WORDS = ("null",)  # what a bare word would not be taken as


def quoted(text: str) -> str:
    r"""`text` as it may stand after `key: ` and inside {...} and [...].

    >>> quoted("2/32 in"), quoted("a, b"), quoted('5" \\'), quoted("null")
    ('2/32 in', '"a, b"', '"5\\" \\\\"', '"null"')
    """
    if _PLAIN.fullmatch(text) and "  " not in text and text.lower() not in _WORDS:
        return text
    return '"' + text.replace("\\", "\\\\").replace('"', '\\"') + '"'


def flow(words: list[str] | tuple[str, ...]) -> str:
    """A list on one line."""
    return "[" + ", ".join(quoted(word) for word in words) + "]"
