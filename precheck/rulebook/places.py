"""Places of a family on one vehicle, and where a value is read for a rule at a place."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from precheck.model.catalogue import VEHICLE, Family, Place
from precheck.rulebook.book import Rulebook

StateOf = Callable[[str], str | None]


def places_of(
    family: str, book: Rulebook, state: StateOf, listed: Mapping[str, tuple[str, ...]]
) -> tuple[Place, ...]:
    """The places of a fixed or listed family.

    `state` gives a fact's settled state (None: not known; then the place is left out, and the fact
    itself, which has a default or is asked from the first rung on, keeps the answer open).
    `listed` are the document's own lists.
    """
    if family == VEHICLE:
        return (Place(VEHICLE, "the vehicle"),)
    found = book.families[family]
    if found.kind == "spots":
        return ()
    if found.kind == "listed":
        return _listed(found, state("vehicle-class"), listed)
    return tuple(p for p in found.places if all(state(fact) in words for fact, words in p.when))


def _listed(
    family: Family, vehicle_class: str | None, listed: Mapping[str, tuple[str, ...]]
) -> tuple[Place, ...]:
    if family.id in listed:
        known = {p.id: p for p in all_places(family)}
        return tuple(known.get(name) or Place(name, name.replace("-", " ")) for name in listed[family.id])
    lists = dict(family.by_class)
    return lists.get(vehicle_class or "", lists.get("any", ()))


def all_places(family: Family) -> tuple[Place, ...]:
    """Every place the rulebook knows of a family, whatever the vehicle."""
    out = {p.id: p for p in family.places}
    for _, places in family.by_class:
        for place in places:
            out.setdefault(place.id, place)
    return tuple(out.values())


def read_at(
    family: str, place: str, places: Mapping[str, tuple[str, ...]], up: Mapping[str, str]
) -> str | None:
    """Where a value of `family` is read for a rule at `place`: there, above it, or the whole vehicle."""
    if family == VEHICLE:
        return VEHICLE
    here = places.get(family, ())
    if place in here:
        return place
    above = up.get(place)
    return above if above in here else None


def words_of_place(book: Rulebook, place: str) -> str:
    """A place in a person's words."""
    if place == VEHICLE:
        return "the vehicle"
    for family in book.families.values():
        for candidate in all_places(family):
            if candidate.id == place:
                return candidate.words
    return place.replace("-", " ")
