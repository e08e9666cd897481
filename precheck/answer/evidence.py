"""Evidence behind a state: each comparison with the value as written, the limit and the margin."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction

from precheck.answer.record import Evidence
from precheck.derive.cells import Cells, Key
from precheck.engine.judge import outcome_of, worst_value
from precheck.engine.plan import Unit
from precheck.model.document import Claim, Value
from precheck.model.quantity import Unit as Measure
from precheck.model.rules import Op, Part, State, Test
from precheck.model.settled import Cell, Status
from precheck.read.quantity import format_quantity
from precheck.rulebook.places import words_of_place


def evidence_of(unit: Unit, cells: Cells) -> tuple[Evidence, ...]:
    """Every comparison of a unit: terms of applicability first, then the condition."""
    terms = [
        _evidence(t, unit.place, cells, True) for t in (*unit.rule.applies, *_terms(unit.step.condition))
    ]
    tests = [
        _evidence(t, unit.place, cells, False)
        for t in tests_that_apply(unit.step.condition, unit.place, cells)
    ]
    return tuple(terms + tests)


def _terms(part: Part) -> Iterator[Test]:
    yield from part.applies
    for inner in part.parts:
        yield from _terms(inner)


def tests_that_apply(part: Part, place: str, cells: Cells) -> Iterator[Test]:
    """The comparisons of a condition, without those of parts that do not apply."""
    if any(outcome_of(t, cells.found[cells.key(t, place)]) is State.FAILS for t in part.applies):
        return
    yield from part.tests
    for inner in part.parts:
        yield from tests_that_apply(inner, place, cells)


def leaves(key: Key, cells: Cells) -> tuple[Cell, ...]:
    """The readings and facts a cell comes from, itself where it is one.

    An optional input that was not read is none of them, unless it may be what the cell cannot be told for.
    """
    cell = cells.found[key]
    if not cell.inputs:
        return (cell,)
    derived = cells.book.derived.get(cell.id)
    spared = derived.optional if derived and cell.status is not Status.UNCLEAR else ()
    out: list[Cell] = []
    for inner in cell.inputs:
        read = cells.found.get(inner)
        if inner[0] in spared and (read is None or read.status is Status.MISSING):
            continue
        if read is not None:
            out += leaves(inner, cells)
        else:
            out.append(Cell(inner[0], inner[1], Status.MISSING, why="no reading"))
    return tuple(dict.fromkeys(out))


def _evidence(test: Test, place: str, cells: Cells, term: bool) -> Evidence:
    cell = cells.found[cells.key(test, place)]
    shown = _unit_shown(test, cells)
    claim = cell.claim
    inputs = leaves((cell.id, cell.place), cells) if cell.inputs else ()
    return Evidence(
        measure=test.measure,
        words=cells.book.words_of(test.measure),
        place=cell.place,
        outcome=outcome_of(test, cell).value,
        written=tuple(v.written for v in cell.values) or _old(claim),
        exact=tuple(_exact(v, test, cells) for v in cell.values),
        converted=tuple(_converted(v, shown) for v in cell.values),
        limit=test.written,
        limit_exact=_limit_exact(test, shown),
        margin=_margin(test, cell, shown, inputs),
        known=claim.known.value if claim else "",
        on=str(claim.on) if claim and claim.on else "",
        by=claim.by if claim else "",
        instrument=claim.instrument if claim else "",
        note=claim.note if claim else "",
        why=cell.why,
        steps=cell.steps,
        inputs=tuple(_input(c, cells) for c in inputs),
        passed_over=tuple(f"{_claim(c)}: {why}" for c, why in cell.passed_over),
        term=term,
    )


def _old(claim: Claim | None) -> tuple[str, ...]:
    return tuple(v.written for v in claim.values) if claim else ()


def _claim(claim: Claim) -> str:
    values = ", ".join(v.written for v in claim.values) or "unknown"
    return f"'{values}' of {claim.on or 'the vehicle block'}"


def _input(cell: Cell, cells: Cells) -> str:
    values = ", ".join(v.written for v in cell.values) or cell.why
    claim = cell.claim
    when = f" ({claim.known.value} {claim.on})" if claim and claim.on else ""
    return f"{cell.id} at {words_of_place(cells.book, cell.place)}: {values}{when}"


def _unit_shown(test: Test, cells: Cells) -> Measure | None:
    """The unit margins are shown in: that of the limit, else the point's own."""
    if test.unit is not None:
        return test.unit
    book = cells.book
    if test.over and test.over.take in ("count", "distinct", "share"):
        return book.units.base("count" if test.over.take != "share" else "fraction")
    thing = book.points.get(test.measure) or book.derived.get(test.measure)
    if thing is None or thing.dimension in ("", "date"):
        return None
    return thing.unit or book.units.base(thing.dimension)


