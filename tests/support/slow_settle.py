"""A slow, plain reference of settling, written from the design's text alone.

One point at one place at a time: its story is told in order (what was said, what ended it), and the
last thing that counts is looked for. Nothing here is shared with precheck.settle but the data classes.
"""

from __future__ import annotations

import calendar
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, timedelta
from fractions import Fraction

from precheck.model.catalogue import VEHICLE, Family, Point, Use
from precheck.model.document import Claim, Document, Done, Known, Value, Visit
from precheck.model.settled import Status
from precheck.rulebook.book import Rulebook

HEARSAY = (Known.TOLD, Known.PAPERS, Known.SAME_AS)
VISIBILITY = "underside-visibility"
UNDERNEATH = ("under", "under-running")
OWN, BLANKET, LOOK = "own", "for all places", "nothing found"


@dataclass(frozen=True)
class Said:
    """`reasons`: every kind of reason that holds; a good answer names at least one of them."""

    status: Status
    values: tuple[Value, ...] = ()
    reasons: frozenset[str] = frozenset()


Answers = dict[tuple[str, str], Said]


def settle_slowly(
    document: Document, book: Rulebook, on: date, use: Use, wanted: Iterable[str] = ()
) -> Answers:
    """Every fact, and every wanted point (none named: all) at every place of this vehicle."""
    return _Slow(document, book, on, use).answers(set(wanted) or set(book.points))


