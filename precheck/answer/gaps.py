"""What is open: readings to take, each once, and facts to answer."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from precheck.answer.evidence import leaves
from precheck.answer.judging import Judged
from precheck.answer.record import Gap, Question
from precheck.engine.plan import Unit
from precheck.model.catalogue import Point
from precheck.model.rules import Part, Test
from precheck.model.settled import Cell, Status
from precheck.rulebook.book import Rulebook
from precheck.rulebook.questions import LAW, PENDING

Waiting = dict[tuple[str, str], tuple[Cell, set[str]]]


def open_things(
    judged: Judged, units: Iterable[Unit], book: Rulebook
) -> tuple[tuple[Gap, ...], tuple[Question, ...]]:
    """Gaps and questions behind the open units.

    Where an unanswered fact leaves open whether a rule applies, only the fact is asked: its answer may
    settle the reading too.
    """
    waiting: Waiting = {}
    for unit in units:
        for cell in _lacking(unit, judged):
            _, rules = waiting.setdefault((cell.id, cell.place), (cell, set()))
            rules.add(unit.rule.id)
    facts: dict[str, tuple[Cell, set[str]]] = {}
    readings: dict[str, list[tuple[Cell, set[str]]]] = {}
    for (name, _), (cell, rules) in sorted(waiting.items()):
        point = book.points.get(name)
        if point is not None and point.fact:
            facts[name] = (cell, rules)
        elif point is not None:
            readings.setdefault(name, []).append((cell, rules))
    gaps = [_gap(book.points[name], found, book) for name, found in readings.items()]
    gaps.sort(key=lambda g: (g.access_order, _order(book, g.point)))
    questions = [_question(book.points[name], cell, rules, book) for name, (cell, rules) in facts.items()]
    questions.sort(key=lambda q: (-q.rules, q.fact))
    return tuple(gaps), tuple(questions)


def built_in_open(judged: Judged, units: Iterable[Unit]) -> tuple[str, ...]:
    """Why the rulebook itself cannot say GO: no law judged, or a floor not yet written."""
    out = []
    for unit in units:
        for test in unit.step.condition.tests:
            if test.measure == LAW or test.measure.startswith(PENDING):
                out.append(f"{unit.rule.requires} {unit.rule.fix}")
    return tuple(dict.fromkeys(out))


def _lacking(unit: Unit, judged: Judged) -> Iterator[Cell]:
    cells = judged.cells
    terms = [*unit.rule.applies, *_terms(unit.step.condition)]
    unknown = [c for t in terms for c in _without_value(t, unit.place, judged)]
    if unknown:
        # A fact is asked before a reading that only serves to say whether the rule applies.
        points = cells.book.points
        facts = [c for c in unknown if c.id in points and points[c.id].fact]
        yield from facts or unknown
        return
    for test in _tests(unit.step.condition):
        yield from _without_value(test, unit.place, judged)
        cell = cells.found[cells.key(test, unit.place)]
        lacking = [c for c in leaves((cell.id, cell.place), cells) if c.status is not Status.VALUE]
        if cell.status is Status.UNCLEAR and not lacking:
            for leaf in leaves((cell.id, cell.place), cells):
                yield Cell(leaf.id, leaf.place, Status.UNCLEAR, why=cell.why, claim=leaf.claim)


def _without_value(test: Test, place: str, judged: Judged) -> list[Cell]:
    cells = judged.cells
    cell = cells.found[cells.key(test, place)]
    if cell.status is Status.VALUE:
        return []
    return [c for c in leaves((cell.id, cell.place), cells) if c.status is not Status.VALUE]


def _terms(part: Part) -> Iterator[Test]:
    yield from part.applies
    for inner in part.parts:
        yield from _terms(inner)


def _tests(part: Part) -> Iterator[Test]:
    yield from part.tests
    for inner in part.parts:
        yield from _tests(inner)


def _gap(point: Point, found: list[tuple[Cell, set[str]]], book: Rulebook) -> Gap:
    access = book.access[point.access]
    rules = set().union(*(r for _, r in found))
    return Gap(
        point=point.id,
        words=point.observe,
        access=access.id,
        access_words=access.words,
        access_order=list(book.access).index(access.id),
        instrument=point.instrument,
        places=tuple((cell.place, cell.why) for cell, _ in found),
        rules=len(rules),
        states=point.states,
        unit=point.unit.name if point.unit else "",
        lasts=lasts_words(point),
        cautions=tuple(dict.fromkeys((*access.cautions, *point.cautions))),
    )


def lasts_words(point: Point) -> str:
    """How long a reading of this point counts, in words."""
    lasts = point.lasts
    if lasts.permanent:
        return "permanent"
    words = []
    if lasts.each_drive:
        words.append("the day of the reading")
    if lasts.days is not None:
        words.append(f"{lasts.days} days")
    if lasts.months is not None:
        words.append(f"{lasts.months} months")
    if lasts.miles is not None:
        words.append(f"{int(lasts.miles / 1609344)} miles")
    return " or ".join(words)


def _question(point: Point, cell: Cell, rules: set[str], book: Rulebook) -> Question:
    unit = point.unit.name if point.unit else ""
    return Question(point.id, point.question or point.observe, point.states, unit, len(rules), cell.why)


def _order(book: Rulebook, name: str) -> int:
    return list(book.points).index(name)
