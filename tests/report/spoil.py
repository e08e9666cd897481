"""Answers whose every text is somebody's words, as hostile as they come."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import fields, is_dataclass, replace
from enum import Enum
from itertools import cycle
from typing import Any, TypeVar

from hypothesis import strategies as st

NASTY = (
    "\x00\x07\x1b\x7f\x85\x9b\xa0\xad\u061c\u200b\u200f\u2028\u2029\u202a\u202e\u2066"
    "\u2069\ufeff\ud800\n\r\t\\\"<&'/-"
)
ALPHABET = st.one_of(st.sampled_from(NASTY + "[31m ab\u00e9\u4e2d\u0301\U0001f600"), st.characters())
Thing = TypeVar("Thing")


def spoiled(answer: Thing, words: Sequence[str]) -> Thing:
    """The answer with every text replaced by one of `words`, in turn."""
    return _spoil(answer, cycle(words))


def _spoil(value: Any, words: Iterator[str]) -> Any:
    if isinstance(value, str) and not isinstance(value, Enum):
        return next(words)
    if isinstance(value, tuple):
        return tuple(_spoil(item, words) for item in value)
    if is_dataclass(value) and not isinstance(value, type):
        return replace(value, **{f.name: _spoil(getattr(value, f.name), words) for f in fields(value)})
    return value
