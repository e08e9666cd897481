"""The cases of a rule, settled once and judged again for each mutant, by the plain judge.

`precheck rules prove` runs the same cases through both evaluators; here only the rule changes, and the
judge alone says whether a state came out otherwise.
"""

from __future__ import annotations

from precheck.answer.judging import points_read
from precheck.answer.prove import CASE_DAY
from precheck.derive.cells import Cells
from precheck.engine.judge import judge
from precheck.engine.plan import plan
from precheck.model.catalogue import Day
from precheck.model.document import Document, Visit
from precheck.model.node import Map, Source
from precheck.model.problem import Mark
from precheck.model.rules import Case, Rule, State
from precheck.read.shape import Shape
from precheck.rulebook.book import Rulebook
from precheck.settle.check import claims_of_case
from precheck.settle.settle import settle

_WORST = (State.FAILS, State.NOT_MEASURED, State.CANNOT_TELL, State.MEETS, State.DOES_NOT_APPLY)


class Cases:
    """The settled cases of one rule."""

    def __init__(self, rule: Rule, book: Rulebook) -> None:
        self.book = book
        self.settled = [(case, _cells(rule, case, book)) for case in rule.cases]

    def noticed_by(self, mutant: Rule) -> Case | None:
        """The first case whose state comes out otherwise; None: the mutant survives."""
        for i, (case, cells) in enumerate(self.settled):
            if self._state(mutant, case, cells) is not case.expect:
                self.settled.insert(0, self.settled.pop(i))  # what noticed one notices the next
                return case
        return None

    def _state(self, rule: Rule, case: Case, cells: Cells) -> State | None:
        units = plan([rule], cells)
        found = judge(units, cells, self.book).units
        states = [found[u.key].state for u in units if case.step is None or u.number == case.step - 1]
        return next((s for s in _WORST if s in states), None)


def _cells(rule: Rule, case: Case, book: Rulebook) -> Cells:
    day = Day(case.on or CASE_DAY, True)
    names = {e.key.text for e in case.given.entries}
    kept = tuple(e for e in case.typical.entries if e.key.text not in names) if case.typical else ()
    given = Map((*kept, *case.given.entries), case.given.mark or Mark(1, 1))
    facts, readings = claims_of_case(Shape(Source(rule.file, (), given), book.units), book, given, day)
    visit = Visit(0, day.date, "case", readings, (), (), None, case.mark)
    document = Document(rule.file, "", facts, (), (visit,))
    return Cells(settle(document, book, day, book.rungs()[0], points_read([rule], book)), book, day.date)
