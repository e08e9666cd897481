"""Judgements across places: count, share, lowest, highest, spread, distinct."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from precheck.derive.outcome import Outcome
from precheck.model.document import Value
from precheck.model.quantity import Enclosure
from precheck.model.rules import Over
from precheck.model.settled import Cell


def across(over: Over, cells: Sequence[Cell]) -> Outcome:
    """One value from the cells of several places, all with values (numbers in base units)."""
    shown = ", ".join(f"{c.place.replace('-', ' ')} {'/'.join(v.written for v in c.values)}" for c in cells)
    if over.take in ("count", "share"):
        # Of several values at one place some may be among the states: counted once with and once without,
        # so that a limit from below takes the lower number and one from above the higher.
        hits = [
            sum(1 for c in cells if told(v.state in over.states for v in c.values)) for told in (all, any)
        ]
        parts = list(dict.fromkeys(hits))
        written = " or ".join(f"{n} of {len(cells)}" for n in parts)
        step = f"{' or '.join(over.states)}: {written} ({shown})"
        whole = 1 if over.take == "count" else len(cells)
        values = (Value(f"{n} of {len(cells)}", number=Enclosure.of(Fraction(n, whole))) for n in parts)
        return Outcome(tuple(values), (step,))
    if over.take == "distinct":
        kinds = {_plain(v) for c in cells for v in c.values}
        return _answer(str(len(kinds)), Enclosure.of(len(kinds)), f"different values: {shown}")
    numbers = [v.number for c in cells for v in c.values if v.number is not None]
    if not numbers:
        return Outcome(unclear="no numbers to compare")
    lows, highs = [n.low for n in numbers], [n.high for n in numbers]
    lowest = Enclosure(_least(lows), _least_high(highs))
    highest = Enclosure(_most_low(lows), _most(highs))
    if over.take == "lowest":
        return _answer(f"lowest of {shown}", lowest, f"lowest of {shown}")
    if over.take == "highest":
        return _answer(f"highest of {shown}", highest, f"highest of {shown}")
    low = Fraction(0)
    if highest.low is not None and lowest.high is not None:
        low = max(low, highest.low - lowest.high)
    high = None if highest.high is None or lowest.low is None else highest.high - lowest.low
    return _answer(f"between {shown}", Enclosure(low, high), f"largest less smallest of {shown}")


def _answer(written: str, number: Enclosure, step: str) -> Outcome:
    return Outcome((Value(written, number=number),), (step,))


def _plain(value: Value) -> tuple[Enclosure | None, str]:
    """Texts are compared without their blanks and without regard to case."""
    number, text = value.same
    return (number, "".join(text.split()).casefold())


def _least(bounds: Sequence[Fraction | None]) -> Fraction | None:
    known = [b for b in bounds if b is not None]
    return min(known) if len(known) == len(bounds) else None


def _most(bounds: Sequence[Fraction | None]) -> Fraction | None:
    known = [b for b in bounds if b is not None]
    return max(known) if len(known) == len(bounds) else None


def _least_high(bounds: Sequence[Fraction | None]) -> Fraction | None:
    return min((b for b in bounds if b is not None), default=None)


def _most_low(bounds: Sequence[Fraction | None]) -> Fraction | None:
    return max((b for b in bounds if b is not None), default=None)
