"""Settle: from claims to exactly one value, 'not measured' or 'cannot tell' per point and place.

`settle` is pure: the same document, rulebook, day and use give the same cells.
"""

from __future__ import annotations

from collections.abc import Iterable

from precheck.model.catalogue import VEHICLE, Day, Place, Point, Use
from precheck.model.document import Claim, Document, Known, Value, Visit
from precheck.model.settled import Cell, Settled, Status, Watch
from precheck.rulebook.book import Rulebook
from precheck.rulebook.places import places_of
from precheck.settle.lasting import Ended, History, last_day, run_out
from precheck.settle.line import Line
from precheck.settle.struck import struck, written
from precheck.settle.values import read_default

VISIBILITY = "underside-visibility"
_SEEN_THROUGH = ("bare or paint", "thin film")  # no worse than these, and a look from under counts
_FROM_UNDER = ("under", "under-running")


def settle(document: Document, book: Rulebook, day: Day, use: Use, wanted: Iterable[str]) -> Settled:
    """The cells of all facts and of the points in `wanted`, as far as `use` accepts how they are known."""
    return _Settling(document, book, day, use).run(wanted)


def live_readings(
    document: Document, book: Rulebook, day: Day, use: Use, points: Iterable[Point]
) -> dict[tuple[str, str], tuple[Claim, ...]]:
    """The readings of points at each place, oldest first, that no strike, work or event has ended.

    Those are kept too that have run out by time or distance, or that hearsay left unheard.
    """
    found = _Settling(document, book, day, use)
    places = found.run(()).places
    keys = [(point, place) for point in points for place in found._expected(point, places)]
    return {(point.id, place): tuple(found._walk(point, place).live) for point, place in keys}


