"""What the document puts off, held against what is found now. Nothing here bears on a verdict."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

from precheck.answer.judging import Judged
from precheck.answer.record import PutOffLine, PutOffPlace
from precheck.engine.logic import BAD, LIMITED, weightiest
from precheck.engine.plan import Unit
from precheck.model.catalogue import Use
from precheck.model.changes import PutOff
from precheck.model.document import Document
from precheck.model.rules import State
from precheck.rulebook.book import Rulebook
from precheck.rulebook.places import words_of_place
from precheck.settle.accepted import taken_along
from precheck.settle.lasting import odometer_shown

WAITS, DAY_CAME, USE_CAME = "put off", "its day has come", "its use is asked for"
MILES_CAME = "its distance has come"
GONE, UNKNOWN, NOT_HERE = "not found any more", "not known now", "its rule does not judge here"
_FINE = (State.MEETS, State.DOES_NOT_APPLY)


def put_off_lines(
    judged: Judged, document: Document, book: Rulebook, uses: Sequence[Use], day: date
) -> tuple[PutOffLine, ...]:
    """Every finding put off, in the order of the file. `uses` are those asked for, none where none were."""
    return tuple(_line(entry, judged, document, book, uses, day) for entry in document.put_off)


def _line(
    entry: PutOff, judged: Judged, document: Document, book: Rulebook, uses: Sequence[Use], day: date
) -> PutOffLine:
    units = [
        u for u in judged.units if u.rule.id == entry.rule and (not entry.places or u.place in entry.places)
    ]
    states = judged.results.states
    fails = [u for u in units if states[u.key] is State.FAILS]
    unknown = [u for u in units if states[u.key] not in (*_FINE, State.FAILS)]
    asked = set(taken_along(tuple(use.id for use in uses), book)) & set(entry.uses)
    if not units:
        standing = NOT_HERE
    elif not fails:
        standing = UNKNOWN if unknown else GONE
    elif day >= entry.until:
        standing = DAY_CAME
    elif _driven(entry, document, day):
        standing = MILES_CAME
    else:
        standing = USE_CAME if asked else WAITS
    places = dict.fromkeys(u.place for u in (fails or unknown))
    return PutOffLine(
        rule=entry.rule,
        title=book.rules[entry.rule].title,
        because=entry.because,
        by=entry.by,
        until=str(entry.until),
        odometer=entry.odometer_written,
        uses=entry.uses,
        where=entry.where,
        standing=standing,
        at=tuple(PutOffPlace(p, words_of_place(book, p), _state(p, units, judged)) for p in places),
        against=any(_weighs(u, judged, uses) in (BAD, LIMITED) for u in fails),
    )


def _driven(entry: PutOff, document: Document, day: date) -> bool:
    """Whether the odometer shows what it was put off to; without a reading only its day ends it."""
    if entry.odometer is None:
        return False
    shown = odometer_shown([visit for visit in document.visits if visit.on <= day])
    return max(shown.values(), default=entry.odometer - 1) >= entry.odometer


def _state(place: str, units: Sequence[Unit], judged: Judged) -> str:
    """The state at a place; of several steps that which fails, else the first not fine."""
    found = [judged.results.states[u.key] for u in units if u.place == place]
    return next(s for s in (State.FAILS, *found) if s in found and s not in _FINE).value


def _weighs(unit: Unit, judged: Judged, uses: Sequence[Use]) -> str:
    return weightiest(judged.results.classes[use.id][unit.key] for use in uses) if uses else ""
