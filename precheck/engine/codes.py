"""Order codes: comparing codes is comparing the exact values.

The limits on one value are sorted; a number becomes 2i+1 when it equals the i-th limit and 2i when it
lies below the i-th and above the one before. No float, no rounding, and small integers.
"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Iterable
from fractions import Fraction


class Scale:
    """The sorted limits of one value."""

    def __init__(self, limits: Iterable[Fraction]) -> None:
        self.limits = sorted(set(limits))

    def code(self, value: Fraction) -> int:
        index = bisect_left(self.limits, value)
        equal = index < len(self.limits) and self.limits[index] == value
        return 2 * index + (1 if equal else 0)

    def low(self, value: Fraction | None) -> int:
        """The code of a lower bound; open-ended lies below every limit."""
        return 0 if value is None else self.code(value)

    def high(self, value: Fraction | None) -> int:
        """The code of an upper bound; open-ended lies above every limit."""
        return 2 * len(self.limits) if value is None else self.code(value)
