"""What judging costs beside other ways to compare the same values, as ratios within one run.

The work is the same for all: every test of the rules that judge one fixture, at every value it reads. Each
way must find as many tests met as exact comparison does; ways that count in doubles are given doubles. The
others only compare: applicability, missing values, states and verdicts are left to whoever uses them, so
the whole of precheck (network, judge, both) stands beside them in lines of its own. Packages of others are
used if they are installed: zen-engine, rule-engine, cel-python, panzi-json-logic, clipspy, jsonschema.
Then growth: the same in rules (50 to 800) and in readings. Prints, asserts nothing.
"""

from __future__ import annotations

import importlib
import math
import time
from collections.abc import Callable, Sequence
from datetime import date
from pathlib import Path
from statistics import median
from typing import Any

from precheck.answer.judging import judge_for, points_read
from precheck.derive.cells import Cells
from precheck.engine import judge as plain
from precheck.engine import run
from precheck.engine.compile import compiled
from precheck.engine.plan import Unit, plan, tests_of
from precheck.model.catalogue import Day
from precheck.model.document import Document
from precheck.model.rules import Op, Rule, State, Test
from precheck.model.settled import Cell, Status
from precheck.read.files import read_file
from precheck.rulebook.book import Rulebook
from precheck.rulebook.load import load
from precheck.settle.check import check
from precheck.settle.settle import settle

ROOT = Path(__file__).resolve().parent.parent.parent
DAY = Day(date(2026, 11, 14), True)
RUNS = 9
SIGN = {Op.AT_LEAST: ">=", Op.MORE_THAN: ">", Op.AT_MOST: "<=", Op.LESS_THAN: "<"}
Pair = tuple[Test, Cell]


def timed(work: Callable[[], Any]) -> float:
    """Milliseconds of processor time, the median of several after one that warms up."""
    work()
    times = []
    for _ in range(RUNS):
        start = time.process_time()
        work()
        times.append((time.process_time() - start) * 1000)
    return median(times)


def paper(book: Rulebook) -> Document:
    source, _ = read_file(ROOT / "fixtures" / "juniper-ready.yaml", "juniper-ready.yaml")
    assert source is not None
    document, _ = check(source, book, DAY)
    assert document is not None
    return document


def value(test: Test, cell: Cell) -> Any:
    """What one comparison looks at: the worst number in base units, a state, or nothing."""
    if cell.status is not Status.VALUE:
        return None
    if test.op is Op.ONE_OF:
        bad = [v.state for v in cell.values if v.state not in test.states]
        return bad[0] if bad else cell.values[0].state
    worst = plain.worst_value(test.op, cell)
    return worst.low if test.op in (Op.AT_LEAST, Op.MORE_THAN) else worst.high


# -- the ways ---------------------------------------------------------------------------------


def closures(pairs: Sequence[Pair]) -> Callable[[], int]:
    """Comparisons written out by hand, exact: the floor."""
    made: list[tuple[Callable[[Any], bool], Any]] = []
    for test, cell in pairs:
        limit, states = test.limit, frozenset(test.states)
        how: dict[Op, Callable[[Any], bool]] = {
            Op.AT_LEAST: lambda x, y=limit: x >= y,
            Op.MORE_THAN: lambda x, y=limit: x > y,
            Op.AT_MOST: lambda x, y=limit: x <= y,
            Op.LESS_THAN: lambda x, y=limit: x < y,
            Op.ONE_OF: lambda x, y=states: x in y,
        }
        made.append((how[test.op], value(test, cell)))
    return lambda: sum(1 for compare, x in made if x is not None and compare(x))


def _expressions(pairs: Sequence[Pair]) -> list[tuple[str, Any]]:
    out = []
    for test, cell in pairs:
        x = value(test, cell)
        if test.op is Op.ONE_OF:
            out.append((f"x in [{', '.join(repr(s).replace(chr(39), chr(34)) for s in test.states)}]", x))
        else:
            assert test.limit is not None
            out.append((f"x {SIGN[test.op]} {float(test.limit)!r}", None if x is None else float(x)))
    return out


def zen_engine(pairs: Sequence[Pair]) -> Callable[[], int]:
    zen = importlib.import_module("zen")
    made = [(zen.compile_expression(text), {"x": x}) for text, x in _expressions(pairs)]
    return lambda: sum(1 for found, facts in made if facts["x"] is not None and found.evaluate(facts))


def rule_engine(pairs: Sequence[Pair]) -> Callable[[], int]:
    engine = importlib.import_module("rule_engine")
    made = [(engine.Rule(text), {"x": x}) for text, x in _expressions(pairs)]
    return lambda: sum(1 for found, facts in made if facts["x"] is not None and found.matches(facts))


def cel_python(pairs: Sequence[Pair]) -> Callable[[], int]:
    celpy = importlib.import_module("celpy")
    environment = celpy.Environment()
    made = []
    for text, x in _expressions(pairs):
        facts = None if x is None else {"x": celpy.json_to_cel(x)}
        made.append((environment.program(environment.compile(text)), facts))
    return lambda: sum(1 for found, facts in made if facts is not None and found.evaluate(facts))


def json_logic(pairs: Sequence[Pair]) -> Callable[[], int]:
    logic = importlib.import_module("json_logic").jsonLogic
    made = []
    for test, cell in pairs:
        x = value(test, cell)
        limit: Any = list(test.states) if test.op is Op.ONE_OF else float(test.limit or 0)
        sign = "in" if test.op is Op.ONE_OF else SIGN[test.op]
        made.append(
            ({sign: [{"var": "x"}, limit]}, {"x": x if isinstance(x, str) or x is None else float(x)})
        )
    return lambda: sum(1 for found, facts in made if facts["x"] is not None and logic(found, facts))


