"""Which of vehicle, rules or day moved a verdict: the judgement at every corner between then and now."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date

from precheck.answer.gate import Gate, Request
from precheck.model.catalogue import Day
from precheck.model.document import Claim, Document, Visit
from precheck.model.record import dataclass, replace
from precheck.rulebook.book import Rulebook

VEHICLE, RULES, DAY = "vehicle", "rules", "day"
FACTORS = (VEHICLE, RULES, DAY)
Corner = frozenset[str]  # the factors that are as they are now
THEN: Corner = frozenset()


@dataclass(frozen=True, slots=True)
class Past:
    """The old side: the vehicle as known then, the day, the rules of then.

    A document is read by a rulebook: `by_now` is the old vehicle as the rules of now read it, `new_by_then`
    the new one as those of then do. Where the rules are the same, so are the documents.
    """

    document: Document
    day: Day
    book: Rulebook
    by_now: Document
    new_by_then: Document


def same_rules(old: Document, new: Document, day: Day, book: Rulebook) -> Past:
    """The old side where the rules have not moved."""
    return Past(old, day, book, old, new)


@dataclass(frozen=True, slots=True)
class Cause:
    """What moved something: each factor that alone would have; else all that it took, `together`."""

    factors: tuple[str, ...]
    together: bool


NOTHING = Cause((), False)


class Corners:
    """Old or new vehicle, judged by old or new rules on the old or new day, each when it is asked for."""

    def __init__(self, document: Document, book: Rulebook, request: Request, past: Past) -> None:
        self.document, self.book, self.request, self.past = document, book, request, past
        self._made: dict[Corner, Gate] = {}
        moving = {DAY: past.day.date != request.day.date, RULES: past.book is not book, VEHICLE: True}
        self.factors = tuple(f for f in FACTORS if moving[f])
        self.now: Corner = frozenset(self.factors)

    def gate(self, corner: Corner) -> Gate:
        """The judgement at a corner. Raises an EngineFault where it cannot be trusted."""
        if corner not in self._made:
            self._made[corner] = self._judge(corner)
        return self._made[corner]

    def _judge(self, corner: Corner) -> Gate:
        past, request = self.past, self.request
        new_rules = RULES in corner or RULES not in self.factors
        new_day = DAY in corner or DAY not in self.factors
        day = request.day if new_day else past.day
        if VEHICLE in corner:
            whole = self.document if new_rules else past.new_by_then
            known = up_to(whole, request.day.date)
            document = known if new_day else found_by(known, past.day.date)
        else:
            document = past.by_now if new_rules else past.document
        return Gate(document, self.book if new_rules else past.book, replace(request, day=day))

    def cause(self, seen: Callable[[Gate], object]) -> Cause:
        """What moved the thing that `seen` takes from a judgement, from what it was to what it is."""
        was, is_ = seen(self.gate(THEN)), seen(self.gate(self.now))
        if was == is_:
            return NOTHING
        alone = tuple(f for f in self.factors if seen(self.gate(frozenset((f,)))) == is_)
        if alone:
            return Cause(alone, False)
        needed = tuple(f for f in self.factors if seen(self.gate(self.now - {f})) != is_)
        return Cause(needed or self.factors, True)


def up_to(document: Document, day: date) -> Document:
    """What was known on a day: the visits up to it."""
    if all(visit.on <= day for visit in document.visits):
        return document
    return replace(document, visits=tuple(v for v in document.visits if v.on <= day))


def found_by(document: Document, day: date) -> Document:
    """The document as if all that was found after a day had been found on it, in the same order."""
    return replace(document, visits=tuple(_on(v, day) if v.on > day else v for v in document.visits))


def _on(visit: Visit, day: date) -> Visit:
    claims = tuple(_claim_on(c, day) for c in visit.claims)
    return replace(visit, on=day, claims=claims)


def _claim_on(claim: Claim, day: date) -> Claim:
    return replace(claim, on=day) if claim.on is not None and claim.on > day else claim
