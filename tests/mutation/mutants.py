"""Every small change of a rule: operators, limits, units, states, terms, parts, steps, and effects."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from fractions import Fraction

from precheck.model.catalogue import VEHICLE, Use
from precheck.model.quantity import Quantity
from precheck.model.rules import Bound, Effects, Op, Part, Row, Rule, Step, Test
from precheck.read.quantity import read_quantity
from precheck.rulebook.book import Rulebook
from precheck.rulebook.places import places_of
from precheck.rulebook.rules import close_up

_NEXT_TO = {
    Op.AT_LEAST: (Op.MORE_THAN, Op.AT_MOST),
    Op.MORE_THAN: (Op.AT_LEAST, Op.LESS_THAN),
    Op.AT_MOST: (Op.LESS_THAN, Op.AT_LEAST),
    Op.LESS_THAN: (Op.AT_MOST, Op.MORE_THAN),
}
_TAKES = {"lowest": "highest", "highest": "lowest", "spread": "highest"}


@dataclass(frozen=True)
class Mutant:
    """A rule with one change. `kind` is what was changed; `effect` True where no state can tell."""

    rule: Rule
    kind: str
    words: str

    @property
    def effect(self) -> bool:
        return self.kind in ("blocks", "asks", "limits")

    @property
    def name(self) -> str:
        return f"{self.rule.id}: {self.kind}: {self.words}"


def mutants(rule: Rule, book: Rulebook) -> Iterator[Mutant]:
    """Every mutant of a rule, those of its states first, then those of its effects."""
    at = rule.family
    for tests, kind, words in _terms(rule.applies, book, at):
        yield Mutant(replace(rule, applies=tests), kind, words)
    for number, step in enumerate(rule.steps):
        label = f"step {number + 1}, " if len(rule.steps) > 1 else ""
        for part, kind, words in _parts(step.condition, book, at):
            yield _with_step(rule, number, replace(step, condition=part), kind, label + words)
    if len(rule.steps) > 1:
        for number in range(len(rule.steps)):
            left = (*rule.steps[:number], *rule.steps[number + 1 :])
            yield Mutant(replace(rule, steps=left), "steps", f"step {number + 1} dropped")
    for number, step in enumerate(rule.steps):
        label = f"step {number + 1}, " if len(rule.steps) > 1 else ""
        for effects, kind, words in _effects(step.effects, book):
            yield _with_step(rule, number, replace(step, effects=effects), kind, label + words)


def _with_step(rule: Rule, number: int, step: Step, kind: str, words: str) -> Mutant:
    return Mutant(replace(rule, steps=(*rule.steps[:number], step, *rule.steps[number + 1 :])), kind, words)


# -- conditions ----------------------------------------------------------------------------------

Tests = tuple[Test, ...]


def _terms(terms: Tests, book: Rulebook, at: str) -> Iterator[tuple[Tests, str, str]]:
    """Each term of applicability dropped, and each of its own small changes."""
    for i, term in enumerate(terms):
        yield (*terms[:i], *terms[i + 1 :]), "term dropped", f"{term.measure} {term.written}"
        for test, kind, words in _tests(term, book, at):
            yield (*terms[:i], test, *terms[i + 1 :]), f"term, {kind}", words


def _parts(part: Part, book: Rulebook, at: str) -> Iterator[tuple[Part, str, str]]:
    for applies, kind, words in _terms(part.applies, book, at):
        yield replace(part, applies=applies), kind, words
    members = len(part.tests) + len(part.parts)
    for i, test in enumerate(part.tests):
        for other, kind, words in _tests(test, book, at):
            yield replace(part, tests=(*part.tests[:i], other, *part.tests[i + 1 :])), kind, words
        if members > 1:
            left = (*part.tests[:i], *part.tests[i + 1 :])
            yield replace(part, tests=left), "part dropped", f"{test.measure} {test.written}"
    for i, inner in enumerate(part.parts):
        for changed, kind, words in _parts(inner, book, at):
            yield replace(part, parts=(*part.parts[:i], changed, *part.parts[i + 1 :])), kind, words
        if members > 1:
            yield (
                replace(part, parts=(*part.parts[:i], *part.parts[i + 1 :])),
                "part dropped",
                f"part {i + 1}",
            )
    if members > 1:
        yield replace(part, any_of=not part.any_of), "any and all", "any-of for all-of, or the other way"


def _tests(test: Test, book: Rulebook, at: str) -> Iterator[tuple[Test, str, str]]:
    name = f"{test.cell if test.over else test.measure} {test.written}"
    if test.over and test.over.take in _TAKES:
        take = _TAKES[test.over.take]
        yield replace(test, over=replace(test.over, take=take)), "across places", f"{name}: {take}"
    if test.op is Op.ONE_OF:
        yield from _states(test, book, name)
        return
    for op in _NEXT_TO[test.op]:
        yield replace(test, op=op), "operator", f"{name}: {op.value}"
    if test.bound is None:
        yield from _limits(test, book, name, at)
    else:
        for bound, words in _bounds(test.bound, book):
            yield replace(test, bound=bound), "limit", f"{name}: {words}"


def _states(test: Test, book: Rulebook, name: str) -> Iterator[tuple[Test, str, str]]:
    """The accepted states with the last of them left out, and with the next one taken in."""
    thing = book.points.get(test.measure) or book.derived.get(test.measure)
    known = thing.states if thing else ()
    good = [s for s in known if s in test.states]
    bad = [s for s in known if s not in test.states]
    if good:
        yield replace(test, states=tuple(good[:-1])), "states", f"{name}: without '{good[-1]}'"
    if bad:
        after = [s for s in bad if not good or known.index(s) > known.index(good[-1])] or bad
        yield replace(test, states=(*good, after[0])), "states", f"{name}: with '{after[0]}'"


def _limits(test: Test, book: Rulebook, name: str, at: str) -> Iterator[tuple[Test, str, str]]:
    assert test.limit is not None
    quantity = _quantity(test, book)
    step = Fraction(1) if quantity is None else quantity.step or quantity.unit.factor
    kind, what = "date" if quantity is None else "limit", "step"
    if test.over and test.over.take == "share":
        step, what = Fraction(1, _places_over(test.over.family, at, book)), "place"
    for shift, words in ((-step, f"one {what} down"), (step, f"one {what} up")):
        yield replace(test, limit=test.limit + shift), kind, f"{name}: {words}"
    if quantity is None:
        return
    others = [u for u in book.units.of(quantity.unit.dimension) if u.factor != quantity.unit.factor]
    if others:
        number = (test.limit - quantity.unit.offset) / quantity.unit.factor
        other = others[0]
        limit = number * other.factor + other.offset
        if limit != test.limit:
            yield replace(test, limit=limit), "unit", f"{name}: the number as {other.name}"


def _places_over(family: str, at: str, book: Rulebook) -> int:
    """How many places a share is taken over where the rule stands, on a vehicle with single rear wheels.

    Between the shares of two neighboring counts no share lies, so a smaller step would change nothing.
    """
    places = places_of(family, book, lambda fact: book.points[fact].states[0], {})
    if at == VEHICLE:
        return len(places)
    return max(sum(p.up == q.up for q in places) for p in places)


def _quantity(test: Test, book: Rulebook) -> Quantity | None:
    """The limit as it was written; None for a date."""
    written = test.written.removeprefix(test.op.value.replace("-", " ")).strip()
    found = read_quantity(written, book.units)
    return found if isinstance(found, Quantity) else None


def _bounds(bound: Bound, book: Rulebook) -> Iterator[tuple[Bound, str]]:
    """A share one percent off, what is added one step off, each row of a table one step off or dropped."""
    percent = Fraction(1, 100)
    for shift, words in ((-percent, "one percent less"), (percent, "one percent more")):
        if not bound.rows:
            yield replace(bound, share=bound.share + shift), words
    if bound.plus:
        thing = book.points.get(bound.of) or book.derived.get(bound.of)
        step = thing.unit.factor if thing and thing.unit else Fraction(1)
        for shift, words in ((-step, "added one unit less"), (step, "added one unit more")):
            yield replace(bound, plus=bound.plus + shift), words
    for i, row in enumerate(bound.rows):
        for other, words in _rows(row, book):
            rows = (*bound.rows[:i], other, *bound.rows[i + 1 :])
            yield _table(bound, rows), f"row {row.written}: {words}"
        if len(bound.rows) > 1:
            yield _table(bound, (*bound.rows[:i], *bound.rows[i + 1 :])), f"row {row.written}: dropped"


def _table(bound: Bound, rows: tuple[Row, ...]) -> Bound:
    """The table's name is part of the name of the value it is compared in, so it changes too."""
    return replace(bound, rows=rows, table=f"{bound.table};{hash(rows)}")


