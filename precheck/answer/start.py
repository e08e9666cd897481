"""A first condition document from what is known of a vehicle, and what to look at first.

What is not said stands in the document as lines to fill in, with its question; only facts that some rule
reads which may judge this vehicle. Before it is given out it is read back: it must say just what was said,
and the gate must leave the first use undecided.
"""

from __future__ import annotations

import textwrap
from collections.abc import Iterator, Mapping, Sequence

from precheck.answer.gate import Gate, Request
from precheck.answer.judging import points_read
from precheck.answer.record import CautionLine, Gap, Question
from precheck.answer.words import caution_lines
from precheck.model.catalogue import Day, Kind, Point
from precheck.model.document import Document
from precheck.model.problem import Problem
from precheck.model.record import dataclass
from precheck.model.rules import State, Verdict
from precheck.read.strict_yaml import read_yaml
from precheck.read.write import quoted
from precheck.rulebook.book import Rulebook
from precheck.settle.check import check
from precheck.settle.values import UNKNOWN

# Asked first, in this order, where the catalogue has them; facts that a rung asks for come after.
_FIRST = (
    "called", "region", "vehicle-class", "build-date", "gross-weight-rating", "brake-circuit-layout",
    "brake-booster", "front-brake-type", "rear-brake-type", "power-steering", "system-voltage", "rear-wheels",
    "driven-wheels", "spare-wheel", "fuel-kind",
)  # fmt: skip
_FITTED = ("fitted", "not fitted")
_BEFORE_A_START = ("battery-polarity", "stuck-throttle", "first-start", "exhaust-gas-indoors", "stuck-clutch")
_LOOKS = 5
_WIDTH = 80


@dataclass(frozen=True, slots=True)
class Started:
    """A new document, and what is told about it. `left` are the facts it has lines to fill in for.

    `looks` are the first readings that the first use waits for, of `all_looks`; `questions` its facts.
    """

    file: str
    called: str
    day: str
    use: str
    said: tuple[tuple[str, str], ...]
    left: tuple[str, ...]
    headline: str
    cautions: tuple[CautionLine, ...]
    questions: tuple[Question, ...]
    looks: tuple[Gap, ...]
    all_looks: int
    example: str
    by: str


def first_facts(book: Rulebook) -> tuple[Point, ...]:
    """The facts that are asked for one by one, in the order of asking."""
    asked = [p.id for p in book.points.values() if p.fact and p.opens]
    return tuple(book.points[name] for name in dict.fromkeys((*_FIRST, *asked)) if name in book.points)


def equipment(book: Rulebook) -> tuple[Point, ...]:
    """What may be fitted or not, taken as fitted unless said; asked for all at once."""
    first = first_facts(book)
    return tuple(
        p
        for p in book.points.values()
        if p.fact and p.states == _FITTED and p.default == _FITTED[0] and p not in first
    )


def problem_of(fact: str, value: str, book: Rulebook, day: Day) -> Problem | None:
    """What is wrong with one answer, or None. The word `unknown` is one for every fact."""
    source, problems = read_yaml(_head({fact: value}).encode(), "start")
    if source is not None:
        problems = check(source, book, day)[1]
    return problems[0] if problems else None


def start(facts: Mapping[str, str], file: str, book: Rulebook, day: Day, by: str = "") -> tuple[str, Started]:
    """The text of the document, and the record. The facts are ones that `problem_of` finds nothing in.

    Raises ValueError where the answers do not go together, with the first problem in words.
    """
    ordered = {name: facts[name] for name in _order(facts, book)}
    document = _read(_head(ordered), file, book, day)
    first = book.rungs()[0]
    gate = Gate(document, book, Request(day, (first.id,)))
    answer = gate.answer()
    left = [p for p in _left(gate, book) if p.id not in facts]
    looks = tuple(g for g in answer.gaps if not book.points[g.point].fact)
    example = _example(looks, book)
    text = _text(ordered, left, looks, book, day, by)
    again = _read(text, file, book, day)
    if answer.verdict is not Verdict.UNDECIDED or _said(again) != _said(document) or again.visits:
        raise ValueError("the document would not say what was answered; this is a fault of precheck")
    return text, Started(
        file=file,
        called=document.called,
        day=str(day.date),
        use=first.id,
        said=tuple(ordered.items()),
        left=tuple(p.id for p in left),
        headline=answer.headline,
        cautions=caution_lines(_BEFORE_A_START, book),
        questions=tuple(q for q in answer.questions if q.fact not in facts or facts[q.fact] == UNKNOWN),
        looks=looks[:_LOOKS],
        all_looks=len(looks),
        example=example,
        by=by,
    )


