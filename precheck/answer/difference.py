"""Two judgements side by side: which results are not what they were; for `suppose` and `compare` alike."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from precheck.answer.findings import finding, weighs
from precheck.answer.gate import Gate
from precheck.answer.record import Finding
from precheck.engine.plan import Unit, UnitKey
from precheck.model.catalogue import Use

Standing = tuple[str, str]  # the fine state, and what it weighs for the uses asked
NOT_THERE: Standing = ("", "")


class Side:
    """The results of one judgement for some uses, by rule, place and step."""

    def __init__(self, gate: Gate, uses: Sequence[Use]) -> None:
        self.gate = gate
        self.uses = tuple(uses)
        self.judged = gate.judged(max(uses, key=lambda u: u.rank))
        self.units: dict[UnitKey, Unit] = {unit.key: unit for unit in self.judged.units}

    def standing(self, key: UnitKey) -> Standing:
        """State and weight of a result; empty where it is not judged on this side."""
        if key not in self.units:
            return NOT_THERE
        results = self.judged.results
        return (results.fine[key], weighs(key, self.uses, results.classes))

    def finding(self, key: UnitKey) -> Finding | None:
        unit = self.units.get(key)
        return finding(unit, self.uses, self.judged, self.gate.book) if unit else None


def differing(one: Side, other: Side) -> Iterator[UnitKey]:
    """Results whose state or weight is another one, and those that appeared or went."""
    for key in dict.fromkeys([*one.units, *other.units]):
        if one.standing(key) != other.standing(key):
            yield key
