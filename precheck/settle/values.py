"""Reads one written value of a point: number, state, date, code or text."""

from __future__ import annotations

from fractions import Fraction

from precheck.model.catalogue import Kind, Point
from precheck.model.document import Value
from precheck.model.node import Node, Text
from precheck.model.quantity import Enclosure, Quantity, Unit
from precheck.model.record import replace
from precheck.read.fault import Fault
from precheck.read.near import near
from precheck.read.quantity import read_quantity
from precheck.read.shape import Shape, read_month_or_date

UNKNOWN = "unknown"


def read_value(shape: Shape, node: Node, point: Point) -> Value | None:
    """The value, or None with a problem noted. The word `unknown` is not read here."""
    if not isinstance(node, Text) or node.empty:
        shape.text(node, point.id)
        return None
    text = node.text
    if point.kind is Kind.NUMBER:
        quantity = read_number(shape, node, point.id, point.dimension, point.unit)
        return Value(text, number=quantity.value, quantity=quantity) if quantity else None
    if point.kind is Kind.DATE:
        days = shape.read(node, point.id, read_month_or_date)
        if days is None:
            return None
        first, last = (Fraction(d.toordinal()) for d in days)
        return Value(text, number=Enclosure(first, last))
    if point.kind is Kind.DATE_CODE:
        return _date_code(shape, node)
    if point.kind is Kind.STATES:
        if text not in point.states:
            shape.note(
                node,
                "unknown-state",
                f"'{text}' is no state of {point.id}",
                f"one of: {', '.join(point.states)}; or unknown",
                close=near(text, point.states),
            )
            return None
        return Value(text, state=text)
    return Value(text)


def read_number(shape: Shape, node: Node, what: str, dimension: str, unit: Unit | None) -> Quantity | None:
    """A quantity; where it is not one, the examples are written in the unit that people use for it."""
    units = shape.units
    assert units is not None

    def read(text: str) -> Quantity | Fault:
        got = read_quantity(text, units, dimension=dimension)
        base = units.base(dimension)
        if not isinstance(got, Fault) or unit is None or base is None:
            return got
        if got.code == "no-unit":
            number = got.write.removesuffix(f" {base.name}")
            return replace(got, write=f"{number} {unit.name}, if {unit.name} is what was read")
        return replace(got, write=f"5 {unit.name}") if got.write == f"5 {base.name}" else got

    return shape.read(node, what, read)


def _date_code(shape: Shape, node: Text) -> Value | None:
    text = node.text
    if not (text.isascii() and text.isdigit() and len(text) in (3, 4)):
        shape.note(
            node,
            "date-code",
            f"'{text}' is no date code",
            "the last three or four digits of the tire's number: week, then year",
            "1417 for week 14 of 2017; unknown where it cannot be read",
        )
        return None
    return Value(text)


def implausible(point: Point, value: Value) -> str:
    """Why a number is asked back, or an empty text. Never used for judging."""
    number, allowed = value.number, point.plausible
    if number is None or allowed is None:
        return ""
    low = number.low is not None and allowed.low is not None and number.low < allowed.low
    high = number.high is not None and allowed.high is not None and number.high > allowed.high
    if not (low or high):
        return ""
    slip = f" ({point.slip}?)" if point.slip else ""
    return f"'{value.written}' is {'less' if low else 'more'} than a {point.id} is likely to be{slip}"


def read_default(point: Point) -> Value:
    """A fact's default as a value; defaults are words, checked when the rulebook was loaded."""
    word = point.default or ""
    return Value(word, state=word if point.states else None)
