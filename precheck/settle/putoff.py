"""Reads `put-off:` of a condition document: findings whose mending is planned for later, with the reason.

It is a plan. It changes no state and no verdict, so anything may be put off, the floor too.
"""

from __future__ import annotations

from collections.abc import Mapping
from functools import partial

from precheck.model.changes import PutOff
from precheck.model.node import Node
from precheck.model.quantity import Quantity
from precheck.read.dates import read_date
from precheck.read.fault import Fault
from precheck.read.quantity import read_quantity
from precheck.read.shape import Shape
from precheck.read.units import Units
from precheck.rulebook.book import Rulebook
from precheck.rulebook.changes import find_rule
from precheck.rulebook.places import StateOf
from precheck.settle.accepted import places_known, places_named


def read_put_off(
    shape: Shape, node: Node | None, book: Rulebook, state: StateOf, listed: Mapping[str, tuple[str, ...]]
) -> tuple[PutOff, ...]:
    """What a document puts off; `state` and `listed` make the places of its vehicle."""
    found = [_entry(shape, item, book, state, listed) for item in shape.items(node, "put-off")]
    return tuple(entry for entry in found if entry is not None)


def _entry(
    shape: Shape, node: Node, book: Rulebook, state: StateOf, listed: Mapping[str, tuple[str, ...]]
) -> PutOff | None:
    before = len(shape.problems)
    got = shape.keys(node, "a finding put off", ("rule", "because", "until"), ("at", "use", "by", "odometer"))
    if got is None:
        return None
    because = shape.text(got.get("because"), "because")
    by = shape.text(got.get("by"), "by")
    until = shape.read(got.get("until"), "until", read_date)
    uses = shape.words(got.get("use"), "use", tuple(book.uses))
    shown = shape.read(got.get("odometer"), "odometer", partial(_distance, units=book.units))
    rule = find_rule(shape, got.get("rule"), book.rules, book)
    places: tuple[str, ...] = ()
    if rule is not None and "at" in got:
        known = places_known(rule, book, state, listed)
        places = places_named(shape, got["at"], rule, known, book)
    if len(shape.problems) > before or rule is None or until is None:
        return None
    return PutOff(
        rule.id, places, because or "", by or "", until, uses, shape.source.name, node.mark,
        shown.value.low if shown else None, shown.written if shown else "",
    )  # fmt: skip


def _distance(text: str, units: Units) -> Quantity | Fault:
    """What an odometer shows: one exact distance with its unit."""
    got = read_quantity(text, units, dimension="length")
    if isinstance(got, Quantity) and not got.value.exact:
        return Fault("not-exact", f"'{text}' is not one distance", "what the odometer will show", "48200 mi")
    return got
