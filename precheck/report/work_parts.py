"""The list of parts in plain text: what, how many, where, and the sizes as they were taken."""

from __future__ import annotations

from collections.abc import Sequence

from precheck.answer.mending import PartLine, Size
from precheck.model.parts import PAIR_WORDS
from precheck.report.lines import Page, listed

KNOWN = {"papers": "from the papers", "same-as": "the same as at another place"}


def parts_section(parts: Sequence[PartLine], page: Page) -> None:
    """Parts of repairs first, then of what may wait."""
    if not parts:
        page.heading("PARTS: none that the list of parts knows")
        return
    page.heading(f"PARTS ({len(parts)}), left and right as the driver sits")
    page.say("Sizes stand exactly as they were written; nothing is converted or rounded.", 2)
    now, later = [p for p in parts if p.for_repairs], [p for p in parts if not p.for_repairs]
    for part in now:
        _part(part, page)
    if later:
        page.blank()
        page.say(f"For what may wait ({len(later)}):", 2)
    for part in later:
        _part(part, page)


def _part(part: PartLine, page: Page) -> None:
    page.blank()
    at = f" - {listed(part.places)}" if part.places else ""
    page.say(f"{part.count} x {part.words}{at}", 2)
    if part.for_repairs:
        page.say(f"for repair {listed(str(n) for n in part.for_repairs)}", 4)
    if PAIR_WORDS[part.pair]:
        beside = [p for p in part.places if p not in part.found_at]
        more = f"; found at {listed(part.found_at)}" if beside else ""
        page.say(f"Pair: {PAIR_WORDS[part.pair]}{more}", 4)
    for words in _known(part.sizes):
        page.say(words, 4)
    for words, places, how in _missing(part.missing):
        page.say(f"Not known yet: {words}{places} ({how})", 4)
    for words in part.buy:
        page.say(f"Buy with it: {words}", 4)
    if part.compare:
        page.say(f"Compare before fitting: {'; '.join(part.compare)}", 4)


def _known(sizes: Sequence[Size]) -> list[str]:
    """Sizes as written; places that read alike together."""
    groups: dict[tuple[str, str], list[str]] = {}
    for size in sizes:
        places = groups.setdefault((size.words, f"{listed(size.written)}{_taken(size)}"), [])
        if size.place != "vehicle":
            places.append(size.place_words)
    return [
        f"{words}{f', {listed(places)}' if places else ''}: {reading}"
        for (words, reading), places in groups.items()
    ]


def _taken(size: Size) -> str:
    who = f" by {size.by}" if size.by else ""
    when = f" on {size.on}" if size.on else ""
    tool = f" with {size.instrument}" if size.instrument else ""
    known = KNOWN.get(size.known, size.known)
    note = f"; note: {size.note}" if size.note else ""
    return f" ({known}{who}{when}{tool}{note})"


def _missing(sizes: Sequence[Size]) -> list[tuple[str, str, str]]:
    """Each size once, with the places where it is missing; other reasons than no reading are told."""
    groups: dict[tuple[str, str, str], list[str]] = {}
    for size in sizes:
        why = "" if size.why == "no reading" else f"; {size.why}"
        key = (size.point, size.words, f"{size.how}{why}")
        groups.setdefault(key, []).append("" if size.place == "vehicle" else size.place_words)
    out = []
    for (_, words, how), places in groups.items():
        named = listed(p for p in places if p)
        out.append((words, f", {named}" if named else "", how))
    return out
