"""Work done, jotted: `done wheel cylinder replaced lr`."""

from __future__ import annotations

from collections.abc import Mapping

from precheck.model.document import Done
from precheck.model.problem import Mark
from precheck.read.fault import Fault
from precheck.read.near import near
from precheck.rulebook.book import Rulebook
from precheck.rulebook.places import all_places
from precheck.settle.jotline import Atom, Part, words_of

_SMALL = frozenset(("at", "a", "an", "the", "on", "and", "or", "of"))
Found = tuple[int, Fault]


def read_done(part: Part, book: Rulebook, listed: Mapping[str, tuple[str, ...]], mark: Mark) -> Done | Found:
    """The work and its places; the first word of the part is `done`."""
    places = _places(book, listed)
    atoms = list(part.atoms[1:])
    at: list[str] = []
    for name in book.works:  # the exact name first: its words may look like places
        words = words_of(name)
        if tuple(a.word for a in atoms[: len(words)]) == words:
            rest = _take_places(atoms[len(words) :], places, at)
            if not rest:
                return Done(name, tuple(dict.fromkeys(at)), mark)
            at = []
    left = [a for a in _take_places(atoms, places, at) if a.word not in _SMALL]
    said = {a.word for a in left}
    fits = []
    for work in book.works.values():
        own = set(words_of(work.id)) - _SMALL
        known = own | (set(words_of(work.words)) - _SMALL)
        if said and said <= known:
            fits.append((not own <= said, work.id))
    fits.sort()
    best = [name for worse, name in fits if worse == fits[0][0]]
    if len(best) == 1:
        return Done(best[0], tuple(dict.fromkeys(at)), mark)
    return _fault(part, left, best, book)


def _fault(part: Part, left: list[Atom], best: list[str], book: Rulebook) -> Found:
    where = left[0].start if left else part.atoms[-1].end
    raw = part.text[left[0].start : left[-1].end] if left else ""
    if best:
        shown = f"{' or '.join(best[:4])}{f' or {len(best) - 4} more' if len(best) > 4 else ''}"
        found = f"'{raw}' can be {shown}"
        return where, Fault("jot-ambiguous", found, "one kind of work", f"done {best[0]}", tuple(best[:4]))
    close = near("-".join(a.word for a in left), list(book.works))
    found = f"'{raw}' is no kind of work" if raw else "no kind of work after done"
    how = f"done {close[0] if close else 'wheel-cylinder-replaced'} lr"
    return where, Fault("unknown-work", found, "a name that `precheck show work` lists", how, close)


def _places(book: Rulebook, listed: Mapping[str, tuple[str, ...]]) -> dict[tuple[str, ...], str]:
    out: dict[tuple[str, ...], str] = {}
    for family in book.families.values():
        for place in all_places(family):
            for name in (place.id, place.short):
                if name:
                    out.setdefault(words_of(name), place.id)
    for names in listed.values():
        out.update({words_of(name): name for name in names})
    return out


def _take_places(atoms: list[Atom], places: Mapping[tuple[str, ...], str], at: list[str]) -> list[Atom]:
    """Move the places named among the words to `at`, longest names first; the rest is returned."""
    rest, i = [], 0
    words = [a.word for a in atoms]
    while i < len(atoms):
        for last in range(min(len(atoms), i + 8), i, -1):
            place = places.get(tuple(words[i:last]))
            if place is not None:
                at.append(place)
                i = last
                break
        else:
            if words[i] not in _SMALL:
                rest.append(atoms[i])
            i += 1
    return rest
