"""The gate again with some readings supposed: what moves, per use and per result. Nothing is written."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from precheck.answer.difference import Side, differing
from precheck.answer.explain import Moved, MovedUse, Supposed
from precheck.answer.gate import Gate, Request
from precheck.answer.record import Answer, Finding
from precheck.answer.supposing import suppose as supposed_document
from precheck.model.document import Document
from precheck.model.problem import Mark, Problem
from precheck.rulebook.book import Rulebook

UNDECIDED = 3  # a supposition is never a GO


class Unreadable(Exception):
    """A line that cannot be supposed; nothing was judged."""

    def __init__(self, problems: Sequence[Problem]) -> None:
        super().__init__(f"{len(problems)} problem(s)")
        self.problems = tuple(problems)


def suppose(document: Document, book: Rulebook, request: Request, lines: Sequence[str]) -> Supposed:
    """Judge as it is and as supposed, and compare.

    Raises Unreadable where a part of a line cannot be read, and an EngineFault where the judging cannot be
    trusted.
    """
    after, jotted = supposed_document(document, lines, book, request.day)
    if after is None:
        raise Unreadable(jotted.problems or (_nothing(lines),))
    now, then = Gate(document, book, request), Gate(after, book, request)
    answer_now, answer_then = now.answer(), then.answer()
    uses = tuple(book.uses[name] for name in answer_now.shown_for)
    code = answer_then.exit_code or UNDECIDED
    return Supposed(
        file=document.name,
        called=document.called,
        day=answer_now.day,
        day_given=answer_now.day_given,
        looking_back=answer_now.looking_back,
        uses=request.uses,
        shown_for=answer_now.shown_for,
        lines=tuple(lines),
        read_as=tuple(item.echo for item in jotted.items),
        asked_back=tuple(item.asked for item in jotted.items if item.asked),
        verdict_now=answer_now.verdict,
        verdict_supposed=answer_then.verdict,
        headline_now=f"without what is SUPPOSED: {answer_now.headline}",
        headline_supposed=f"SUPPOSED: {answer_then.headline}",
        ladder=tuple(_uses(answer_now, answer_then)),
        moved=tuple(_moved(Side(now, uses), Side(then, uses))),
        still_against=tuple(dict.fromkeys(_named(f) for f in answer_then.blocking)),
        still_missing=(*(g.point for g in answer_then.gaps), *(q.fact for q in answer_then.questions)),
        version=answer_then.version,
        rules_digest=answer_then.rules_digest,
        exit_code=code,
    )


def _nothing(lines: Sequence[str]) -> Problem:
    text = lines[0] if lines else ""
    return Problem(
        "supposed", Mark(1, 1), "nothing", "nothing is supposed", "a reading", "lr pressure 36 psi", text=text
    )


def _uses(now: Answer, then: Answer) -> Iterator[MovedUse]:
    for one, other in zip(now.ladder, then.ladder, strict=True):
        yield MovedUse(
            use=one.use,
            words=one.words,
            side=one.side,
            now=one.verdict,
            supposed=other.verdict,
            bad_now=one.bad,
            bad_supposed=other.bad,
            open_now=one.open,
            open_supposed=other.open,
        )


def _moved(now: Side, then: Side) -> Iterator[Moved]:
    """Results whose state or weight is another one; those that appeared or went too."""
    for key in differing(now, then):
        shown = then.finding(key) or now.finding(key)
        if shown is None:
            continue
        before, after = now.standing(key), then.standing(key)
        yield Moved(
            rule=shown.rule,
            title=shown.title,
            step=shown.step,
            place=shown.place,
            place_words=shown.place_words,
            source=shown.source,
            clause=shown.clause,
            checked=shown.checked,
            state_now=before[0],
            state_supposed=after[0],
            weighs_now=before[1],
            weighs_supposed=after[1],
        )


def _named(found: Finding) -> str:
    where = "" if found.place == "vehicle" else f", {found.place_words}"
    return f"{found.title}{where} ({found.rule})"
