"""Who notices that a rule blocks, asks or limits something else: the lint, the severity table, case names.

Cases speak of states, so no case can notice an effect by its state. These can:
`rules check` where `asks` asks too early or the must-look lists no longer fit; the severity table of
rules/uses.yaml for sources that bind; case names that speak of uses ("soft blocks proving"); and the
limits of the uses themselves, which a finding's limit must not lie beyond; and what the effects are by
convention (convention.py), or by a second reading of the blocking table for the floor (holds.py).
"""

from __future__ import annotations

import re
from collections import Counter

from precheck.model.rules import Case, Effects, Op, Rule, State, Step, Test
from precheck.rulebook import lint
from precheck.rulebook.book import Rulebook
from precheck.rulebook.rules import close_up
from tests.mutation.convention import Convention
from tests.mutation.holds import Holds
from tests.mutation.rare import RARE

_SAYS = re.compile(r"^.*? (does not block|blocks|only limits|brings no limit)(?: (.+))?$")
_WORDS = {"the yard": "yard"}


class Effective:
    """Notices of effects for one rulebook; what the floor asks is counted once."""

    def __init__(self, book: Rulebook) -> None:
        self.book = book
        self.convention = Convention(book)
        self.holds = Holds(book)
        self.asked: dict[str, Counter[str]] = {}
        for rule in book.rules.values():
            self._count(rule, self.asked, 1)

    def noticed_by(self, rule: Rule, mutant: Rule) -> str:
        """What notices; empty where nothing does. Only what the rule itself keeps can notice its mutant."""
        for name, check in (
            ("case names", names_lie),
            ("the severity table", against_table),
            ("limits of the uses", idle_limits),
            ("what nobody asks for", unasked),
            ("the order of the steps", out_of_order),
        ):
            if check(mutant, self.book) and not check(rule, self.book):
                return name
        second = self.holds if rule.floor else self.convention
        if second.differs(mutant) and not second.differs(rule):
            return "the second reading of the floor" if rule.floor else "the convention"
        if _asks_too_early(mutant, self.book) and not _asks_too_early(rule, self.book):
            return "rules check"
        return "rules check" if self._must_look(rule, mutant) else ""

    # -- must-look lists ------------------------------------------------------------------------

    def _count(self, rule: Rule, into: dict[str, Counter[str]], by: int) -> None:
        if rule.floor:
            for step in rule.steps:
                names = lint._leaves(self.book, lint._wanted(step.condition))
                for use in step.effects.asks:
                    into.setdefault(use, Counter()).update(dict.fromkeys(names, by))

    def _must_look(self, rule: Rule, mutant: Rule) -> bool:
        """Whether the mutant asks something that is not listed, or no longer asks what is."""
        change: dict[str, Counter[str]] = {}
        self._count(rule, change, -1)
        self._count(mutant, change, 1)
        for use, names in change.items():
            listed = self.book.uses[use].must_look
            before = self.asked.get(use, Counter())
            for name, by in names.items():
                if listed and by and (before[name] > 0) != (before[name] + by > 0):
                    return True
        return False


def _asks_too_early(rule: Rule, book: Rulebook) -> bool:
    return any(list(lint._step(book, rule, n, step)) for n, step in enumerate(rule.steps, 1))


OF_USE = {"us-va-730-everyday"}  # a law on what plates allow, not on the state of a vehicle
UNASKED = {"floor-tire-rim"}  # tests/mutation/holds.yaml says why nobody is asked for both its marks


def against_table(rule: Rule, book: Rulebook) -> bool:
    """Whether a rule of a source that binds leaves the severity table of rules/uses.yaml.

    A source that binds the road blocks proving, or a side use alone. One that binds at an inspection
    blocks occasional and puts limits on proving, or is severer, or only watches.
    """
    source = book.sources.get(rule.source)
    if source is None or source.floor or source.own or source.binds == "nobody" or rule.id in OF_USE:
        return False
    lows = [s.effects.lowest_block for s in rule.steps if s.effects.lowest_block]
    if not lows:
        return source.binds == "road"
    ranks = [(book.uses[low].rank, book.uses[low].side) for low in lows]
    rank, side = min(ranks)
    if source.binds == "road":
        return not (side or rank == 1)
    if side:
        return False
    limited = any(use == book.rungs()[1].id for s in rule.steps for use, _ in s.effects.limits)
    return rank not in (1, 2) or (rank == 2 and not limited)


