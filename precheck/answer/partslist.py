"""What to buy: each part with its places, how many, and the sizes exactly as they were taken."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from precheck.answer.faults import axle_of, paired, part_of, part_places, places_of_part, related
from precheck.answer.mending import FoundLine, PartLine, Repair, Size, Waits
from precheck.model.catalogue import VEHICLE, Day, Use
from precheck.model.document import Document
from precheck.model.parts import PartKind
from precheck.model.settled import Cell, Settled, Status
from precheck.rulebook.book import Rulebook
from precheck.rulebook.places import words_of_place
from precheck.settle.settle import settle


def parts_list(
    repairs: Iterable[Repair], waits: Iterable[Waits], document: Document, book: Rulebook, day: Day, use: Use
) -> tuple[PartLine, ...]:
    """Parts that the repairs ask for, then those of what may wait. `use` says which hearsay is accepted."""
    wanted = [(r.found, (r.number,)) for r in repairs] + [(w.found, ()) for w in waits if w.parts]
    names = {part.id for found, _ in wanted for line in found if (part := part_of(line.point, book))}
    sizes = [point for name in names for point in book.parts[name].quote]
    settled = settle(document, book, day, use, sizes)
    order: dict[tuple[str, str], PartLine] = {}
    for found, numbers in wanted:
        for line in _lines(found, numbers, settled, book):
            key = (line.part, ",".join(line.places))
            if key not in order:
                order[key] = line
    return tuple(order.values())


def _lines(
    found: Sequence[FoundLine], numbers: tuple[int, ...], settled: Settled, book: Rulebook
) -> Iterator[PartLine]:
    places: dict[str, dict[str, None]] = {}
    for line in found:
        cell = Cell(line.point, line.place, Status.VALUE)
        for name, place in part_places(cell, book, settled):
            places.setdefault(name, {})[place] = None
    for name, here in places.items():
        part = book.parts[name]
        for at in _by_axle(part, tuple(here), settled):
            yield _line(part, at, numbers, settled, book)


def _by_axle(part: PartKind, places: Sequence[str], settled: Settled) -> list[tuple[str, ...]]:
    """Places of one line: front and rear parts differ."""
    lines: dict[str, list[str]] = {}
    for place in places:
        lines.setdefault(axle_of(place, settled), []).append(place)
    return [tuple(at) for at in lines.values()]


def _line(
    part: PartKind, found_at: Sequence[str], numbers: tuple[int, ...], settled: Settled, book: Rulebook
) -> PartLine:
    places = paired(part, found_at, settled)
    sizes = [s for name in part.quote for s in _sizes(name, part, places, settled, book)]
    return PartLine(
        part=part.id,
        words=part.words,
        count=_count(part, places, settled),
        places=tuple(words_of_place(book, p) for p in places if p != VEHICLE),
        found_at=tuple(words_of_place(book, p) for p in found_at if p != VEHICLE),
        pair=part.pair,
        buy=part.buy,
        sizes=tuple(s for s in sizes if s.written),
        missing=tuple(s for s in sizes if not s.written),
        compare=part.compare,
        for_repairs=numbers,
        checked=part.checked,
    )


def _count(part: PartKind, places: Sequence[str], settled: Settled) -> int:
    """One at each place; where single pieces are counted on the vehicle, as many as were found wanting."""
    total = 0
    for place in places:
        pieces = 1
        for name in part.points:
            cell = settled.cells.get((name, place))
            if name in part.quote and cell and cell.values and cell.values[0].quantity:
                quantity = cell.values[0].quantity
                if quantity.unit.dimension == "count" and quantity.value.low is not None:
                    pieces = max(pieces, int(quantity.value.low))
        total += pieces
    return total


def _sizes(
    name: str, part: PartKind, places: Sequence[str], settled: Settled, book: Rulebook
) -> Iterator[Size]:
    """What is known of one dimension at the places of a part; once where it is the same place for all."""
    every = places_of_part(part, settled)
    for (point, place), cell in settled.cells.items():
        if point != name or not any(_belongs(place, p, settled) for p in places):
            continue
        if place in every and place not in places:
            continue
        yield _size(cell, book)


def _belongs(place: str, at: str, settled: Settled) -> bool:
    """Whether a dimension taken at `place` is one of the part at `at`."""
    return related(place, at, settled)


def _size(cell: Cell, book: Rulebook) -> Size:
    claim = cell.claim
    point = book.points[cell.id]
    access = book.access.get(point.access)
    known = cell.status is Status.VALUE
    tool = f", with {point.instrument}" if point.instrument else ""
    return Size(
        point=cell.id,
        words=point.observe,
        place=cell.place,
        place_words=words_of_place(book, cell.place),
        written=tuple(v.written for v in cell.values) if known else (),
        known=claim.known.value if claim and known else "taken by default, nobody said" if known else "",
        on=str(claim.on) if claim and claim.on and known else "",
        by=claim.by if claim and known else "",
        instrument=claim.instrument if claim and known else "",
        note=claim.note if claim and known else "",
        why=cell.why,
        how=f"{access.words if access else point.access}{tool}",
    )
