"""The changes of local rule files: read, held against standing and the floor, applied for one day.

Standing: law > regulation > standard > manual = handbook > common practice > own.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from datetime import date

from precheck.model.catalogue import Source
from precheck.model.changes import Aside, Change, ChangeKind, Standing
from precheck.model.node import Node
from precheck.model.problem import Mark
from precheck.model.record import dataclass, replace
from precheck.model.rules import Part, Rule, Step, Test
from precheck.read.near import near
from precheck.read.shape import Shape, read_date
from precheck.rulebook.book import Rulebook
from precheck.rulebook.limits import Measures, read_tests
from precheck.rulebook.questions import questions
from precheck.rulebook.tighter import as_strict

STANDING = {
    "law": 6, "regulation": 5, "standard": 4, "manual": 3, "handbook": 3, "common practice": 2, "own": 1,
}  # fmt: skip
KINDS = {"tighten": ChangeKind.TIGHTEN, "loosen": ChangeKind.LOOSEN, "set-aside": ChangeKind.SET_ASIDE}
_KEYS: dict[ChangeKind, tuple[tuple[str, ...], tuple[str, ...]]] = {
    ChangeKind.TIGHTEN: (("rule", "limit", "because"), ("step", "from", "until", "by")),
    ChangeKind.LOOSEN: (("rule", "limit", "because", "until", "by"), ("step", "from")),
    ChangeKind.SET_ASIDE: (("rule", "because", "until", "by"), ("from",)),
}
COMBINED = "combined-limits-"  # how the rules on several limits at once are called
_ADD = "add: a rule of your own beside it; both are then judged"


# -- standing and the floor -------------------------------------------------------------------


def standing_of(rule: Rule, sources: Mapping[str, Source]) -> str:
    """The kind of source a rule stands by: the highest that it cites."""
    kinds = [sources[c.source].kind for c in rule.cites if c.source in sources]
    return max(kinds, key=lambda kind: STANDING[kind], default="law")


def of_floor(rule: Rule, sources: Mapping[str, Source]) -> bool:
    return rule.floor or any(sources[c.source].floor for c in rule.cites if c.source in sources)


def built_in_names(book: Rulebook) -> frozenset[str]:
    """Names of the rules that the rulebook itself brings; no file may use them."""
    return frozenset(rule.id for rule in questions(book))


def find_rule(shape: Shape, node: Node | None, rules: Mapping[str, Rule], book: Rulebook) -> Rule | None:
    """The rule a change names; a built-in one and one that is not there are problems."""
    name = shape.text(node, "rule")
    if name is None or node is None:
        return None
    if name in rules:
        return rules[name]
    if name in built_in_names(book) or name.startswith(COMBINED):
        shape.note(
            node, "built-in-rule", f"'{name}' is built in, and no file changes it", "a rule of a rule file"
        )
        return None
    shape.note(
        node,
        "unknown-rule",
        f"there is no rule '{name}'",
        "a rule that `precheck show rules` lists, or one of a file named with --rules",
        close=near(name, list(rules)),
    )
    return None


# -- reading ----------------------------------------------------------------------------------


class ChangeReader:
    """Reads the changes of one local file. `rules` and `sources` hold what all the files bring."""

    def __init__(
        self, shape: Shape, source: Source, book: Rulebook, rules: Mapping[str, Rule], measures: Measures
    ) -> None:
        self.shape = shape
        self.source = source
        self.book = book
        self.rules = rules
        self.measures = measures
        self.named: list[tuple[str, Mark]] = []  # the rules named, and where, for what is said twice

    def read(self, top: Mapping[str, Node], sources: Mapping[str, Source]) -> list[Change]:
        out = []
        for word, kind in KINDS.items():
            for node in self.shape.items(top.get(word), word):
                change = self._change(node, word, kind, sources)
                if change is not None:
                    out.append(change)
        return out

    def _change(
        self, node: Node, word: str, kind: ChangeKind, sources: Mapping[str, Source]
    ) -> Change | None:
        shape = self.shape
        before = len(shape.problems)
        got = shape.keys(node, f"an entry of '{word}'", *_KEYS[kind])
        if got is None:
            return None
        because = shape.text(got.get("because"), "because")
        by = shape.text(got.get("by"), "by")
        start, until = read_span(shape, got)
        rule = find_rule(shape, got.get("rule"), self.rules, self.book)
        if rule is None:
            return None
        self.named.append((rule.id, node.mark))
        if kind is not ChangeKind.TIGHTEN:
            self._may_loosen(got["rule"], rule, word, sources)
        step, tests = 0, None
        if kind is not ChangeKind.SET_ASIDE:
            found = self._limit(got, rule, kind)
            if found is None:
                return None
            step, tests = found
        if len(shape.problems) > before:
            return None
        return Change(
            kind, rule.id, because or "", by or "", start, until, shape.source.name, node.mark,
            self.source.id, step, tests,
        )  # fmt: skip

    def _may_loosen(self, node: Node, rule: Rule, word: str, sources: Mapping[str, Source]) -> None:
        if of_floor(rule, sources):
            self.shape.note(
                node,
                "floor",
                f"'{rule.id}' is of the floor, which nothing may loosen or set aside",
                "a rule outside the floor",
            )
            return
        needed = standing_of(rule, sources)
        if STANDING[self.source.kind] < STANDING[needed]:
            why = "" if self.source.kind != "own" else ", as its address is not an official one (https://...)"
            self.shape.note(
                node,
                "standing",
                f"'{rule.id}' stands as {needed}; this file stands as {self.source.kind}{why}",
                f"a source that stands as {needed} or higher, to {word} it",
            )

    def _limit(
        self, got: Mapping[str, Node], rule: Rule, kind: ChangeKind
    ) -> tuple[int, tuple[Test, ...]] | None:
        shape = self.shape
        step = self._step(got, rule)
        if step is None or "limit" not in got:
            return None
        old = plain_tests(rule.steps[step])
        if not old:
            shape.note(
                got["limit"],
                "no-single-limit",
                f"'{rule.id}' is no single limit on one value: it has several conditions",
                "a rule with one limit"
                if kind is ChangeKind.TIGHTEN
                else "set-aside, and a rule of your own",
                _ADD,
            )
            return None
        measure = self.measures[old[0].measure]
        before = len(shape.problems)
        new = read_tests(shape, got["limit"], measure, old[0].over)
        if len(shape.problems) > before or not new:
            return None
        others = {t.bound.of for t in new if t.bound} - {t.bound.of for t in old if t.bound}
        if others:
            shape.note(
                got["limit"],
                "another-value",
                f"the limit of '{rule.id}' is not set by {' or '.join(sorted(others))}",
                "a limit of the same form as the rule's own",
                _ADD,
            )
            return None
        strict = as_strict(new, old, self._never_negative)
        now, was = limit_words(new), limit_words(old)
        if kind is ChangeKind.TIGHTEN and not strict:
            shape.note(
                got["limit"],
                "not-tighter",
                f"'{now}' is not proven to be as strict as '{was}', the limit of '{rule.id}'",
                "a limit that is as strict or stricter",
                _ADD,
            )
            return None
        if kind is ChangeKind.LOOSEN and strict:
            shape.note(
                got["limit"],
                "not-looser",
                f"'{now}' is as strict as '{was}', the limit of '{rule.id}', or stricter",
                "a looser limit; one that is as strict or stricter stands under tighten:",
            )
            return None
        return step, new

    def _step(self, got: Mapping[str, Node], rule: Rule) -> int | None:
        """The step meant, from 0; a rule of several steps must say which."""
        steps = len(rule.steps)
        if "step" not in got:
            if steps == 1:
                return 0
            grades = "; ".join(f"{i}: {limit_words(plain_tests(s))}" for i, s in enumerate(rule.steps, 1))
            self.shape.note(
                got["rule"],
                "which-step",
                f"'{rule.id}' has {steps} steps ({grades})",
                f"the step meant, 1 to {steps}",
                "step: 1",
            )
            return None
        number = self.shape.whole(got["step"], "step")
        if number is None:
            return None
        if not 1 <= number <= steps:
            self.shape.note(got["step"], "which-step", f"step {number} of {steps}", f"1 to {steps}")
            return None
        return number - 1

    def _never_negative(self, name: str) -> bool:
        point = self.book.points.get(name)
        low = point.plausible.low if point and point.plausible else None
        return low is not None and low >= 0


def read_span(shape: Shape, got: Mapping[str, Node]) -> tuple[date | None, date | None]:
    """`from` and `until`, both included."""
    start = shape.read(got.get("from"), "from", read_date)
    until = shape.read(got.get("until"), "until", read_date)
    if start is not None and until is not None and start > until:
        found, how = f"it ends on {until}, before it starts", f"until: {start}"
        shape.note(got["until"], "ends-before", found, f"{start} or later", how)
    return start, until


def plain_tests(step: Step) -> tuple[Test, ...]:
    """The tests of a step that is one limit on one value; empty for anything else."""
    part = step.condition
    one = len({(t.measure, t.over) for t in part.tests}) == 1
    return part.tests if one and not part.parts and not part.any_of and not part.applies else ()


def limit_words(tests: Iterable[Test]) -> str:
    return " and ".join(t.written for t in tests)


def note_twice(readers: Iterable[ChangeReader]) -> None:
    """Two changes to one rule are refused, naming both places."""
    first: dict[str, str] = {}
    for reader in readers:
        for rule, mark in reader.named:
            here = f"{reader.shape.source.name}:{mark.line}"
            if rule in first:
                reader.shape.note(
                    mark,
                    "changed-twice",
                    f"'{rule}' is changed at {first[rule]} too",
                    "one change to a rule, in all files together",
                )
            first.setdefault(rule, here)


# -- applying ---------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class Applied:
    """The rules of one day. `rules` as they judge, `untouched` as they were; `aside` does not count."""

    rules: tuple[Rule, ...]
    untouched: tuple[Rule, ...]
    aside: Aside
    in_force: tuple[Change, ...]


def apply(rules: Sequence[Rule], changes: Sequence[Change], day: date) -> Applied:
    """Changes in force on the day, on the rules that judge. Nothing else is done to any rule.

    The readers let no change near the floor but one that tightens; raises ValueError where one came through.
    """
    judging = {rule.id for rule in rules}
    live = tuple(c for c in changes if c.rule in judging and c.on(day) is Standing.IN_FORCE)
    floor = {rule.id for rule in rules if rule.floor}
    for change in live:
        if change.rule in floor and change.kind is not ChangeKind.TIGHTEN:
            raise ValueError(f"{change.where} would loosen '{change.rule}', a rule of the floor")
    limits = {c.rule: c for c in live if c.tests is not None}
    aside = frozenset(c.rule for c in live if c.kind is ChangeKind.SET_ASIDE)
    accepted = frozenset(
        (c.rule, place, use)
        for c in live
        if c.kind is ChangeKind.ACCEPT
        for place in c.places
        for use in c.uses
    )
    changed = tuple(_changed(r, limits[r.id]) if r.id in limits else r for r in rules)
    return Applied(changed, tuple(rules), Aside(aside, accepted), live)


def _changed(rule: Rule, change: Change) -> Rule:
    """The rule with a looser limit in the place of the old one, or with a stricter one beside it.

    A stricter limit is one more step with the effects of the old: whatever holds a use up without it holds
    it up with it. (A value on both sides of the old limit leaves a use open; were the old limit gone, the
    same value could fail the new one for sure, and a failure may only limit.)
    """
    assert change.tests is not None
    step = replace(rule.steps[change.step], condition=Part(False, (), change.tests))
    if change.kind is ChangeKind.TIGHTEN:
        return replace(rule, steps=(*rule.steps, step))
    return replace(rule, steps=(*rule.steps[: change.step], step, *rule.steps[change.step + 1 :]))
