"""Cells made from text as people write it, and derived values worked out from them."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date
from fractions import Fraction
from functools import lru_cache

from precheck.derive.cells import Cells
from precheck.derive.functions import FUNCTIONS
from precheck.derive.outcome import Outcome
from precheck.model.catalogue import VEHICLE, Kind, Point
from precheck.model.document import Claim, Known, Value
from precheck.model.problem import Mark
from precheck.model.quantity import Enclosure
from precheck.model.settled import Cell, Settled, Status
from precheck.read.fault import Fault
from precheck.read.quantity import read_quantity
from precheck.rulebook.book import Rulebook
from precheck.rulebook.load import load_quickly

DAY = date(2026, 6, 1)
Given = str | list[str]
Told = Given | dict[str, Given | None] | None


@lru_cache(maxsize=1)
def book() -> Rulebook:
    return load_quickly()


def base(written: str) -> Fraction:
    """`25 ft` in the base unit of its dimension."""
    found = read_quantity(written, book().units)
    assert not isinstance(found, Fault), found
    assert found.value.low is not None
    return found.value.low


def _value(name: str, written: str) -> Value:
    thing = book().points.get(name) or book().derived[name]
    kind = thing.kind if isinstance(thing, Point) else Kind.NUMBER
    if kind is Kind.NUMBER:
        found = read_quantity(written, book().units, dimension=thing.dimension)
        assert not isinstance(found, Fault), found
        return Value(written, number=found.value, quantity=found)
    if kind is Kind.STATES:
        assert written in thing.states, (name, written)
        return Value(written, state=written)
    if kind is Kind.DATE:
        day = date.fromisoformat(written)
        return Value(written, number=Enclosure.of(day.toordinal()))
    return Value(written)


def cell(name: str, given: Given | None, place: str = VEHICLE, on: date | None = None) -> Cell:
    if given is None:
        return Cell(name, place, Status.MISSING, why="no reading")
    texts = [given] if isinstance(given, str) else given
    claim = None
    if on is not None:
        claim = Claim(name, place, (), Known.MEASURED, on, 0, "a test", Mark(1, 1))
    return Cell(name, place, Status.VALUE, tuple(_value(name, t) for t in texts), claim=claim)


def cells_for(derived: str, given: Mapping[str, Told]) -> tuple[Cell, ...]:
    """The input cells of a derived value, in the order of its `from`."""
    out: list[Cell] = []
    for name in book().derived[derived].inputs:
        told = given.get(name)
        if isinstance(told, dict):
            out += [cell(name, text, place) for place, text in told.items()]
        else:
            out.append(cell(name, told))
    return tuple(out)


def work(derived: str, given: Mapping[str, Told], day: date = DAY) -> Outcome:
    return FUNCTIONS[book().derived[derived].function](cells_for(derived, given), day)


def number(derived: str, given: Mapping[str, Told], day: date = DAY) -> Enclosure:
    """The one number it comes to."""
    outcome = work(derived, given, day)
    assert len(outcome.values) == 1, outcome
    found = outcome.values[0].number
    assert found is not None
    return found


def near(found: Enclosure, low: str, high: str | None = None) -> bool:
    """The enclosure lies within two quantities (a published value and its last printed digit)."""
    assert found.low is not None
    assert found.high is not None
    return base(low) <= found.low and found.high <= base(high or low)


def settle_by_hand(readings: Mapping[tuple[str, str], Given], places: dict[str, tuple[str, ...]]) -> Cells:
    """Cells over settled readings that were written down, without a document."""
    up = {p.id: p.up for f in book().families.values() for p in f.places if p.up}
    found = {key: cell(key[0], text, key[1]) for key, text in readings.items()}
    return Cells(Settled(found, places, up, (), False), book(), DAY)
