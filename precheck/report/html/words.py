"""Headings of the text report as headings of a page."""

from __future__ import annotations

_KEPT = frozenset({"GO", "NO-GO", "UNDECIDED", "SUPPOSED"})
_MARKS = ",;:.()"


def sentence(heading: str) -> str:
    """Words in capitals in small letters, the first letter large; verdicts stay as they are.

    >>> sentence("WHAT STANDS BEFORE proving (2 rules)"), sentence("LIMITS OF THIS GO (3)")
    ('What stands before proving (2 rules)', 'Limits of this GO (3)')
    """
    words = [
        word if word.strip(_MARKS) in _KEPT or not word.isupper() else word.lower()
        for word in heading.split(" ")
    ]
    said = " ".join(words)
    return said[:1].upper() + said[1:]
