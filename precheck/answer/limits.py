"""The limits that a GO carries: those of the uses and those of findings, the strictest of each kind."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from precheck.answer.record import LimitLine
from precheck.model.catalogue import VEHICLE, Limit, Use
from precheck.rulebook.book import Rulebook
from precheck.rulebook.places import words_of_place

Reason = tuple[Limit, str, str]  # the limit, the title of what put it there, the place
_Why = tuple[Limit, str]


def merged(uses: Sequence[Use], findings: Iterable[Reason], book: Rulebook) -> tuple[LimitLine, ...]:
    """Limits add up. A side use lifts kinds of the rung's own limits, never those of a finding."""
    lifted = {kind for use in uses for kind in use.lifts}
    places = _places(findings := list(findings))
    found: dict[str, list[_Why]] = {}
    for use in uses:
        for limit in use.limits:
            if use.side or limit.kind not in lifted:
                found.setdefault(limit.kind, []).append((limit, f"usual for {use.id}"))
    for limit, title, _ in findings:
        why = _why(title, places[limit, title], book)
        found.setdefault(limit.kind, []).append((limit, why))
    out: list[LimitLine] = []
    for kind in book.limit_kinds.values():
        out += _lines(kind.id, kind.words, kind.take, found.get(kind.id, []))
    return tuple(out)


def _places(findings: Iterable[Reason]) -> dict[tuple[Limit, str], list[str]]:
    """Where each limit comes from, so that four tires do not say the same four times."""
    found: dict[tuple[Limit, str], list[str]] = {}
    for limit, title, place in findings:
        found.setdefault((limit, title), []).append(place)
    return found


def _why(title: str, places: Sequence[str], book: Rulebook) -> str:
    named = list(dict.fromkeys(places))
    if len(named) > 1:
        return f"{title}, {len(named)} places"
    return title if named == [VEHICLE] else f"{title}, {words_of_place(book, named[0])}"


def _lines(name: str, words: str, take: str, reasons: list[_Why]) -> list[LimitLine]:
    if not reasons:
        return []
    if take == "lowest":
        strictest = min(limit.value for limit, _ in reasons if limit.value is not None)
        kept = [(limit, why) for limit, why in reasons if limit.value == strictest]
        return [LimitLine(name, words, kept[0][0].words, _unique(why for _, why in kept))]
    if take == "flag":
        return [LimitLine(name, words, "", _unique(why for _, why in reasons))]
    texts = list(dict.fromkeys(limit.words for limit, _ in reasons))
    return [LimitLine(name, words, t, _unique(w for limit, w in reasons if limit.words == t)) for t in texts]


def _unique(words: Iterable[str]) -> tuple[str, ...]:
    return tuple(dict.fromkeys(words))
