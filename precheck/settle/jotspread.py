"""One point at several places in one part: `pressure lf 31 rf 30 lr 27 rr 37 psi`."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from precheck.model.catalogue import Kind
from precheck.model.record import replace
from precheck.read.fault import Fault
from precheck.settle.jotline import Part
from precheck.settle.jotmatch import Matcher, Way
from precheck.settle.jotvalue import number_texts

Pieces = list[tuple[Part, Way]]


def spread(part: Part, matcher: Matcher, meant: Callable[[Part], object]) -> Pieces:
    """The part cut before each place, each piece read with the words before the first; empty if it is none.

    All pieces must mean one point. A unit after the last number counts for all numbers without one.
    """
    starts = _places(part, matcher)
    if len(starts) < 2 or not starts[0]:
        return []
    head = part.atoms[: starts[0]]
    out: Pieces = []
    for begin, end in zip(starts, [*starts[1:], len(part.atoms)], strict=True):
        piece = replace(part, atoms=(*head, *part.atoms[begin:end]), begin=part.atoms[begin].start)
        way = meant(piece)
        if not isinstance(way, Way) or not way.place or way.span.last - way.span.first < 1:
            return []
        out.append((piece, way))
    if len({way.point.id for _, way in out}) != 1 or len({way.place for _, way in out}) != len(out):
        return []
    return _shared_unit(out, matcher) if out[0][1].point.kind is Kind.NUMBER else out


def _places(part: Part, matcher: Matcher) -> list[int]:
    """Where the short name or id of a place of some family begins."""
    words = [a.word for a in part.atoms]
    starts: set[int] = set()
    for family in matcher.book.families.values():
        for place in family.places:
            if len(place.short) > 1:
                starts |= {i for i, w in enumerate(words) if w == place.short}
    return sorted(starts)


def _shared_unit(pieces: Pieces, matcher: Matcher) -> Pieces:
    last, way = pieces[-1]
    raw = last.raw(way.span.first, way.span.last)
    unit = raw.lstrip("+-0123456789./ ")
    if not unit or matcher.book.units.get(unit) is None:
        return pieces
    out = []
    for piece, found in pieces:
        mine = piece.raw(found.span.first, found.span.last)
        if not mine.lstrip("+-0123456789./ "):
            texts = number_texts(f"{mine} {unit}", found.point, matcher.book.units)
            if isinstance(texts, Fault):
                return []
            found = replace(found, span=replace(found.span, texts=texts))
        out.append((piece, found))
    return out


__all__: Sequence[str] = ("spread",)
