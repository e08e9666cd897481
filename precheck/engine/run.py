"""Runs the networks: cells in, states out, then uses, tallies and verdicts; nothing is a default."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence

from precheck.derive.cells import Cells, Key
from precheck.engine import logic
from precheck.engine.compile import FAILED, LAPSED, MET, MISSING, STRADDLES, UNCLEAR, Compiled, compiled
from precheck.engine.faults import Incomplete, NetworkFault, TallyFault
from precheck.engine.logic import MAY_FAIL, MEETS_IF, MISSING_MAY_FAIL, UNCLEAR_IF
from precheck.engine.network import KIND, Fact, Network, Session
from precheck.engine.plan import Unit, UnitKey, tests_of
from precheck.engine.results import Combined, Results
from precheck.model.catalogue import Use
from precheck.model.changes import NOTHING_ASIDE, Aside
from precheck.model.record import dataclass, field
from precheck.model.rules import Part, State, Test, Verdict
from precheck.rulebook.book import Rulebook
from precheck.rulebook.rules import close_up

Outcomes = dict[tuple[int, Key], str]


def run(units: Sequence[Unit], cells: Cells, book: Rulebook, aside: Aside = NOTHING_ASIDE) -> Results:
    """Judge the units by the network, those of `aside` as set aside.

    Raises an EngineFault where anything is lost, doubled or odd.
    """
    lapsed = frozenset(c.id for c in cells.found.values() if c.was)
    net = compiled(list({u.rule.id: u.rule for u in units}.values()), lapsed)  # a rule's hash goes deep
    outcomes = _outcomes(net, units, cells)
    uses = tuple(book.uses.values())
    with logic.logic(book.policy.combine).open() as session:
        fine = _States(net, outcomes, cells, session).of(units, aside)
        states = {key: logic.STATE_OF[name] for key, name in fine.items()}
        classes = _findings(units, fine, uses, aside, session)
        combined = _combine(units, classes, book, session)
        verdicts = _verdicts(units, classes, combined, uses, session)
    return Results(states, fine, classes, combined, verdicts)


# -- tests on cells ---------------------------------------------------------------------------


def _outcomes(net: Compiled, units: Sequence[Unit], cells: Cells) -> Outcomes:
    """Every test's outcome at every cell it is asked of: exactly one each."""
    wanted: set[tuple[int, Key]] = set()
    for unit in {(u.rule.id, u.place): u for u in units}.values():
        for test in tests_of(unit.rule):
            if test not in net.index:
                raise NetworkFault("the compiled network is of other rules")
            wanted.add((net.index[test], cells.key(test, unit.place)))
    alike: dict[tuple[tuple[str, int], ...], list[Key]] = {}  # cells of equal content are one fact
    for key in sorted({key for _, key in wanted}):
        alike.setdefault(tuple(net.fact(cells.found[key]).items()), []).append(key)
    facts = [(dict(items), keys) for items, keys in alike.items()]
    out: Outcomes = {}
    for network in net.networks:
        mine = [(fact, keys) for fact, keys in facts if fact[KIND] in network.kinds]
        for name, index in _fired(network, [fact for fact, _ in mine]):
            outcome, numbers = net.says[name]
            for key in mine[index][1]:
                for number in numbers:
                    if out.setdefault((number, key), outcome) != outcome:
                        raise Incomplete(f"{net.tests[number].cell} at {key[1]} came out twice")
    lost = wanted - out.keys()
    if lost:
        first, place = min(lost)
        what = f"{net.tests[first].cell} at {place[1]}"
        raise Incomplete(f"{len(lost)} outcomes are missing, among them {what}")
    return out


def _fired(network: Network, facts: Sequence[Fact]) -> list[tuple[str, int]]:
    with network.open() as session:
        return session.put(facts)


# -- states of units --------------------------------------------------------------------------


@dataclass
class _Node:
    """One condition of one unit while its counts come together."""

    part: Part
    place: str
    parent: _Node | None
    depth: int
    counts: list[int] = field(default_factory=lambda: [0] * len(_COUNTED))  # in the order of _COUNTED
    state: str = ""

    def count(self, which: Iterable[int]) -> None:
        for index in which:
            self.counts[index] += 1


_COUNTED = "xnwmifguhp"  # the counts of a condition's fact; engine/logic.py says what each is
_ASIDE, _LEFT_OUT, _OPEN_TERM = map(_COUNTED.index, "xnw")


