"""Faults put in on purpose: each must end in an EngineFault, and on the command line in exit code 2.

The limits of the rule network are those measured for durable-rules 2.0.28: 4,096 rules, 511 different first
comparisons, 64 matches of one fact, 252 properties; names are told apart by a 32-bit hash only.
"""

from __future__ import annotations

import os
import resource
import sys
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from precheck.cli.main import main
from precheck.derive.cells import Cells
from precheck.engine import compile as compiling
from precheck.engine import evaluate as evaluating
from precheck.engine import logic, network, run
from precheck.engine.compile import Compiled, compiled
from precheck.engine.evaluate import evaluate
from precheck.engine.faults import (
    Disagreement,
    EngineFault,
    Incomplete,
    NetworkFault,
    NotInstalled,
    TallyFault,
)
from precheck.engine.network import KIND, MAX_KINDS, MAX_PROPERTIES, MAX_RULES, Network, Session, name_hash
from precheck.model.rules import State, Verdict
from precheck.settle.settle import settle
from tests.support import minibook as mini
from tests.support.minibook import at_least, claim, document, one_of, simple, visit

Patch = pytest.MonkeyPatch
Fired = list[tuple[str, int]]
Facts = Sequence[Mapping[str, int]]
JUNIPER = Path(__file__).resolve().parents[2] / "fixtures" / "juniper.yaml"
GATE = ["gate", str(JUNIPER), "--for", "yard", "--on", "2026-11-14"]  # without a fault: GO, exit code 0

BOOK = mini.book(uses=[u for u in mini.USES if u.id in ("yard", "proving", "occasional")])
RULES = (
    simple("oil", one_of("oil", "clear"), ["yard"], ["yard"]),
    simple("pedal", one_of("pedal", "firm"), ["proving"], ["proving"]),
    simple("tread", at_least("tread", "2/32 in"), ["proving"], ["yard"], family="left-front"),
)
PAPER = document(
    visit(mini.DAY, claim("oil", "clear"), claim("pedal", "firm"), claim("tread", "6/32 in", "left-front"))
)


def judge() -> dict[str, Verdict]:
    names = ["oil", "pedal", "tread", "hose", "silt", "tank-leak"]
    cells = Cells(settle(PAPER, BOOK, mini.day(), mini.YARD, names), BOOK, mini.DAY)
    return dict(evaluate(RULES, cells, BOOK)[1].verdicts)


def test_without_a_fault_it_is_go() -> None:
    assert set(judge().values()) == {Verdict.GO}
    assert main(GATE) == 0


# -- the faults -------------------------------------------------------------------------------


def on_results(patch: Patch, change: Callable[[Session, Facts, Fired], Fired]) -> None:
    put = Session.put
    patch.setattr(Session, "put", lambda self, facts: change(self, facts, put(self, facts)))


def on_facts(patch: Patch, change: Callable[[Session, Facts], Facts]) -> None:
    put = Session.put
    patch.setattr(Session, "put", lambda self, facts: put(self, change(self, facts)))


def fixed(session: Session) -> bool:
    """Whether this is the network of states, uses and verdicts, not one of tests on values."""
    return "combine" in session._names


def of_kind(session: Session, facts: Facts, kind: int) -> bool:
    return fixed(session) and bool(facts) and facts[0][KIND] == kind


def lost_reading(patch: Patch) -> None:
    on_facts(patch, lambda session, facts: facts if fixed(session) else facts[:-1])


def lost_finding(patch: Patch) -> None:
    on_results(patch, lambda s, facts, fired: fired[:-1] if of_kind(s, facts, logic.FINDING) else fired)


def doubled_finding(patch: Patch) -> None:
    on_results(
        patch, lambda s, facts, fired: [*fired, fired[-1]] if of_kind(s, facts, logic.FINDING) else fired
    )


def tally(patch: Patch, **more: int) -> None:
    def change(session: Session, facts: Facts) -> Facts:
        if not of_kind(session, facts, logic.TALLY):
            return facts
        return [{**fact, **{name: fact[name] + by for name, by in more.items()}} for fact in facts]

    on_facts(patch, change)


