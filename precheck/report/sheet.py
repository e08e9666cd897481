"""The sheet in plain text: what is still to measure, position by position, each line ready to be jotted."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from precheck.answer.sheet_record import Elsewhere, Position, Sheet, SheetLimit, SheetLine
from precheck.report.findings import CHECKED
from precheck.report.lines import Page, capital, counted, listed
from precheck.report.missing import PLAIN_REASON, Cautions, question_section

BLANK = "______"


def render(found: Sheet, width: int = 80, *, letters: bool = False) -> str:
    """The record as text. The same record gives the same bytes."""
    page = Page(width, letters)
    lay_out(found, page)
    return page.text()


def lay_out(found: Sheet, page: Page) -> None:
    """Everything there is to say, in order."""
    cautions = Cautions(found.cautions)
    for line in head(found):
        page.say(line)
    questions(found, page)
    for position in found.positions:
        _position(position, cautions, page)
    ending(found, cautions, page)


def questions(found: Sheet, page: Page) -> None:
    """The facts to answer before anything is measured."""
    if found.questions:
        count = counted(len(found.questions), "question")
        page.heading(f"ANSWER FIRST ({count}); AN ANSWER MAY CHANGE THE SHEET")
        question_section(found.questions, page)


def ending(found: Sheet, cautions: Cautions, page: Page) -> None:
    """What is not on the sheet, and how to write down what was found."""
    if not found.positions:
        page.heading("NOTHING TO MEASURE HERE")
        page.say(nothing(found), 2)
    if found.elsewhere:
        page.heading(f"NOT ON THIS SHEET ({counted(left_off(found), 'entry', 'entries')})")
        for other in found.elsewhere:
            page.say(f"- {elsewhere(other)}", 2)
    page.heading("WRITING IT DOWN")
    page.say(last(found), 2)
    cautions.unsourced(page)
    page.say(f"precheck {found.version}, rules {found.rules_digest}")


def head(found: Sheet) -> Iterator[str]:
    """Day, vehicle, what the sheet is for, and what the gate says without it."""
    yield f"Day: {found.day} ({'given with --on' if found.day_given else 'today'})"
    if found.called:
        yield f"Vehicle: {found.called}"
    yield f"File: {found.file}"
    lines = entries(found)
    points = len({line.point for line in lines})
    yield (
        f"Still to measure for {listed(found.target)}: {counted(points, 'reading')}, "
        f"{counted(len(lines), 'entry', 'entries')} with their places"
    )
    if found.at:
        yield f"Only at: {listed(found.at)}"
    if found.tools:
        yield f"Only with: {listed(found.tools)}, and what is part of you or of the vehicle"
    yield f"The gate without it: {found.headline}"
    if found.holds_words:
        yield found.holds_words
    for notice in found.notices:
        yield f"Note: {notice}"


def entries(found: Sheet) -> tuple[SheetLine, ...]:
    return tuple(line for p in found.positions for stop in p.stops for line in stop.lines)


def left_off(found: Sheet) -> int:
    return sum(len(other.readings) for other in found.elsewhere)


def nothing(found: Sheet) -> str:
    """Why there is no line, and that this is no verdict."""
    if found.elsewhere:
        return "What is missing needs another position or another tool, as said below."
    if found.questions:
        return "Only questions are open."
    return "No reading is missing. The gate says whether it is a GO."


def elsewhere(other: Elsewhere) -> str:
    """What was left off, and what it would take.

    >>> elsewhere(Elsewhere("tool", "torque wrench", (("wheel-fastener-torque", "left-front"),)))
    '1 more needs: torque wrench'
    """
    count = counted(len(other.readings), "more needs", "more need")
    return f"{count}: {other.words}" if other.kind == "tool" else f"{count} another position: {other.words}"


def last(found: Sheet) -> str:
    return (
        f'Type it later: precheck jot FILE "{_example(found)}". A blank line is no reading, and silence is '
        "no pass."
    )


def _example(found: Sheet) -> str:
    lines = entries(found)[:2]
    return "; ".join(f"{line.jot} ..." for line in lines) or "lr tread 6 5 6"


def _position(position: Position, cautions: Cautions, page: Page) -> None:
    page.heading(position_heading(position))
    cautions.before(position.cautions, page, 2)
    told: dict[str, list[str]] = {}
    for stop in position.stops:
        page.blank()
        page.say(f"{capital(stop.words)}:", 2)
        for line in stop.lines:
            _line(line, told, page)


def position_heading(position: Position) -> str:
    count = sum(len(stop.lines) for stop in position.stops)
    return f"{position.words.upper()} ({counted(count, 'entry', 'entries')})"


def _line(line: SheetLine, told: dict[str, list[str]], page: Page) -> None:
    must = list(limit_lines(line.limits))
    page.say(f"- {title(line)}", 4)
    if line.holds_up:
        page.say(f"HOLDS IT UP: {line.holds_up}", 8)
    if not line.again:
        page.say("; ".join(how(line)), 8, 0)
    if told.get(line.point) != must:
        for text in must:
            page.say(text, 8)
    told[line.point] = must
    for text in before(line):
        page.say(text, 8)
    page.say(f"{line.jot} {box(line)}", 8)


def title(line: SheetLine) -> str:
    return name(line) if line.again else f"{name(line)}: {line.words}"


def name(line: SheetLine) -> str:
    return f"{line.point}, {line.place_words}" if line.place_words else line.point


def how(line: SheetLine) -> Iterator[str]:
    """With what, what to write, what is likely, how long it counts."""
    if line.instrument:
        yield f"with {line.instrument}"
    if line.states:
        yield f"write {' / '.join(line.states)}"
    if line.likely:
        yield f"likely {line.likely}"
    if line.lasts:
        yield (
            "counts until work or an event ends it"
            if line.lasts == "permanent"
            else f"counts for {line.lasts}"
        )


def limit_lines(limits: Sequence[SheetLimit]) -> Iterator[str]:
    """The strictest limit of each side, how many others there are, and what else the reading goes into."""
    yield from own_limits(limits)
    others = sum(not limit.across and not limit.strictest for limit in limits)
    if others:
        yield f"{counted(others, 'more limit', 'more limits')} on it, none stricter"
    across = [limit for limit in limits if limit.across]
    titles = tuple(dict.fromkeys(limit.title for limit in across))
    if titles:
        yield f"goes into: {'; '.join(titles)}"
    needs = tuple(dict.fromkeys(need for limit in across for need in limit.needs))
    if needs:
        yield f"to judge that, also: {listed(needs)}"


def own_limits(limits: Sequence[SheetLimit]) -> Iterator[str]:
    """The strictest limit of each side on the reading itself."""
    for limit in limits:
        if limit.strictest and not limit.across:
            yield f"limit: {limit_words(limit)}"


def limit_words(limit: SheetLimit) -> str:
    known = f", here {limit.known}" if limit.known else ""
    needs = f"; to know it: {listed(limit.needs)}" if limit.needs else ""
    checked = CHECKED.get(limit.checked, limit.checked)
    return f"{limit.written}{known} ({limit.source} {limit.clause}; {checked}){needs}"


def before(line: SheetLine) -> Iterator[str]:
    """What was written there last, and why it does not count."""
    if line.was:
        on = f" on {line.was_on}" if line.was_on else ""
        by = f" by {line.was_by}" if line.was_by else ""
        note = f', note: "{line.was_note}"' if line.was_note else ""
        yield f"was: {listed(line.was)}{on}{by}{note}"
    if line.why and line.why != PLAIN_REASON:
        yield f"why again: {line.why}" if line.was else f"why: {line.why}"


def box(line: SheetLine) -> str:
    return f"{BLANK} {line.unit}" if line.unit and line.unit != "count" else BLANK
