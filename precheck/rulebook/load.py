"""Loads rules/ and local rule files into one checked Rulebook."""

from __future__ import annotations

import hashlib
from collections.abc import Callable, Iterable, Mapping, Sequence
from pathlib import Path
from typing import Protocol, TypeVar

from precheck.model.catalogue import (
    Access,
    Caution,
    Clause,
    Derived,
    Family,
    LimitKind,
    Point,
    Region,
    Use,
    Work,
)
from precheck.model.catalogue import Source as RuleSource
from precheck.model.changes import Change
from precheck.model.node import Node, Source
from precheck.model.parts import Hand, PartKind
from precheck.model.problem import Mark, Problem, Problems
from precheck.model.record import replace
from precheck.model.rules import Rule
from precheck.read.files import read_file
from precheck.read.quantity import Units
from precheck.read.shape import Shape
from precheck.rulebook import cache, changes, lint, words
from precheck.rulebook.book import Policy, Rulebook
from precheck.rulebook.limits import Measure
from precheck.rulebook.parts import read_hand, read_part
from precheck.rulebook.points import read_derived, read_fact, read_point
from precheck.rulebook.rules import RuleReader
from precheck.rulebook.uses import read_uses


class _Named(Protocol):
    @property
    def id(self) -> str: ...


N = TypeVar("N", bound=_Named)

_DOES = ("add", *changes.KINDS)  # what a local file can do
_LOCAL = ("typical", *_DOES)


def rules_folder() -> Path:
    """The rules that came with precheck: beside the package in a checkout, inside it in a wheel."""
    package = Path(__file__).resolve().parent.parent
    for folder in (package / "data" / "rules", package.parent / "rules"):
        if (folder / "uses.yaml").is_file():
            return folder
    raise FileNotFoundError("the rules/ that belong to precheck are missing; install it again")


def load(
    folder: Path | None = None, added: Sequence[Path] = (), opened: dict[str, Source] | None = None
) -> Rulebook:
    """Read the library in `folder` and local rule files. `opened` gets the library's files by name.

    Raises `Problems` with everything found wrong in any of the files.
    """
    book = _Loader(folder or rules_folder(), opened=opened).book()
    return extend(book, added) if added else book


def load_quickly(added: Sequence[Path] = ()) -> Rulebook:
    """Like `load` for the library that came with precheck, without the cases of its rules.

    The library is taken from a cache that is keyed by the content of every file of rules/.
    """
    folder = rules_folder()
    book = cache.get(folder, lambda: load(folder))
    return extend(book, added) if added else book


def extend(book: Rulebook, added: Sequence[Path]) -> Rulebook:
    """The rulebook with local rule files. Raises `Problems`."""
    return _Loader(None, book).extended(added)


