"""The record of the work on a vehicle: what to mend, what may wait, what to buy, what to look at again."""

from __future__ import annotations

from precheck.answer.record import CautionLine, PutOffLine
from precheck.model.record import dataclass
from precheck.model.rules import Verdict


@dataclass(frozen=True, slots=True)
class FoundLine:
    """A reading behind a repair, exactly as it was written; `known` says how it came to be known."""

    point: str
    words: str
    place: str
    place_words: str
    written: tuple[str, ...]
    known: str
    on: str
    by: str
    instrument: str
    note: str


@dataclass(frozen=True, slots=True)
class AskedBy:
    """A rule that a finding breaks. `needs`: what it wants.

    `kind` is that of its source (the floor is common practice); `blocks` the lowest use it blocks at all,
    empty where it blocks none, `bears` the same in words; `limits` are those it puts on a use meanwhile.
    `close` says that it fails by less than the reading can tell.
    """

    rule: str
    title: str
    step: str
    place: str
    place_words: str
    source: str
    source_title: str
    kind: str
    clause: str
    checked: str
    needs: tuple[str, ...]
    blocks: str
    bears: str
    limits: tuple[str, ...]
    close: str


@dataclass(frozen=True, slots=True)
class Repair:
    """One thing to mend, with every rule that its findings break.

    `use` is the lowest use it holds up, `uses` all of those asked. `what` are the rules' own words.
    `position` is where the person is for it. `together` are the places mended together with those of the
    findings. `parts` are ids of the parts list. `beside` are the numbers of other repairs in the same
    position at the same axle. `done` is the line for the record when it is done, empty where none fits.
    """

    number: int
    use: str
    uses: tuple[str, ...]
    position: str
    position_words: str
    title: str
    what: tuple[str, ...]
    where: tuple[str, ...]
    found: tuple[FoundLine, ...]
    asked_by: tuple[AskedBy, ...]
    together: tuple[str, ...]
    pair: str
    parts: tuple[str, ...]
    cautions: tuple[str, ...]
    hands: tuple[str, ...]
    beside: tuple[int, ...]
    done: str


@dataclass(frozen=True, slots=True)
class Waits:
    """Something that need not be mended yet, and when that ends.

    `kind`: limits (it only puts limits), other use (it blocks other uses only), watch (it blocks none),
    ahead (it meets now and will not from `day` on), change (somebody accepted, loosened or set it aside
    until `day`). `until` says the end
    in words; `day` is the date where there is one. `then` is what is asked of it from there on; `limits`
    hold until then, the strictest of each kind.
    """

    kind: str
    title: str
    where: tuple[str, ...]
    what: tuple[str, ...]
    found: tuple[FoundLine, ...]
    asked_by: tuple[AskedBy, ...]
    until: str
    day: str
    then: tuple[str, ...]
    limits: tuple[str, ...] = ()
    hands: tuple[str, ...] = ()
    parts: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Size:
    """A dimension or kind for the counter: as written, or what is still to be taken."""

    point: str
    words: str
    place: str
    place_words: str
    written: tuple[str, ...]
    known: str
    on: str
    by: str
    instrument: str
    note: str
    why: str
    how: str


@dataclass(frozen=True, slots=True)
class PartLine:
    """A part to buy. `places` are where it goes, `found_at` those of them with a finding.

    `for_repairs` are numbers of repairs; none: it belongs to what may wait.
    """

    part: str
    words: str
    count: int
    places: tuple[str, ...]
    found_at: tuple[str, ...]
    pair: str
    buy: tuple[str, ...]
    sizes: tuple[Size, ...]
    missing: tuple[Size, ...]
    compare: tuple[str, ...]
    for_repairs: tuple[int, ...]
    checked: str


@dataclass(frozen=True, slots=True)
class LookAgain:
    """A point to look at after work.

    `was` is the reading that the work made void, `when` says from when on it is worth looking.
    """

    point: str
    words: str
    places: tuple[str, ...]
    position: str
    position_words: str
    instrument: str
    was: tuple[str, ...]
    when: str


@dataclass(frozen=True, slots=True)
class AfterWork:
    """Work that was done (`on` a day) or is asked about, and what it leaves to look at.

    `voids` are the readings it ends, `again` what is to be looked at; of work done, what was looked at
    since is left out of both, and what is in `again` stands there only.
    """

    work: str
    words: str
    on: str
    places: tuple[str, ...]
    advice: str
    voids: tuple[LookAgain, ...]
    again: tuple[LookAgain, ...]


@dataclass(frozen=True, slots=True)
class WorkAnswer:
    """Everything that the verb work shows. `target` are the uses it is about, lowest first.

    `asked_after`: the work of --after; then that alone is told.
    """

    file: str
    called: str
    day: str
    day_given: bool
    looking_back: bool
    uses: tuple[str, ...]
    target: tuple[str, ...]
    verdict: Verdict
    headline: str
    repairs: tuple[Repair, ...]
    waits: tuple[Waits, ...]
    horizon: str
    parts: tuple[PartLine, ...]
    open_work: tuple[AfterWork, ...]
    asked_after: tuple[AfterWork, ...]
    missing: int
    cautions: tuple[CautionLine, ...]
    notices: tuple[str, ...]
    put_off: tuple[PutOffLine, ...]
    region: str
    inspects: str
    ask: str
    version: str
    rules_digest: str
    exit_code: int
