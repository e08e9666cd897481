"""The record of one answer: everything any report shows, kept once.

All text is as plain data; report modules only lay it out. Dates are ISO texts where they are shown.
"""

from __future__ import annotations

from precheck.model.record import dataclass
from precheck.model.rules import Verdict


@dataclass(frozen=True, slots=True)
class Evidence:
    """One comparison behind a state.

    `written`: the values as written; `exact` the same in the base unit; `converted` the same in the
    limit's unit where they were written in another (else empty texts); `limit` as the rule says it,
    `limit_exact` as a number in its unit; `margin` the distance to the limit in that unit, in words.
    `outcome`: meets, fails, not measured, cannot tell. `term`: it decides whether the rule applies.
    """

    measure: str
    words: str
    place: str
    outcome: str
    written: tuple[str, ...]
    exact: tuple[str, ...]
    converted: tuple[str, ...]
    limit: str
    limit_exact: str
    margin: str
    known: str
    on: str
    by: str
    instrument: str
    note: str
    why: str
    steps: tuple[str, ...]
    inputs: tuple[str, ...]
    passed_over: tuple[str, ...]
    term: bool = False


@dataclass(frozen=True, slots=True)
class Changed:
    """A change to a rule by a local file or by an acceptance in the document.

    `kind`: tightened, loosened, set aside, accepted. `where`: file:line. `since` and `until`: the first
    and last day, empty where there is no such end. `source`: that of the file, as stated by it.
    `step`: counted from 1, 0 where the rule has one. `limit` stands in the place of `limit_was`; both are
    empty where the change is none of a limit.
    """

    kind: str
    where: str
    because: str
    by: str
    since: str
    until: str
    source: str
    step: int
    limit: str
    limit_was: str


@dataclass(frozen=True, slots=True)
class Finding:
    """One step of one rule at one place, with what it means for the use asked.

    `weighs`: bad, open, met, limited, beside, waits, does not apply, set aside.
    `blocks`: the lowest use it blocks when failing, `bears` all of them in words; `limits`:
    the limits it puts on the use asked.
    `changed`: the changes in force on this rule here; `state_without` and `weighs_without` are what the
    finding comes to without any of them.
    """

    rule: str
    title: str
    requires: str
    step: str
    place: str
    place_words: str
    state: str
    fine: str
    weighs: str
    source: str
    source_title: str
    clause: str
    checked: str
    cite_note: str
    consequence: str
    fix: str
    chain: str
    system: str
    blocks: str
    bears: str
    limits: tuple[str, ...]
    cautions: tuple[str, ...]
    evidence: tuple[Evidence, ...]
    combined_from: tuple[str, ...] = ()
    changed: tuple[Changed, ...] = ()
    state_without: str = ""
    weighs_without: str = ""


@dataclass(frozen=True, slots=True)
class Gap:
    """One reading that is missing or cannot be told, at all its places at once.

    `places` pairs each place with why; `rules` is how many rules wait for it.
    """

    point: str
    words: str
    access: str
    access_words: str
    access_order: int
    instrument: str
    places: tuple[tuple[str, str], ...]
    rules: int
    states: tuple[str, ...]
    unit: str
    lasts: str
    cautions: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Question:
    """A fact whose answer would settle `rules` rules."""

    fact: str
    question: str
    states: tuple[str, ...]
    unit: str
    rules: int
    why: str


@dataclass(frozen=True, slots=True)
class LimitLine:
    """One limit on a GO, the strictest of its kind, with what put it there."""

    kind: str
    words: str
    value: str
    because: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Rest:
    """A reading the answer rests on; `until` is the last day it counts, empty where time does not end it."""

    point: str
    place: str
    written: str
    on: str
    by: str
    known: str
    instrument: str
    until: str
    ends_with: str


@dataclass(frozen=True, slots=True)
class CautionLine:
    id: str
    text: str
    source: str
    checked: str


@dataclass(frozen=True, slots=True)
class SourceLine:
    id: str
    title: str
    kind: str
    edition: str
    address: str
    binds: str
    rules: int
    why: str = ""


@dataclass(frozen=True, slots=True)
class UseLine:
    """The verdict for one use; how many rules stand against it, and how many wait for something.

    `without_changes`: the verdict without the changes in force; empty where there are none.
    """

    use: str
    words: str
    verdict: Verdict
    bad: int
    open: int
    side: bool
    without_changes: str = ""


@dataclass(frozen=True, slots=True)
class ChangedPlace:
    """A place where a change makes a difference: what it comes to with and without the changes."""

    place: str
    place_words: str
    step: int
    state: str
    weighs: str
    state_without: str
    weighs_without: str


@dataclass(frozen=True, slots=True)
class ChangeLine:
    """One change of a local file or of the document, whether it counts on this day or not.

    `standing`: in force, ended, not yet started, its rule does not judge here. `uses`: of an acceptance.
    `covers` is how many places it bears on, `effects` those where it makes a difference.
    """

    rule: str
    title: str
    standing: str
    uses: tuple[str, ...]
    covers: int
    effects: tuple[ChangedPlace, ...]
    change: Changed


@dataclass(frozen=True, slots=True)
class PutOffPlace:
    """A place where a finding put off is found or not known, with its state."""

    place: str
    place_words: str
    state: str


@dataclass(frozen=True, slots=True)
class PutOffLine:
    """A finding put off, whose `until` is the day on which it comes back, `uses` those that end it at once.

    `standing`: put off, its day has come, its use is asked for, not found any more, not known now, its rule
    does not judge here. `against`: it blocks or limits the use asked for all the same.
    """

    rule: str
    title: str
    because: str
    by: str
    until: str
    odometer: str
    uses: tuple[str, ...]
    where: str
    standing: str
    at: tuple[PutOffPlace, ...]
    against: bool


@dataclass(frozen=True, slots=True)
class Looked:
    """Who looked, when and with what: one line a visit."""

    on: str
    by: str
    readings: int
    instruments: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Answer:
    """The whole answer for one vehicle, one set of uses, one day.

    `uses` are those asked (empty: none were named); `shown_for` the uses the details are about;
    `ladder` the verdict of every use. `limits` are for the uses shown; `highest_limits` for the highest
    rung that is GO, where no use was named. `turn_back` is empty where nothing is GO. `findings` is
    the full derivation record, kept where the request asks for it. `changes` are those of local files and of
    the document; `without_changes` the verdict without them, empty where none is in force. `put_off` is what
    the document plans for later, heeded by no verdict.
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
    ladder: tuple[UseLine, ...]
    blocking: tuple[Finding, ...]
    limited: tuple[Finding, ...]
    limits: tuple[LimitLine, ...]
    highest_limits: tuple[LimitLine, ...]
    turn_back: tuple[str, ...]
    gaps: tuple[Gap, ...]
    questions: tuple[Question, ...]
    asked_back: tuple[str, ...]
    watch: tuple[str, ...]
    beside: tuple[Finding, ...]
    rests_on: tuple[Rest, ...]
    first_to_run_out: tuple[str, ...]
    hearsay: tuple[str, ...]
    looked: tuple[Looked, ...]
    cautions: tuple[CautionLine, ...]
    judged_by: tuple[SourceLine, ...]
    left_out: tuple[SourceLine, ...]
    region: str
    inspects: str
    ask: str
    findings: tuple[Finding, ...]
    counts: tuple[tuple[str, int], ...]
    notices: tuple[str, ...]
    version: str
    rules_digest: str
    exit_code: int
    changes: tuple[ChangeLine, ...] = ()
    without_changes: str = ""
    put_off: tuple[PutOffLine, ...] = ()
