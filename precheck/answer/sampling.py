"""Values to try where nothing says what a reading is: examples, never taken for what was measured."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date, timedelta
from fractions import Fraction

from precheck.answer.targets import Range, nearest
from precheck.answer.trial import Trial
from precheck.derive.cells import Key
from precheck.derive.dates import first_sunday
from precheck.model.catalogue import Kind, Point
from precheck.model.document import Value
from precheck.model.quantity import Enclosure
from precheck.model.rules import Row
from precheck.rulebook.book import Rulebook

_STEPS = 24  # values tried over the plausible range
_YEARS = 20  # date codes are tried so far back
AS_READ = "as it stands there"
EXAMPLES = {"tire-size-marking": "7.00-15"}  # texts that something is worked out from


def samples(book: Rulebook, key: Key, trial: Trial) -> list[Value]:
    """Values of a point over its plausible range, in its jotting unit; every state; dates by the year."""
    point = book.points.get(key[0])
    if point is None:
        return []
    if point.kind is Kind.STATES:
        return [Value(s, state=s) for s in point.states]
    if point.kind is Kind.DATE:
        return [
            _on(trial.day - timedelta(days=30 * months)) for months in (0, *range(1, 25), 36, 60, 120, 600)
        ]
    if point.kind is Kind.DATE_CODE:
        return codes_back(trial.day)
    if point.kind is Kind.TEXT:
        value = default_value(book, key, trial)
        return [value] if value else []
    low, high = _bounds(point, key, trial)
    out = []
    for step in range(_STEPS + 1):
        number = low + (high - low) * step / _STEPS
        picked = nearest(point, Range(low=number), None, book.units)
        if picked:
            out.append(picked.value)
    return list(dict.fromkeys(out))


def in_rows(book: Rulebook, key: Key, rows: Iterable[Row]) -> list[Value]:
    """A value within each row of a table, where the table goes by this point."""
    point = book.points.get(key[0])
    if point is None or point.kind is not Kind.NUMBER:
        return []
    out = []
    for row in rows:
        if row.word is None:
            picked = nearest(point, Range(row.low, row.low_out, row.high, row.high_out), None, book.units)
            if picked:
                out.append(picked.value)
    return out


def _bounds(point: Point, key: Key, trial: Trial) -> tuple[Fraction, Fraction]:
    """The plausible range, stretched to what was read; without one, up to ten times what was read."""
    cell = trial.settled.cells.get(key)
    read = [v.number.low for v in cell.values if v.number and v.number.low is not None] if cell else []
    allowed = point.plausible or Enclosure(None, None)
    unit = point.unit.factor if point.unit else Fraction(1)
    low = allowed.low if allowed.low is not None else Fraction(0)
    high = allowed.high if allowed.high is not None else max([low + 100 * unit, *(10 * r for r in read)])
    return min([low, *read]), max([high, *read])


def default_value(book: Rulebook, key: Key, trial: Trial) -> Value | None:
    """A usual value: what the same point shows at another place, else a middle one of the plausible range."""
    point = book.points.get(key[0])
    if point is None:
        return None
    for (name, place), cell in trial.settled.cells.items():
        if name == point.id and place != key[1] and cell.values:
            return cell.values[0]
    if point.kind is Kind.STATES:
        return Value(point.states[0], state=point.states[0])
    if point.kind is Kind.DATE:
        return _on(trial.day)
    if point.kind is Kind.DATE_CODE:
        return codes_back(trial.day)[0]
    if point.kind is Kind.TEXT:
        return Value(EXAMPLES.get(point.id, AS_READ))
    low, high = _bounds(point, key, trial)
    picked = nearest(point, Range(low=(low + high) / 2), None, book.units)
    return picked.value if picked else None


def _on(day: date) -> Value:
    return Value(day.isoformat(), number=Enclosure.of(day.toordinal()))


def codes_back(day: date) -> list[Value]:
    """Date codes of the weeks before a day, the newest first."""
    out = []
    for week in range(1, 52 * _YEARS):
        then = day - timedelta(weeks=week)
        start = first_sunday(then.year)
        if then < start:
            continue
        number = (then - start).days // 7 + 1
        out.append(Value(f"{number:02d}{then.year % 100:02d}"))
    return out
