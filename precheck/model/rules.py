"""Rules as data: tests, conditions, steps, effects, cases."""

from __future__ import annotations

from datetime import date
from enum import Enum
from fractions import Fraction

from precheck.model.catalogue import Limit
from precheck.model.node import Map
from precheck.model.problem import Mark
from precheck.model.quantity import Unit
from precheck.model.record import dataclass, field


class State(Enum):
    """The state of one requirement at one place; every expected one ends in exactly one of them."""

    MEETS = "meets"
    FAILS = "fails"
    NOT_MEASURED = "not measured"
    CANNOT_TELL = "cannot tell"
    DOES_NOT_APPLY = "does not apply"
    SET_ASIDE = "set aside"


class Verdict(Enum):
    GO = "GO"
    NO_GO = "NO-GO"
    UNDECIDED = "UNDECIDED"


class Op(Enum):
    AT_LEAST = "at-least"
    AT_MOST = "at-most"
    MORE_THAN = "more-than"
    LESS_THAN = "less-than"
    ONE_OF = "one-of"


@dataclass(frozen=True, slots=True)
class Bound:
    """A limit that depends on the vehicle: `share` times another value, plus `plus`, or a table row.

    `of` names a point, fact or derived value read at the same place (or the axle or vehicle above it).
    `rows` is the table: (key from, key to, key included ends, limit), keys and limits in base units.
    """

    of: str
    share: Fraction = Fraction(1)
    plus: Fraction = Fraction(0)
    table: str = ""
    rows: tuple[Row, ...] = ()


@dataclass(frozen=True, slots=True)
class Row:
    """One row of a table: keys from `low` to `high` (None: open-ended), or the state `word`.

    An end is included unless `low_out` or `high_out` says it is left out.
    """

    low: Fraction | None
    low_out: bool
    high: Fraction | None
    high_out: bool
    word: str | None
    limit: Fraction
    written: str


@dataclass(frozen=True, slots=True)
class Over:
    """A judgement across places: `take` is count, share, lowest, highest, spread or distinct."""

    family: str
    take: str
    states: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Test:
    """One comparison of one value.

    Numbers: `op` with `limit` in base units, or with `bound`. States: ONE_OF `states`.
    `written` is the limit as the rule's author wrote it, in `unit`. `cell` is the id of the value it reads:
    tests across places and tests against another value read one of their own.
    """

    measure: str
    op: Op
    written: str
    limit: Fraction | None = None
    states: tuple[str, ...] = ()
    bound: Bound | None = None
    over: Over | None = None
    unit: Unit | None = field(default=None, compare=False)
    cell: str = field(init=False, compare=False)

    def __post_init__(self) -> None:
        name = self.measure
        if self.over:
            name += f"|{self.over.take}:{self.over.family}:{','.join(self.over.states)}"
        if self.bound:
            b = self.bound
            name += f"|less {b.of}*{b.share}+{b.plus}:{b.table}"
        object.__setattr__(self, "cell", name)

    def __hash__(self) -> int:
        # Cheap, because a test is looked up thousands of times in a run; equality compares everything.
        return hash((self.measure, self.written))


@dataclass(frozen=True, slots=True)
class Part:
    """A condition: all of its tests and parts (`any_of` False) or any of them, where `applies` holds."""

    any_of: bool
    applies: tuple[Test, ...]
    tests: tuple[Test, ...]
    parts: tuple[Part, ...] = ()


@dataclass(frozen=True, slots=True)
class Effects:
    """What a failure does: the uses it blocks, the limits it puts on lower uses, who asks for it.

    `blocks` and `asks` are closed upward: a rung takes all above it.
    """

    blocks: frozenset[str]
    asks: frozenset[str]
    limits: tuple[tuple[str, tuple[Limit, ...]], ...]
    lowest_block: str | None
    lowest_ask: str | None

    def bears_on(self, use: str) -> bool:
        """Whether meeting this says anything for a use: it blocks, limits or is asked for by it."""
        return use in self.blocks or use in self.asks or bool(self.limits_at(use))

    def limits_at(self, use: str) -> tuple[Limit, ...]:
        return next((limits for name, limits in self.limits if name == use), ())


@dataclass(frozen=True, slots=True)
class Step:
    """One grade of a rule: its condition and what failing it does."""

    condition: Part
    effects: Effects
    words: str


@dataclass(frozen=True, slots=True)
class Cite:
    source: str
    clause: str
    checked: str
    note: str = ""


@dataclass(frozen=True, slots=True)
class Case:
    """A worked case of a rule: what is given, on which day, and the state that must come out.

    `given` is laid over `typical`; both are read like the readings of a condition document.
    `step` counts from 1 and picks one step; None means the whole rule.
    """

    name: str
    typical: Map | None
    given: Map
    expect: State
    step: int | None
    on: date | None
    source: str
    mark: Mark


@dataclass(frozen=True, slots=True)
class Rule:
    id: str
    title: str
    cites: tuple[Cite, ...]
    requires: str
    system: str
    family: str
    applies: tuple[Test, ...]
    steps: tuple[Step, ...]
    chain: str | None
    consequence: str
    fix: str
    cautions: tuple[str, ...]
    cases: tuple[Case, ...]
    floor: bool
    file: str
    mark: Mark
    built_in: bool = False  # a question of the rulebook itself; answering it judges nothing

    @property
    def source(self) -> str:
        return self.cites[0].source
