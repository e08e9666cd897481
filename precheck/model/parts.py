"""Words of rules/parts.yaml: what to buy for a finding, and whose work mending it usually is."""

from __future__ import annotations

from precheck.model.record import dataclass

PAIR_WORDS = {
    "axle": "both sides of the axle together",
    "vehicle": "all of them together",
    "match": "one alone will do only if it is like the other of its axle",
    "none": "",
}
PAIRS = tuple(PAIR_WORDS)


@dataclass(frozen=True, slots=True)
class PartKind:
    """A part that is bought.

    `points` are those whose finding asks for it. `family` is where it is fitted: one at each place.
    `quote` are the points whose readings the counter asks for. `pair`: axle or vehicle (all of them are
    renewed together), match (one alone will do if it is like the other of its axle), none.
    `buy` is bought with it; `compare` is held side by side before fitting.
    """

    id: str
    words: str
    points: tuple[str, ...]
    family: str
    quote: tuple[str, ...]
    pair: str
    buy: tuple[str, ...]
    compare: tuple[str, ...]
    checked: str


@dataclass(frozen=True, slots=True)
class Hand:
    """Whose hand mends findings of some points as a rule, where that is not the owner's."""

    id: str
    points: tuple[str, ...]
    words: str
    checked: str
