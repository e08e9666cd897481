"""The independent judge: a plain evaluator straight from rules and exact numbers.

It shares neither codes nor patterns with the network, and computes states, effects and verdicts itself.
"""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from precheck.derive.cells import Cells
from precheck.engine.plan import Unit, UnitKey
from precheck.model.changes import NOTHING_ASIDE, Aside
from precheck.model.quantity import Enclosure
from precheck.model.record import dataclass, field
from precheck.model.rules import Op, Part, State, Test, Verdict
from precheck.model.settled import Cell, Status
from precheck.rulebook.book import Rulebook


@dataclass(frozen=True, slots=True)
class Judged:
    """A state; `may_fail` when a reading could yet fail it although it is missing or cannot be told.

    `may_drop` when a fact that is open decides whether it applies at all.
    """

    state: State
    may_fail: bool = False
    may_drop: bool = False


MEETS, FAILS = Judged(State.MEETS), Judged(State.FAILS)
MAY_DROP = Judged(State.MEETS, may_drop=True)
DOES_NOT_APPLY, SET_ASIDE = Judged(State.DOES_NOT_APPLY), Judged(State.SET_ASIDE)
NOT_MEASURED, FAILED_BEFORE = Judged(State.NOT_MEASURED), Judged(State.NOT_MEASURED, may_fail=True)
CANNOT_TELL, ON_THE_LIMIT = Judged(State.CANNOT_TELL), Judged(State.CANNOT_TELL, may_fail=True)


@dataclass(frozen=True, slots=True)
class Judgement:
    units: dict[UnitKey, Judged]
    bad: dict[str, frozenset[UnitKey]]
    open: dict[str, frozenset[UnitKey]]
    combined: frozenset[tuple[str, str]]
    verdicts: dict[str, Verdict]
    aside: dict[str, frozenset[UnitKey]] = field(default_factory=dict)


def judge(units: Sequence[Unit], cells: Cells, book: Rulebook, without: Aside = NOTHING_ASIDE) -> Judgement:
    """States, what blocks, what is open and what is set aside for each use, and the verdicts."""
    found = {u.key: SET_ASIDE if u.rule.id in without.rules else _unit(u, cells) for u in units}
    bad: dict[str, set[UnitKey]] = {use: set() for use in book.uses}
    open_: dict[str, set[UnitKey]] = {use: set() for use in book.uses}
    aside: dict[str, set[UnitKey]] = {use: set() for use in book.uses}
    met: set[str] = set()
    known = book.uses.keys()
    failing = []
    for unit, (key, judged) in zip(units, found.items(), strict=True):
        state = judged.state
        if state is State.DOES_NOT_APPLY:
            continue
        if state is State.FAILS:
            failing.append(unit)
            for use in unit.effects.blocks & known:
                accepted = (unit.rule.id, unit.place, use) in without.accepted
                (aside if accepted else bad)[use].add(key)
        elif state is State.SET_ASIDE:
            for use in book.uses:
                aside[use].add(key)
        elif state is not State.MEETS:
            for use in _open_for(judged, unit) & known:
                open_[use].add(key)
        met |= _met_for(judged, unit)
    combined = _combined(failing, book)
    verdicts = {}
    for use in book.uses:
        if bad[use] or any(use in _above(book, rung) for _, rung in combined):
            verdicts[use] = Verdict.NO_GO
        elif open_[use] or use not in met:
            verdicts[use] = Verdict.UNDECIDED
        else:
            verdicts[use] = Verdict.GO
    return Judgement(found, _frozen(bad), _frozen(open_), combined, verdicts, _frozen(aside))


def _frozen(sets: dict[str, set[UnitKey]]) -> dict[str, frozenset[UnitKey]]:
    return {use: frozenset(keys) for use, keys in sets.items()}


def _met_for(judged: Judged, unit: Unit) -> frozenset[str]:
    """The uses a GO may rest on this for: a library rule that bears on them, not a question answered."""
    effects = unit.effects
    if judged.state is State.MEETS and not unit.rule.built_in:
        return effects.blocks | effects.asks | _limited(unit)
    return _limited(unit) - effects.blocks if judged.state is State.FAILS else frozenset()


def _limited(unit: Unit) -> frozenset[str]:
    return frozenset(use for use, limits in unit.effects.limits if limits)


def _open_for(judged: Judged, unit: Unit) -> frozenset[str]:
    """The uses that a missing or unclear result leaves open."""
    return unit.effects.asks | unit.effects.blocks if judged.may_fail else unit.effects.asks


def _combined(failing: Sequence[Unit], book: Rulebook) -> frozenset[tuple[str, str]]:
    out = set()
    for rung in book.rungs()[:-1]:
        for chain in book.policy.combine_chains:
            rules = {
                u.rule.id
                for u in failing
                if u.rule.chain == chain and rung.id not in u.effects.blocks and u.effects.limits_at(rung.id)
            }
            if len(rules) >= book.policy.combine:
                out.add((chain, rung.id))
    return frozenset(out)


