"""No reading breaks a function: any numbers, open or not, any states and texts give values or a reason."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from precheck.derive.functions import FUNCTIONS, INVERSES
from precheck.derive.inverse import Goal
from precheck.derive.outcome import Outcome
from precheck.model.catalogue import VEHICLE, Derived, Kind, Point
from precheck.model.document import Value
from precheck.model.quantity import Enclosure
from precheck.model.settled import Cell, Status
from precheck.rulebook.places import all_places
from tests.derive.making import DAY, book

NUMBERS = st.one_of(
    st.just(Fraction(0)),
    st.fractions(min_value=-1000, max_value=10**5, max_denominator=1000),
    st.integers(-3, 40).map(Fraction),
)


@st.composite
def _enclosures(draw: st.DrawFn) -> Enclosure:
    one, two = draw(NUMBERS), draw(NUMBERS)
    low, high = min(one, two), max(one, two)
    kind = draw(st.sampled_from(["exact", "exact", "exact", "range", "open above", "open below"]))
    if kind == "exact":
        return Enclosure.of(one)
    return Enclosure(None if kind == "open below" else low, None if kind == "open above" else high)


@st.composite
def _values(draw: st.DrawFn, name: str) -> Value:
    thing = book().points.get(name) or book().derived[name]
    kind = thing.kind if isinstance(thing, Point) else Kind.NUMBER
    if kind is Kind.STATES:
        word = draw(st.sampled_from(thing.states))
        return Value(word, state=word)
    if kind is Kind.DATE_CODE:
        return Value(draw(st.from_regex(r"[0-9]{3,4}", fullmatch=True)))
    if kind is Kind.DATE:
        return Value("a date", number=Enclosure.of(draw(st.integers(700000, 740000))))
    if kind is Kind.TEXT:
        return Value(draw(st.text(max_size=20)))
    return Value("a number", number=draw(_enclosures()))


@st.composite
def _cells(draw: st.DrawFn, value: Derived) -> tuple[Cell, ...]:
    out = []
    gather = dict(value.gather)
    for name in value.inputs:
        family = gather.get(name)
        places = [p.id for p in all_places(book().families[family])] if family else [VEHICLE]
        for place in places[: draw(st.integers(1, len(places)))]:
            if name in value.optional and draw(st.booleans()):
                out.append(Cell(name, place, Status.MISSING, why="no reading"))
                continue
            values = tuple(draw(st.lists(_values(name), min_size=1, max_size=2)))
            out.append(Cell(name, place, Status.VALUE, values))
    return tuple(out)


@pytest.mark.parametrize("name", sorted(book().derived))
@given(st.data())
@settings(max_examples=15, deadline=None)
def test_any_reading_gives_values_or_a_reason(name: str, data: st.DataObject) -> None:
    value = book().derived[name]
    cells = data.draw(_cells(value))
    outcome = FUNCTIONS[value.function](cells, DAY)
    assert isinstance(outcome, Outcome)
    assert bool(outcome.values) != bool(outcome.unclear)
    for found in outcome.values:
        assert found.written
        assert (found.state in value.states) if value.states else found.number is not None
    assert outcome.values == () or outcome.steps
    for inverse in INVERSES.get(value.function, ()):
        goal = Goal(data.draw(NUMBERS), data.draw(st.booleans()))
        need = inverse.solve(goal, cells, DAY)
        assert need is None or need.low is not None or need.high is not None
