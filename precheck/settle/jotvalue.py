"""Values in a jotted part: where one may stand, and how it is written out in full.

A number without a unit takes the point's jotting unit and is written with it. In a list a unit at the
end counts for every number before it. What could be read two ways is refused.
"""

from __future__ import annotations

import re
from collections.abc import Iterator

from precheck.model.catalogue import Kind, Point
from precheck.model.record import dataclass
from precheck.read.fault import Fault
from precheck.read.quantity import read_quantity
from precheck.read.units import Units
from precheck.settle.jotline import Part, words_of
from precheck.settle.values import UNKNOWN

_NUMERIC = re.compile(r"[+-]?[0-9]")
_DATE = re.compile(r"[0-9]{4}(-[0-9]{2}(-[0-9]{2})?)?")
_CODE = re.compile(r"[0-9]{3,4}")
_ONE_WORD = {Kind.DATE: _DATE, Kind.DATE_CODE: _CODE}
_FRACTION = re.compile(r"[0-9]+/[0-9]+")
_PART_OF_INCH = re.compile(r"[0-9]+(?:nds|ths) in")
_BARE = re.compile(r"(?:at (?:least|most) )?[+-]?[0-9][0-9./+ -]*(?: to [0-9./ -]+)?")
_ITEM = re.compile(r"([+-]?[0-9][0-9./]*(?:-[0-9]+/[0-9]+)?)\s*(.*)", re.DOTALL)


@dataclass(frozen=True, slots=True)
class Span:
    """A value: atoms `first` up to `last` (left out), and its texts as they stand in a document.

    `same_as` holds the atoms after "same as"; then there are no texts.
    """

    first: int
    last: int
    texts: tuple[str, ...] = ()
    same_as: tuple[int, int] | None = None


def spans(part: Part, point: Point, units: Units) -> Iterator[Span]:
    """Every stretch of words that can be a value of the point, the longest first at each start."""
    words = [a.word for a in part.atoms]
    for first, word in enumerate(words):
        if word == UNKNOWN:
            yield Span(first, first + 1, (UNKNOWN,))
        if word == "same" and words[first + 1 : first + 2] == ["as"]:
            for last in range(min(len(words), first + 8), first + 2, -1):
                yield Span(first, last, same_as=(first + 2, last))
        if point.kind is Kind.STATES:
            yield from _states(words, first, point)
        elif point.kind is Kind.NUMBER:
            yield from _numbers(part, first, point, units)
        elif point.kind in _ONE_WORD and _ONE_WORD[point.kind].fullmatch(word):
            yield Span(first, first + 1, (part.raw(first, first + 1),))


def _states(words: list[str], first: int, point: Point) -> Iterator[Span]:
    found = []
    for phrase, state in said_as(point):
        if tuple(words[first : first + len(phrase)]) == phrase:
            found.append(Span(first, first + len(phrase), (state,)))
    yield from sorted(found, key=lambda span: -span.last)[:1]


def said_as(point: Point) -> Iterator[tuple[tuple[str, ...], str]]:
    """The words of each state; for worse ones those before their comma too, where they are no other state's.

    The best state is said in full: half of it may not be all that was found.
    """
    whole = [words_of(state) for state in point.states]
    heads = [words_of(state.partition(",")[0]) for state in point.states]
    for state, words, head in zip(point.states, whole, heads, strict=True):
        yield words, state
        worse = point.ordered and state != point.states[0]
        if worse and head != words and heads.count(head) == 1 and head not in whole:
            yield head, state


def _numbers(part: Part, first: int, point: Point, units: Units) -> Iterator[Span]:
    words = [a.word for a in part.atoms]
    begins = _NUMERIC.match(words[first]) or words[first : first + 2] in (["at", "least"], ["at", "most"])
    if not begins or (
        first and _NUMERIC.match(words[first - 1]) and not is_unit_word(words[first - 1], units)
    ):
        return
    last = first + 1
    while last < len(words) and (
        _NUMERIC.match(words[last])
        or words[last] in ("to", "least", "most")
        or is_unit_word(words[last], units)
    ):
        last += 1
    for end in range(last, first, -1):
        texts = number_texts(part.raw(first, end), point, units)
        if not isinstance(texts, Fault):
            yield Span(first, end, texts)


