"""Whether one limit is at least as strict as another: proven from the limits alone, or not said."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from fractions import Fraction

from precheck.model.rules import Bound, Op, Row, Test

Certain = Callable[[str], bool]  # whether a value that sets a limit is never negative
_LOWER = (Op.AT_LEAST, Op.MORE_THAN)
_STRICT = (Op.MORE_THAN, Op.LESS_THAN)


def as_strict(new: Sequence[Test], old: Sequence[Test], never_negative: Certain) -> bool:
    """True where whatever meets `new` meets `old` too, whatever the vehicle.

    Both are limits of one value, all tests of each must hold. False where it is not so, and where it
    cannot be proven: a fixed limit against one that another value sets, say.
    """
    return bool(new) and all(any(_implies(n, o, never_negative) for n in new) for o in old)


def _implies(new: Test, old: Test, never_negative: Certain) -> bool:
    if (new.measure, new.over) != (old.measure, old.over):
        return False
    if old.op is Op.ONE_OF or new.op is Op.ONE_OF:
        return old.op is new.op and set(new.states) <= set(old.states)
    if (new.op in _LOWER) != (old.op in _LOWER):
        return False
    keeps_end = new.op in _STRICT or old.op not in _STRICT
    lower = new.op in _LOWER
    if new.bound is None and old.bound is None:
        return new.limit is not None and old.limit is not None and _beyond(
            new.limit, old.limit, lower, keeps_end
        )  # fmt: skip
    if new.bound is None or old.bound is None or new.bound.of != old.bound.of:
        return False
    if new.bound.rows or old.bound.rows:
        return _tables(new.bound.rows, old.bound.rows, lower, keeps_end)
    return _shares(new.bound, old.bound, lower, keeps_end, never_negative)


def _beyond(new: Fraction, old: Fraction, lower: bool, or_equal: bool) -> bool:
    if new == old:
        return or_equal
    return new > old if lower else new < old


def _shares(new: Bound, old: Bound, lower: bool, keeps_end: bool, never_negative: Certain) -> bool:
    """A share of another value, plus something: both must be as strict, the share for all its values."""
    if not _beyond(new.plus, old.plus, lower, keeps_end):
        return False
    return new.share == old.share or (
        never_negative(new.of) and _beyond(new.share, old.share, lower, keeps_end)
    )


def _tables(new: Sequence[Row], old: Sequence[Row], lower: bool, keeps_end: bool) -> bool:
    """Row against row; tables of other rows are not compared."""
    ours = {_key(row): row.limit for row in new}
    theirs = {_key(row): row.limit for row in old}
    return ours.keys() == theirs.keys() and all(
        _beyond(ours[key], theirs[key], lower, keeps_end) for key in ours
    )


def _key(row: Row) -> tuple[Fraction | None, bool, Fraction | None, bool, str | None]:
    return (row.low, row.low_out, row.high, row.high_out, row.word)