class _Slow:
    def __init__(self, document: Document, book: Rulebook, on: date, use: Use) -> None:
        self.document = document
        self.book = book
        self.on = on
        self.use = use
        # Visits after the day do not count.
        self.visits = [v for v in document.visits if v.on <= on]
        self.found: Answers = {}
        self.up = {p.id: p.up for f in book.families.values() for p in _known_places(f) if p.up}

    def answers(self, wanted: set[str]) -> Answers:
        for point in self.book.points.values():
            if point.fact:
                self.found[point.id, VEHICLE] = self.fact(point)
        readings = [p for p in self.book.points.values() if not p.fact and p.id in {*wanted, VISIBILITY}]
        looks = {}
        for point in readings:
            for place in self.places(point):
                said, claim = self.at(point, place)
                self.found[point.id, place] = said
                looks[point.id, place] = claim
        for (name, place), claim in looks.items():
            hidden = claim is not None and claim.clear_of in UNDERNEATH and self.hidden(place)
            if hidden and self.found[name, place].status is Status.VALUE:
                self.found[name, place] = Said(Status.UNCLEAR, reasons=frozenset({"hidden"}))
        return self.found

    # -- places -------------------------------------------------------------------------------

    def state(self, fact: str) -> str | None:
        said = self.found.get((fact, VEHICLE))
        return said.values[-1].state if said and said.values else None

    def places(self, point: Point) -> tuple[str, ...]:
        if point.family == VEHICLE:
            return (VEHICLE,)
        family = self.book.families[point.family]
        if family.kind == "spots":
            written = {c.place for v in self.visits for c in self.claims(point, v) if c.place}
            return tuple(sorted(p for p in written if self.spoken_of(point, p)))
        return self.places_of(family)

    def spoken_of(self, point: Point, place: str) -> bool:
        """A spot exists where at least one reading of it was not struck."""
        struck = self.struck(point, place)
        return any(
            c.place == place and id(c) not in struck for v in self.visits for c in self.claims(point, v)
        )

    def places_of(self, family: Family) -> tuple[str, ...]:
        if family.kind == "listed":
            for name, listed in self.document.listed:
                if name == family.id:
                    return listed
            lists = dict(family.by_class)
            chosen = lists.get(self.state("vehicle-class") or "", lists.get("any", ()))
            return tuple(p.id for p in chosen)
        return tuple(p.id for p in family.places if all(self.state(fact) in words for fact, words in p.when))

    # -- the story of one point at one place --------------------------------------------------

    @staticmethod
    def claims(point: Point, visit: Visit) -> list[Claim]:
        return [c for c in visit.claims if c.point == point.id]

    def struck(self, point: Point, place: str) -> set[int]:
        """Struck entries, and what each strikes: the latest earlier live reading of the same value there.

        "There" is the same place as written; where nothing stands under that name, a reading for all
        places is struck for this place, and where there is none, what was said by finding nothing.
        """
        out: set[int] = set()
        alive = [c for c in self.document.vehicle if c.point == point.id]
        out |= self._strike(alive, [], out)
        for visit in self.visits:
            said = [c for c in self.claims(point, visit) if c.place in (place, None)]
            out |= self._strike(said, alive, out)
            alive = [] if self.ended(point, place, visit) else alive + said
        return out

    @staticmethod
    def _strike(said: list[Claim], before: list[Claim], struck: set[int]) -> set[int]:
        out = set(struck)
        for i, claim in enumerate(said):
            if not claim.struck:
                continue
            out.add(id(claim))
            earlier = [c for c in before + said[:i] if id(c) not in out and written(c) == written(claim)]
            there = [c for c in earlier if c.place == claim.place and not c.clear_of]
            wider = [c for c in earlier if c.place is None and not c.clear_of]
            looked = [c for c in earlier if c.clear_of]
            for found in (there or wider or looked)[-1:]:
                out.add(id(found))
        return out

    def story(self, point: Point, place: str) -> list[tuple[Claim, str]]:
        """What was said of the place and not ended since, in order, with how it was said."""
        struck = self.struck(point, place)
        live: list[tuple[Claim, str]] = [
            (c, OWN) for c in self.document.vehicle if c.point == point.id and id(c) not in struck
        ]
        for visit in self.visits:
            said = [c for c in self.claims(point, visit) if id(c) not in struck]
            own = [c for c in said if c.place == place]
            blanket = [c for c in said if c.place is None and not c.clear_of]
            looks = [c for c in said if c.place is None and c.clear_of]
            missed = any(n.point == point.id and n.place in (None, place) for n in visit.not_reached)
            if own:
                live += [(c, OWN) for c in own]
            elif blanket:
                live += [(c, BLANKET) for c in blanket]
            elif looks and not missed:
                live += [(c, LOOK) for c in looks]
            if self.ended(point, place, visit):
                live = []
        return live

    def ended(self, point: Point, place: str, visit: Visit) -> bool:
        """Work and driving come after the readings of their visit."""
        ends = self.book.ends.get(point.id, frozenset())
        if visit.drove and visit.drove > 0 and "drive" in ends:
            return True
        return any(
            done.work in ends
            and (
                not done.at
                or self.book.works[done.work].everywhere
                or any(self.touches(point, place, at) for at in self.reach(done))
            )
            for done in visit.done
        )

    def reach(self, done: Done) -> set[str]:
        """The places worked at; where both sides count, the axle in the stead of each wheel it has."""
        if not self.book.works[done.work].both_sides:
            return set(done.at)
        here = {p for f in self.book.families.values() if f.kind != "spots" for p in self.places_of(f)}
        return {self.up.get(at, at) if at in here else at for at in done.at}

    def touches(self, point: Point, place: str, at: str) -> bool:
        if place == VEHICLE or at in (place, self.up.get(place)) or self.up.get(at) == place:
            return True
        found = self.book.families[point.family]
        # Where a spot lies nobody knows but its finder: work anywhere may have reached it.
        family = set(self.places_of(found)) if found.kind != "spots" else set()
        related = at in family or self.up.get(at) in family or any(self.up.get(p) == at for p in family)
        return not related

    # -- what it comes to ---------------------------------------------------------------------

    def at(self, point: Point, place: str) -> tuple[Said, Claim | None]:
        current: Claim | None = None
        heard: list[Claim] = []
        unsaid = False  # a finding stands that only its own name can clear
        named: list[Claim] = []  # what was found at this very place, and hearsay of it since
        wide: list[Claim] = []  # what was said since for all places
        for claim, how in self.story(point, place):
            if self.less_sure(point, claim, heard):
                (named if how == OWN else wide).append(claim)  # it does not count; it is not forgotten
                continue
            if how == OWN:
                unsaid = False
                if claim.values:
                    named, wide = [claim], []
            elif how == BLANKET:
                unsaid = bool(claim.values) and any(takes_back(point, claim, c) for c in named)
                if claim.values and not unsaid:
                    wide = [claim]
            else:
                unsaid = any(v.state != point.clear for c in named + wide for v in c.values)
            if not unsaid:
                current = claim
                heard.append(claim)
        return self.answer(point, place, current, unsaid, heard), current

    def less_sure(self, point: Point, claim: Claim, heard: list[Claim]) -> bool:
        """A less sure later reading never replaces a surer one that still counts.

        `unknown` is always heard.
        """
        return (
            bool(claim.values)
            and claim.known in HEARSAY
            and any(c.values and c.known not in HEARSAY and not self.run_out(point, c) for c in heard)
        )

    def answer(
        self, point: Point, place: str, current: Claim | None, unsaid: bool, heard: list[Claim]
    ) -> Said:
        if unsaid:
            return Said(Status.MISSING, reasons=frozenset({"say it by name"}))
        if current is None:
            return Said(Status.MISSING, reasons=frozenset(self.why_nothing(point, place)))
        if self.run_out(point, current):
            return Said(Status.MISSING, reasons=frozenset({"run out", *self.missed(point, place)}))
        if not current.values:
            return Said(Status.UNCLEAR, reasons=frozenset({"unknown"}))
        if not self.accepted(point, current.known):
            return Said(Status.MISSING, reasons=frozenset({"hearsay", *self.missed(point, place)}))
        if current.why_unknown:
            return Said(Status.UNCLEAR, reasons=frozenset({"odd"}))
        if point.lasts.permanent and not point.fact:
            alike = [c for c in heard if c.values and (c.known not in HEARSAY or current.known in HEARSAY)]
            if len({tuple(v.same for v in c.values) for c in alike}) > 1:
                return Said(Status.UNCLEAR, reasons=frozenset({"differs"}))
        if point.fact and len({v.same for v in current.values}) > 1:
            return Said(Status.UNCLEAR, reasons=frozenset({"several"}))
        return Said(Status.VALUE, current.values)

    def missed(self, point: Point, place: str) -> set[str]:
        missed = (n for v in self.visits for n in v.not_reached)
        return {"not reached" for n in missed if n.point == point.id and n.place in (None, place)}

    def why_nothing(self, point: Point, place: str) -> set[str]:
        ended = any(self.ended(point, place, v) for v in self.visits)
        return {"nothing", *self.missed(point, place), *(["ended"] if ended else [])}

    def fact(self, point: Point) -> Said:
        said, _ = self.at(point, VEHICLE)
        if said.status is Status.MISSING and point.default is not None:
            word = point.default
            return Said(Status.VALUE, (Value(word, state=word if point.states else None),))
        return said

    def accepted(self, point: Point, known: Known) -> bool:
        if point.fact:
            return True
        policy = self.book.policy
        strict = self.use.rank > 0 and point.chain in policy.sure_chains
        accepted = set(policy.sure if strict else policy.knowing)
        if point.lasts.permanent:
            accepted |= set(HEARSAY)
        if point.access == "papers":
            accepted.add(Known.PAPERS)
        return known in accepted

    # -- running out --------------------------------------------------------------------------

    def run_out(self, point: Point, claim: Claim) -> bool:
        if claim.on is None:
            return False
        lasts = point.lasts
        last_days = []
        if lasts.each_drive:
            last_days.append(claim.on)
        if lasts.days is not None:
            last_days.append(claim.on + timedelta(days=lasts.days))
        if lasts.months is not None:
            last_days.append(months_after(claim.on, lasts.months))
        if last_days and self.on > min(last_days):
            return True
        return lasts.miles is not None and self.driven_since(claim.visit) > lasts.miles

    def driven_since(self, visit: int) -> Fraction:
        """The most that odometer and written drives show: the longest way from the visit to now."""
        shown = {v.index: self.odometer(v) for v in self.visits}
        start = next(
            (o for v, o in sorted(shown.items(), reverse=True) if v <= visit and o is not None), None
        )
        after = [v for v in self.visits if v.index >= visit]
        far = {visit: Fraction(0)}
        end = Fraction(0)
        for here in after:
            ways = [far.get(here.index, Fraction(0))]
            for earlier in after:
                if earlier.index < here.index:
                    from_odometer = start if earlier.index == visit else shown[earlier.index]
                    to = shown[here.index]
                    if from_odometer is not None and to is not None:
                        ways.append(far[earlier.index] + to - from_odometer)
                    if earlier.index == here.index - 1:
                        ways.append(far[earlier.index] + (earlier.drove or 0))
            far[here.index] = max(ways)
            end = far[here.index] + (here.drove or 0)
        return end

    def odometer(self, visit: Visit) -> Fraction | None:
        point = self.book.points.get("odometer-reading")
        if point is None:
            return None
        struck = self.struck(point, VEHICLE)
        read = [
            c for c in self.claims(point, visit) if id(c) not in struck and c.values and not c.why_unknown
        ]
        number = read[-1].values[-1].number if read else None
        return number.low if number else None

    # -- what cannot be seen ------------------------------------------------------------------

    def hidden(self, place: str) -> bool:
        """Worse than a thin film there, or anywhere if that area has no line of its own."""
        point = self.book.points.get(VISIBILITY)
        if point is None:
            return False
        here = self.places(point)
        worst = point.states.index("thin film")
        for area in (place,) if place in here else here:
            said = self.found[point.id, area]
            if any(v.state is not None and point.states.index(v.state) > worst for v in said.values):
                return True
        return False


def _known_places(family: Family) -> list:
    return [*family.places, *(p for _, places in family.by_class for p in places)]


def written(claim: Claim) -> list[str]:
    return [v.written for v in claim.values]


def takes_back(point: Point, claim: Claim, finding: Claim) -> bool:
    """Whether a reading for all places would take back an earlier finding at a place."""
    new = [v.state for v in claim.values]
    old = [v.state for v in finding.values]
    if point.ordered:
        return max(point.states.index(s) for s in old if s) > max(point.states.index(s) for s in new if s)
    return set(new) != set(old)


def months_after(day: date, months: int) -> date:
    """The same day of a later month, or that month's last day."""
    years, month = divmod(day.month - 1 + months, 12)
    year = day.year + years
    return date(year, month + 1, min(day.day, calendar.monthrange(year, month + 1)[1]))
