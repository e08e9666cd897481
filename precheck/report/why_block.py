"""One result in full, in plain text."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from fractions import Fraction

from precheck.answer.explain import CiteLine, Comparison, ReadingLine, Remedy, Result, WorkedLine
from precheck.report.changes import change_words, changed_lines
from precheck.report.findings import CHECKED
from precheck.report.lines import Page, listed

_WHOLE = "the vehicle"
_RATIO = re.compile(r"(?<![0-9])-?[0-9]{1,60}/[1-9][0-9]{0,59}(?![0-9])")
_KNOWN = {"papers": "from the papers", "same-as": "the same as at another place"}
_HOLDS = {"meets": "holds", "fails": "does not hold"}
_WEIGHS = {
    "bad": "it blocks",
    "open": "it leaves undecided",
    "limited": "it puts limits on",
    "met": "it is met for",
}


class Blocks:
    """Lays out results of one explanation on a page."""

    def __init__(self, page: Page) -> None:
        self.page = page
        self._readings: set[tuple[str, str]] = set()
        self._worked: set[tuple[str, str, str]] = set()

    def full(self, result: Result, lead: str) -> None:
        """Rule, source, comparisons, state, and what would change it."""
        page, found, indent = self.page, result.finding, len(lead)
        where = "" if found.place_words == _WHOLE else f" - {found.place_words}"
        page.say(f"{lead}{found.title}{where}: {found.fine}", 0, indent)
        step = f", step {result.number} of {result.steps}" if result.steps > 1 else ""
        page.say(f"Rule {found.rule}{step}: {found.requires}", indent)
        page.say(f"It asks for: {result.condition}", indent)
        if result.applies:
            page.say(f"It applies where: {result.applies}", indent)
        for cite in result.cites:
            self._cite(cite, indent)
        if found.consequence:
            page.say(f'The source calls it: "{found.consequence}"', indent)
        for line in changed_lines(found):
            page.say(line, indent)
        for change in found.changed:
            for line in change_words(change):
                page.say(line, indent + 2)
        if result.decided_by:
            said = "It does not apply" if found.state == "does not apply" else "Open"
            page.say(f"{said}: {result.decided_by}", indent)
        for rule in found.combined_from:
            page.say(f"- {rule}", indent + 2)
        self._comparisons(result.comparisons, indent)
        self._state(result, indent)
        if result.close:
            page.say(f"Close call: {result.close}", indent)
        self._remedies(result, indent)

    def _cite(self, cite: CiteLine, indent: int) -> None:
        checked = CHECKED.get(cite.checked, cite.checked)
        kind = f"common practice, {checked}" if cite.kind == "common practice" else checked
        if cite.kind == "common practice" and cite.checked == "memory":
            kind = "common practice, from memory"
        if cite.kind == "own":
            kind = f"an own rule, no published one; {checked}"
        edition = f", edition {cite.edition}" if cite.edition else ""
        self.page.say(f"Source: {cite.title}, {cite.clause}{edition}; {kind}", indent)
        if cite.address:
            self.page.say(cite.address, indent + 2)
        if cite.note:
            self.page.say(f"About the source: {cite.note}", indent)

    # -- comparisons --------------------------------------------------------------------------------

    def _comparisons(self, compared: Sequence[Comparison], indent: int) -> None:
        """What was compared; a reading or a step is told in full where it first counts on the page."""
        for comparison in compared:
            label = "Applies" if comparison.term else "Compared"
            self.page.say(f"{label}: {_compared(comparison)}", indent)
            for worked in comparison.worked:
                self.worked(worked, indent + 2)
            self.readings(comparison.readings, indent + 2)

    def readings(self, readings: Iterable[ReadingLine], indent: int) -> None:
        """Readings not told on this page yet."""
        new = [r for r in readings if (r.point, r.place) not in self._readings]
        self._readings |= {(r.point, r.place) for r in new}
        readings_of(new, self.page, indent)

    def worked(self, worked: WorkedLine, indent: int) -> None:
        """A derived value with its steps, once on a page."""
        key = (worked.value, worked.place_words, worked.formula)
        if key in self._worked:
            return
        self._worked.add(key)
        if worked.formula == "value less limit":
            for step in worked.steps:
                self.page.say(f"Limit: {step.removeprefix('limit ')}", indent)
            return
        where = "" if worked.place_words == _WHOLE else f" at {worked.place_words}"
        value = listed(worked.written) or worked.why or "no value"
        exact = _exact(worked.exact, worked.written)
        how = "; ".join(words for words in (worked.formula, worked.source) if words)
        self.page.say(
            f"Worked out: {worked.value}{where}: {value}{exact}{f' ({how})' if how else ''}", indent
        )
        for step in worked.steps:
            self.page.say(f"- {step}", indent + 2)

    # -- state ----------------------------------------------------------------------------------------

    def _state(self, result: Result, indent: int) -> None:
        found = result.finding
        by_weight: dict[str, list[str]] = {}
        for bears in result.bears:
            by_weight.setdefault(bears.weighs, []).append(bears.use)
        parts = [
            f"{said} {listed(by_weight[w])}" for w, said in _WEIGHS.items() if w in by_weight and w != "met"
        ]
        said = "; ".join(parts) or "it holds nothing up"
        self.page.say(f"State: {found.state}; {said}", indent)
        if result.effects:
            self.page.say(f"As the rule has it: {'; '.join(result.effects)}", indent)
        if found.limits:
            self.page.say(f"Allowed within: {'; '.join(found.limits)}", indent)

    # -- what would change it -----------------------------------------------------------------------------

    def _remedies(self, result: Result, indent: int) -> None:
        page = self.page
        if result.nothing_to_do:
            page.say(f"What would change it: {result.nothing_to_do}", indent)
            return
        if not result.remedies:
            return
        page.say(
            "What would change it:" if len(result.remedies) == 1 else "What would change it, any of:", indent
        )
        for remedy in result.remedies:
            self._remedy(remedy, indent + 2)
        if result.finding.fix:
            page.say(f"To do: {result.finding.fix}", indent)
        if result.finding.cautions:
            page.say(f"Take care: {listed(result.finding.cautions)} (see the cautions)", indent)

    def _remedy(self, remedy: Remedy, indent: int) -> None:
        sentences = [m.sentence for m in remedy.moves]
        for number, sentence in enumerate(sentences):
            self.page.say(f"{'- ' if not number else '  and '}{sentence}", indent, 4)
        if remedy.note:
            self.page.say(f"({remedy.note})", indent + 2, 1)
        if remedy.jot:
            tried = f" (tried: {remedy.comes_to})" if remedy.comes_to else ""
            self.page.say(f'suppose "{remedy.jot}"{tried}', indent + 2)


def readings_of(readings: Iterable[ReadingLine], page: Page, indent: int) -> None:
    """Readings as they were settled, with those that did not count."""
    for reading in readings:
        where = "" if reading.place_words == _WHOLE else f" at {reading.place_words}"
        page.say(f"Reading: {reading.point}{where}: {_value(reading)}", indent)
        if reading.note:
            page.say(f"note: {reading.note}", indent + 2)
        if reading.status == "value" and (reading.until or reading.ends_with):
            until = f"counts through {reading.until}" if reading.until else "counts"
            ends = f", ended at once by: {reading.ends_with}" if reading.ends_with else ""
            page.say(f"{until}{ends}", indent + 2)
        for line in reading.passed_over:
            page.say(f"passed over: {line}", indent + 2)


def _value(reading: ReadingLine) -> str:
    if reading.status != "value":
        old = (
            f" (was {listed(reading.written)})"
            if reading.written and listed(reading.written) not in reading.why
            else ""
        )
        return f"{reading.status}: {reading.why or 'no reading'}{old}"
    return f"{listed(reading.written)}{_exact(reading.exact, reading.written)}{_taken(reading)}"


def _taken(reading: ReadingLine) -> str:
    if not reading.known:
        return ""
    known = _KNOWN.get(reading.known, reading.known)
    who = f" by {reading.by}" if reading.by else ""
    when = f" on {reading.on}" if reading.on else ""
    tool = f" with {reading.instrument}" if reading.instrument else ""
    line = f" (line {reading.line})" if reading.line else ""
    return f"; {known}{who}{when}{tool}{line}"


def decimal(text: str) -> str:
    """Ratios in an exact value as decimals: exact where six places do, else four after "about".

    >>> decimal("381/160 mm"), decimal("1/3 mm")
    ('2.38125 mm', 'about 0.3333 mm')
    """
    rounded = False

    def one(match: re.Match[str]) -> str:
        nonlocal rounded
        value = Fraction(match.group())
        exact = (value * 10**6).denominator == 1
        rounded = rounded or not exact
        places = 6 if exact else 4
        scaled = round(abs(value) * 10**places)
        digits = f"{scaled // 10**places}.{scaled % 10**places:0{places}d}"
        return f"{'-' if value < 0 else ''}{digits}".rstrip("0").rstrip(".")

    out = _RATIO.sub(one, text)
    return f"about {out}" if rounded else out


def _exact(exact: Sequence[str], written: Sequence[str]) -> str:
    """The exact values beside the written ones, where they say more."""
    shown = listed(decimal(e) for e in exact)
    return f" = {shown}" if shown and shown != listed(written) else ""


def _compared(comparison: Comparison) -> str:
    where = "" if comparison.place_words == _WHOLE else f" at {comparison.place_words}"
    name = f"{comparison.measure}{where}"
    value = comparison.compared or (comparison.why if comparison.outcome != "fails" else "several values")
    needs = comparison.limit + (f", here {comparison.limit_here}" if comparison.limit_here else "")
    margin = listed(w for w in (comparison.margin, comparison.margin_limit) if w)
    outcome = _HOLDS.get(comparison.outcome, "not known") if comparison.term else comparison.outcome
    shown = f"{outcome} ({margin})" if margin else outcome
    return f"{name}: {value or 'no value'}, {'where' if comparison.term else 'needs'} {needs}: {shown}"
