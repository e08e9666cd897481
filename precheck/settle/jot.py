"""Jotted lines: several readings in a line, in any order, with short place names and own units.

    lr tread 6 5 6; rr pressure 33 psi; frame left rear rail pitted "behind the hanger"
    tire-pressure-cold@left-rear: 36 psi          the exact form, which is also how readings are echoed
    lf date code 1417; rf date code same as lf    rear wheels dual          brake pedal firm told
    done wheel cylinder replaced lr               strike lr tread 6 "typed wrong"

Each part between semicolons is read by itself: what cannot be read, or can be read two ways, is a problem
with its place in the line, and the rest of the line is kept. A part becomes the same data as an entry of
`readings:` in a document and is read by the same reader, so that a line can say nothing a file cannot.
Pure: the same lines, rulebook, vehicle and day give the same result.
"""

from __future__ import annotations

from collections.abc import Sequence

from precheck.model.catalogue import VEHICLE, Day, Kind, Point
from precheck.model.document import Claim, Document, Done, Known
from precheck.model.node import Entry, Items, Map, Node, Source, Text
from precheck.model.problem import Mark, Problem
from precheck.model.record import dataclass, replace
from precheck.read.fault import Fault
from precheck.read.near import near
from precheck.read.shape import Shape
from precheck.rulebook.book import Rulebook
from precheck.rulebook.places import places_of
from precheck.settle import jotfault
from precheck.settle.jotline import Bad, Part, cut
from precheck.settle.jotmatch import NAMED, Matcher, Vehicle, Way
from precheck.settle.jotspread import spread
from precheck.settle.jotwork import read_done
from precheck.settle.reading import Readings, Where
from precheck.settle.settle import settle
from precheck.settle.values import UNKNOWN, implausible

STRIKE, DONE = "strike", "done"


@dataclass(frozen=True, slots=True)
class Item:
    """One part that was read: `written` as it stands, `echo` in the exact form, and what it comes to.

    `point` and `node` are the reading as an entry of `readings:`; for work done they are empty.
    `asked` says why a value is unlikely; it counts only with the word `sure`.
    """

    written: str
    echo: str
    mark: Mark
    claims: tuple[Claim, ...] = ()
    done: Done | None = None
    point: str = ""
    node: Node | None = None
    asked: str = ""


@dataclass(frozen=True, slots=True)
class Jotted:
    """What was read, in the order written, and the problems of what was not."""

    items: tuple[Item, ...]
    problems: tuple[Problem, ...]

    @property
    def claims(self) -> tuple[Claim, ...]:
        return tuple(claim for item in self.items for claim in item.claims)

    @property
    def done(self) -> tuple[Done, ...]:
        return tuple(item.done for item in self.items if item.done)


def vehicle_of(document: Document, book: Rulebook, day: Day) -> Vehicle:
    """The facts and lists of a document that make the places of its vehicle."""
    cells = settle(document, book, day, book.rungs()[0], ()).cells
    states = {
        name: cell.values[0].state
        for (name, place), cell in cells.items()
        if place == VEHICLE and cell.values and cell.values[0].state is not None
    }
    return Vehicle({k: v for k, v in states.items() if v is not None}, dict(document.listed))


def read_jot(
    lines: Sequence[str], book: Rulebook, vehicle: Vehicle, day: Day, where: Where, name: str = "jot"
) -> Jotted:
    """The readings of some lines as claims of one visit. Facts said anywhere in them make the places.

    Never raises on what a person wrote: every line gives items or problems.
    """
    reader = _Jots(Shape(Source(name, tuple(lines), Text("", True, Mark(1, 1))), book.units), book, day)
    return reader.read(lines, vehicle, where)


