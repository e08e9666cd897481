"""The short words of a reading for the jot line: `lr tread`, `brake pedal feel`."""

from __future__ import annotations

from precheck.answer.words import named
from precheck.model.catalogue import VEHICLE, Kind, Point
from precheck.rulebook.book import Rulebook
from precheck.rulebook.places import all_places
from precheck.settle.jotmatch import EVERYDAY


def jot_words(book: Rulebook, point: Point, place: str) -> str:
    """What to type before the value, so that it can only mean this point at this place."""
    short = {q.id: q.short for q in all_places(book.families[point.family])} if _repeats(book, point) else {}
    known = short.get(place, "")
    if point.kind is Kind.TEXT or (place != VEHICLE and not known):
        return f"{named(point.id, place)}:"
    words = _EVERYDAY.get(point.id) or point.id.replace("-", " ")
    return words if place == VEHICLE else f"{known} {words}"


def _repeats(book: Rulebook, point: Point) -> bool:
    return point.family in book.families


_EVERYDAY = {EVERYDAY[frozenset((word,))]: word for word in ("pressure", "tread")}