def _above(book: Rulebook, rung: str) -> set[str]:
    """The uses that stand above a rung: higher rungs, and side uses that stand on one of them."""
    rank = book.uses[rung].rank
    return {u.id for u in book.uses.values() if u.rank > rank}


# -- states -----------------------------------------------------------------------------------


def _unit(unit: Unit, cells: Cells) -> Judged:
    return _part(unit.step.condition, unit.place, cells, unit.rule.applies)


def _part(part: Part, place: str, cells: Cells, applies: tuple[Test, ...] = ()) -> Judged:
    """Kleene's three values for applicability, five states for the rest. `applies`: terms of the rule."""
    holds = [_test(term, place, cells).state for term in (*applies, *part.applies)]
    if State.FAILS in holds:
        return DOES_NOT_APPLY
    inner = [_test(test, place, cells) for test in part.tests]
    if part.parts:
        beside = [_part(p, place, cells) for p in part.parts]
        inner += [j for j in beside if j.state is not State.DOES_NOT_APPLY]
    if not inner:
        return DOES_NOT_APPLY
    # One alone is the result of both words.
    result = inner[0] if len(inner) == 1 else _any(inner) if part.any_of else _all(inner)
    if all(h is State.MEETS for h in holds):
        return result
    if result.state is State.MEETS:
        return MAY_DROP
    return Judged(State.CANNOT_TELL, result.may_fail or result.state is State.FAILS, may_drop=True)


def _all(inner: Sequence[Judged]) -> Judged:
    states = [j.state for j in inner]
    may_fail = any(j.may_fail for j in inner)
    may_drop = all(j.may_drop for j in inner)
    if State.FAILS in states:
        return FAILS
    if State.NOT_MEASURED in states:
        return FAILED_BEFORE if may_fail else NOT_MEASURED
    if State.CANNOT_TELL in states:
        return Judged(State.CANNOT_TELL, may_fail, may_drop)
    return MAY_DROP if may_drop else MEETS


def _any(inner: Sequence[Judged]) -> Judged:
    """A part that may drop out passes nothing: without it the others decide."""
    failing = [j for j in inner if j.state is State.FAILS or j.may_fail]
    may_drop = all(j.may_drop for j in inner)
    if any(j.state is State.MEETS and not j.may_drop for j in inner):
        return MEETS
    could_all_fail = bool(failing) and all(j in failing or j.may_drop for j in inner)
    if any(j.state is State.NOT_MEASURED for j in inner):
        return FAILED_BEFORE if could_all_fail else NOT_MEASURED
    if all(j.state is State.FAILS for j in inner):
        return FAILS
    if all(j.state is State.MEETS for j in inner):
        return MAY_DROP
    return Judged(State.CANNOT_TELL, could_all_fail or any(j.may_fail for j in inner), may_drop)


def _test(test: Test, place: str, cells: Cells) -> Judged:
    return _compare(test, cells.found[cells.key(test, place)])


def outcome_of(test: Test, cell: Cell) -> State:
    """What one comparison comes to."""
    return _compare(test, cell).state


def _compare(test: Test, cell: Cell) -> Judged:
    if cell.status is Status.MISSING:
        return FAILED_BEFORE if cell.was and _failed_before(test, cell) else NOT_MEASURED
    if cell.status is Status.UNCLEAR:
        return CANNOT_TELL
    if test.op is Op.ONE_OF:
        states = test.states
        for value in cell.values:
            if value.state not in states:
                return FAILS
        return MEETS
    assert test.limit is not None
    return _number(test.op, worst_value(test.op, cell), test.limit)


def _failed_before(test: Test, cell: Cell) -> bool:
    """Whether a reading that no longer counts failed: it has not got better by waiting."""
    return _compare(test, Cell(cell.id, cell.place, Status.VALUE, cell.was)).state is State.FAILS


def worst_value(op: Op, cell: Cell) -> Enclosure:
    """The value that decides: the lowest for a lower limit, the highest for an upper one."""
    if len(cell.values) == 1 and cell.values[0].number is not None:
        return cell.values[0].number
    numbers = [v.number for v in cell.values if v.number is not None]
    lows = [n.low for n in numbers]
    highs = [n.high for n in numbers]
    if op in (Op.AT_LEAST, Op.MORE_THAN):
        high = min((h for h in highs if h is not None), default=None)
        return Enclosure(None if None in lows else min(x for x in lows if x is not None), high)
    low = max((x for x in lows if x is not None), default=None)
    return Enclosure(low, None if None in highs else max(h for h in highs if h is not None))


def _number(op: Op, value: Enclosure, limit: Fraction) -> Judged:
    low, high = value.low, value.high
    if op is Op.AT_LEAST:
        meets = low is not None and low >= limit
        fails = not meets and high is not None and high < limit
    elif op is Op.MORE_THAN:
        meets = low is not None and low > limit
        fails = not meets and high is not None and high <= limit
    elif op is Op.AT_MOST:
        meets = high is not None and high <= limit
        fails = not meets and low is not None and low > limit
    else:
        meets = high is not None and high < limit
        fails = not meets and low is not None and low >= limit
    return MEETS if meets else FAILS if fails else ON_THE_LIMIT
