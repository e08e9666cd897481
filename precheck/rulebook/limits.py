"""From the words of a limit (`at-least: 2/32 in`) to exact tests."""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction

from precheck.model.catalogue import Derived, Kind, Point
from precheck.model.node import Map, Node, Text
from precheck.model.record import dataclass
from precheck.model.rules import Bound, Op, Over, Part, Row, Test
from precheck.read.fault import Fault
from precheck.read.near import near
from precheck.read.quantity import read_quantity
from precheck.read.shape import Shape, read_month_or_date

_NUMBER_OPS = {o.value: o for o in (Op.AT_LEAST, Op.AT_MOST, Op.MORE_THAN, Op.LESS_THAN)}
_STATE_OPS = ("one-of", "not-one-of", "is", "no-worse-than")
_DATE_OPS = ("from", "before")
_TAKES = ("count", "share", "lowest", "highest", "spread", "distinct")


@dataclass(frozen=True, slots=True)
class Measure:
    """What a test may compare: the kind, states and dimension of a point, fact or derived value."""

    id: str
    kind: Kind
    dimension: str
    states: tuple[str, ...]
    ordered: bool

    @staticmethod
    def of(thing: Point | Derived) -> Measure:
        if isinstance(thing, Point):
            return Measure(thing.id, thing.kind, thing.dimension, thing.states, thing.ordered)
        kind = Kind.STATES if thing.states else Kind.NUMBER
        return Measure(thing.id, kind, thing.dimension, thing.states, bool(thing.states))


Measures = Mapping[str, Measure]


def find(shape: Shape, node: Node | None, measures: Measures) -> Measure | None:
    name = shape.text(node, "measure")
    if name is None or node is None:
        return None
    if name not in measures:
        shape.note(
            node,
            "unknown-point",
            f"'{name}' is no point, fact or derived value",
            "a name of rules/points, rules/facts.yaml or rules/derived.yaml",
            close=near(name, list(measures)),
        )
        return None
    return measures[name]


def read_over(shape: Shape, node: Node | None, measure: Measure) -> Over | None:
    if node is None:
        return None
    got = shape.keys(node, "over", ("take", "at"), ("of",))
    if got is None:
        return None
    take = shape.word(got.get("take"), "take", _TAKES)
    family = shape.text(got.get("at"), "at")
    states = shape.words(got.get("of"), "of", measure.states)
    if take is None or family is None:
        return None
    if (take in ("count", "share")) != bool(states):
        shape.note(node, "over", f"take: {take} with of: {list(states)}", "of: [states] with count and share")
    return Over(family, take, states)


def read_tests(shape: Shape, node: Node, measure: Measure, over: Over | None = None) -> tuple[Test, ...]:
    """Every operator of one limit as a test; all of them must hold."""
    if not isinstance(node, Map):
        shape.note(
            node, "limit", "the limit is no mapping", "at-least: 2/32 in", "limit: {at-least: 2/32 in}"
        )
        return ()
    out: list[Test] = []
    for entry in node.entries:
        out += _operator(shape, entry.key, entry.value, measure, over)
    if not out and not shape.problems:
        shape.note(node, "limit", "the limit is empty", "an operator such as at-least")
    return tuple(out)


def _operator(shape: Shape, key: Text, node: Node, measure: Measure, over: Over | None) -> list[Test]:
    dimension = _dimension(measure, over)
    if dimension == "":
        return _state_test(shape, key, node, measure, over)
    allowed = _DATE_OPS if dimension == "date" else (*_NUMBER_OPS, "between")
    if key.text not in allowed:
        shape.note(
            key,
            "unknown-operator",
            f"'{key.text}' is no way to limit {measure.id}",
            f"one of: {', '.join(allowed)}",
            close=near(key.text, allowed),
        )
        return []
    if dimension == "date":
        days = shape.read(node, key.text, read_month_or_date)
        if days is None or not isinstance(node, Text):
            return []
        op = Op.AT_LEAST if key.text == "from" else Op.LESS_THAN
        written = f"{key.text} {node.text}"
        return [Test(measure.id, op, written, Fraction(days[0].toordinal()), over=over)]
    if key.text == "between":
        ends = shape.items(node, "between")
        if len(ends) != 2:
            found = f"between with {len(ends)} end{'s' if len(ends) != 1 else ''}"
            shape.note(node, "between", found, "two quantities", "between: [1 mm, 2 mm]")
            return []
        tests = [
            _number_test(shape, op, end, measure, over, dimension)
            for op, end in zip((Op.AT_LEAST, Op.AT_MOST), ends, strict=True)
        ]
        return [t for t in tests if t is not None]
    test = _number_test(shape, _NUMBER_OPS[key.text], node, measure, over, dimension)
    return [test] if test else []


