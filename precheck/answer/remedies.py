"""What would change a result: found by the solver, written as lines, and tried on the whole document."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from precheck.answer.attempt import Fix
from precheck.answer.evidence import leaves
from precheck.answer.explain import Move, Remedy
from precheck.answer.judging import Judged, judge_for
from precheck.answer.moves import move, reading_line
from precheck.answer.solver import Solver, solve
from precheck.answer.supposing import suppose
from precheck.answer.targets import LOWER
from precheck.answer.trial import Trial
from precheck.derive.cells import Key
from precheck.engine.plan import Unit, tests_of
from precheck.engine.results import Combined
from precheck.model.catalogue import VEHICLE, Day, Use, Work
from precheck.model.document import Claim, Document, Value
from precheck.model.record import dataclass
from precheck.model.rules import Op, Part, State, Test
from precheck.model.settled import Cell, Status
from precheck.rulebook.book import Rulebook
from precheck.settle.jot import vehicle_of

MOST = 4  # ways told of one result
_EXAMPLE = "an example: the answer decides which places there are"
_OPEN = (State.FAILS, State.NOT_MEASURED, State.CANNOT_TELL)


@dataclass(frozen=True, slots=True)
class _Written:
    """One way of writing a change in lines: what goes before the readings, and the work or striking in it."""

    before: tuple[str, ...] = ()
    after: tuple[str, ...] = ()
    works: tuple[tuple[Key, Work], ...] = ()
    struck: tuple[Key, ...] = ()


class Desk:
    """One document and one judgement of it, for asking what would change a result."""

    def __init__(
        self, document: Document, book: Rulebook, day: Day, use: Use, sources: tuple[str, ...] | None,
        judged: Judged,
    ) -> None:  # fmt: skip
        self.document = document
        self.book = book
        self.day = day
        self.use = use
        self.sources = sources
        self.judged = judged
        self.trial = Trial(judged, book, day.date)
        self.vehicle = vehicle_of(document, book, day)

    def remedies(self, unit: Unit, tried: bool = True) -> tuple[Remedy, ...]:
        """Ways to change a result that fails or is open, the cheapest first; none where it does neither.

        `tried`: each is supposed on the document, and one that does not do what it says is left out.
        Without it only what is more than a plain reading is tried.
        """
        if self.judged.results.states[unit.key] not in _OPEN:
            return ()
        answers = list(self._answers(unit, tried))[: MOST - 2]
        ways = [self._remedy(unit, s, tried) for s in solve(unit, self.trial)] or [*self._placed(unit)]
        found = {remedy.jot: remedy for remedy in (*answers, *ways) if remedy is not None}
        return tuple(found.values())[:MOST]

    def comes_to(self, unit: Unit, lines: Iterable[str]) -> State | None:
        """What the result is with these lines supposed; None where they cannot be read."""
        document, _ = suppose(self.document, tuple(lines), self.book, self.day, self.vehicle)
        if document is None:
            return None
        judged = judge_for(document, self.book, self.day, self.use, self.sources, only=(unit.rule.id,))
        return judged.results.states.get(unit.key, State.DOES_NOT_APPLY)

    def uncombines(self, combined: Combined, lines: Iterable[str]) -> bool:
        """Whether, with these lines supposed, there are no longer too many limits on the chain."""
        document, _ = suppose(self.document, tuple(lines), self.book, self.day, self.vehicle)
        if document is None:
            return False
        judged = judge_for(document, self.book, self.day, self.use, self.sources)
        return not any((c.chain, c.use) == (combined.chain, combined.use) for c in judged.results.combined)

    # -- facts that decide whether it applies -------------------------------------------------------

    def _answers(self, unit: Unit, tried: bool) -> Iterator[Remedy]:
        """A fact not answered: the answers with which the rule does not apply here."""
        for test in _terms(unit):
            _, cell = self.trial.outcome(test, unit.place, {})
            point = self.book.points.get(test.measure)
            if cell.status is Status.VALUE or point is None or not point.states or test.op is not Op.ONE_OF:
                continue
            others = tuple(s for s in point.states if s not in test.states)
            if not others:
                continue
            key = (point.id, cell.place)
            answer = Fix(key, Value(others[0], state=others[0]), states=others)
            line = reading_line(*key, others[0])
            came = self.comes_to(unit, (line,)) if tried else State.DOES_NOT_APPLY
            if came is State.DOES_NOT_APPLY:
                told = _answer_move(move(answer, cell, None, self.book, None, False), test)
                yield Remedy((told,), line, came.value if tried else "", "as it is on this vehicle")

    # -- places that are not there yet --------------------------------------------------------------

    def _placed(self, unit: Unit) -> Iterator[Remedy]:
        """Where a fact not answered keeps its places away: that answered, and what is to be done then."""
        for name in self._makes_places(unit):
            point = self.book.points[name]
            for state in point.states:
                line = reading_line(name, VEHICLE, state)
                document, _ = suppose(self.document, (line,), self.book, self.day, self.vehicle)
                if document is None:
                    continue
                judged = judge_for(
                    document, self.book, self.day, self.use, self.sources, only=(unit.rule.id,)
                )
                if unit.key not in judged.results.states:
                    continue
                desk = Desk(document, self.book, self.day, self.use, self.sources, judged)
                then = next((r for r in desk.remedies(unit) if r.comes_to == State.MEETS.value), None)
                if then is not None:
                    answer = Fix((name, VEHICLE), Value(state, state=state), states=point.states)
                    told = move(answer, None, None, self.book, None, False)
                    yield Remedy((told, *then.moves), f"{line}; {then.jot}", then.comes_to, _EXAMPLE)
                    return

    def _makes_places(self, unit: Unit) -> list[str]:
        """Facts without a value on which places of the rule's comparisons depend."""
        names: dict[str, None] = {}
        for test in tests_of(unit.rule):
            family = test.over.family if test.over else self.book.family_of(test.measure)
            found = self.book.families.get(family)
            for place in found.places if found else ():
                names |= dict.fromkeys(fact for fact, _ in place.when)
        return [n for n in names if self._cell((n, VEHICLE)).status is not Status.VALUE]

    # -- readings -----------------------------------------------------------------------------------

    def _remedy(self, unit: Unit, solver: Solver, tried: bool) -> Remedy | None:
        fixes = sorted(solver.fixes.values(), key=lambda f: not self.book.points[f.key[0]].fact)
        readings = [reading_line(*f.key, f.written + (" sure" if f.sure else "")) for f in fixes]
        ways = list(self._writings(unit, fixes))
        for way in ways:
            line = "; ".join([*way.before, *readings, *way.after])
            if not tried and not way.before and not any(f.worked for f in fixes):
                return Remedy(self._moves(solver, fixes, way), line, "", "")
            if self.comes_to(unit, (line,)) is State.MEETS:
                return Remedy(self._moves(solver, fixes, way), line, State.MEETS.value, _note(fixes))
        return None

    def _moves(self, solver: Solver, fixes: Iterable[Fix], way: _Written) -> tuple[Move, ...]:
        works = dict(way.works)
        out = []
        for fix in fixes:
            was = self.trial.settled.cells.get(fix.key)
            op = Op.AT_MOST if fix.wanted and fix.wanted.high is not None else LOWER[0]
            now = solver.now(fix.key, op) if was and was.status is Status.VALUE else None
            out.append(move(fix, was, now, self.book, works.get(fix.key), fix.key in way.struck))
        return tuple(out)

    def _writings(self, unit: Unit, fixes: Iterable[Fix]) -> Iterator[_Written]:
        """Plainly; after work that ends the older readings; with the older readings struck."""
        marks = [(f, claims) for f in fixes for claims in [self._older(f)] if claims]
        if not marks:
            yield _Written()
            return
        conflict = any(self._cell(f.key).status is not Status.VALUE for f, _ in marks)
        strikes = self._strikes(marks)
        if conflict:
            yield strikes
        for works in self._works(marks):
            before = tuple(
                dict.fromkeys(f"done {w.id}{'' if k[1] == VEHICLE else ' ' + k[1]}" for k, w in works)
            )
            again = tuple(self._again(unit, [f.key for f in fixes], works))
            yield _Written(before, again, works)
        if not conflict:
            yield strikes

    def _cell(self, key: Key) -> Cell:
        return self.trial.settled.cells.get(key) or Cell(key[0], key[1], Status.MISSING)

    def _older(self, fix: Fix) -> list[Claim]:
        """Other values of a permanent mark that still stand: a new one beside them could not be told."""
        point = self.book.points[fix.key[0]]
        if point.fact or not point.lasts.permanent:
            return []
        cell = self._cell(fix.key)
        claims = [cell.claim] if cell.claim and cell.status is not Status.MISSING else []
        claims += [c for c, why in cell.passed_over if "reading stands" in why]
        return [c for c in claims if c.values and [v.same for v in c.values] != [fix.value.same]]

    def _strikes(self, marks: Iterable[tuple[Fix, list[Claim]]]) -> _Written:
        lines = [
            f"strike {reading_line(*fix.key, ', '.join(v.written for v in claim.values))}"
            for fix, claims in marks
            for claim in claims
        ]
        return _Written(tuple(dict.fromkeys(lines)), struck=tuple(fix.key for fix, _ in marks))

    def _works(self, marks: list[tuple[Fix, list[Claim]]]) -> Iterator[tuple[tuple[Key, Work], ...]]:
        """Work that ends the older readings: of each kind that ends the first mark, the narrowest first."""
        keys = [fix.key for fix, _ in marks]
        kinds = [w for w in self.book.works.values() if not w.event]
        for work in sorted(kinds, key=lambda w: w.everywhere):
            if all(work.id in self.book.ends.get(name, ()) for name, _ in keys):
                yield tuple((key, work) for key in keys)

    def _again(self, unit: Unit, changed: list[Key], works: Iterable[tuple[Key, Work]]) -> Iterator[str]:
        """Readings that the work ends too and that the rule needs: written again as they were."""
        ended = {w.id for _, w in works}
        cells = self.judged.cells
        seen = set(changed)
        for test in tests_of(unit.rule):
            for cell in leaves(cells.key(test, unit.place), cells):
                point = self.book.points.get(cell.id)
                key = (cell.id, cell.place)
                if point is None or key in seen or cell.status is not Status.VALUE or point.fact:
                    continue
                seen.add(key)
                if ended & self.book.ends.get(cell.id, frozenset()):
                    yield reading_line(*key, ", ".join(v.written for v in cell.values))


def _answer_move(told: Move, test: Test) -> Move:
    """The sentence of a question whose answer decides whether the rule applies."""
    sentence = (
        f"answer {told.point}: {told.question or told.point}; with {' / '.join(told.accepted)} the rule does "
        f"not apply, with {' / '.join(test.states)} it does"
    )
    return Move(**{**{name: getattr(told, name) for name in Move.__slots__}, "sentence": sentence})


def _terms(unit: Unit) -> Iterator[Test]:
    yield from unit.rule.applies
    yield from _terms_of(unit.step.condition)


def _terms_of(part: Part) -> Iterator[Test]:
    yield from part.applies
    for inner in part.parts:
        yield from _terms_of(inner)


def _note(fixes: Iterable[Fix]) -> str:
    """What of a way is no limit that the rule names."""
    return (
        "found by trying values: the rule names no limit for this reading"
        if any(f.worked for f in fixes)
        else ""
    )
