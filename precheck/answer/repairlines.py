"""Lines of a repair: the readings at fault as written, the rules that ask, whose work it usually is."""

from __future__ import annotations

from collections.abc import Iterable

from precheck.answer.comparing import comparison
from precheck.answer.evidence import tests_that_apply
from precheck.answer.faults import Fault
from precheck.answer.mending import AskedBy, FoundLine
from precheck.answer.record import Finding
from precheck.model.catalogue import Use
from precheck.model.rules import State
from precheck.model.settled import Cell
from precheck.rulebook.book import Rulebook
from precheck.rulebook.places import words_of_place


def cells_of(faults: Iterable[Fault]) -> tuple[Cell, ...]:
    """The readings at fault, each once."""
    return tuple({(c.id, c.place): c for fault in faults for c in fault.cells}.values())


def found_line(cell: Cell, book: Rulebook) -> FoundLine:
    """A reading as it was written, with who took it how."""
    claim = cell.claim
    return FoundLine(
        cell.id,
        book.words_of(cell.id),
        cell.place,
        words_of_place(book, cell.place),
        tuple(v.written for v in cell.values),
        claim.known.value if claim else "",
        str(claim.on) if claim and claim.on else "",
        claim.by if claim else "",
        claim.instrument if claim else "",
        claim.note if claim else "",
    )


def asked_by(fault: Fault, found: Finding, book: Rulebook) -> AskedBy:
    """A rule with what it wants; a limit that hangs on the vehicle also as a number."""
    unit, cells = fault.unit, fault.judged.cells
    compared = [
        comparison(t, unit.place, cells, False)
        for t in tests_that_apply(unit.step.condition, unit.place, cells)
    ]
    tests = [c for c in compared if c.outcome == State.FAILS.value]
    tests = tests or [c for c in compared if c.outcome != State.MEETS.value]
    source = book.sources.get(found.source)
    wants = [f"{c.limit} (here {c.limit_here})" if c.limit_here else c.limit for c in tests]
    needs = dict.fromkeys(
        f"{c.words}: {words}" if len(tests) > 1 else words for c, words in zip(tests, wants, strict=True)
    )
    return AskedBy(
        found.rule,
        found.title,
        found.step,
        found.place,
        found.place_words,
        found.source,
        found.source_title,
        source.kind if source else "",
        found.clause,
        found.checked,
        tuple(needs),
        found.blocks,
        found.bears,
        found.limits,
        " ".join(dict.fromkeys(c.close for c in tests if c.close)),
    )


def hands(cells: Iterable[Cell], book: Rulebook) -> tuple[str, ...]:
    """Whose work it usually is, where the library says so."""
    names = {c.id for c in cells}
    return tuple(hand.words for hand in book.hands.values() if names & set(hand.points))


def ladder(book: Rulebook) -> list[Use]:
    """Every use, lowest first; a side use after the rung it stands on."""
    return sorted(book.uses.values(), key=lambda u: (u.rank, u.side))
