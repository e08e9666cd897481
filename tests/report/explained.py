"""Explanations and suppositions over a small made-up rulebook, for the tests of their reports."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from pathlib import Path

from precheck.answer.explain import Explanation, Supposed
from precheck.answer.gate import Request
from precheck.answer.suppose import suppose
from precheck.answer.supposing import suppose as with_lines
from precheck.answer.why import explain
from precheck.model.document import Document
from precheck.model.rules import Bound, Cite, Op, Rule
from precheck.model.rules import Test as Comparison
from precheck.rulebook.book import Rulebook
from tests.support import minibook as mini

EXPECTED = Path(__file__).parent / "expected"
WIDTHS = (80, 120)


def words(rule: Rule, title: str, requires: str, clause: str, fix: str = "", source: str = "us-law") -> Rule:
    cite = Cite(source, clause, "text" if source == "us-law" else "memory")
    return replace(rule, title=title, requires=requires, cites=(cite,), fix=fix)


_WANTED = Comparison(
    "pressure", Op.AT_LEAST, "at least 80 percent of the pressure wanted", Fraction(0),
    bound=Bound("pressure-wanted", Fraction(4, 5)),
)  # fmt: skip
RULES = (
    words(
        mini.simple("tread-depth", mini.at_least("tread", "2/32 in"), ("proving",), ("proving",),
                    family="road-wheels", applies=[mini.one_of("vehicle-class", "light truck", "car")]),
        "Tread", "Every tire keeps 2/32 inch of tread.", "4(1)", "Renew the tire.",
    ),
    words(
        mini.simple("pressure-low", _WANTED, ("proving",), ("proving",), family="road-wheels"),
        "Pressure", "No tire stands below 80 percent of its pressure.", "pressure", "Fill it cold.", "floor",
    ),
    words(
        mini.simple("pedal-firm", mini.one_of("pedal", "firm"), ("yard",), ("yard",),
                    applies=[mini.one_of("brake-actuation", "hydraulic")]),
        "Pedal", "The pedal is firm.", "7", "Bleed the brakes.",
    ),
    words(
        mini.simple("tires-young", mini.at_most("age", "10 year"), (), ("occasional",), {"proving": mini.DRY},
                    family="road-wheels"),
        "Age", "Tires over ten years are for dry roads.", "age", "", "floor",
    ),
    words(
        mini.rule("hold", (mini.any_of(mini.all_of(mini.one_of("hose", "sound")),
                                       mini.all_of(mini.at_most("wall", "2 mm"))),
                           mini.effects(("proving",), ("proving",))), family="brake-hoses"),
        "Hoses", "Hoses are sound.", "9", "Renew both hoses of the axle.",
    ),
)  # fmt: skip
BOOK: Rulebook = mini.book(RULES)
DAY = mini.day()


def _document(*lines: str) -> Document:
    empty = replace(mini.document(), name="juniper.yaml", called="Juniper")
    found, jotted = with_lines(empty, lines, BOOK, DAY)
    assert found is not None, jotted.problems
    visits = tuple(
        replace(v, by="RO", claims=tuple(replace(c, by="RO") for c in v.claims)) for v in found.visits
    )
    return replace(found, visits=visits)


BAD = _document(
    "tread@left-front: 1.5 mm with gauge",
    'tread@right-front: 2/32 in "inner groove"; tread@left-rear: 7/32 in, 6/32 in',
    "pressure@left-front: 27 psi; pressure@right-front: 40 psi; pressure@left-rear: 200 kPa",
    "pressure-wanted@front: 36 psi; pressure-wanted@rear: 36 psi",
    "pedal: sinks; date-code@left-front: 1410; hose@left-front: deep cracks; hose@rear: unknown",
)
GOOD = _document(
    *(f"tread@{p}: 7/32 in; pressure@{p}: 36 psi; date-code@{p}: 1424" for p in (
        "left-front", "right-front", "left-rear", "right-rear")),
    "pressure-wanted@front: 36 psi; pressure-wanted@rear: 36 psi; brake-actuation: hydraulic; pedal: firm",
    "hose@left-front: sound; hose@right-front: sound; hose@rear: sound",
)  # fmt: skip


def ask(document: Document, asked: str | None = None, use: str = "proving") -> Explanation:
    return explain(document, BOOK, Request(DAY, (use,), ("us-law",)), asked)


def try_out(document: Document, *lines: str) -> Supposed:
    return suppose(document, BOOK, Request(DAY, ("proving",), ("us-law",)), lines)


EXPLAINED: dict[str, Explanation] = {
    "why-verdict": ask(BAD),
    "why-rule": ask(BAD, "pressure-low@lf"),
    "why-close": ask(BAD, "tread-depth@left-front"),
    "why-point": ask(BAD, "hose"),
    "why-fact": ask(BAD, "brake-actuation"),
    "why-derived": ask(BAD, "age@lf"),
    "why-passing": ask(GOOD, "pedal-firm"),
    "why-go": ask(GOOD),
    "why-left-out": explain(BAD, BOOK, Request(DAY, ("proving",), ()), "tread-depth"),
}
SUPPOSED: dict[str, Supposed] = {
    "suppose-better": try_out(BAD, "lf pressure 36 psi; pedal: firm", 'lf tread 6/32 in "new tire"'),
    "suppose-go": try_out(GOOD, "pressure@left-front: 35 psi"),
    "suppose-worse": try_out(GOOD, "pedal: sinks; rear-wheels: dual"),
}


def stored(name: str, width: int) -> Path:
    return EXPECTED / f"{name}-{width}.txt"
