"""Places that a document's own lists leave out: nobody judges them, so the answer names them."""

from __future__ import annotations

from collections.abc import Iterator

from precheck.answer.judging import Judged
from precheck.model.catalogue import VEHICLE
from precheck.model.document import Document
from precheck.rulebook.book import Rulebook
from precheck.rulebook.places import places_of


def left_out(document: Document, judged: Judged, book: Rulebook) -> Iterator[str]:
    """A notice for each list under `places:` that lacks places of the list for the vehicle's class."""

    def state(fact: str) -> str | None:
        cell = judged.settled.cells.get((fact, VEHICLE))
        return cell.values[0].state if cell and cell.values else None

    for family, names in document.listed:
        usual = places_of(family, book, state, {})
        missing = [place.words for place in usual if place.id not in names]
        if missing:
            words = book.families[family].words
            yield (
                f"Your list of places for {family} ({words}) leaves out what such vehicles usually have: "
                f"{', '.join(missing)}. Nothing is judged there; write those it has."
            )
