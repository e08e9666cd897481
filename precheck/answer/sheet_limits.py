"""The limits that will judge a reading, the strictest first, as far as they are known for the vehicle."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from precheck.answer.evidence import leaves, tests_that_apply
from precheck.answer.judging import Judged
from precheck.answer.sheet_record import SheetLimit
from precheck.answer.targets import in_unit, side_of, strictness
from precheck.engine.plan import Unit
from precheck.model.catalogue import VEHICLE, Kind, Point, Use
from precheck.model.record import dataclass, replace
from precheck.model.rules import Op, State, Test
from precheck.model.settled import Status
from precheck.rulebook.book import Rulebook
from precheck.rulebook.places import words_of_place

Key = tuple[str, str]


@dataclass(frozen=True, slots=True)
class Judging:
    """One comparison that a reading goes into. `direct`: it compares the reading itself."""

    unit: Unit
    test: Test
    direct: bool


def judgings(judged: Judged, uses: Sequence[Use]) -> dict[Key, list[Judging]]:
    """Of every (point, place): the comparisons that bear on the uses, of rules that apply or may apply."""
    cells = judged.cells
    out: dict[Key, list[Judging]] = {}
    for unit in judged.units:
        if judged.results.states[unit.key] in (State.DOES_NOT_APPLY, State.SET_ASIDE):
            continue
        if not any(unit.effects.bears_on(use.id) for use in uses):
            continue
        for test in tests_that_apply(unit.step.condition, unit.place, cells):
            for leaf in leaves(cells.key(test, unit.place), cells):
                direct = leaf.id == test.measure and not test.over
                out.setdefault((leaf.id, leaf.place), []).append(Judging(unit, test, direct))
    return out


def limits(found: Sequence[Judging], point: Point, judged: Judged) -> tuple[SheetLimit, ...]:
    """The comparisons of one reading as lines: those of the reading itself first, the strictest first."""
    ordered = sorted(
        found, key=lambda j: (not j.direct, j.test.cell, side_of(j.test), *strictness(j.test), j.unit.rule.id)
    )
    out: dict[tuple[str, str], SheetLimit] = {}
    sides: set[tuple[str, str]] = set()
    for judging in ordered:
        test, rule = judging.test, judging.unit.rule
        side = (test.cell, side_of(test))
        cite = rule.cites[0]
        line = SheetLimit(
            written=_written(test),
            rule=rule.id,
            title=rule.title,
            source=cite.source,
            clause=cite.clause,
            checked=cite.checked,
            known=_known(judging, judged),
            needs=tuple(_needs(judging, point, judged)),
            across=not judging.direct,
            strictest=side not in sides,
        )
        sides.add(side)
        key = (line.rule, line.written)
        before = out.setdefault(key, line)
        if before is not line and line.needs:
            out[key] = replace(before, needs=tuple(dict.fromkeys((*before.needs, *line.needs))))
    return tuple(out.values())


def _key(judging: Judging) -> tuple[object, ...]:
    test = judging.test
    return (not judging.direct, test.cell, side_of(test), *strictness(test), judging.unit.rule.id)


def likely(point: Point) -> str:
    """Between which values a reading is not asked back; empty where any is taken."""
    if point.plausible is None or point.unit is None or point.kind is not Kind.NUMBER:
        return ""
    low, high = point.plausible.low, point.plausible.high
    ends = ["" if end is None else in_unit(end, point.unit) for end in (low, high)]
    if all(ends):
        return f"{ends[0]} to {ends[1]}"
    return f"{ends[0]} or more" if ends[0] else f"{ends[1]} or less"


def _written(test: Test) -> str:
    """The limit as the rule has it; where it only says what must not be, what may be instead."""
    if test.op is Op.ONE_OF and not test.over and test.written.startswith("not "):
        return " or ".join(test.states)
    return test.written


def _known(judging: Judging, judged: Judged) -> str:
    """A limit of this vehicle in its unit, where the value it depends on is known exactly."""
    test = judging.test
    if test.bound is None or test.bound.table or test.bound.rows:
        return ""
    cells, book = judged.cells, judged.cells.book
    cell = cells.value(test.bound.of, judging.unit.place)
    thing = book.points.get(test.measure) or book.derived.get(test.measure)
    if cell.status is not Status.VALUE or thing is None or thing.dimension == "date":
        return ""
    unit = thing.unit or book.units.base(thing.dimension)
    numbers = [v.number for v in cell.values]
    if unit is None or len(numbers) != 1 or numbers[0] is None or not numbers[0].exact:
        return ""
    low = numbers[0].low
    return "" if low is None else in_unit(low * test.bound.share + test.bound.plus, unit)


def _needs(judging: Judging, point: Point, judged: Judged) -> Iterator[str]:
    """Other values without which the limit says nothing: facts and readings, with their place."""
    cells, book = judged.cells, judged.cells.book
    for leaf in leaves(cells.key(judging.test, judging.unit.place), cells):
        if leaf.status is not Status.VALUE and leaf.id != point.id:
            yield _named(book, leaf.id, leaf.place)


def _named(book: Rulebook, name: str, place: str) -> str:
    return name if place == VEHICLE else f"{name} at {words_of_place(book, place)}"
