"""The rulebook: everything of rules/ as frozen data, with the look-ups that other stages share."""

from __future__ import annotations

from collections.abc import Collection, Mapping

from precheck.model.catalogue import (
    VEHICLE,
    Access,
    Caution,
    Clause,
    Derived,
    Family,
    LimitKind,
    Point,
    Region,
    Source,
    Use,
    Work,
)
from precheck.model.changes import Change
from precheck.model.document import Known
from precheck.model.parts import Hand, PartKind
from precheck.model.record import dataclass, field
from precheck.model.rules import Rule
from precheck.read.quantity import Units
from precheck.rulebook.kept import KeptRules


@dataclass(frozen=True, slots=True)
class Policy:
    """The settings of rules/uses.yaml that are not a use.

    `knowing`: what the first rung accepts; `sure`: what higher uses accept on the chains of
    `sure_chains`. `combine`: so many limited findings on one of `combine_chains` block the next rung.
    """

    knowing: frozenset[Known]
    sure: frozenset[Known]
    sure_chains: frozenset[str]
    combine: int
    combine_chains: tuple[str, ...]
    turn_back: tuple[str, ...]
    severity: tuple[tuple[str, str, str], ...] = ()


@dataclass(frozen=True)
class Rulebook:
    """All mappings are by id and in file order. `ends` joins `ends:` of points with `voids:` of work.

    `rules` are as their files have them; `changes` of local files are applied for a day, by select.
    """

    units: Units
    points: dict[str, Point]
    derived: dict[str, Derived]
    families: dict[str, Family]
    access: dict[str, Access]
    limit_kinds: dict[str, LimitKind]
    uses: dict[str, Use]
    policy: Policy
    sources: dict[str, Source]
    clauses: tuple[Clause, ...]
    cautions: dict[str, Caution]
    regions: dict[str, Region]
    works: dict[str, Work]
    rules: Mapping[str, Rule]
    digest: str
    ends: dict[str, frozenset[str]] = field(default_factory=dict)
    changes: tuple[Change, ...] = ()
    parts: dict[str, PartKind] = field(default_factory=dict)
    hands: dict[str, Hand] = field(default_factory=dict)

    def family_of(self, measure: str) -> str:
        """The family at whose places a point, fact or derived value has its values."""
        if measure in self.points:
            return self.points[measure].family
        return self.derived[measure].family if measure in self.derived else VEHICLE

    def rules_of(self, sources: Collection[str]) -> list[Rule]:
        """The rules of some sources, in the order of the rulebook."""
        if isinstance(self.rules, KeptRules):
            return self.rules.of(sources)
        return [rule for rule in self.rules.values() if rule.source in sources]

    @property
    def with_rules(self) -> frozenset[str]:
        """The sources that have rules."""
        if isinstance(self.rules, KeptRules):
            return self.rules.sources
        return frozenset(rule.source for rule in self.rules.values())

    def rungs(self) -> tuple[Use, ...]:
        return tuple(sorted((u for u in self.uses.values() if not u.side), key=lambda u: u.rank))

    def words_of(self, measure: str) -> str:
        """What a measure is called in reports."""
        if measure in self.points:
            return self.points[measure].observe
        return self.derived[measure].words if measure in self.derived else measure
