"""The answer in plain text: ASCII, no color, at most `width` columns, the most important first."""

from __future__ import annotations

from collections.abc import Iterable

from precheck.answer.record import Answer, Finding, LimitLine, UseLine
from precheck.model.rules import Verdict
from precheck.report.changes import IN_FORCE, change_section
from precheck.report.ending import ending
from precheck.report.findings import Blocks, by_rule
from precheck.report.lines import Page, counted, listed
from precheck.report.missing import Cautions, gap_section, question_section
from precheck.report.putoff import put_off_section

LOOKING_BACK = (
    "LOOKING BACK: this day lies before the last visit in the file. What was found later is left "
    "out, so this is a GO for no day."
)


def render(answer: Answer, width: int = 80, *, letters: bool = False) -> str:
    """The whole answer. The same answer gives the same bytes.

    `width` counts columns and is never taken under 40. `letters` keeps letters beyond ASCII in people's
    own words; without it they are shown as escapes, so that the text is ASCII everywhere.
    """
    page = Page(width, letters)
    cautions = Cautions(answer.cautions)
    _head(answer, page)
    change_section(answer, page)
    against(answer, page)
    if not prospective(answer):
        limits(answer, page)
    if answer.verdict is Verdict.GO:
        turn_back(answer, page)
    missing(answer, cautions, page)
    if prospective(answer):
        limits(answer, page)
    put_off_section(answer, page)
    also(answer, page)
    if answer.uses and answer.ladder:
        page.heading("EVERY USE ON THIS DAY (how many rules stand against it, how many wait)")
        for line in answer.ladder:
            page.say(_verdict(line), 2)
    ending(answer, cautions, page)
    page.heading(answer.headline)  # once more, where a long page ends on the screen
    return page.text()


def prospective(answer: Answer) -> bool:
    """Whether the details are about a use that is no GO yet."""
    return answer.verdict is not Verdict.GO or not (answer.uses or answer.highest in answer.shown_for)


# -- head -------------------------------------------------------------------------------------


def _head(answer: Answer, page: Page) -> None:
    for line in about(answer):
        page.say(line)
    page.blank()
    if answer.looking_back:
        page.say(LOOKING_BACK)
    page.say(answer.headline)
    for line in sums(answer):
        page.say(line, 2, 0)
    for notice in answer.notices:
        page.say(f"Note: {notice}", 2)
    if not answer.uses:
        _ladder(answer, page)
    highest_limits(answer, page)


def about(answer: Answer) -> list[str]:
    """The day, the vehicle, the file, and what for."""
    called = [f"Vehicle: {answer.called}"] if answer.called else []
    day = f"Day: {answer.day} ({'given with --on' if answer.day_given else 'today'})"
    return [day, *called, f"File: {answer.file}", *_use_lines(answer)]


def highest_limits(answer: Answer, page: Page) -> None:
    """What holds for the highest rung that is GO, where no use was named."""
    if answer.highest_limits:
        page.heading(f"LIMITS OF THE GO FOR {answer.highest} ({len(answer.highest_limits)})")
        for limit in answer.highest_limits:
            page.say(_limit(limit), 2)


def _use_lines(answer: Answer) -> list[str]:
    words = {line.use: line.words for line in answer.ladder}
    if not answer.uses:
        return ["Use: none named, so the whole ladder is judged"]
    lines = [f"Use: {use} - {words[use]}" if words.get(use) else f"Use: {use}" for use in answer.uses]
    rest = [use for use in answer.shown_for if use not in answer.uses]
    return [*lines, f"Judged with it: {listed(rest)}"] if rest else lines


def sums(answer: Answer) -> list[str]:
    """What the verdict comes from, in numbers, and what it does not say."""
    about = "" if answer.uses else f"For {_next(answer)}: "
    parts = []
    if answer.blocking:
        parts.append(f"{counted(len(by_rule(answer.blocking)), 'rule stands', 'rules stand')} against it")
    if answer.gaps:
        parts.append(f"{counted(len(answer.gaps), 'reading is', 'readings are')} missing")
    if answer.questions:
        parts.append(f"{counted(len(answer.questions), 'question is', 'questions are')} open")
    lines = [f"{about}{listed(parts)}."] if parts else []
    changed = sum(line.standing == IN_FORCE for line in answer.changes)
    if changed:
        count = counted(changed, "change of a rule counts", "changes of rules count")
        lines.insert(0, f"{count}; without, it is {answer.without_changes}.")
    if answer.verdict is Verdict.UNDECIDED:
        lines.append("UNDECIDED is no GO: too little is known." if parts else "UNDECIDED is no GO.")
    elif answer.verdict is Verdict.GO and not answer.uses and prospective(answer):
        lines.insert(0, f"The GO is for {answer.highest}, within its limits, and on this day only.")
    elif answer.verdict is Verdict.GO:
        lines.append(
            "Only within the limits below, and only on this day." if answer.limits else "On this day only."
        )
    return lines


