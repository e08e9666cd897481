"""Several vehicles: each judged by itself, one line each; what is wrong with one stops no other."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from precheck import __version__
from precheck.answer.gate import Request, gate
from precheck.answer.many_record import NOT_JUDGED, Folder, Many, VehicleLine
from precheck.answer.record import Answer
from precheck.engine.faults import EngineFault
from precheck.model.document import Document
from precheck.model.problem import Problem
from precheck.rulebook.book import Rulebook

COULD_NOT_JUDGE = 2
ORDER = (COULD_NOT_JUDGE, 1, 3, 0)  # of several the worst counts: could not judge, NO-GO, UNDECIDED, GO


def line(document: Document, book: Rulebook, request: Request) -> VehicleLine:
    """One vehicle judged. A fault of the judging makes a line that says so."""
    try:
        return _line(gate(document, book, request))
    except EngineFault as fault:
        return unjudged(document.name, (), request, f"{fault}; this is a fault of precheck, and no verdict")


def unjudged(file: str, problems: Sequence[Problem], request: Request, fault: str = "") -> VehicleLine:
    """A file that could not be judged."""
    return VehicleLine(
        file=file,
        called="",
        verdicts=tuple(NOT_JUDGED for _ in request.uses),
        together=NOT_JUDGED,
        headline=NOT_JUDGED,
        highest="",
        next_use="",
        first="",
        against=0,
        missing=0,
        questions=0,
        exit_code=COULD_NOT_JUDGE,
        problems=tuple(problems),
        fault=fault,
    )


def many(lines: Iterable[VehicleLine], folders: Iterable[Folder], book: Rulebook, request: Request) -> Many:
    """The lines as one record; the worst exit code counts."""
    vehicles = tuple(lines)
    codes = {vehicle.exit_code for vehicle in vehicles}
    return Many(
        day=str(request.day.date),
        day_given=request.day.given,
        uses=request.uses,
        folders=tuple(folders),
        vehicles=vehicles,
        version=__version__,
        rules_digest=book.digest,
        exit_code=next((code for code in ORDER if code in codes), COULD_NOT_JUDGE),
    )


def _line(answer: Answer) -> VehicleLine:
    verdicts = {use.use: use.verdict.value for use in answer.ladder}
    return VehicleLine(
        file=answer.file,
        called=answer.called,
        verdicts=tuple(verdicts[use] for use in answer.uses),
        together=answer.verdict.value,
        headline=answer.headline,
        highest=answer.highest,
        next_use=answer.shown_for[0] if answer.uses else _rung(answer),
        first=_first(answer),
        against=len({f.rule for f in answer.blocking}),
        missing=len(answer.gaps),
        questions=len(answer.questions),
        exit_code=answer.exit_code,
    )


def _rung(answer: Answer) -> str:
    rungs = [line.use for line in answer.ladder if not line.side]
    return next((use for use in answer.shown_for if use in rungs), answer.shown_for[0])


def _first(answer: Answer) -> str:
    """What stands against it first; else what is open first."""
    if answer.blocking:
        found = answer.blocking[0]
        where = "" if found.place == "vehicle" else f", {found.place_words}"
        return f"{found.title}{where}"
    if answer.questions:
        return f"answer {answer.questions[0].fact}"
    if answer.gaps:
        return f"measure {answer.gaps[0].point}"
    return answer.notices[0] if answer.notices and answer.exit_code else ""
