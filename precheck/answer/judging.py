"""One judgement of a document for uses of one kind of knowing: settle, derive, judge."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Sequence

from precheck.derive.cells import Cells
from precheck.engine.evaluate import evaluate
from precheck.engine.plan import Unit, tests_of
from precheck.engine.results import Results
from precheck.model.catalogue import VEHICLE, Day, Use
from precheck.model.document import Document, Known, Value
from precheck.model.record import dataclass, replace
from precheck.model.rules import Rule
from precheck.model.settled import Cell, Settled, Status
from precheck.rulebook.book import Rulebook
from precheck.rulebook.questions import JUDGED, LAW, PENDING
from precheck.rulebook.select import Selection, select
from precheck.settle.settle import settle


@dataclass(frozen=True)
class Judged:
    """Everything one judgement came to.

    `untouched` is what it comes to without the changes of local files and acceptances; the same object as
    `results` where none is in force.
    """

    settled: Settled
    cells: Cells
    selection: Selection
    units: tuple[Unit, ...]
    results: Results
    untouched: Results


def points_read(rules: Iterable[Rule], book: Rulebook) -> frozenset[str]:
    """The points and facts that the tests of some rules lead back to."""
    out: set[str] = set()
    todo = {name for r in rules for t in tests_of(r) for name in (t.measure, t.bound.of if t.bound else "")}
    while todo:
        name = todo.pop()
        if name in book.derived:
            todo |= set(book.derived[name].inputs) - out
        elif name in book.points:
            out.add(name)
    return frozenset(out)


def judge_for(
    document: Document,
    book: Rulebook,
    day: Day,
    use: Use,
    chosen: Sequence[str] | None,
    like: Judged | None = None,
    only: Collection[str] | None = None,
) -> Judged:
    """Judge by the floor and the selected sources, as far as `use` accepts how things are known.

    `like` is a judgement of the same document and day for another use: where that use accepts the same
    readings, it is the answer too. `only` judges some rules alone: for trying things out, never for a
    verdict. Raises an EngineFault where the two evaluators differ or anything is lost.
    """
    if like is not None and only is None and not hearsay(document, book):
        return like
    facts = settle(document, book, day, use, ())
    selection = select(
        book, _state(facts, "region"), _state(facts, "service"), chosen, day.date, document.accepted
    )
    if only is not None:
        kept = (tuple(r for r in rules if r.id in only) for rules in (selection.rules, selection.untouched))
        selection = replace(selection, rules=next(kept), untouched=next(kept))
    read = points_read((*selection.rules, *selection.untouched), book)
    settled = settle(document, book, day, use, read)
    if like is not None and like.settled.cells == settled.cells:
        return like
    cells = Cells(settled, book, day.date)
    _built_in(cells, selection)
    units, results = evaluate(selection.rules, cells, book, selection.aside)
    untouched = results
    if selection.in_force:
        _, untouched = evaluate(selection.untouched, cells, book)
    return Judged(settled, cells, selection, units, results, untouched)


def hearsay(document: Document, book: Rulebook) -> bool:
    """Whether any reading is known in a way that not every use takes for it."""
    always = book.policy.knowing & book.policy.sure
    groups = (document.vehicle, *(v.claims for v in document.visits))
    doubtful = [c for claims in groups for c in claims if c.known not in always]
    points = [(c, book.points[c.point]) for c in doubtful if c.point in book.points]
    return any(
        not (p.fact or p.lasts.permanent or (c.known is Known.PAPERS and p.access == "papers"))
        for c, p in points
    )


def _state(settled: Settled, fact: str) -> str | None:
    cell = settled.cells.get((fact, VEHICLE))
    return cell.values[0].state if cell and cell.values else None


def _built_in(cells: Cells, selection: Selection) -> None:
    """The values the rulebook itself brings: whether a law judges, which floors are not written yet."""
    value = Value(JUDGED, state=JUDGED)
    why = "no source besides the floor judges"
    law = Cell(LAW, VEHICLE, Status.VALUE, (value,)) if selection.law else None
    cells.found[LAW, VEHICLE] = law or Cell(LAW, VEHICLE, Status.MISSING, why=why)
    for use in cells.book.uses.values():
        if not use.floor_complete:
            name = f"{PENDING}{use.id}"
            why = f"the floor rules for {use.id} are not all written yet"
            cells.found[name, VEHICLE] = Cell(name, VEHICLE, Status.MISSING, why=why)
