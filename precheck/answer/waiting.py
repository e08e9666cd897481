"""What may wait, and until when: by the use that asks for it, by a date, or as long as its limits hold."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from datetime import date, timedelta

from precheck.answer.findings import limit_words, limits_of, weighs
from precheck.answer.horizon import Ahead, Turn
from precheck.answer.judging import Judged
from precheck.answer.mending import AskedBy, Waits
from precheck.answer.record import ChangeLine
from precheck.answer.repairlines import cells_of, found_line, hands, ladder
from precheck.answer.repairs import Group, asked_by_all, groups_of, stands_against
from precheck.engine.logic import MET
from precheck.engine.plan import Unit
from precheck.model.catalogue import VEHICLE, Limit, Use
from precheck.model.changes import Standing
from precheck.model.record import replace
from precheck.model.settled import Cell
from precheck.rulebook.book import Rulebook
from precheck.rulebook.places import words_of_place

_TIGHTENED = "tightened"


class Waiting:
    """What fails without standing against the uses asked, and what will."""

    def __init__(self, uses: Sequence[Use], judged: Judged, book: Rulebook, day: date) -> None:
        self.uses = uses
        self.judged = judged
        self.book = book
        self.day = day

    def entries(self, groups: Iterable[Group]) -> tuple[Waits, ...]:
        """Limits first, then by the use that asks for it, then what is only watched, then what is ahead.

        `groups` are those of everything that fails.
        """
        classes = self.judged.results.classes
        met = [u for u in self.judged.units if weighs(u.key, self.uses, classes) == MET]
        now = [self._now(g) for g in groups if not stands_against(g)]
        order = ("limits", "other use", "watch")
        rank = {use.id: number for number, use in enumerate(ladder(self.book))}
        now.sort(key=lambda w: (order.index(w.kind), min(rank.get(a.blocks, len(rank)) for a in w.asked_by)))
        return (*now, *self._ahead(met))

    def _now(self, group: Group) -> Waits:
        asked = asked_by_all(group, self.book)
        limits = self._strictest(group)
        blocked = dict.fromkeys(a.blocks for a in asked if a.blocks)
        names = [use.id for use in ladder(self.book) if use.id in blocked]
        kind = "limits" if limits else "other use" if names else "watch"
        if names:
            until = f"until it is to be used for {' or '.join(names)}"
        elif limits:
            until = "no end by itself; its limits hold as long as it is so"
        else:
            until = "no end by itself; watch it"
        cells = cells_of(group.faults)
        then = [f"{a.title} ({a.rule}): {'; '.join(a.needs)}" for a in asked if a.blocks]
        ends = self._look_again(cells)
        parts = tuple(dict.fromkeys(name for fault in group.faults for name, _ in fault.parts))
        return Waits(
            kind=kind,
            title=group.title(self.book),
            where=self._where(cells),
            what=tuple(dict.fromkeys(f.fix for f in group.findings if f.fix)),
            found=tuple(found_line(c, self.book) for c in cells),
            asked_by=asked,
            until=until,
            day=ends,
            then=tuple(dict.fromkeys(then)),
            limits=limits,
            hands=hands(cells, self.book),
            parts=parts if kind != "watch" else (),
        )

    def _strictest(self, group: Group) -> tuple[str, ...]:
        """The limits that the findings put on the uses asked, of a figure only the lowest."""
        found = [x for fault in group.faults for x in limits_of(fault.unit, self.uses, self.judged)]
        kept: dict[tuple[str, str], Limit] = {}
        for limit in found:
            lowest = self.book.limit_kinds[limit.kind].take == "lowest"
            key = (limit.kind, "" if lowest else limit.words)
            other = kept.get(key)
            if other is None or (limit.value or 0) < (other.value or 0):
                kept[key] = limit
        return tuple(limit_words(limit, self.book) for limit in kept.values())

    def _where(self, cells: Iterable[Cell]) -> tuple[str, ...]:
        places = dict.fromkeys(c.place for c in cells if c.place != VEHICLE)
        return tuple(words_of_place(self.book, p) for p in places)

    def _look_again(self, cells: Iterable[Cell]) -> str:
        """The last day on which the readings count; after it they are asked for again."""
        return str(min((c.runs_out for c in cells if c.runs_out is not None), default=""))

    def _ahead(self, met: Sequence[Unit]) -> Iterator[Waits]:
        """What meets now and fails by age alone within two years, by the day."""
        ahead = Ahead(self.judged, self.book, self.day)
        for turn, units in ahead.turns(met).items():
            later = replace(self.judged, cells=ahead.cells_on(turn.fails or turn.day))
            keys = [u.key for u in units]
            for group in groups_of(keys, self.uses, later, self.book, every=True):
                yield self._turns(group, turn)

    def _turns(self, group: Group, turn: Turn) -> Waits:
        asked: tuple[AskedBy, ...] = tuple(
            replace(asked, limits=_limits(fault.unit, self.book))
            for fault, asked in zip(group.faults, asked_by_all(group, self.book), strict=True)
        )
        cells = cells_of(group.faults)
        last = turn.day - timedelta(days=1)
        fails = f"fails from {turn.fails} on" if turn.fails else "has not failed two years from now"
        if turn.fails != turn.day:
            fails = f"from {turn.day} on it cannot be told, and it {fails}"
        return Waits(
            kind="ahead",
            title=group.findings[0].title,
            where=self._where(cells),
            what=tuple(dict.fromkeys(f.fix for f in group.findings if f.fix)),
            found=tuple(found_line(c, self.book) for c in cells),
            asked_by=asked,
            until=f"meets through {last} if nothing else changes, {fails}",
            day=str(turn.day),
            then=tuple(dict.fromkeys(_effect(a) for a in asked)),
            parts=(),
        )


def of_changes(changes: Iterable[ChangeLine]) -> Iterator[Waits]:
    """Changes in force that end: what they spare comes back on the day after."""
    for line in changes:
        change = line.change
        sparing = change.kind != _TIGHTENED and line.covers > 0
        if not sparing or line.standing != Standing.IN_FORCE.value or not change.until:
            continue
        last = date.fromisoformat(change.until)
        who = f" by {change.by}" if change.by else ""
        uses = f" for {', '.join(line.uses)}" if line.uses else ""
        then = dict.fromkeys(f"it {e.state_without} ({e.weighs_without}) as before" for e in line.effects)
        yield Waits(
            kind="change",
            title=f"{line.title} ({line.rule})",
            where=tuple(dict.fromkeys(e.place_words for e in line.effects)),
            what=(),
            found=(),
            asked_by=(),
            until=f"{change.kind}{who}{uses} through {last} ({change.because}; {change.where})",
            day=str(last + timedelta(days=1)) if last < date.max else "",
            then=tuple(then) or ("it counts again",),
        )


def _limits(unit: Unit, book: Rulebook) -> tuple[str, ...]:
    """The limits that failing puts on uses, in words: one text for each use."""
    return tuple(
        f"{use}: {', '.join(limit_words(limit, book) for limit in limits)}"
        for use, limits in unit.effects.limits
    )


def _effect(asked: AskedBy) -> str:
    """What a rule does from the day on which it fails."""
    parts = [f"it stands against {asked.bears}"] if asked.blocks else []
    parts += [f"limits for {words}" for words in asked.limits]
    return "; ".join(parts) or "nothing is held up; watch it"
