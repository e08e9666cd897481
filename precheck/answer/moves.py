"""One change as a sentence, and as the lines that suppose it."""

from __future__ import annotations

from fractions import Fraction

from precheck.answer.attempt import Fix
from precheck.answer.explain import Move
from precheck.answer.targets import Range, in_unit, range_words
from precheck.answer.words import named
from precheck.model.catalogue import VEHICLE, Kind, Point, Work
from precheck.model.document import Value
from precheck.model.quantity import Unit
from precheck.model.settled import Cell, Status
from precheck.rulebook.book import Rulebook
from precheck.rulebook.places import words_of_place


def reading_line(point: str, place: str, texts: str) -> str:
    """A reading in the exact jotted form."""
    return f"{named(point, place)}: {texts}"


def move(
    fix: Fix, was: Cell | None, now: Value | None, book: Rulebook, work: Work | None, struck: bool
) -> Move:
    """What a person would do about one reading.

    `was` is its cell, `now` the value of it that decides; `work` the work that would end an older permanent
    reading; `struck`: an older reading is struck instead.
    """
    point = book.points[fix.key[0]]
    here = words_of_place(book, fix.key[1])
    kind = _kind(point, fix, was, now, work, struck)
    unit = now.quantity.unit if now and now.quantity else point.unit
    wanted = range_words(fix.wanted, unit, point.dimension) if fix.wanted else ""
    by = _by(fix, now, unit)
    access = book.access.get(point.access)
    has = was is not None and was.status is Status.VALUE
    return Move(
        kind=kind,
        sentence=_sentence(kind, point, here, fix, was, now, by, wanted, work),
        point=point.id,
        place=fix.key[1],
        place_words=here,
        now=", ".join(v.written for v in was.values) if was and has else "",
        to=fix.written,
        by=by,
        wanted=wanted,
        accepted=fix.states,
        access_words=access.words if access else point.access,
        instrument=point.instrument,
        question=point.question,
        work=work.id if work else "",
    )


def _kind(
    point: Point, fix: Fix, was: Cell | None, now: Value | None, work: Work | None, struck: bool
) -> str:
    if was is None or was.status is not Status.VALUE:
        if point.fact:
            return "answer"
        return "look" if point.states else "measure"
    if point.fact or struck:
        return "correct"
    if work is not None:
        return "renew"
    if point.kind is Kind.NUMBER and now and now.number and fix.value.number and point.dimension != "date":
        up = (fix.value.number.low or 0) > (now.number.low if now.number.low is not None else 0)
        return "raise" if up else "lower"
    return "mend"


def _by(fix: Fix, now: Value | None, unit: Unit | None) -> str:
    """The difference between what was read and what would do, without the offset of a scale."""
    if now is None or now.number is None or fix.value.number is None or unit is None:
        return ""
    to = fix.value.number.low
    ends = [e for e in (now.number.low, now.number.high) if e is not None]
    if to is None or not ends:
        return ""
    apart = min(abs(to - e) for e in ends) if len(ends) == 2 else abs(to - ends[0])
    plain = Unit(unit.name, unit.dimension, unit.factor, Fraction(0), unit.aliases, unit.pint)
    return in_unit(apart, plain)


def _sentence(
    kind: str,
    point: Point,
    here: str,
    fix: Fix,
    was: Cell | None,
    now: Value | None,
    by: str,
    wanted: str,
    work: Work | None,
) -> str:
    name = f"{point.id} at {here}" if point.family != VEHICLE else point.id
    enough = _enough(point, fix, wanted)
    if kind == "answer":
        return f"answer {point.id}: {point.question or point.observe} It meets with {enough}"
    if kind in ("measure", "look"):
        tool = f" with {point.instrument}" if point.instrument else ""
        what = "measure" if kind == "measure" else "look at"
        if fix.worked and not (fix.wanted or fix.states):
            return f"{what} {name}{tool} (taken as {fix.written} to try it)"
        return f"{what} {name}{tool}: it meets with {enough}"
    read = ", ".join(v.written for v in was.values) if was else ""
    if kind == "correct":
        return f"if {name} is not '{read}' after all, write it again: it meets with {enough}"
    if kind == "renew" and work is not None:
        return f"renew it ({work.words}) and write {name} again: it meets with {enough}, and was '{read}'"
    if kind in ("raise", "lower"):
        found = f" (worst found: {now.written})" if was and len(was.values) > 1 and now else ""
        if point.adjustable or point.dimension == "count":
            return f"{kind} {name}{found} by {by} to {enough}"
        return f"bring {name}{found} {'up' if kind == 'raise' else 'down'} by {by}, to {enough}"
    return f"mend it until {name} is {enough} (now: {read})"


def _enough(point: Point, fix: Fix, wanted: str) -> str:
    """All that would do; where that is no plain limit, the value found as well."""
    if fix.states:
        return " / ".join(fix.states)
    if point.kind is Kind.DATE_CODE and fix.worked:
        return f"{fix.value.written} or a later code"
    if not wanted:
        return f"{fix.value.written}, for one" if point.kind is not Kind.TEXT else f"'{fix.value.written}'"
    plain = _plainly(fix.wanted, fix.value)
    return wanted if plain else f"{wanted} ({fix.value.written} will do)"


def _plainly(wanted: Range | None, value: Value) -> bool:
    """Whether the value is the very limit that the words name."""
    if wanted is None or value.number is None:
        return False
    ends = [e for e, out in ((wanted.low, wanted.low_out), (wanted.high, wanted.high_out)) if not out]
    return value.number.low in ends and "about" not in value.written
