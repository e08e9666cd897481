"""The rule network: durable-rules through its C module, in the proven subset only.

The subset: every rule is one pattern on one fact, a flat conjunction of integer comparisons.
Facts hold integers under short ASCII names. Nothing else ever reaches the C code. Only this module
imports it; `Network` is small enough to put another engine behind it.
"""

from __future__ import annotations

import itertools
import json
import os
import sys
import weakref
from collections.abc import Callable, Iterator, Mapping, Sequence
from typing import Any

from precheck.engine.faults import NetworkFault, NotInstalled

INSTALL = "CPPFLAGS=-DPyEval_CallObject=PyObject_CallObject python -m pip install durable-rules"

MAX_RULES = 4000  # the engine refuses above 4,096
MAX_KINDS = 500  # distinct first comparisons; 512 fail
MAX_PROPERTIES = 200  # of one fact; 252 fail
MAX_SID = 700_000  # decimal texts below 797,186 have distinct 32-bit hashes

KIND = "c"  # the property that says what a fact is about; first comparison of every pattern
OPEN = 0  # the kind of the fact that opens a state, so that it can be deleted safely

Comparison = tuple[str, str, int]  # property, one of == < <= > >= !=, number
Fact = dict[str, int]

_OPS = {"<": "$lt", "<=": "$lte", ">": "$gt", ">=": "$gte", "!=": "$neq"}


def _module() -> Any:
    try:
        if sys.version_info >= (3, 13):
            # A callback of the module names a C call removed in 3.13; bound lazily it is never reached.
            flags = sys.getdlopenflags()
            sys.setdlopenflags(flags | os.RTLD_LAZY)
            try:
                import durable_rules_engine
            finally:
                sys.setdlopenflags(flags)
        else:
            import durable_rules_engine
    except ImportError as error:
        raise NotInstalled(f"the rule network does not import ({error}); run: {INSTALL}") from error
    return durable_rules_engine


def name_hash(name: str) -> int:
    """The 32-bit FNV-1a hash by which the engine tells names apart."""
    value = 0x811C9DC5
    for byte in name.encode("ascii"):
        value = ((value ^ byte) * 16777619) & 0xFFFFFFFF
    return value


class Network:
    """One compiled set of patterns.

    `patterns` are (name, kind, comparisons): `name` comes back when the pattern matches a fact whose
    `c` is `kind`. Raises NetworkFault outside the proven limits.
    """

    def __init__(self, patterns: Sequence[tuple[str, int, Sequence[Comparison]]]) -> None:
        self.names = [name for name, _, _ in patterns]
        self.kinds = frozenset(kind for _, kind, _ in patterns)
        self._guard(patterns)
        rules = [_rule(f"r{i}", [(KIND, "==", kind), *tests]) for i, (_, kind, tests) in enumerate(patterns)]
        rules.append(_rule("open", [(KIND, "==", OPEN)]))
        # No fact may be 'not handled': this rule takes any fact and never fires.
        never = {"all": [{"m": {"$and": [{"$ex": {KIND: 1}}]}}, {"never": {KIND: -999}}]}
        rules.append(f'"any":{json.dumps(never)}')
        self._c = _module()
        self._handle = _ask(self._c.create_ruleset, "n", f"{{{','.join(rules)}}}")
        self._sids = itertools.count()
        # The C side is freed with the last of the network and its sessions, never while one is open.
        self._free = weakref.finalize(self, self._c.delete_ruleset, self._handle)
        self._free.atexit = False

    @staticmethod
    def _guard(patterns: Sequence[tuple[str, int, Sequence[Comparison]]]) -> None:
        names = {"id", "sid", "$s", KIND, *(prop for _, _, tests in patterns for prop, _, _ in tests)}
        if len({name_hash(n) for n in names}) < len(names):
            raise NetworkFault("two property names share a 32-bit hash")
        if len(patterns) > MAX_RULES or len({k for _, k, _ in patterns}) > MAX_KINDS:
            raise NetworkFault(f"{len(patterns)} patterns are too many for one network")
        if len({n for n, _, _ in patterns}) < len(patterns):
            raise NetworkFault("two patterns have one name")
        if any(kind <= OPEN for _, kind, _ in patterns):
            raise NetworkFault("kinds count from 1")

    def open(self) -> Session:
        """A new state of its own; use it in a `with` block."""
        if not self._free.alive:
            raise NetworkFault("the network is closed")
        return Session(self, self._c, self._handle, next(self._sids) % MAX_SID)

    def close(self) -> None:
        """Free the C side at once; no session may be open."""
        self._free()


class Session:
    """One evaluation: facts go in with `put`, (pattern name, fact number) come out."""

    def __init__(self, network: Network, module: Any, handle: Any, sid: int) -> None:
        self._network = network  # keeps the C side alive
        self._c = module
        self._handle = handle
        self._sid = str(sid)
        self._names = network.names
        self._count = 0

    def __enter__(self) -> Session:
        opened = list(self._drain([{KIND: OPEN}]))
        if opened != [("open", 0)]:
            raise NetworkFault("the network did not open a state")
        return self

    def __exit__(self, *_: object) -> None:
        _ask(self._c.delete_state, self._handle, self._sid)

    def put(self, facts: Sequence[Mapping[str, int]]) -> list[tuple[str, int]]:
        """Assert facts; returns what fired, with each fact's index in `facts`."""
        if not facts:
            return []
        first = self._count
        fired = [(name, number - first) for name, number in self._drain(facts)]
        if not all(0 <= index < len(facts) for _, index in fired):
            raise NetworkFault("a fact came out that did not go in")
        return fired

    def _drain(self, facts: Sequence[Mapping[str, int]]) -> Iterator[tuple[str, int]]:
        batch = []
        for fact in facts:
            if len(fact) > MAX_PROPERTIES or not all(type(v) is int for v in fact.values()):
                raise NetworkFault("a fact is outside the proven subset")
            batch.append({"id": str(self._count), "sid": self._sid, **fact})
            self._count += 1
        code, state = _ask(self._c.assert_facts, self._handle, json.dumps(batch))
        if code != 0:
            raise NetworkFault(f"the network answered {code}")
        result = _ask(self._c.start_action_for_state, self._handle, state)
        message = result[1] if result else None
        while message:
            yield from self._read(message)
            message = _ask(self._c.complete_and_start_action, self._handle, state)

    def _read(self, message: str) -> list[tuple[str, int]]:
        """What fired, and for which fact."""
        try:
            return [
                (name if name == "open" else self._names[int(name[1:])], int(frame["m"]["id"]))
                for name, frame in json.loads(message).items()
            ]
        except (AttributeError, LookupError, TypeError, ValueError) as error:
            raise NetworkFault(f"the network answered something unreadable: {error}") from error


def _ask(call: Callable[..., Any], *arguments: object) -> Any:
    """One call of the C module. Whatever it raises is a fault, never an answer."""
    try:
        return call(*arguments)
    except Exception as error:
        raise NetworkFault(f"the network stopped: {type(error).__name__}: {error}") from error


def _rule(name: str, tests: Sequence[Comparison]) -> str:
    """One pattern as a member of a JSON object, written by hand because there are thousands."""
    return f'"{name}":{{"all":[{{"m":{{"$and":[{",".join(map(_comparison, tests))}]}}}}]}}'


def _comparison(test: Comparison) -> str:
    prop, op, number = test
    if type(number) is not int or not (prop.isascii() and prop.isalnum()):
        raise NetworkFault("only integers are compared, under short plain names")
    return f'{{"{prop}":{number}}}' if op == "==" else f'{{"{_OPS[op]}":{{"{prop}":{number}}}}}'