def clips(pairs: Sequence[Pair]) -> Callable[[], int]:
    environment = importlib.import_module("clips").Environment()
    environment.build("(deftemplate cell (slot kind) (slot number) (slot state))")
    numbers = {test: i for i, test in enumerate(dict.fromkeys(test for test, _ in pairs))}
    for test, number in numbers.items():
        if test.op is Op.ONE_OF:
            states = " ".join(f'"{s}"' for s in test.states)
            condition = f"(state ?x&:(member$ ?x (create$ {states})))"
        else:
            condition = f"(number ?x&:({SIGN[test.op]} ?x {float(test.limit or 0)!r}))"
        environment.build(f"(defrule r{number} (cell (kind {number}) {condition}) => (bind ?m 1))")
    facts = [(numbers[test], test.op is Op.ONE_OF, value(test, cell)) for test, cell in pairs]
    template = environment.find_template("cell")

    def evaluate() -> int:
        environment.reset()
        for kind, is_state, x in facts:
            if x is not None:
                slots = {"state": x, "number": 0.0} if is_state else {"number": float(x), "state": ""}
                template.assert_fact(kind=kind, **slots)
        return int(environment.run())

    environment.eval("(set-fact-duplication TRUE)")
    return evaluate


def json_schema(pairs: Sequence[Pair]) -> Callable[[], int]:
    validator = importlib.import_module("jsonschema").Draft202012Validator
    word = {">=": "minimum", ">": "exclusiveMinimum", "<=": "maximum", "<": "exclusiveMaximum"}
    made = []
    for test, cell in pairs:
        x = value(test, cell)
        if test.op is Op.ONE_OF:
            schema: dict[str, Any] = {"enum": list(test.states)}
        else:
            schema = {word[SIGN[test.op]]: float(test.limit or 0)}
        made.append((validator(schema), x if isinstance(x, str) or x is None else float(x)))
    return lambda: sum(1 for found, x in made if x is not None and found.is_valid(x))


WAYS = (zen_engine, rule_engine, cel_python, json_logic, clips, json_schema)


# -- the bench --------------------------------------------------------------------------------


def pairs_of(units: Sequence[Unit], cells: Cells) -> list[Pair]:
    wanted = {(test, cells.key(test, u.place)): None for u in units for test in tests_of(u.rule)}
    return [(test, cells.found[key]) for test, key in wanted]


def expected(pairs: Sequence[Pair]) -> int:
    return sum(plain.outcome_of(test, cell) is State.MEETS for test, cell in pairs)


def main() -> None:
    book = load()
    document = paper(book)
    use = book.uses["proving"]
    judged = judge_for(document, book, DAY, use, None)
    units, cells, rules = judged.units, judged.cells, [u.rule for u in judged.units]
    pairs = pairs_of(units, cells)
    met = expected(pairs)
    print(f"{len({r.id for r in rules})} rules, {len(units)} results, {len(pairs)} comparisons, {met} met")
    floor = timed(closures(pairs))
    _line("hand-written comparisons, exact (the floor)", floor, floor)
    net = compiled(list({u.rule.id: u.rule for u in units}.values()))
    _line("network: the comparisons", timed(lambda: run._outcomes(net, units, cells)), floor)
    _line("judge: the comparisons", timed(lambda: expected(pairs)), floor)
    network = timed(lambda: run.run(units, cells, book))
    judge = timed(lambda: plain.judge(units, cells, book))
    _line("network: states, uses, verdicts", network, floor)
    _line("judge: states, uses, verdicts", judge, floor)
    _line("both", network + judge, floor)
    for way in WAYS:
        try:
            work = way(pairs)
            found = work()
        except ImportError:
            print(f"{way.__name__:<46} not installed")
            continue
        note = "" if found == met else f"   {found} met, not {met}"
        _line(f"{way.__name__}: the comparisons", timed(work), floor, note)
    growth(book, document)


def _line(name: str, found: float, floor: float, note: str = "") -> None:
    print(f"{name:<46}{found:9.2f} ms {found / floor:8.1f} x{note}")


def growth(book: Rulebook, document: Document) -> None:
    """How time grows with rules: exponent 1 is in step with them."""
    use = book.uses["proving"]
    every = list(book.rules.values())
    points: list[tuple[int, float]] = []
    for number in (50, 100, 200, 400, 800):
        rules: list[Rule] = every[:: max(1, len(every) // number)][:number]
        settled = settle(document, book, DAY, use, points_read(rules, book))
        cells = Cells(settled, book, DAY.date)
        units = plan(rules, cells)
        took = timed(lambda u=units, c=cells: (run.run(u, c, book), plain.judge(u, c, book)))  # type: ignore[misc]
        points.append((len(units), took))
        print(f"{number:5} rules, {len(units):5} results: {took:8.2f} ms")
    print(f"growth with results: exponent {_exponent(points):.2f}")


def _exponent(points: Sequence[tuple[int, float]]) -> float:
    """The slope of a straight line through the logarithms, by least squares."""
    xs, ys = [math.log(n) for n, _ in points], [math.log(t) for _, t in points]
    x, y = sum(xs) / len(xs), sum(ys) / len(ys)
    return sum((a - x) * (b - y) for a, b in zip(xs, ys, strict=True)) / sum((a - x) ** 2 for a in xs)


if __name__ == "__main__":
    main()
