"""A supposition in plain text: what moved, with the word SUPPOSED on every line that says a verdict."""

from __future__ import annotations

from collections.abc import Iterable

from precheck.answer.explain import Moved, MovedUse, Supposed
from precheck.report.lines import Page, counted, listed

_WHOLE = "the vehicle"
_NOT_THERE = "not judged"


def render(found: Supposed, width: int = 80, *, letters: bool = False) -> str:
    """What would be, beside what is. The same record gives the same bytes."""
    page = Page(width, letters)
    lay_out(found, page)
    return page.text()


def lay_out(found: Supposed, page: Page) -> None:
    """Everything there is to say, in order."""
    page.say(f"Day: {found.day} ({'given with --on' if found.day_given else 'today'})")
    if found.called:
        page.say(f"Vehicle: {found.called}")
    page.say(f"File: {found.file} (nothing is written to it)")
    page.say(
        f"Use: {listed(found.uses) if found.uses else 'none named'}; told about {listed(found.shown_for)}"
    )
    page.blank()
    page.say("SUPPOSED, and found by nobody:")
    for line in found.read_as:
        page.say(f"- {line}", 2)
    for line in found.asked_back:
        page.say(f"Please look again: {line}", 2)
    page.blank()
    page.say(found.headline_supposed)
    page.say(f"({found.headline_now})", 2)
    page.say("A supposition is never a GO: write down what is found, and ask the gate.", 2)
    _uses(found.ladder, page)
    _moved(found.moved, page)
    _still(found, page)
    page.heading(found.headline_supposed)


def _uses(ladder: Iterable[MovedUse], page: Page) -> None:
    page.heading("EVERY USE, as it is and as supposed (rules against it, rules that wait)")
    for use in ladder:
        now = f"{use.now.value} ({use.bad_now}, {use.open_now})"
        then = f"SUPPOSED {use.supposed.value} ({use.bad_supposed}, {use.open_supposed})"
        if (use.now, use.bad_now, use.open_now) == (use.supposed, use.bad_supposed, use.open_supposed):
            page.say(f"{use.use}: {then}, as it is", 2)
        else:
            page.say(f"{use.use}: {now} -> {then}", 2)


def _moved(moved: tuple[Moved, ...], page: Page) -> None:
    page.heading(f"WHAT MOVED ({counted(len(moved), 'result')})")
    if not moved:
        page.say("Nothing.", 2)
    groups: dict[tuple[str, str, str, str, str, str], list[Moved]] = {}
    for line in moved:
        key = (
            line.rule,
            line.step,
            line.state_now,
            line.state_supposed,
            line.weighs_now,
            line.weighs_supposed,
        )
        groups.setdefault(key, []).append(line)
    for found in groups.values():
        page.say(f"- {_line(found)}", 2)


def _line(found: list[Moved]) -> str:
    first = found[0]
    places = listed(m.place_words for m in found if m.place_words != _WHOLE)
    where = f" - {places}" if places else ""
    step = f", step '{first.step}'" if first.step else ""
    now, then = _state(first.state_now, first.weighs_now), _state(first.state_supposed, first.weighs_supposed)
    return f"{first.title}{where} ({first.rule}{step}; {first.source} {first.clause}): {now} -> {then}"


def _state(state: str, weighs: str) -> str:
    if not state:
        return _NOT_THERE
    return state if weighs == state or weighs in ("met", "beside", "waits") else f"{state} ({weighs})"


def _still(found: Supposed, page: Page) -> None:
    if found.still_against:
        page.heading(f"STILL AGAINST IT ({len(found.still_against)})")
        for line in found.still_against:
            page.say(f"- {line}", 2)
    if found.still_missing:
        page.heading(f"STILL NOT MEASURED OR ANSWERED ({len(found.still_missing)})")
        page.say(f"{listed(found.still_missing)}.", 2)
    page.heading("WHAT THIS IS NOT")
    page.say("This is arithmetic on readings that nobody took.", 2)
    page.say("It is no inspection, and it gives no right to drive.", 2)
    page.say(f"precheck {found.version}, rules {found.rules_digest}", 2)
