"""Loaders of the small word lists: sources, registers, cautions, regions, work, access, families."""

from __future__ import annotations

from precheck.model.catalogue import (
    VEHICLE,
    Access,
    Caution,
    Clause,
    Family,
    Later,
    Place,
    Region,
    Source,
    Work,
)
from precheck.model.node import Node, Text
from precheck.read.shape import Shape

CHECKED = ("text", "secondary", "memory")
SOURCE_KINDS = ("law", "regulation", "standard", "manual", "handbook", "common practice", "own")
CLAUSE_STATUS = ("not-checkable", "other-vehicles", "design-only", "pending")


def listed(shape: Shape, root: Node, key: str) -> tuple[Node, ...]:
    """The list under the one key of a file."""
    top = shape.keys(root, "this file", (key,))
    return shape.items(top.get(key), f"'{key}'") if top else ()


def read_source(shape: Shape, node: Node) -> Source | None:
    got = shape.keys(
        node,
        "a source",
        ("id", "title", "kind", "publisher", "edition", "address", "binds"),
        ("region", "service", "by-name", "floor", "note"),
    )
    if got is None:
        return None
    name = shape.text(got.get("id"), "id")
    kind = shape.word(got.get("kind"), "kind", SOURCE_KINDS)
    binds = shape.word(got.get("binds"), "binds", ("road", "inspection", "nobody"))
    if name is None or kind is None or binds is None:
        return None
    region = shape.text(got.get("region"), "region")
    return Source(
        name,
        shape.text(got.get("title"), "title") or "",
        kind,
        shape.text(got.get("publisher"), "publisher") or "",
        shape.text(got.get("edition"), "edition") or "",
        shape.text(got.get("address"), "address") or "",
        None if region in (None, "any") else region,
        binds,
        shape.text(got.get("service"), "service"),
        shape.flag(got.get("floor"), "floor"),
        kind == "own",
        shape.text(got.get("note"), "note") or "",
        shape.flag(got.get("by-name"), "by-name"),
    )


def read_clauses(shape: Shape, root: Node) -> tuple[Clause, ...]:
    top = shape.keys(root, "a clause register", ("source", "clauses"))
    if top is None:
        return ()
    source = shape.text(top.get("source"), "source") or ""
    out = []
    for node in shape.items(top.get("clauses"), "'clauses'"):
        got = shape.keys(node, "a clause", ("clause", "words"), ("rules", "status", "why"))
        if got is None:
            continue
        rules = shape.words(got.get("rules"), "rules")
        status = shape.word(got.get("status"), "status", CLAUSE_STATUS) or ""
        why = shape.text(got.get("why"), "why") or ""
        if not rules and not (status and why):
            shape.note(
                node,
                "clause-without-status",
                "a clause with neither rules nor a status with a word why",
                "rules: [...] or status: ... with why: ...",
                "status: pending, why: ...",
            )
        out.append(
            Clause(
                source,
                shape.text(got.get("clause"), "clause") or "",
                shape.text(got.get("words"), "words") or "",
                rules,
                status,
                why,
            )
        )
    return tuple(out)


def read_caution(shape: Shape, node: Node) -> Caution | None:
    got = shape.keys(node, "a caution", ("id", "text", "source", "checked"))
    if got is None:
        return None
    return Caution(
        shape.text(got.get("id"), "id") or "",
        shape.text(got.get("text"), "text") or "",
        shape.text(got.get("source"), "source") or "",
        shape.word(got.get("checked"), "checked", CHECKED) or "memory",
    )


def read_region(shape: Shape, node: Node) -> Region | None:
    got = shape.keys(node, "a region", ("id", "words", "inspects", "ask"), ("includes",))
    if got is None:
        return None
    return Region(
        shape.text(got.get("id"), "id") or "",
        shape.text(got.get("words"), "words") or "",
        shape.words(got.get("includes"), "includes"),
        shape.text(got.get("inspects"), "inspects") or "",
        shape.text(got.get("ask"), "ask") or "",
    )


