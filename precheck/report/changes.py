"""Changes by local rule files and acceptances, in plain text: what, why, by whom, how long, what without."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from precheck.answer.record import Answer, Changed, ChangedPlace, ChangeLine, Finding
from precheck.report.lines import Page, counted, listed

IN_FORCE = "in force"
_WHOLE = "vehicle"


def change_section(answer: Answer, page: Page) -> None:
    """Every change that counts on this day; those that do not are among the notices."""
    live = [line for line in answer.changes if line.standing == IN_FORCE]
    if not live:
        return
    page.heading(f"CHANGED RULES ({len(live)})")
    page.say(f"Without these changes: {answer.without_changes}.", 2)
    for number, line in enumerate(live, 1):
        page.blank()
        _change(f"{number}. ", line, page)


def _change(lead: str, line: ChangeLine, page: Page) -> None:
    indent = len(lead)
    page.say(f"{lead}{line.change.kind.capitalize()}: {line.title} ({line.rule})", 0, indent)
    for words in change_words(line.change):
        page.say(words, indent)
    if line.uses:
        page.say(f"Accepted for: {listed(line.uses)}", indent)
    if not line.effects:
        covers = f"it covers {counted(line.covers, 'place')}" if line.covers else "no place of this vehicle"
        page.say(f"No difference on this day: {covers}.", indent)
    for places, words in _by_words(line.effects, line.change.kind == "accepted"):
        page.say(f"{places}: {words}" if places else words, indent)


def change_words(change: Changed) -> Iterator[str]:
    """Lines that say all of a change but its kind and its rule."""
    if change.limit:
        step = f"step {change.step}: " if change.step else ""
        yield f"Limit: {step}{change.limit}, instead of {change.limit_was}"
    yield f"Why: {change.because}"
    by = f"by {change.by}" if change.by else ""
    since = f"from {change.since}" if change.since else ""
    until = f"until {change.until}, that day included" if change.until else "no end named"
    yield f"Decided: {listed(words for words in (by, since, until) if words)}"
    source = f"; {change.source}" if change.source else ""
    yield f"Written at: {change.where}{source}"


def changed_lines(finding: Finding) -> Iterator[str]:
    """For a finding of a changed rule: the changes in short, and what it comes to without them."""
    for change in finding.changed:
        limit = f" to {change.limit} instead of {change.limit_was}" if change.limit else ""
        without = _state(finding.state_without)
        yield f"Changed: {change.kind}{limit} at {change.where}; without changes it {without}"


def _by_words(effects: Sequence[ChangedPlace], accepted: bool) -> list[tuple[str, str]]:
    """Places with the same words together, in the order of the first."""
    found: dict[str, list[str]] = {}
    for effect in effects:
        step = f"step {effect.step}: " if effect.step else ""
        now = "accepted" if accepted else _state(effect.state)
        words = f"{step}{_state(effect.state_without)} without the changes; {now} with them"
        found.setdefault(words, []).append("" if effect.place == _WHOLE else effect.place_words)
    return [(listed(p for p in places if p), words) for words, places in found.items()]


def _state(state: str) -> str:
    """A state as a verb where it is none: 'not measured' needs 'is'."""
    return state if state in ("meets", "fails", "cannot tell", "does not apply") else f"is {state}"