def idle_limits(rule: Rule, book: Rulebook) -> bool:
    """Whether a limit lies beyond what every use it stands at allows anyway, so that it does nothing."""
    for step in rule.steps:
        idle: dict[tuple[str, object], bool] = {}
        for use, limits in step.effects.limits:
            usual = {x.kind: x.value for x in book.uses[use].limits if x.value is not None}
            for x in limits:
                if x.value is not None:
                    beyond = x.kind in usual and x.value > usual[x.kind]
                    idle[x.kind, x.value] = idle.get((x.kind, x.value), True) and beyond
        if any(idle.values()):
            return True
    return False


def unasked(rule: Rule, book: Rulebook) -> frozenset[str]:
    """What a rule blocks a use by although nobody is ever asked for it."""
    if rule.id in UNASKED or not any(s.effects.blocks for s in rule.steps):
        return frozenset()
    if any(s.effects.asks for s in rule.steps):
        return frozenset()
    read = (lint._leaves(book, lint._wanted(s.condition)) for s in rule.steps)
    always = frozenset(book.rungs()[0].must_look)  # asked for by themselves before the first movement
    return frozenset(n for names in read for n in names) - RARE - always


def out_of_order(rule: Rule, book: Rulebook) -> bool:
    """Whether a worse grade of one value blocks no lower use than a milder one, or limits it no more."""
    grades = [(s.condition.tests[0], s.effects) for s in rule.steps if _one_test(s)]
    for mild, less in grades:
        for worse, more in grades:
            if _contains(worse, mild) and _block(more, book) > _block(less, book):
                return True
            if _contains(worse, mild) and less.blocks == more.blocks and less.limits == more.limits:
                return True
    return False


def _one_test(step: Step) -> bool:
    part = step.condition
    return len(part.tests) == 1 and not part.parts and not part.applies


def _contains(wide: Test, narrow: Test) -> bool:
    """Whether all that meets `narrow` meets `wide` too, and more does."""
    if wide.cell != narrow.cell or wide.op is not narrow.op:
        return False
    if wide.op is Op.ONE_OF:
        return set(wide.states) > set(narrow.states)
    if wide.limit is None or narrow.limit is None:
        return False
    up = wide.op in (Op.AT_LEAST, Op.MORE_THAN)
    return wide.limit < narrow.limit if up else wide.limit > narrow.limit


def _block(effects: Effects, book: Rulebook) -> tuple[int, bool]:
    use = book.uses[effects.lowest_block] if effects.lowest_block else None
    return (use.rank, use.side) if use else (99, True)


# -- case names -------------------------------------------------------------------------------------


def names_lie(rule: Rule, book: Rulebook) -> list[str]:
    """The cases whose name says what a failure does, and says it wrongly."""
    return [case.name for case in rule.cases if not _true(case, rule, book)]


def speaks_of_uses(case: Case) -> bool:
    return _SAYS.match(case.name) is not None


def _true(case: Case, rule: Rule, book: Rulebook) -> bool:
    said = _SAYS.match(case.name)
    if said is None or (case.step or 1) > len(rule.steps):
        return True
    effects = rule.steps[(case.step or 1) - 1].effects
    uses = [_WORDS.get(u, u) for u in re.split(r" (?:and|or) ", said[2] or "")]
    if said[2] and not all(u in book.uses for u in uses):
        return True  # a sentence of another kind
    if said[1] in ("blocks", "does not block"):
        failing = said[1] == "blocks"
        return not said[2] or (
            (case.expect is State.FAILS) == failing and effects.blocks == close_up(uses, book.uses)
        )
    if said[1] == "only limits":
        return case.expect is State.FAILS and _first_limited(effects, book) == uses[0]
    return case.expect is State.MEETS and bool(effects.limits)


def _first_limited(effects: Effects, book: Rulebook) -> str:
    limited = [u for u in book.uses if effects.limits_at(u)]
    return min(limited, key=lambda u: (book.uses[u].rank, book.uses[u].side), default="")