def stale_network(patch: Patch) -> None:
    """The patterns of yesterday's limits under today's rules."""
    other = {"oil": "milky", "pedal": "sinks"}

    def stale(rules: Sequence[Any], lapsed: frozenset[str] = frozenset()) -> Compiled:
        fresh = compiled(rules, lapsed)
        old = [
            replace(t, states=tuple(s for s in t.states if s != t.states[0]) or (other.get(t.measure, "?"),))
            if t.states
            else replace(t, limit=t.limit + 1000)
            for t in fresh.tests
        ]
        net = Compiled(tuple(old))
        net.index = fresh.index
        return net

    patch.setattr(run, "compiled", stale)


def network_of_other_rules(patch: Patch) -> None:
    patch.setattr(run, "compiled", lambda *_: compiled([simple("hose", one_of("hose", "sound"))]))


def no_verdict(patch: Patch) -> None:
    on_results(patch, lambda s, facts, fired: [] if of_kind(s, facts, logic.TALLY) else fired)


def two_verdicts(patch: Patch) -> None:
    on_results(patch, lambda s, facts, fired: fired * 2 if of_kind(s, facts, logic.TALLY) else fired)


def false_go(patch: Patch) -> None:
    def change(session: Session, facts: Facts, fired: Fired) -> Fired:
        if not of_kind(session, facts, logic.TALLY):
            return fired
        return [(f"{Verdict.NO_GO.value}#0" if name.startswith("GO") else "GO#3", at) for name, at in fired]

    on_results(patch, change)


def no_state(patch: Patch) -> None:
    on_results(patch, lambda s, facts, fired: fired[1:] if of_kind(s, facts, logic.ALL) else fired)


def two_states(patch: Patch) -> None:
    on_results(patch, lambda s, facts, fired: [*fired, fired[0]] if of_kind(s, facts, logic.ALL) else fired)


def wrong_state(patch: Patch) -> None:
    def change(session: Session, facts: Facts, fired: Fired) -> Fired:
        if not of_kind(session, facts, logic.ALL):
            return fired
        return [(f"{State.DOES_NOT_APPLY.value}#0", at) for _, at in fired]

    on_results(patch, change)


def wrong_class(patch: Patch) -> None:
    def change(session: Session, facts: Facts, fired: Fired) -> Fired:
        if not of_kind(session, facts, logic.FINDING):
            return fired
        return [(f"{logic.OPEN}#0", at) for _, at in fired]

    on_results(patch, change)


def no_room_for_a_chain(patch: Patch) -> None:
    """A combination that fires although nothing is limited."""
    on_results(
        patch,
        lambda s, facts, fired: [("combine", 0)] if of_kind(s, facts, logic.CHAIN) else fired,
    )


def result_of_no_fact(patch: Patch) -> None:
    drain = Session._drain

    def change(self: Session, facts: Facts) -> Iterator[tuple[str, int]]:
        for name, at in drain(self, facts):
            yield name, at + (self._count if name != "open" else 0)

    patch.setattr(Session, "_drain", change)


def crashed(patch: Patch, call: str = "assert_facts", error: Exception | None = None) -> None:
    _c_module(patch, **{call: _raising(error or MemoryError("out of memory"))})


def wrong_code(patch: Patch) -> None:
    real = network._module()
    _c_module(patch, assert_facts=lambda *a: (303, real.assert_facts(*a)[1]))


def unreadable(patch: Patch, message: str = "[]") -> None:
    _c_module(patch, start_action_for_state=lambda *a: ("1", message))


def judge_differs(patch: Patch) -> None:
    real = evaluating.plain.judge

    def other(*arguments: Any) -> Any:
        found = real(*arguments)
        key = min(found.units)
        return replace(found, units={**found.units, key: replace(found.units[key], state=State.FAILS)})

    patch.setattr(evaluating.plain, "judge", other)


def judge_forgets(patch: Patch) -> None:
    real = evaluating.plain.judge
    patch.setattr(
        evaluating.plain, "judge", lambda *a: replace(real(*a), units=dict(list(real(*a).units.items())[1:]))
    )


def judge_decides_otherwise(patch: Patch) -> None:
    real = evaluating.plain.judge

    def other(*arguments: Any) -> Any:
        found = real(*arguments)
        return replace(found, verdicts=dict.fromkeys(found.verdicts, Verdict.UNDECIDED))

    patch.setattr(evaluating.plain, "judge", other)


