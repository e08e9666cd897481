"""An explanation in plain text: ASCII, no color, at most `width` columns, the shortest way first."""

from __future__ import annotations

from collections.abc import Sequence

from precheck.answer.explain import Explanation, Result
from precheck.report.lines import Page, counted, listed
from precheck.report.missing import Cautions
from precheck.report.putoff import put_off_section
from precheck.report.trend import trend_section
from precheck.report.why_block import Blocks
from precheck.report.why_open import open_groups


def render(found: Explanation, width: int = 80, *, letters: bool = False) -> str:
    """The whole explanation. The same record gives the same bytes."""
    page = Page(width, letters)
    lay_out(found, page)
    return page.text()


def lay_out(found: Explanation, page: Page) -> None:
    """Everything there is to say, in order."""
    _head(found, page)
    blocks = Blocks(page)
    if found.asked_kind == "verdict":
        _verdict(found, blocks, page)
    else:
        _asked(found, blocks, page)
    put_off_section(found, page)
    _ending(found, page)


def _head(found: Explanation, page: Page) -> None:
    page.say(f"Day: {found.day} ({'given with --on' if found.day_given else 'today'})")
    if found.called:
        page.say(f"Vehicle: {found.called}")
    page.say(f"File: {found.file}")
    uses = (
        listed(found.uses) if found.uses else f"none named; what follows is about {listed(found.shown_for)}"
    )
    page.say(f"Use: {uses}")
    page.blank()
    if found.looking_back:
        page.say(
            "LOOKING BACK: this day lies before the last visit in the file, so nothing here is a GO for any "
            "day."
        )
    page.say(found.headline)
    for notice in found.notices:
        page.say(f"Note: {notice}", 2)


# -- the verdict as a whole ---------------------------------------------------------------------------


def _verdict(found: Explanation, blocks: Blocks, page: Page) -> None:
    page.say(_sums(found), 2, 0)
    _section(
        f"WHAT STANDS AGAINST IT, the shortest way first ({_results(found.against)})", found.against, blocks
    )
    if found.open:
        page.heading(f"WHAT IS OPEN, the shortest way first ({_results(found.open)})")
        open_groups(found.open, page)
    _section(
        f"WHAT IS ALLOWED ONLY WITHIN LIMITS, the shortest way first ({_results(found.limited)})",
        found.limited,
        blocks,
    )
    if found.close_calls:
        page.heading(f"MET BY LESS THAN THE READING CAN TELL ({_results(found.close_calls)})")
    for result in found.close_calls:
        place = result.finding.place_words
        where = "" if place == "the vehicle" else f" - {place}"
        page.say(f"- {result.finding.title}{where} ({result.finding.rule}): {result.close}", 2)
    if found.first_to_run_out:
        page.heading("WHAT RUNS OUT FIRST OF WHAT IT RESTS ON")
        for line in found.first_to_run_out:
            page.say(f"- {line}", 2)
    page.blank()
    page.say("One rule or point in full: precheck why FILE tire-tread-depth@lf")


def _sums(found: Explanation) -> str:
    parts = []
    if found.against:
        parts.append(f"{_results(found.against)} against it")
    if found.open:
        parts.append(f"{_results(found.open)} open")
    if found.limited:
        parts.append(f"{_results(found.limited)} allowed within limits")
    said = listed(f"{state} {number}" for state, number in found.counts if number)
    reasons = f"{listed(parts)}." if parts else "Nothing stands against it and nothing is open."
    return f"{reasons} Requirements, each at each place: {said}."


def _section(title: str, results: Sequence[Result], blocks: Blocks) -> None:
    if results:
        blocks.page.heading(title)
        for number, result in enumerate(results, 1):
            blocks.page.blank()
            blocks.full(result, f"{number}. ")


def _results(results: Sequence[Result]) -> str:
    return counted(len(results), "result")


# -- one thing ------------------------------------------------------------------------------------------


def _asked(found: Explanation, blocks: Blocks, page: Page) -> None:
    page.heading(f"ABOUT {found.asked} ({found.asked_kind}): {found.asked_words}")
    for worked in found.worked:
        blocks.worked(worked, 2)
    blocks.readings(found.readings, 2)
    for line in found.decides:
        page.say(line, 2)
    if found.not_judged:
        page.say(found.not_judged, 2)
    trend_section(found.trends, page)
    if found.results:
        page.heading(f"THE RULES THAT JUDGE IT ({_results(found.results)})")
    for number, result in enumerate(found.results, 1):
        page.blank()
        blocks.full(result, f"{number}. ")


def _ending(found: Explanation, page: Page) -> None:
    cautions = Cautions(found.cautions)
    if found.cautions:
        page.heading(f"CAUTIONS ({len(found.cautions)})")
        cautions.remaining(page, 2)
    cautions.unsourced(page)
    page.heading("WHAT THIS IS NOT")
    page.say(
        "This explains the owner's own pre-check. It is no inspection, and it gives no right to drive. Local "
        "inspection law and licensed inspectors decide.",
        2,
    )
    if found.region:
        page.say(f"Here ({found.region}): {found.inspects} {found.ask}", 2)
    page.say(
        "What would change a result is arithmetic, not advice: mend what is wrong, then write what is found.",
        2,
    )
    page.say(f"precheck {found.version}, rules {found.rules_digest}", 2)
    page.heading(found.headline)
