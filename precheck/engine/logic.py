"""The fixed part of the network: from outcomes to states, from states to uses, from tallies to verdicts."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from functools import lru_cache

from precheck.engine.network import Comparison, Network
from precheck.model.rules import State, Verdict

ALL, ANY, FINDING, CHAIN, TALLY = 1, 2, 3, 4, 5  # kinds of fact

# What a condition comes to. The first six are states of the design; the rest refine two of them.
MEETS_IF = "meets (or does not apply)"
MAY_FAIL = "cannot tell (and fails if ...)"
CODES = {
    State.MEETS.value: 1,
    State.FAILS.value: 2,
    State.NOT_MEASURED.value: 3,
    State.CANNOT_TELL.value: 4,
    State.DOES_NOT_APPLY.value: 5,
    State.SET_ASIDE.value: 6,
    MEETS_IF: 7,
    MAY_FAIL: 8,
}
STATE_OF = {name: State(name) for name in CODES if name not in (MEETS_IF, MAY_FAIL)} | {
    MEETS_IF: State.MEETS,
    MAY_FAIL: State.CANNOT_TELL,
}

# What a unit means for one use.
BAD, OPEN, MET, LIMITED, BESIDE, WAITS, NOT_HERE, ASIDE = (
    "bad",
    "open",
    "met",
    "limited",
    "beside",
    "waits",
    "does not apply",
    "set aside",
)
CLASSES = (BAD, OPEN, MET, LIMITED, BESIDE, WAITS, NOT_HERE, ASIDE)
# Of several uses at once, what weighs most is what counts.
_WEIGHT = (BAD, OPEN, LIMITED, MET, ASIDE, BESIDE, WAITS, NOT_HERE)

Pattern = tuple[str, int, Sequence[Comparison]]


def weightiest(classes: Iterable[str]) -> str:
    """What a unit means for several uses together."""
    return min(classes, key=_WEIGHT.index)


def _zero(*names: str) -> list[Comparison]:
    return [(name, "==", 0) for name in names]


def _some(name: str) -> Comparison:
    return (name, ">=", 1)


def _condition_patterns() -> list[Pattern]:
    """States of a condition from counts.

    x set aside; n terms that do not hold, w terms unknown; m met, f failed, g missing, u unclear, and h of
    the unclear that have a value on both sides of the limit.
    """
    live = _zero("x", "n")
    sure = [*live, *_zero("w")]
    unsure = [*live, _some("w")]
    out: list[tuple[str, int, list[Comparison]]] = []
    for kind in (ALL, ANY):
        out += [
            (State.SET_ASIDE.value, kind, [_some("x")]),
            (State.DOES_NOT_APPLY.value, kind, [*_zero("x"), _some("n")]),
            (State.DOES_NOT_APPLY.value, kind, [*live, *_zero("m", "f", "g", "u")]),
        ]
    none_open = _zero("f", "g", "u")
    out += [
        (State.MEETS.value, ALL, [*sure, *none_open, _some("m")]),
        (State.FAILS.value, ALL, [*sure, _some("f")]),
        (State.NOT_MEASURED.value, ALL, [*sure, *_zero("f"), _some("g")]),
        (MAY_FAIL, ALL, [*sure, *_zero("f", "g"), _some("h")]),
        (State.CANNOT_TELL.value, ALL, [*sure, *_zero("f", "g", "h"), _some("u")]),
        (MEETS_IF, ALL, [*unsure, *none_open, _some("m")]),
        (MAY_FAIL, ALL, [*unsure, _some("f")]),
        (State.CANNOT_TELL.value, ALL, [*unsure, *_zero("f"), _some("g")]),
        (MAY_FAIL, ALL, [*unsure, *_zero("f", "g"), _some("h")]),
        (State.CANNOT_TELL.value, ALL, [*unsure, *_zero("f", "g", "h"), _some("u")]),
        (State.MEETS.value, ANY, [*sure, _some("m")]),
        (State.NOT_MEASURED.value, ANY, [*sure, *_zero("m"), _some("g")]),
        (MAY_FAIL, ANY, [*sure, *_zero("m", "g"), _some("h")]),
        (State.CANNOT_TELL.value, ANY, [*sure, *_zero("m", "g", "h"), _some("u")]),
        (State.FAILS.value, ANY, [*sure, *_zero("m", "g", "u"), _some("f")]),
        (MEETS_IF, ANY, [*unsure, _some("m")]),
        (State.CANNOT_TELL.value, ANY, [*unsure, *_zero("m"), _some("g")]),
        (MAY_FAIL, ANY, [*unsure, *_zero("m", "g"), _some("h")]),
        (State.CANNOT_TELL.value, ANY, [*unsure, *_zero("m", "g", "h"), _some("u")]),
        (MAY_FAIL, ANY, [*unsure, *_zero("m", "g", "u"), _some("f")]),
    ]
    return [(f"{name}#{i}", kind, tests) for i, (name, kind, tests) in enumerate(out)]


def _finding_patterns(uses: int) -> list[Pattern]:
    """What a unit in state s means for use i: b blocks it when failing, q asks for it, l limits it.

    x: the finding is accepted for the use, which takes off its block and nothing else.
    """
    out: list[Pattern] = []
    fails, missing, unclear, may_fail = (("s", "==", c) for c in (2, 3, 4, 8))
    for i in range(uses):
        b, q, limited, accepted = f"b{i}", f"q{i}", f"l{i}", f"x{i}"
        rows: list[tuple[str, list[Comparison]]] = [
            (BAD, [fails, (b, "==", 1), (accepted, "==", 0)]),
            (ASIDE, [fails, (b, "==", 1), (accepted, "==", 1)]),
            (LIMITED, [fails, (b, "==", 0), (limited, "==", 1)]),
            (BESIDE, [fails, (b, "==", 0), (limited, "==", 0)]),
            (OPEN, [missing, (q, "==", 1)]),
            (WAITS, [missing, (q, "==", 0)]),
            (OPEN, [unclear, (q, "==", 1)]),
            (WAITS, [unclear, (q, "==", 0)]),
            (OPEN, [may_fail, (q, "==", 1)]),
            (OPEN, [may_fail, (q, "==", 0), (b, "==", 1)]),
            (WAITS, [may_fail, (q, "==", 0), (b, "==", 0)]),
            (MET, [("s", "==", 1)]),
            (MET, [("s", "==", 7)]),
            (NOT_HERE, [("s", "==", 5)]),
            (ASIDE, [("s", "==", 6)]),
        ]
        out += [(f"{i}:{name}#{k}", FINDING, tests) for k, (name, tests) in enumerate(rows)]
    return out


def _verdict_patterns(combine: int) -> list[Pattern]:
    """A verdict needs tallies that add up (z, the balance, is 0); GO has its own positive firing."""
    adds_up: Comparison = ("z", "==", 0)
    return [
        ("combine", CHAIN, [("k", ">=", combine)]),
        (f"{Verdict.NO_GO.value}#0", TALLY, [adds_up, _some("bad")]),
        (f"{Verdict.UNDECIDED.value}#1", TALLY, [adds_up, *_zero("bad"), _some("open")]),
        (f"{Verdict.UNDECIDED.value}#2", TALLY, [adds_up, *_zero("bad", "open", "met")]),
        (f"{Verdict.GO.value}#3", TALLY, [adds_up, *_zero("bad", "open"), _some("met")]),
    ]


@lru_cache(maxsize=8)
def logic(uses: int, combine: int) -> Network:
    """The network of states, uses and verdicts, built once in a process."""
    return Network([*_condition_patterns(), *_finding_patterns(uses), *_verdict_patterns(combine)])
