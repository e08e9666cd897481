"""A new rule as text, as wished, with cases at the limit, one step each side, missing and unknown."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping
from datetime import date
from fractions import Fraction

from precheck.model.catalogue import Kind, Point
from precheck.model.quantity import Quantity, Unit
from precheck.model.record import dataclass, field
from precheck.model.rules import Op, Rule, Test
from precheck.read.quantity import read_quantity
from precheck.read.write import flow, quoted
from precheck.rulebook.book import Rulebook
from precheck.rulebook.changes import plain_tests

OPERATORS = (
    "at-least", "at-most", "more-than", "less-than", "between", "no-worse-than", "is", "one-of", "not-one-of",
    "from", "before",
)  # fmt: skip
_LISTS = ("between", "one-of", "not-one-of")
_HOLD = {
    Op.AT_LEAST: lambda value, limit: value >= limit,
    Op.AT_MOST: lambda value, limit: value <= limit,
    Op.MORE_THAN: lambda value, limit: value > limit,
    Op.LESS_THAN: lambda value, limit: value < limit,
}
# Units a limit is said in a second time, where it comes out in few digits.
_OTHER = ("mm", "in", "kPa", "bar", "psi", "kg", "lb", "km/h", "mph", "L", "C", "F")
_DIGITS = 8
_TYPICAL = {"vehicle-class": "light truck", "rear-wheels": "single"}


@dataclass(frozen=True, slots=True)
class Wish:
    """What a person says of the rule and, where its file is new, of its source."""

    id: str
    title: str
    measure: str
    limit: str  # "at-least 2/32 in"
    clause: str
    checked: str
    source: Mapping[str, str]  # keys of a source, `id` first; of a file that is there only `id`
    requires: str = ""
    at: str = ""
    blocks: tuple[str, ...] = ()
    asks: str = ""
    chain: str = ""
    fix: str = ""
    note: str = ""


@dataclass(frozen=True, slots=True)
class Made:
    """One case to be written: name, value (None: nothing is given), the state that must come out."""

    name: str
    value: str | None
    expect: str
    sure: bool = False
    more: Mapping[str, str] = field(default_factory=dict)


def limit_text(limit: str, states: Collection[str] = ()) -> str:
    """`at-least 2/32 in` as YAML: `{at-least: 2/32 in}`. A comma within one of `states` parts nothing.

    >>> limit_text("one-of straight, pulls, must be held", ("straight", "pulls, must be held"))
    '{one-of: [straight, "pulls, must be held"]}'
    """
    word, _, rest = limit.strip().partition(" ")
    word = word.removesuffix(":")
    if word not in _LISTS:
        return f"{{{word}: {quoted(rest.strip())}}}"
    parts, values = [part.strip() for part in rest.split(",")], []
    while parts:
        sizes = (n for n in range(len(parts), 1, -1) if ", ".join(parts[:n]) in states)
        size = next(sizes, 1)
        values.append(", ".join(parts[:size]))
        del parts[:size]
    return f"{{{word}: {flow(values)}}}"


def _words(measure: str, book: Rulebook) -> tuple[str, ...]:
    thing = book.points.get(measure) or book.derived.get(measure)
    return thing.states if thing else ()


def place_of(wish: Wish, book: Rulebook) -> str:
    """Where the rule is judged: as said, else the family of the point, road wheels for tires."""
    family = book.family_of(wish.measure)
    return wish.at or ("road-wheels" if family == "tires" else family)


def facts_for(wish: Wish, book: Rulebook, needed: bool = False) -> dict[str, str]:
    """The facts a case starts from, so that the rule has a place to be judged at; only the `needed` ones."""
    out = dict(_TYPICAL)
    family = book.families.get(place_of(wish, book))
    places = family.places if family else ()
    if places and not any(all(out.get(f) in words for f, words in p.when) for p in places):
        out.update((fact, words[0]) for fact, words in places[0].when)
    makes = {fact for p in places for fact, _ in p.when} | {
        "vehicle-class" for _ in (family.by_class if family else ())
    }
    return {
        fact: word
        for fact, word in out.items()
        if fact in book.points and fact != wish.measure and (fact in makes or not needed)
    }


# -- text -----------------------------------------------------------------------------------------


def rule_lines(wish: Wish, book: Rulebook, cases: tuple[Made, ...], indent: str = "  ") -> list[str]:
    """The rule as lines of YAML, the keys in the order of the manual."""
    source = wish.source["id"]
    note = f", note: {quoted(wish.note)}" if wish.note else ""
    word, _, rest = wish.limit.strip().partition(" ")
    words = f"{word.removesuffix(':').replace('-', ' ')} {rest.strip()}"
    lines = [
        f"id: {quoted(wish.id)}",
        f"title: {quoted(wish.title)}",
        f"cite: {{source: {quoted(source)}, clause: {quoted(wish.clause)}, checked: {wish.checked}{note}}}",
        f"requires: {quoted(wish.requires or f'{wish.title}: {words}.')}",
        f"measure: {quoted(wish.measure)}",
        f"at: {place_of(wish, book)}",
        f"limit: {limit_text(wish.limit, _words(wish.measure, book))}",
        f"blocks: {flow(wish.blocks)}",
    ]
    point = book.points.get(wish.measure)
    chain = wish.chain or (point.chain if point and point.chain else "")
    for key, value in (("asks", wish.asks), ("chain", chain), ("fix", wish.fix)):
        if value:
            lines.append(f"{key}: {quoted(value)}")
    if cases:
        lines += ["cases:", *(f"  - {_case(wish, case, book)}" for case in cases)]
    return [f"{indent}{'- ' if i == 0 else '  '}{line}" for i, line in enumerate(lines)]


def _case(wish: Wish, case: Made, book: Rulebook) -> str:
    given = [f"{fact}: {quoted(word)}" for fact, word in case.more.items()]
    if case.value is not None:
        value = quoted(case.value)
        if case.sure:
            value = f"{{is: {value}, sure: yes}}"
        family = book.families.get(place_of(wish, book))
        given.append(
            f"{wish.measure}: {f'{{a-spot: {value}}}' if family and family.kind == 'spots' else value}"
        )
    return f"{{name: {quoted(case.name)}, given: {{{', '.join(given)}}}, expect: {case.expect}}}"


def file_text(wish: Wish, book: Rulebook, cases: tuple[Made, ...]) -> str:
    """A whole local rule file."""
    typical = ", ".join(f"{fact}: {quoted(word)}" for fact, word in facts_for(wish, book).items())
    lines = [
        "# A local rule file. After a change: precheck rules check FILE, precheck rules prove FILE.",
        "rules: 1",
        "source:",
        *(f"  {key}: {quoted(value)}" for key, value in wish.source.items()),
        f"typical: {{{typical}}}",
        "add:",
        *rule_lines(wish, book, cases),
    ]
    return "\n".join([*lines, ""])


# -- cases ----------------------------------------------------------------------------------------


def cases_of(rule: Rule, book: Rulebook, more: Mapping[str, str]) -> tuple[Made, ...]:
    """Cases for a rule with one limit on a point or fact; `more` facts are given in each of them."""
    tests = plain_tests(rule.steps[0])
    point = book.points[tests[0].measure]
    found = list(_around(tests, point, book))
    family = book.families.get(rule.family)
    if point.default is not None:
        state = "meets" if point.default in tests[0].states else "fails"
        found.append(Made(f"not said, so {point.default} counts", None, state))
    elif family is None or family.kind != "spots":
        found.append(Made("nobody looked", None, "not measured"))
    found.append(Made("it could not be told", "unknown", "cannot tell"))
    named: dict[str, Made] = {}
    for case in found:
        named.setdefault(case.name, Made(case.name, case.value, case.expect, case.sure, more))
    return tuple(named.values())


def _around(tests: tuple[Test, ...], point: Point, book: Rulebook) -> Iterator[Made]:
    if tests[0].op is Op.ONE_OF:
        yield from _states(tests[0], point)
        return
    for test in tests:
        if point.kind is Kind.DATE:
            yield from _days(test, tests)
        else:
            yield from _numbers(test, tests, point, book)


def _states(test: Test, point: Point) -> Iterator[Made]:
    """The state at the edge, the next worse and the next better one; without an order one of each side."""
    good = [s for s in point.states if s in test.states]
    bad = [s for s in point.states if s not in test.states]
    for state in dict.fromkeys([good[-1], good[-2] if len(good) > 1 else good[-1]]):
        yield Made(f"{state} is enough", state, "meets")
    if bad:
        yield Made(f"{bad[0]} is not", bad[0], "fails")


def _days(test: Test, tests: tuple[Test, ...]) -> Iterator[Made]:
    assert test.limit is not None
    for shift, words in ((0, "the day itself"), (-1, "a day before"), (1, "a day after")):
        day = date.fromordinal(int(test.limit) + shift)
        yield Made(f"{words}, {day}", str(day), _expect(Fraction(day.toordinal()), tests))


def _numbers(test: Test, tests: tuple[Test, ...], point: Point, book: Rulebook) -> Iterator[Made]:
    assert test.limit is not None
    written = test.written.removeprefix(test.op.value.replace("-", " ")).strip()
    quantity = read_quantity(written, book.units, dimension=point.dimension or None)
    assert isinstance(quantity, Quantity)
    step = quantity.step or quantity.unit.factor
    values = [(test.limit, written, f"exactly {written}")]
    for shift in (-step, step):
        value = test.limit + shift
        said = _written(value, quantity.unit, step, "/" in written)
        if value < 0 <= test.limit and point.dimension != "temperature":
            continue  # nobody writes less than nothing
        values.append((value, said, said))
    other = _in_other_unit(test.limit, quantity.unit, book)
    if other:
        values.append((test.limit, other, f"{other} is the same"))
    for value, said, name in values:
        expect = _expect(value, tests)
        end = "" if name.endswith("same") else " is enough" if expect == "meets" else " is not"
        yield Made(f"{name}{end}", said, expect, _unlikely(value, point))


def _expect(value: Fraction, tests: tuple[Test, ...]) -> str:
    held = all(_HOLD[t.op](value, t.limit) for t in tests)
    return "meets" if held else "fails"


def _unlikely(value: Fraction, point: Point) -> bool:
    likely = point.plausible
    if likely is None:
        return False
    return (likely.low is not None and value < likely.low) or (
        likely.high is not None and value > likely.high
    )


def _written(value: Fraction, unit: Unit, step: Fraction, as_ratio: bool) -> str:
    """A value in the unit and the resolution of the limit."""
    number, part = (value - unit.offset) / unit.factor, step / unit.factor
    digits = _decimals(part)
    if digits is None or as_ratio:
        whole = part.denominator
        return (
            f"{number * whole}/{whole} {unit.name}"
            if (number * whole).denominator == 1
            else f"{number} {unit.name}"
        )
    return f"{_decimal(number, digits)} {unit.name}".removesuffix(" count")


def _decimals(number: Fraction) -> int | None:
    """How many decimal places write a number exactly; None where none do."""
    for places in range(_DIGITS + 1):
        if (number * 10**places).denominator == 1:
            return places
    return None


def _decimal(number: Fraction, places: int) -> str:
    scaled = abs(number) * 10**places
    whole, rest = divmod(int(scaled), 10**places)
    sign = "-" if number < 0 else ""
    return f"{sign}{whole}.{rest:0{places}d}" if places else f"{sign}{whole}"


def _in_other_unit(limit: Fraction, unit: Unit, book: Rulebook) -> str:
    """The limit in another unit of the same kind, where few digits say it exactly."""
    for name in _OTHER:
        other = book.units.get(name)
        if other is None or other.dimension != unit.dimension or other.name == unit.name:
            continue
        number = (limit - other.offset) / other.factor
        places = _decimals(number)
        if places is not None:
            return f"{_decimal(number, places)} {other.name}"
    return ""
