"""Derived values: the input to change, by a declared inverse where there is one, else found by trial."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from fractions import Fraction

from precheck.answer.attempt import Attempt, Fix
from precheck.answer.sampling import codes_back, samples
from precheck.answer.targets import LOWER, Range, nearest
from precheck.derive.cells import Key
from precheck.derive.functions import INVERSES
from precheck.derive.inverse import Goal
from precheck.model.catalogue import Kind, Point
from precheck.model.document import Value
from precheck.model.quantity import Enclosure
from precheck.model.record import replace
from precheck.model.rules import Op, Test

SEVERAL = 3  # times a reading is taken where a derivation wants it more than once
_TRIES = 40  # halvings when a value is searched for by trial
Meets = Callable[[Value], bool]


def derived(attempt: Attempt, test: Test, place: str) -> bool:
    """Make a comparison of a derived value meet."""
    where = attempt.trial.cells(attempt.changed).where(test.measure, place)
    if where is None:
        return False
    cell = attempt.cell((test.measure, where))
    before = set(attempt.fixes)
    if not attempt.fill(cell):
        return False
    key = (test.measure, where)
    leaves = _leaves(attempt, key)
    filled = [k for k in leaves if k in attempt.fixes and k not in before]
    return _found(attempt, test, place, where, leaves) or _by_two(attempt, test, place, key, filled)


def _by_two(attempt: Attempt, test: Test, place: str, key: Key, filled: Iterable[Key]) -> bool:
    """Where the usual value of one reading lets nothing be worked out (a stop from another speed than the
    rule's): a value of it that does, and then one of another reading with which it meets."""
    if attempt.trial.cells(attempt.changed).value(*key).values:
        return False
    for leaf in filled:
        for value in samples(attempt.book, leaf, attempt.trial):
            other = attempt.fork()
            other.fixes[leaf] = Fix(leaf, value, worked=True)
            if not other.trial.cells(other.changed).value(*key).values:
                continue
            others = [k for k in _leaves(other, key) if k != leaf]
            if _found(other, test, place, key[1], others):
                attempt.fixes = other.fixes
                return True
    return False


def _found(attempt: Attempt, test: Test, place: str, where: str, keys: Iterable[Key]) -> bool:
    if attempt.meets(test, place) or _by_inverse(attempt, test, place, where):
        return True
    return by_trial(attempt, test, place, keys)


def _leaves(attempt: Attempt, key: Key) -> list[Key]:
    cells = attempt.trial.cells(attempt.changed)
    out: list[Key] = []
    todo = [key]
    while todo:
        now = todo.pop(0)
        if now[0] in attempt.book.points:
            out.append(now)
        elif now[0] in attempt.book.derived:
            todo += cells.value(*now).inputs
    return list(dict.fromkeys(out))


def _by_inverse(attempt: Attempt, test: Test, place: str, where: str) -> bool:
    """By what the derivation declares of its inputs."""
    value = attempt.book.derived[test.measure]
    if test.op is Op.ONE_OF or test.limit is None:
        return False
    cells = attempt.trial.cells(attempt.changed)
    inputs = tuple(cells.value(*key) for key in cells.value(test.measure, where).inputs)
    for inverse in INVERSES.get(value.function, ()):
        if inverse.position < 0:
            continue
        name = value.inputs[inverse.position]
        keys = [(c.id, c.place) for c in inputs if c.id == name]
        found = inverse.solve(Goal(test.limit, test.op in LOWER), inputs, attempt.trial.day)
        if found is None or len(keys) != 1 or name not in attempt.book.points:
            continue
        wanted = Range(found.low, test.op in (Op.MORE_THAN, Op.LESS_THAN), found.high, False)
        wanted = replace(wanted, high_out=test.op in (Op.MORE_THAN, Op.LESS_THAN))
        other = attempt.fork()
        op = Op.AT_LEAST if found.low is not None else Op.AT_MOST
        if other.number(keys[0], wanted, op, worked=True) and other.meets(test, place):
            attempt.fixes = other.fixes
            return True
    return False


def by_trial(attempt: Attempt, test: Test, place: str, keys: Iterable[Key]) -> bool:
    """Where nothing is declared: look for a value of one input with which it meets, nearest first."""
    done: list[Attempt] = []
    points = [key for key in keys if key[0] in attempt.book.points]
    groups = [[key] for key in points]
    for times in (1, SEVERAL):
        for group in groups + _alike(points):
            other = attempt.fork()
            if (len(group) == 1 or not done) and _search(other, test, place, group, times):
                done.append(other)
        if done:
            break
    if not done:
        return False
    attempt.fixes = min(done, key=lambda s: s.cost).fixes
    return True


def _alike(keys: Sequence[Key]) -> list[list[Key]]:
    """The places of one point together, where it is taken at several."""
    names = dict.fromkeys(name for name, _ in keys)
    groups = [[key for key in keys if key[0] == name] for name in names]
    return [group for group in groups if len(group) > 1]


def _search(attempt: Attempt, test: Test, place: str, keys: Sequence[Key], times: int) -> bool:
    """One value for a place, or for several at once, with which the comparison meets."""
    key = keys[0]
    point = attempt.book.points[key[0]]

    def meets(value: Value) -> bool:
        attempt.fixes |= {k: Fix(k, value, worked=True, times=times) for k in keys}
        return all(attempt.meets(*held) for held in ((test, place), *attempt.held))

    if point.kind is Kind.STATES:
        good = [s for s in point.states if meets(Value(s, state=s))]
        for k in keys:
            attempt.fixes.pop(k, None)
        return bool(good) and all(attempt.states(k, good, worked=True) for k in keys)
    if point.kind is Kind.DATE_CODE:
        return _oldest(codes_back(attempt.trial.day), meets)
    values = samples(attempt.book, key, attempt.trial)
    good_values = [v for v in values if meets(v)]
    now = attempt.trial.settled.cells.get(key)
    start = now.values[0].number if now and now.values else None
    if not good_values:
        return False
    best = min(good_values, key=lambda v: _apart(v.number, start))
    if start is not None and start.low is not None and point.kind is Kind.NUMBER:
        best = _closer(attempt, point, key, best, start, meets)
    return meets(best)


def _closer(attempt: Attempt, point: Point, key: Key, best: Value, start: Enclosure, meets: Meets) -> Value:
    """Halve the way back towards the reading as long as it still meets."""
    if best.number is None or best.number.low is None or start.low is None:
        return best
    good, bad = best.number.low, start.low
    for _ in range(_TRIES):
        middle = (good + bad) / 2
        side = Range(low=middle) if good > bad else Range(high=middle)
        picked = nearest(point, side, attempt.now(key, Op.AT_LEAST), attempt.book.units)
        number = picked.value.number.low if picked and picked.value.number else None
        if picked is None or number is None or not min(good, bad) < number < max(good, bad):
            break
        if meets(picked.value):
            best, good = picked.value, number
        else:
            bad = number
    return best


def _oldest(codes: Sequence[Value], meets: Meets) -> bool:
    """Of date codes, the newest first, the oldest that still meets."""
    if not codes or not meets(codes[0]):
        return False
    low, high = 0, len(codes) - 1
    while low < high:
        middle = (low + high + 1) // 2
        if meets(codes[middle]):
            low = middle
        else:
            high = middle - 1
    return meets(codes[low])


def _apart(number: Enclosure | None, start: Enclosure | None) -> Fraction:
    if number is None or start is None or number.low is None or start.low is None:
        return Fraction(0)
    return abs(number.low - start.low)