def _places(letters: str) -> tuple[int, ...]:
    return tuple(_COUNTED.index(letter) for letter in letters)


# What a test or part adds to the counts of the condition it stands in.
_COUNT = {
    MET: _places("m"),
    FAILED: _places("f"),
    MISSING: _places("gp"),
    LAPSED: _places("gh"),
    UNCLEAR: _places("up"),
    STRADDLES: _places("uh"),
}
_PART = {
    State.MEETS.value: _places("m"),
    MEETS_IF: _places("i"),
    State.FAILS.value: _places("f"),
    State.NOT_MEASURED.value: _places("gp"),
    MISSING_MAY_FAIL: _places("gh"),
    State.CANNOT_TELL.value: _places("up"),
    MAY_FAIL: _places("uh"),
    UNCLEAR_IF: _places("u"),
    State.DOES_NOT_APPLY.value: (),
}


class _States:
    """Conditions from the innermost outwards, a batch of facts for each depth."""

    def __init__(self, net: Compiled, outcomes: Outcomes, cells: Cells, session: Session) -> None:
        self.net = net
        self.outcomes = outcomes
        self.cells = cells
        self.session = session

    def of(self, units: Sequence[Unit], aside: Aside) -> dict[UnitKey, str]:
        roots = {}
        nodes: list[_Node] = []
        for unit in units:
            root = self._node(unit.step.condition, unit.place, None, 0, nodes)
            self._terms(root, unit.rule.applies)
            root.counts[_ASIDE] = int(unit.rule.id in aside.rules)
            roots[unit.key] = root
        if len(roots) != len(units):
            raise Incomplete("a rule is expected twice at one place")
        for depth in range(max((n.depth for n in nodes), default=-1), -1, -1):
            self._settle([n for n in nodes if n.depth == depth])
        # A whole rule that may drop out is one that cannot be told.
        plain = {UNCLEAR_IF: State.CANNOT_TELL.value}
        return {key: plain.get(root.state, root.state) for key, root in roots.items()}

    def _node(self, part: Part, place: str, parent: _Node | None, depth: int, out: list[_Node]) -> _Node:
        node = _Node(part, place, parent, depth)
        out.append(node)
        self._terms(node, part.applies)
        for test in part.tests:
            node.count(_COUNT[self._outcome(test, place)])
        for inner in part.parts:
            self._node(inner, place, node, depth + 1, out)
        return node

    def _terms(self, node: _Node, terms: Iterable[Test]) -> None:
        for term in terms:
            outcome = self._outcome(term, node.place)
            if outcome != MET:
                node.counts[_LEFT_OUT if outcome == FAILED else _OPEN_TERM] += 1

    def _outcome(self, test: Test, place: str) -> str:
        return self.outcomes[self.net.index[test], self.cells.key(test, place)]

    def _settle(self, nodes: Sequence[_Node]) -> None:
        """Conditions of equal counts are one fact."""
        alike: dict[tuple[int, ...], list[_Node]] = {}
        for node in nodes:
            alike.setdefault(self._counts(node), []).append(node)
        groups = list(alike.values())
        facts: list[Fact] = [dict(zip((KIND, *_COUNTED), counts, strict=True)) for counts in alike]
        for name, index in self.session.put(facts):
            for node in groups[index]:
                if node.state:
                    raise Incomplete(f"a condition at {node.place} has two states")
                node.state = name.split("#")[0]
        for node in nodes:
            if not node.state:
                raise Incomplete(f"a condition at {node.place} has no state")
            self._tell(node)

    @staticmethod
    def _counts(node: _Node) -> tuple[int, ...]:
        return (logic.ANY if node.part.any_of else logic.ALL, *node.counts)

    @staticmethod
    def _tell(node: _Node) -> None:
        """Count a part's state in the condition it stands in; one that does not apply drops out."""
        if node.parent is not None:
            node.parent.count(_PART[node.state])


# -- uses, tallies, verdicts ------------------------------------------------------------------


