"""Tests of the selected rules as patterns of the network, and cells as its facts."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from functools import lru_cache

from precheck.engine.codes import Scale
from precheck.engine.network import KIND, Comparison, Fact, Network
from precheck.engine.plan import tests_of
from precheck.model.rules import Op, Rule, Test
from precheck.model.settled import Cell, Status

MET, FAILED, MISSING, UNCLEAR, STRADDLES = "met", "failed", "missing", "unclear", "straddles"
LAPSED = "lapsed"  # missing, and what stood there before failed
_STATUS = {Status.MISSING: 0, Status.VALUE: 1, Status.UNCLEAR: 2}
_HAS_VALUE: Comparison = ("v", "==", 1)
_HAD_VALUE: Comparison = ("v", "==", 3)
_NO_VALUE = ((MISSING, 0), (UNCLEAR, 2))
TESTS_PER_CELL = 6  # in one network: one fact may match at most 64 patterns at once
CELLS_PER_NETWORK = 400

# For each comparison of numbers: (outcome, conditions on bounds). The bounds of a fact are
# a, b = low and high end of the lowest value; d, e = low and high end of the highest value.
_NUMBERS: dict[Op, tuple[tuple[str, tuple[tuple[str, str], ...]], ...]] = {
    Op.AT_LEAST: ((MET, (("a", ">="),)), (FAILED, (("b", "<"),)), (STRADDLES, (("a", "<"), ("b", ">=")))),
    Op.MORE_THAN: ((MET, (("a", ">"),)), (FAILED, (("b", "<="),)), (STRADDLES, (("a", "<="), ("b", ">")))),
    Op.AT_MOST: ((MET, (("e", "<="),)), (FAILED, (("d", ">"),)), (STRADDLES, (("e", ">"), ("d", "<=")))),
    Op.LESS_THAN: ((MET, (("e", "<"),)), (FAILED, (("d", ">="),)), (STRADDLES, (("e", ">="), ("d", "<")))),
}


class Compiled:
    """The networks that judge some tests. Built once per set of tests and kept.

    `lapsed` are the cells that may come without a value and with what they were.
    """

    def __init__(self, tests: tuple[Test, ...], lapsed: frozenset[str] = frozenset()) -> None:
        self.tests = tests
        self.lapsed = lapsed
        self.index = {test: i for i, test in enumerate(self.tests)}
        limits: dict[str, list[Fraction]] = {}
        words: dict[str, set[str]] = {}
        for test in self.tests:
            if test.op is Op.ONE_OF:
                words.setdefault(test.cell, set()).update(test.states)
            elif test.limit is not None:
                limits.setdefault(test.cell, []).append(test.limit)
        self.scales = {cell: Scale(found) for cell, found in limits.items()}
        self.words = {cell: sorted(found) for cell, found in words.items()}
        self.kinds = {cell: 1 + i for i, cell in enumerate(dict.fromkeys(t.cell for t in self.tests))}
        # What a pattern says when it fires: an outcome, of these tests.
        self.says: dict[str, tuple[str, list[int]]] = {}
        self.networks = [Network(patterns) for patterns in self._spread()]

    def _spread(self) -> list[list[tuple[str, int, Sequence[Comparison]]]]:
        """Patterns laid over as many networks as the proven limits ask for."""
        nets: dict[tuple[int, int], list[tuple[str, int, Sequence[Comparison]]]] = {}
        used: dict[str, int] = {}
        for number, test in enumerate(self.tests):
            kind = self.kinds[test.cell]
            layer, first = divmod(used.get(test.cell, 0), TESTS_PER_CELL)
            used[test.cell] = used.get(test.cell, 0) + 1
            net = nets.setdefault((layer, kind // CELLS_PER_NETWORK), [])
            for outcome, code in _NO_VALUE:  # one pattern says it for all tests of a cell in a network
                name = f"{kind}.{layer} {outcome}"
                if first == 0:
                    net.append((name, kind, [("v", "==", code)]))
                self.says.setdefault(name, (outcome, []))[1].append(number)
            for part, (outcome, comparisons) in enumerate(self._patterns(test)):
                name = f"{number} {outcome} {part}"
                net.append((name, kind, comparisons))
                self.says[name] = (outcome, [number])
        return list(nets.values())

    def _patterns(self, test: Test) -> list[tuple[str, list[Comparison]]]:
        out: list[tuple[str, list[Comparison]]] = []
        if test.op is Op.ONE_OF:
            others = [f"s{i}" for i, word in enumerate(self.words[test.cell]) if word not in test.states]
            out.append((MET, [_HAS_VALUE, ("o", "==", 0), *((name, "==", 0) for name in others)]))
            out += [(FAILED, [_HAS_VALUE, (name, "==", 1)]) for name in ("o", *others)]
            return out + self._before(test, out)
        assert test.limit is not None
        code = self.scales[test.cell].code(test.limit)
        for outcome, bounds in _NUMBERS[test.op]:
            out.append((outcome, [_HAS_VALUE, *((prop, op, code) for prop, op in bounds)]))
        return out + self._before(test, out)

    def _before(
        self, test: Test, patterns: Sequence[tuple[str, list[Comparison]]]
    ) -> list[tuple[str, list[Comparison]]]:
        """The same comparisons of what stood before: where it failed, its being missing may mean failing."""
        if test.cell not in self.lapsed:
            return []
        return [
            (LAPSED if outcome == FAILED else MISSING, [_HAD_VALUE, *comparisons[1:]])
            for outcome, comparisons in patterns
        ]

    def fact(self, cell: Cell) -> Fact:
        """A cell as integers: its kind, whether it has a value, the codes of its bounds, its states."""
        before = cell.status is Status.MISSING and cell.id in self.lapsed and bool(cell.was)
        fact = {KIND: self.kinds[cell.id], "v": 3 if before else _STATUS[cell.status]}
        if cell.status is not Status.VALUE and not before:
            return fact
        values = cell.was if before else cell.values
        scale = self.scales.get(cell.id)
        numbers = [v.number for v in values if v.number is not None]
        if scale is not None and numbers:
            lows = [scale.low(n.low) for n in numbers]
            highs = [scale.high(n.high) for n in numbers]
            fact |= {"a": min(lows), "b": min(highs), "d": max(lows), "e": max(highs)}
        words = self.words.get(cell.id)
        if words is not None:
            states = {v.state for v in values}
            fact |= {f"s{i}": int(word in states) for i, word in enumerate(words)}
            fact["o"] = int(not states <= set(words))
        return fact


@lru_cache(maxsize=8)
def _compiled(tests: tuple[Test, ...], lapsed: frozenset[str]) -> Compiled:
    return Compiled(tests, lapsed)


def compiled(rules: Sequence[Rule], lapsed: frozenset[str] = frozenset()) -> Compiled:
    """The networks for the tests of these rules, built once in a process for the cells that lapsed."""
    return _compiled(tuple(dict.fromkeys(t for rule in rules for t in tests_of(rule))), lapsed)
