"""From a read file to a Document: every key, point, place, state, unit and date checked."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from datetime import date
from fractions import Fraction

from precheck.model.catalogue import VEHICLE, Day, Point
from precheck.model.document import Claim, Document, Done, Known, NotReached, Value, Visit
from precheck.model.node import Entry, Items, Map, Node, Source, Text
from precheck.model.problem import Problem
from precheck.read.near import near
from precheck.read.shape import Shape, read_date
from precheck.rulebook.book import Rulebook
from precheck.rulebook.places import all_places, places_of
from precheck.settle.values import UNKNOWN, implausible, read_value

_READING_KEYS = ("is", "same-as", "note", "with", "known", "by", "void", "sure")
_KNOWN = tuple(k.value for k in Known if k is not Known.SAME_AS)
_VISIT_KEYS = ("by", "readings", "nothing-found", "not-reached", "drove", "done", "note")


@dataclass(frozen=True, slots=True)
class _Where:
    """The visit a reading stands in; None for the undated `vehicle:` block."""

    on: date | None
    visit: int
    by: str


def check(source: Source, book: Rulebook, day: Day) -> tuple[Document | None, tuple[Problem, ...]]:
    """The document, and every problem found; the document only where there are none."""
    reader = _Checker(Shape(source, book.units), book, day)
    document = reader.document()
    if reader.shape.problems:
        return None, tuple(sorted(reader.shape.problems, key=lambda p: p.order))
    return document, ()


def claims_of_case(
    shape: Shape, book: Rulebook, given: Map, day: Day
) -> tuple[tuple[Claim, ...], tuple[Claim, ...]]:
    """The facts and readings of a rule's case, as claims of one visit on the day."""
    reader = _Checker(shape, book, day)
    where = _Where(day.date, 0, "case")
    facts: list[Claim] = []
    points: list[Claim] = []
    for entry in given.entries:
        point = reader.point(entry.key)
        if point is None:
            continue
        got = list(reader.reading(point, entry.value, where, anywhere=True))
        (facts if point.fact else points).extend(got)
    return tuple(facts), tuple(points)