class _Settling:
    def __init__(self, document: Document, book: Rulebook, day: Day, use: Use) -> None:
        self.document = document
        self.book = book
        self.day = day
        self.use = use
        self.visits = tuple(v for v in document.visits if v.on <= day.date)
        self.up: dict[str, str] = {}
        self.history = History(self.visits, book.works, self.up)
        self.cells: dict[tuple[str, str], Cell] = {}
        self.watch: list[Watch] = []
        self.places: dict[str, tuple[str, ...]] = {}
        self.by_point: dict[tuple[int, str], list[Claim]] = {}
        for visit in self.visits:
            for claim in visit.claims:
                self.by_point.setdefault((visit.index, claim.point), []).append(claim)
        claims = (c for group in (document.vehicle, *(v.claims for v in self.visits)) for c in group)
        self.said = {c.point for c in document.vehicle} | {point for _, point in self.by_point}
        self.with_strikes = frozenset(c.point for c in claims if c.struck)

    def run(self, wanted: Iterable[str]) -> Settled:
        for point in self.book.points.values():
            if point.fact:
                self.cells[point.id, VEHICLE] = self.cell(point, VEHICLE)
        places = self.places = self._places()
        names = sorted({*wanted, VISIBILITY} & self.book.points.keys())
        for name in names:
            point = self.book.points[name]
            if point.fact:
                continue
            for place in self._expected(point, places):
                self.cells[name, place] = self.cell(point, place)
        for key, cell in list(self.cells.items()):
            self.cells[key] = self._seen_through(cell, places)
        return Settled(
            self.cells,
            places,
            dict(self.up),
            tuple(self.watch),
            looking_back=len(self.visits) < len(self.document.visits),
            driven_on=tuple(v.on for v in self.visits if v.drove),
        )

    def _places(self) -> dict[str, tuple[str, ...]]:
        listed = dict(self.document.listed)

        def state(fact: str) -> str | None:
            cell = self.cells.get((fact, VEHICLE))
            return cell.values[0].state if cell and cell.values else None

        out: dict[str, tuple[str, ...]] = {VEHICLE: (VEHICLE,)}
        for name in self.book.families:
            made: tuple[Place, ...] = places_of(name, self.book, state, listed)
            out[name] = tuple(p.id for p in made)
            self.up.update((p.id, p.up) for p in made if p.up)
        return out

    def _expected(self, point: Point, places: dict[str, tuple[str, ...]]) -> tuple[str, ...]:
        family = self.book.families.get(point.family)
        if family is None or family.kind != "spots":
            return places[point.family]
        claims = [c for v in self.visits for c in v.claims if c.point == point.id and c.place]
        found = {c.place for c in claims if id(c) not in self._struck(point, c.place or "")}
        return tuple(sorted(place for place in found if place))

    # -- one cell -----------------------------------------------------------------------------

    def cell(self, point: Point, place: str) -> Cell:
        line = self._walk(point, place)
        chosen = line.standing
        if line.hold:
            passed = tuple(line.passed)
            return Cell(point.id, place, Status.MISSING, why=line.hold, passed_over=passed, was=line.lost)
        if chosen is None:
            return self._without(point, place, line)
        over = run_out(chosen, point.lasts, self.day.date, self.history)
        if over or not self._accepts(point, chosen):
            return self._does_not_count(point, place, line, chosen, over)
        passed = (
            *line.passed,
            *((c, "a later or surer reading stands") for c in line.live if c is not chosen),
        )
        self._watch_change(point, place, line.live, chosen)
        why = chosen.why_unknown or self._conflict(point, line.live, chosen)
        if why or not chosen.values:
            why = why or "unknown"
            return Cell(point.id, place, Status.UNCLEAR, why=why, claim=chosen, passed_over=passed)
        ending = sorted(self.book.works[w].words for w in self.book.ends.get(point.id, ()))
        return Cell(
            point.id,
            place,
            Status.VALUE,
            chosen.values,
            claim=chosen,
            passed_over=passed,
            runs_out=last_day(chosen.on, point.lasts),
            ends_with=", ".join(ending),
        )

    def _walk(self, point: Point, place: str) -> Line:
        """Apply the visits in order: readings, then the work and the driving of each."""
        line = Line()
        if point.id not in self.said:  # most points of a young document
            for visit in self.visits:
                if reason := self._unreached(visit, point, place):
                    line.not_reached = f"not reached on {visit.on}: {reason}"
            return line
        struck = self._struck(point, place)
        for claim in self.document.vehicle:
            if claim.point == point.id:
                self._hear(line, point, [claim], struck)
        for visit in self.visits:
            mine = self._here(visit, point, place)
            own = [c for c in mine if c.place == place and id(c) not in struck]
            self._hear(line, point, [c for c in mine if c.place == place], struck)
            reason = self._unreached(visit, point, place)
            if not own:
                said = [c for c in mine if c.place is None and not c.clear_of]
                looks = [c for c in mine if c.clear_of and not reason and id(c) not in struck]
                line.passed += [(c, f"struck: {struck[id(c)]}") for c in said if id(c) in struck]
                said = [c for c in said if id(c) not in struck]
                self._hear_of_all(line, point, said or looks[-1:])
                if reason:
                    line.not_reached = f"not reached on {visit.on}: {reason}"
            ended = self._ended(visit, point, place) if line.live or line.lost else None
            if ended and line.live:
                line.end(f"void since {ended}", mended=not ended.event)
            elif ended and not ended.event:
                line.lost = ()
        return line

    def _here(self, visit: Visit, point: Point, place: str) -> list[Claim]:
        claims = self.by_point.get((visit.index, point.id), ())
        return [c for c in claims if c.place is None or c.place == place]

    def _struck(self, point: Point, place: str) -> dict[int, str]:
        if point.id not in self.with_strikes:
            return {}
        groups: list[tuple[list[Claim], bool]] = [
            ([c for c in self.document.vehicle if c.point == point.id], False)
        ]
        for visit in self.visits:
            claims = self._here(visit, point, place)
            groups.append((claims, self._ended(visit, point, place) is not None))
        return struck(groups)

    def _hear(self, line: Line, point: Point, claims: list[Claim], struck: dict[int, str]) -> None:
        """Readings of this very place, in order."""
        for claim in claims:
            if id(claim) in struck:
                line.passed.append((claim, f"struck: {struck[id(claim)]}"))
            elif self._outweighed(point, line, claim):
                line.live.append(claim)
                line.named.append(claim)
            else:
                line.take(claim)
                if claim.values:
                    line.named, line.wide = [claim], []

    def _hear_of_all(self, line: Line, point: Point, claims: list[Claim]) -> None:
        """A reading for all places, or a nothing-found line; neither clears an earlier finding."""
        for claim in claims:
            if self._outweighed(point, line, claim):
                line.live.append(claim)
                line.wide.append(claim)
                continue
            against = [*line.named, *line.wide] if claim.clear_of else line.named
            found = next((c for c in against if _clears(point, c, claim)), None)
            if found:
                what = "'nothing found'" if claim.clear_of else "a word for all places"
                line.passed.append((claim, "does not clear an earlier finding"))
                line.lost = found.values
                line.hold = (
                    f"{what} on {claim.on} does not clear '{written(found)}' of {found.on}; say it by name"
                )
                continue
            line.take(claim)
            if claim.values and not claim.clear_of:
                line.wide = [claim]

    def _outweighed(self, point: Point, line: Line, claim: Claim) -> bool:
        """Whether a less sure reading meets a surer one that still counts. `unknown` is always heard."""
        if not claim.values or _sure(claim):
            return False
        return any(
            _sure(c) and c.values and not run_out(c, point.lasts, self.day.date, self.history)
            for c in line.live
        )

    def _ended(self, visit: Visit, point: Point, place: str) -> Ended | None:
        ending = self.book.ends.get(point.id)
        if not ending:
            return None
        family = frozenset(self.places.get(point.family, (place,)))
        return self.history.ended(place, visit, ending, family)

    def _unreached(self, visit: Visit, point: Point, place: str) -> str:
        return next(
            (n.why for n in visit.not_reached if n.point == point.id and n.place in (None, place)), ""
        )

    def _accepts(self, point: Point, claim: Claim) -> bool:
        """Whether this use takes the reading, by how it is known."""
        if point.fact or not claim.values:
            return True
        if point.lasts.permanent and claim.known in (Known.PAPERS, Known.TOLD, Known.SAME_AS):
            return True
        if claim.known is Known.PAPERS:
            return point.access == "papers"
        policy = self.book.policy
        if self.use.rank > 0 and point.chain in policy.sure_chains:
            return claim.known in policy.sure
        return claim.known in policy.knowing

    def _without(self, point: Point, place: str, line: Line) -> Cell:
        """Nothing was said, or all of it is void or struck: a fact falls back to its default."""
        passed = tuple(line.passed)
        if point.fact and point.default is not None:
            value = read_default(point)
            return Cell(point.id, place, Status.VALUE, (value,), passed_over=passed, defaulted=True)
        why = line.not_reached or line.void or "no reading"
        return Cell(point.id, place, Status.MISSING, why=why, passed_over=passed, was=line.lost)

    def _does_not_count(self, point: Point, place: str, line: Line, chosen: Claim, over: str) -> Cell:
        """The reading that stands has run out, or this use does not take it; it is kept to be shown."""
        if over:
            why = f"{over} (was {written(chosen)})"
            passed = [(c, run_out(c, point.lasts, self.day.date, self.history) or over) for c in line.live]
        else:
            who = f" by {chosen.by}" if chosen.by else ""
            why = f"{chosen.known.value} only{who} on {chosen.on}: {self.use.id} needs it measured or seen"
            passed = [(c, f"{c.known.value} only") for c in line.live]
        return Cell(
            point.id,
            place,
            Status.MISSING,
            why=line.not_reached or why,
            claim=chosen,
            passed_over=(*line.passed, *passed),
            was=chosen.values,
        )

    def _conflict(self, point: Point, live: list[Claim], chosen: Claim) -> str:
        """A permanent mark read differently without work between, or a fact of two answers: cannot tell."""
        if point.fact and len({v.same for v in chosen.values}) > 1:
            return f"'{written(chosen)}': a fact has one answer"
        if point.fact or not point.lasts.permanent or not chosen.values:
            return ""
        for other in live:
            differs = [v.same for v in other.values] != [v.same for v in chosen.values]
            if other.values and _sure(other) >= _sure(chosen) and differs:
                return (
                    f"a permanent mark read as '{written(other)}' on {other.on} and as "
                    f"'{written(chosen)}' on {chosen.on}; read it again and strike the wrong one"
                )
        return ""

    def _watch_change(self, point: Point, place: str, live: list[Claim], chosen: Claim) -> None:
        before = [c for c in live if c is not chosen and c.values and c.visit <= chosen.visit]
        for other in live:
            if _sure(other) < _sure(chosen) and other.values and other.visit > chosen.visit:
                words = f"{other.known.value} on {other.on}: '{written(other)}', against '{written(chosen)}'"
                self.watch.append(Watch(point.id, place, words))
        if not before or point.adjustable or point.lasts.permanent or not chosen.values:
            return
        last = before[-1]
        if better(point, last.values, chosen.values):
            words = (
                f"better by itself: '{written(last)}' on {last.on}, '{written(chosen)}' on {chosen.on}, "
                "and no work between"
            )
            self.watch.append(Watch(point.id, place, words))

    def _seen_through(self, cell: Cell, places: dict[str, tuple[str, ...]]) -> Cell:
        """A nothing-found from under counts only where the metal could be seen."""
        claim = cell.claim
        if cell.status is not Status.VALUE or claim is None or claim.clear_of not in _FROM_UNDER:
            return cell
        here = (VISIBILITY, cell.place)
        keys = [here] if here in self.cells else [k for k in self.cells if k[0] == VISIBILITY]
        for key in keys:
            values = self.cells[key].values
            hidden = [v.state for v in values if v.state not in _SEEN_THROUGH]
            if hidden:
                why = f"hidden: {VISIBILITY} at {key[1]} is '{hidden[0]}'; nothing found there tells nothing"
                return Cell(
                    cell.id, cell.place, Status.UNCLEAR, why=why, claim=claim, passed_over=cell.passed_over
                )
        return cell


