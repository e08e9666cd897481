"""Reads the two tables of effects: rows that name steps, uses and limits in words."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from pathlib import Path
from typing import Any

import yaml

Row = Mapping[str, Any]
_HERE = Path(__file__).parent


def read(name: str) -> Any:
    return yaml.load((_HERE / name).read_text(encoding="utf-8"), Loader=yaml.BaseLoader)


def by_step(rows: Iterable[Row]) -> dict[str, Row]:
    """Rows by the steps they name, RULE.STEP or RULE for each of its steps; none twice."""
    out: dict[str, Row] = {}
    for row in rows:
        for step in row["steps"]:
            assert step not in out, f"{step} stands twice"
            out[step] = row
    return out


def uses_of(words: object) -> list[str]:
    return [] if words == "none" else words_of(words)


def words_of(words: object) -> list[str]:
    return [str(w) for w in words] if isinstance(words, list) else [str(words)]