def _exact(value: Value, test: Test, cells: Cells) -> str:
    number = value.number
    if number is None:
        return value.state or value.written
    base = _base(test, cells)
    if number.exact:
        return f"{number.low} {base}".strip()
    low = "open" if number.low is None else number.low
    high = "open" if number.high is None else number.high
    return f"{low} to {high} {base}".strip()


def _converted(value: Value, unit: Measure | None) -> str:
    """A value in the limit's unit, where it was written in another one; else empty."""
    quantity = value.quantity
    if quantity is None or unit is None or quantity.unit.name == unit.name:
        return ""
    number = quantity.value
    return _in_unit(number.low, unit) if number.exact and number.low is not None else ""


def _base(test: Test, cells: Cells) -> str:
    thing = cells.book.points.get(test.measure) or cells.book.derived.get(test.measure)
    if thing is None or (test.over and test.over.take in ("count", "distinct", "share")):
        return ""
    if thing.dimension == "date":
        return "(day number)"
    base = cells.book.units.base(thing.dimension)
    return base.name if base else ""


def _limit_exact(test: Test, unit: Measure | None) -> str:
    if test.bound or test.limit is None:
        return ""
    return _in_unit(test.limit, unit) if unit else str(test.limit)


def _in_unit(value: Fraction, unit: Measure) -> str:
    return format_quantity(value, unit)


def _margin(test: Test, cell: Cell, unit: Measure | None, inputs: Sequence[Cell] = ()) -> str:
    """How far the deciding value is from the limit, in words; empty for states and open values.

    How far temperatures lie apart is told in the degrees they were read in, with the limit in them too.
    """
    if test.op is Op.ONE_OF or cell.status is not Status.VALUE or unit is None or test.limit is None:
        return ""
    value = worst_value(test.op, cell)
    lower = test.op in (Op.AT_LEAST, Op.MORE_THAN)
    bound = value.low if lower else value.high
    if bound is None:
        return ""
    distance = bound - test.limit if lower else test.limit - bound
    read = _degrees(inputs) if test.over and unit.dimension == "temperature" else None
    words = _difference(abs(distance), read or unit)
    if distance == 0:
        return "exactly at the limit"
    of = f"; limit {_difference(test.limit, read)}" if read and read.name != unit.name else ""
    side = "to spare" if distance > 0 else "short" if lower else "over"
    return f"{words} {side}{of}"


def _degrees(inputs: Sequence[Cell]) -> Measure | None:
    """The unit that readings were written in, where it is one for all."""
    units = {v.quantity.unit for cell in inputs for v in cell.values if v.quantity}
    return next(iter(units)) if len(units) == 1 else None


def _difference(value: Fraction, unit: Measure) -> str:
    """A difference in a unit: no offset, so that 10 degF apart is not 10 degF."""
    plain = Measure(unit.name, unit.dimension, unit.factor, Fraction(0), unit.aliases, unit.pint)
    return format_quantity(value, plain)
