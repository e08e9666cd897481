"""Reads `accepted:` of a condition document: findings that somebody answers for, for a use and a time.

Only practice outside the floor can be accepted: no law, no regulation, nothing built in. An acceptance takes
off what the finding blocks; its limits stay, and what was never looked at stays open.
"""

from __future__ import annotations

from collections.abc import Mapping

from precheck.model.catalogue import VEHICLE
from precheck.model.changes import Change, ChangeKind
from precheck.model.node import Items, Node, Text
from precheck.model.problem import Mark
from precheck.model.rules import Rule
from precheck.read.near import near
from precheck.read.shape import Shape
from precheck.rulebook.book import Rulebook
from precheck.rulebook.changes import STANDING, find_rule, of_floor, read_span, standing_of
from precheck.rulebook.places import StateOf, all_places, places_of

_NEEDED = ("rule", "by", "because", "until", "use")


def read_accepted(
    shape: Shape, node: Node | None, book: Rulebook, state: StateOf, listed: Mapping[str, tuple[str, ...]]
) -> tuple[Change, ...]:
    """The acceptances of a document; `state` and `listed` make the places of its vehicle."""
    reader = _Reader(shape, book, state, listed)
    found = [reader.entry(item) for item in shape.items(node, "accepted")]
    return tuple(change for change in found if change is not None)


class _Reader:
    def __init__(
        self, shape: Shape, book: Rulebook, state: StateOf, listed: Mapping[str, tuple[str, ...]]
    ) -> None:
        self.shape = shape
        self.book = book
        self.state = state
        self.listed = listed
        self.seen: dict[tuple[str, str, str], Mark] = {}

    def entry(self, node: Node) -> Change | None:
        shape = self.shape
        before = len(shape.problems)
        got = shape.keys(node, "an accepted finding", _NEEDED, ("at", "from"))
        if got is None:
            return None
        because = shape.text(got.get("because"), "because")
        by = shape.text(got.get("by"), "by")
        start, until = read_span(shape, got)
        uses = shape.words(got.get("use"), "use", tuple(self.book.uses))
        rule = find_rule(shape, got.get("rule"), self.book.rules, self.book)
        if rule is None:
            return None
        self._may(got["rule"], rule)
        places = self._places(node, got.get("at"), rule)
        if len(shape.problems) > before or not places or not uses:
            return None
        taken = taken_along(uses, self.book)
        self._once(node, rule, places, taken)
        return Change(
            ChangeKind.ACCEPT, rule.id, because or "", by or "", start, until, shape.source.name, node.mark,
            places=places, uses=taken,
        )  # fmt: skip

    def _may(self, node: Node, rule: Rule) -> None:
        if of_floor(rule, self.book.sources):
            self.shape.note(
                node,
                "floor",
                f"'{rule.id}' is of the floor: it is mended, not accepted",
                "a rule outside the floor",
                "delete the entry, and mend what was found",
            )
            return
        kind = standing_of(rule, self.book.sources)
        if STANDING[kind] >= STANDING["regulation"]:
            self.shape.note(
                node,
                "law",
                f"'{rule.id}' stands as {kind}, which no owner can accept away",
                "a rule of a standard, a manual, a handbook or practice",
                "delete the entry, and mend what was found",
            )

    def _places(self, entry: Node, node: Node | None, rule: Rule) -> tuple[str, ...]:
        """The places named, which must be places of the rule on this vehicle."""
        if node is None:
            if rule.family != VEHICLE:
                here = ", ".join(self._known(rule)) or "PLACE"
                self.shape.note(
                    entry, "missing-key", f"'{rule.id}' is judged at each place, and no place is said",
                    f"at: one of {here}", "at: ...",
                )  # fmt: skip
                return ()
            return (VEHICLE,)
        return places_named(self.shape, node, rule, self._known(rule), self.book)

    def _known(self, rule: Rule) -> dict[str, str]:
        return places_known(rule, self.book, self.state, self.listed)

    def _once(self, node: Node, rule: Rule, places: tuple[str, ...], uses: tuple[str, ...]) -> None:
        for place in places:
            for use in uses:
                mark = self.seen.setdefault((rule.id, place, use), node.mark)
                if mark != node.mark:
                    found = f"'{rule.id}' at {place} is accepted for {use} on line {mark.line} too"
                    self.shape.note(node, "accepted-twice", found, "each finding once for a use")
                    return


def places_named(
    shape: Shape, node: Node, rule: Rule, known: Mapping[str, str], book: Rulebook
) -> tuple[str, ...]:
    """The places written at `at`; what is no place of the rule is a problem. `known` is of `places_known`."""
    out = []
    for item in node.items if isinstance(node, Items) else (node,):
        name = shape.text(item, "at")
        if name is None or not isinstance(item, Text):
            continue
        if not known and rule.family in book.families:
            out.append(name)  # spots: those written are the places
        elif name in known:
            out.append(known[name])
        else:
            shape.note(
                item, "unknown-place", f"'{name}' is no place of '{rule.id}' on this vehicle",
                f"one of: {', '.join(dict.fromkeys(known.values()))}", close=near(name, known),
            )  # fmt: skip
    return tuple(dict.fromkeys(out))


def places_known(
    rule: Rule, book: Rulebook, state: StateOf, listed: Mapping[str, tuple[str, ...]]
) -> dict[str, str]:
    """Names and short names of the rule's places; empty where the places are spots."""
    if rule.family == VEHICLE:
        return {VEHICLE: VEHICLE}
    family = book.families.get(rule.family)
    if family is not None:
        here = places_of(family.id, book, state, listed)
    else:
        everywhere = {p.id: p for f in book.families.values() for p in all_places(f)}
        here = (everywhere[rule.family],)
    return {p.short: p.id for p in here if p.short} | {p.id: p.id for p in here}


def taken_along(names: tuple[str, ...], book: Rulebook) -> tuple[str, ...]:
    """The uses named, what they include, and the rungs below them: who takes more takes less.

    A side use named alone stands for itself only.
    """
    out = set(names)
    for name in names:
        use = book.uses[name]
        out |= set(use.includes)
        if not use.side:
            out |= {rung.id for rung in book.rungs() if rung.rank < use.rank}
    return tuple(use for use in book.uses if use in out)
