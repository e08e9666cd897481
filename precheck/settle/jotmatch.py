"""Which point, place and value a jotted part means: every way to read it, the surest kept.

A way to read a part uses each of its words once: as value, as place, as a word of the point's name, its
description or its system, or as one of a few small words. Two points that fit equally well are no answer.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from precheck.model.catalogue import VEHICLE, Kind, Point
from precheck.model.record import dataclass
from precheck.rulebook.book import Rulebook
from precheck.rulebook.places import all_places, places_of
from precheck.settle.jotline import Part, words_of
from precheck.settle.jotvalue import Span, is_unit_word, spans

KNOWING = ("told", "seen", "measured")
SURE = "sure"
WITH = "with"
AXLES = ("front", "rear")
SMALL = frozenset(("a", "an", "the", "of", "is", "are", "was", "at", "on", "in", "and", "to", "for"))
# Words people say for one point where the catalogue has several that would fit.
EVERYDAY: Mapping[frozenset[str], str] = {
    frozenset(words.split()): point
    for words, point in (
        ("pressure", "tire-pressure-cold"),
        ("max pressure", "tire-maximum-pressure"),
        ("tread", "tire-tread-depth"),
        ("size", "tire-size-marking"),
        ("code", "tire-date-code"),
        ("profile", "tire-profile"),
        ("toe", "wheel-toe"),
    )
}
# Words people say for a word of the catalogue.
SAID: Mapping[str, str] = {
    "lug": "wheel",
    "rotor": "disc",
    "tyre": "tire",
    "windscreen": "windshield",
    "blinker": "turn",
}

FULL, EXACT, NAMED, DESCRIBED, BY_STATE = range(5)  # how surely the words name the point


@dataclass(frozen=True, slots=True)
class Vehicle:
    """What makes the places of one vehicle: its facts' states, and its own lists of places."""

    facts: Mapping[str, str]
    listed: Mapping[str, tuple[str, ...]]


@dataclass(frozen=True, slots=True)
class Way:
    """One way to read a part. `place` is empty where none is said; `sides` where an axle stands for them."""

    point: Point
    place: str
    place_at: int
    sides: tuple[str, ...]
    span: Span
    rank: int
    known: str = ""
    sure: bool = False
    instrument: str = ""


@dataclass(frozen=True, slots=True)
class Spot:
    """A place in a part: atoms `first` up to `last`, and what it names."""

    first: int
    last: int
    place: str
    sides: tuple[str, ...] = ()


def stem(word: str) -> str:
    """Without a plural s, and as the catalogue says it.

    >>> stem("wheels"), stem("glass"), stem("tyres")
    ('wheel', 'glass', 'tire')
    """
    one = word[:-1] if len(word) > 3 and word.endswith("s") and not word.endswith("ss") else word
    return SAID.get(one, one)


