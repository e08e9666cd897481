"""Jotted lines put into a condition document as a visit: the new bytes, and the record of what was written.

What cannot be read is left out and told; all the rest is kept. Before the new bytes are given out they are
read back: they must hold every earlier visit as it was, and of the new ones exactly what the lines said.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence

from precheck.answer.ended import ended_by
from precheck.answer.entry import Entries, Extra, visit_lines
from precheck.answer.extras import readable
from precheck.answer.jotrecord import Jotted, Kept, NotWritten, Refused
from precheck.answer.placing import NoPlace, Spot, spot_for_visit
from precheck.answer.undoing import marker
from precheck.answer.words import named
from precheck.model.catalogue import VEHICLE, Day
from precheck.model.document import Claim, Document, Done, Visit
from precheck.model.node import Source
from precheck.model.problem import Mark, Problem
from precheck.model.record import dataclass, replace
from precheck.read.strict_yaml import read_yaml
from precheck.rulebook.book import Rulebook
from precheck.settle.check import check
from precheck.settle.jot import Item, read_jot, vehicle_of
from precheck.settle.jotline import part_at
from precheck.settle.reading import Where


@dataclass(frozen=True, slots=True)
class Wish:
    """What is to be written: the lines and where they come from, and the rest of a visit.

    `drove` is a distance, read already; `not_reached` and `nothing_found` are as typed. `by` empty: whoever
    looked last.
    """

    lines: tuple[str, ...]
    origin: str
    day: Day
    by: str = ""
    drove: str = ""
    not_reached: tuple[str, ...] = ()
    nothing_found: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class _File:
    data: bytes
    name: str
    source: Source
    document: Document
    spot: Spot
    by: str


def jot(data: bytes, name: str, book: Rulebook, wish: Wish) -> tuple[bytes, Jotted]:
    """The bytes with the visit added, or the same bytes where nothing of it can be written.

    Raises NotWritten where the document cannot be read or added to, or nobody is named.
    """
    file = _opened(data, name, book, wish)
    looked = max([wish.day.date, *(v.on for v in file.document.visits)])
    vehicle = vehicle_of(file.document, book, Day(looked, True))
    where = Where(wish.day.date, len(file.document.visits), file.by)
    found = read_jot(wish.lines, book, vehicle, wish.day, where, wish.origin)
    refused = [_refused(problem, wish.lines) for problem in found.problems]
    extras, bad = readable(wish.not_reached, wish.nothing_found, book)
    refused += bad
    entries = Entries(found.items, extras, wish.drove)
    new, after = _whole(file, book, wish, entries)
    if after is None:
        entries, more = _one_by_one(file, book, wish, entries)
        refused += more
        new, after = _whole(file, book, wish, entries)
    if after is None or not (entries.items or entries.extras or entries.drove):
        return data, _record(file, wish, Entries(()), refused, b"")
    ended, again = ended_by(file.document, after, book, wish.day)
    record = _record(file, wish, entries, refused, new)
    said = [c for item in entries.items for c in item.claims]
    own = {named(c.point, c.place or VEHICLE) for c in said} | {c.point for c in said if c.place is None}
    here = tuple(name for name in ended if name in own or name.partition("@")[0] in own)
    return new, replace(record, ended=ended, same_jot=here, again=again)


def _opened(data: bytes, name: str, book: Rulebook, wish: Wish) -> _File:
    source, problems = read_yaml(data, name)
    document, wrong = check(source, book, wish.day) if source else (None, ())
    if source is None or document is None:
        raise NotWritten("the file cannot be read as it is; mend it first", (*problems, *wrong))
    by = wish.by or next((v.by for v in reversed(document.visits) if v.by), "")
    if not by:
        raise NotWritten("no visit of this file says who looked; say it once: --by NAME")
    try:
        spot = spot_for_visit(data, source)
    except NoPlace as no:
        text = source.line(Mark(no.line, 1))
        place = Mark(no.line, len(text) - len(text.lstrip()) + 1)
        problem = Problem(name, place, "no-place", no.found, no.expected, no.write, text=text)
        raise NotWritten("no visit can be added to this file as it is written", (problem,)) from no
    return _File(data, name, source, document, spot, by)


# -- the new bytes --------------------------------------------------------------------------------------


def _whole(file: _File, book: Rulebook, wish: Wish, entries: Entries) -> tuple[bytes, Document | None]:
    """The new bytes and their document; None where they do not read back as they must."""
    new, first, last = _bytes(file, wish, entries)
    after, _ = _read_back(new, file, book, wish)
    if after is None or not _as_it_was(file.document, after, first, last):
        return new, None
    mine = [v for v in after.visits if first <= v.mark.line <= last]
    same = _claims(c for v in mine for c in v.claims if not c.clear_of) == _claims(
        c for item in entries.items for c in item.claims
    )
    done = [_done(d) for v in mine for d in v.done] == [_done(i.done) for i in entries.items if i.done]
    left = [e for e in entries.extras if e.key == "not-reached"]
    reached = sum(len(v.not_reached) for v in mine) == len(left)
    return new, after if same and done and reached else None


def _bytes(file: _File, wish: Wish, entries: Entries) -> tuple[bytes, int, int]:
    """The new bytes, and the first and last line of what was added."""
    spot = file.spot
    lines = visit_lines(entries, wish.day.date.isoformat(), file.by, spot.indent)
    lines = [spot.key, *lines] if spot.key else lines
    block = [marker(lines, spot.indent, spot.open), *lines]
    text = "".join(f"{line}{spot.line_end}" for line in block)
    if spot.open:
        text = spot.line_end + text
    new = file.data[: spot.at] + text.encode() + file.data[spot.at :]
    return new, spot.line, spot.line + len(block) - 1


def _read_back(
    new: bytes, file: _File, book: Rulebook, wish: Wish
) -> tuple[Document | None, tuple[Problem, ...]]:
    source, problems = read_yaml(new, file.name)
    return check(source, book, wish.day) if source else (None, problems)


def _one_by_one(file: _File, book: Rulebook, wish: Wish, entries: Entries) -> tuple[Entries, list[Refused]]:
    """Together they do not go in, so each is tried on top of those that do, and told where it does not."""
    kept, refused = Entries((), (), entries.drove), []
    pieces: list[Item | Extra] = [*entries.items, *entries.extras]
    for piece in pieces:
        if isinstance(piece, Item):
            trial = replace(kept, items=(*kept.items, piece))
        else:
            trial = replace(kept, extras=(*kept.extras, piece))
        new, after = _whole(file, book, wish, trial)
        if after is not None:
            kept = trial
            continue
        problems = _read_back(new, file, book, wish)[1]
        problem = problems[0] if problems else _not_the_same(piece, wish)
        said = piece.written if isinstance(piece, Item) else piece.said
        refused.append(Refused(said, replace(problem, found=f"with this the file says: {problem.found}")))
    return kept, refused


def _not_the_same(piece: Item | Extra, wish: Wish) -> Problem:
    said, mark = (piece.written, piece.mark) if isinstance(piece, Item) else (piece.said, Mark(1, 1))
    return Problem(
        wish.origin,
        mark,
        "not-the-same",
        "it would not read back as it was said",
        "a reading of its own",
        "it by itself, in its exact form",
        text=said,
    )


# -- what must read back --------------------------------------------------------------------------------


def _as_it_was(before: Document, after: Document, first: int, last: int) -> bool:
    """Whether everything that stood in the file says what it said."""
    kept = [v for v in after.visits if not first <= v.mark.line <= last]
    return (
        [_visit(v) for v in kept] == [_visit(v) for v in before.visits]
        and [_claim(c) for c in after.vehicle] == [_claim(c) for c in before.vehicle]
        and (after.called, after.listed) == (before.called, before.listed)
        and len(after.accepted) == len(before.accepted)
        and len(after.put_off) == len(before.put_off)
    )


def _visit(visit: Visit) -> tuple[object, ...]:
    claims = tuple(_claim(c) for c in visit.claims)
    done = tuple((*_done(d), d.note) for d in visit.done)
    return visit.on, visit.by, claims, visit.not_reached, done, visit.drove, visit.note


def _claim(claim: Claim) -> Claim:
    """A reading without where it stands."""
    return replace(claim, visit=0, mark=Mark(1, 1))


def _claims(claims: Iterable[Claim]) -> list[str]:
    """Readings in no order: a visit holds them point by point."""
    return sorted(repr(_claim(c)) for c in claims)


def _done(done: Done) -> tuple[str, tuple[str, ...]]:
    return done.work, done.at


# -- the record -----------------------------------------------------------------------------------------


def _refused(problem: Problem, lines: Sequence[str]) -> Refused:
    said = part_at(lines[problem.mark.line - 1], problem.mark.column)
    return Refused(said, problem)


def _record(file: _File, wish: Wish, entries: Entries, refused: Sequence[Refused], new: bytes) -> Jotted:
    kept = [Kept(item.written, item.echo, _unit_taken(item), item.asked) for item in entries.items]
    kept += [Kept(e.said, f"{e.key}: {e.said}", "", "") for e in entries.extras]
    if entries.drove:
        kept.append(Kept(entries.drove, f"drove: {entries.drove}", "", ""))
    last = max((v.on for v in file.document.visits), default=wish.day.date)
    return Jotted(
        file=file.name,
        called=file.document.called,
        on=wish.day.date.isoformat(),
        by=file.by,
        first_line=file.spot.line if new else 0,
        last_line=_bytes(file, wish, entries)[2] if new else 0,
        kept=tuple(kept),
        refused=tuple(refused),
        before_visit=last.isoformat() if new and last > wish.day.date else "",
        ended=(),
        same_jot=(),
        again=(),
    )


def _unit_taken(item: Item) -> str:
    """The unit that a number was written with though none was said."""
    units = {
        v.quantity.unit.name
        for claim in item.claims
        for v in claim.values
        if v.quantity is not None and v.written.endswith(f" {v.quantity.unit.name}")
    }
    said = " ".join(item.written.split())
    return next((u for u in sorted(units) if not re.search(rf"(?<![A-Za-z]){re.escape(u)}\b", said)), "")
