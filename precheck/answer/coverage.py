"""What the rules cover, by system, source and use; what no rule judges; limits that differ on one thing."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from precheck.answer.targets import side_of, strictness
from precheck.engine.plan import tests_in, tests_of
from precheck.model.record import dataclass
from precheck.model.rules import Part, Rule, Test
from precheck.rulebook.book import Rulebook

Table = tuple[tuple[str, ...], Sequence[tuple[str, ...]]]


def coverage(book: Rulebook) -> dict[str, Table]:
    """Tables by name: rules by system, by source, by use, and the points no rule judges."""
    return {
        "by system": _by_system(book),
        "by source": _by_source(book),
        "by use": _by_use(book),
        "points no rule judges": _unjudged(book),
    }


def judged_points(book: Rulebook) -> set[str]:
    """Points and facts that some rule reads: judged, in a term, as a bound, or through a derived value."""
    out: set[str] = set()
    todo = {
        name
        for r in book.rules.values()
        for t in tests_of(r)
        for name in (t.measure, t.bound.of if t.bound else "")
    }
    while todo:
        name = todo.pop()
        if name in out:
            continue
        out.add(name)
        if name in book.derived:
            todo |= set(book.derived[name].inputs) - out
    return out


def _by_system(book: Rulebook) -> Table:
    read = judged_points(book)
    systems = dict.fromkeys(
        [p.system for p in book.points.values()] + [r.system for r in book.rules.values()]
    )
    rows = []
    for system in systems:
        rules = [r for r in book.rules.values() if r.system == system]
        points = [p for p in book.points.values() if p.system == system]
        floor = sum(r.floor for r in rules)
        judged = sum(p.id in read for p in points)
        rows.append((system, str(len(rules)), str(floor), str(len(points)), str(len(points) - judged)))
    return ("system", "rules", "of the floor", "points and facts", "of them unjudged"), rows


def _by_source(book: Rulebook) -> Table:
    rows = []
    for source in book.sources.values():
        rules = [r for r in book.rules.values() if r.source == source.id]
        clauses = [c for c in book.clauses if c.source == source.id]
        checked = [sum(r.cites[0].checked == word for r in rules) for word in ("text", "secondary", "memory")]
        bare = sum(not c.rules and not c.status for c in clauses)
        rows.append(
            (source.id, source.kind, str(len(rules)), *map(str, checked), str(len(clauses)), str(bare))
        )
    heads = ("source", "kind", "rules", "text", "secondary", "memory", "clauses", "without a word")
    return heads, rows


def _by_use(book: Rulebook) -> Table:
    rows = []
    for use in book.uses.values():
        steps = [s.effects for r in book.rules.values() for s in r.steps]
        first = sum(e.lowest_block == use.id for e in steps)
        blocks = sum(use.id in e.blocks for e in steps)
        limits = sum(bool(e.limits_at(use.id)) for e in steps)
        asks = sum(use.id in e.asks for e in steps)
        rows.append((use.id, str(first), str(blocks), str(limits), str(asks)))
    return ("use", "block it first", "block it", "limit it", "ask for it"), rows


def _unjudged(book: Rulebook) -> Table:
    read = judged_points(book)
    facts = {name for family in book.families.values() for p in family.places for name, _ in p.when}
    rows = [
        (p.id, p.system, p.observe)
        for p in book.points.values()
        if p.id not in read and p.id not in facts and not (p.fact and p.opens)
    ]
    return ("point", "system", "what"), rows


# -- rules on one measure -----------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class _Limit:
    """One test of one step of one rule, with what sorts it among others of its kind."""

    rule: Rule
    step: int
    test: Test


def rule_lines(book: Rulebook, name: str) -> Iterator[tuple[str, str]]:
    """(label, text) lines: the rules that judge a point or derived value, strictest first."""
    limits = [
        _Limit(rule, number, test)
        for rule in book.rules.values()
        for number, step in enumerate(rule.steps, 1)
        for test in _judging(step.condition)
        if test.measure == name
    ]
    groups: dict[tuple[str, str], list[_Limit]] = {}
    for limit in limits:
        groups.setdefault((limit.test.cell, side_of(limit.test)), []).append(limit)
    rules = {limit.rule.id for limit in limits}
    yield "rules", f"{len(rules)} judge it" if rules else "none judges it"
    for found in groups.values():
        written = {limit.test.written for limit in found}
        if len(written) > 1:
            yield "", f"{len(written)} different limits, strictest first:"
        for limit in sorted(found, key=lambda x: (*strictness(x.test), x.rule.id)):
            yield f"  {limit.test.written}", _words(limit, book)
    terms = {r.id for r in book.rules.values() for t in _terms(r) if t.measure == name}
    yield "decides whether they apply", ", ".join(sorted(terms))
    bounds = {r.id for r in book.rules.values() for t in tests_of(r) if t.bound and t.bound.of == name}
    yield "sets the limit of", ", ".join(sorted(bounds))
    yield "worked into", ", ".join(d.id for d in book.derived.values() if name in d.inputs)


def _judging(part: Part) -> Iterator[Test]:
    """The tests of a condition, without its terms of applicability."""
    yield from part.tests
    for inner in part.parts:
        yield from _judging(inner)


def _terms(rule: Rule) -> Iterator[Test]:
    yield from rule.applies
    for step in rule.steps:
        judged = set(_judging(step.condition))
        yield from (t for t in tests_in(step.condition) if t not in judged)


def _words(limit: _Limit, book: Rulebook) -> str:
    rule = limit.rule
    effects = rule.steps[limit.step - 1].effects
    step = f", step {limit.step}" if len(rule.steps) > 1 else ""
    where = f" for {rule.family}" if rule.family != "vehicle" else ""
    blocks = f"; blocks {effects.lowest_block}" if effects.lowest_block else ""
    over = limit.test.over
    take = f" ({over.take} over {over.family})" if over else ""
    return f"{rule.id}{step}{take}{where}: {rule.cites[0].source} {rule.cites[0].clause}{blocks}"
