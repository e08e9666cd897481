"""Settle: from claims to exactly one value, 'not measured' or 'cannot tell' per point and place.

`settle` is pure: the same document, rulebook, day and use give the same cells.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field

from precheck.model.catalogue import VEHICLE, Day, Place, Point, Use
from precheck.model.document import Claim, Document, Known, Value, Visit
from precheck.model.settled import Cell, Settled, Status, Watch
from precheck.rulebook.book import Rulebook
from precheck.rulebook.places import places_of
from precheck.settle.lasting import History, last_day, run_out
from precheck.settle.values import read_default

VISIBILITY = "underside-visibility"
_SEEN_THROUGH = ("bare or paint", "thin film")  # no worse than these, and a look from under counts
_FROM_UNDER = ("under", "under-running")


def settle(document: Document, book: Rulebook, day: Day, use: Use, wanted: Iterable[str]) -> Settled:
    """The cells of all facts and of the points in `wanted`, as far as `use` accepts how they are known."""
    return _Settling(document, book, day, use).run(wanted)


@dataclass
class _Line:
    """What is left of the claims of one point at one place after walking the visits."""

    live: list[Claim] = field(default_factory=list)
    passed: list[tuple[Claim, str]] = field(default_factory=list)
    void: str = ""
    hold: str = ""
    not_reached: str = ""


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
        written = {c.place for v in self.visits for c in v.claims if c.point == point.id and c.place}
        return tuple(sorted(written))

    # -- one cell -----------------------------------------------------------------------------

    def cell(self, point: Point, place: str) -> Cell:
        line = self._walk(point, place)
        accepted = [c for c in line.live if self._accepts(point, c)]
        valid = [c for c in accepted if not run_out(c, point.lasts, self.day.date, self.history)]
        passed = tuple(line.passed)
        if line.hold:
            return Cell(point.id, place, Status.MISSING, why=line.hold, passed_over=passed)
        if not valid:
            return self._without(point, place, line, accepted)
        surest = max(_sureness(c) for c in valid)
        chosen = [c for c in valid if _sureness(c) == surest][-1]
        passed += tuple((c, "a later or surer reading stands") for c in line.live if c is not chosen)
        self._watch_change(point, place, line.live, chosen)
        why = chosen.why_unknown or self._conflict(point, valid, chosen, surest)
        if why:
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

    def _walk(self, point: Point, place: str) -> _Line:
        """Apply the visits in order: readings, then the work and the driving of each."""
        line = _Line()
        ending = self.book.ends.get(point.id, frozenset())
        for claim in self.document.vehicle:
            if claim.point == point.id:
                self._take(line, claim)
        for visit in self.visits:
            mine = self.by_point.get((visit.index, point.id), [])
            own = [c for c in mine if c.place == place]
            if own:
                for claim in own:
                    self._take(line, claim)
            else:
                self._take_shared(line, point, place, visit, mine)
            reason = self._unreached(visit, point, place)
            if reason and not own:
                line.not_reached = f"not reached on {visit.on}: {reason}"
            if ending and line.live:
                self._void(line, point, place, visit, ending)
        return line

    def _take(self, line: _Line, claim: Claim) -> None:
        if claim.struck:
            line.passed.append((claim, f"struck: {claim.struck}"))
            same = [c for c in line.live if c.values == claim.values or _written(c) == _written(claim)]
            if same:
                line.live.remove(same[-1])
                line.passed.append((same[-1], f"struck: {claim.struck}"))
            return
        line.live.append(claim)
        line.hold = line.void = line.not_reached = ""

    def _take_shared(self, line: _Line, point: Point, place: str, visit: Visit, mine: list[Claim]) -> None:
        """A reading for all places, or a nothing-found line; neither clears an earlier finding."""
        said = [c for c in mine if c.place is None and not c.clear_of]
        clear = [c for c in mine if c.clear_of and not self._unreached(visit, point, place)]
        for claim in said or clear[-1:]:
            if claim.struck:
                self._take(line, claim)
                continue
            before = [c for c in line.live if c.values and (claim.clear_of or c.place == place)]
            if not claim.values:
                if not before:
                    self._take(line, claim)
                continue
            if before and _clears(point, before[-1].values, claim.values, bool(claim.clear_of)):
                found = before[-1]
                what = "'nothing found'" if claim.clear_of else "a word for all places"
                line.passed.append((claim, "does not clear an earlier finding"))
                line.hold = (
                    f"{what} on {claim.on} does not clear '{_written(found)}' of {found.on}; say it by name"
                )
                continue
            if line.hold:
                line.passed.append((claim, "an earlier finding waits to be said by name"))
                continue
            self._take(line, claim)

    def _void(self, line: _Line, point: Point, place: str, visit: Visit, ending: frozenset[str]) -> None:
        family = frozenset(self.places.get(point.family, (place,)))
        ended = self.history.ended(place, visit.index, ending, family)
        if ended is None or ended.visit != visit.index:
            return
        line.passed += [(c, f"void since {ended}") for c in line.live]
        line.void = f"void since {ended}"
        line.live.clear()
        line.hold = ""

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

    def _without(self, point: Point, place: str, line: _Line, accepted: list[Claim]) -> Cell:
        """No reading counts: say why, and keep what was there to be shown."""
        passed = list(line.passed)
        why = line.not_reached or line.void
        claim = None
        if accepted:
            claim = accepted[-1]
            why = why or f"{run_out(claim, point.lasts, self.day.date, self.history)} (was {_written(claim)})"
            passed += [(c, run_out(c, point.lasts, self.day.date, self.history)) for c in accepted]
        elif line.live:
            claim = line.live[-1]
            who = f" by {claim.by}" if claim.by else ""
            why = (
                why or f"{claim.known.value} only{who} on {claim.on}: {self.use.id} needs it measured or seen"
            )
            passed += [(c, f"{c.known.value} only") for c in line.live]
        elif point.fact and point.default is not None:
            value = read_default(point)
            return Cell(point.id, place, Status.VALUE, (value,), passed_over=tuple(passed), defaulted=True)
        return Cell(
            point.id, place, Status.MISSING, why=why or "no reading", claim=claim, passed_over=tuple(passed)
        )

    def _conflict(self, point: Point, valid: list[Claim], chosen: Claim, surest: int) -> str:
        """A permanent mark read differently without work between cannot be told."""
        if point.fact or not point.lasts.permanent or not chosen.values:
            return ""
        for other in valid:
            differs = [v.same for v in other.values] != [v.same for v in chosen.values]
            if other.values and _sureness(other) == surest and differs:
                return (
                    f"a permanent mark read as '{_written(other)}' on {other.on} and as "
                    f"'{_written(chosen)}' on {chosen.on}; read it again and strike the wrong one"
                )
        return ""

    def _watch_change(self, point: Point, place: str, live: list[Claim], chosen: Claim) -> None:
        before = [c for c in live if c is not chosen and c.values and c.visit <= chosen.visit]
        for other in live:
            if _sureness(other) < _sureness(chosen) and other.values and other.visit > chosen.visit:
                words = (
                    f"{other.known.value} on {other.on}: '{_written(other)}', against '{_written(chosen)}'"
                )
                self.watch.append(Watch(point.id, place, words))
        if not before or point.adjustable or point.lasts.permanent or not chosen.values:
            return
        last = before[-1]
        if _better(point, last.values, chosen.values):
            words = (
                f"better by itself: '{_written(last)}' on {last.on}, '{_written(chosen)}' on {chosen.on}, "
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


def _written(claim: Claim) -> str:
    return ", ".join(v.written for v in claim.values) or "unknown"


def _sureness(claim: Claim) -> int:
    return 2 if claim.known in (Known.MEASURED, Known.SEEN) or not claim.values else 1


def _rank(point: Point, values: tuple[Value, ...]) -> int:
    """The worst state's place in the order, best first."""
    return max(point.states.index(v.state) for v in values if v.state is not None)


def _clears(point: Point, before: tuple[Value, ...], after: tuple[Value, ...], by_look: bool) -> bool:
    """Whether taking `after` would wipe out a finding."""
    if by_look:
        return any(v.state != point.clear for v in before)
    if point.ordered:
        return _rank(point, before) > _rank(point, after)
    return {v.same for v in before} != {v.same for v in after}


def _better(point: Point, before: tuple[Value, ...], after: tuple[Value, ...]) -> bool:
    if point.states:
        return point.ordered and _rank(point, after) < _rank(point, before)
    lows = [(v.number.low, v.number.high) for v in after if v.number]
    old = [(v.number.low, v.number.high) for v in before if v.number]
    if point.better == 0 or not lows or not old:
        return False
    if point.better > 0:
        worst_new, worst_old = (
            min(lo for lo, _ in lows if lo is not None),
            min(h for _, h in old if h is not None),
        )
        return worst_new > worst_old
    return max(h for _, h in lows if h is not None) < max(lo for lo, _ in old if lo is not None)