class _Jots(Readings):
    def read(self, lines: Sequence[str], vehicle: Vehicle, where: Where) -> Jotted:
        parts = [(number, piece) for number, line in enumerate(lines, 1) for piece in cut(line)]
        self.where = where
        self.facts |= vehicle.facts
        self.listed = dict(vehicle.listed)
        self.matcher = Matcher(self.book, Vehicle(self.facts, self.listed))
        if self._facts_said([p for _, p in parts if isinstance(p, Part)]):
            self.matcher = Matcher(self.book, Vehicle(self.facts, self.listed))
        items = [item for number, piece in parts for item in self._piece(number, piece)]
        items = self._copied(items)
        problems = tuple(sorted(self.shape.problems, key=lambda p: p.order))
        return Jotted(tuple(items), problems)

    def _facts_said(self, parts: Sequence[Part]) -> bool:
        """Take over the facts that the lines say, before places are looked up."""
        said = False
        for part in parts:
            way = self._meant(part)
            if isinstance(way, Way) and way.point.fact and way.span.texts:
                said = True
                text = way.span.texts[0]
                self.facts.pop(way.point.id, None)
                if text in way.point.states:
                    self.facts[way.point.id] = text
        return said

    def _piece(self, number: int, piece: Part | Bad) -> list[Item]:
        if isinstance(piece, Bad):
            self._refuse(number, piece.at, piece.fault)
            return []
        word = piece.atoms[0].word
        if word == DONE:
            found = read_done(piece, self.book, self.listed, Mark(number, piece.begin + 1))
            if isinstance(found, Done):
                at = f" {' '.join(found.at)}" if found.at else ""
                return [Item(piece.written, f"{DONE} {found.work}{at}", found.mark, done=found)]
            self._refuse(number, *found)
            return []
        struck = ""
        if word == STRIKE and len(piece.atoms) > 1:
            struck = piece.note or "struck"
            piece = replace(piece, atoms=piece.atoms[1:], note="")
        way = self._meant(piece)
        if isinstance(way, Way):
            return self._item(number, piece, way, struck)
        several = spread(piece, self.matcher, self._meant)
        if not several:
            self._refuse(number, *way)
        return [item for part, found in several for item in self._item(number, part, found, struck)]

    def _refuse(self, number: int, at: int, fault: Fault) -> None:
        mark = Mark(number, at + 1)
        self.shape.note(mark, fault.code, fault.found, fault.expected, fault.write, fault.near)

    # -- what a part means ------------------------------------------------------------------------

    def _meant(self, part: Part) -> Way | jotfault.Found:
        first = part.text[part.atoms[0].start :].split(maxsplit=1)[0]
        if "@" in first:
            return self._at(part, first)
        name = first.rstrip(":")
        point = self.book.points.get(name)
        if point is not None:
            skip = sum(1 for a in part.atoms if a.start < part.atoms[0].start + len(name))
            ways = self.matcher.ways(part, point, skip)
            if len(ways) == 1:
                return ways[0]
            if first.endswith(":"):
                words = [a.word for a in part.atoms]
                spots = [s for s in self.matcher.spots(point, words) if s.first == skip]
                place, after = (spots[0].place, spots[0].last) if spots else ("", skip)
                return jotfault.of_value(part, point, place, after, self.matcher)
        elif first.endswith(":"):
            return self._no_such(part, name)
        ways = self.matcher.ways(part)
        if not ways:
            return jotfault.of_words(part, self.matcher)
        best = min(way.rank for way in ways)
        if best > NAMED and self.matcher.misread(part):
            return jotfault.of_words(part, self.matcher)
        surest = [way for way in ways if way.rank == best]
        return surest[0] if len(surest) == 1 else jotfault.ambiguous(part, surest)

    def _at(self, part: Part, first: str) -> Way | jotfault.Found:
        """`point@place: value`: nothing is guessed."""
        name, _, place = first.rstrip(":").partition("@")
        point = self.book.points.get(name)
        if point is None:
            return self._no_such(part, name)
        ways = [w for w in self.matcher.ways(part, point, 1) if not w.place and not w.sides]
        if len(ways) != 1:
            return jotfault.of_value(part, point, place, 1, self.matcher)
        return replace(ways[0], place=place, place_at=part.begin + len(name) + 1)

    def _no_such(self, part: Part, name: str) -> jotfault.Found:
        return part.begin, Fault(
            "unknown-point",
            f"'{name}' is no point or fact",
            "a name that `precheck show points` lists",
            near=near(name, list(self.book.points)),
        )

    # -- from a meaning to claims -----------------------------------------------------------------

    def _item(self, number: int, part: Part, way: Way, struck: str) -> list[Item]:
        point, before = way.point, len(self.shape.problems)
        mark = Mark(number, part.begin + 1)
        value = self._value(number, part, way)
        node = self._qualified(value, way, part.note, struck, mark)
        if not self._each_place(number, part, way):
            return []
        at = Mark(number, way.place_at + 1)
        places = [(way.place, at)] if way.place else [(side, at) for side in way.sides]
        if places:
            node = Map(tuple(Entry(Text(place, True, m), node) for place, m in places), mark)
        claims = tuple(self.reading(point, node, self.where))
        if len(self.shape.problems) > before or not claims:
            return []
        echo = "; ".join(self._echo(point, claim, way, part.note, struck) for claim in claims)
        odd = next((w for c in claims for w in (implausible(point, v) for v in c.values) if w), "")
        asked = "" if way.sure or not odd else f"{odd}; if it is right, add the word sure"
        return [Item(part.written, echo, mark, claims, None, point.id, node, asked)]

    def _each_place(self, number: int, part: Part, way: Way) -> bool:
        """Numbers never speak for several places at once."""
        point = way.point
        if way.place or point.family == VEHICLE or point.states or way.span.texts == (UNKNOWN,):
            return True
        word = part.text[way.place_at :].split(maxsplit=1)[0]
        found = f"{word} is {len(way.sides)} places of {point.id}" if way.sides else f"{point.id} at no place"
        places = way.sides or [q.id for q in places_of(point.family, self.book, self.facts.get, self.listed)]
        how = "; ".join(jotfault.example(point, q, ", ".join(way.span.texts)) for q in places[:4])
        self._refuse(number, way.place_at, Fault("place-missing", found, "a value for each place", how))
        return False

    def _value(self, number: int, part: Part, way: Way) -> Node:
        mark = Mark(number, part.atoms[way.span.first].start + 1)
        if way.span.same_as:
            first, last = way.span.same_as
            words = tuple(a.word for a in part.atoms[first:last])
            spot = self.matcher.phrases(way.point).get(words)
            name = spot.place if spot and spot.place else part.raw(first, last)
            return Text(name, True, Mark(number, part.atoms[first].start + 1))
        texts = tuple(Text(text, True, mark) for text in way.span.texts)
        return texts[0] if len(texts) == 1 else Items(texts, mark)

    @staticmethod
    def _qualified(value: Node, way: Way, note: str, struck: str, mark: Mark) -> Node:
        """The value with what is said of it; plain where nothing is."""
        said = {
            "note": note,
            "with": way.instrument,
            "known": way.known,
            "void": struck,
            "sure": "yes" if way.sure else "",
        }
        key = "same-as" if way.span.same_as else "is"
        if key == "is" and not any(said.values()):
            return value
        extra = [Entry(Text(k, True, mark), Text(v, False, mark)) for k, v in said.items() if v]
        return Map((Entry(Text(key, True, mark), value), *extra), mark)

    @staticmethod
    def _echo(point: Point, claim: Claim, way: Way, note: str, struck: str) -> str:
        words = f"same as {claim.same_as}" if claim.same_as else ", ".join(way.span.texts)
        place = claim.place if claim.place and claim.place != VEHICLE else ""
        line = jotfault.example(point, place, words)
        if way.known:
            line += f" {way.known}"
        if way.sure:
            line += " sure"
        if way.instrument:
            line += f" with {way.instrument}"
        said = struck or note
        return f"{'strike ' if struck else ''}{line}{f' {chr(34)}{said}{chr(34)}' if said else ''}"

    def _copied(self, items: list[Item]) -> list[Item]:
        """Resolve same-as within the lines; an item whose target has no value is dropped with a problem."""
        claims = [claim for item in items for claim in item.claims]
        self.same_as(claims)
        out, at = [], 0
        for item in items:
            mine = tuple(claims[at : at + len(item.claims)])
            at += len(item.claims)
            if any(c.known is Known.SAME_AS and not c.values for c in mine):
                continue
            out.append(replace(item, claims=mine))
        return out


__all__ = ["Item", "Jotted", "Kind", "Vehicle", "Where", "read_jot", "vehicle_of"]