def _dimension(measure: Measure, over: Over | None) -> str:
    if over and over.take in ("count", "distinct"):
        return "count"
    if over and over.take == "share":
        return "fraction"
    return measure.dimension


def _state_test(shape: Shape, key: Text, node: Node, measure: Measure, over: Over | None) -> list[Test]:
    if measure.kind is Kind.TEXT:
        shape.note(key, "limit", f"{measure.id} is free text", "over: {take: distinct, ...}")
        return []
    if key.text not in _STATE_OPS:
        shape.note(
            key,
            "unknown-operator",
            f"'{key.text}' is no way to limit {measure.id}, whose values are states",
            f"one of: {', '.join(_STATE_OPS)}",
            close=near(key.text, _STATE_OPS),
        )
        return []
    if key.text in ("is", "no-worse-than") and not isinstance(node, Text):
        shape.text(node, key.text)  # one state, or the rest would be passed over
        return []
    words = shape.words(node, key.text, measure.states)
    if not words:
        return []
    written = f"{key.text.replace('-', ' ')} {' / '.join(words)}"
    if key.text == "no-worse-than":
        if not measure.ordered:
            shape.note(key, "no-worse-than", f"the states of {measure.id} have no order", "one-of: [...]")
            return []
        accepted = measure.states[: measure.states.index(words[0]) + 1]
        written = words[0] if len(accepted) == 1 else f"no worse than {words[0]}"
    elif key.text == "not-one-of":
        accepted = tuple(s for s in measure.states if s not in words)
        written = f"not {' / '.join(words)}"
    else:
        accepted = words
        written = " / ".join(words)
    return [Test(measure.id, Op.ONE_OF, written, states=accepted, over=over)]


def _number_test(
    shape: Shape, op: Op, node: Node, measure: Measure, over: Over | None, dimension: str
) -> Test | None:
    if isinstance(node, Map):
        bound, written = _bound(shape, node, dimension)
        if bound is None:
            return None
        words = f"{op.value.replace('-', ' ')} {written}"
        return Test(measure.id, op, words, Fraction(0), bound=bound, over=over)
    quantity = shape.quantity(node, op.value, dimension)
    if quantity is None:
        return None
    if not quantity.value.exact:
        shape.note(node, "limit", f"'{quantity.written}' is a range", "one exact number")
        return None
    return Test(
        measure.id,
        op,
        f"{op.value.replace('-', ' ')} {quantity.written}",
        quantity.value.low,
        over=over,
        unit=quantity.unit,
    )


def _bound(shape: Shape, node: Map, dimension: str) -> tuple[Bound | None, str]:
    got = shape.keys(node, "a limit from another value", (), ("of", "share", "plus", "by", "table", "words"))
    if got is None:
        return None, ""
    if "by" in got or "table" in got:
        return _table(shape, got, dimension)
    of = shape.text(got.get("of"), "of")
    if of is None:
        shape.note(node, "bound", "neither 'of' nor 'table'", "{of: POINT, share: 80 percent}")
        return None, ""
    share = shape.quantity(got.get("share"), "share", "fraction")
    plus = shape.quantity(got.get("plus"), "plus", dimension)
    written = of.replace("-", " ")
    if share:
        written = f"{share.written} of the {written}"
    if plus:
        written += (
            f" and {plus.written}" if (plus.value.low or 0) >= 0 else f" less {plus.written.lstrip('-')}"
        )
    share_value = share.value.low if share and share.value.low is not None else Fraction(1)
    plus_value = plus.value.low if plus and plus.value.low is not None else Fraction(0)
    return Bound(of, share_value, plus_value), written


