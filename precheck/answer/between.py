"""What happened between: visits, work, notes, and what became of each reading."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from datetime import date

from precheck.answer.compare_record import NoteLine, ReadingMoved, VisitLine, WorkLine
from precheck.answer.difference import Side
from precheck.answer.evidence import leaves, tests_that_apply
from precheck.derive.cells import Key
from precheck.engine.plan import Unit
from precheck.model.catalogue import VEHICLE, Day, Kind, Point
from precheck.model.document import Claim, Document, Value
from precheck.model.rules import State
from precheck.model.settled import Cell, Status
from precheck.read.quantity import format_quantity
from precheck.rulebook.book import Rulebook
from precheck.rulebook.places import words_of_place
from precheck.settle.settle import better, settle

KINDS = (
    "new", "worse", "mended", "better", "run out", "work done", "struck", "cannot tell", "gone", "changed",
    "first look", "confirmed",
)  # fmt: skip
_VOID, _STRUCK = "void since ", "struck: "  # as settle begins its reasons
_SERIOUS = (State.FAILS, State.CANNOT_TELL, State.NOT_MEASURED, State.MEETS)


# -- visits, work, notes -----------------------------------------------------------------------------


def visits(document: Document, book: Rulebook, then: date, day: date) -> tuple[VisitLine, ...]:
    """Every visit, oldest first."""
    unit = book.units.get("mi")
    out = []
    for v in document.visits:
        drove = format_quantity(v.drove, unit) if v.drove and unit else ""
        written = sum(not c.clear_of for c in v.claims)
        out.append(VisitLine(str(v.on), v.by, written, drove, (day - v.on).days, v.on > then))
    return tuple(out)


def work(document: Document, book: Rulebook, then: date) -> tuple[WorkLine, ...]:
    """All work that was done, oldest first."""
    return tuple(
        WorkLine(
            str(v.on),
            v.by,
            d.work,
            book.works[d.work].words,
            tuple(words_of_place(book, p) for p in d.at),
            v.on > then,
        )
        for v in document.visits
        for d in v.done
    )


def notes(document: Document, book: Rulebook, then: date) -> Iterator[NoteLine]:
    """Everything written in free words, oldest first."""
    for visit in document.visits:
        since = visit.on > then
        if visit.note:
            yield NoteLine(str(visit.on), visit.by, "the visit", visit.note, visit.mark.line, since)
        for claim in visit.claims:
            if claim.note:
                about = _at(book, claim.point, claim.place)
                yield NoteLine(str(visit.on), claim.by, about, claim.note, claim.mark.line, since)
        for reached in visit.not_reached:
            about = f"not reached: {_at(book, reached.point, reached.place)}"
            yield NoteLine(str(visit.on), visit.by, about, reached.why, visit.mark.line, since)
        for done in visit.done:
            if done.note:
                about = book.works[done.work].words
                yield NoteLine(str(visit.on), visit.by, about, done.note, done.mark.line, since)


def holding(word: str, lines: Iterable[NoteLine]) -> tuple[NoteLine, ...]:
    """The notes that hold a word, in themselves or in what they are about; large and small letters alike."""
    wanted = word.casefold()
    return tuple(n for n in lines if wanted in n.text.casefold() or wanted in n.about.casefold())


def _at(book: Rulebook, point: str, place: str | None) -> str:
    if place is None or place == VEHICLE:
        return point
    return f"{point}, {words_of_place(book, place)}"


# -- readings ------------------------------------------------------------------------------------------


class Known:
    """What is known of every point on one side, and the results each reading bears on."""

    def __init__(self, document: Document, day: Day, side: Side, points: Iterable[str]) -> None:
        use = max(side.uses, key=lambda u: u.rank)
        self.side = side
        self.cells = settle(document, side.gate.book, day, use, points).cells
        self.bears: dict[Key, dict[tuple[str, str, int], Unit]] = {}
        judged = side.judged
        for unit in judged.units:
            for test in tests_that_apply(unit.step.condition, unit.place, judged.cells):
                for leaf in leaves(judged.cells.key(test, unit.place), judged.cells):
                    self.bears.setdefault((leaf.id, leaf.place), {})[unit.key] = unit

    def units(self, key: Key, state: State) -> list[Unit]:
        states = self.side.judged.results.states
        return [u for u in self.bears.get(key, {}).values() if states[u.key] is state]

    def state(self, key: Key) -> str:
        """The worst state of the rules that read it; empty where none does."""
        return next((s.value for s in _SERIOUS if self.units(key, s)), "")

    def fails(self, key: Key) -> bool:
        return bool(self.units(key, State.FAILS))


def read_points(*documents: Document) -> frozenset[str]:
    """Every point that some reading is about."""
    return frozenset(c.point for d in documents for v in d.visits for c in v.claims)


def readings(then: Known, now: Known, day_then: date, book: Rulebook) -> tuple[ReadingMoved, ...]:
    """What became of each reading and fact: by kind, what stops the lowest use first, as in the catalogue."""
    out = []
    for key in dict.fromkeys([*now.cells, *then.cells]):
        moved = _moved(key, then, now, day_then, book)
        out += [moved] if moved else []
    order = {name: i for i, name in enumerate(book.points)}
    uses = {name: i for i, name in enumerate(book.uses)}

    def rank(m: ReadingMoved) -> tuple[int, int, int, str]:
        return (KINDS.index(m.kind), uses.get(m.blocks, len(uses)), order[m.point], m.place)

    return tuple(sorted(out, key=rank))


def _moved(key: Key, then: Known, now: Known, day_then: date, book: Rulebook) -> ReadingMoved | None:
    point = book.points[key[0]]
    old, new = _cell(key, then), _cell(key, now)
    kind = _kind(point, key, old, new, then, now, day_then)
    if not kind:
        return None
    before, after = _values(old) or _voided(old), _values(new)
    ended = _between(old, new)
    failing = now.units(key, State.FAILS) or (then.units(key, State.FAILS) if kind != "run out" else [])
    lowest = [b for b in (u.effects.lowest_block for u in failing) if b]
    natural = not point.adjustable and not point.lasts.permanent and not point.fact and not ended
    claim = new.claim or old.claim
    return ReadingMoved(
        kind=kind,
        point=point.id,
        words=point.observe,
        place=key[1],
        place_words=words_of_place(book, key[1]),
        then=tuple(v.written for v in before),
        then_on=_on(old),
        state_then=then.state(key),
        now=tuple(v.written for v in after),
        now_on=_on(new),
        by=new.claim.by if new.claim else "",
        state_now=now.state(key),
        blocks=min(lowest, key=list(book.uses).index, default=""),
        rules=tuple(dict.fromkeys(u.rule.id for u in failing)),
        work=ended.removeprefix(_VOID),
        by_itself=natural and _better(point, before, after),
        note=claim.note if claim else "",
        why=_struck(old, new) if kind == "struck" else new.why,
    )


def _cell(key: Key, side: Known) -> Cell:
    return side.cells.get(key) or Cell(key[0], key[1], Status.MISSING)


def _values(cell: Cell) -> tuple[Value, ...]:
    """What was read last, also where it does not count any more; nothing for a default."""
    return cell.claim.values if cell.claim else ()


def _voided(cell: Cell) -> tuple[Value, ...]:
    """What had been read before work made it void, where nothing was read since."""
    ended = [c for c, why in cell.passed_over if why.startswith(_VOID)]
    return ended[-1].values if ended and cell.claim is None else ()


def _better(point: Point, before: tuple[Value, ...], after: tuple[Value, ...]) -> bool:
    """Whether one reading is better than another, where one can be."""
    compared = point.kind in (Kind.NUMBER, Kind.STATES) and not point.fact
    return compared and bool(before) and bool(after) and better(point, before, after)


def _on(cell: Cell) -> str:
    return str(cell.claim.on) if cell.claim and cell.claim.on else ""


def _counted(cell: Cell) -> bool:
    """Whether a reading gave the value; a default is none."""
    return cell.status is Status.VALUE and cell.claim is not None


def _same(one: Claim, other: Claim) -> bool:
    """Whether two readings are one entry, in this file or in an older copy of it."""
    mine = [(c.point, c.place, c.on, c.by, [v.written for v in c.values]) for c in (one, other)]
    return mine[0] == mine[1]


def _reason(old: Cell, new: Cell) -> str:
    """Why the reading of then is passed over now."""
    if old.claim is None:
        return ""
    return next((why for c, why in new.passed_over if _same(c, old.claim)), "")


def _between(old: Cell, new: Cell) -> str:
    """The work or event that made the reading of then void; empty where there is none."""
    reasons = [_reason(old, new), *(why for _, why in old.passed_over[-1:] if old.claim is None)]
    return next((why for why in reasons if why.startswith(_VOID)), "")


def _struck(old: Cell, new: Cell) -> str:
    why = _reason(old, new)
    return why if why.startswith(_STRUCK) else ""


def _kind(point: Point, key: Key, old: Cell, new: Cell, then: Known, now: Known, day_then: date) -> str:
    """What became of a reading; empty where nothing did."""
    if _struck(old, new):
        return "struck"
    was, fails = then.fails(key), now.fails(key)
    if _between(old, new):
        if new.status is Status.VALUE:
            if (was and not fails) or _better(point, _values(old), _values(new)):
                return "mended"
        elif _counted(old) and new.status is Status.MISSING:
            return "mended" if was else "work done"
    if new.status is not Status.VALUE:
        return _no_value(old, new, day_then)
    if new.claim is None:
        return "gone" if _counted(old) else ""
    if old.claim is not None and _same(old.claim, new.claim):
        return ""
    return _with_value(point, _values(old), _values(new), then.state(key), fails, _voided(old))


def _no_value(old: Cell, new: Cell, day_then: date) -> str:
    """What became of a reading that gives no value now; empty where there was none then either."""
    counted = _counted(old)
    if new.status is Status.UNCLEAR:
        return "cannot tell" if counted else ""
    if new.claim is not None:
        later = new.claim.on is not None and new.claim.on > day_then
        return "run out" if counted or later else ""
    if not counted:
        return ""
    return "cannot tell" if new.passed_over else "gone"


def _with_value(
    point: Point,
    before: tuple[Value, ...],
    after: tuple[Value, ...],
    state: str,
    fails: bool,
    voided: tuple[Value, ...],
) -> str:
    """A reading that was not there then: against the one before it, where there was one."""
    was = state == State.FAILS.value
    if not before:
        if fails:
            return "new"
        return "mended" if _better(point, voided, after) else "changed" if voided else "first look"
    if not after:
        return "cannot tell"
    if [v.written for v in before] == [v.written for v in after]:
        return "confirmed"
    if _better(point, before, after):
        return "better"
    if _better(point, after, before):
        return "worse"
    if fails and not was:
        return "worse" if state == State.MEETS.value else "new"
    return "better" if was and not fails else "changed"
