"""The gate: one document, one rulebook, one day, the uses asked; out comes the record of the answer."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from copy import copy
from typing import TYPE_CHECKING

from precheck import __version__
from precheck.answer import rests
from precheck.answer.changes import change_lines, leaned_on, notices
from precheck.answer.findings import (
    combined_finding,
    finding,
    limits_of,
    ordered,
    weighs,
    worst_of_each,
)
from precheck.answer.gaps import built_in_open, open_things
from precheck.answer.judging import Judged, judge_for
from precheck.answer.leftout import left_out
from precheck.answer.limits import merged
from precheck.answer.putoff import put_off_lines
from precheck.answer.record import Answer, CautionLine, Finding, LimitLine, SourceLine, UseLine
from precheck.answer.uses import EXIT, with_their_own, worst
from precheck.answer.words import caution_lines
from precheck.engine.logic import BAD, BESIDE, LIMITED, OPEN
from precheck.model.catalogue import Day, Source, Use
from precheck.model.document import Document
from precheck.model.record import dataclass, replace
from precheck.model.rules import State, Verdict
from precheck.rulebook.book import Rulebook

if TYPE_CHECKING:
    from precheck.answer.trend_record import Trend

_SHOWN = (BAD, LIMITED, BESIDE)


@dataclass(frozen=True, slots=True)
class Request:
    """`uses` empty: the whole ladder. `sources` None: those of the region.

    `full`: keep every finding in the record, not only those that are shown.
    """

    day: Day
    uses: tuple[str, ...] = ()
    sources: tuple[str, ...] | None = None
    full: bool = False


def gate(document: Document, book: Rulebook, request: Request) -> Answer:
    """Judge and record. Raises an EngineFault where the judging cannot be trusted."""
    return Gate(document, book, request).answer()


class Gate:
    """Both judgements of one document; `answer` makes the record, other verbs look further into them."""

    def __init__(self, document: Document, book: Rulebook, request: Request) -> None:
        self.document = document
        self.book = book
        self.request = request
        # The first rung takes hearsay, the others do not: two ways of knowing, two judgements.
        first, second = book.rungs()[:2]
        one = judge_for(document, book, request.day, first, request.sources)
        other = judge_for(document, book, request.day, second, request.sources, like=one)
        self.by_rank = {first.rank: one, second.rank: other}

    def about(self, *names: str) -> Gate:
        """The same judgements, for other uses."""
        other = copy(self)
        other.request = replace(self.request, uses=names)
        return other

    def judged(self, use: Use) -> Judged:
        return self.by_rank[min(use.rank, max(self.by_rank))]

    def verdict(self, uses: Sequence[Use], without_changes: bool = False) -> Verdict:
        """The verdict of uses that are judged together."""
        judged = self.judged(max(uses, key=lambda u: u.rank))
        results = judged.untouched if without_changes else judged.results
        found = worst([results.verdicts[u.id] for u in uses])
        if found is Verdict.GO and judged.settled.looking_back:
            return Verdict.UNDECIDED
        return found

    def own(self, *names: str) -> tuple[Use, ...]:
        return with_their_own(names, self.book)

    def wear(self, names: Sequence[str]) -> tuple[Trend, ...]:
        """Every wear trend that the readings up to the day allow; no part of any verdict."""
        from precheck.answer.trend import trends  # a gate in text does not need it

        highest = max((self.book.uses[name] for name in names), key=lambda u: u.rank)
        return trends(self.document, self.book, self.request.day, highest, self.judged(highest))

    # -- the record ---------------------------------------------------------------------------

    def answer(self) -> Answer:
        book, request = self.book, self.request
        verdicts = {use.id: self.verdict(self.own(use.id)) for use in book.uses.values()}
        highest = ""
        for use in book.rungs():
            if verdicts[use.id] is not Verdict.GO:
                break
            highest = use.id
        uses = self.own(*(request.uses or (self._next(highest),)))
        judged = self.judged(max(uses, key=lambda u: u.rank))
        if request.uses:
            verdict = self.verdict(uses)
            code = EXIT[verdict]
        else:
            verdict = verdicts[highest] if highest else verdicts[book.rungs()[0].id]
            code = EXIT[Verdict.NO_GO] if verdict is Verdict.NO_GO else EXIT[Verdict.UNDECIDED]
        return self._record(uses, judged, verdict, verdicts, highest, code)

    def _next(self, highest: str) -> str:
        rungs = [u.id for u in self.book.rungs()]
        return rungs[min(rungs.index(highest) + 1, len(rungs) - 1)] if highest else rungs[0]

    def _record(
        self,
        uses: tuple[Use, ...],
        judged: Judged,
        verdict: Verdict,
        verdicts: Mapping[str, Verdict],
        highest: str,
        code: int,
    ) -> Answer:
        book, request, selection = self.book, self.request, judged.selection
        classes = judged.results.classes
        shown = [u for u in judged.units if request.full or weighs(u.key, uses, classes) in _SHOWN]
        found = [finding(u, uses, judged, book) for u in shown]
        worst_steps = worst_of_each(found, book)
        names = {use.id for use in uses}
        combined = [combined_finding(c, book) for c in judged.results.combined if c.blocks & names]
        bad = ordered([*combined, *(f for f in worst_steps if f.weighs == BAD)], book)
        open_units = [u for u in judged.units if weighs(u.key, uses, classes) == OPEN]
        gaps, questions = open_things(judged, open_units, book)
        limited = [f for f in worst_steps if f.weighs == LIMITED]
        beside = ordered([f for f in worst_steps if f.weighs == BESIDE], book)
        counts = Counter(s.value for s in judged.results.states.values())
        region = selection.region
        changes = change_lines(judged, self.document, book, uses, request.day.date)
        return Answer(
            file=self.document.name,
            called=self.document.called,
            day=str(request.day.date),
            day_given=request.day.given,
            looking_back=judged.settled.looking_back,
            uses=request.uses,
            shown_for=tuple(u.id for u in uses),
            verdict=verdict,
            headline=self._headline(verdict, highest, uses, judged),
            highest=highest,
            ladder=tuple(self._line(u, verdicts) for u in book.uses.values()),
            blocking=tuple(bad),
            limited=tuple(limited),
            limits=self._limits(uses, judged, {(f.rule, f.place) for f in bad}),
            highest_limits=self._highest_limits(highest),
            turn_back=book.policy.turn_back if verdict is Verdict.GO else (),
            gaps=gaps,
            questions=questions,
            asked_back=rests.asked_back(judged),
            watch=rests.watch(judged, self.document, request.day.date, book),
            beside=tuple(beside),
            rests_on=rests.rests_on(judged, uses, book),
            first_to_run_out=(
                *rests.first_to_run_out(judged, uses, book),
                *rests.first_by_distance(judged, uses, self.document, book, request.day.date),
            ),
            hearsay=rests.hearsay(judged, uses, book),
            looked=rests.looked(self.document, request.day.date),
            cautions=self._cautions([*bad, *limited], [c for g in gaps for c in g.cautions]),
            judged_by=self._sources(judged),
            left_out=tuple(_source(s, 0, why) for s, why in selection.left_out),
            region=region.id if region else "",
            inspects=region.inspects if region else "",
            ask=region.ask if region else "",
            findings=tuple(found) if request.full else (),
            counts=tuple((s.value, counts[s.value]) for s in State),
            notices=(
                *self.document.notices,
                *left_out(self.document, judged, book),
                *notices(changes),
                *built_in_open(judged, open_units),
            ),
            version=__version__,
            rules_digest=book.digest,
            exit_code=code,
            changes=changes,
            without_changes=self._without(self._about(uses, highest)),
            put_off=put_off_lines(
                judged, self.document, book, uses if request.uses else (), request.day.date
            ),
        )

    def _about(self, uses: tuple[Use, ...], highest: str) -> tuple[Use, ...]:
        """The uses that the verdict is for: those asked, or the highest that is GO, or the first rung."""
        return uses if self.request.uses else self.own(highest or self.book.rungs()[0].id)

    def _without(self, uses: Sequence[Use]) -> str:
        """The verdict without the changes in force; empty where there are none."""
        changed = any(judged.selection.in_force for judged in self.by_rank.values())
        return self.verdict(uses, without_changes=True).value if changed else ""

    def _highest_limits(self, highest: str) -> tuple[LimitLine, ...]:
        if not highest or self.request.uses:
            return ()
        uses = self.own(highest)
        return self._limits(uses, self.judged(uses[0]), set())

    def _headline(self, verdict: Verdict, highest: str, uses: tuple[Use, ...], judged: Judged) -> str:
        request = self.request
        about = self._about(uses, highest)
        leaning = leaned_on(self.judged(max(about, key=lambda u: u.rank)), about)
        said = f"{verdict.value}, with {leaning}," if leaning and verdict is Verdict.GO else verdict.value
        if request.uses:
            line = f"{said} for {', '.join(request.uses)} on {request.day.date}"
        elif highest:
            line = f"{said} for {highest} on {request.day.date}; you have not said for what"
        else:
            line = f"{verdict.value} for {self.book.rungs()[0].id} on {request.day.date}"
        return f"{line} (looking back)" if judged.settled.looking_back else line

    def _line(self, use: Use, verdicts: Mapping[str, Verdict]) -> UseLine:
        judged = self.judged(use)
        rules: dict[str, set[str]] = {BAD: set(), OPEN: set()}
        for key, word in judged.results.classes[use.id].items():
            if word in rules:
                rules[word].add(key[0])
        bad = len(rules[BAD]) + sum(use.id in c.blocks for c in judged.results.combined)
        without = self._without(self.own(use.id))
        return UseLine(use.id, use.words, verdicts[use.id], bad, len(rules[OPEN]), use.side, without)

    def _limits(
        self, uses: Sequence[Use], judged: Judged, bad: set[tuple[str, str]]
    ) -> tuple[LimitLine, ...]:
        """Limits of the uses and of what was found, leaving out what blocks anyway."""
        reasons = [
            (limit, u.rule.title, u.place)
            for u in judged.units
            if (u.rule.id, u.place) not in bad
            for limit in limits_of(u, uses, judged)
        ]
        return merged(uses, reasons, self.book)

    def _cautions(self, findings: Iterable[Finding], asked: Iterable[str]) -> tuple[CautionLine, ...]:
        names = dict.fromkeys([*(c for f in findings for c in f.cautions), *asked])
        return caution_lines(names, self.book)

    def _sources(self, judged: Judged) -> tuple[SourceLine, ...]:
        count = Counter(u.rule.source for u in {u.rule.id: u for u in judged.units}.values())
        return tuple(_source(s, count[s.id]) for s in judged.selection.judged)


def _source(source: Source, rules: int, why: str = "") -> SourceLine:
    return SourceLine(
        source.id, source.title, source.kind, source.edition, source.address, source.binds, rules, why
    )
