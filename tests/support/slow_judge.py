"""A third, plain evaluator written from the design's text: states by every answer to what is open, verdicts.

It reads values from the cells and shares nothing else with the engine.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence, Set
from dataclasses import dataclass
from fractions import Fraction
from itertools import product

from precheck.derive.cells import Cells
from precheck.engine.plan import Unit, UnitKey
from precheck.model.document import Value
from precheck.model.quantity import Enclosure
from precheck.model.rules import Op, Part, State, Test, Verdict
from precheck.model.settled import Status
from precheck.rulebook.book import Rulebook

MEETS, FAILS, OPEN, UNCLEAR, NOT_HERE = (
    State.MEETS,
    State.FAILS,
    State.NOT_MEASURED,
    State.CANNOT_TELL,
    State.DOES_NOT_APPLY,
)
EITHER = "either"  # a value on both sides of the limit
LAPSED = "lapsed"  # no value that counts, and the one before failed


@dataclass(frozen=True)
class Slow:
    """`could`: the states a unit could have, by how the open facts were answered; one where none is open.

    `risky`: an answer, or where its value lies between its bounds, makes it fail.
    """

    could: dict[UnitKey, set[State]]
    risky: set[UnitKey]


MOST = 6  # open terms and values of one unit; with more it is left out


def judge_slowly(units: Sequence[Unit], cells: Cells) -> Slow:
    could, risky = {}, set()
    for unit in units:
        part = unit.step.condition
        whole = Part(part.any_of, (*unit.rule.applies, *part.applies), part.tests, part.parts)
        found = {t: outcome(t, unit.place, cells) for t in tests_in(whole)}
        terms = [t for t in dict.fromkeys(terms_in(whole)) if found[t] not in (MEETS, FAILS)]
        between = [t for t, word in found.items() if word in (EITHER, LAPSED)]
        if len(terms) + len(between) > MOST:
            continue
        could[unit.key] = {state_of(whole, found | held, found) for held in answers(terms)}
        ends = {
            state_of(whole, found | held, found | lies)
            for held in answers(terms)
            for lies in answers(between)
        }
        if FAILS in ends:
            risky.add(unit.key)
    return Slow(could, risky)


def answers(tests: Sequence[Test]) -> Iterator[dict[Test, State | str]]:
    for picked in product((MEETS, FAILS), repeat=len(tests)):
        yield dict(zip(tests, picked, strict=True))


def verdict_of(
    use: str,
    units: Sequence[Unit],
    states: Mapping[UnitKey, State],
    open_: Set[UnitKey],
    book: Rulebook,
) -> Verdict:
    """From the states and what is open, by the design's one tally a use."""
    bad = any(states[u.key] is FAILS and use in u.effects.blocks for u in units)
    too_many = any(book.uses[use].rank > book.uses[rung].rank for rung in combined(units, states, book))
    if bad or too_many:
        return Verdict.NO_GO
    met = any(
        (states[u.key] is MEETS and (use in u.effects.blocks | u.effects.asks or u.effects.limits_at(use)))
        or (states[u.key] is FAILS and u.effects.limits_at(use))
        for u in units
    )
    return Verdict.GO if met and not open_ else Verdict.UNDECIDED


def combined(units: Sequence[Unit], states: Mapping[UnitKey, State], book: Rulebook) -> set[str]:
    """Rungs at which so many rules of one chain only limit the use that the next rung is blocked."""
    out = set()
    rungs = sorted((u for u in book.uses.values() if not u.side), key=lambda u: u.rank)
    for rung in rungs[:-1]:
        for chain in book.policy.combine_chains:
            limited = {
                u.rule.id
                for u in units
                if u.rule.chain == chain
                and states[u.key] is FAILS
                and rung.id not in u.effects.blocks
                and u.effects.limits_at(rung.id)
            }
            if len(limited) >= book.policy.combine:
                out.add(rung.id)
    return out


# -- states -----------------------------------------------------------------------------------


def state_of(part: Part, held: Mapping[Test, State | str], found: Mapping[Test, State | str]) -> State:
    """By the tables of the design, where it is known of every term whether it holds."""
    if any(held[t] is FAILS for t in part.applies):
        return NOT_HERE
    inner = [{EITHER: UNCLEAR, LAPSED: OPEN}.get(str(found[t]), found[t]) for t in part.tests]
    inner += [s for s in (state_of(p, held, found) for p in part.parts) if s is not NOT_HERE]
    if not inner:
        return NOT_HERE
    order = (MEETS, OPEN, UNCLEAR, FAILS) if part.any_of else (FAILS, OPEN, UNCLEAR, MEETS)
    return next(s for s in order if s in inner)


def tests_in(part: Part) -> Iterator[Test]:
    yield from (*part.applies, *part.tests)
    for inner in part.parts:
        yield from tests_in(inner)


def terms_in(part: Part) -> Iterator[Test]:
    yield from part.applies
    for inner in part.parts:
        yield from terms_in(inner)


def outcome(test: Test, place: str, cells: Cells) -> State | str:
    cell = cells.found[cells.key(test, place)]
    if cell.status is Status.MISSING:
        return LAPSED if cell.was and judged(test, cell.was) is FAILS else OPEN
    return UNCLEAR if cell.status is Status.UNCLEAR else judged(test, cell.values)


def judged(test: Test, values: Sequence[Value]) -> State | str:
    if test.op is Op.ONE_OF:
        return MEETS if {v.state for v in values} <= set(test.states) else FAILS
    assert test.limit is not None
    each = [compare(test.op, v.number, test.limit) for v in values if v.number is not None]
    return FAILS if FAILS in each else EITHER if EITHER in each else MEETS


def compare(op: Op, value: Enclosure, limit: Fraction) -> State | str:
    """All of the enclosure must meet, or all of it fail. None is without end."""
    low, high = value.low, value.high
    ends = {
        Op.AT_LEAST: (low is not None and low >= limit, high is not None and high < limit),
        Op.MORE_THAN: (low is not None and low > limit, high is not None and high <= limit),
        Op.AT_MOST: (high is not None and high <= limit, low is not None and low > limit),
        Op.LESS_THAN: (high is not None and high < limit, low is not None and low >= limit),
    }
    all_of_it_meets, all_of_it_fails = ends[op]
    return MEETS if all_of_it_meets else FAILS if all_of_it_fails else EITHER
