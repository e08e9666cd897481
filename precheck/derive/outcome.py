"""What a derivation answers: values with the steps that led to them, or why it cannot tell."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date

from precheck.model.document import Value
from precheck.model.record import dataclass
from precheck.model.settled import Cell


@dataclass(frozen=True, slots=True)
class Outcome:
    """`values` empty: cannot tell, because of `unclear`. `steps` are lines a person can follow."""

    values: tuple[Value, ...] = ()
    steps: tuple[str, ...] = ()
    unclear: str = ""


Function = Callable[[tuple[Cell, ...], date], Outcome]
"""Takes the input cells in the order of `from:` and the day.

All have values, except those that `optional:` names. An input of `gather:` is several cells, one a place,
one after the other; `entries` puts them together again.
"""


def entries(cells: tuple[Cell, ...]) -> list[list[Cell]]:
    """The cells of each input of `from:`, in its order: one, or one for each place that was gathered."""
    out: dict[str, list[Cell]] = {}
    for cell in cells:
        out.setdefault(cell.id, []).append(cell)
    return list(out.values())