def _table(shape: Shape, got: Mapping[str, Node], dimension: str) -> tuple[Bound | None, str]:
    by = shape.text(got.get("by"), "by")
    rows = [_row(shape, n, dimension) for n in shape.items(got.get("table"), "table")]
    kept = tuple(r for r in rows if r is not None)
    if by is None or not kept:
        return None, ""
    words = shape.text(got.get("words"), "words") or f"the table by {by.replace('-', ' ')}"
    name = ";".join(r.written for r in kept)
    return Bound(by, table=name, rows=kept), words


_ROW_KEYS = ("is", "over", "at-least", "at-most", "under")


def _row(shape: Shape, node: Node, dimension: str) -> Row | None:
    got = shape.keys(node, "a table row", ("limit",), _ROW_KEYS)
    if got is None:
        return None
    limit = shape.quantity(got.get("limit"), "limit", dimension)
    keys = {k: n for k, n in got.items() if k in _ROW_KEYS}
    if not keys:
        shape.note(node, "missing-key", "a row for no value", f"one of: {', '.join(_ROW_KEYS)}")
    if limit is None or limit.value.low is None or not keys:
        return None
    written = ", ".join(f"{k} {n.text}" for k, n in keys.items() if isinstance(n, Text))
    written += f": {limit.written}"
    same = keys.get("is")
    assert shape.units is not None
    if isinstance(same, Text) and isinstance(read_quantity(same.text, shape.units), Fault):
        # A state: lint checks that the value the table goes by has it.
        return Row(None, False, None, False, same.text, limit.value.low, written)
    ends = {k: shape.quantity(n, k, None) for k, n in keys.items()}
    values = {k: q.value.low for k, q in ends.items() if q is not None}
    exact = values.get("is")
    if exact is not None:
        return Row(exact, False, exact, False, None, limit.value.low, written)
    low = values.get("over", values.get("at-least"))
    high = values.get("under", values.get("at-most"))
    return Row(low, "over" in values, high, "under" in values, None, limit.value.low, written)


def read_applies(shape: Shape, node: Node | None, measures: Measures) -> tuple[Test, ...]:
    """The terms of `applies:`, all of which must hold."""
    out: list[Test] = []
    for entry in shape.map(node, "applies", "applies: {FACT: {is: WORD}}"):
        measure = find(shape, entry.key, measures)
        if measure is not None:
            out += read_tests(shape, entry.value, measure)
    return tuple(out)


def read_condition(
    shape: Shape, got: Mapping[str, Node], node: Node, measures: Measures, default: Node | None = None
) -> Part | None:
    """`measure` with `limit`, or `all-of`, or `any-of`, with `applies` and `over` where given."""
    forms = [k for k in ("limit", "all-of", "any-of") if k in got]
    if len(forms) != 1:
        shape.note(
            node,
            "condition",
            f"{' and '.join(forms)} beside each other" if forms else "neither limit, all-of nor any-of",
            "exactly one of limit, all-of, any-of",
        )
        return None
    if forms[0] == "limit":
        measure = find(shape, got.get("measure", default), measures)
        if measure is None:
            if "measure" not in got and default is None:
                shape.note(node, "missing-key", "a limit without 'measure'", "measure: POINT")
            return None
        over = read_over(shape, got.get("over"), measure)
        return Part(False, (), read_tests(shape, got["limit"], measure, over))
    parts = []
    for item in shape.items(got[forms[0]], forms[0]):
        keys = shape.keys(item, "a part", (), ("measure", "over", "applies", "limit", "all-of", "any-of"))
        if keys is None:
            continue
        part = read_condition(shape, keys, item, measures)
        if part is not None:
            applies = read_applies(shape, keys.get("applies"), measures)
            parts.append(Part(part.any_of, applies, part.tests, part.parts))
    if not parts:
        shape.note(node, "condition", f"{forms[0]} has no parts", "at least one part")
        return None
    return Part(forms[0] == "any-of", (), (), tuple(parts))


def operators(node: Node) -> Map | None:
    """The operators of a step written beside its effects, as one mapping (None where there is none)."""
    if not isinstance(node, Map):
        return None
    names = (*_NUMBER_OPS, *_STATE_OPS, *_DATE_OPS, "between")
    entries = tuple(e for e in node.entries if e.key.text in names)
    return Map(entries, node.mark) if entries else None


OPERATOR_NAMES = (*_NUMBER_OPS, "between", *_STATE_OPS, *_DATE_OPS)
