"""The record of a comparison: one vehicle then and now, what happened between, and what moved the verdict."""

from __future__ import annotations

from precheck.answer.record import PutOffLine
from precheck.answer.trend_record import Trend
from precheck.model.record import dataclass
from precheck.model.rules import Verdict


@dataclass(frozen=True, slots=True)
class VisitLine:
    """One time somebody looked, `days_ago` before the day judged.

    `since`: after the old day. `drove` is the distance as precheck writes it.
    """

    on: str
    by: str
    readings: int
    drove: str
    days_ago: int
    since: bool


@dataclass(frozen=True, slots=True)
class WorkLine:
    """Work that was done. `at` are places in words, empty for everywhere."""

    on: str
    by: str
    work: str
    words: str
    at: tuple[str, ...]
    since: bool


@dataclass(frozen=True, slots=True)
class NoteLine:
    """Something written in free words: about a reading, work, or a visit. `line` is its line in the file."""

    on: str
    by: str
    about: str
    text: str
    line: int
    since: bool


@dataclass(frozen=True, slots=True)
class ReadingMoved:
    """What became of one point (or fact) at one place.

    `kind`: new (a first reading, and it fails), worse, better, mended (it failed, and work was done), run
    out, work done (a reading that work made void), struck, cannot tell, gone (it is no longer in the file, or
    its place is not), first look, changed, confirmed.
    `then` and `now` are the values as written, also those that no longer count; `state_then` and `state_now`
    the worst of the rules that read it. `blocks` is the lowest use that it stops now (mended: that it
    stopped); `rules` are those that fail, now or else then. `by_itself`: better with no work between.
    `why` says why it does not count now.
    """

    kind: str
    point: str
    words: str
    place: str
    place_words: str
    then: tuple[str, ...]
    then_on: str
    state_then: str
    now: tuple[str, ...]
    now_on: str
    by: str
    state_now: str
    blocks: str
    rules: tuple[str, ...]
    work: str
    by_itself: bool
    note: str
    why: str


@dataclass(frozen=True, slots=True)
class ResultMoved:
    """A result that is not what it was; empty states where it was not judged.

    `moved_by` names what would have moved it alone (day, vehicle, rules); where none would, all that it took,
    `together`. `by_reading`: a reading behind it moved as well, and tells of it. `values` are the values
    compared, then and now, with the limit.
    """

    rule: str
    title: str
    step: str
    place: str
    place_words: str
    source: str
    clause: str
    state_then: str
    state_now: str
    weighs_then: str
    weighs_now: str
    moved_by: tuple[str, ...]
    together: bool
    by_reading: bool
    values: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class UseMoved:
    """The verdict of a use then and now, how many rules stood against it and waited, and what moved it.

    `moved_by` as in ResultMoved; empty where the verdict is the same.
    """

    use: str
    words: str
    side: bool
    then: Verdict
    now: Verdict
    bad_then: int
    bad_now: int
    open_then: int
    open_now: int
    moved_by: tuple[str, ...]
    together: bool
    says: str


@dataclass(frozen=True, slots=True)
class NeverLine:
    """A point that the uses shown need and that nobody has read yet, `at` which places, in words.

    `reasons` say why it was not reached, where that was written.
    """

    point: str
    words: str
    access_words: str
    at: tuple[str, ...]
    reasons: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class WatchLine:
    words: str
    since: bool


@dataclass(frozen=True, slots=True)
class Compared:
    """One vehicle on two days.

    `rules_moved`: other rules then than now. `against` is what stands against the uses shown now, by title
    and place; `missing` and `questions` are the points and facts that are open for them. `never_then` and
    `never_now` count the places at which nobody had read a point they need. `next_use` is the use that the
    next steps are about. `find` is what was searched in the notes, `found` where it stands.
    """

    file: str
    file_then: str
    called: str
    day: str
    day_given: bool
    day_then: str
    looking_back: bool
    uses: tuple[str, ...]
    shown_for: tuple[str, ...]
    verdict_then: Verdict
    verdict_now: Verdict
    headline_then: str
    headline_now: str
    rules_moved: bool
    visits: tuple[VisitLine, ...]
    work: tuple[WorkLine, ...]
    ladder: tuple[UseMoved, ...]
    readings: tuple[ReadingMoved, ...]
    results: tuple[ResultMoved, ...]
    against: tuple[str, ...]
    missing: tuple[str, ...]
    questions: tuple[str, ...]
    never: tuple[NeverLine, ...]
    never_then: int
    never_now: int
    next_use: str
    notes: tuple[NoteLine, ...]
    find: str
    found: tuple[NoteLine, ...]
    watch: tuple[WatchLine, ...]
    put_off: tuple[PutOffLine, ...]
    trends: tuple[Trend, ...]
    version: str
    rules_digest: str
    rules_digest_then: str
    exit_code: int
