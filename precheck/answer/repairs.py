"""From failing rules to repairs: one for each thing to mend, in the order in which mending opens uses."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Sequence

from precheck.answer.faults import Fault, axle_of, fault_of, own_ties, paired, together
from precheck.answer.findings import combined_finding, finding, weighs, worst_of_each
from precheck.answer.judging import Judged
from precheck.answer.mending import AskedBy, Repair
from precheck.answer.record import Finding
from precheck.answer.repairlines import asked_by, cells_of, found_line, hands, ladder
from precheck.engine.logic import BAD, BESIDE, LIMITED
from precheck.engine.plan import UnitKey
from precheck.engine.results import Combined
from precheck.model.catalogue import VEHICLE, Use
from precheck.model.record import dataclass, replace
from precheck.model.settled import Cell
from precheck.rulebook.book import Rulebook
from precheck.rulebook.places import words_of_place

_DONE = 3  # kinds of work offered for the record


_WEIGHT = (BAD, LIMITED, BESIDE)


@dataclass(frozen=True, slots=True)
class Group:
    """Faults of one repair with their findings, in the same order."""

    faults: tuple[Fault, ...]
    findings: tuple[Finding, ...]

    @property
    def bad(self) -> tuple[Fault, ...]:
        """Those that stand against the uses asked; all where none does."""
        found = [x for x, f in zip(self.faults, self.findings, strict=True) if f.weighs == BAD]
        return tuple(found) or self.faults

    def title(self, book: Rulebook) -> str:
        """What this is about: the part where several readings ask for one, else the weightiest rule."""
        cells = cells_of(self.faults)
        parts = {name for fault in self.faults for name, _ in fault.parts}
        if len(parts) == 1 and len({c.id for c in cells}) > 1:
            words = book.parts[parts.pop()].words
            return f"{words[:1].upper()}{words[1:]}"
        rank = {use.id: number for number, use in enumerate(ladder(book))}
        first = min(
            self.findings,
            key=lambda f: (
                _WEIGHT.index(f.weighs) if f.weighs in _WEIGHT else len(_WEIGHT),
                rank.get(f.blocks, len(rank)),
            ),
        )
        return first.title


def groups_of(
    units: Iterable[UnitKey], uses: Sequence[Use], judged: Judged, book: Rulebook, every: bool = False
) -> list[Group]:
    """Failing units grouped by what is to be mended.

    Of the steps of a rule at a place the one that weighs most, unless `every` is asked for.
    """
    wanted = set(units)
    failing = [u for u in judged.units if u.key in wanted]
    found = [finding(u, uses, judged, book) for u in failing]
    kept = {id(f) for f in (found if every else worst_of_each(found, book))}
    pairs = [(fault_of(u, judged, book), f) for u, f in zip(failing, found, strict=True) if id(f) in kept]
    by_fault = {id(fault): f for fault, f in pairs}
    first = [fault for fault, f in pairs if f.weighs == BAD]
    other = [fault for fault, f in pairs if f.weighs != BAD]
    groups = together(first, book)
    owner = {tie: group for group in groups for fault in group for tie in own_ties(fault)}
    left = []
    for fault in other:  # more rules on what is to be mended anyway
        mine = next((owner[tie] for tie in own_ties(fault) if tie in owner), None)
        if mine is None:
            left.append(fault)
        else:
            mine.append(fault)
    groups += together(left, book)
    return [Group(tuple(group), tuple(by_fault[id(fault)] for fault in group)) for group in groups]


def failing_groups(uses: Sequence[Use], judged: Judged, book: Rulebook) -> list[Group]:
    """Everything that fails on this vehicle: what stands against the uses asked, and what may wait."""
    classes = judged.results.classes
    return groups_of(
        [u.key for u in judged.units if weighs(u.key, uses, classes) in _WEIGHT], uses, judged, book
    )


def stands_against(group: Group) -> bool:
    return any(f.weighs == BAD for f in group.findings)


def repairs(
    groups: Iterable[Group], uses: Sequence[Use], judged: Judged, book: Rulebook
) -> tuple[Repair, ...]:
    """Everything that stands against `uses`, each finding in exactly one repair."""
    found = [repair(group, uses, judged, book) for group in groups if stands_against(group)]
    names = {use.id for use in uses}
    found += _too_many([c for c in judged.results.combined if c.blocks & names], book)
    return _beside(_ordered(found, book), judged, book)


def repair(group: Group, uses: Sequence[Use], judged: Judged, book: Rulebook) -> Repair:
    """One repair; numbered later."""
    cells = cells_of(group.faults)
    worst = cells_of(group.bad)
    parts = tuple(dict.fromkeys(key for fault in group.bad for key in fault.parts))
    held = _held_up(group, uses, judged, book)
    places = dict.fromkeys(p for _, p in parts) or dict.fromkeys(c.place for c in worst)
    pairs = [
        (book.parts[name], [p for n, p in parts if n == name]) for name in dict.fromkeys(n for n, _ in parts)
    ]
    joined = dict.fromkeys(p for part, here in pairs for p in paired(part, here, judged.settled))
    position = _position(worst, book)
    points = [book.points[c.id] for c in cells if c.id in book.points]
    access = book.access.get(position)
    cautions = [
        *(c for f in group.findings for c in f.cautions),
        *(access.cautions if access else ()),
        *(c for p in points for c in p.cautions),
    ]
    return Repair(
        number=0,
        use=held[0] if held else "",
        uses=held,
        position=position,
        position_words=access.words if access else "",
        title=group.title(book),
        what=tuple(dict.fromkeys(f.fix for f in group.findings if f.fix)),
        where=tuple(words_of_place(book, p) for p in places if p != VEHICLE),
        found=tuple(found_line(c, book) for c in cells),
        asked_by=asked_by_all(group, book),
        together=tuple(words_of_place(book, p) for p in joined if p not in places),
        pair=next((part.pair for part, _ in pairs if part.pair != "none"), ""),
        parts=tuple(dict.fromkeys(name for name, _ in parts)),
        cautions=tuple(dict.fromkeys(cautions)),
        hands=hands(cells, book),
        beside=(),
        done=_done(worst, joined or places, book),
    )


def asked_by_all(group: Group, book: Rulebook) -> tuple[AskedBy, ...]:
    return tuple(asked_by(x, f, book) for x, f in zip(group.faults, group.findings, strict=True))


def _held_up(group: Group, uses: Sequence[Use], judged: Judged, book: Rulebook) -> tuple[str, ...]:
    """Rungs up to those asked, and the uses asked, that a finding of the group blocks; lowest first."""
    top = max(use.rank for use in uses)
    asked = {use.id for use in uses}
    classes = judged.results.classes
    keys = [fault.unit.key for fault in group.faults]
    return tuple(
        use.id
        for use in ladder(book)
        if (use.id in asked or (not use.side and use.rank <= top))
        and any(classes[use.id][key] == BAD for key in keys)
    )


def _position(cells: Iterable[Cell], book: Rulebook) -> str:
    """Where the mending is done: the place of work that is hardest to get to, and no drive."""
    names = [book.points[c.id].access for c in cells if c.id in book.points and not book.points[c.id].fact]
    order = list(book.access)
    still = [n for n in names if book.access[n].needs is None] or names
    return max(still, key=order.index, default="")


def _done(cells: Sequence[Cell], places: Iterable[str], book: Rulebook) -> str:
    """The line for the record: work that ends every reading at fault, that which ends least first."""
    names = [c.id for c in cells if c.id in book.points and not book.points[c.id].fact]
    fits = [
        w
        for w in book.works.values()
        if names and not w.event and all(w.id in book.ends.get(n, ()) for n in names)
    ]
    fits.sort(key=lambda w: (w.everywhere, len(w.voids)))
    if any(book.points[n].adjustable for n in names):
        fits = fits[:1]  # set again, not renewed
    where = "" if VEHICLE in places else "".join(f" {p}" for p in places)
    lines = [f"done {w.id}{'' if w.everywhere else where}" for w in fits[:_DONE]]
    return " or ".join(lines)


def _too_many(combined: Iterable[Combined], book: Rulebook) -> list[Repair]:
    """Too many limits at once: one repair for each chain, whatever rungs it blocks."""
    chains: dict[str, list[Combined]] = {}
    for one in combined:
        chains.setdefault(one.chain, []).append(one)
    return [_combined(found, book) for found in chains.values()]


def _combined(combined: Sequence[Combined], book: Rulebook) -> Repair:
    blocks = frozenset(use for c in combined for use in c.blocks)
    uses = [use.id for use in ladder(book) if use.id in blocks]
    found = next(f for c in combined if (f := combined_finding(c, book)).blocks == uses[0])
    rules = dict.fromkeys(rule for c in combined for rule in combined_finding(c, book).combined_from)
    asked = AskedBy(
        found.rule,
        found.title,
        "",
        found.place,
        found.place_words,
        found.source,
        found.source_title,
        "common practice",
        found.clause,
        found.checked,
        (found.requires,),
        found.blocks,
        found.bears,
        (),
        "",
    )
    return Repair(
        number=0,
        use=uses[0],
        uses=tuple(uses),
        position="",
        position_words="",
        title=found.title,
        what=(f"{found.fix} They are: {'; '.join(rules)}.",),
        where=(),
        found=(),
        asked_by=(asked,),
        together=(),
        pair="",
        parts=(),
        cautions=(),
        hands=(),
        beside=(),
        done="",
    )


def _ordered(found: Sequence[Repair], book: Rulebook) -> list[Repair]:
    """Lowest use first; then positions that serve most; then what takes away most; then pairs."""
    uses = {use.id: number for number, use in enumerate(ladder(book))}
    access = {name: number for number, name in enumerate(book.access)}
    shared = Counter((r.use, r.position) for r in found)
    return sorted(
        found,
        key=lambda r: (
            uses.get(r.use, len(uses)),
            -shared[r.use, r.position],
            access.get(r.position, len(access)),
            -len({a.rule for a in r.asked_by}),
            not r.together,
        ),
    )


def _beside(found: Sequence[Repair], judged: Judged, book: Rulebook) -> tuple[Repair, ...]:
    """Numbered, each with those that can be mended in the same position at the same axle.

    Told only of positions that take setting up: those with cautions of their own.
    """
    costly = {access.id for access in book.access.values() if access.cautions}
    numbered = [replace(r, number=number) for number, r in enumerate(found, 1)]
    axles = {r.number: {axle_of(f.place, judged.settled) for f in r.found} - {""} for r in numbered}

    def near(one: Repair, other: Repair) -> bool:
        if one.number == other.number or one.position not in costly or one.position != other.position:
            return False
        here, there = axles[one.number], axles[other.number]
        return not here or not there or bool(here & there)

    return tuple(replace(r, beside=tuple(o.number for o in numbered if near(r, o))) for r in numbered)