class Matcher:
    """Reads parts for one vehicle."""

    def __init__(self, book: Rulebook, vehicle: Vehicle) -> None:
        self.book = book
        self.vehicle = vehicle
        self._phrases: dict[str, dict[tuple[str, ...], Spot]] = {}
        self._names: dict[str, tuple[frozenset[str], frozenset[str], frozenset[str]]] = {}

    def ways(self, part: Part, only: Point | None = None, skip: int = 0) -> list[Way]:
        """Every way to read a part; with `only`, as a value of that point, its name being `skip` atoms."""
        points = [only] if only else list(self.book.points.values())
        out: list[Way] = []
        for point in points:
            out += self._of_point(part, point, skip, only is not None)
        return _best_of_each(out)

    def _of_point(self, part: Part, point: Point, skip: int, exact: bool) -> Iterator[Way]:
        words = [a.word for a in part.atoms]
        if not exact and not any(self.tier(point, stem(w)) < BY_STATE for w in words):
            states = {w for s in point.states for w in words_of(s)[:1]}
            if not states.intersection(words):
                return
        if point.kind is Kind.TEXT:
            yield from self._text(part, point, skip, exact)
            if exact and skip < len(words) and self._free_text(part, point, skip):
                return
        found = list(spans(part, point, self.book.units))
        for span in found:
            if span.first < skip:
                continue
            if span.same_as and tuple(words[slice(*span.same_as)]) not in self.phrases(point):
                continue
            spots: list[Spot | None] = [None, *self.spots(point, words)]
            for spot in spots:
                if spot and (spot.first < skip or (spot.first < span.last and span.first < spot.last)):
                    continue
                way = self._way(part, point, span, spot, skip, exact)
                if way:
                    yield way

    def _way(
        self, part: Part, point: Point, span: Span, spot: Spot | None, skip: int, exact: bool
    ) -> Way | None:
        used = set(range(skip)) | set(range(span.first, span.last))
        if spot:
            used |= set(range(spot.first, spot.last))
        left = [i for i in range(len(part.atoms)) if i not in used]
        words = [part.atoms[i].word for i in left]
        if point.kind is Kind.NUMBER and span.last in left:
            after = part.atoms[span.last].word  # a unit that the number cannot have is no small word
            if is_unit_word(after, self.book.units) and self.tier(point, stem(after)) == BY_STATE:
                return None
        instrument, known, sure = "", "", False
        if WITH in words:
            at = len(words) - 1 - words[::-1].index(WITH)
            tail = left[at + 1 :]
            while tail and part.atoms[tail[-1]].word in (*KNOWING, SURE):
                tail.pop()
            if not tail or tail != list(range(tail[0], tail[-1] + 1)):
                return None
            instrument = part.raw(tail[0], tail[-1] + 1)
            left = [*left[:at], *(i for i in left[at + 1 :] if i not in tail)]
            words = [part.atoms[i].word for i in left]
        kept = []
        for word in words:
            if word in KNOWING and not known:
                known = word
            elif word == SURE and not sure:
                sure = True
            elif word not in SMALL:
                kept.append(stem(word))
        rank = FULL if exact and not kept else None if exact else self.rank(point, kept, span)
        if rank is None:
            return None
        place, sides = (spot.place, spot.sides) if spot else ("", ())
        at = part.atoms[spot.first].start if spot else part.atoms[span.first].start
        return Way(point, place, at, sides, span, rank, known, sure, instrument)

    def misread(self, part: Part) -> bool:
        """Whether the words name a point of numbers, while what stands there is no value of it.

        Then a point that only its description fits is no better answer.
        """
        words = [a.word for a in part.atoms]
        numbers = [i for i, w in enumerate(words) if w[:1].isdigit() or w[:2].lstrip("+-").isdigit()]
        if not numbers:
            return False
        span = Span(numbers[0], numbers[-1] + 1, ("",))
        for point in self.book.points.values():
            if point.kind is not Kind.NUMBER:
                continue
            for spot in (None, *self.spots(point, words)):
                used = {*range(span.first, span.last), *(range(spot.first, spot.last) if spot else ())}
                kept = [stem(w) for i, w in enumerate(words) if i not in used and w not in SMALL]
                rank = self.rank(point, kept, span)
                if rank is not None and rank <= NAMED:
                    return True
        return False

    # -- words of a point -----------------------------------------------------------------------

    def rank(self, point: Point, words: list[str], span: Span) -> int | None:
        """How surely these words name the point; None where one of them does not belong to it."""
        said = frozenset(words)
        own, system, _ = self.names(point)
        if said and said <= own and own - SMALL <= said:
            return FULL
        if EVERYDAY.get(said - system) == point.id or EVERYDAY.get(said) == point.id:
            return EXACT
        if said and said <= own | system and own - system <= said:
            return EXACT
        tiers = [self.tier(point, word) for word in words]
        if not tiers:
            return BY_STATE if point.kind is Kind.STATES and span.same_as is None else None
        if BY_STATE in tiers or not said - system:
            return None if BY_STATE in tiers else DESCRIBED
        return max(tiers)

    def tier(self, point: Point, word: str) -> int:
        own, system, described = self.names(point)
        if word in own or word in system:
            return NAMED
        return DESCRIBED if word in described else BY_STATE

    def names(self, point: Point) -> tuple[frozenset[str], frozenset[str], frozenset[str]]:
        """Words of the point's id, of its system, and of its description."""
        known = self._names.get(point.id)
        if known is None:
            own = frozenset(stem(w) for w in words_of(point.id))
            system = frozenset(stem(w) for w in words_of(point.system))
            text = f"{point.observe} {point.question} {point.instrument}"
            described = frozenset(stem(w.strip("?.:()")) for w in words_of(text)) - SMALL
            known = self._names[point.id] = (own, system, described)
        return known

    # -- text ------------------------------------------------------------------------------------

    def _text(self, part: Part, point: Point, skip: int, exact: bool) -> Iterator[Way]:
        """A point of free text takes all words after its name and place; only a full name will do."""
        words = [a.word for a in part.atoms]
        for cut in range(skip if exact else skip + 1, len(words)):
            head = words[:cut]
            for spot in (None, *self.spots(point, head)):
                if spot and spot.first < skip:
                    continue
                kept = [
                    stem(w)
                    for i, w in enumerate(head)
                    if i >= skip and not (spot and spot.first <= i < spot.last)
                ]
                for tail in (None, *self.spots(point, words)):
                    end = len(words) if tail is None else tail.first
                    if tail and (spot or tail.last != len(words) or tail.first <= cut):
                        continue
                    span = Span(cut, end, (part.raw(cut, end),))
                    rank = FULL if exact and not kept else None if exact else self.rank(point, kept, span)
                    if rank is not None and rank <= EXACT:
                        where = spot or tail
                        place, sides = (where.place, where.sides) if where else ("", ())
                        at = part.atoms[where.first if where else cut].start
                        yield Way(point, place, at, sides, span, rank)

    def _free_text(self, part: Part, point: Point, skip: int) -> bool:
        return any(True for _ in self._text(part, point, skip, True))

    # -- places ----------------------------------------------------------------------------------

    def spots(self, point: Point, words: list[str]) -> list[Spot]:
        """Where a place of the point is named, longer names first."""
        phrases = self.phrases(point)
        out = []
        for first in range(len(words)):
            for last in range(min(len(words), first + 8), first, -1):
                spot = phrases.get(tuple(words[first:last]))
                if spot:
                    out.append(Spot(first, last, spot.place, spot.sides))
        return sorted(out, key=lambda s: (s.first - s.last, s.first))

    def phrases(self, point: Point) -> dict[tuple[str, ...], Spot]:
        """The names of a family's places: ids, short names and words; an axle for the places on it."""
        known = self._phrases.get(point.family)
        if known is not None:
            return known
        out: dict[tuple[str, ...], Spot] = {}
        family = self.book.families.get(point.family)
        if family is not None and point.family != VEHICLE and family.kind != "spots":
            here = places_of(family.id, self.book, self.vehicle.facts.get, self.vehicle.listed)
            for axle in AXLES:
                sides = tuple(p.id for p in here if p.up == axle)
                if sides:
                    out[(axle,)] = out[(axle, "axle")] = Spot(0, 0, "", sides)
            for place in (*all_places(family), *here):
                for name in (place.words, place.short, place.id):
                    if name:
                        out[words_of(name)] = Spot(0, 0, place.id)
        self._phrases[point.family] = out
        return out


def _best_of_each(ways: list[Way]) -> list[Way]:
    """Of each point its surest way: with a place rather than without, then the longest value."""
    kept: dict[str, Way] = {}
    for way in ways:
        other = kept.get(way.point.id)
        if other is None or _order(way) < _order(other):
            kept[way.point.id] = way
    return list(kept.values())


def _order(way: Way) -> tuple[int, bool, int, int]:
    placed = bool(way.place or way.sides)
    return (way.rank, not placed, way.span.first - way.span.last, way.span.first)
