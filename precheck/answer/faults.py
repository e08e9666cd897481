"""What is at fault behind findings: readings, the parts they ask for, and which of them belong together."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from precheck.answer.evidence import leaves, tests_that_apply
from precheck.answer.judging import Judged
from precheck.derive.cells import Key
from precheck.engine.judge import outcome_of
from precheck.engine.plan import Unit
from precheck.model.catalogue import VEHICLE
from precheck.model.parts import PartKind
from precheck.model.record import dataclass
from precheck.model.rules import State
from precheck.model.settled import Cell, Settled
from precheck.rulebook.book import Rulebook

PAPERS = "papers"


@dataclass(frozen=True, slots=True)
class Fault:
    """A failing unit with the readings at fault and where their parts go: (part id, place)."""

    unit: Unit
    judged: Judged
    cells: tuple[Cell, ...]
    parts: tuple[Key, ...]


def fault_of(unit: Unit, judged: Judged, book: Rulebook) -> Fault:
    """The readings that make a unit fail: what was found, not the facts that the limit hangs on."""
    tests = list(tests_that_apply(unit.step.condition, unit.place, judged.cells))
    keys = [(judged.cells.key(test, unit.place), test) for test in tests]
    outcomes = [(key, outcome_of(test, judged.cells.found[key])) for key, test in keys]
    failing = [key for key, state in outcomes if state is State.FAILS]
    failing = failing or [key for key, state in outcomes if state is not State.MEETS]
    found = {(c.id, c.place): c for key in failing for c in leaves(key, judged.cells)}
    seen = [c for c in found.values() if _looked_at(c, book)]
    plain = [c for c in found.values() if c.id in book.points and not book.points[c.id].fact]
    cells = tuple(seen or plain or found.values())
    parts = dict.fromkeys(key for c in cells for key in part_places(c, book, judged.settled))
    return Fault(unit, judged, cells, tuple(parts))


def _looked_at(cell: Cell, book: Rulebook) -> bool:
    point = book.points.get(cell.id)
    return point is not None and not point.fact and point.access != PAPERS


def part_of(point: str, book: Rulebook) -> PartKind | None:
    return next((p for p in book.parts.values() if point in p.points), None)


def part_places(cell: Cell, book: Rulebook, settled: Settled) -> Iterator[Key]:
    """The part a reading asks for, at each of its places that the reading is about."""
    part = part_of(cell.id, book)
    if part is None:
        return
    for place in places_of_part(part, settled):
        if related(place, cell.place, settled):
            yield part.id, place


def places_of_part(part: PartKind, settled: Settled) -> tuple[str, ...]:
    return (VEHICLE,) if part.family == VEHICLE else settled.places.get(part.family, ())


def related(place: str, other: str, settled: Settled) -> bool:
    """Whether two places are one, or one belongs to the other."""
    up = settled.up
    return place == other or VEHICLE in (place, other) or up.get(place) == other or up.get(other) == place


def axle_of(place: str, settled: Settled) -> str:
    """The axle a place belongs to, itself for an axle; empty where it belongs to none."""
    axles = settled.places.get("axles", ())
    for _ in range(3):
        if place in axles:
            return place
        place = settled.up.get(place, "")
    return ""


def paired(part: PartKind, places: Iterable[str], settled: Settled) -> tuple[str, ...]:
    """The places where the part is renewed together with those of a finding."""
    found = dict.fromkeys(places)
    every = places_of_part(part, settled)
    if part.pair == "vehicle":
        return every
    if part.pair == "axle":
        axles = {axle_of(p, settled) for p in found} - {""}
        return tuple(p for p in every if p in found or axle_of(p, settled) in axles)
    return tuple(p for p in every if p in found)


def together(faults: Sequence[Fault], book: Rulebook) -> list[list[Fault]]:
    """Faults that one repair takes away: the same reading, the same part, or the parts of one pair."""
    ties: dict[object, int] = {}
    group = list(range(len(faults)))

    def root(i: int) -> int:
        while group[i] != i:
            i = group[i]
        return i

    for number, fault in enumerate(faults):
        for tie in _ties(fault, book):
            other = ties.setdefault(tie, number)
            one, two = sorted((root(other), root(number)))
            group[two] = one
    out: dict[int, list[Fault]] = {}
    for number, fault in enumerate(faults):
        out.setdefault(root(number), []).append(fault)
    return list(out.values())


def own_ties(fault: Fault) -> Iterator[object]:
    """What two faults share that are one thing: a reading, or the part at a place."""
    for cell in fault.cells:
        yield "reading", cell.id, cell.place
    for name, place in fault.parts:
        yield "part", name, place


def _ties(fault: Fault, book: Rulebook) -> Iterator[object]:
    yield from own_ties(fault)
    settled = fault.judged.settled
    for cell in fault.cells:
        if cell.claim is not None and cell.claim.place is None:
            yield "claim", cell.id, cell.claim.visit, cell.claim.mark
    for name, place in fault.parts:
        part = book.parts[name]
        if part.pair in ("axle", "match") and axle_of(place, settled):
            yield "axle", name, axle_of(place, settled)
        elif part.pair == "vehicle":
            yield "vehicle", name
