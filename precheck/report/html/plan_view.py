"""Where everything stands in the drawing of a vehicle from above; lengths in the drawing's own units.

Front is up, left and right are those of the seated driver. Beside each wheel stands what is known of it: what
fails and numbers in full, what was not measured by name where that is little. Nothing is told by color.
"""

from __future__ import annotations

import textwrap
from collections.abc import Iterator, Sequence

from precheck.answer.plan_record import Plan, PlanLine, PlanPlace
from precheck.model.record import dataclass
from precheck.report.lines import listed
from precheck.report.missing import PLAIN_REASON

WIDTH = 420
_COLUMN = 138  # width of the words beside the vehicle
_LEFT, _RIGHT = _COLUMN + 8, WIDTH - _COLUMN - 8  # outer sides of the wheels
_TIRE, _TALL, _GAP = 13, 40, 3
_STEP, _SMALL = 14, 5  # from one line of words to the next; between two paragraphs
_ROOM, _INSIDE = 20, 13  # letters that fit on a line beside the vehicle, and inside its outline
_BOLD = 3  # fewer of them where they are bold
_FEW = 4  # more than these missing readings are counted, not named
_SHORT = 12  # a value of at most so many letters is not broken
_NOT_MEASURED, _CANNOT_TELL = "not measured", "cannot tell"


@dataclass(frozen=True, slots=True)
class Words:
    """One line of words at its place. `anchor`: start or middle."""

    x: int
    y: int
    text: str
    bold: bool
    anchor: str


@dataclass(frozen=True, slots=True)
class Box:
    """A wheel."""

    x: int
    y: int
    width: int
    height: int


@dataclass(frozen=True, slots=True)
class Drawing:
    """`axles` are heights of the axles' lines; `tail` is the lower end of the outline."""

    width: int
    height: int
    top: int
    tail: int
    left: int
    right: int
    wheels: tuple[Box, ...]
    axles: tuple[int, ...]
    words: tuple[Words, ...]


Paragraph = tuple[list[str], bool]
Row = tuple[tuple[PlanLine, ...], str]
_KEEP = "\xa0"  # between a number and its unit while lines are filled, so that they stay together


def drawing(plan: Plan) -> Drawing:
    """The places of each axle, from the front to the rear, the spare behind."""
    wheels: list[Box] = []
    words: list[Words] = [Words(WIDTH // 2, 12, "front", True, "middle")]
    axles: list[int] = []
    y = top = 24
    for end in ("front", "rear"):
        here = [p for p in plan.places if p.end == end]
        y += 12
        axles.append(y + _TALL // 2)
        wheels += _wheels(y, plan.dual_rears and end == "rear")
        ends = [y + _TALL + 60]
        for side, x, room in (("left", 2, _ROOM), ("right", WIDTH - _COLUMN, _ROOM)):
            ends.append(_column([p for p in here if p.side == side], x, y + 10, room, words))
        middle = [p for p in here if p.side == "middle"]
        ends.append(_column(middle, WIDTH // 2, y + _TALL // 2 + 16, _INSIDE, words, "middle"))
        y = max(ends) + 10
    tail = y
    words.append(Words(WIDTH // 2, y + 14, "rear", True, "middle"))
    y += 24
    if plan.spare:
        wheels.append(Box(_LEFT, y + 6, _TALL, _TIRE))
        spare = [p for p in plan.places if p.end == "spare"]
        y = _column(spare, _LEFT + _TALL + 10, y + 16, 2 * _ROOM, words)
    left, right = _LEFT + _TIRE // 2, _RIGHT - _TIRE // 2
    return Drawing(WIDTH, y + 6, top, tail, left, right, tuple(wheels), tuple(axles), tuple(words))


def _wheels(y: int, dual: bool) -> Iterator[Box]:
    yield Box(_LEFT, y, _TIRE, _TALL)
    yield Box(_RIGHT - _TIRE, y, _TIRE, _TALL)
    if dual:
        yield Box(_LEFT + _TIRE + _GAP, y, _TIRE, _TALL)
        yield Box(_RIGHT - 2 * _TIRE - _GAP, y, _TIRE, _TALL)


def _column(
    places: Sequence[PlanPlace], x: int, y: int, room: int, words: list[Words], anchor: str = "start"
) -> int:
    """The words of some places below each other; returns where the next may stand."""
    for place in places:
        for lines, bold in _said(place, room):
            for line in lines:
                words.append(Words(x, y, line, bold, anchor))
                y += _STEP
            y += _SMALL
        y += _SMALL
    return y


def _said(place: PlanPlace, room: int) -> Iterator[Paragraph]:
    yield _wrapped(place.words.upper(), room), False
    for line in brief(place):
        bold = line.holds or line.mark == _CANNOT_TELL
        yield _wrapped(_line(line), room - _BOLD * bold), bold
    for mark in (_NOT_MEASURED, _CANNOT_TELL):
        found = [line for line in place.lines if line.mark == mark and not line.written]
        if found:
            names = listed(_name(line) for line in found) if len(found) <= _FEW else str(len(found))
            yield _wrapped(f"{mark}: {names}", room - _BOLD), True


def rows(place: PlanPlace) -> list[Row]:
    """Rows of the table, with what each comes to: what fails or is odd one by one, the rest together."""
    fine = tuple(line for line in place.lines if not line.mark)
    plain = tuple(line for line in place.lines if line.mark == _NOT_MEASURED and line.why == PLAIN_REASON)
    rest = [line for line in place.lines if line not in (*fine, *plain)]
    rest.sort(key=lambda line: not line.holds)
    out: list[Row] = [((line,), f"{line.mark}: {line.why}" if line.why else line.mark) for line in rest]
    together: list[Row] = [(plain, _NOT_MEASURED), (fine, "nothing against it")]
    return [*out, *(row for row in together if row[0])]


def brief(place: PlanPlace) -> list[PlanLine]:
    """What the drawing says in full: what fails, for the uses asked first; then the other numbers."""
    found = [line for line in place.lines if line.written or line.mark not in (_NOT_MEASURED, _CANNOT_TELL)]
    failing = [line for line in found if line.mark]
    return [
        *(line for line in failing if line.holds),
        *(line for line in failing if not line.holds),
        *(line for line in found if line.number and not line.mark),
    ]


def _line(line: PlanLine) -> str:
    value = listed(w.replace(" ", _KEEP) if line.number and len(w) <= _SHORT else w for w in line.written)
    return " - ".join(words for words in (f"{_name(line)}: {value}", line.mark) if words)


def _name(line: PlanLine) -> str:
    name = line.thing.replace("-", " ")
    return f"{line.where}, {name}" if line.where else name


def _wrapped(text: str, room: int) -> list[str]:
    lines = textwrap.wrap(text, room, break_on_hyphens=False) or [""]
    return [line.replace(_KEEP, " ") for line in lines]