class _Checker:
    def __init__(self, shape: Shape, book: Rulebook, day: Day) -> None:
        self.shape = shape
        self.book = book
        self.day = day
        self.facts: dict[str, str] = {p.id: p.default for p in book.points.values() if p.fact and p.default}
        self.listed: dict[str, tuple[str, ...]] = {}

    # -- the file -----------------------------------------------------------------------------

    def document(self) -> Document | None:
        shape = self.shape
        top = shape.keys(
            shape.source.root, "a condition document", ("condition",), ("vehicle", "places", "visits")
        )
        if top is None:
            return None
        shape.word(top.get("condition"), "condition (the format's version)", ("1",))
        self.listed = self._listed(top.get("places"))
        vehicle = self._vehicle(top.get("vehicle"))
        nodes = [] if _nothing(top.get("visits")) else shape.items(top.get("visits"), "visits")
        dated = [(self._on(node), i, node) for i, node in enumerate(nodes)]
        self._facts(vehicle, nodes)
        ordered = sorted(((on, i, node) for on, i, node in dated if on is not None), key=lambda v: v[:2])
        visits = tuple(self._visit(node, on, index) for index, (on, _, node) in enumerate(ordered))
        called = next((c.values[0].written for c in vehicle if c.point == "called" and c.values), "")
        return Document(shape.source.name, called, vehicle, tuple(self.listed.items()), visits)

    def _listed(self, node: Node | None) -> dict[str, tuple[str, ...]]:
        out = {}
        choices = [f.id for f in self.book.families.values() if f.kind == "listed"]
        for entry in self.shape.map(node, "places", "places: {brake-hoses: [left-front, rear]}"):
            name = self.shape.word(entry.key, "a list of places", choices)
            names = self.shape.words(entry.value, entry.key.text)
            if name is None:
                continue
            if not names:
                self.shape.note(entry.key, "empty-list", f"'{name}' lists no place", "at least one place")
            for twice in sorted({n for n in names if names.count(n) > 1}):
                self.shape.note(entry.value, "place-twice", f"'{twice}' stands twice", "each place once")
            out[name] = names
        return out

    def _vehicle(self, node: Node | None) -> tuple[Claim, ...]:
        if _nothing(node):
            return ()
        out: list[Claim] = []
        where = _Where(None, -1, "")
        for entry in self.shape.map(node, "vehicle", "vehicle: {called: NAME, region: us}"):
            point = self.point(entry.key)
            if point is None:
                continue
            if not point.fact:
                self.shape.note(
                    entry.key,
                    "not-a-fact",
                    f"'{point.id}' is looked at or measured, it is no fact of the vehicle",
                    "facts here, readings under a visit",
                    f"visits: [{{on: {self.day.date}, readings: {{{point.id}: ...}}}}]",
                )
                continue
            out += self.reading(point, entry.value, where)
        return tuple(out)

    def _on(self, node: Node) -> date | None:
        if not isinstance(node, Map):
            self.shape.keys(node, "a visit", ("on",), _VISIT_KEYS)
            return None
        written = node.get("on")
        if written is None:
            self.shape.keys(node, "a visit", ("on",), _VISIT_KEYS)
            return None
        on = self.shape.read(written, "on", read_date)
        if on is not None and on > self.day.date and not self.day.given:
            self.shape.note(
                written,
                "visit-after-day",
                f"this visit is dated {on}, after the day judged, {self.day.date}",
                "a visit on or before the day",
                f"mend the date, or say --on {on} if you mean to judge that day",
            )
        return on

    def _facts(self, vehicle: tuple[Claim, ...], nodes: object) -> None:
        """The last thing said of each fact, for making places; settle decides what counts."""
        for claim in vehicle:
            self._fact(claim.point, claim.values[0].state if claim.values else None)
        for node in nodes if isinstance(nodes, list | tuple) else ():
            readings = node.get("readings") if isinstance(node, Map) else None
            for entry in readings.entries if isinstance(readings, Map) else ():
                value = entry.value.get("is") if isinstance(entry.value, Map) else entry.value
                point = self.book.points.get(entry.key.text)
                if point and point.fact and isinstance(value, Text):
                    self._fact(point.id, value.text if value.text in point.states else None)

    def _fact(self, name: str, state: str | None) -> None:
        if state is None:
            self.facts.pop(name, None)
        else:
            self.facts[name] = state

    # -- a visit ------------------------------------------------------------------------------

    def _visit(self, node: Node, on: date, index: int) -> Visit:
        shape = self.shape
        got = shape.keys(node, "a visit", ("on",), _VISIT_KEYS) or {}
        by = shape.text(got.get("by"), "by") or ""
        where = _Where(on, index, by)
        claims: list[Claim] = []
        readings = got.get("readings")
        for entry in (
            () if _nothing(readings) else shape.map(readings, "readings", "readings: {POINT: VALUE}")
        ):
            point = self.point(entry.key)
            if point is not None:
                claims += self.reading(point, entry.value, where)
        self._same_as(claims)
        not_reached = tuple(self._not_reached(got.get("not-reached")))
        claims += self._nothing_found(got.get("nothing-found"), where)
        done = tuple(self._done(got.get("done")))
        return Visit(
            index, on, by, tuple(claims), not_reached, done, self._drove(got.get("drove")), node.mark
        )

    def _drove(self, node: Node | None) -> Fraction | None:
        if node is None:
            return None
        if isinstance(node, Text):
            quantity = self.shape.quantity(node, "drove", "length")
            return quantity.value.low if quantity else None
        got = self.shape.keys(node, "drove", (), ("miles", "km"))
        for key, factor in (("miles", Fraction(1609344)), ("km", Fraction(1000000))):
            value = got.get(key) if got else None
            if isinstance(value, Text):
                head, _, tail = value.text.partition(".")
                if (head + tail).isascii() and (head + tail).isdigit() and len(value.text) <= 8:
                    return Fraction(value.text) * factor
                self.shape.note(value, "drove", f"'{value.text}' is no distance", "a number", f"{key}: 12.5")
        return None

    def _done(self, node: Node | None) -> Iterator[Done]:
        works = list(self.book.works)
        for item in () if _nothing(node) else self.shape.items(node, "done"):
            got = self.shape.keys(item, "work done", ("work",), ("at", "note"))
            work = self.shape.word(got.get("work"), "work", works) if got else None
            if got is None or work is None:
                continue
            at = tuple(self._any_place(n) for n in _each(got.get("at")))
            yield Done(work, tuple(p for p in at if p), item.mark)

    def _any_place(self, node: Node) -> str | None:
        text = self.shape.text(node, "at")
        if text is None:
            return None
        choices: dict[str, str] = {}
        for family in self.book.families.values():
            for place in all_places(family):
                choices[place.id] = place.id
                if place.short:
                    choices[place.short] = place.id
        for names in self.listed.values():
            choices.update((n, n) for n in names)
        if text not in choices:
            self.shape.note(
                node,
                "unknown-place",
                f"'{text}' is no place",
                "a place such as left-rear",
                close=near(text, choices),
            )
        return choices.get(text)

    def _not_reached(self, node: Node | None) -> Iterator[NotReached]:
        for entry in (
            () if _nothing(node) else self.shape.map(node, "not-reached", "not-reached: {POINT: why}")
        ):
            point = self.point(entry.key)
            if point is None:
                continue
            if isinstance(entry.value, Map):
                for inner in entry.value.entries:
                    place = self.place(point, inner)
                    why = self.shape.text(inner.value, "why it was not reached")
                    if place and why:
                        yield NotReached(point.id, place, why)
            else:
                why = self.shape.text(entry.value, "why it was not reached")
                if why:
                    yield NotReached(point.id, None, why)

    def _nothing_found(self, node: Node | None, where: _Where) -> Iterator[Claim]:
        clear = [p for p in self.book.points.values() if p.clear is not None]
        systems = sorted({p.system for p in clear})
        entries = (
            () if _nothing(node) else self.shape.map(node, "nothing-found", "nothing-found: {brakes: under}")
        )
        for entry in entries:
            system = self.shape.word(entry.key, "a system", systems)
            for item in _each(entry.value):
                access = self.shape.word(item, "where you were", list(self.book.access))
                if system is None or access is None:
                    continue
                points = [p for p in clear if p.system == system and p.access == access]
                if not points:
                    places = sorted({p.access for p in clear if p.system == system})
                    self.shape.note(
                        item,
                        "covers-nothing",
                        f"nothing of {system} is cleared by a look from '{access}'",
                        f"one of: {', '.join(places)}",
                    )
                for point in points:
                    value = Value(point.clear or "", state=point.clear)
                    yield Claim(
                        point.id, None, (value,), Known.SEEN, where.on, where.visit, where.by, item.mark,
                        clear_of=access,
                    )  # fmt: skip

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

    def reading(self, point: Point, node: Node, where: _Where, anywhere: bool = False) -> Iterator[Claim]:
        """The claims of one entry of `readings:`; `anywhere` lets a number speak for all places."""
        by_place = isinstance(node, Map) and not any(e.key.text in _READING_KEYS for e in node.entries)
        if by_place and isinstance(node, Map):
            if point.family == VEHICLE:
                self.shape.keys(node, f"a reading of {point.id}", (), _READING_KEYS)
                return
            for entry in node.entries:
                place = self.place(point, entry)
                if place is not None:
                    yield from self._one(point, place, entry.value, where)
            return
        if point.family == VEHICLE:
            yield from self._one(point, VEHICLE, node, where)
            return
        if not point.states and not anywhere and not _says_unknown(node):
            self.shape.note(
                node,
                "place-missing",
                f"{point.id} is taken at each place, and no place is said",
                "a value for each place; one value for all places is for states only",
                f"{point.id}: {{{self._example(point)}: ...}}",
            )
            return
        yield from self._one(point, None, node, where)

    def _one(self, point: Point, place: str | None, node: Node, where: _Where) -> Iterator[Claim]:
        shape = self.shape
        got: Mapping[str, Node] = {"is": node}
        if isinstance(node, Map):
            keys = shape.keys(node, f"a reading of {point.id}", (), _READING_KEYS)
            if keys is None:
                return
            got = keys
            if ("is" in got) == ("same-as" in got):
                shape.note(node, "reading", "neither or both of 'is' and 'same-as'", "{is: VALUE}")
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
        nodes = _each(got.get("is"))
        if _says_unknown(got["is"]):
            yield replace(claim, why_unknown=claim.note or "written as unknown")
            return
        values = [read_value(shape, n, point) for n in nodes]
        if not nodes:
            shape.note(node, "reading", f"no value for {point.id}", "a value, or unknown")
        kept = tuple(v for v in values if v is not None)
        if len(kept) != len(nodes) or not kept:
            return
        sure = shape.flag(got.get("sure"), "sure")
        odd = "" if sure else next((w for w in (implausible(point, v) for v in kept) if w), "")
        if odd:
            odd += "; if it is right, write {is: " + kept[0].written + ", sure: yes}"
        yield replace(claim, values=kept, why_unknown=odd)

    def _usual(self, point: Point, where: _Where) -> Known:
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
            )
            return None
        if not isinstance(node, Text):
            self.shape.text(node, "same-as")
            return None
        return self.place(point, Entry(node, node))

    def _same_as(self, claims: list[Claim]) -> None:
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
            ]
            if not found:
                self.shape.note(
                    claim.mark,
                    "same-as",
                    f"{claim.point} at {claim.same_as} has no value of its own in this visit",
                    "a place whose value is written in the same visit",
                )
            else:
                claims[i] = replace(claim, values=found[-1].values)

    # -- places -------------------------------------------------------------------------------

    def place(self, point: Point, entry: Entry) -> str | None:
        """The place a key names, checked against this vehicle."""
        family = self.book.families[point.family] if point.family != VEHICLE else None
        key = entry.key.text
        if family is None:
            self.shape.note(entry.key, "place", f"{point.id} is read once for the vehicle", "no place")
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
        closer = [p for p in present if name and p.startswith(name)] or list(near(key, [*present, *known]))
        listing = ", ".join(present)
        extra = f"; or list it under places: {{{family.id}: [...]}}" if family.kind == "listed" else ""
        found = f"'{key}' is no place of {point.id}"
        if name is not None:
            found = f"this vehicle has no {key} for {point.id}"
        self.shape.note(entry.key, "unknown-place", found, f"one of: {listing}{extra}", close=closer)
        return None

    def _example(self, point: Point) -> str:
        here = places_of(point.family, self.book, self.facts.get, self.listed)
        return here[0].id if here else "PLACE"


def _nothing(node: Node | None) -> bool:
    return node is None or (isinstance(node, Text) and node.empty)


def _each(node: Node | None) -> tuple[Node, ...]:
    if node is None:
        return ()
    return node.items if isinstance(node, Items) else (node,)


def _says_unknown(node: Node) -> bool:
    if isinstance(node, Map):
        inner = node.get("is")
        return inner is not None and _says_unknown(inner)
    return any(isinstance(n, Text) and n.text == UNKNOWN for n in _each(node))
