"""The cards of one drive in plain text."""

from __future__ import annotations

from precheck.answer.card_record import Card, CardLine
from precheck.answer.record import CautionLine
from precheck.report.lines import Page, listed
from precheck.report.missing import PRACTICE


def render(card: Card, width: int = 80, *, letters: bool = False) -> str:
    """One card: what to look at, what the gate says, when to turn back."""
    page = Page(width, letters)
    lay_out(card, page)
    return page.text()


def lay_out(card: Card, page: Page) -> None:
    page.say(f"{title(card).upper()}: {card.called or card.file}")
    page.say(
        f"Day: {card.day} ({'given with --on' if card.day_given else 'today'}); for {listed(card.about)}"
    )
    page.say("Time ________, odometer ____________, looked at by ________________")
    for line in card.standing:
        page.say(line)
    for group in card.groups:
        page.heading(f"{group.words.upper()} ({len(group.lines)})")
        for number, one in enumerate(group.lines, 1):
            page.say(f"{number}. {one.words} ({one.write})", 2, 3)
            page.say(boxes(one), 5)
    if card.limits:
        page.heading("ONLY WITHIN THESE LIMITS")
        for limit in card.limits:
            page.say(f"- {limit.words}{f': {limit.value}' if limit.value else ''}", 2)
    if card.turn_back:
        page.heading("TURN BACK OR STOP WHEN")
        for words in card.turn_back:
            page.say(f"- {words}", 2)
    if card.cautions:
        page.heading("TAKE CARE")
        for caution in card.cautions:
            page.say(f"- {care(caution)}", 2)
    page.heading("This card is no verdict. Write what you found, then ask precheck gate.")


def title(card: Card) -> str:
    return "Before the drive" if card.kind == "before" else "After the drive"


def boxes(line: CardLine) -> str:
    """A blank for each place, or what was written on the day already."""
    return "   ".join(
        f"{'' if p.place == 'vehicle' else p.words + ': '}{p.today or '____'}" for p in line.places
    )


def care(caution: CautionLine) -> str:
    return caution.text if caution.source == PRACTICE else f"{caution.text} [{caution.source}]"
