"""Compare: one vehicle then and now; what moved, and whether vehicle, rules or day moved the verdict."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import date
from functools import partial

from precheck.answer import between
from precheck.answer.compare_record import Compared, NeverLine, ReadingMoved, ResultMoved, UseMoved, WatchLine
from precheck.answer.corners import DAY, RULES, THEN, VEHICLE, Cause, Corners, Past, up_to
from precheck.answer.difference import Side, differing
from precheck.answer.evidence import leaves, tests_that_apply
from precheck.answer.gaps import open_things
from precheck.answer.gate import Gate, Request
from precheck.answer.record import Answer, Finding
from precheck.answer.trend import trends
from precheck.engine.logic import OPEN
from precheck.engine.plan import UnitKey
from precheck.model.catalogue import Use
from precheck.model.document import Document
from precheck.model.rules import Verdict
from precheck.model.settled import Cell, Status
from precheck.rulebook.book import Rulebook
from precheck.rulebook.places import words_of_place

_WORDS = {VEHICLE: "what was found and done", RULES: "the rules", DAY: "the day"}


def compare(document: Document, book: Rulebook, request: Request, past: Past, find: str = "") -> Compared:
    """The comparison of a vehicle with what was known of it on an earlier day.

    Raises an EngineFault where the judging cannot be trusted.
    """
    return _Compare(document, book, request, past).record(find)


class _Compare:
    def __init__(self, document: Document, book: Rulebook, request: Request, past: Past) -> None:
        self.document, self.book, self.request, self.past = document, book, request, past
        self.corners = Corners(document, book, request, past)
        whole = len(up_to(document, request.day.date).visits) == len(document.visits)
        last = self.corners.gate(self.corners.now) if whole else Gate(document, book, request)
        self.now: Answer = last.answer()
        self.then: Answer = self.corners.gate(THEN).answer()
        self.uses = tuple(book.uses[name] for name in self.now.shown_for)
        self.sides = (Side(self.corners.gate(THEN), self._then_uses()), Side(last, self.uses))

    def _then_uses(self) -> tuple[Use, ...]:
        """The uses shown, as the old rules have them."""
        known = self.past.book.uses
        return tuple(known[u.id] for u in self.uses if u.id in known) or tuple(known.values())[:1]

    def record(self, find: str) -> Compared:
        now, then, past, book = self.now, self.then, self.past, self.book
        known = up_to(self.document, self.request.day.date)
        notes = tuple(between.notes(known, book, past.day.date))
        readings = self._readings(known)
        never, before = _never(self.sides[1]), _never(self.sides[0])
        highest = max(self.uses, key=lambda u: u.rank)
        judged = self.sides[1].judged
        seen_then = set(then.watch)
        return Compared(
            file=self.document.name,
            file_then=past.document.name,
            called=now.called,
            day=now.day,
            day_given=now.day_given,
            day_then=then.day,
            looking_back=now.looking_back,
            uses=now.uses,
            shown_for=now.shown_for,
            verdict_then=then.verdict,
            verdict_now=now.verdict,
            headline_then=then.headline,
            headline_now=now.headline,
            rules_moved=past.book is not book,
            visits=between.visits(known, book, past.day.date, self.request.day.date),
            work=between.work(known, book, past.day.date),
            ladder=tuple(self._ladder()),
            readings=readings,
            results=tuple(self._results(readings)),
            against=tuple(dict.fromkeys(_named(f) for f in now.blocking)),
            missing=tuple(gap.point for gap in now.gaps),
            questions=tuple(question.fact for question in now.questions),
            never=never,
            never_then=sum(len(line.at) for line in before),
            never_now=sum(len(line.at) for line in never),
            next_use=highest.id if not highest.side else now.shown_for[0],
            notes=tuple(n for n in notes if n.since),
            find=find,
            found=between.holding(find, notes) if find else (),
            watch=tuple(WatchLine(words, words not in seen_then) for words in now.watch),
            put_off=now.put_off,
            trends=trends(known, book, self.request.day, highest, judged),
            version=now.version,
            rules_digest=now.rules_digest,
            rules_digest_then=then.rules_digest,
            exit_code=now.exit_code,
        )

    # -- readings -------------------------------------------------------------------------------------

    def _readings(self, known: Document) -> tuple[ReadingMoved, ...]:
        past, request = self.past, self.request
        points = between.read_points(past.document, known) & self.past.book.points.keys()
        then = between.Known(past.document, past.day, self.sides[0], points)
        now = between.Known(known, request.day, self.sides[1], points)
        return between.readings(then, now, past.day.date, self.book)

    # -- verdicts and results ---------------------------------------------------------------------------

    def _ladder(self) -> Iterator[UseMoved]:
        then = {line.use: line for line in self.then.ladder}
        for line in self.now.ladder:
            old = then.get(line.use)
            if old is None:
                continue
            cause = self.corners.cause(partial(_verdict, line.use))
            moved = old.verdict is not line.verdict
            yield UseMoved(
                use=line.use,
                words=line.words,
                side=line.side,
                then=old.verdict,
                now=line.verdict,
                bad_then=old.bad,
                bad_now=line.bad,
                open_then=old.open,
                open_now=line.open,
                moved_by=cause.factors if moved else (),
                together=cause.together and moved,
                says=_says(cause) if moved else "",
            )

    def _results(self, readings: Sequence[ReadingMoved]) -> Iterator[ResultMoved]:
        told = {(m.point, m.place) for m in readings}
        then, now = self.sides
        for key in differing(then, now):
            before, after = then.finding(key), now.finding(key)
            shown = after or before
            if shown is None:
                continue
            cause = self.corners.cause(partial(self._standing, key))
            (was, weighed), (is_, weighs) = then.standing(key), now.standing(key)
            yield ResultMoved(
                rule=shown.rule,
                title=shown.title,
                step=shown.step,
                place=shown.place,
                place_words=shown.place_words,
                source=shown.source,
                clause=shown.clause,
                state_then=was,
                state_now=is_,
                weighs_then=weighed,
                weighs_now=weighs,
                moved_by=cause.factors,
                together=cause.together,
                by_reading=bool(told & (_behind(then, key) | _behind(now, key))),
                values=tuple(_values(before, after)),
            )

    def _standing(self, key: UnitKey, gate: Gate) -> str:
        """The state of a result at a corner; empty where it is not judged there."""
        judged = gate.judged(max(self.uses, key=lambda u: u.rank))
        return judged.results.fine.get(key, "")


def _verdict(use: str, gate: Gate) -> Verdict:
    return gate.verdict(gate.own(use))


def _never(side: Side) -> tuple[NeverLine, ...]:
    """Of the readings that are open for the uses shown, those that nobody has ever taken."""
    out = []
    cells, book = side.judged.settled.cells, side.gate.book
    units = [unit for key, unit in side.units.items() if side.standing(key)[1] == OPEN]
    for gap in open_things(side.judged, units, book)[0]:
        places = [place for place, _ in gap.places if _never_read(cells.get((gap.point, place)))]
        reasons = [why for place, why in gap.places if place in places and why != "no reading"]
        if places:
            words = tuple(words_of_place(book, place) for place in places)
            said = tuple(dict.fromkeys(reasons))
            out.append(NeverLine(gap.point, gap.words, gap.access_words, words, said))
    return tuple(out)


def _never_read(cell: Cell | None) -> bool:
    return cell is None or (cell.status is Status.MISSING and cell.claim is None and not cell.passed_over)


def _behind(side: Side, key: UnitKey) -> set[tuple[str, str]]:
    """The readings and facts that a result goes back to."""
    unit, cells = side.units.get(key), side.judged.cells
    if unit is None:
        return set()
    tests = (*unit.rule.applies, *tests_that_apply(unit.step.condition, unit.place, cells))
    return {(leaf.id, leaf.place) for t in tests for leaf in leaves(cells.key(t, unit.place), cells)}


def _values(then: Finding | None, now: Finding | None) -> Iterator[str]:
    """What was compared then and now, where that is another value."""
    before = {(e.measure, e.place, e.limit): e for e in then.evidence} if then else {}
    for line in now.evidence if now else ():
        old = before.get((line.measure, line.place, line.limit))
        was = ", ".join(old.written) or old.why if old else "not compared"
        is_ = ", ".join(line.written) or line.why
        if was != is_:
            yield f"{line.measure}: {was} -> {is_}; limit: {line.limit}"


def _named(found: Finding) -> str:
    where = "" if found.place == "vehicle" else f", {found.place_words}"
    return f"{found.title}{where}"


def _says(cause: Cause) -> str:
    words = [_WORDS[f] for f in cause.factors]
    if not words:
        return "looking back"
    if cause.together:
        return " and ".join(words) + ", together"
    if len(words) == 1:
        return f"{words[0]} alone"
    return f"{' or '.join(words)}, each alone would"


def day_of_last_visit(document: Document, otherwise: date) -> date:
    """The day an older file was last written on: that of its last visit."""
    return max((v.on for v in document.visits), default=otherwise)
