"""What is not known yet, in plain text: readings by position of the vehicle, facts to answer."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from itertools import groupby

from precheck.answer.record import CautionLine, Gap, Question
from precheck.answer.words import what_to_write
from precheck.report.findings import CHECKED
from precheck.report.lines import Page, capital, counted, listed

COMPACT = 25  # with more gaps than this, each tells its reasons in the same paragraph
PRACTICE = "common practice"
PLAIN_REASON = "no reading"
_WHOLE = "vehicle"


class Cautions:
    """The cautions of an answer; each is told once, where it is first needed."""

    def __init__(self, lines: Sequence[CautionLine]) -> None:
        self._lines = {line.id: line for line in lines}
        self._told: set[str] = set()

    def before(self, names: Iterable[str], page: Page, indent: int) -> None:
        """The cautions of one position: new ones in full, those told above by name."""
        wanted = [n for n in dict.fromkeys(names) if n in self._lines]
        again = [n for n in wanted if n in self._told]
        for name in wanted:
            if name not in self._told:
                self._tell(name, page, indent)
        if again:
            page.say(f"Take care, as above: {listed(again)}.", indent)

    def remaining(self, page: Page, indent: int) -> None:
        for name in self._lines:
            if name not in self._told:
                self._tell(name, page, indent)

    @property
    def left(self) -> int:
        return len(self._lines) - len(self._told)

    def unsourced(self, page: Page) -> None:
        """Say once where the cautions come from that were told without a source."""
        if any(line.source == PRACTICE for line in self._lines.values()):
            page.blank()
            page.say("Cautions that name no source are common practice, from memory.")

    def _tell(self, name: str, page: Page, indent: int) -> None:
        line = self._lines[name]
        self._told.add(name)
        source = (
            "" if line.source == PRACTICE else f" [{line.source}; {CHECKED.get(line.checked, line.checked)}]"
        )
        page.say(f"Take care ({name}): {line.text}{source}", indent)


def gap_section(gaps: Sequence[Gap], cautions: Cautions, page: Page) -> None:
    """Each reading once, by where the vehicle and the person are; cautions of the position first."""
    ordered = sorted(gaps, key=lambda gap: gap.access_order)
    for _, found in groupby(ordered, key=lambda gap: (gap.access_order, gap.access)):
        here = list(found)
        page.blank()
        page.say(f"{capital(here[0].access_words)} ({len(here)}):", 2)
        cautions.before((name for gap in here for name in gap.cautions), page, 4)
        for gap in here:
            _gap(gap, page, len(gaps) > COMPACT)


def _gap(gap: Gap, page: Page, compact: bool) -> None:
    page.say(f"- {gap.point}: {gap.words}", 4)
    where = [name for name in (_place(p) for p, _ in gap.places) if name]
    lines = [f"at {listed(where)}"] if where else []
    lines += [*_how(gap), counted(gap.rules, "rule waits", "rules wait")]
    reasons = list(_reasons(gap))
    if compact:
        lines, reasons = lines + reasons, []
    for line in ["; ".join(lines), *reasons]:
        page.say(line, 8, 0)


def _how(gap: Gap) -> Iterator[str]:
    """With what, what to write, how long it counts."""
    if gap.instrument:
        yield f"with {gap.instrument}"
    yield f"write {what_to_write(gap.states, gap.unit)}"
    if gap.lasts and gap.lasts != "permanent":
        yield f"counts for {gap.lasts}"


def _reasons(gap: Gap) -> Iterator[str]:
    """Why there is no value, where it is not simply that nobody looked."""
    found: dict[str, list[str]] = {}
    for place, why in gap.places:
        found.setdefault(why, []).append(_place(place))
    for why, places in found.items():
        if why and why != PLAIN_REASON:
            named = [p for p in places if p]
            some = f"{listed(named)}: " if named and len(named) < len(gap.places) else ""
            yield f"why: {some}{why}"


def question_section(questions: Sequence[Question], page: Page) -> None:
    """Facts of the vehicle: one answer may settle many rules."""
    for question in questions:
        page.say(f"- {question.fact}: {question.question}", 2)
        page.say(f"write {what_to_write(question.states, question.unit)}", 4)
        page.say(f"one answer settles {counted(question.rules, 'rule')}", 4)
        if question.why and question.why != PLAIN_REASON:
            page.say(f"why: {question.why}", 4)


def _place(name: str) -> str:
    return "" if name == _WHOLE else name.replace("-", " ")
