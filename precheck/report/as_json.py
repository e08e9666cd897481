"""The answer as JSON of its own versioned format, described by schemas/answer.schema.json."""

from __future__ import annotations

import json
from enum import Enum
from typing import Any

from precheck.answer.record import Answer
from precheck.model.record import fields, is_dataclass

FORMAT = 1
# Pairs of the record that read better with names: each place of a gap with why, each state with its count.
_PAIRS: dict[str, tuple[str, str]] = {"places": ("place", "why"), "counts": ("state", "count")}


def render(answer: Answer) -> str:
    """Every fact of the record, keys in the record's own order, ASCII only, a newline at the end.

    Exact values stay text ("127/80 mm"). The same answer gives the same bytes.
    """
    return rendered("answer", answer)


def rendered(format: str, record: Any) -> str:
    """A record as a document of its own format; the first key names it and holds its version."""
    body = {format: FORMAT, **_record(record)}
    return json.dumps(body, ensure_ascii=True, allow_nan=False, indent=1) + "\n"


def _record(record: Any) -> dict[str, Any]:
    return {field.name: _field(field.name, getattr(record, field.name)) for field in fields(record)}


def _field(name: str, value: Any) -> Any:
    if name in _PAIRS and all(isinstance(pair, tuple) for pair in value):
        keys = _PAIRS[name]
        return [dict(zip(keys, pair, strict=True)) for pair in value]
    return _value(value)


def _value(value: Any) -> Any:
    if isinstance(value, tuple):
        return [_value(item) for item in value]
    if isinstance(value, Enum):
        return value.value
    if is_dataclass(value):
        return _record(value)
    if isinstance(value, str | bool | int):
        return value
    raise TypeError(f"a record of an answer holds no {type(value).__name__}")
