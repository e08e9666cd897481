"""What a new document holds, what to take care of and to look at first, and what to type next."""

from __future__ import annotations

from precheck.answer.record import Gap
from precheck.answer.start import Started
from precheck.report.command import command
from precheck.report.lines import Page, capital, counted, listed


def render(found: Started, width: int = 80, *, letters: bool = False) -> str:
    """The same record gives the same bytes; commands stand on lines of their own."""
    page = Page(width, letters)
    page.say(f"Day: {found.day}")
    page.say(f"{found.file}: written, with {counted(len(found.said), 'answer')}")
    for name, value in found.said:
        page.say(f"- {name}: {value}", 2)
    if found.left:
        page.say(
            f"{counted(len(found.left), 'more fact stands', 'more facts stand')} in it as lines to fill in."
        )
    page.heading(found.headline)
    page.say("Nothing was looked at yet, and what nobody looked at is never good.", 2)
    if found.questions:
        page.heading(f"TO ANSWER FIRST ({len(found.questions)})")
        for question in found.questions:
            page.say(f"- {question.fact}: {question.question}", 2)
    page.heading(f"TO LOOK AT FIRST ({len(found.looks)} of {found.all_looks} for {found.use})")
    where = ""
    for gap in found.looks:
        if gap.access_words != where:
            where = gap.access_words
            page.say(f"{capital(where)}:", 2)
        _look(gap, page)
    page.heading("BEFORE THE ENGINE IS STARTED AGAIN")
    for caution in found.cautions:
        source = "" if caution.source == "common practice" else f" [{caution.source}]"
        page.say(f"- {caution.text}{source}", 2)
    page.say("Cautions that name no source are common practice, from memory.", 2)
    page.heading("NEXT, with what you find in place of the word unknown:")
    return page.text() + _commands(found)


def _look(gap: Gap, page: Page) -> None:
    places = [place.replace("-", " ") for place, _ in gap.places if place != "vehicle"]
    at = f", at {listed(places)}" if places else ""
    page.say(f"- {gap.point}: {gap.words}{at}", 4)
    if gap.states:
        page.say(f"write {' / '.join(gap.states)}", 8, 0)
    elif gap.unit and gap.unit != "count":
        page.say(f"write a number in {gap.unit}", 8, 0)


def _commands(found: Started) -> str:
    lines = [
        command("sheet", found.file, "--for", found.use),
        command("jot", found.file, "--by", found.by or "NAME", found.example),
        command("gate", found.file, "--for", found.use),
    ]
    return "".join(f"{line}\n" for line in lines)
