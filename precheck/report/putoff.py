"""What was put off, in plain text: the reason, the end, and whether the end has come."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Protocol

from precheck.answer.record import Answer, PutOffLine
from precheck.report.lines import Page, listed


class _HasPlans(Protocol):
    """Any record that carries what the document puts off."""

    @property
    def put_off(self) -> tuple[PutOffLine, ...]: ...


_SAYS = {
    "put off": "",
    "its day has come": "That day has come: mend it now, or write a new day and why.",
    "its distance has come": "The odometer shows that now: mend it, or write a new end and why.",
    "its use is asked for": "That use is asked for now: mend it first.",
    "not found any more": "Not found any more: the entry can be taken out.",
    "not known now": "Not known now: look again before you rely on the plan.",
    "its rule does not judge here": "Its rule does not judge here: the entry does nothing.",
}
_WHOLE = "vehicle"


def put_off_section(answer: _HasPlans, page: Page) -> None:
    """Every finding put off, whatever became of it."""
    if not answer.put_off:
        return
    page.heading(f"PUT OFF ({len(answer.put_off)})")
    page.say("A plan only: it changes nothing in the answer.", 2)
    for number, line in enumerate(answer.put_off, 1):
        lead = f"{number}. "
        where = listed(p.place_words for p in line.at if p.place != _WHOLE)
        page.blank()
        page.say(f"{lead}{line.title} ({line.rule}){f': {where}' if where else ''}", 0, len(lead))
        for words in _words(line):
            page.say(words, len(lead))


def _words(line: PutOffLine) -> Iterator[str]:
    yield f"Why: {line.because}"
    yield f"Put off {_end(line)}"
    said = _SAYS.get(line.standing, line.standing)
    if said:
        yield said
    if line.against:
        yield "It bears on the use asked for all the same."
    yield f"Written at: {line.where}"


def _end(line: PutOffLine) -> str:
    by = f"by {line.by} " if line.by else ""
    use = f", or when it is to be used for {' or '.join(line.uses)}" if line.uses else ""
    miles = f", or when the odometer shows {line.odometer}" if line.odometer else ""
    return f"{by}until {line.until}{miles}{use}"


def put_off_words(answer: Answer, rule: str, place: str) -> Iterator[str]:
    """For the block of a finding: that it was put off, until when and why."""
    for line in answer.put_off:
        if line.rule == rule and any(p.place == place for p in line.at):
            came = "" if line.standing == "put off" else f"; {line.standing}"
            where = listed(p.place_words for p in line.at if p.place != _WHOLE)
            at = f"at {where} " if where else ""
            yield f"Put off {at}{_end(line)} ({line.because}){came}; it counts all the same"