class _Loader:
    def __init__(
        self, folder: Path | None, base: Rulebook | None = None, opened: dict[str, Source] | None = None
    ) -> None:
        self.opened: dict[str, Source] = {} if opened is None else opened
        self.folder = folder or Path()
        self.base = base
        self.problems: list[Problem] = []
        self.hash = hashlib.sha256(base.digest.encode() if base else b"")
        self.shapes: dict[str, Shape] = {}
        self.units: Units | None = base.units if base else None
        self.rules: dict[str, Rule] = dict(base.rules) if base else {}

    # -- files --------------------------------------------------------------------------------

    def open(self, path: Path, name: str) -> Source | None:
        source, problems = read_file(path, name)
        self.problems += problems
        if source is not None:
            self.opened[name] = source
            self.hash.update(name.encode())
            self.hash.update("\n".join(source.lines).encode("utf-8", "replace"))
        return source

    def shape(self, path: Path, name: str) -> Shape | None:
        source = self.open(path, name)
        if source is None:
            return None
        shape = Shape(source, self.units)
        self.shapes[name] = shape
        return shape

    def top(self, stem: str) -> Shape | None:
        return self.shape(self.folder / f"{stem}.yaml", f"rules/{stem}.yaml")

    def named(self, stem: str, key: str, reader: Callable[[Shape, Node], N | None]) -> dict[str, N]:
        shape = self.top(stem)
        return self.collect(shape, words.listed(shape, shape.source.root, key), reader) if shape else {}

    def collect(
        self, shape: Shape, nodes: Iterable[Node], reader: Callable[[Shape, Node], N | None]
    ) -> dict[str, N]:
        out: dict[str, N] = {}
        for node in nodes:
            thing = reader(shape, node)
            if thing is None:
                continue
            if thing.id in out:
                shape.note(node, "duplicate-id", f"'{thing.id}' stands twice", "an id of its own")
            out[thing.id] = thing
        return out

    def stop_if_wrong(self) -> None:
        found = [*self.problems, *(p for s in self.shapes.values() for p in s.problems)]
        if found:
            raise Problems(tuple(found))

    # -- the book -----------------------------------------------------------------------------

    def book(self) -> Rulebook:
        units_source = self.open(self.folder / "units.yaml", "rules/units.yaml")
        if units_source is None:
            raise Problems(tuple(self.problems))
        self.units = Units.load(units_source)
        sources: dict[str, RuleSource] = self.named("sources", "sources", words.read_source)
        cautions: dict[str, Caution] = self.named("cautions", "cautions", words.read_caution)
        regions: dict[str, Region] = self.named("regions", "regions", words.read_region)
        works: dict[str, Work] = self.named("work", "work", words.read_work)
        access, families = self.places()
        parts, hands = self.parts()
        points = self.points()
        derived: dict[str, Derived] = self.named("derived", "derived", read_derived)
        kinds, uses, policy = self.uses()
        self.stop_if_wrong()
        assert policy is not None
        reader = self.reader(points, derived, kinds, uses, sources)
        clauses = self.library(reader)
        self.stop_if_wrong()
        book = Rulebook(
            self.units,
            points,
            derived,
            families,
            access,
            kinds,
            uses,
            policy,
            sources,
            clauses,
            cautions,
            regions,
            works,
            self.rules,
            self.hash.hexdigest()[:16],
            ends(points, works),
            parts=parts,
            hands=hands,
        )
        return self.checked(book)

    def checked(self, book: Rulebook) -> Rulebook:
        problems = lint.check(book, self.shapes)
        if problems:
            raise Problems(problems)
        return book

    def places(self) -> tuple[dict[str, Access], dict[str, Family]]:
        shape = self.top("places")
        top = shape.keys(shape.source.root, "places.yaml", ("access", "families")) if shape else None
        if shape is None or top is None:
            return {}, {}
        access = self.collect(shape, shape.items(top.get("access"), "access"), words.read_access)
        families = self.collect(shape, shape.items(top.get("families"), "families"), words.read_family)
        return access, families

    def parts(self) -> tuple[dict[str, PartKind], dict[str, Hand]]:
        shape = self.top("parts")
        top = shape.keys(shape.source.root, "parts.yaml", ("parts", "hands")) if shape else None
        if shape is None or top is None:
            return {}, {}
        parts = self.collect(shape, shape.items(top.get("parts"), "parts"), read_part)
        hands = self.collect(shape, shape.items(top.get("hands"), "hands"), read_hand)
        return parts, hands

    def points(self) -> dict[str, Point]:
        points: dict[str, Point] = self.named("facts", "facts", read_fact)
        for path in sorted((self.folder / "points").glob("*.yaml")):
            shape = self.shape(path, f"rules/points/{path.name}")
            top = shape.keys(shape.source.root, "a file of points", ("system", "points")) if shape else None
            if shape is None or top is None:
                continue
            system = shape.text(top.get("system"), "system") or path.stem
            nodes = shape.items(top.get("points"), "points")
            got = self.collect(shape, nodes, lambda s, n, system=system: read_point(s, n, system))  # type: ignore[misc]
            for name in got.keys() & points.keys():
                shape.note(Mark(1, 1), "duplicate-id", f"'{name}' stands in another file too", "one place")
            points.update(got)
        return points

    def uses(self) -> tuple[dict[str, LimitKind], dict[str, Use], Policy | None]:
        shape = self.top("uses")
        return read_uses(shape, shape.source.root) if shape else ({}, {}, None)

    def reader(
        self,
        points: Mapping[str, Point],
        derived: Mapping[str, Derived],
        kinds: Mapping[str, LimitKind],
        uses: Mapping[str, Use],
        sources: Mapping[str, RuleSource],
    ) -> Callable[[Shape], RuleReader]:
        """Makes a reader of rules for one file."""
        things: dict[str, Point | Derived] = {**points, **derived}
        measures = {name: Measure.of(thing) for name, thing in things.items()}
        family_of = {name: thing.family for name, thing in things.items()}
        floor = frozenset(s.id for s in sources.values() if s.floor)
        return lambda shape: RuleReader(shape, measures, family_of, uses, kinds, floor)

    def take(self, reader: RuleReader, nodes: Sequence[Node], typical: Node | None, system: str) -> None:
        for rule in reader.rules(nodes, typical, system):
            other = self.rules.get(rule.id)
            if other is not None:
                found = f"rule '{rule.id}' stands at {other.file}:{other.mark.line} too"
                reader.shape.note(rule.mark, "duplicate-id", found, "an id of its own")
            self.rules[rule.id] = rule

    def library(self, reader: Callable[[Shape], RuleReader]) -> tuple[Clause, ...]:
        """The rules and clause registers of every source's folder."""
        clauses: list[Clause] = []
        for path in sorted(self.folder.glob("*/*.yaml")):
            if path.parent.name == "points":
                continue
            shape = self.shape(path, f"rules/{path.parent.name}/{path.name}")
            if shape is None:
                continue
            if path.name == "clauses.yaml":
                clauses += words.read_clauses(shape, shape.source.root)
                continue
            top = shape.keys(shape.source.root, "a rule file", ("rules",), ("typical",))
            if top:
                nodes = shape.items(top.get("rules"), "rules")
                self.take(reader(shape), nodes, top.get("typical"), path.stem)
        return tuple(clauses)

    def extended(self, added: Sequence[Path]) -> Rulebook:
        """Rules of all files first, then changes: a file may change what another adds."""
        book = self.base
        assert book is not None
        reader = self.reader(book.points, book.derived, book.limit_kinds, book.uses, book.sources)
        sources = dict(book.sources)
        files: list[tuple[Shape, dict[str, Node], RuleSource]] = []
        for path in added:
            shape = self.shape(path, str(path))
            top = (
                shape.keys(shape.source.root, "a local rule file", ("rules", "source"), _LOCAL)
                if shape
                else None
            )
            if shape is None or top is None:
                continue
            shape.word(top.get("rules"), "rules (the format's version)", ("1",))
            if not any(key in top for key in _DOES):
                shape.note(
                    shape.source.root,
                    "empty",
                    "this file adds and changes nothing",
                    f"one of: {', '.join(_DOES)}",
                )
            source = self.local_source(shape, top.get("source"), sources)
            self.own_rules(reader(shape), top, source, changes.built_in_names(book))
            if source is not None:
                files.append((shape, top, source))
        things: dict[str, Point | Derived] = {**book.points, **book.derived}
        measures = {name: Measure.of(thing) for name, thing in things.items()}
        found: list[Change] = []
        readers = []
        for shape, top, source in files:
            readers.append(changes.ChangeReader(shape, source, book, self.rules, measures))
            found += readers[-1].read(top, sources)
        changes.note_twice(readers)
        self.stop_if_wrong()
        digest = self.hash.hexdigest()[:16]
        return self.checked(
            replace(book, rules=self.rules, sources=sources, digest=digest, changes=tuple(found))
        )

    def local_source(
        self, shape: Shape, node: Node | None, sources: dict[str, RuleSource]
    ) -> RuleSource | None:
        """The source of a local file, put among `sources` under an id of its own."""
        source = words.read_source(shape, node) if node is not None else None
        if source is None or node is None:
            return None
        if source.id in sources:
            found = f"source '{source.id}' is known already"
            shape.note(node, "duplicate-id", found, "another id")
            return None
        if source.floor:
            shape.note(node, "floor", "a local file is never the floor", "no 'floor: yes' here")
        sources[source.id] = own(source, shape.source.name)
        return sources[source.id]

    def own_rules(
        self, reader: RuleReader, top: Mapping[str, Node], source: RuleSource | None, taken: frozenset[str]
    ) -> None:
        """The rules a local file adds; each cites the file's own source, under a free name."""
        shape, before = reader.shape, set(self.rules)
        self.take(reader, shape.items(top.get("add"), "add"), top.get("typical"), "own")
        for name in self.rules.keys() - before:
            rule = self.rules[name]
            if name in taken or name.startswith(changes.COMBINED):
                shape.note(rule.mark, "duplicate-id", f"'{name}' is built in", "an id of its own")
            for cite in rule.cites:
                if source is not None and cite.source != source.id:
                    found = f"rule '{name}' cites '{cite.source}'"
                    shape.note(rule.mark, "foreign-source", found, f"this file's own source, '{source.id}'")


def own(source: RuleSource, file: str) -> RuleSource:
    """A source from a person's file: never the floor, and `own` unless it names an official address.

    Whatever it says of itself, it is shown as stated by that file.
    """
    official = source.address.startswith("https://")
    kind = source.kind if official else "own"
    title = f"{source.title}, as stated by {file}"
    return replace(source, title=title, kind=kind, floor=False, own=True)


def ends(points: Mapping[str, Point], works: Mapping[str, Work]) -> dict[str, frozenset[str]]:
    """For each point the work and events that void its earlier readings."""
    out: dict[str, set[str]] = {name: set(point.ends) for name, point in points.items()}
    for work in works.values():
        for name in work.voids:
            out.setdefault(name, set()).add(work.id)
    return {name: frozenset(found) for name, found in out.items()}