def _findings(
    units: Sequence[Unit],
    fine: Mapping[UnitKey, str],
    uses: Sequence[Use],
    aside: Aside,
    session: Session,
) -> dict[str, dict[UnitKey, str]]:
    """What each unit means for each use. What bears alike on some uses is one fact."""
    alike: dict[tuple[int, ...], list[tuple[int, list[UnitKey]]]] = {}
    for (state, bears, accepted), keys in _same(units, fine, aside).items():
        for number, use in enumerate(uses):
            flags = [int(use.id in names) for names in (*bears, accepted)]
            alike.setdefault((logic.CODES[state], *flags), []).append((number, keys))
    groups = list(alike.values())
    out: dict[str, dict[UnitKey, str]] = {use.id: {} for use in uses}
    facts = [dict(zip((KIND, *"sbqlx"), (logic.FINDING, *flags), strict=True)) for flags in alike]
    for name, index in session.put(facts):
        word = name.split("#")[0]
        for number, keys in groups[index]:
            found = out[uses[number].id]
            if not found.keys().isdisjoint(keys):
                raise Incomplete(f"{keys[0][0]} at {keys[0][1]} counts twice for {uses[number].id}")
            found.update(dict.fromkeys(keys, word))
    return out


Names = frozenset[str]
Bears = tuple[Names, Names, Names]  # the uses that a step blocks, is asked by, limits


def _same(
    units: Sequence[Unit], fine: Mapping[UnitKey, str], aside: Aside
) -> dict[tuple[str, Bears, Names], list[UnitKey]]:
    """Units by their state, by what they bear on, and by the uses that they are accepted for."""
    accepted: dict[tuple[str, str], Names] = {}
    for rule, place, use in aside.accepted:
        accepted[rule, place] = accepted.get((rule, place), frozenset()) | {use}
    none: Names = frozenset()
    bearing: dict[int, Bears] = {}  # by the step's effects, which all its places share
    out: dict[tuple[str, Bears, Names], list[UnitKey]] = {}
    for unit in units:
        effects, key = unit.effects, unit.key
        bears = bearing.get(id(effects))
        if bears is None:
            limited = frozenset(name for name, limits in effects.limits if limits)
            bears = bearing[id(effects)] = (effects.blocks, effects.asks, limited)
        out.setdefault((fine[key], bears, accepted.get(key[:2], none)), []).append(key)
    return out


def _combine(
    units: Sequence[Unit], classes: Mapping[str, Mapping[UnitKey, str]], book: Rulebook, session: Session
) -> tuple[Combined, ...]:
    """Limits of different rules on one chain, counted for each rung but the highest."""
    rungs = book.rungs()
    groups: list[tuple[str, int, tuple[str, ...]]] = []
    chained = [(u.rule, u.key) for u in units if u.rule.chain in book.policy.combine_chains]
    for number, use in enumerate(rungs[:-1]):
        found = classes[use.id]
        limits = {rule.id: rule.chain for rule, key in chained if found.get(key) == logic.LIMITED}
        for chain in book.policy.combine_chains:
            limited = [name for name, mine in limits.items() if mine == chain]
            groups.append((chain, number, tuple(sorted(limited))))
    fired = session.put([{KIND: logic.CHAIN, "k": len(limited)} for _, _, limited in groups])
    return tuple(
        Combined(
            groups[i][0],
            rungs[groups[i][1]].id,
            groups[i][2],
            close_up([rungs[groups[i][1] + 1].id], book.uses),
        )
        for _, i in sorted(fired, key=lambda f: f[1])
    )


def _verdicts(
    units: Sequence[Unit],
    classes: Mapping[str, Mapping[UnitKey, str]],
    combined: Sequence[Combined],
    uses: Sequence[Use],
    session: Session,
) -> dict[str, Verdict]:
    facts = []
    keyed = [(u, u.key) for u in units]
    for use in uses:
        found = classes[use.id]
        tally = Counter(found.values())
        # A GO rests on rules that say something of the use; answers to the built-in questions are none.
        beside = sum(
            found.get(key) == logic.MET and (u.rule.built_in or not u.effects.bears_on(use.id))
            for u, key in keyed
        )
        facts.append(
            {
                KIND: logic.TALLY,
                "bad": tally[logic.BAD] + sum(use.id in c.blocks for c in combined),
                "open": tally[logic.OPEN],
                "met": tally[logic.MET] + tally[logic.LIMITED] - beside,
                "z": len(units) - sum(tally[name] for name in logic.CLASSES),
            }
        )
    out: dict[str, Verdict] = {}
    for name, index in session.put(facts):
        use = uses[index]
        if use.id in out:
            raise NetworkFault(f"two verdicts for {use.id}")
        out[use.id] = Verdict(name.split("#")[0])
    for use, fact in zip(uses, facts, strict=True):
        if use.id not in out:
            raise TallyFault(f"the tally for {use.id} is off by {fact['z']}")
    return out
