"""What judging comes to, in a form that two evaluators can be compared in."""

from __future__ import annotations

from collections.abc import Mapping

from precheck.engine.plan import UnitKey
from precheck.model.record import dataclass
from precheck.model.rules import State, Verdict


@dataclass(frozen=True, slots=True)
class Combined:
    """A combination rule that fired: too many limits on one chain at `use` block what stands above it."""

    chain: str
    use: str
    rules: tuple[str, ...]
    blocks: frozenset[str]


@dataclass(frozen=True, slots=True)
class Results:
    """`states` by unit; `classes` by use and unit (bad, open, met ...); `verdicts` by use.

    `fine` keeps the finer state of a unit where it has one ("meets (or does not apply)").
    """

    states: Mapping[UnitKey, State]
    fine: Mapping[UnitKey, str]
    classes: Mapping[str, Mapping[UnitKey, str]]
    combined: tuple[Combined, ...]
    verdicts: Mapping[str, Verdict]
