"""Rules that the rulebook itself brings: facts to answer, a law for the road, floors not yet written."""

from __future__ import annotations

from collections.abc import Iterator

from precheck.model.catalogue import VEHICLE, Point, Use
from precheck.model.problem import Mark
from precheck.model.rules import Cite, Effects, Op, Part, Rule, Step, Test
from precheck.rulebook.book import Rulebook
from precheck.rulebook.rules import close_up

LAW = "law-judged"  # the built-in value: did a source besides the floor judge?
JUDGED = "judged"
PENDING = "floor-written-for-"
_HERE = Mark(1, 1)


def questions(book: Rulebook) -> tuple[Rule, ...]:
    """One rule for each fact that must be answered, one for the law, one for each pending floor."""
    out = [_fact(book, p) for p in book.points.values() if p.fact and p.opens and p.states]
    road = [u for u in book.rungs() if u.rank == 1]
    out += [_law(book, use) for use in road]
    out += [_pending(use) for use in book.uses.values() if not use.floor_complete]
    return tuple(out)


def _rule(name: str, title: str, requires: str, test: Test, asks: frozenset[str], low: str, fix: str) -> Rule:
    effects = Effects(frozenset(), asks, (), None, low)
    return Rule(
        name,
        title,
        (Cite("floor", "the record itself", "memory"),),
        requires,
        "identity",
        VEHICLE,
        (),
        (Step(Part(False, (), (test,)), effects, ""),),
        None,
        "",
        fix,
        (),
        (),
        True,
        "rules/facts.yaml",
        _HERE,
        built_in=True,
    )


def _fact(book: Rulebook, point: Point) -> Rule:
    assert point.opens is not None
    test = Test(point.id, Op.ONE_OF, "answered", states=point.states)
    asks = close_up([point.opens], book.uses)
    requires = point.question or f"{point.id} is answered."
    return _rule(f"answer-{point.id}", point.observe, requires, test, asks, point.opens, requires)


def _law(book: Rulebook, use: Use) -> Rule:
    test = Test(LAW, Op.ONE_OF, JUDGED, states=(JUDGED,))
    requires = "On the road, at least one source besides the floor judges: the law of the vehicle's region."
    fix = (
        "Answer 'region' if it is not; name sources with --sources; or add a rule file of a law with --rules."
    )
    return _rule(
        "law-besides-the-floor",
        "A law to judge by",
        requires,
        test,
        close_up([use.id], book.uses),
        use.id,
        fix,
    )


def _pending(use: Use) -> Rule:
    test = Test(f"{PENDING}{use.id}", Op.ONE_OF, JUDGED, states=(JUDGED,))
    requires = f"The floor rules for '{use.id}' are not all written yet, so no GO is given for it."
    fix = "What is judged already is shown."
    return _rule(
        f"{PENDING}{use.id}", f"Rules for {use.id}", requires, test, frozenset({use.id}), use.id, fix
    )


def built_in(rules: Iterator[Rule]) -> tuple[str, ...]:
    """The built-in values that these rules read."""
    names = {t.measure for r in rules for s in r.steps for t in s.condition.tests}
    return tuple(sorted(n for n in names if n == LAW or n.startswith(PENDING)))
