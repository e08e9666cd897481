"""Finds readings with which one step of one rule meets at one place.

It changes as little as it can: it walks the condition, takes the cheapest branch of an any-of, and for each
comparison that does not meet changes the reading it goes back to, within what the other comparisons of the
condition allow. What it finds is tried before anybody is told.
"""

from __future__ import annotations

from collections.abc import Sequence

from precheck.answer import fixacross, fixderived
from precheck.answer.attempt import Attempt, Fix
from precheck.answer.sampling import default_value, in_rows, samples
from precheck.answer.targets import LOWER
from precheck.answer.trial import Trial
from precheck.derive.margin import limit_of
from precheck.engine.plan import Unit
from precheck.model.catalogue import VEHICLE
from precheck.model.record import replace
from precheck.model.rules import Part, State, Test
from precheck.model.settled import Cell, Status


class Solver(Attempt):
    """Walks a condition and changes what has to be otherwise."""

    # -- conditions -------------------------------------------------------------------------------

    def part(self, part: Part, place: str, inside_any: bool = False) -> bool:
        """Make a condition meet; True where it does (or drops out)."""
        holds = [self.outcome(term, place)[0] for term in part.applies]
        if State.FAILS in holds:
            return not inside_any
        if inside_any:
            for term in part.applies:
                if not self.test(term, place):
                    return False
        children: list[Test | Part] = [*part.tests, *part.parts]
        if part.any_of:
            return self._any(children, place)
        # Twice, because a later comparison may undo an earlier one.
        return all(self._child(child, place, False) for child in children * 2)

    def _child(self, child: Test | Part, place: str, inside_any: bool) -> bool:
        if isinstance(child, Part):
            return self.part(child, place, inside_any)
        return self.test(child, place)

    def _any(self, children: Sequence[Test | Part], place: str) -> bool:
        done = self.branches(children, place)
        if not done:
            return False
        self.fixes = min(done, key=lambda s: s.cost).fixes
        return True

    def branches(self, children: Sequence[Test | Part], place: str) -> list[Solver]:
        """Each branch of an any-of by itself, as far as it can be met."""
        out = []
        for child in children:
            solver = self.fork()
            if solver._child(child, place, True):
                out.append(solver)
        return out

    # -- comparisons ------------------------------------------------------------------------------

    def test(self, test: Test, place: str) -> bool:
        """Make one comparison meet by changing the readings behind it."""
        done = self.meets(test, place) or self._change(test, place)
        if done:
            self.held.append((test, place))
        return done

    def _change(self, test: Test, place: str) -> bool:
        if test.bound:
            return self._bounded(test, place)
        if test.over:
            return self._over(test, place)
        if test.measure in self.book.points:
            cells = self.trial.cells(self.changed)
            where = cells.where(test.measure, place)
            return where is not None and self.leaf((test.measure, where), test) and self.meets(test, place)
        if test.measure in self.book.derived:
            return fixderived.derived(self, test, place)
        return self._built_in(test, place)

    # -- limits that depend on another value -------------------------------------------------------

    def _bounded(self, test: Test, place: str) -> bool:
        bound = test.bound
        assert bound is not None
        reference = self.trial.cells(self.changed).value(bound.of, place)
        if reference.status is not Status.VALUE:
            return self._both(test, place, reference)
        if self._against(test, place, reference):
            return True
        return self._both(test, place, reference)

    def _against(self, test: Test, place: str, reference: Cell) -> bool:
        """The value measured against what the reference asks for."""
        assert test.bound is not None
        limit, _ = limit_of(reference, test.bound)
        end = None if limit is None else limit.high if test.op in LOWER else limit.low
        if end is None:
            return False
        solver = self.fork()
        plain = replace(test, bound=None, limit=end)
        if solver.test(plain, place) and solver.meets(test, place):
            self.fixes = solver.fixes
            return True
        return False

    def _both(self, test: Test, place: str, reference: Cell) -> bool:
        """The reference first, by example where nothing says what it is, then the value measured."""
        done: list[Solver] = []
        for key in self.open_leaves(reference) or [(reference.id, reference.place)]:
            usual = default_value(self.book, key, self.trial)
            first = in_rows(self.book, key, test.bound.rows) if test.bound else []
            first += [usual] if usual else []
            for value in [*first, *samples(self.book, key, self.trial)]:
                solver = self.fork()
                solver.fixes[key] = Fix(key, value, worked=True)
                if not solver.fill(reference):
                    continue
                now = solver.trial.cells(solver.changed).value(reference.id, reference.place)
                if now.status is Status.VALUE and (
                    solver.meets(test, place) or solver._against(test, place, now)
                ):
                    done.append(solver)
        if not done:
            return False
        self.fixes = min(done, key=lambda s: s.cost).fixes
        return True

    # -- judgements across places ------------------------------------------------------------------

    def _over(self, test: Test, place: str) -> bool:
        over = test.over
        assert over is not None
        _, cell = self.outcome(test, place)
        keys = list(cell.inputs)
        if not keys or any(k[0] not in self.book.points for k in keys):
            done = self.fill(cell)
        elif over.take in ("count", "share"):
            done = fixacross.count(self, test, keys)
        elif over.take == "distinct":
            done = fixacross.alike(self, keys)
        elif over.take == "spread":
            done = fixacross.spread(self, test, keys)
        else:
            done = all(self.leaf(key, test) for key in keys if not fixacross.alone(self, key, test))
        return done and (self.meets(test, place) or fixderived.by_trial(self, test, place, keys))

    # -- the rulebook's own questions -------------------------------------------------------------------

    def _built_in(self, test: Test, place: str) -> bool:
        """A law to judge by: the region, answered; whether that does it is tried on the document."""
        point = self.book.points.get("region")
        key = ("region", VEHICLE)
        cell = self.trial.settled.cells.get(key)
        if point is None or (cell and cell.status is Status.VALUE):
            return False
        return self.states(key, [s for s in point.states if self._has_law(s)])

    def _has_law(self, region: str) -> bool:
        names = {region, *(self.book.regions[region].includes if region in self.book.regions else ())}
        ruled = self.book.with_rules
        return any(
            s.region in names and s.id in ruled and s.binds != "nobody" for s in self.book.sources.values()
        )


def solve(unit: Unit, trial: Trial) -> list[Solver]:
    """Ways to make a unit meet, the cheapest first; of an any-of one for each branch."""
    root = Solver(trial)
    condition = unit.step.condition
    if condition.any_of and not condition.applies:
        found = root.branches([*condition.tests, *condition.parts], unit.place)
    else:
        found = [root] if root.part(condition, unit.place) else []
    good = [s for s in found if s.fixes and trial.state(unit, s.changed) is State.MEETS]
    for solver in good:
        _prune(solver, unit)
    unique = {tuple(sorted(s.fixes)): s for s in sorted(good, key=lambda s: -s.cost)}
    return sorted(unique.values(), key=lambda s: s.cost)


def _prune(solver: Solver, unit: Unit) -> None:
    """Leave out what is not needed after all."""
    for key in list(solver.fixes):
        fewer = {k: f.values for k, f in solver.fixes.items() if k != key}
        if fewer and solver.trial.state(unit, fewer) is State.MEETS:
            del solver.fixes[key]
