"""After work: which readings it made void, and what is still to be looked at because of it."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from datetime import timedelta

from precheck.answer.judging import Judged
from precheck.answer.mending import AfterWork, LookAgain
from precheck.derive.cells import Key
from precheck.engine.plan import tests_in
from precheck.model.catalogue import VEHICLE, Day, Later, Point, Use, Work
from precheck.model.document import Claim, Document, Done, Visit
from precheck.model.problem import Mark
from precheck.model.record import replace
from precheck.model.rules import State
from precheck.model.settled import Settled, Status
from precheck.rulebook.book import Rulebook
from precheck.rulebook.places import words_of_place
from precheck.settle.lasting import History
from precheck.settle.settle import settle
from precheck.settle.struck import struck


class Aftermath:
    """What work leaves behind, for one document on one day."""

    def __init__(self, document: Document, book: Rulebook, day: Day, use: Use, judged: Judged) -> None:
        self.document = document
        self.book = book
        self.day = day
        self.use = use
        self.settled: Settled = judged.settled
        self.visits = tuple(v for v in document.visits if v.on <= day.date)
        self.history = History(self.visits, book.works, self.settled.up)
        self.idle = _not_applying(judged)

    # -- work that was done ---------------------------------------------------------------------------

    def open_work(self) -> tuple[AfterWork, ...]:
        """Work done with something not looked at again since; of the same work at a place the last time."""
        out: list[AfterWork] = []
        for visit in reversed(self.visits):
            for done in reversed(visit.done):
                out += self._left(visit, done)
        return tuple(reversed(out))

    def _left(self, visit: Visit, done: Done) -> Iterator[AfterWork]:
        work = self.book.works[done.work]
        keys = [k for k in self._touched(work, done, visit) if not self._done_later(k, visit, work)]
        open_keys = [k for k in keys if not self._looked(k, visit)]
        voids = list(self._voided(open_keys, visit))
        again = [k for k in open_keys if k[0] in work.again]
        looks = [*self._group(again, visit, ""), *self._later(work, keys, visit)]
        gone = [look for look in voids if look.point not in work.again]
        if looks or gone:
            yield self._record(work, done, str(visit.on), gone, looks)

    def _done_later(self, key: Key, visit: Visit, work: Work) -> bool:
        """Whether the same work was done again later at this place."""
        return any(
            self._ends(other, later, key)
            for later in self.visits
            if later.index > visit.index
            for other in later.done
            if other.work == work.id
        )

    def _touched(self, work: Work, done: Done, visit: Visit) -> list[Key]:
        """The points at the places where the work has its effect, in working order."""
        later = tuple(x.point for x in work.later)
        ended = [name for name, ends in self.book.ends.items() if work.id in ends]
        names = [n for n in dict.fromkeys((*work.again, *later, *ended)) if not self.book.points[n].fact]
        order = list(self.book.access)
        names.sort(key=lambda n: (order.index(self.book.points[n].access), n not in work.again))
        return [
            (name, place)
            for name in names
            for place in self.settled.places.get(self.book.points[name].family, ())
            if (name, place) not in self.idle and self._ends(done, visit, (name, place))
        ]

    def _ends(self, done: Done, visit: Visit, key: Key) -> bool:
        family = self.book.points[key[0]].family
        places = frozenset(self.settled.places.get(family, (key[1],)))
        alone = replace(visit, done=(done,), drove=None)
        return self.history.ended(key[1], alone, frozenset((done.work,)), places) is not None

    def _claims(self, key: Key, visits: Iterable[Visit]) -> list[tuple[Visit, Claim]]:
        """Readings of a point at a place with a value, none of them struck."""
        here = [
            (visit, [c for c in visit.claims if c.point == key[0] and c.place in (None, key[1])])
            for visit in visits
        ]
        wrong = struck([(claims, False) for _, claims in here])
        return [
            (visit, c)
            for visit, claims in here
            for c in claims
            if id(c) not in wrong and c.values and not c.struck
        ]

    def _looked(self, key: Key, visit: Visit, later: Later | None = None) -> bool:
        """Whether it was looked at in a later visit, and for a later look late enough."""
        after = [v for v in self.visits if v.index > visit.index]
        return any(self._enough(visit, v, later) for v, _ in self._claims(key, after))

    def _enough(self, visit: Visit, looked: Visit, later: Later | None) -> bool:
        if later is None:
            return True
        if later.days is not None and looked.on < visit.on + timedelta(days=later.days):
            return False
        if later.miles is None:
            return True
        until = [replace(v, drove=None) if v is looked else v for v in self.visits if v.index <= looked.index]
        return History(until, self.book.works, self.settled.up).distance_since(visit.index) >= later.miles

    def _voided(self, keys: Sequence[Key], visit: Visit) -> Iterator[LookAgain]:
        """Readings that stood before the work and count no longer."""
        before = [v for v in self.visits if v.index <= visit.index]
        found = {key: [c for _, c in self._claims(key, before)] for key in keys}
        yield from self._group([k for k in keys if found[k]], visit, "")

    def _later(self, work: Work, keys: Sequence[Key], visit: Visit) -> Iterator[LookAgain]:
        for later in work.later:
            open_keys = [k for k in keys if k[0] == later.point and not self._looked(k, visit, later)]
            yield from self._group(open_keys, visit, later.words)

    def _group(self, keys: Sequence[Key], visit: Visit, when: str) -> Iterator[LookAgain]:
        """One line for each point, with its places and what stood there before."""
        before = [v for v in self.visits if v.index <= visit.index]
        for name in dict.fromkeys(name for name, _ in keys):
            places = [place for n, place in keys if n == name]
            stood: dict[str, list[str]] = {}
            for place in places:
                claims = self._claims((name, place), before)
                if claims:
                    seen, claim = claims[-1]
                    reading = f"{', '.join(v.written for v in claim.values)} on {seen.on}"
                    stood.setdefault(reading, []).append(words_of_place(self.book, place))
            everywhere = len(stood) == 1 and len(next(iter(stood.values()))) == len(places)
            was = [words if everywhere else f"{', '.join(at)}: {words}" for words, at in stood.items()]
            yield self._look(self.book.points[name], places, was, when)

    def _look(self, point: Point, places: Sequence[str], was: Sequence[str], when: str) -> LookAgain:
        access = self.book.access[point.access]
        return LookAgain(
            point=point.id,
            words=point.observe,
            places=tuple(words_of_place(self.book, p) for p in places if p != VEHICLE),
            position=access.id,
            position_words=access.words,
            instrument=point.instrument,
            was=tuple(dict.fromkeys(was)),
            when=when,
        )

    def _record(
        self, work: Work, done: Done, on: str, voids: Sequence[LookAgain], again: Sequence[LookAgain]
    ) -> AfterWork:
        return AfterWork(
            work=work.id,
            words=work.words,
            on=on,
            places=tuple(words_of_place(self.book, p) for p in done.at),
            advice=work.advice,
            voids=tuple(voids),
            again=tuple(again),
        )

    # -- work that is only asked about ----------------------------------------------------------------

    def would(self, done: Done) -> AfterWork:
        """What the work would make void of what counts today, and what to look at afterwards."""
        work = self.book.works[done.work]
        visit = Visit(len(self.document.visits), self.day.date, "", (), (), (done,), None, Mark(1, 1))
        keys = self._touched(work, done, visit)
        wanted = {name for name, _ in keys}
        settled = settle(self.document, self.book, self.day, self.use, wanted)
        ended = [k for k in keys if work.id in self.book.ends.get(k[0], ())]
        counts = [k for k in ended if k in settled.cells and settled.cells[k].status is Status.VALUE]
        again = [k for k in keys if k[0] in work.again]
        looks = [*self._group(again, visit, "")]
        for later in work.later:
            looks += self._group([k for k in keys if k[0] == later.point], visit, later.words)
        return self._record(work, done, "", list(self._group(counts, visit, "")), looks)


def _not_applying(judged: Judged) -> frozenset[Key]:
    """Points and places that rules read, all of which do not apply to this vehicle."""
    applies: dict[Key, bool] = {}
    for unit in judged.units:
        here = judged.results.states[unit.key] is not State.DOES_NOT_APPLY
        terms = {t.measure for t in unit.rule.applies}
        for test in tests_in(unit.step.condition):
            key = judged.cells.key(test, unit.place)
            if test.measure not in terms:
                applies[key] = applies.get(key, False) or here
    return frozenset(key for key, here in applies.items() if not here)