def _rows(row: Row, book: Rulebook) -> Iterator[tuple[Row, str]]:
    quantity = read_quantity(row.written.rpartition(": ")[2], book.units)
    step = quantity.step if isinstance(quantity, Quantity) and quantity.step else Fraction(1)
    for shift, words in ((-step, "limit one step down"), (step, "limit one step up")):
        yield replace(row, limit=row.limit + shift), words
    if row.low is not None and row.low != row.high:
        yield replace(row, low_out=not row.low_out), "lower end the other way"
    if row.high is not None and row.low != row.high:
        yield replace(row, high_out=not row.high_out), "upper end the other way"


# -- effects -------------------------------------------------------------------------------------


def _effects(effects: Effects, book: Rulebook) -> Iterator[tuple[Effects, str, str]]:
    """What a failure does, one rung off or left out; who asks, likewise; each limit left out or one off."""
    for kind, name in (("blocks", effects.lowest_block), ("asks", effects.lowest_ask)):
        for other in _beside(name, book):
            names = () if other is None else (other,)
            uses = close_up(names, book.uses)
            words = other or "nothing"
            if kind == "blocks" and uses != effects.blocks:
                yield replace(effects, blocks=uses, lowest_block=other), kind, f"blocks {words}"
            if kind == "asks" and uses != effects.asks:
                yield replace(effects, asks=uses, lowest_ask=other), kind, f"asks {words}"
    for i, (use, limits) in enumerate(effects.limits):
        left = (*effects.limits[:i], *effects.limits[i + 1 :])
        yield replace(effects, limits=left), "limits", f"no limits for {use}"
        for k, limit in enumerate(limits):
            if limit.value is not None:
                more = replace(limit, value=limit.value * 2)
                changed = ((use, (*limits[:k], more, *limits[k + 1 :])),)
                spread = (*effects.limits[:i], *changed, *effects.limits[i + 1 :])
                yield replace(effects, limits=spread), "limits", f"{use}, {limit.kind} twice as much"


def _beside(name: str | None, book: Rulebook) -> list[str | None]:
    """The uses a rung above and below, and none; of a side use its rung, and none."""
    rungs = [u.id for u in book.rungs()]
    if name is None:
        return [rungs[1]]
    use: Use = book.uses[name]
    if use.side:
        return [rungs[use.rank], None]
    at = rungs.index(name)
    return [*rungs[max(at - 1, 0) : at], *rungs[at + 1 : at + 2], None]
