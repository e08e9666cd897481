"""Mutates rules and lists the mutants that nothing noticed.

    python -m tests.mutation.run                 every rule (minutes)
    python -m tests.mutation.run --every 10      every tenth rule
    python -m tests.mutation.run --source us-49cfr570 --system tires
    python -m tests.mutation.run --rule ID

Exit code 1 where a mutant of a state survives that is not among the known survivors, or a changed
effect goes unnoticed.
"""

from __future__ import annotations

import argparse
from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from pathlib import Path

from precheck.model.rules import Rule
from precheck.rulebook.book import Rulebook
from precheck.rulebook.load import load
from tests.mutation.cases import Cases
from tests.mutation.effects import Effective
from tests.mutation.mutants import Mutant, mutants

KNOWN = Path(__file__).parent / "survivors.txt"


@dataclass
class Outcome:
    """Mutants by kind, those that survived, and what noticed effects."""

    rules: int = 0
    tried: Counter[str] = field(default_factory=Counter)
    survivors: list[Mutant] = field(default_factory=list)
    effects: Counter[str] = field(default_factory=Counter)  # by who noticed; empty: nobody
    unnoticed: list[Mutant] = field(default_factory=list)

    @property
    def count(self) -> int:
        return sum(self.tried.values())


def tried(rules: Iterable[Rule], book: Rulebook, effects: bool = True) -> Outcome:
    """Every mutant of these rules, which must have their cases."""
    out = Outcome()
    effective = Effective(book) if effects else None
    for rule in rules:
        out.rules += 1
        cases = Cases(rule, book)
        if cases.noticed_by(rule):
            raise AssertionError(f"{rule.id}: a case does not hold; run precheck rules prove")
        for mutant in mutants(rule, book):
            if mutant.effect:
                if effective is not None:
                    by = effective.noticed_by(rule, mutant.rule)
                    out.effects[by] += 1
                    out.unnoticed += [] if by else [mutant]
                continue
            out.tried[mutant.kind] += 1
            if cases.noticed_by(mutant.rule) is None:
                out.survivors.append(mutant)
    return out


def known_survivors() -> dict[str, str]:
    """Mutants that no case can notice, each with the reason: `name :: reason` a line."""
    if not KNOWN.is_file():
        return {}
    lines = [line for line in KNOWN.read_text(encoding="utf-8").splitlines() if line and line[0] != "#"]
    return {name: why for name, _, why in (line.partition(" :: ") for line in lines)}


def every(rules: Sequence[Rule], nth: int, first: int = 0) -> list[Rule]:
    """Every nth rule, counted in the order of their names, so that a new rule moves few others."""
    return sorted(rules, key=lambda r: r.id)[first::nth]


def main() -> int:
    options = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawTextHelpFormatter)
    options.add_argument("--every", type=int, default=1, metavar="N")
    for name in ("source", "system", "rule"):
        options.add_argument(f"--{name}", metavar="ID")
    said = options.parse_args()
    book = load()
    rules = [
        r
        for r in every(list(book.rules.values()), said.every)
        if said.source in (None, r.source) and said.system in (None, r.system) and said.rule in (None, r.id)
    ]
    out = tried(rules, book)
    known = known_survivors()
    new = [m for m in out.survivors if m.name not in known]
    for kind, number in sorted(out.tried.items()):
        lost = sum(m.kind == kind for m in out.survivors)
        print(f"  {kind:<24}{number:>7} mutants{lost:>6} survive")
    for mutant in new:
        print(f"SURVIVES {mutant.name}  [{mutant.rule.file}:{mutant.rule.mark.line}]")
    for mutant in out.unnoticed:
        print(f"UNNOTICED {mutant.name}  [{mutant.rule.file}:{mutant.rule.mark.line}]")
    print(
        f"{out.rules} rules, {out.count} mutants of states: {len(out.survivors)} survive, {len(new)} unknown."
    )
    total = sum(out.effects.values())
    by = ", ".join(f"{n} by {who}" for who, n in sorted(out.effects.items()) if who)
    print(f"{total} mutants of effects: {out.effects['']} noticed by nothing; {by or 'none noticed'}.")
    return 1 if new or out.unnoticed else 0


if __name__ == "__main__":
    raise SystemExit(main())