def _next(answer: Answer) -> str:
    rungs = [line.use for line in answer.ladder if not line.side]
    named = [use for use in answer.shown_for if use in rungs]
    return named[-1] if named else listed(answer.shown_for)


def _ladder(answer: Answer, page: Page) -> None:
    page.heading("THE LADDER (how many rules stand against each use, how many wait)")
    for line in answer.ladder:
        if not line.side:
            page.say(f"{_verdict(line)}{f' - {line.words}' if line.words else ''}", 2)
    sides = [line for line in answer.ladder if line.side]
    if sides:
        page.say("Beside the ladder:", 2)
        for line in sides:
            page.say(f"{_verdict(line)}{f' - {line.words}' if line.words else ''}", 4)


def _verdict(line: UseLine) -> str:
    parts = [f"{line.bad} against"] if line.bad else []
    parts += [f"{line.open} waiting"] if line.open else []
    if line.without_changes not in ("", line.verdict.value):
        parts.append(f"{line.without_changes} without the changes")
    return f"{line.use}: {line.verdict.value}{f' ({listed(parts)})' if parts else ''}"


# -- what was found -----------------------------------------------------------------------------


def against(answer: Answer, page: Page) -> None:
    """What blocks it."""
    if answer.blocking:
        before = "AGAINST IT" if answer.uses else f"BEFORE {_next(answer)}"
        page.heading(f"WHAT STANDS {before} ({_rules(answer.blocking)})")
        Blocks(answer, page).blocks(answer.blocking)


def limits(answer: Answer, page: Page) -> None:
    """The limits with why, then the findings behind them."""
    if answer.limits:
        if prospective(answer):
            page.heading(f"IF IT BECOMES A GO FOR {_asked(answer)}, THESE LIMITS HOLD ({len(answer.limits)})")
        else:
            page.heading(f"LIMITS OF THIS GO ({len(answer.limits)})")
        for line in answer.limits:
            page.say(_limit(line), 2)
    if answer.limited:
        page.heading(f"FOUND, AND ALLOWED ONLY WITHIN LIMITS ({_rules(answer.limited)})")
        Blocks(answer, page).blocks(answer.limited)


def _limit(line: LimitLine) -> str:
    value = f": {line.value}" if line.value else ""
    because = f" (why: {'; '.join(line.because)})" if line.because else ""
    return f"- {line.words}{value}{because}"


def turn_back(answer: Answer, page: Page) -> None:
    """When to end a drive at once."""
    if answer.turn_back:
        page.heading("TURN BACK OR STOP WHEN")
        for line in answer.turn_back:
            page.say(f"- {line}", 2)


def missing(answer: Answer, cautions: Cautions, page: Page) -> None:
    """What was not looked at and not answered, by position of the vehicle."""
    about = "" if answer.uses else f" FOR {_next(answer)}"
    if answer.gaps:
        page.heading(f"NOT MEASURED YET{about} ({counted(len(answer.gaps), 'reading')})")
        if answer.questions:
            page.say("Answer the questions after this list first; an answer may change the list.", 2)
        gap_section(answer.gaps, cautions, page)
    if answer.questions:
        page.heading(f"QUESTIONS TO ANSWER{about} ({len(answer.questions)})")
        question_section(answer.questions, page)


def also(answer: Answer, page: Page) -> None:
    """What changes nothing of this verdict: odd values, what to watch, what bears on other uses."""
    _list(page, "PLEASE LOOK AGAIN, THESE VALUES ARE UNLIKELY", answer.asked_back)
    _list(page, "WATCH", answer.watch)
    if answer.beside:
        page.heading(f"FOUND, BUT BEARS ON OTHER USES ONLY ({_rules(answer.beside)})")
        Blocks(answer, page).short(answer.beside)


def _list(page: Page, heading: str, lines: Iterable[str]) -> None:
    found = list(lines)
    if found:
        page.heading(f"{heading} ({len(found)})")
        for line in found:
            page.say(f"- {line}", 2)


def _asked(answer: Answer) -> str:
    return listed(answer.uses or (_next(answer),))


def _rules(findings: Iterable[Finding]) -> str:
    return counted(len(by_rule(findings)), "rule")
