"""What is wrong with a jotted part that cannot be read: where, what was expected, what is near."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from precheck.model.catalogue import VEHICLE, Kind, Point
from precheck.read.fault import Fault
from precheck.read.near import near
from precheck.settle.jotline import Atom, Part, words_of
from precheck.settle.jotmatch import BY_STATE, EXACT, KNOWING, NAMED, SMALL, SURE, WITH, Matcher, Way, stem
from precheck.settle.jotvalue import Span, number_texts, spans

Found = tuple[int, Fault]  # where in the line, counted from 0
SHAPE = "a point, a place and a value"
_MANY = 4  # of several points that fit, so many are named
_DRIVEN = frozenset(("drove", "driven"))
_IGNORED = SMALL | {*KNOWING, SURE, WITH}


def example(point: Point, place: str, value: str = "") -> str:
    """A reading in its exact form."""
    where = "" if point.family == VEHICLE else f"@{place}" if place else "" if point.states else "@PLACE"
    return f"{point.id}{where}: {value or _value(point)}"


def ambiguous(part: Part, ways: Sequence[Way]) -> Found:
    """Several points fit equally well: say them all, and how to write each."""
    names = sorted(way.point.id for way in ways)
    found = f'"{part.written}" can be {_listed(names)}'
    first = min(ways, key=lambda w: w.point.id)
    how = example(first.point, first.place, ", ".join(first.span.texts))
    near_by = tuple(names[:_MANY])
    return part.begin, Fault("jot-ambiguous", found, "more words of the point's name", how, near_by)


def of_value(part: Part, point: Point, place: str, first: int, matcher: Matcher) -> Found:
    """The point is known, its value is not there or cannot be read."""
    if first >= len(part.atoms):
        found = f"no value for {point.id}"
        at = part.atoms[-1].end if part.atoms else part.begin
        return at, Fault("no-value", found, _expected(point), example(point, place))
    raw, at = part.raw(first, len(part.atoms)), part.atoms[first].start
    if point.kind is Kind.NUMBER:
        got = number_texts(raw, point, matcher.book.units)
        if isinstance(got, Fault):
            return at, got
    if point.kind is Kind.STATES:
        found = f"'{raw}' is no state of {point.id}"
        close = near(raw, point.states) or _also_named(part.atoms[:first], point, matcher)
        return at, Fault("unknown-state", found, _expected(point), "", close)
    found = f"'{raw}' is no value of {point.id}"
    return at, Fault("no-value", found, _expected(point), example(point, place))


def of_words(part: Part, matcher: Matcher) -> Found:
    """No way to read the part: what comes nearest, and what in it fits nothing."""
    scored = []
    for point in matcher.book.points.values():
        named = [a for a in part.atoms if a.word not in SMALL and matcher.tier(point, stem(a.word)) == NAMED]
        if named:
            left, valued = _left_over(part, point, matcher)
            own = matcher.names(point)[0]
            said = [stem(a.word) for a in named]
            rank = matcher.rank(point, said, Span(0, 0))
            inexact = rank is None or rank > EXACT
            score = (len(left) - len(own.intersection(said)), inexact, not valued)
            scored.append((score, len(own), point.id, point, left, valued))
    scored.sort(key=lambda s: s[:3])
    if not scored:
        return _no_point(part, matcher)
    best = [s for s in scored if s[0] == scored[0][0]]
    point, left, valued = best[0][3:]
    if len(best) == 1 or (left and valued):
        return _of_one(part, point, left, valued, matcher)
    names = [s[2] for s in best]
    if left:
        raw = part.raw(left[0], left[-1] + 1)
        found = f"'{raw}' fits none of {_listed(names)}"
        at = part.atoms[left[0]].start
        close = _near_states(raw, [s[3] for s in best])
        how = "" if close else example(point, "")
        return at, Fault("jot-unclear", found, SHAPE, how, close or tuple(names[:_MANY]))
    found = f'"{part.written}" has no value, and could be {_listed(names)}'
    return part.begin, Fault("no-value", found, SHAPE, example(point, ""), tuple(names[:_MANY]))


def _of_one(part: Part, point: Point, left: list[int], valued: bool, matcher: Matcher) -> Found:
    spots = matcher.spots(point, [a.word for a in part.atoms])
    place = spots[0].place if spots else ""
    if not left:
        return of_value(part, point, place, len(part.atoms), matcher)
    if not valued:
        run = [left[0]]
        while run[-1] + 1 in left:
            run.append(run[-1] + 1)
        inner = Part(part.text, part.begin, part.atoms[: run[-1] + 1], "", part.written)
        return of_value(inner, point, place, run[0], matcher)
    atom = part.atoms[left[0]]
    word = part.text[atom.start : atom.end]
    if word[:1].isdigit():
        found, one = f"'{word}' is a second value in one part", "one value, or a list of one place"
        return atom.start, Fault("jot-words", found, one, "a ; between readings")
    if any(spot.first == left[0] for spot in spots):
        found = f"'{word}' is a second place in one part"
        return atom.start, Fault("jot-words", found, "one place and its value", "a ; between readings")
    known = {w for s in point.states for w in words_of(s)} | set(matcher.names(point)[0])
    known |= {" ".join(p) for p in matcher.phrases(point)} | {w for p in matcher.phrases(point) for w in p}
    found = f"'{word}' is no word of {point.id}, its places or its values"
    return atom.start, Fault("jot-words", found, SHAPE, example(point, place), near(atom.word, known))


def _near_states(raw: str, points: Sequence[Point]) -> tuple[str, ...]:
    """States of several points that look like what was written, each with its point."""
    said = {state: point for point in points for state in point.states}
    return tuple(example(said[state], "", state) for state in near(raw, said))


def _also_named(atoms: Sequence[Atom], point: Point, matcher: Matcher) -> tuple[str, ...]:
    """Other points that have all these words in their names."""
    said = {stem(a.word) for a in atoms} & matcher.names(point)[0]
    others = (p for p in matcher.book.points.values() if p is not point)
    return tuple(sorted(p.id for p in others if said and said <= matcher.names(p)[0]))[:_MANY]


def _left_over(part: Part, point: Point, matcher: Matcher) -> tuple[list[int], bool]:
    """The atoms that fit nowhere when the part is about this point, and whether a value was found."""
    words = [a.word for a in part.atoms]
    used: set[int] = {i for i, w in enumerate(words) if w in _IGNORED}
    span = next(iter(spans(part, point, matcher.book.units)), None)
    if span:
        used |= set(range(span.first, span.last))
    spots = matcher.spots(point, words)
    for spot in spots:
        here = set(range(spot.first, spot.last))
        if not (span and here & set(range(span.first, span.last))):
            used |= here
            break
    used |= {i for i, w in enumerate(words) if matcher.tier(point, stem(w)) < BY_STATE}
    left = [i for i in range(len(words)) if i not in used]
    second = any(spot.first == left[0] for spot in spots) if left else False
    unit = span and point.kind is Kind.NUMBER and span.last in left and words[span.last][:1].isalpha()
    if span and unit and not second:
        return sorted({*left, *range(span.first, span.last + 1)}), False  # the unit is the trouble
    return left, span is not None


def _no_point(part: Part, matcher: Matcher) -> Found:
    book = matcher.book
    vocabulary = {w for p in book.points.values() for w in words_of(p.id)}
    places = {w for f in book.families.values() for q in f.places for w in (q.id, q.short) if w}
    for atom in part.atoms:
        word = part.text[atom.start : atom.end]
        if atom.word in _DRIVEN:
            how = "beside the line: --drove '4 mi'"
            return atom.start, Fault("jot-words", f"'{word}' tells of a drive", "a point, or the option", how)
        if atom.word in _IGNORED or atom.word in places or word[:1].isdigit():
            continue
        close = near(atom.word, vocabulary | places)
        if stem(atom.word) not in {stem(v) for v in vocabulary}:
            close = _stated(atom.word, book.points.values()) or close
            found = f"'{word}' is no word of any point"
            return atom.start, Fault("jot-words", found, SHAPE, "lr tread 6 5 6", close)
    found = f'"{part.written}" does not say what was looked at'
    return part.begin, Fault("jot-words", found, SHAPE, "lr tread 6 5 6")


def _stated(word: str, points: Iterable[Point]) -> tuple[str, ...]:
    """The states that begin with this word, each with its point."""
    found = ((p, s) for p in points if not p.fact for s in p.states if words_of(s)[:1] == (word,))
    return tuple(example(point, "", state) for point, state in found)[:_MANY]


def _expected(point: Point) -> str:
    if point.states:
        return f"one of: {', '.join(point.states)}; or unknown"
    if point.kind is Kind.NUMBER:
        return f"a number in {point.unit.name}" if point.unit else "a number with its unit"
    return {
        Kind.DATE: "a date: 1966, 1966-04 or 1966-04-12",
        Kind.DATE_CODE: "three or four digits: week, then year",
    }.get(point.kind, "what stands there")


def _value(point: Point) -> str:
    if point.states:
        return point.states[0]
    if point.kind is Kind.NUMBER:
        return "5" if point.unit is None or point.dimension == "count" else f"5 {point.unit.name}"
    return {Kind.DATE: "1966-04", Kind.DATE_CODE: "1417"}.get(point.kind, "as it stands there")


def _listed(names: Sequence[str]) -> str:
    shown = list(names[:_MANY])
    rest = len(names) - len(shown)
    return f"{', '.join(shown)} or {rest} more" if rest > 0 else " or ".join(shown)
