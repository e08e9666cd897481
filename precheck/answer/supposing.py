"""A document with some readings supposed: the jotted lines as visits on the day, by "supposed".

Nothing is written anywhere. Facts from the papers count as seen, so that a supposed fact stands above an
older one however that was known; what is jotted as told stays told.
"""

from __future__ import annotations

from collections.abc import Sequence

from precheck.model.catalogue import Day
from precheck.model.document import Claim, Document, Done, Known, Visit
from precheck.model.problem import Mark
from precheck.model.record import replace
from precheck.rulebook.book import Rulebook
from precheck.settle.jot import Item, Jotted, Vehicle, Where, read_jot, vehicle_of

BY = "supposed"


def suppose(
    document: Document, lines: Sequence[str], book: Rulebook, day: Day, vehicle: Vehicle | None = None
) -> tuple[Document | None, Jotted]:
    """The document with the lines added as the last thing looked at, and what was read of them.

    None where a part of a line cannot be read: then nothing is supposed at all. `vehicle` spares working out
    what makes the places where it is known already.
    """
    first = len(document.visits)
    where = Where(day.date, first, BY)
    jotted = read_jot(lines, book, vehicle or vehicle_of(document, book, day), day, where, BY)
    if jotted.problems or not jotted.items:
        return None, jotted
    visits = tuple(_visit(group, first + i, where) for i, group in enumerate(_groups(jotted.items)))
    return replace(document, visits=(*document.visits, *visits)), jotted


def _groups(items: Sequence[Item]) -> list[list[Item]]:
    """Work comes after the readings of its visit, so what is read after it needs a visit of its own."""
    groups: list[list[Item]] = [[]]
    for item in items:
        if item.claims and any(other.done for other in groups[-1]):
            groups.append([])
        groups[-1].append(item)
    return groups


def _visit(items: Sequence[Item], index: int, where: Where) -> Visit:
    claims = tuple(_claim(c, index) for item in items for c in item.claims)
    done: tuple[Done, ...] = tuple(item.done for item in items if item.done)
    assert where.on is not None
    mark = items[0].mark if items else Mark(1, 1)
    return Visit(index, where.on, where.by, claims, (), done, None, mark)


def _claim(claim: Claim, index: int) -> Claim:
    known = Known.SEEN if claim.known is Known.PAPERS else claim.known
    return replace(claim, visit=index, known=known)
