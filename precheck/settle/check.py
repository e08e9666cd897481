"""From a read file to a Document: every key, point, place, state, unit and date checked."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from fractions import Fraction

from precheck.model.catalogue import Day
from precheck.model.document import Claim, Document, Done, Known, NotReached, Value, Visit
from precheck.model.node import Map, Node, Source, Text
from precheck.model.problem import Problem
from precheck.read.near import near
from precheck.read.shape import Shape, kind_of, read_date
from precheck.rulebook.book import Rulebook
from precheck.rulebook.places import all_places
from precheck.settle.accepted import read_accepted
from precheck.settle.putoff import read_put_off
from precheck.settle.reading import Readings, Where, each, nothing
from precheck.settle.values import read_number

_DISTANCES = {"miles": Fraction(1609344), "km": Fraction(1000000)}  # in mm
_TOP_KEYS = ("vehicle", "places", "visits", "accepted", "put-off")
_VISIT_KEYS = ("by", "readings", "nothing-found", "not-reached", "drove", "done", "note")


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
    where = Where(day.date, 0, "case")
    facts: list[Claim] = []
    points: list[Claim] = []
    for entry in given.entries:
        point = reader.point(entry.key)
        if point is None:
            continue
        got = list(reader.reading(point, entry.value, where, anywhere=True))
        (facts if point.fact else points).extend(got)
    return tuple(facts), tuple(points)


class _Checker(Readings):
    # -- the file -----------------------------------------------------------------------------

    def document(self) -> Document | None:
        shape = self.shape
        top = shape.keys(shape.source.root, "a condition document", ("condition",), _TOP_KEYS)
        if top is None:
            return None
        shape.word(top.get("condition"), "condition (the format's version)", ("1",))
        self.listed = self._listed(top.get("places"))
        vehicle = self._vehicle(top.get("vehicle"))
        nodes = [] if nothing(top.get("visits")) else shape.items(top.get("visits"), "visits")
        dated = [(self._on(node) or self.day.date, i, node) for i, node in enumerate(nodes)]
        self._facts(vehicle, nodes)
        ordered = sorted(dated, key=lambda visit: visit[:2])
        visits = tuple(self._visit(node, on, index) for index, (on, _, node) in enumerate(ordered))
        called = next((c.values[0].written for c in vehicle if c.point == "called" and c.values), "")
        accepted = read_accepted(shape, top.get("accepted"), self.book, self.facts.get, self.listed)
        put_off = read_put_off(shape, top.get("put-off"), self.book, self.facts.get, self.listed)
        listed = tuple(self.listed.items())
        return Document(
            shape.source.name, called, vehicle, listed, visits, accepted=accepted, put_off=put_off
        )

    def _listed(self, node: Node | None) -> dict[str, tuple[str, ...]]:
        out = {}
        choices = [f.id for f in self.book.families.values() if f.kind == "listed"]
        for entry in self.shape.map(node, "places", "places: {brake-hoses: [left-front, rear]}"):
            name = self.shape.word(entry.key, "the list of places", choices)
            names = self.shape.words(entry.value, entry.key.text)
            if name is None:
                continue
            if not names:
                how = "delete the line to keep the list that vehicles of this class have"
                self.shape.note(
                    entry.key, "empty-list", f"'{name}' lists no place", "at least one place", how
                )
            self._each_once(each(entry.value))
            out[name] = names
        return out

    def _each_once(self, nodes: tuple[Node, ...]) -> None:
        seen = set()
        for node in nodes:
            text = node.text if isinstance(node, Text) else None
            if text is not None and text in seen:
                how = "delete one, or give it a name of its own"
                self.shape.note(node, "place-twice", f"'{text}' stands twice", "each place once", how)
            seen.add(text)

    def _vehicle(self, node: Node | None) -> tuple[Claim, ...]:
        if nothing(node):
            return ()
        out: list[Claim] = []
        where = Where(None, -1, "")
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
        """The date of a visit; a visit without one is noted where its keys are read."""
        written = node.get("on") if isinstance(node, Map) else None
        on = self.shape.read(written, "on", read_date)
        if written is not None and on is not None and on > self.day.date and not self.day.given:
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
        note = shape.text(got.get("note"), "note") or ""
        where = Where(on, index, by)
        claims: list[Claim] = []
        readings = got.get("readings")
        for entry in () if nothing(readings) else shape.map(readings, "readings", "readings: {POINT: VALUE}"):
            point = self.point(entry.key)
            if point is not None:
                claims += self.reading(point, entry.value, where)
        self.same_as(claims)
        not_reached = tuple(self._not_reached(got.get("not-reached")))
        claims += self._nothing_found(got.get("nothing-found"), where)
        done = tuple(self._done(got.get("done")))
        drove = self._drove(got.get("drove"))
        return Visit(index, on, by, tuple(claims), not_reached, done, drove, node.mark, note)

    def _drove(self, node: Node | None) -> Fraction | None:
        """The distance in mm; exact and not negative, because readings run out by it."""
        if node is None:
            return None
        if isinstance(node, Text):
            quantity = read_number(self.shape, node, "drove", "length", self.book.units.get("mi"))
            if quantity is None:
                return None
            low = quantity.value.low
            if low is not None and low >= 0 and quantity.value.exact:
                return low
            self._no_distance(node, f"drove is '{node.text}'", "12.5 mi")
            return None
        got = self.shape.keys(node, "drove", (), tuple(_DISTANCES))
        if got is not None and isinstance(node, Map) and len(node.entries) != 1:
            self._no_distance(node, f"drove has {len(node.entries)} distances", "{miles: 12.5}")
            return None
        for key, value in (got or {}).items():
            text = value.text if isinstance(value, Text) else ""
            head, _, tail = text.partition(".")
            if (head + tail).isascii() and (head + tail).isdigit() and len(text) <= 8:
                return Fraction(text) * _DISTANCES[key]
            self._no_distance(value, f"{key} is {kind_of(value)}", f"{key}: 12.5")
        return None

    def _no_distance(self, node: Node, found: str, write: str) -> None:
        self.shape.note(node, "drove", found, "one distance, 0 or more", write)

    def _done(self, node: Node | None) -> Iterator[Done]:
        works = list(self.book.works)
        for item in () if nothing(node) else self.shape.items(node, "done"):
            got = self.shape.keys(item, "work done", ("work",), ("at", "note"))
            work = self.shape.word(got.get("work"), "work", works) if got else None
            if got is None or work is None:
                continue
            note = self.shape.text(got.get("note"), "note") or ""
            at = tuple(self._any_place(n) for n in each(got.get("at")))
            yield Done(work, tuple(p for p in at if p), item.mark, note)

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
            () if nothing(node) else self.shape.map(node, "not-reached", "not-reached: {POINT: why}")
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

    def _system(self, key: Text, systems: list[str]) -> str | None:
        if key.text not in systems and any(
            p.system == key.text and not p.fact for p in self.book.points.values()
        ):
            self.shape.note(
                key,
                "covers-nothing",
                f"nothing of {key.text} is cleared by a look; it is measured, tried or named point by point",
                f"readings by name, or one of: {', '.join(systems)}",
            )
            return None
        return self.shape.word(key, "the system", systems)

    def _nothing_found(self, node: Node | None, where: Where) -> Iterator[Claim]:
        clear = [p for p in self.book.points.values() if p.clear is not None]
        systems = sorted({p.system for p in clear})
        entries = (
            () if nothing(node) else self.shape.map(node, "nothing-found", "nothing-found: {brakes: under}")
        )
        for entry in entries:
            system = self._system(entry.key, systems)
            for item in each(entry.value):
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
