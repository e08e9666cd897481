"""Limits that depend on the vehicle, as the exact difference between a value and its limit."""

from __future__ import annotations

from fractions import Fraction
from itertools import pairwise

from precheck.derive.outcome import Outcome
from precheck.model.document import Value
from precheck.model.quantity import Enclosure
from precheck.model.rules import Bound, Row
from precheck.model.settled import Cell


def margin(measured: Cell, reference: Cell, bound: Bound) -> Outcome:
    """Value less limit, in base units, for each value that was taken against each that sets a limit.

    The comparison with 0 then takes the worst of them, whichever way the limit points.
    """
    limits, steps = [], []
    for value in reference.values:
        limit, step = _limit(reference.id, value, bound)
        if limit is None:
            return Outcome(unclear=step)
        limits.append((value.written, limit))
        steps.append(step)
    values = tuple(
        Value(f"{v.written} against {shown}", number=_less(v.number, limit))
        for v in measured.values
        for shown, limit in limits
        if v.number is not None
    )
    return Outcome(values, tuple(dict.fromkeys(steps)))


def limit_of(reference: Cell, bound: Bound) -> tuple[Enclosure | None, str]:
    """The limit that another value sets, by the last one taken; None, with a reason, where it sets none."""
    return _limit(reference.id, reference.values[-1], bound)


def _limit(name: str, value: Value, bound: Bound) -> tuple[Enclosure | None, str]:
    if bound.rows:
        return _from_table(name, value, bound.rows)
    if value.number is None:
        return None, f"{name} has no number"
    ends = [
        None if e is None else e * bound.share + bound.plus for e in (value.number.low, value.number.high)
    ]
    return Enclosure(ends[0], ends[1]), f"limit from {name}: {value.written}"


def _from_table(name: str, value: Value, rows: tuple[Row, ...]) -> tuple[Enclosure | None, str]:
    if value.state is not None:
        found = [r for r in rows if r.word == value.state]
        if not found:
            return None, f"the table has no row for '{value.state}'"
        return Enclosure.of(found[0].limit), f"table row {found[0].written}"
    if value.number is None:
        return None, f"{name} has no number"
    low, high = value.number.low, value.number.high
    found = [
        r for r in rows if r.word is None and low is not None and high is not None and _touches(low, high, r)
    ]
    if low is None or high is None or not _covered(low, high, found):
        return None, f"the table has no row for {name} {value.written}"
    limits = [r.limit for r in found]
    words = " or ".join(r.written for r in found)
    return Enclosure(min(limits), max(limits)), f"table row {words} for {name} {value.written}"


def _covered(low: Fraction, high: Fraction, rows: list[Row]) -> bool:
    """Whether every key from low to high has a row: both ends, every end of a row, and between those."""
    ends = {e for r in rows for e in (r.low, r.high) if e is not None and low < e < high}
    marks = sorted({low, high, *ends})
    between = [(a + b) / 2 for a, b in pairwise(marks)]
    return all(any(_touches(key, key, r) for r in rows) for key in (*marks, *between))


def _touches(low: Fraction, high: Fraction, row: Row) -> bool:
    if row.low is not None and (high < row.low or (high == row.low and row.low_out)):
        return False
    return not (row.high is not None and (low > row.high or (low == row.high and row.high_out)))


def _less(value: Enclosure, limit: Enclosure) -> Enclosure:
    low = None if value.low is None or limit.high is None else value.low - limit.high
    high = None if value.high is None or limit.low is None else value.high - limit.low
    return Enclosure(low, high)
