"""The record of an explanation: one result in full, and what would change it. Reports only lay it out.

It stands beside the record of the answer: a `Result` holds the same `Finding` that the gate records, and more
of what led to it.
"""

from __future__ import annotations

from precheck.answer.record import CautionLine, Finding, PutOffLine
from precheck.answer.trend_record import Trend
from precheck.model.record import dataclass
from precheck.model.rules import Verdict


@dataclass(frozen=True, slots=True)
class CiteLine:
    """Where a rule comes from: a source's own clause, and how that was checked."""

    source: str
    title: str
    kind: str
    clause: str
    edition: str
    address: str
    checked: str
    note: str


@dataclass(frozen=True, slots=True)
class ReadingLine:
    """A reading or fact behind a comparison, as it was settled.

    `status`: value, not measured, cannot tell; `why` says why there is no value. `exact` are the values in
    the base unit. `until` is the last day it counts, `ends_with` what else ends it. `passed_over` are
    other readings of it that did not count, each with the reason. `line` is its line in the file, 0 for none.
    """

    point: str
    words: str
    place: str
    place_words: str
    status: str
    written: tuple[str, ...]
    exact: tuple[str, ...]
    known: str
    on: str
    by: str
    instrument: str
    note: str
    why: str
    until: str
    ends_with: str
    passed_over: tuple[str, ...]
    line: int


@dataclass(frozen=True, slots=True)
class WorkedLine:
    """A derived value between the readings and the comparison, with its formula and the steps taken."""

    value: str
    words: str
    place_words: str
    written: tuple[str, ...]
    exact: tuple[str, ...]
    formula: str
    source: str
    why: str
    steps: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Comparison:
    """One comparison in full, in the order of the finding's evidence.

    `compared` is the one value that decides, in the unit it was written in and in the limit's;
    `limit_here` is what the limit comes to on this vehicle where it depends on another value; `margin` is
    the distance in the person's unit, `margin_limit` in the limit's. `close` says that the reading is too
    coarse for so small a margin.
    """

    measure: str
    words: str
    place_words: str
    term: bool
    outcome: str
    limit: str
    limit_here: str
    compared: str
    compared_exact: str
    margin: str
    margin_limit: str
    close: str
    why: str
    worked: tuple[WorkedLine, ...]
    readings: tuple[ReadingLine, ...]


@dataclass(frozen=True, slots=True)
class Move:
    """One thing to do.

    `kind`: measure, look, answer (there is no value yet); raise, lower, mend, renew, correct (there is one).
    `to` is a value that would do, `wanted` all numbers that would, `accepted` all states. `by` is the
    difference. `work` is the kind of work that makes an older permanent reading void.
    """

    kind: str
    sentence: str
    point: str
    place: str
    place_words: str
    now: str
    to: str
    by: str
    wanted: str
    accepted: tuple[str, ...]
    access_words: str
    instrument: str
    question: str
    work: str


@dataclass(frozen=True, slots=True)
class Remedy:
    """What would change a result. `jot` is the line that `precheck suppose` takes for it.

    `comes_to` is the state that the result came to when the line was tried on the whole document; empty
    where it was not tried, or cannot be said in a line.
    """

    moves: tuple[Move, ...]
    jot: str
    comes_to: str
    note: str


@dataclass(frozen=True, slots=True)
class Bears:
    """What a result means for one use: bad, open, met, limited ..."""

    use: str
    weighs: str


@dataclass(frozen=True, slots=True)
class Result:
    """One step of one rule at one place in full.

    `number` of `steps` counts from 1. `condition` is the step's condition in words. `decided_by` is the term
    that made it not apply, or the branch that is still open. `effects` say what failing does, as the rule
    has it; `bears` what the result means for each use. `remedies` are ordered, the cheapest first.
    """

    finding: Finding
    number: int
    steps: int
    cites: tuple[CiteLine, ...]
    condition: str
    applies: str
    effects: tuple[str, ...]
    bears: tuple[Bears, ...]
    comparisons: tuple[Comparison, ...]
    decided_by: str
    close: str
    remedies: tuple[Remedy, ...]
    nothing_to_do: str


@dataclass(frozen=True, slots=True)
class Explanation:
    """Why a verdict, or one thing in it, is as it is.

    `asked` is the argument as understood, `asked_kind` what it is: verdict, rule, point, derived value.
    `readings` are those of the point asked about. `against` and `open` are the results behind a verdict,
    shortest way first; `close_calls` meet by less than their readings can tell; `first_to_run_out` is what
    ends first of what the verdict rests on. `results` are those of what was asked about. `cautions` are
    those of all results. `decides` says which rules a fact makes apply or not. `not_judged` says why
    nothing judges what was asked. `trends` are the wear trends of a point. `counts` are the states of all
    requirements.
    """

    file: str
    called: str
    day: str
    day_given: bool
    looking_back: bool
    uses: tuple[str, ...]
    shown_for: tuple[str, ...]
    verdict: Verdict
    headline: str
    highest: str
    asked: str
    asked_kind: str
    asked_words: str
    readings: tuple[ReadingLine, ...]
    worked: tuple[WorkedLine, ...]
    against: tuple[Result, ...]
    open: tuple[Result, ...]
    limited: tuple[Result, ...]
    close_calls: tuple[Result, ...]
    first_to_run_out: tuple[str, ...]
    results: tuple[Result, ...]
    cautions: tuple[CautionLine, ...]
    decides: tuple[str, ...]
    not_judged: str
    counts: tuple[tuple[str, int], ...]
    notices: tuple[str, ...]
    put_off: tuple[PutOffLine, ...]
    region: str
    inspects: str
    ask: str
    version: str
    rules_digest: str
    exit_code: int
    trends: tuple[Trend, ...] = ()


@dataclass(frozen=True, slots=True)
class Moved:
    """A result that is not what it was: state and weight now and as supposed; empty where it is not there."""

    rule: str
    title: str
    step: str
    place: str
    place_words: str
    source: str
    clause: str
    checked: str
    state_now: str
    state_supposed: str
    weighs_now: str
    weighs_supposed: str


@dataclass(frozen=True, slots=True)
class MovedUse:
    """The verdict of a use now and as supposed, with how many rules stand against it and wait."""

    use: str
    words: str
    side: bool
    now: Verdict
    supposed: Verdict
    bad_now: int
    bad_supposed: int
    open_now: int
    open_supposed: int


@dataclass(frozen=True, slots=True)
class Supposed:
    """The gate again with some readings supposed; both headlines say SUPPOSED. `exit_code` is never 0.

    `lines` are what was supposed as written, `read_as` what it means in the exact form. `still_missing` names
    the points and facts that are open then.
    """

    file: str
    called: str
    day: str
    day_given: bool
    looking_back: bool
    uses: tuple[str, ...]
    shown_for: tuple[str, ...]
    lines: tuple[str, ...]
    read_as: tuple[str, ...]
    asked_back: tuple[str, ...]
    verdict_now: Verdict
    verdict_supposed: Verdict
    headline_now: str
    headline_supposed: str
    ladder: tuple[MovedUse, ...]
    moved: tuple[Moved, ...]
    still_against: tuple[str, ...]
    still_missing: tuple[str, ...]
    version: str
    rules_digest: str
    exit_code: int
