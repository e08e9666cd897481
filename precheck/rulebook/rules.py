"""Loader of rule files: rules, steps, effects and cases."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from precheck.model.catalogue import VEHICLE, Limit, LimitKind, Use
from precheck.model.node import Items, Map, Node
from precheck.model.rules import Case, Cite, Effects, Part, Rule, State, Step
from precheck.read.shape import Shape, read_date
from precheck.rulebook.limits import (
    OPERATOR_NAMES,
    Measures,
    find,
    operators,
    read_applies,
    read_condition,
    read_tests,
)
from precheck.rulebook.points import CHAINS
from precheck.rulebook.uses import read_limits
from precheck.rulebook.words import CHECKED

_RULE_KEYS = [
    "applies",
    "measure",
    "over",
    "at",
    "limit",
    "all-of",
    "any-of",
    "steps",
    "blocks",
    "asks",
    "limits",
    "chain",
    "consequence",
    "fix",
    "cautions",
    "cases",
]
_EFFECT_KEYS = ("blocks", "asks", "limits")
_STEP_KEYS = (*OPERATOR_NAMES, "measure", "over", "limit", "all-of", "any-of", "words", *_EFFECT_KEYS)
_STATES = tuple(s.value for s in State if s is not State.SET_ASIDE)


class RuleReader:
    """Reads the rules of one file against what the rulebook already knows.

    `family_of` gives the family of each measure, for a rule that does not say `at`.
    """

    def __init__(
        self,
        shape: Shape,
        measures: Measures,
        family_of: Mapping[str, str],
        uses: Mapping[str, Use],
        kinds: Mapping[str, LimitKind],
        floor_sources: frozenset[str],
    ) -> None:
        self.shape = shape
        self.measures = measures
        self.family_of = family_of
        self.uses = uses
        self.kinds = kinds
        self.floor_sources = floor_sources

    def rules(self, nodes: Sequence[Node], typical: Node | None, system: str) -> list[Rule]:
        if typical is not None and not isinstance(typical, Map):
            self.shape.map(typical, "typical")
            typical = None
        got = [self.rule(n, typical, system) for n in nodes]
        return [r for r in got if r is not None]

    def rule(self, node: Node, typical: Map | None, system: str) -> Rule | None:
        shape = self.shape
        got = shape.keys(node, "a rule", ("id", "title", "cite", "requires"), _RULE_KEYS)
        if got is None:
            return None
        name = shape.text(got.get("id"), "id")
        cites = self._cites(got.get("cite"))
        before = len(shape.problems)
        steps = self._steps(got, node)
        if name is None or not cites or not steps or len(shape.problems) > before:
            if name and not steps and len(shape.problems) == before:
                shape.note(node, "condition", f"rule {name} has no condition", "measure and limit")
            return None
        measure = shape.text(got.get("measure"), "measure") if "measure" in got else None
        family = shape.text(got.get("at"), "at") if "at" in got else None
        return Rule(
            id=name,
            title=shape.text(got.get("title"), "title") or name,
            cites=cites,
            requires=shape.text(got.get("requires"), "requires") or "",
            system=system,
            family=family or (self.family_of.get(measure, VEHICLE) if measure else VEHICLE),
            applies=read_applies(shape, got.get("applies"), self.measures),
            steps=steps,
            chain=shape.word(got.get("chain"), "chain", CHAINS),
            consequence=shape.text(got.get("consequence"), "consequence") or "",
            fix=shape.text(got.get("fix"), "fix") or "",
            cautions=shape.words(got.get("cautions"), "cautions"),
            cases=self._cases(got.get("cases"), typical, len(steps)),
            floor=cites[0].source in self.floor_sources,
            file=shape.source.name,
            mark=node.mark,
        )

    def _cites(self, node: Node | None) -> tuple[Cite, ...]:
        nodes = node.items if isinstance(node, Items) else (node,) if node is not None else ()
        out = []
        for item in nodes:
            got = self.shape.keys(item, "cite", ("source", "clause", "checked"), ("note",))
            if got is None:
                continue
            source = self.shape.text(got.get("source"), "source")
            clause = self.shape.text(got.get("clause"), "clause")
            checked = self.shape.word(got.get("checked"), "checked", CHECKED)
            if source and clause and checked:
                out.append(Cite(source, clause, checked, self.shape.text(got.get("note"), "note") or ""))
        return tuple(out)

    # -- steps and effects --------------------------------------------------------------------

    def _steps(self, got: Mapping[str, Node], node: Node) -> tuple[Step, ...]:
        shape = self.shape
        if "steps" not in got:
            part = read_condition(shape, got, node, self.measures)
            return (Step(part, self._effects(got, node), ""),) if part else ()
        for key in ("limit", "all-of", "any-of", "over", *_EFFECT_KEYS):
            if key in got:
                shape.note(got[key], "steps", f"'{key}' beside steps", f"'{key}' inside each step")
        out = []
        for item in shape.items(got["steps"], "steps"):
            keys = shape.keys(item, "a step", (), _STEP_KEYS)
            if keys is None:
                continue
            part = self._step_condition(keys, item, got.get("measure"))
            if part is not None:
                words = shape.text(keys.get("words"), "words") if "words" in keys else None
                out.append(Step(part, self._effects(keys, item), words or ""))
        return tuple(out)

    def _step_condition(self, keys: Mapping[str, Node], item: Node, default: Node | None) -> Part | None:
        written = operators(item)
        if written is None:
            return read_condition(self.shape, keys, item, self.measures, default)
        for key in ("over", "limit", "all-of", "any-of"):
            if key in keys:
                found = f"'{key}' beside '{written.entries[0].key.text}' in one step"
                self.shape.note(keys[key], "steps", found, "the operators alone, or inside limit: {...}")
        measure = find(self.shape, keys.get("measure", default), self.measures)
        if measure is None:
            return None
        return Part(False, (), read_tests(self.shape, written, measure))

    def _effects(self, got: Mapping[str, Node], node: Node) -> Effects:
        names = tuple(self.uses)
        blocks = self.shape.words(got.get("blocks"), "blocks", names) if _filled(got.get("blocks")) else ()
        asks = self.shape.words(got.get("asks"), "asks", names) if _filled(got.get("asks")) else ()
        written: dict[str, tuple[Limit, ...]] = {}
        for entry in self.shape.map(got.get("limits"), "limits", "limits: {proving: {speed: 35 mph}}"):
            use = self.shape.word(entry.key, "limits", names)
            if use:
                written[use] = read_limits(self.shape, entry.value, self.kinds)
        blocked = close_up(blocks, self.uses)
        return Effects(
            blocked,
            close_up(asks, self.uses),
            spread_limits(written, blocked, self.uses),
            lowest(blocks, self.uses),
            lowest(asks, self.uses),
        )

    # -- cases --------------------------------------------------------------------------------

    def _cases(self, node: Node | None, typical: Map | None, steps: int) -> tuple[Case, ...]:
        shape = self.shape
        out: list[Case] = []
        for item in shape.items(node, "cases"):
            got = shape.keys(item, "a case", ("name", "given", "expect"), ("step", "on", "source"))
            if got is None:
                continue
            name = shape.text(got.get("name"), "name")
            expect = shape.word(got.get("expect"), "expect", _STATES)
            given = got.get("given")
            shape.map(given, "given", "given: {POINT: value}")
            step = shape.whole(got.get("step"), "step")
            if step is not None and not 1 <= step <= steps:
                found = f"step {step} of a rule with {steps} step{'s' if steps != 1 else ''}"
                shape.note(item, "case", found, f"a step from 1 to {steps}" if steps != 1 else "no step")
            on = shape.read(got.get("on"), "on", read_date) if "on" in got else None
            if name is None or expect is None or not isinstance(given, Map):
                continue
            if any(c.name == name for c in out):
                shape.note(item, "case", f"two cases named '{name}'", "a name of its own")
            source = shape.text(got.get("source"), "source") or ""
            out.append(Case(name, typical, given, State(expect), step, on, source, item.mark))
        return tuple(out)


def _filled(node: Node | None) -> bool:
    return node is not None and not (isinstance(node, Items) and not node.items)


def close_up(names: Sequence[str], uses: Mapping[str, Use]) -> frozenset[str]:
    """The uses named and all that stand on them.

    A rung takes every higher rung, and the side uses that stand on a rung as high; a side use takes
    itself, the rungs that include it, and the rungs above those.
    """
    out = set(names)
    grew = True
    while grew:
        grew = False
        for use in uses.values():
            if use.id in out:
                continue
            below = any(not uses[n].side and uses[n].rank <= use.rank for n in out)
            if below or any(n in use.includes for n in out):
                out.add(use.id)
                grew = True
    return frozenset(out)


def lowest(names: Sequence[str], uses: Mapping[str, Use]) -> str | None:
    """The lowest of the uses named: rungs before side uses of their rank."""
    return min(names, key=lambda n: (uses[n].rank, uses[n].side), default=None)


def spread_limits(
    written: Mapping[str, tuple[Limit, ...]], blocked: frozenset[str], uses: Mapping[str, Use]
) -> tuple[tuple[str, tuple[Limit, ...]], ...]:
    """Limits per use: from the rung named up to the next one named or blocked; side uses alone."""
    out: dict[str, tuple[Limit, ...]] = {}
    current: tuple[Limit, ...] = ()
    for use in sorted((u for u in uses.values() if not u.side), key=lambda u: u.rank):
        current = written.get(use.id, current)
        if current and use.id not in blocked:
            out[use.id] = current
    for name, limits in written.items():
        if uses[name].side and name not in blocked:
            out[name] = limits
    return tuple(out.items())