def is_unit_word(word: str, units: Units) -> bool:
    """Whether a word (lower case) is one of a unit's spellings, or a part of one."""
    return word in _unit_words(units)


_WORDS: dict[int, tuple[Units, frozenset[str]]] = {}


def _unit_words(units: Units) -> frozenset[str]:
    """Every word of every unit's name and spellings, lower case."""
    known = _WORDS.get(id(units))
    if known is None or known[0] is not units:
        found = frozenset(w for name in units.index for w in (*words_of(name), name.casefold()))
        _WORDS.clear()
        known = _WORDS[id(units)] = (units, found)
    return known[1]


# -- numbers ------------------------------------------------------------------------------------


def number_texts(raw: str, point: Point, units: Units) -> tuple[str, ...] | Fault:
    """One measurement or a list of them, each written with its unit; or what is wrong with it.

    >>> # "6 5 6" for tread in 32nds -> ("6 32nds in", "5 32nds in", "6 32nds in")
    """
    text = " ".join(raw.split())
    if text.startswith("[") and text.endswith("]"):
        text = text[1:-1].strip()
    one = _with_unit(text, point, units)
    if not isinstance(one, Fault):
        return (one,)
    commas = re.search(r",\s", text) is not None
    pieces = _pieces(text, commas)
    if isinstance(pieces, Fault):
        return pieces
    if len(pieces) < 2:
        return one
    return _list(pieces, commas, point, units)


def _with_unit(text: str, point: Point, units: Units) -> str | Fault:
    """One measurement; the jotting unit is added to a bare number."""
    written = text
    if _BARE.fullmatch(text) and point.unit is not None and point.dimension != "count":
        if "/" in text and _PART_OF_INCH.fullmatch(point.unit.name):
            whole = text.partition("/")[0].rsplit(" ", 1)[-1]
            found = f'"{text}" could be inches or {point.unit.name}'
            return Fault("no-unit", found, "a unit", f"{text} in, or {whole} for {whole} {point.unit.name}")
        written = f"{text} {point.unit.name}"
    got = read_quantity(written, units, dimension=point.dimension)
    return got if isinstance(got, Fault) else written


def _pieces(text: str, commas: bool) -> list[str] | Fault:
    """The items of a list: at commas where there are any, else one for each number."""
    if commas:
        return [piece.strip() for piece in re.split(r",\s", text.rstrip(",")) if piece.strip()]
    out: list[str] = []
    tokens = text.split(" ")
    for i, token in enumerate(tokens):
        if _NUMERIC.match(token) or not out:
            if _FRACTION.fullmatch(token) and i and tokens[i - 1].isdigit():
                found = f'"{tokens[i - 1]} {token}" in a list could be one number or two'
                return Fault("list", found, "commas between the numbers", "6/32 in, 5/32 in, 6/32 in")
            out.append(token)
        else:
            out[-1] += f" {token}"
    return out


def _list(pieces: list[str], commas: bool, point: Point, units: Units) -> tuple[str, ...] | Fault:
    """Each item with its unit: its own, the one at the end for all, or the jotting unit."""
    items = []
    for piece in pieces:
        match = _ITEM.fullmatch(piece)
        if not match:
            return Fault("list", f'"{piece}" is no number', "a number for each place it was taken", "6, 5, 6")
        items.append((match[1], match[2].strip()))
    own = [unit for _, unit in items]
    shared = own[-1] if not any(own[:-1]) else ""
    each = all(own) and (commas or len(set(own)) == 1)
    if not (each or not any(own) or (shared and units.get(shared))):
        found = f'"{", ".join(pieces)}" does not say which unit counts for which number'
        return Fault("list", found, "one unit at the end for all, or a unit and a comma after each")
    out: list[str] = []
    for number, unit in items:
        text = _with_unit(f"{number} {unit or shared}".strip(), point, units)
        if isinstance(text, Fault):
            return text
        out.append(text)
    return tuple(out)
