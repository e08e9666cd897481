"""Exact values: enclosures of Fractions in a base unit, beside the text a person wrote."""

from __future__ import annotations

from fractions import Fraction

from precheck.model.record import dataclass


@dataclass(frozen=True, slots=True)
class Enclosure:
    """All values from `low` to `high`, both included; None is open-ended on that side.

    An exact value has low == high. Numbers are in the base unit of their dimension.
    """

    low: Fraction | None
    high: Fraction | None

    def __post_init__(self) -> None:
        if self.low is not None and self.high is not None and self.low > self.high:
            raise ValueError("an enclosure runs from low to high")

    @property
    def exact(self) -> bool:
        return self.low is not None and self.low == self.high

    @staticmethod
    def of(value: Fraction | int) -> Enclosure:
        number = Fraction(value)
        return Enclosure(number, number)


@dataclass(frozen=True, slots=True)
class Unit:
    """One entry of rules/units.yaml: base value = number * factor + offset.

    `name` is how we write it; `aliases` are the other spellings accepted, compared exactly.
    """

    name: str
    dimension: str
    factor: Fraction
    offset: Fraction
    aliases: tuple[str, ...]
    pint: str  # the unit's name in the reference registry; empty where it has none


@dataclass(frozen=True, slots=True)
class Quantity:
    """A measured number: as written, exact in the base unit, the unit it was written in.

    `step` is the resolution of the writing in base units: 1.60 mm -> 1/100 mm, 2/32 in -> 1/32 in;
    0 where it cannot be told.
    """

    written: str
    value: Enclosure
    unit: Unit
    step: Fraction
