"""The work on a vehicle: what to mend first, what may wait, what to buy, what to look at again."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import timedelta

from precheck.answer.afterwork import Aftermath
from precheck.answer.gate import Gate, Request
from precheck.answer.horizon import DAYS, LAST
from precheck.answer.mending import AfterWork, Repair, Waits, WorkAnswer
from precheck.answer.partslist import parts_list
from precheck.answer.record import Answer, CautionLine
from precheck.answer.repairs import failing_groups, repairs
from precheck.answer.waiting import Waiting, of_changes
from precheck.answer.words import caution_lines
from precheck.engine.logic import BAD
from precheck.model.document import Document
from precheck.model.problem import Mark, Problem
from precheck.rulebook.book import Rulebook
from precheck.settle.jot import Where as JotWhere
from precheck.settle.jot import read_jot, vehicle_of


class Unreadable(Exception):
    """The work of --after cannot be read; nothing was judged."""

    def __init__(self, problems: Sequence[Problem]) -> None:
        super().__init__(f"{len(problems)} problem(s)")
        self.problems = tuple(problems)


def work(document: Document, book: Rulebook, request: Request, after: str | None = None) -> WorkAnswer:
    """The record. `after` names work with or without @places: then that alone is told.

    Raises Unreadable where `after` is no work, and an EngineFault where the judging cannot be trusted.
    """
    gate = Gate(document, book, request)
    answer = gate.answer()
    target = _target(gate, answer)
    uses = gate.own(*target)
    judged = gate.judged(max(uses, key=lambda u: u.rank))
    highest = max(uses, key=lambda u: u.rank)
    aftermath = Aftermath(document, book, request.day, highest, gate.judged(book.rungs()[-1]))
    asked = _asked(document, book, request, aftermath, after) if after is not None else ()
    groups = failing_groups(uses, judged, book) if after is None else []
    mend = repairs(groups, uses, judged, book) if after is None else ()
    waits: tuple[Waits, ...] = ()
    if after is None:
        waiting = Waiting(uses, judged, book, request.day.date)
        waits = (*waiting.entries(groups), *of_changes(answer.changes))
    first = book.rungs()[0]
    parts = parts_list(mend, waits, document, book, request.day, first)
    horizon = request.day.date + timedelta(days=DAYS) if request.day.date <= LAST else None
    return WorkAnswer(
        file=answer.file,
        called=answer.called,
        day=answer.day,
        day_given=answer.day_given,
        looking_back=answer.looking_back,
        uses=answer.uses,
        target=target,
        verdict=answer.verdict,
        headline=answer.headline,
        repairs=mend,
        waits=waits,
        horizon=str(horizon) if horizon else "",
        parts=parts,
        open_work=aftermath.open_work() if after is None else (),
        asked_after=asked,
        missing=sum(len(g.places) for g in answer.gaps) if target == answer.shown_for else 0,
        cautions=_cautions(book, mend, asked),
        notices=answer.notices,
        put_off=answer.put_off,
        region=answer.region,
        inspects=answer.inspects,
        ask=answer.ask,
        version=answer.version,
        rules_digest=answer.rules_digest,
        exit_code=answer.exit_code,
    )


def _target(gate: Gate, answer: Answer) -> tuple[str, ...]:
    """The uses asked; for none the lowest rung that something stands against, else the next one."""
    if answer.uses:
        return answer.shown_for
    for use in gate.book.rungs():
        results = gate.judged(use).results
        if BAD in results.classes[use.id].values() or any(use.id in c.blocks for c in results.combined):
            return (use.id,)
    return answer.shown_for


def _asked(
    document: Document, book: Rulebook, request: Request, aftermath: Aftermath, after: str
) -> tuple[AfterWork, ...]:
    """The work of --after, read as a jotted line: `wheel-cylinder-replaced@lr`."""
    line = "done " + after.replace("@", " ").replace(",", " ")
    where = JotWhere(request.day.date, len(document.visits), "")
    jotted = read_jot([line], book, vehicle_of(document, book, request.day), request.day, where, "--after")
    if jotted.problems:
        raise Unreadable(jotted.problems)
    found = [item.done for item in jotted.items if item.done]
    if not found or len(found) != len(jotted.items):
        raise Unreadable(
            [
                Problem(
                    "--after",
                    Mark(1, 1),
                    "unknown-work",
                    f"'{after}' is no kind of work",
                    "one name that `precheck show work` lists",
                    "wheel-cylinder-replaced@lr",
                    text=after,
                )
            ]
        )
    return tuple(aftermath.would(done) for done in found)


def _cautions(book: Rulebook, mend: Iterable[Repair], asked: Iterable[AfterWork]) -> tuple[CautionLine, ...]:
    """Cautions of what is mended and of where it is looked at again, each once."""
    names: dict[str, None] = {}
    for one in mend:
        names |= dict.fromkeys(one.cautions)
    for look in (x for a in asked for x in a.again):
        names |= dict.fromkeys((*book.access[look.position].cautions, *book.points[look.point].cautions))
    return caution_lines(names, book)