class _Module:
    """The C module with some calls replaced."""

    def __init__(self, real: Any, calls: Mapping[str, Callable[..., Any]]) -> None:
        self.__dict__.update({n: getattr(real, n) for n in dir(real) if not n.startswith("__")})
        self.__dict__.update(calls)


def _c_module(patch: Patch, **calls: Callable[..., Any]) -> None:
    real = network._module()
    enter = Session.__enter__

    def opened(self: Session) -> Session:
        self._c = _Module(real, {})
        session = enter(self)
        self._c = _Module(real, calls)
        return session

    patch.setattr(Session, "__enter__", opened)


def _raising(error: Exception) -> Callable[..., Any]:
    def call(*_: Any) -> Any:
        raise error

    return call


FAULTS: dict[str, tuple[Callable[[Patch], None], type[EngineFault]]] = {
    # the five that the design names
    "a lost reading": (lost_reading, Incomplete),
    "a lost finding": (lost_finding, TallyFault),
    "a doubled finding": (doubled_finding, Incomplete),
    "a tally off by one": (lambda p: tally(p, z=1), TallyFault),
    "a stale compiled network": (stale_network, Disagreement),
    # and more
    "a tally one short": (lambda p: tally(p, z=-1), TallyFault),
    "one bad too many": (lambda p: tally(p, bad=1), Disagreement),
    "one open too many": (lambda p: tally(p, open=1), Disagreement),
    "a network of other rules": (network_of_other_rules, NetworkFault),
    "no verdict fires": (no_verdict, TallyFault),
    "two verdicts fire": (two_verdicts, NetworkFault),
    "the wrong verdict fires": (false_go, Disagreement),
    "a state does not fire": (no_state, Incomplete),
    "a state fires twice": (two_states, Incomplete),
    "the wrong state fires": (wrong_state, Disagreement),
    "a finding is counted as another": (wrong_class, Disagreement),
    "a combination fires by itself": (no_room_for_a_chain, Disagreement),
    "a result of no fact": (result_of_no_fact, NetworkFault),
    "the C module runs out of memory": (crashed, NetworkFault),
    "the C module fails while draining": (
        lambda p: crashed(p, "complete_and_start_action", RuntimeError("lost")),
        NetworkFault,
    ),
    "the C module fails at the end": (lambda p: crashed(p, "delete_state", ValueError("gone")), NetworkFault),
    "another return code": (wrong_code, NetworkFault),
    "an answer that is no mapping": (unreadable, NetworkFault),
    "an answer of an unknown rule": (lambda p: unreadable(p, '{"r99999": {"m": {"id": "1"}}}'), NetworkFault),
    "an answer without its fact": (lambda p: unreadable(p, '{"r0": {"m": {}}}'), NetworkFault),
    "an answer that is no JSON": (lambda p: unreadable(p, "{"), NetworkFault),
    "the judge differs in a state": (judge_differs, Disagreement),
    "the judge forgets a rule": (judge_forgets, Incomplete),
    "the judge decides otherwise": (judge_decides_otherwise, Disagreement),
}


@pytest.mark.parametrize("name", FAULTS)
def test_a_fault_is_never_a_verdict(name: str, monkeypatch: Patch) -> None:
    put_in, fault = FAULTS[name]
    put_in(monkeypatch)
    with pytest.raises(fault):
        judge()


ON_THE_COMMAND_LINE = (
    "a lost reading",
    "a lost finding",
    "a doubled finding",
    "a tally off by one",
    "a stale compiled network",
    "no verdict fires",
    "the wrong verdict fires",
    "the C module runs out of memory",
    "another return code",
    "the judge decides otherwise",
)


@pytest.mark.parametrize("name", ON_THE_COMMAND_LINE)
def test_a_fault_ends_the_command_with_2_and_no_verdict(
    name: str, monkeypatch: Patch, capsys: pytest.CaptureFixture[str]
) -> None:
    put_in, _ = FAULTS[name]
    put_in(monkeypatch)
    code = main(GATE)
    said = capsys.readouterr()
    assert code == 2
    assert said.out == ""
    assert "could not judge" in said.err
    for verdict in Verdict:
        assert verdict.value not in said.err


