"""Judgements across places: what to change where, so that count, likeness or spread meets."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from precheck.answer.attempt import Attempt, Fix
from precheck.answer.sampling import default_value
from precheck.answer.targets import LOWER, Range
from precheck.derive.cells import Key
from precheck.engine.judge import worst_value
from precheck.model.document import Value
from precheck.model.rules import Op, Test
from precheck.model.settled import Status


def alone(attempt: Attempt, key: Key, test: Test) -> bool:
    """Whether one place meets a number limit by itself."""
    cell = attempt.cell(key)
    if cell.status is not Status.VALUE or test.limit is None:
        return False
    value = worst_value(test.op, cell)
    end = value.low if test.op in LOWER else value.high
    return end is not None and Range.of(test.op, test.limit).holds(end)


def count(attempt: Attempt, test: Test, keys: Sequence[Key]) -> bool:
    """As many places with (or without) the states as the limit asks; those without a value first."""
    assert test.over is not None
    assert test.limit is not None
    named = test.over.states
    states = attempt.book.points[keys[0][0]].states
    good = named if test.op in LOWER else tuple(s for s in states if s not in named)
    rest = tuple(s for s in states if s not in good)
    hit: list[Key] = []
    miss: list[Key] = []
    blank: list[Key] = []
    for key in keys:
        cell = attempt.cell(key)
        if cell.status is not Status.VALUE:
            blank.append(key)
        else:
            hits = any(v.state in named for v in cell.values)
            (hit if hits == (test.op in LOWER) else miss).append(key)
    for key in blank:
        if not attempt.states(key, good or rest):
            return False
    total = len(keys) if test.over.take == "share" else 1
    for key in miss:
        reached = len(hit) + len(blank) if test.op in LOWER else len(miss)
        if Range.of(test.op, test.limit).holds(Fraction(reached, total)):
            break
        if not good or not attempt.states(key, good):
            return False
        hit.append(key)
        miss = [k for k in miss if k != key]
    return True


def alike(attempt: Attempt, keys: Sequence[Key]) -> bool:
    """All places as most of them are."""
    seen: dict[object, list[Value]] = {}
    for key in keys:
        for value in attempt.cell(key).values:
            seen.setdefault(value.same, []).append(value)
    most = max(seen.values(), key=len, default=[])
    common = most[0] if most else default_value(attempt.book, keys[0], attempt.trial)
    if common is None:
        return False
    for key in keys:
        values = attempt.cell(key).values
        if not values or any(v.same != common.same for v in values):
            attempt.fixes[key] = Fix(key, common, states=(common.state,) if common.state else ())
    return True


def spread(attempt: Attempt, test: Test, keys: Sequence[Key]) -> bool:
    """Fill what is missing beside what there is, then bring the ends together."""
    assert test.limit is not None
    point = attempt.book.points[keys[0][0]]
    known = [v.number for k in keys for v in attempt.cell(k).values if v.number is not None]
    if not known:
        usual = default_value(attempt.book, keys[0], attempt.trial)
        if usual is None or usual.number is None:
            return False
        known = [usual.number]
    lows, highs = [n.low for n in known], [n.high for n in known]
    if any(e is None for e in (*lows, *highs)):
        return False
    lower = point.better < 0  # the better end is what the other side is brought to
    if lower:
        edge = min(e for e in lows if e is not None)
        wanted = Range(low=edge, high=edge + test.limit, high_out=test.op is Op.LESS_THAN)
    else:
        edge = max(e for e in highs if e is not None)
        wanted = Range(low=edge - test.limit, low_out=test.op is Op.LESS_THAN, high=edge)
    for key in keys:
        cell = attempt.cell(key)
        outside = [
            v for v in cell.values
            if v.number is None or v.number.low is None or v.number.high is None
            or not (wanted.holds(v.number.low) and wanted.holds(v.number.high))
        ]  # fmt: skip
        if (outside or not cell.values) and not attempt.number(
            key, wanted, Op.AT_MOST if lower else Op.AT_LEAST
        ):
            return False
    return True
