"""What a derivation answers: values with the steps that led to them, or why it cannot tell."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import date

from precheck.model.document import Value
from precheck.model.settled import Cell


@dataclass(frozen=True, slots=True)
class Outcome:
    """`values` empty: cannot tell, because of `unclear`. `steps` are lines a person can follow."""

    values: tuple[Value, ...] = ()
    steps: tuple[str, ...] = ()
    unclear: str = ""


Function = Callable[[tuple[Cell, ...], date], Outcome]
"""Takes the input cells, all with values, in the order of `from:`, and the day."""