def _order(facts: Mapping[str, str], book: Rulebook) -> list[str]:
    first = [p.id for p in first_facts(book) if p.id in facts]
    return [*first, *(name for name in book.points if name in facts and name not in first)]


def _read(text: str, file: str, book: Rulebook, day: Day) -> Document:
    source, problems = read_yaml(text.encode(), file)
    document, wrong = check(source, book, day) if source else (None, ())
    if document is None:
        found = (*problems, *wrong)[0]
        raise ValueError(f"{found.found}; expected {found.expected}")
    return document


def _said(document: Document) -> list[tuple[str, tuple[str, ...], str]]:
    return [(c.point, tuple(v.written for v in c.values), c.why_unknown) for c in document.vehicle]


def _left(gate: Gate, book: Rulebook) -> list[Point]:
    """The facts that bear on some rule which judges here and may apply; those asked first before others."""
    use = book.rungs()[-1]
    judged = gate.judged(use)
    rules = {
        u.rule.id: u.rule for u in judged.units if judged.results.states[u.key] is not State.DOES_NOT_APPLY
    }
    read = points_read(rules.values(), book)
    makes = {fact for f in book.families.values() for place in f.places for fact, _ in place.when}
    first = first_facts(book)
    rest = [p for p in book.points.values() if p.fact and p.id in read | makes and p not in first]
    return [*first, *rest]


# -- the text -------------------------------------------------------------------------------------------


def _head(facts: Mapping[str, str]) -> str:
    lines = [f"  {quoted(name)}: {quoted(value)}" for name, value in facts.items()]
    return "\n".join(["condition: 1", "vehicle:", *lines, ""])


def _text(
    facts: Mapping[str, str],
    left: Sequence[Point],
    looks: Sequence[Gap],
    book: Rulebook,
    day: Day,
    by: str,
) -> str:
    lines = [
        *_said_in_comment("What was found on this vehicle, for precheck. Begun on " + f"{day.date}.", ""),
        *_said_in_comment("A line that begins with # is not read. The word unknown is an answer.", ""),
        *_head(facts).splitlines(),
    ]
    if left:
        lines += [
            "",
            *_said_in_comment("Not said yet: take the # before a name away, and answer after it.", "  "),
        ]
    for point in left:
        lines += [*_said_in_comment(_question(point), "  "), f"  #{point.id}:"]
    lines += ["", "visits:", *_example_visit(looks, book, day, by)]
    return "\n".join([*lines, ""])


def _question(point: Point) -> str:
    words = point.question or point.observe
    if point.states:
        choice = " / ".join(point.states)
    elif point.kind is Kind.NUMBER:
        unit = point.unit.name if point.unit else ""
        choice = "a number" if unit in ("", "count") else f"a number with its unit, such as {unit}"
    else:
        choice = "1966, 1966-04 or 1966-04-12" if point.kind is Kind.DATE else "in your words"
    usual = f"; taken if nothing is said: {point.default}" if point.default else ""
    return f"{words} ({choice}{usual})"


def _example_visit(looks: Sequence[Gap], book: Rulebook, day: Day, by: str) -> Iterator[str]:
    """One visit as it would look, commented out, so that nobody takes its values for findings."""
    yield from _said_in_comment("Each time somebody looks is a visit; precheck jot writes it. Such as:", "  ")
    yield f"  # - on: {day.date}"
    yield f"  #   by: {quoted(by or 'NAME')}"
    yield "  #   readings:"
    for gap in looks[:_LOOKS]:
        places = [place for place, _ in gap.places if book.points[gap.point].family != "vehicle"]
        value = _choice(gap)
        yield from _said_in_comment(
            f"write {value}; at: {', '.join(places)}" if places else f"write {value}", "  #     "
        )
        yield f"  #     {gap.point}: " + (f"{{{places[0]}: ...}}" if places else "...")


def _choice(gap: Gap) -> str:
    if gap.states:
        return " / ".join((*gap.states, UNKNOWN))
    return f"a number with its unit, such as {gap.unit}" if gap.unit not in ("", "count") else "a number"


def _example(looks: Sequence[Gap], book: Rulebook) -> str:
    """A line to jot for the first look, with a word in place of its value."""
    if not looks:
        return "brake pedal unknown"
    gap = looks[0]
    place = "" if book.points[gap.point].family == "vehicle" else f"@{gap.places[0][0]}"
    return f"{gap.point}{place}: {UNKNOWN}"


def _said_in_comment(text: str, indent: str) -> list[str]:
    room = _WIDTH - len(indent) - 2
    return [f"{indent}# {line}" for line in textwrap.wrap(text, room, break_on_hyphens=False)]