def read_work(shape: Shape, node: Node) -> Work | None:
    optional = ("event", "voids", "again", "everywhere", "both-sides", "later", "advice")
    got = shape.keys(node, "a kind of work", ("id", "words"), optional)
    if got is None:
        return None
    return Work(
        shape.text(got.get("id"), "id") or "",
        shape.text(got.get("words"), "words") or "",
        shape.words(got.get("voids"), "voids"),
        shape.words(got.get("again"), "again"),
        shape.flag(got.get("everywhere"), "everywhere"),
        shape.flag(got.get("event"), "event"),
        tuple(x for n in shape.items(got.get("later"), "later") if (x := _read_later(shape, n))),
        shape.text(got.get("advice"), "advice") or "",
        shape.flag(got.get("both-sides"), "both-sides"),
    )


def _read_later(shape: Shape, node: Node) -> Later | None:
    got = shape.keys(node, "a later look", ("point", "words"), ("days", "miles"))
    if got is None:
        return None
    if ("days" in got) == ("miles" in got):
        shape.note(node, "later", "a later look says either days or miles", "days: 1, or miles: 50 mi")
    miles = shape.quantity(got.get("miles"), "miles", "length")
    return Later(
        shape.text(got.get("point"), "point") or "",
        shape.text(got.get("words"), "words") or "",
        shape.whole(got.get("days"), "days") if "days" in got else None,
        miles.value.low if miles else None,
    )


def read_access(shape: Shape, node: Node) -> Access | None:
    got = shape.keys(node, "an access position", ("id", "words"), ("needs", "cautions"))
    if got is None:
        return None
    return Access(
        shape.text(got.get("id"), "id") or "",
        shape.text(got.get("words"), "words") or "",
        shape.text(got.get("needs"), "needs"),
        shape.words(got.get("cautions"), "cautions"),
    )


def read_place(shape: Shape, node: Node) -> Place | None:
    """A place: an id alone, or a mapping with words, short name, `up` and `when`."""
    if isinstance(node, Text):
        name = shape.text(node, "a place")
        return Place(name, name.replace("-", " ")) if name else None
    got = shape.keys(node, "a place", ("id",), ("words", "short", "up", "when"))
    if got is None:
        return None
    name = shape.text(got.get("id"), "id") or ""
    when = tuple(
        (entry.key.text, shape.words(entry.value, f"when {entry.key.text}"))
        for entry in shape.map(got.get("when"), "when")
    )
    return Place(
        name,
        shape.text(got.get("words"), "words") or name.replace("-", " "),
        shape.text(got.get("short"), "short") or "",
        shape.text(got.get("up"), "up") or "",
        when,
    )


def read_places(shape: Shape, node: Node | None, what: str) -> tuple[Place, ...]:
    got = [read_place(shape, n) for n in shape.items(node, what)]
    return tuple(p for p in got if p is not None)


def read_family(shape: Shape, node: Node) -> Family | None:
    got = shape.keys(node, "a family of places", ("id", "kind", "words"), ("places", "default"))
    if got is None:
        return None
    kind = shape.word(got.get("kind"), "kind", ("fixed", "listed", "spots"))
    name = shape.text(got.get("id"), "id")
    if kind is None or name is None:
        return None
    if name == VEHICLE:
        shape.note(node, "built-in-family", "'vehicle' is built in", "another id")
    if kind == "fixed" and "places" not in got:
        shape.note(node, "missing-key", "a fixed family has no 'places'", "places: [...]")
    if kind == "listed" and "default" not in got:
        shape.note(node, "missing-key", "a listed family has no 'default'", "default: {any: [...]}")
    by_class = tuple(
        (entry.key.text, read_places(shape, entry.value, "default"))
        for entry in shape.map(got.get("default"), "default")
    )
    return Family(
        name,
        kind,
        shape.text(got.get("words"), "words") or "",
        read_places(shape, got.get("places"), "places"),
        by_class,
    )
