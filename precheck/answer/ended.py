"""What work that was jotted does to the readings before it."""

from __future__ import annotations

from precheck.answer.words import named
from precheck.model.catalogue import Day
from precheck.model.document import Document
from precheck.model.record import replace
from precheck.model.settled import Cell, Status
from precheck.rulebook.book import Rulebook
from precheck.settle.settle import settle


def ended_by(
    before: Document, after: Document, book: Rulebook, day: Day
) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """The readings that count without the new work and not with it, and the points to look at again.

    Found by settling both, so it is what the gate will say; both empty where no work was jotted.
    """
    known = {(v.on, d.work, d.at) for v in before.visits for d in v.done}
    new = [v for v in after.visits if any((v.on, d.work, d.at) not in known for d in v.done)]
    works = list(dict.fromkeys(d.work for v in new for d in v.done))
    if not works:
        return (), ()
    points = [name for name, ending in book.ends.items() if ending & set(works)]
    without = replace(after, visits=tuple(replace(v, done=()) if v in new else v for v in after.visits))
    use = book.rungs()[0]
    cells = settle(after, book, day, use, points).cells
    gone = [
        key
        for key, cell in settle(without, book, day, use, points).cells.items()
        if _counts(cell) and not (key in cells and _counts(cells[key]))
    ]
    again = dict.fromkeys(name for work in works for name in book.works[work].again)
    return tuple(sorted(named(*key) for key in gone)), tuple(again)


def _counts(cell: Cell) -> bool:
    """Whether somebody's reading stands there; a default is nobody's."""
    return cell.status is not Status.MISSING and not cell.defaulted and cell.claim is not None
