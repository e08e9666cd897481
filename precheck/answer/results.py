"""One result in full: rule, source, comparisons, effects, and what would change it."""

from __future__ import annotations

from collections.abc import Sequence

from precheck.answer.comparing import comparisons
from precheck.answer.describe import condition_words, effect_lines
from precheck.answer.explain import Bears, CiteLine, Comparison, Remedy, Result
from precheck.answer.findings import combined_finding, finding
from precheck.answer.gate import Gate
from precheck.answer.remedies import Desk
from precheck.engine.logic import LIMITED
from precheck.engine.plan import Unit, UnitKey
from precheck.engine.results import Combined
from precheck.model.catalogue import Use
from precheck.model.rules import Cite, State
from precheck.rulebook.book import Rulebook
from precheck.rulebook.questions import LAW, PENDING

_WEIGHTS = {"answer": 10, "look": 20, "measure": 20, "raise": 30, "lower": 30, "correct": 40, "mend": 60}
_RENEW = 90
_NOTHING = 1000  # nothing a person can say in a line


def path(result: Result) -> tuple[int, int]:
    """How long the way is to change a result, and how many things there are to do."""
    if not result.remedies:
        return (_NOTHING, 0)
    moves = result.remedies[0].moves
    return (sum(_WEIGHTS.get(m.kind, _RENEW) for m in moves), len(moves))


class Results:
    """Makes results of units for the uses asked."""

    def __init__(self, gate: Gate, uses: Sequence[Use], desk: Desk) -> None:
        self.gate = gate
        self.book: Rulebook = gate.book
        self.uses = uses
        self.desk = desk
        self.judged = desk.judged

    def result(self, unit: Unit, tried: bool = True) -> Result:
        found = finding(unit, self.uses, self.judged, self.book)
        compared = comparisons(unit, self.judged.cells)
        remedies = self.desk.remedies(unit, tried)
        terms = " and ".join(f"{t.measure} {t.written}" for t in unit.rule.applies)
        return Result(
            finding=found,
            number=unit.number + 1,
            steps=len(unit.rule.steps),
            cites=tuple(self._cite(c) for c in unit.rule.cites),
            condition=condition_words(unit.step.condition),
            applies=terms,
            effects=tuple(effect_lines(self.book, unit.effects)),
            bears=self._bears(unit.key),
            comparisons=compared,
            decided_by=_decided(found.state, compared),
            close=_close(found.state, compared),
            remedies=remedies,
            nothing_to_do="" if remedies else self._nothing(unit, found.state),
        )

    def close_call(self, unit: Unit) -> list[Result]:
        """The result of a unit that meets by less than its reading can tell; none where it does not."""
        compared = comparisons(unit, self.judged.cells)
        state = self.judged.results.states[unit.key].value
        return [self.result(unit)] if _close(state, compared) else []

    def combined(self, combined: Combined) -> Result:
        """Too many limits at once: the cheapest of them that would have to be mended."""
        remedies = self._fewer(combined)
        return Result(
            finding=combined_finding(combined, self.book),
            number=1,
            steps=1,
            cites=(self._cite(Cite("floor", "combined-limits", "memory")),),
            condition=f"fewer than {self.book.policy.combine} limits on {combined.chain} at {combined.use}",
            applies="",
            effects=(f"failing blocks {', '.join(u for u in self.book.uses if u in combined.blocks)}",),
            bears=tuple(Bears(u, "bad") for u in self.book.uses if u in combined.blocks),
            comparisons=(),
            decided_by="",
            close="",
            remedies=remedies,
            nothing_to_do="" if remedies else "Mend at least one of the findings named, each as `why` says.",
        )

    def _fewer(self, combined: Combined) -> tuple[Remedy, ...]:
        classes = self.judged.results.classes[combined.use]
        by_rule: dict[str, list[Result]] = {}
        for unit in self.judged.units:
            if unit.rule.id in combined.rules and classes[unit.key] == LIMITED:
                by_rule.setdefault(unit.rule.id, []).append(self.result(unit))
        needed = len(combined.rules) - self.book.policy.combine + 1
        whole = {name: found for name, found in by_rule.items() if all(r.remedies for r in found)}
        cheapest = sorted(whole, key=lambda name: sum(path(r)[0] for r in whole[name]))[:needed]
        if len(cheapest) < needed:
            return ()
        remedies = [r.remedies[0] for name in cheapest for r in whole[name]]
        moves = {(m.point, m.place): m for remedy in remedies for m in remedy.moves}
        lines = list(dict.fromkeys(line for r in remedies for line in r.jot.split("; ")))
        came = State.MEETS.value if self.desk.uncombines(combined, lines) else ""
        note = f"{needed} of the limits mended is enough"
        return (Remedy(tuple(moves.values()), "; ".join(lines), came, note),)

    def _cite(self, cite: Cite) -> CiteLine:
        source = self.book.sources.get(cite.source)
        return CiteLine(
            source=cite.source,
            title=source.title if source else cite.source,
            kind=source.kind if source else "",
            clause=cite.clause,
            edition=source.edition if source else "",
            address=source.address if source else "",
            checked=cite.checked,
            note=cite.note,
        )

    def _bears(self, key: UnitKey) -> tuple[Bears, ...]:
        out = []
        for use in self.book.uses.values():
            weight = self.gate.judged(use).results.classes[use.id].get(key)
            if weight is not None:
                out.append(Bears(use.id, weight))
        return tuple(out)

    def _nothing(self, unit: Unit, state: str) -> str:
        """Why no reading would change a result."""
        measures = {t.measure for t in unit.step.condition.tests}
        if LAW in measures or any(m.startswith(PENDING) for m in measures):
            return f"{unit.rule.requires} {unit.rule.fix}"
        if state in (State.FAILS.value, State.NOT_MEASURED.value, State.CANNOT_TELL.value):
            fix = f" {unit.rule.fix}" if unit.rule.fix else ""
            return f"No change of readings was found that meets it as a whole.{fix}"
        return ""


def _close(state: str, compared: Sequence[Comparison]) -> str:
    """The close call of a result that was judged by its numbers."""
    if state not in (State.MEETS.value, State.FAILS.value):
        return ""
    return next((c.close for c in compared if c.close and not c.term), "")


def _decided(state: str, compared: Sequence[Comparison]) -> str:
    """The term that made a rule not apply, or that leaves open whether it does."""
    terms = [c for c in compared if c.term]
    if state == State.DOES_NOT_APPLY.value:
        out = [c for c in terms if c.outcome == State.FAILS.value]
        return "; ".join(
            f"{c.measure} is {c.compared or 'not so'}, and it applies where {c.limit}" for c in out
        )
    unknown = [c for c in terms if c.outcome in (State.NOT_MEASURED.value, State.CANNOT_TELL.value)]
    return "; ".join(f"whether it applies is not known: {c.measure} {c.limit} ({c.why})" for c in unknown)