def test_a_module_that_does_not_import_says_the_line_to_run(
    monkeypatch: Patch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setitem(sys.modules, "durable_rules_engine", None)
    with pytest.raises(NotInstalled, match="CPPFLAGS=-DPyEval_CallObject=PyObject_CallObject"):
        Network([("a", 1, [("v", "==", 1)])])
    compiling._compiled.cache_clear()
    assert main(GATE) == 2
    assert capsys.readouterr().out == ""


# -- guards of the network --------------------------------------------------------------------


def ask(patterns: Sequence[tuple[str, int, Sequence[tuple[str, str, int]]]], facts: Facts) -> Fired:
    net = Network(patterns)
    try:
        with net.open() as session:
            return session.put(facts)
    finally:
        net.close()


def test_names_of_one_hash_are_refused() -> None:
    """A known pair of one 32-bit hash."""
    one, other = "spring_max_angle_ball", "rotor_mirror_inner_min"
    assert name_hash(one) == name_hash(other)
    assert name_hash("") == 0x811C9DC5  # the offset basis of FNV-1a
    assert name_hash("a") == 0xE40C292C  # printed in the FNV test vectors
    with pytest.raises(NetworkFault, match="hash"):
        Network([("a", 1, [(one, "==", 1)]), ("b", 1, [(other, "==", 1)])])


@pytest.mark.parametrize(
    ("patterns", "why"),
    [
        ([(f"p{i}", 1 + i % 9, [("v", "==", i)]) for i in range(MAX_RULES + 1)], "too many"),
        ([(f"p{i}", 1 + i, [("v", "==", 1)]) for i in range(MAX_KINDS + 1)], "too many"),
        ([("p", 0, [("v", "==", 1)])], "kinds"),
        ([("p", -1, [("v", "==", 1)])], "kinds"),
        ([("p", 1, [("v", "==", 1)]), ("p", 2, [("v", "==", 1)])], "one name"),
        ([("p", 1, [("v", "==", 1.0)])], "integers"),
        ([("p", 1, [("v", "==", True)])], "integers"),
        ([("p", 1, [("v", "==", None)])], "integers"),
        ([("p", 1, [("v", "<", "1")])], "integers"),
    ],
)
def test_patterns_outside_the_proven_subset_are_refused(patterns: Any, why: str) -> None:
    with pytest.raises(NetworkFault, match=why):
        Network(patterns)


@pytest.mark.parametrize("value", [1.0, True, None, "1", [1], {"a": 1}, float("nan")])
def test_facts_of_anything_but_integers_are_refused(value: object) -> None:
    with pytest.raises(NetworkFault, match="subset"):
        ask([("p", 1, [("v", ">=", 0)])], [{KIND: 1, "v": value}])  # type: ignore[dict-item]


def test_a_fact_of_too_many_properties_is_refused() -> None:
    wide = {KIND: 1, **{f"p{i}": i for i in range(MAX_PROPERTIES)}}
    with pytest.raises(NetworkFault, match="subset"):
        ask([("p", 1, [("p0", "==", 0)])], [wide])


def test_a_closed_network_does_not_open() -> None:
    net = Network([("p", 1, [("v", "==", 1)])])
    net.close()
    net.close()
    with pytest.raises(NetworkFault, match="closed"):
        net.open()


# -- just inside the limits -------------------------------------------------------------------


def test_as_many_rules_as_are_allowed_all_fire() -> None:
    kinds = MAX_RULES // 50
    patterns = [(f"p{i}", 1 + i % kinds, [("v", "==", i // kinds)]) for i in range(MAX_RULES)]
    facts = [{KIND: 1 + i % kinds, "v": i // kinds} for i in range(MAX_RULES)]
    assert sorted(ask(patterns, facts)) == sorted((f"p{i}", i) for i in range(MAX_RULES))


def test_as_many_kinds_as_are_allowed_all_fire() -> None:
    patterns = [(f"p{i}", 1 + i, [("v", ">=", 1)]) for i in range(MAX_KINDS)]
    facts = [{KIND: 1 + i, "v": i % 2} for i in range(MAX_KINDS)]
    assert sorted(ask(patterns, facts)) == sorted((f"p{i}", i) for i in range(MAX_KINDS) if i % 2)


def test_as_many_properties_as_are_allowed_all_count() -> None:
    names = [f"p{i}" for i in range(MAX_PROPERTIES - 1)]
    fact = {KIND: 1, **dict.fromkeys(names, 3)}
    hits = [("all", 1, [(n, "==", 3) for n in names[:28]]), ("last", 1, [(names[-1], ">", 2)])]
    assert sorted(ask(hits, [fact])) == [("all", 0), ("last", 0)]


def test_64_matches_of_one_fact() -> None:
    patterns = [(f"p{i}", 1, [("v", ">=", i)]) for i in range(64)]
    assert sorted(ask(patterns, [{KIND: 1, "v": 99}])) == sorted((f"p{i}", 0) for i in range(64))


def test_200_patterns_of_one_last_comparison() -> None:
    """255 work, 256 end the process; the logic has one for each use and state."""
    patterns = [(f"p{i}", 1 + i, [("v", "==", 1)]) for i in range(200)]
    facts = [{KIND: 1 + i, "v": 1} for i in range(200)]
    assert len(ask(patterns, facts)) == 200


@pytest.mark.parametrize("number", [0, 1, -1, 2**31, 2**62, -(2**62)])
def test_integers_are_compared_exactly(number: int) -> None:
    words = {"under": "<", "at": "==", "over": ">", "not": "!=", "low": "<=", "high": ">="}
    patterns = [(word, 1, [("v", op, number)]) for word, op in words.items()]
    facts = [{KIND: 1, "v": number + by} for by in (-1, 0, 1)]
    assert sorted(ask(patterns, facts)) == sorted(
        [("under", 0), ("not", 0), ("low", 0), ("at", 1), ("low", 1), ("high", 1), ("over", 2), ("not", 2),
         ("high", 2)]
    )  # fmt: skip


def test_facts_alike_each_come_out() -> None:
    facts = [{KIND: 1, "v": 1}] * 500
    assert sorted(ask([("p", 1, [("v", "==", 1)])], facts)) == [("p", i) for i in range(500)]


def test_many_tests_of_one_value_are_spread_over_networks() -> None:
    """One fact may match 64 patterns at once; a value with hundreds of limits is judged all the same."""
    rules = [simple(f"r{i}", at_least("tread", f"{i} mm"), family="left-front") for i in range(1, 301)]
    cells = Cells(settle(PAPER, BOOK, mini.day(), mini.YARD, ["tread"]), BOOK, mini.DAY)
    units, results = evaluate(rules, cells, BOOK)
    meets = [u.rule.id for u in units if results.states[u.key] is State.MEETS]
    assert meets == ["r1", "r2", "r3", "r4"]  # 6/32 in is 4.7625 mm
    assert len(results.states) == 300


def test_many_values_are_spread_over_networks() -> None:
    rules = [
        simple(f"r{i}", replace(at_least("tread", "2/32 in"), measure=f"m{i}"), family="left-front")
        for i in range(900)
    ]
    cells = Cells(settle(PAPER, BOOK, mini.day(), mini.YARD, []), BOOK, mini.DAY)
    _, results = evaluate(rules, cells, BOOK)
    assert set(results.states.values()) == {State.NOT_MEASURED}
    assert len(results.states) == 900


# -- memory -----------------------------------------------------------------------------------


def most_memory() -> float:
    """The most memory the process ever held, in MB."""
    kilobytes = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
    return kilobytes / (1024 * 1024 if sys.platform == "darwin" else 1024)


EVALUATIONS = int(os.environ.get("PRECHECK_EVALUATIONS", "2000"))


def test_memory_is_flat_over_many_evaluations() -> None:
    """An open state takes 0.3 MB and more; 2,000 left open would show. The bound is generous."""
    for _ in range(100):
        judge()
    before = most_memory()
    for _ in range(EVALUATIONS - 100):
        judge()
    assert most_memory() - before < 20


def test_memory_does_not_grow_with_the_sets_of_rules() -> None:
    """A set of rules that is no longer used is freed: 2.6 MB each."""

    def build(first: int) -> None:
        compiled([simple("r", at_least("tread", f"{first + i} mm")) for i in range(3)])

    for i in range(20):
        build(i)
    before = most_memory()
    for i in range(20, 120):
        build(i)
    assert most_memory() - before < 60
