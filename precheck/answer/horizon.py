"""What will turn by time alone: the day on which a rule that meets now fails, its readings as they are."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from datetime import date, timedelta

from precheck.answer.judging import Judged
from precheck.derive.cells import Cells
from precheck.engine.judge import judge
from precheck.engine.plan import Unit, tests_of
from precheck.model.record import dataclass
from precheck.model.rules import State
from precheck.rulebook.book import Rulebook

DAYS = 731  # how far ahead is looked: two years
LAST = date(9996, 12, 31)  # ages are worked out up to a month ahead of a day, and dates end with 9999
_WELL = (State.MEETS, State.DOES_NOT_APPLY)


@dataclass(frozen=True, slots=True)
class Turn:
    """The first day on which something meets no more, and the first on which it fails for certain."""

    day: date
    fails: date | None


class Ahead:
    """The cells of one judgement on later days, the same readings counting on."""

    def __init__(self, judged: Judged, book: Rulebook, day: date) -> None:
        self.judged = judged
        self.book = book
        self.day = day
        self._cells: dict[int, Cells] = {}

    def cells_on(self, day: date) -> Cells:
        """The cells of a later day, as far as they were worked out."""
        return self._ahead((day - self.day).days)

    def state(self, unit: Unit, days: int) -> State:
        """What a unit comes to so many days after the day judged, by the plain judge."""
        cells = self._ahead(days)
        for test in tests_of(unit.rule):
            cells.add(test, unit.place)
        return judge([unit], cells, self.book).units[unit.key].state

    def _ahead(self, days: int) -> Cells:
        if days not in self._cells:
            self._cells[days] = self._on(days)
        return self._cells[days]

    def _on(self, days: int) -> Cells:
        now = self.judged.cells
        cells = Cells(self.judged.settled, self.book, self.day + timedelta(days=days))
        known = self.book.points.keys() | self.book.derived.keys()
        cells.found.update({k: c for k, c in now.found.items() if k[0] not in known and "|" not in k[0]})
        return cells

    def turns(self, units: Iterable[Unit]) -> dict[Turn, list[Unit]]:
        """Units that meet now and stop meeting by age within two years, in the order of the day.

        An age only grows, so each day is found by halving.
        """
        found: dict[Turn, list[Unit]] = {}
        if self.day > LAST:
            return found
        for unit in units:
            if not self._worked_out(unit) or self.state(unit, DAYS) in _WELL:
                continue
            first = self._first(unit, lambda state: state not in _WELL)
            fails = None
            if self.state(unit, DAYS) is State.FAILS:
                fails = self._first(unit, lambda state: state is State.FAILS)
            found.setdefault(Turn(first, fails), []).append(unit)
        return dict(sorted(found.items(), key=lambda pair: (pair[0].day, pair[0].fails or date.max)))

    def _first(self, unit: Unit, there: Callable[[State], bool]) -> date:
        """The first day of which `there` holds; it holds at the end."""
        before, after = 0, DAYS
        while after - before > 1:
            middle = (before + after) // 2
            if there(self.state(unit, middle)):
                after = middle
            else:
                before = middle
        return self.day + timedelta(days=after)

    def _worked_out(self, unit: Unit) -> bool:
        """Whether a derived value is compared at all: a reading itself does not change with the day."""
        names = {n for t in tests_of(unit.rule) for n in (t.measure, t.bound.of if t.bound else "")}
        return bool(names & self.book.derived.keys())
