"""One comparison in full: the readings behind it, each derived step, both margins, a close call."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from precheck.answer.explain import Comparison, ReadingLine, WorkedLine
from precheck.answer.targets import LOWER, in_unit
from precheck.derive.cells import Cells, Key
from precheck.derive.margin import limit_of
from precheck.engine.judge import outcome_of, worst_value
from precheck.engine.plan import Unit
from precheck.model.document import Claim, Value
from precheck.model.quantity import Quantity
from precheck.model.quantity import Unit as Measure
from precheck.model.record import replace
from precheck.model.rules import Op, Part, Test
from precheck.model.settled import Cell, Status
from precheck.rulebook.places import words_of_place

_AGAINST = "|less "  # in the id of a cell that holds a value less its limit


def comparisons(unit: Unit, cells: Cells) -> tuple[Comparison, ...]:
    """Every comparison of a unit, terms of applicability first, as in its evidence."""
    condition = unit.step.condition
    terms = [comparison(t, unit.place, cells, True) for t in (*unit.rule.applies, *_terms(condition))]
    return (*terms, *(comparison(t, unit.place, cells, False) for t in _tests(condition)))


def _terms(part: Part) -> Iterator[Test]:
    yield from part.applies
    for inner in part.parts:
        yield from _terms(inner)


def _tests(part: Part) -> Iterator[Test]:
    yield from part.tests
    for inner in part.parts:
        yield from _tests(inner)


def comparison(test: Test, place: str, cells: Cells, term: bool) -> Comparison:
    key = cells.key(test, place)
    cell = cells.found[key]
    measured = _measured(test, place, cells)
    limit = limit_of_test(test, place, cells)
    value = deciding(test.op, measured)
    own = value.quantity.unit if value and value.quantity else None
    shown = test.unit or own or _usual(test, cells)
    apart = _apart(test.op, measured, limit)
    unit = own or shown
    both = own is not None and shown is not None and own.name != shown.name
    return Comparison(
        measure=test.measure,
        words=cells.book.words_of(test.measure),
        place_words=words_of_place(cells.book, measured.place),
        term=term,
        outcome=outcome_of(test, cell).value,
        limit=test.written,
        limit_here=_limit_here(test, limit, shown),
        compared=value.written if value else "",
        compared_exact=_exact(value, measured, cells) if value else "",
        margin=_margin(test.op, apart, unit),
        margin_limit=_margin(test.op, apart, shown) if both else "",
        close=_close(test, place, cells, value, apart, unit),
        why=cell.why,
        worked=tuple(_worked(key, cells, set())),
        readings=tuple(reading(c, cells) for c in _readings(key, cells)),
    )


# -- the value that decides, and its limit --------------------------------------------------------


def _measured(test: Test, place: str, cells: Cells) -> Cell:
    """The cell of the value itself, without the limit that another value sets."""
    if not test.bound:
        return cells.found[cells.key(test, place)]
    plain = replace(test, bound=None)
    if test.over:
        return cells.found.get((plain.cell, place), Cell(plain.cell, place, Status.MISSING))
    return cells.value(test.measure, place)


def limit_of_test(test: Test, place: str, cells: Cells) -> Fraction | None:
    """The limit on this vehicle, the strict end where the value that sets it is a range."""
    if test.bound is None:
        return test.limit
    reference = cells.value(test.bound.of, place)
    if reference.status is not Status.VALUE:
        return None
    limit, _ = limit_of(reference, test.bound)
    if limit is None:
        return None
    return limit.high if test.op in LOWER else limit.low


def deciding(op: Op, cell: Cell) -> Value | None:
    """Of several values the one that is compared; of one, that one."""
    if cell.status is not Status.VALUE or not cell.values:
        return None
    if op is Op.ONE_OF or cell.values[0].number is None:
        return cell.values[0] if len(cell.values) == 1 else None
    worst = worst_value(op, cell)
    lower = op in LOWER
    end = worst.low if lower else worst.high
    for value in cell.values:
        number = value.number
        if number is not None and (number.low if lower else number.high) == end:
            return value
    return cell.values[0]


def _apart(op: Op, cell: Cell, limit: Fraction | None) -> Fraction | None:
    """The distance to the limit: positive to spare, negative short or over."""
    if limit is None or op is Op.ONE_OF or cell.status is not Status.VALUE:
        return None
    if not any(v.number is not None for v in cell.values):
        return None
    worst = worst_value(op, cell)
    end = worst.low if op in LOWER else worst.high
    if end is None:
        return None
    return end - limit if op in LOWER else limit - end


def _limit_here(test: Test, limit: Fraction | None, unit: Measure | None) -> str:
    if test.bound is None or limit is None or unit is None:
        return ""
    return in_unit(limit, unit)


def _usual(test: Test, cells: Cells) -> Measure | None:
    book = cells.book
    if test.over and test.over.take in ("count", "distinct", "share"):
        return book.units.base("fraction" if test.over.take == "share" else "count")
    thing = book.points.get(test.measure) or book.derived.get(test.measure)
    if thing is None or thing.dimension in ("", "date"):
        return None
    return thing.unit or book.units.base(thing.dimension)


def _plain(unit: Measure) -> Measure:
    """The unit without the offset of its scale, for differences."""
    return Measure(unit.name, unit.dimension, unit.factor, Fraction(0), unit.aliases, unit.pint)


def _margin(op: Op, apart: Fraction | None, unit: Measure | None) -> str:
    if apart is None or unit is None:
        return ""
    if apart == 0:
        return "exactly at the limit"
    words = in_unit(abs(apart), _plain(unit))
    return f"{words} {'to spare' if apart > 0 else 'short' if op in LOWER else 'over'}"


def _close(
    test: Test, place: str, cells: Cells, value: Value | None, apart: Fraction | None, unit: Measure | None
) -> str:
    """Whether the margin is smaller than what the reading was written to.

    Of a reading itself its own step counts, of a value worked out the coarsest of those behind it.
    """
    if apart is None or unit is None or unit.dimension == "count":
        return ""
    quantities = list(_quantities(cells.key(test, place), cells))
    if value is not None and value.quantity is not None and not test.bound:
        quantities = [value.quantity]
    steps = [q.step for q in quantities if q.unit.dimension == unit.dimension]
    step = max((s for s in steps if s > 0), default=None)
    if step is None or abs(apart) >= step:
        return ""
    margin = (
        "It is exactly at the limit" if apart == 0 else f"The margin, {in_unit(abs(apart), _plain(unit))},"
    )
    tail = ", closer than" if apart == 0 else " is smaller than"
    return (
        f"{margin}{tail} the {in_unit(step, _plain(unit))} to which it was read: "
        "measure again with a finer instrument."
    )


def _quantities(key: Key, cells: Cells) -> Iterator[Quantity]:
    for cell in _readings(key, cells):
        for value in cell.values:
            if value.quantity is not None:
                yield value.quantity


# -- what lies behind a cell -----------------------------------------------------------------------


def _find(key: Key, cells: Cells) -> Cell:
    return cells.found.get(key) or Cell(key[0], key[1], Status.MISSING, why="no reading")


def _readings(key: Key, cells: Cells) -> list[Cell]:
    """The readings and facts a cell comes from, each once, in the order they are used."""
    out: dict[Key, Cell] = {}
    todo = [key]
    while todo:
        cell = _find(todo.pop(0), cells)
        if cell.inputs:
            todo = [*cell.inputs, *todo]
        elif "|" not in cell.id:
            out.setdefault((cell.id, cell.place), cell)
    return list(out.values())


def _worked(key: Key, cells: Cells, seen: set[Key]) -> Iterator[WorkedLine]:
    """Derived values from the readings up to the one compared."""
    cell = _find(key, cells)
    if not cell.inputs or key in seen:
        return
    seen.add(key)
    for inner in cell.inputs:
        yield from _worked(inner, cells, seen)
    yield worked(cell, cells)


def worked(cell: Cell, cells: Cells) -> WorkedLine:
    """A derived value as a line."""
    book = cells.book
    name = cell.id.split("|")[0]
    derived = book.derived.get(cell.id)
    across = "|" in cell.id and _AGAINST not in cell.id
    formula = derived.formula if derived else "over its places" if across else "value less limit"
    return WorkedLine(
        value=name,
        words=book.words_of(name),
        place_words=words_of_place(book, cell.place),
        written=tuple(v.written for v in cell.values),
        exact=tuple(_exact(v, cell, cells) for v in cell.values),
        formula=formula,
        source=derived.source if derived else "",
        why=cell.why,
        steps=cell.steps,
    )


def reading(cell: Cell, cells: Cells) -> ReadingLine:
    """A settled reading or fact as a line."""
    claim = cell.claim
    point = cells.book.points.get(cell.id)
    return ReadingLine(
        point=cell.id,
        words=cells.book.words_of(cell.id),
        place=cell.place,
        place_words=words_of_place(cells.book, cell.place),
        status=cell.status.value,
        written=tuple(v.written for v in cell.values) or _old(claim),
        exact=tuple(_exact(v, cell, cells) for v in cell.values),
        known="taken by default, nobody said" if cell.defaulted else claim.known.value if claim else "",
        on=str(claim.on) if claim and claim.on else "",
        by=claim.by if claim else "",
        instrument=claim.instrument if claim else "",
        note=claim.note if claim else "",
        why=cell.why,
        until=str(cell.runs_out) if cell.runs_out else "",
        ends_with=cell.ends_with if point and not point.fact else "",
        passed_over=tuple(f"{_claim(c)}: {why}" for c, why in cell.passed_over),
        line=claim.mark.line if claim else 0,
    )


def _old(claim: Claim | None) -> tuple[str, ...]:
    return tuple(v.written for v in claim.values) if claim else ()


def _claim(claim: Claim) -> str:
    values = ", ".join(v.written for v in claim.values) or "unknown"
    who = f" by {claim.by}" if claim.by else ""
    when = str(claim.on) if claim.on else "the vehicle block"
    everywhere = " for all places" if claim.place is None else ""
    return f"'{values}'{everywhere}, {claim.known.value} {when}{who}, line {claim.mark.line}"


def _exact(value: Value, cell: Cell, cells: Cells) -> str:
    """A value in the base unit of its dimension; a state or text as it is."""
    number = value.number
    if number is None:
        return value.state or value.written
    thing = cells.book.points.get(cell.id) or cells.book.derived.get(cell.id.split("|")[0])
    dimension = thing.dimension if thing else ""
    if "|count" in cell.id or "|distinct" in cell.id or "|share" in cell.id:
        dimension = ""
    elif thing is None and "|" in cell.id:
        point = cells.book.points.get(cell.id.split("|")[0])
        dimension = point.dimension if point else ""
    base = cells.book.units.base(dimension) if dimension and dimension != "date" else None
    unit = f" {base.name}" if base else " (day number)" if dimension == "date" else ""
    if number.exact:
        return f"{number.low}{unit}"
    low = "open" if number.low is None else number.low
    high = "open" if number.high is None else number.high
    return f"{low} to {high}{unit}"
