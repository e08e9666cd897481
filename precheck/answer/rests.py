"""What the answer rests on, what runs out first, hearsay, who looked, what is asked back."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import date
from fractions import Fraction

from precheck.answer.evidence import leaves
from precheck.answer.judging import Judged
from precheck.answer.record import Looked, Rest
from precheck.derive.crosscheck import questions
from precheck.engine.logic import BAD, LIMITED, MET
from precheck.engine.plan import tests_of
from precheck.model.catalogue import Use
from precheck.model.document import Document, Known
from precheck.model.settled import Cell, Status
from precheck.rulebook.book import Rulebook
from precheck.rulebook.places import words_of_place
from precheck.settle.lasting import History

MILE = Fraction(1609344)  # in mm
_COUNTS = (BAD, LIMITED, MET)


def _used(judged: Judged, uses: Sequence[Use]) -> Iterator[Cell]:
    """The readings behind every unit that counts for or against the uses asked."""
    seen: set[tuple[str, str]] = set()
    for unit in judged.units:
        if not any(judged.results.classes[use.id][unit.key] in _COUNTS for use in uses):
            continue
        if not (unit.effects.asks or unit.effects.blocks or unit.effects.limits):
            continue
        for test in tests_of(unit.rule):
            for cell in leaves(judged.cells.key(test, unit.place), judged.cells):
                if cell.claim and cell.status is Status.VALUE and (cell.id, cell.place) not in seen:
                    seen.add((cell.id, cell.place))
                    yield cell


def rests_on(judged: Judged, uses: Sequence[Use], book: Rulebook) -> tuple[Rest, ...]:
    return tuple(sorted((_rest(c, book) for c in _used(judged, uses)), key=lambda r: (r.point, r.place)))


def _rest(cell: Cell, book: Rulebook) -> Rest:
    claim = cell.claim
    assert claim is not None
    return Rest(
        cell.id,
        words_of_place(book, cell.place),
        ", ".join(v.written for v in cell.values),
        str(claim.on) if claim.on else "",
        claim.by,
        claim.known.value,
        claim.instrument,
        str(cell.runs_out) if cell.runs_out else "",
        cell.ends_with,
    )


def first_to_run_out(judged: Judged, uses: Sequence[Use], book: Rulebook) -> tuple[str, ...]:
    """The readings that end first, with their last day; an answer ends at midnight at the latest."""
    dated = [c for c in _used(judged, uses) if c.runs_out is not None]
    if not dated:
        return ()
    first = min(c.runs_out for c in dated if c.runs_out is not None)
    points: dict[str, list[str]] = {}
    for cell in dated:
        if cell.runs_out == first:
            points.setdefault(cell.id, []).append(words_of_place(book, cell.place))
    return tuple(f"{point} ({', '.join(places)}): last day {first}" for point, places in points.items())


def first_by_distance(
    judged: Judged, uses: Sequence[Use], document: Document, book: Rulebook, day: date
) -> tuple[str, ...]:
    """The readings that driving ends first, with the miles left and what the odometer shows then.

    Miles are rounded down; the odometer is left out where nobody wrote it.
    """
    history = History([v for v in document.visits if v.on <= day], book.works, judged.settled.up)
    left: dict[tuple[str, str], Fraction] = {}
    for cell in _used(judged, uses):
        point, claim = book.points.get(cell.id), cell.claim
        if point and claim and claim.on and point.lasts.miles is not None:
            left[cell.id, cell.place] = point.lasts.miles - history.distance_since(claim.visit)
    if not left:
        return ()
    first = min(left.values())
    points: dict[str, list[str]] = {}
    for (name, place), miles in sorted(left.items()):
        if miles == first:
            points.setdefault(name, []).append(words_of_place(book, place))
    shown = ""
    if history.odometer:
        visit, read = list(history.odometer.items())[-1]
        shown = f", odometer {(read + history.distance_since(visit) + first) // MILE} mi"
    end = f"{first // MILE} miles from now{shown}"
    return tuple(f"{point} ({', '.join(places)}): {end}" for point, places in points.items())


def hearsay(judged: Judged, uses: Sequence[Use], book: Rulebook) -> tuple[str, ...]:
    """Readings that count and that nobody saw or measured."""
    out = []
    for cell in _used(judged, uses):
        claim = cell.claim
        if claim and claim.known is Known.TOLD:
            who = f" by {claim.by}" if claim.by else ""
            out.append(f"{cell.id}, {words_of_place(book, cell.place)}: told{who} on {claim.on}")
    return tuple(sorted(out))


def asked_back(judged: Judged) -> tuple[str, ...]:
    """Values outside what is plausible, not confirmed by the writer."""
    return tuple(
        f"line {c.claim.mark.line}: {c.id} at {c.place}: {c.why}"
        for c in judged.settled.cells.values()
        if c.claim and c.claim.values and c.status is Status.UNCLEAR and "sure: yes" in c.why
    )


def watch(judged: Judged, document: Document, day: date, book: Rulebook) -> tuple[str, ...]:
    """What changed in a way no work explains, and what does not fit between readings."""
    found = (*judged.settled.watch, *questions(document, book, day))
    lines = (f"{w.point}, {words_of_place(book, w.place)}: {w.words}" for w in found)
    return tuple(dict.fromkeys(lines))


def looked(document: Document, day: date) -> tuple[Looked, ...]:
    """One line a visit up to the day: who looked, how many readings, with what."""
    out = []
    for visit in document.visits:
        if visit.on > day:
            continue
        written = [c for c in visit.claims if not c.clear_of]
        instruments = tuple(sorted({c.instrument for c in written if c.instrument}))
        out.append(Looked(str(visit.on), visit.by, len(written), instruments))
    return tuple(out)
