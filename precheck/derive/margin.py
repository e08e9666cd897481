"""Limits that depend on the vehicle, as the exact difference between a value and its limit."""

from __future__ import annotations

from fractions import Fraction

from precheck.derive.outcome import Outcome
from precheck.model.document import Value
from precheck.model.quantity import Enclosure
from precheck.model.rules import Bound, Row
from precheck.model.settled import Cell


def margin(measured: Cell, reference: Cell, bound: Bound) -> Outcome:
    """Value less limit, in base units, for each value that was taken."""
    limit, step = limit_of(reference, bound)
    if limit is None:
        return Outcome(unclear=step)
    shown = reference.values[0].written
    values = tuple(
        Value(f"{v.written} against {shown}", number=_less(v.number, limit))
        for v in measured.values
        if v.number is not None
    )
    return Outcome(values, (step,))


def limit_of(reference: Cell, bound: Bound) -> tuple[Enclosure | None, str]:
    """The limit that another value sets, and how; None with a reason where it sets none."""
    if bound.rows:
        return _from_table(reference, bound.rows)
    numbers = [v.number for v in reference.values if v.number is not None]
    if not numbers:
        return None, f"{reference.id} has no number"
    number = numbers[-1]
    ends = [None if e is None else e * bound.share + bound.plus for e in (number.low, number.high)]
    return Enclosure(ends[0], ends[1]), f"limit from {reference.id}: {reference.values[-1].written}"


def _from_table(reference: Cell, rows: tuple[Row, ...]) -> tuple[Enclosure | None, str]:
    value = reference.values[-1]
    if value.state is not None:
        found = [r for r in rows if r.word == value.state]
        if not found:
            return None, f"the table has no row for '{value.state}'"
        return Enclosure.of(found[0].limit), f"table row {found[0].written}"
    if value.number is None:
        return None, f"{reference.id} has no number"
    low, high = value.number.low, value.number.high
    if low is None or high is None or not (_covered(low, rows) and _covered(high, rows)):
        return None, f"the table has no row for {reference.id} {value.written}"
    found = [r for r in rows if r.word is None and _touches(low, high, r)]
    limits = [r.limit for r in found]
    words = " or ".join(r.written for r in found)
    return Enclosure(min(limits), max(limits)), f"table row {words} for {reference.id} {value.written}"


def _covered(value: Fraction, rows: tuple[Row, ...]) -> bool:
    return any(r.word is None and _touches(value, value, r) for r in rows)


def _touches(low: Fraction, high: Fraction, row: Row) -> bool:
    if row.low is not None and (high < row.low or (high == row.low and row.low_out)):
        return False
    return not (row.high is not None and (low > row.high or (low == row.high and row.high_out)))


def _less(value: Enclosure, limit: Enclosure) -> Enclosure:
    low = None if value.low is None or limit.high is None else value.low - limit.high
    high = None if value.high is None or limit.low is None else value.high - limit.low
    return Enclosure(low, high)