def _sure(claim: Claim) -> bool:
    """Measured or seen by the one who writes; the rest is hearsay."""
    return claim.known in (Known.MEASURED, Known.SEEN)


def _rank(point: Point, values: tuple[Value, ...]) -> int:
    """The worst state's place in the order, best first."""
    return max(point.states.index(v.state) for v in values if v.state is not None)


def _clears(point: Point, found: Claim, claim: Claim) -> bool:
    """Whether taking a claim for all places would wipe out a finding."""
    before, after = found.values, claim.values
    if claim.clear_of:
        return any(v.state != point.clear for v in before)
    if not after:
        return False
    if point.ordered:
        return _rank(point, before) > _rank(point, after)
    return {v.same for v in before} != {v.same for v in after}


def better(point: Point, before: tuple[Value, ...], after: tuple[Value, ...]) -> bool:
    """Whether the worst of `after` is better than the worst of `before` could have been."""
    if point.states:
        return point.ordered and _rank(point, after) < _rank(point, before)
    new, old = [v.number for v in after if v.number], [v.number for v in before if v.number]
    if not new or not old:
        return False
    if point.better > 0:
        lows, highs = [n.low for n in new], [n.high for n in old if n.high is not None]
        return None not in lows and bool(highs) and min(x for x in lows if x is not None) > min(highs)
    if point.better < 0:
        tops, bottoms = [n.high for n in new], [n.low for n in old if n.low is not None]
        return None not in tops and bool(bottoms) and max(x for x in tops if x is not None) < max(bottoms)
    return False
