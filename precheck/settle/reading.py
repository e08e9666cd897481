"""Reads one entry of `readings:` or `vehicle:` into claims, and the places it names."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from datetime import date

from precheck.model.catalogue import VEHICLE, Day, Family, Point
from precheck.model.document import Claim, Known
from precheck.model.node import Entry, Items, Map, Node, Text
from precheck.model.record import dataclass, replace
from precheck.read.near import near
from precheck.read.shape import Shape
from precheck.rulebook.book import Rulebook
from precheck.rulebook.places import all_places, places_of
from precheck.settle.values import UNKNOWN, implausible, read_value

_READING_KEYS = ("is", "same-as", "note", "with", "known", "by", "void", "sure")
_KNOWN = tuple(k.value for k in Known if k is not Known.SAME_AS)


@dataclass(frozen=True, slots=True)
class Where:
    """The visit a reading stands in; `on` None for the undated `vehicle:` block."""

    on: date | None
    visit: int
    by: str


class Readings:
    """Readings of one file. `facts` and `listed` make the places of this vehicle."""

    def __init__(self, shape: Shape, book: Rulebook, day: Day) -> None:
        self.shape = shape
        self.book = book
        self.day = day
        self.facts: dict[str, str] = {p.id: p.default for p in book.points.values() if p.fact and p.default}
        self.listed: dict[str, tuple[str, ...]] = {}

    # -- a reading ----------------------------------------------------------------------------

    def point(self, key: Text) -> Point | None:
        point = self.book.points.get(key.text)
        if point is None:
            self.shape.note(
                key,
                "unknown-point",
                f"'{key.text}' is no point or fact",
                "a name that `precheck show points` lists",
                close=near(key.text, list(self.book.points)),
            )
        return point

    def reading(self, point: Point, node: Node, where: Where, anywhere: bool = False) -> Iterator[Claim]:
        """The claims of one entry of `readings:`; `anywhere` lets a number speak for all places."""
        by_place = isinstance(node, Map) and not any(e.key.text in _READING_KEYS for e in node.entries)
        if by_place and isinstance(node, Map):
            yield from self._by_place(point, node, where)
            return
        if point.family == VEHICLE:
            yield from self._one(point, VEHICLE, node, where)
            return
        spots = self.book.families[point.family].kind == "spots"  # there is no list of all of them
        if not anywhere and (spots or not (point.states or _says_unknown(node))):
            self.shape.note(
                node,
                "place-missing",
                f"{point.id} is taken at each place, and no place is said",
                "a value for each spot, under a name of yours"
                if spots
                else "a value for each place; one value for all places is for states only",
                f"{point.id}: {{{self._example(point)}: ...}}",
            )
            return
        yield from self._one(point, None, node, where)

    def _by_place(self, point: Point, node: Map, where: Where) -> Iterator[Claim]:
        if not node.entries:
            self.shape.note(
                node, "reading", f"no value for {point.id}", "a value", "unknown, or delete the line"
            )
        if point.family == VEHICLE:
            for entry in node.entries:
                if not near(entry.key.text, _READING_KEYS):
                    self.place(point, entry)
            keys = tuple(e for e in node.entries if near(e.key.text, _READING_KEYS))
            self.shape.keys(Map(keys, node.mark), f"a reading of {point.id}", (), _READING_KEYS)
            return
        seen = set()
        for entry in node.entries:
            place = self.place(point, entry)
            if place is None:
                continue
            if place in seen:
                found = f"'{entry.key.text}' is {place}, which stands here already"
                expected, how = "each place once", f"{place}: [...] for several values of one place"
                self.shape.note(entry.key, "place-twice", found, expected, how)
            seen.add(place)
            yield from self._one(point, place, entry.value, where)

    def _one(self, point: Point, place: str | None, node: Node, where: Where) -> Iterator[Claim]:
        shape = self.shape
        got: Mapping[str, Node] = {"is": node}
        if isinstance(node, Map):
            keys = shape.keys(node, f"a reading of {point.id}", (), _READING_KEYS)
            if keys is None:
                return
            got = keys
            if ("is" in got) == ("same-as" in got):
                shape.note(
                    node, "reading", "neither or both of 'is' and 'same-as'", "one of them", "{is: VALUE}"
                )
                return
        known = shape.word(got.get("known"), "known", _KNOWN)
        claim = Claim(
            point=point.id,
            place=place,
            values=(),
            known=Known(known) if known else self._usual(point, where),
            on=where.on,
            visit=where.visit,
            by=shape.text(got.get("by"), "by") or where.by,
            mark=node.mark,
            instrument=shape.text(got.get("with"), "with") or "",
            note=shape.text(got.get("note"), "note") or "",
            struck=shape.text(got.get("void"), "void") or "",
        )
        if "same-as" in got:
            target = self._target(point, got["same-as"])
            if target:
                yield replace(claim, known=Known.SAME_AS, same_as=target)
            return
        nodes = each(got.get("is"))
        if not isinstance(got["is"], Map) and _says_unknown(got["is"]):
            yield replace(claim, why_unknown=claim.note or "written as unknown")
            return
        values = [read_value(shape, n, point) for n in nodes]
        if not nodes:
            shape.note(node, "reading", f"no value for {point.id}", "a value", "unknown, or delete the line")
        kept = tuple(v for v in values if v is not None)
        if len(kept) != len(nodes) or not kept:
            return
        if point.fact and len({v.same for v in kept}) > 1:
            found = f"{len(kept)} answers to {point.id}"
            shape.note(node, "one-answer", found, "one answer, or unknown", f"{point.id}: {kept[0].written}")
            return
        sure = shape.flag(got.get("sure"), "sure")
        odd = "" if sure else next((w for w in (implausible(point, v) for v in kept) if w), "")
        if odd:
            odd += "; if it is right, write {is: " + kept[0].written + ", sure: yes}"
        yield replace(claim, values=kept, why_unknown=odd)

    def _usual(self, point: Point, where: Where) -> Known:
        if where.on is None or point.access == "papers":
            return Known.PAPERS
        return Known.MEASURED if point.dimension not in ("", "date") else Known.SEEN

    def _target(self, point: Point, node: Node) -> str | None:
        if not point.lasts.permanent or point.fact:
            self.shape.note(
                node,
                "same-as",
                f"{point.id} is no permanent mark",
                "the value itself; same-as is for permanent marks",
                f"{point.id}: {{PLACE: VALUE}}",
            )
            return None
        if not isinstance(node, Text):
            self.shape.text(node, "same-as")
            return None
        return self.place(point, Entry(node, node))

    def same_as(self, claims: list[Claim]) -> None:
        """Same-as takes the values written at its target in the same visit."""
        for i, claim in enumerate(claims):
            if claim.known is not Known.SAME_AS:
                continue
            found = [
                c
                for c in claims
                if c.point == claim.point
                and c.place == claim.same_as
                and c.known is not Known.SAME_AS
                and c.values
                and not c.struck
            ]
            if not found:
                self.shape.note(
                    claim.mark,
                    "same-as",
                    f"{claim.point} at {claim.same_as} has no value of its own in this visit",
                    "a place whose value is written in the same visit",
                    "the value itself",
                )
            else:
                # What is asked back there is asked back here too.
                claims[i] = replace(claim, values=found[-1].values, why_unknown=found[-1].why_unknown)

    # -- places -------------------------------------------------------------------------------

    def place(self, point: Point, entry: Entry) -> str | None:
        """The place a key names, checked against this vehicle."""
        family = self.book.families[point.family] if point.family != VEHICLE else None
        key = entry.key.text
        if family is None:
            self.shape.note(
                entry.key,
                "place",
                f"'{key}': {point.id} is taken once for the vehicle, at no place",
                "no place: the value alone, or {is: VALUE, note: TEXT}",
                f"{point.id}: ...",
            )
            return None
        if family.kind == "spots":
            return key
        here = places_of(point.family, self.book, self.facts.get, self.listed)
        known = {p.id: p.id for p in all_places(family)} | {p.id: p.id for p in here}
        known |= {p.short: p.id for p in (*all_places(family), *here) if p.short}
        name = known.get(key)
        present = [p.id for p in here]
        if name in present:
            return name
        undecided = {f for p in all_places(family) for f, _ in p.when if f not in self.facts}
        if name is not None and family.kind == "fixed" and undecided:
            return name
        closer = [p for p in present if name and p.startswith(name)]
        expected = f"one of: {', '.join(present)}"
        if family.kind == "listed":
            expected += f"; or list it under places: {{{family.id}: [...]}}"
        found = f"'{key}' is no place of {point.id}"
        write = ""
        if name is not None:
            why = [f"{fact}: {self.facts[fact]}" for fact in self._against(family, name)]
            found = f"this vehicle has no {key} for {point.id}"
            found += f" ({', '.join(why)})" if why else ""
        else:
            closer = list(near(key, [*present, *known]))
            if key[:1].isdigit() and nothing(entry.value):
                write = "a point before decimals; a comma inside { } begins a new entry"
        self.shape.note(entry.key, "unknown-place", found, expected, write, close=closer)
        return None

    def _against(self, family: Family, name: str) -> list[str]:
        """The facts of this vehicle that leave the place out."""
        whens = [
            fact for p in family.places if p.id == name for fact, words in p.when if self._other(fact, words)
        ]
        return list(dict.fromkeys(whens))

    def _other(self, fact: str, words: tuple[str, ...]) -> bool:
        return self.facts.get(fact, words[0]) not in words

    def _example(self, point: Point) -> str:
        here = places_of(point.family, self.book, self.facts.get, self.listed)
        return here[0].id if here else "PLACE"


def nothing(node: Node | None) -> bool:
    """Whether a key is missing or has nothing after it."""
    return node is None or (isinstance(node, Text) and node.empty)


def each(node: Node | None) -> tuple[Node, ...]:
    """The items of a list, or the one value."""
    if node is None:
        return ()
    return node.items if isinstance(node, Items) else (node,)


def _says_unknown(node: Node) -> bool:
    if isinstance(node, Map):
        inner = node.get("is")
        return inner is not None and _says_unknown(inner)
    return any(isinstance(n, Text) and n.text == UNKNOWN for n in each(node))
