"""Why a verdict is as it is, or one rule, point or derived value in it, and what would change it."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Sequence

from precheck.answer.comparing import reading, worked
from precheck.answer.explain import Explanation, ReadingLine, Result, WorkedLine
from precheck.answer.gate import Gate, Request
from precheck.answer.record import Answer, CautionLine
from precheck.answer.remedies import Desk
from precheck.answer.results import Results, path
from precheck.answer.trend import trends
from precheck.answer.trend_record import Trend
from precheck.answer.words import caution_lines
from precheck.derive.cells import Cells, Key
from precheck.engine.judge import outcome_of
from precheck.engine.logic import BAD, BESIDE, LIMITED, MET, OPEN, WAITS
from precheck.engine.plan import Unit, tests_in
from precheck.model.document import Document
from precheck.model.rules import State, Test
from precheck.read.near import near
from precheck.rulebook.book import Rulebook
from precheck.rulebook.places import all_places
from precheck.settle.settle import settle

COMBINED = "combined-limits-"
_ORDER = (BAD, OPEN, LIMITED, BESIDE, WAITS, MET)


class NoSuch(Exception):
    """What was asked about is not there: `found` says so, `expected` what is, `near` what looks like it."""

    def __init__(self, found: str, expected: str, near: Sequence[str]) -> None:
        super().__init__(found)
        self.found = found
        self.expected = expected
        self.near = tuple(near)


def explain(document: Document, book: Rulebook, request: Request, asked: str | None = None) -> Explanation:
    """The explanation; `asked` is a point, rule or derived value, each with or without @place.

    Raises NoSuch where `asked` names nothing, and an EngineFault where the judging cannot be trusted.
    """
    return _Why(document, book, request).explain(asked)


class _Why:
    def __init__(self, document: Document, book: Rulebook, request: Request) -> None:
        self.gate = Gate(document, book, request)
        self.document = document
        self.book = book
        self.request = request
        self.answer: Answer = self.gate.answer()
        self.uses = tuple(book.uses[name] for name in self.answer.shown_for)
        highest = max(self.uses, key=lambda u: u.rank)
        self.judged = self.gate.judged(highest)
        desk = Desk(document, book, request.day, highest, request.sources, self.judged)
        self.results = Results(self.gate, self.uses, desk)

    def explain(self, asked: str | None) -> Explanation:
        if asked is None:
            return self._verdict()
        name, at, place = asked.partition("@")
        if at and not place:
            raise NoSuch(f"'{asked}' names no place after the @", "a place such as left-rear", ())
        return self._about(name.strip(), place.strip())

    # -- the verdict as a whole --------------------------------------------------------------------

    def _verdict(self) -> Explanation:
        steps = {(f.rule, f.place, f.step) for f in (*self.answer.blocking, *self.answer.limited)}
        bad: list[Result] = []
        open_: list[Result] = []
        limited: list[Result] = []
        close: list[Result] = []
        for unit in self.judged.units:
            weight = self._weighs(unit)
            if weight == OPEN:
                open_.append(self.results.result(unit, tried=False))
            elif weight == MET:
                close += self.results.close_call(unit)
            elif weight in (BAD, LIMITED):
                found = self.results.result(unit)
                if (found.finding.rule, found.finding.place, found.finding.step) in steps:
                    (bad if weight == BAD else limited).append(found)
        names = {use.id for use in self.uses}
        bad += [self.results.combined(c) for c in self.judged.results.combined if c.blocks & names]
        return self._record(
            "", "verdict", self.answer.headline, against=bad, open_=open_, limited=limited, close=close
        )

    def _weighs(self, unit: Unit) -> str:
        classes = self.judged.results.classes
        found = {classes[use.id][unit.key] for use in self.uses}
        return next((word for word in _ORDER if word in found), "")

    # -- one thing -----------------------------------------------------------------------------------

    def _about(self, name: str, place: str) -> Explanation:
        fired = {f"{COMBINED}{c.chain}": c for c in self.judged.results.combined}
        judging = {u.rule.id: u.rule for u in self.judged.units}
        if name in fired:
            self._place(name, place, ["vehicle"])
            found = [self.results.combined(fired[name])]
            return self._record(name, "rule", found[0].finding.title, results=found)
        if name in judging:
            return self._rule(name, place)
        if name in self.book.rules:
            return self._record(name, "rule", self.book.rules[name].title, not_judged=self._why_not(name))
        if name in self.book.points or name in self.book.derived:
            return self._measure(name, place)
        known = [*fired, *judging, *self.book.rules, *self.book.points, *self.book.derived]
        raise NoSuch(
            f"'{name}' is no rule, point, fact or derived value",
            "an id that `precheck show` lists, with or without @place",
            near(name, known),
        )

    def _place(self, name: str, word: str, places: Sequence[str]) -> str:
        """The place a word names, of those where there is something; all of them for no word."""
        if not word:
            return ""
        known: dict[str, str] = {p: p for p in places}
        for family in self.book.families.values():
            for place in all_places(family):
                if place.id in places:
                    known |= {w.casefold(): place.id for w in (place.short, place.words) if w}
                    known[place.id.replace("-", " ")] = place.id
        found = known.get(word) or known.get(word.casefold())
        if found is None:
            raise NoSuch(
                f"'{word}' is no place of {name} on this vehicle",
                f"one of: {', '.join(places)}" if places else "nothing: it has no place here",
                near(word, known),
            )
        return found

    def _rule(self, name: str, word: str) -> Explanation:
        units = [u for u in self.judged.units if u.rule.id == name]
        place = self._place(name, word, list(dict.fromkeys(u.place for u in units)))
        found = [self.results.result(u) for u in units if place in ("", u.place)]
        return self._record(self._named(name, place), "rule", units[0].rule.title, results=found)

    def _why_not(self, name: str) -> str:
        rule = self.book.rules[name]
        for source, why in self.judged.selection.left_out:
            if source.id == rule.source:
                return f"{name} does not judge here: its source {source.id} is left out ({why})."
        where = self.book.families[rule.family].words if rule.family in self.book.families else rule.family
        return f"{name} does not judge here: this vehicle has no place of it ({where})."

    def _measure(self, name: str, word: str) -> Explanation:
        cells = self._cells_of(name)
        place = self._place(name, word, [p for _, p in cells])
        kind = "derived value" if name in self.book.derived else "fact" if self._fact(name) else "point"
        units = [u for u in self.judged.units if any(self._reads(t, u.place, name, place) for t in _tests(u))]
        units.sort(key=lambda u: _ORDER.index(w) if (w := self._weighs(u)) in _ORDER else len(_ORDER))
        readings, derived = self._shown(name, place, cells)
        where = f" at {place}" if place else ""
        decides = tuple(self._decides(name))
        highest = max(self.uses, key=lambda u: u.rank)
        nothing = "" if units or decides else f"No rule that judges here reads {name}{where}."
        return self._record(
            self._named(name, place),
            kind,
            self.book.words_of(name),
            results=[self.results.result(u) for u in units],
            readings=readings,
            worked_out=derived,
            decides=decides,
            not_judged=nothing,
            wear=trends(self.document, self.book, self.request.day, highest, self.judged, [name], place),
        )

    def _fact(self, name: str) -> bool:
        return name in self.book.points and self.book.points[name].fact

    def _cells_of(self, name: str) -> list[Key]:
        """Where a point, fact or derived value has its values on this vehicle."""
        found = [key for key in self.judged.cells.found if key[0] == name]
        if found or name in self.book.derived:
            return found
        use = max(self.uses, key=lambda u: u.rank)
        settled = settle(self.document, self.book, self.request.day, use, [name])
        self.judged.cells.found.update({k: c for k, c in settled.cells.items() if k[0] == name})
        return [key for key in settled.cells if key[0] == name]

    def _shown(
        self, name: str, place: str, keys: Iterable[Key]
    ) -> tuple[tuple[ReadingLine, ...], tuple[WorkedLine, ...]]:
        cells = self.judged.cells
        wanted = [cells.found[key] for key in keys if place in ("", key[1])]
        if name in self.book.derived:
            return (), tuple(worked(cell, cells) for cell in wanted)
        return tuple(reading(cell, cells) for cell in wanted), ()

    def _reads(self, test: Test, place: str, name: str, at: str) -> bool:
        """Whether a comparison at a place goes back to a point or derived value (at a place)."""
        cells = self.judged.cells
        todo, seen = [cells.key(test, place)], set()
        while todo:
            key = todo.pop()
            if key in seen:
                continue
            seen.add(key)
            if key[0] == name and at in ("", key[1]):
                return True
            cell = cells.found.get(key)
            todo += cell.inputs if cell else ()
        return False

    def _decides(self, name: str) -> Iterator[str]:
        """Which rules a fact makes apply, not apply, or leaves open."""
        found: dict[State, dict[str, None]] = {}
        for unit in self.judged.units:
            for term in _terms(unit):
                if term.measure == name:
                    cell = self._term_cell(term, unit.place, self.judged.cells)
                    if cell is not None:
                        found.setdefault(cell, {})[unit.rule.id] = None
        words = {
            State.FAILS: "Because of it these do not apply",
            State.NOT_MEASURED: "While it is not answered it is open whether these apply",
            State.CANNOT_TELL: "While it is not told it is open whether these apply",
            State.MEETS: "As far as it goes these apply",
        }
        for state, said in words.items():
            if state in found:
                names = list(found[state])
                yield f"{said} ({len(names)}): {', '.join(names)}"

    @staticmethod
    def _term_cell(term: Test, place: str, cells: Cells) -> State | None:
        cell = cells.found.get(cells.key(term, place))
        return outcome_of(term, cell) if cell else None

    def _named(self, name: str, place: str) -> str:
        return f"{name}@{place}" if place else name

    def _cautions(self, results: Iterable[Result]) -> tuple[CautionLine, ...]:
        """The cautions of the rules and of what would have to be looked at."""
        names: dict[str, None] = {}
        for result in results:
            names |= dict.fromkeys(result.finding.cautions)
            for move in (m for r in result.remedies for m in r.moves):
                names |= dict.fromkeys(self.book.points[move.point].cautions)
        return caution_lines(names, self.book)

    # -- the record ------------------------------------------------------------------------------------

    def _record(
        self,
        asked: str,
        kind: str,
        words: str,
        *,
        against: Iterable[Result] = (),
        open_: Iterable[Result] = (),
        limited: Iterable[Result] = (),
        close: Iterable[Result] = (),
        results: Iterable[Result] = (),
        readings: tuple[ReadingLine, ...] = (),
        worked_out: tuple[WorkedLine, ...] = (),
        decides: tuple[str, ...] = (),
        not_judged: str = "",
        wear: tuple[Trend, ...] = (),
    ) -> Explanation:
        answer = self.answer
        shown = (tuple(results), *(tuple(sorted(g, key=path)) for g in (against, open_, limited)))
        counts = Counter(s.value for s in self.judged.results.states.values())
        return Explanation(
            file=answer.file,
            called=answer.called,
            day=answer.day,
            day_given=answer.day_given,
            looking_back=answer.looking_back,
            uses=answer.uses,
            shown_for=answer.shown_for,
            verdict=answer.verdict,
            headline=answer.headline,
            highest=answer.highest,
            asked=asked,
            asked_kind=kind,
            asked_words=words,
            readings=readings,
            worked=worked_out,
            against=shown[1],
            open=shown[2],
            limited=shown[3],
            close_calls=tuple(close),
            first_to_run_out=answer.first_to_run_out,
            results=shown[0],
            cautions=self._cautions([r for group in shown for r in group]),
            decides=decides,
            not_judged=not_judged,
            counts=tuple((s.value, counts[s.value]) for s in State),
            notices=answer.notices,
            put_off=answer.put_off,
            region=answer.region,
            inspects=answer.inspects,
            ask=answer.ask,
            version=answer.version,
            rules_digest=answer.rules_digest,
            exit_code=answer.exit_code,
            trends=wear,
        )


def _tests(unit: Unit) -> Iterator[Test]:
    """The comparisons of a condition, without terms of applicability."""
    terms = {id(t) for t in _terms(unit)}
    return (t for t in tests_in(unit.step.condition) if id(t) not in terms)


def _terms(unit: Unit) -> Iterator[Test]:
    yield from unit.rule.applies
    todo = [unit.step.condition]
    while todo:
        part = todo.pop()
        yield from part.applies
        todo += part.parts
