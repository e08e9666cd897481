"""The sheet as a page to print: a row for each reading and place, with a box to write in."""

from __future__ import annotations

from collections.abc import Iterator

from precheck.answer.sheet_record import Position, Sheet, SheetLine
from precheck.model.record import dataclass
from precheck.report import sheet as text
from precheck.report.html.outline import Line, Outline
from precheck.report.html.page import document
from precheck.report.lines import capital
from precheck.report.missing import Cautions


@dataclass(frozen=True, slots=True)
class Row:
    """One reading at one place; `unit` stands in its box. Where the point was told before, `name` are the
    words to type later, else they stand in `jot`, under the box."""

    name: str
    words: str
    told: tuple[str, ...]
    unit: str
    jot: str


@dataclass(frozen=True, slots=True)
class Group:
    words: str
    lines: tuple[Row, ...]


@dataclass(frozen=True, slots=True)
class Part:
    """One position; `words` stand at the head of each printed page."""

    id: str
    heading: str
    words: str
    cautions: tuple[Line, ...]
    stops: tuple[Group, ...]


def sheet_page(found: Sheet) -> str:
    """One page in one file. The same record gives the same bytes."""
    cautions = Cautions(found.cautions)
    top, before, after = Outline(), Outline("before"), Outline("after")
    for line in text.head(found):
        top.say(line)
    text.questions(found, before)
    positions = [_part(p, f"position-{n}", cautions) for n, p in enumerate(found.positions, 1)]
    text.ending(found, cautions, after)
    return document(
        "sheet.html",
        title="What to measure",
        top=top.top,
        running=", ".join(word for word in (found.called or found.file, found.day) if word),
        before=before.sections,
        positions=positions,
        after=after.sections,
    )


def _part(position: Position, name: str, cautions: Cautions) -> Part:
    page = Outline()
    cautions.before(position.cautions, page, 0)
    told: dict[str, list[str]] = {}
    stops = tuple(
        Group(capital(stop.words), tuple(_row(line, told) for line in stop.lines)) for stop in position.stops
    )
    return Part(name, text.position_heading(position), position.words, page.top, stops)


def _row(line: SheetLine, told: dict[str, list[str]]) -> Row:
    limits = list(text.own_limits(line.limits))
    shown = [] if told.get(line.point) == limits else limits
    told[line.point] = limits
    unit = "" if line.unit == "count" else line.unit
    words = (*_how(line), *shown, *text.before(line))
    if line.again:
        return Row(line.jot, "", words, unit, "")
    return Row(text.name(line), line.words, words, unit, line.jot)


def _how(line: SheetLine) -> Iterator[str]:
    if line.holds_up:
        yield f"Holds it up: {line.holds_up}"
    if not line.again:
        yield "; ".join(text.how(line))
