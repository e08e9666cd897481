"""Judges twice and lets nothing out unless both say the same."""

from __future__ import annotations

from collections.abc import Sequence

from precheck.derive.cells import Cells
from precheck.engine import judge as plain
from precheck.engine import logic, run
from precheck.engine.faults import Disagreement, Incomplete
from precheck.engine.judge import Judgement
from precheck.engine.plan import Unit, plan
from precheck.engine.results import Results
from precheck.model.changes import NOTHING_ASIDE, Aside
from precheck.model.rules import Rule
from precheck.rulebook.book import Rulebook


def evaluate(
    rules: Sequence[Rule], cells: Cells, book: Rulebook, aside: Aside = NOTHING_ASIDE
) -> tuple[tuple[Unit, ...], Results]:
    """The expected units and what they come to, by the network, confirmed by the judge.

    What `aside` names is planned and counted like everything else, and ends in the state set aside.
    Raises an EngineFault where a result is missing or doubled, or where the two differ.
    """
    units = plan(rules, cells)
    results = run.run(units, cells, book, aside)
    confirm(units, results, plain.judge(units, cells, book, aside))
    return units, results


def confirm(units: Sequence[Unit], results: Results, judgement: Judgement) -> None:
    """Compare states, what blocks, what is open, combinations and verdicts."""
    expected = {u.key for u in units}
    for name, found in (("network", results.states.keys()), ("judge", judgement.units.keys())):
        if set(found) != expected or len(expected) != len(units):
            raise Incomplete(f"the {name} has {len(found)} results of {len(units)}")
    for unit in units:
        one, other = results.states[unit.key], judgement.units[unit.key].state
        if one is not other:
            raise Disagreement(
                f"{unit.rule.id} at {unit.place}: the network says {one.value}, the judge {other.value}"
            )
    for use, classes in results.classes.items():
        if set(classes) != expected:
            raise Incomplete(f"{len(classes)} of {len(units)} results count for {use}")
        for name, theirs in (
            (logic.BAD, judgement.bad[use]),
            (logic.OPEN, judgement.open[use]),
            (logic.ASIDE, judgement.aside[use]),
        ):
            mine = {key for key, word in classes.items() if word == name}
            if mine != theirs:
                key = min(mine ^ theirs)
                raise Disagreement(f"{key[0]} at {key[1]} is {name} for {use} by one evaluator only")
    if {(c.chain, c.use) for c in results.combined} != judgement.combined:
        raise Disagreement("the combination rules fired differently")
    for use, verdict in results.verdicts.items():
        if judgement.verdicts[use] is not verdict:
            raise Disagreement(f"the network and the judge decide differently for {use}")
