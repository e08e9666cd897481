"""Trying out: what one rule comes to at one place when some readings were other than they are.

Nothing here is ever a verdict: the plain judge alone is asked, for explanations; what a person is told is
tried on the whole document afterwards, with both evaluators.
"""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date

from precheck.answer.judging import Judged
from precheck.derive.cells import Cells, Key
from precheck.engine.judge import judge, outcome_of
from precheck.engine.plan import Unit, tests_of
from precheck.model.catalogue import VEHICLE
from precheck.model.document import Value
from precheck.model.record import replace
from precheck.model.rules import State, Test
from precheck.model.settled import Cell, Status
from precheck.rulebook.book import Rulebook
from precheck.rulebook.questions import JUDGED, LAW

Values = tuple[Value, ...]


class Trial:
    """One judgement's cells, some of them replaced."""

    def __init__(self, judged: Judged, book: Rulebook, day: date) -> None:
        self.book = book
        self.day = day
        self.judged = judged
        self.settled = judged.settled
        self._last: tuple[tuple[tuple[Key, Values], ...], Cells] | None = None
        self.built_in = {
            key: cell
            for key, cell in judged.cells.found.items()
            if key[0] not in book.points and key[0] not in book.derived and "|" not in key[0]
        }

    def cells(self, changed: Mapping[Key, Values]) -> Cells:
        """All readings as they were settled, those of `changed` replaced."""
        same = tuple(changed.items())
        if self._last is not None and self._last[0] == same:
            return self._last[1]
        found = dict(self.settled.cells)
        for key, values in changed.items():
            found[key] = Cell(key[0], key[1], Status.VALUE, values)
        cells = Cells(replace(self.settled, cells=found), self.book, self.day)
        cells.found.update(self.built_in)
        if ("region", VEHICLE) in changed:  # whether a law judges there is found on the whole document
            cells.found[LAW, VEHICLE] = Cell(LAW, VEHICLE, Status.VALUE, (Value(JUDGED, state=JUDGED),))
        self._last = (same, cells)
        return cells

    def state(self, unit: Unit, changed: Mapping[Key, Values]) -> State:
        """What the unit comes to, by the plain judge."""
        cells = self.cells(changed)
        for test in tests_of(unit.rule):
            cells.add(test, unit.place)
        return judge([unit], cells, self.book).units[unit.key].state

    def outcome(self, test: Test, place: str, changed: Mapping[Key, Values]) -> tuple[State, Cell]:
        """What one comparison comes to, with the cell it reads."""
        cells = self.cells(changed)
        cell = cells.found[cells.add(test, place)]
        return outcome_of(test, cell), cell
