"""The fixed part of the network: from outcomes to states, from states to uses, from tallies to verdicts."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from functools import lru_cache

from precheck.engine.network import Comparison, Network
from precheck.model.rules import State, Verdict

ALL, ANY, FINDING, CHAIN, TALLY = 1, 2, 3, 4, 5  # kinds of fact

# What a condition comes to. The first six are states of the design; the rest refine three of them.
MEETS_IF = "meets (or does not apply)"
MAY_FAIL = "cannot tell (and fails if ...)"
MISSING_MAY_FAIL = "not measured (and fails if ...)"
UNCLEAR_IF = "cannot tell (or does not apply)"  # of a part only: it may drop out of the condition around it
CODES = {
    State.MEETS.value: 1,
    State.FAILS.value: 2,
    State.NOT_MEASURED.value: 3,
    State.CANNOT_TELL.value: 4,
    State.DOES_NOT_APPLY.value: 5,
    State.SET_ASIDE.value: 6,
    MEETS_IF: 7,
    MAY_FAIL: 8,
    MISSING_MAY_FAIL: 9,
}
STATE_OF = {
    **{state.value: state for state in State},
    MEETS_IF: State.MEETS,
    MAY_FAIL: State.CANNOT_TELL,
    MISSING_MAY_FAIL: State.NOT_MEASURED,
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

    x set aside; n terms that do not hold, w terms unknown. Of tests and parts: m met, i met if they apply,
    f failed, g missing, u unclear; h those of g and u that may yet fail (a value on both sides of its limit,
    a failing part that may not apply), p those of g and u that can neither fail nor drop out.
    """
    live = _zero("x", "n")
    out: list[tuple[str, int, list[Comparison]]] = []
    for kind in (ALL, ANY):
        out += [
            (State.SET_ASIDE.value, kind, [_some("x")]),
            (State.DOES_NOT_APPLY.value, kind, [*_zero("x"), _some("n")]),
            (State.DOES_NOT_APPLY.value, kind, [*live, *_zero("m", "i", "f", "g", "u")]),
        ]
    for kind, terms, rows in (
        (ALL, [*live, *_zero("w")], _ALL_SURE),
        (ALL, [*live, _some("w")], _ALL_UNSURE),
        (ANY, [*live, *_zero("w")], _ANY_SURE),
        (ANY, [*live, _some("w")], _ANY_UNSURE),
    ):
        for name, none, some in rows:
            out.append((name, kind, [*terms, *_zero(*none), *map(_some, some)]))
    return [(f"{name}#{i}", kind, tests) for i, (name, kind, tests) in enumerate(out)]


# (what it comes to, counts that are 0, counts that are not); exactly one row fits any counts.
_ALL_SURE = (
    (State.MEETS.value, "fgu", "m"),
    (MEETS_IF, "fgum", "i"),
    (State.FAILS.value, "", "f"),
    (State.NOT_MEASURED.value, "fh", "g"),
    (MISSING_MAY_FAIL, "f", "gh"),
    (MAY_FAIL, "fg", "h"),
    (State.CANNOT_TELL.value, "fgh", "up"),
    (State.CANNOT_TELL.value, "fghp", "um"),
    (UNCLEAR_IF, "fghpm", "u"),
)
_ALL_UNSURE = (
    (MEETS_IF, "fgu", "m"),
    (MEETS_IF, "fgum", "i"),
    (MAY_FAIL, "", "f"),
    (MAY_FAIL, "f", "h"),
    (UNCLEAR_IF, "fh", "g"),
    (UNCLEAR_IF, "fhg", "u"),
)
_ANY_SURE = (
    (State.MEETS.value, "", "m"),
    (State.NOT_MEASURED.value, "m", "gp"),
    (MISSING_MAY_FAIL, "mp", "g"),
    (MAY_FAIL, "mg", "h"),
    (State.CANNOT_TELL.value, "mgh", "p"),
    (MAY_FAIL, "mghp", "fu"),
    (MAY_FAIL, "mghpu", "fi"),
    (UNCLEAR_IF, "mghpf", "u"),
    (MEETS_IF, "mghpfu", "i"),
    (State.FAILS.value, "mgui", "f"),
)
_ANY_UNSURE = (
    (MEETS_IF, "", "m"),
    (MEETS_IF, "mguf", "i"),
    (UNCLEAR_IF, "m", "gp"),
    (MAY_FAIL, "mp", "g"),
    (MAY_FAIL, "mg", "h"),
    (UNCLEAR_IF, "mgh", "p"),
    (MAY_FAIL, "mghp", "f"),
    (UNCLEAR_IF, "mghpf", "u"),
)


def _finding_patterns() -> list[Pattern]:
    """What a unit in state s means for a use: b blocks it when failing, q is asked by it, l limits it.

    x: the finding is accepted for the use, which takes off its block and nothing else.
    """
    fails, missing, unclear, may_fail, missing_may = (("s", "==", c) for c in (2, 3, 4, 8, 9))
    b, b_not, q, q_not = ("b", "==", 1), ("b", "==", 0), ("q", "==", 1), ("q", "==", 0)
    rows: list[tuple[str, list[Comparison]]] = [
        (BAD, [fails, b, ("x", "==", 0)]),
        (ASIDE, [fails, b, ("x", "==", 1)]),
        (LIMITED, [fails, b_not, ("l", "==", 1)]),
        (BESIDE, [fails, b_not, ("l", "==", 0)]),
        (OPEN, [missing, q]),
        (WAITS, [missing, q_not]),
        (OPEN, [unclear, q]),
        (WAITS, [unclear, q_not]),
        (OPEN, [may_fail, q]),
        (OPEN, [may_fail, q_not, b]),
        (WAITS, [may_fail, q_not, b_not]),
        (OPEN, [missing_may, q]),
        (OPEN, [missing_may, q_not, b]),
        (WAITS, [missing_may, q_not, b_not]),
        (MET, [("s", "==", 1)]),
        (MET, [("s", "==", 7)]),
        (NOT_HERE, [("s", "==", 5)]),
        (ASIDE, [("s", "==", 6)]),
    ]
    return [(f"{name}#{k}", FINDING, tests) for k, (name, tests) in enumerate(rows)]


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
def logic(combine: int) -> Network:
    """The network of states, uses and verdicts, built once in a process."""
    return Network([*_condition_patterns(), *_finding_patterns(), *_verdict_patterns(combine)])
