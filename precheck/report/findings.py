"""Findings in plain text: one block for each rule, its places with their values."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Sequence

from precheck.answer.record import Answer, Evidence, Finding
from precheck.report.changes import changed_lines
from precheck.report.lines import Page, listed
from precheck.report.putoff import put_off_words

CHECKED = {
    "text": "read in its own text",
    "secondary": "from a second-hand account, its own text was not read",
    "memory": "from memory, not looked up",
}
_WHOLE = "the vehicle"
_RATIO = re.compile(r"(?<![0-9])-?[0-9]{1,60}/[1-9][0-9]{0,59}(?![0-9])")
_NUMBER = re.compile(r"^[^a-zA-Z%]*")
_OPERATOR = re.compile(r"^(at least|at most|more than|less than) ")


class Blocks:
    """Lays out the findings of one answer on a page."""

    def __init__(self, answer: Answer, page: Page) -> None:
        self._page = page
        self._answer = answer
        self._kinds = {s.id: s.kind for s in (*answer.judged_by, *answer.left_out)}

    def blocks(self, findings: Sequence[Finding]) -> None:
        """Every rule with its places, numbered."""
        for number, group in enumerate(by_rule(findings), 1):
            self._page.blank()
            self._block(f"{number}. ", group)

    def short(self, findings: Sequence[Finding]) -> None:
        """Every rule in one paragraph: for what does not bear on the use asked."""
        for group in by_rule(findings):
            first = group[0]
            found = "; ".join(_where(*pair) for pair in _by_words(group, _values_and_needs))
            self._page.say(
                f"- {_title(first)}: {found}. Bears on: {first.bears}. Source: {self._source(first)}."
                + "".join(f" {line}." for line in changed_lines(first)),
                2,
            )

    def _block(self, lead: str, group: Sequence[Finding]) -> None:
        first, page, indent = group[0], self._page, len(lead)
        self._found(lead, group)
        if first.combined_from:
            page.say("These were each allowed only while the rest is sound:", indent)
            for rule in first.combined_from:
                page.say(f"- {rule}", indent + 2)
        limits = _unique(words for f in group for words in f.limits)
        if limits:
            page.say(f"Allowed within: {'; '.join(limits)}", indent)
        if first.fix:
            page.say(f"To do: {first.fix}", indent)
        cautions = _unique(c for f in group for c in f.cautions)
        if cautions:
            page.say(f"Take care: {listed(cautions)} (see the cautions)", indent)
        page.say(f"Rule: {first.requires}", indent)
        page.say(f"Source: {self._source(first)}", indent)
        if first.cite_note:
            page.say(f"About the source: {first.cite_note}", indent)
        for line in (*changed_lines(first), *self._put_off(group)):
            page.say(line, indent)
        if first.consequence:
            page.say(f'The source calls it: "{first.consequence}"', indent)
        if first.blocks:
            page.say(f"Blocks: {first.bears}", indent)

    def _put_off(self, group: Iterable[Finding]) -> list[str]:
        return _unique(words for f in group for words in put_off_words(self._answer, f.rule, f.place))

    def _found(self, lead: str, group: Sequence[Finding]) -> None:
        """Values at their places; what is the same everywhere (limit, who took it) said once."""
        page, indent = self._page, len(lead)
        needs = _unique(_need(e) for f in group for e in _telling(f))
        takers = _unique(_taken(e) for f in group for e in _telling(f))
        one_need = len(needs) == 1 and all(len(_telling(f)) == 1 for f in group)
        one_taker = len(takers) == 1

        def words(finding: Finding) -> tuple[str, ...]:
            return tuple(_words(e, not one_need, not one_taker) for e in _telling(finding))

        found = _by_words(group, words)
        title = f"{lead}{_title(group[0])}"
        if len(found) == 1 and len(found[0][1]) < 2:
            where = _where(*found[0])
            page.say(f"{title} - {where}" if where else title, 0, indent)
        else:
            page.say(title, 0, indent)
            for places, texts in found:
                if len(texts) > 1:
                    page.say(f"{_where(places, ()) or 'Found'}:", indent)
                    for text in texts:
                        page.say(f"- {text}", indent + 2)
                else:
                    page.say(_where(places, texts), indent)
        if one_need and needs[0]:
            page.say(f"Needs: {needs[0]}", indent)
        if one_taker and takers[0]:
            page.say(f"Taken: {takers[0]}", indent)
        worked = _unique(step for f in group for e in _telling(f) for step in e.steps)
        if worked:
            page.say(f"Worked out: {'; '.join(worked)}", indent)

    def _source(self, finding: Finding) -> str:
        return f"{finding.source_title or finding.source}, {finding.clause}; {self._how(finding)}"

    def _how(self, finding: Finding) -> str:
        """How the citation was checked; practice and own rules are called what they are."""
        checked = CHECKED.get(finding.checked, finding.checked)
        kind = self._kinds.get(finding.source, "common practice" if finding.source == "floor" else "")
        if kind == "common practice":
            return (
                "common practice, from memory"
                if finding.checked == "memory"
                else f"common practice, {checked}"
            )
        return f"an own rule, no published one; {checked}" if kind == "own" else checked


def by_rule(findings: Iterable[Finding]) -> list[list[Finding]]:
    """Findings of the same rule together, in the order of the first; of steps at one place the first."""
    groups: dict[str, dict[str, Finding]] = {}
    for finding in findings:
        groups.setdefault(finding.rule, {}).setdefault(finding.place, finding)
    return [list(places.values()) for places in groups.values()]


def _title(finding: Finding) -> str:
    return f"{finding.title} ({finding.step})" if finding.step and not finding.evidence else finding.title


def _telling(finding: Finding) -> list[Evidence]:
    """The comparisons that decided: those that fail, else all that are no terms of applicability."""
    tests = [e for e in finding.evidence if not e.term]
    return [e for e in tests if e.outcome == "fails"] or tests


def _by_words(
    group: Iterable[Finding], words: Callable[[Finding], tuple[str, ...]]
) -> list[tuple[list[str], tuple[str, ...]]]:
    """Places with the same words together, in the order of the first."""
    found: dict[tuple[str, ...], list[str]] = {}
    for finding in group:
        found.setdefault(words(finding), []).append(finding.place_words)
    return [(places, texts) for texts, places in found.items()]


def _where(places: Sequence[str], texts: Sequence[str]) -> str:
    """Places and what was found there; the whole vehicle is not named."""
    named, said = listed(p for p in places if p != _WHOLE), "; ".join(texts)
    return f"{named}: {said}" if named and said else named or said


def _values_and_needs(finding: Finding) -> tuple[str, ...]:
    telling = _telling(finding)
    return tuple(_words(e, True, False, len(telling) > 1) for e in telling)


def _words(evidence: Evidence, need: bool, taken: bool, named: bool = True) -> str:
    """What was found and how far off; where asked what was needed and who took it."""
    value = listed(evidence.written) or evidence.why or "no value"
    beside = [words for words in (_converted(evidence), evidence.margin) if words]
    parts = [f"{value} ({'; '.join(beside)})" if beside else value]
    if need and _need(evidence):
        parts[0] = f"{evidence.words}: {parts[0]}" if named else parts[0]
        parts.append(f"needs {_need(evidence)}")
    if taken and _taken(evidence):
        parts.append(_taken(evidence))
    if evidence.note:
        parts.append(f"note: {evidence.note}")
    return listed(parts)


def _need(evidence: Evidence) -> str:
    unit = _unit(evidence.limit_exact)
    if unit and unit != _unit(evidence.limit) and unit in {_unit(w) for w in evidence.written}:
        return f"{evidence.limit} ({evidence.limit_exact})"
    return evidence.limit


def _converted(evidence: Evidence) -> str:
    """The values in the limit's unit, where they were written in another."""
    return f"= {listed(evidence.converted)}" if any(evidence.converted) else ""


def _taken(evidence: Evidence) -> str:
    if evidence.inputs:
        return f"worked out from {'; '.join(evidence.inputs)}"
    if not evidence.known:
        return ""
    who = f" by {evidence.by}" if evidence.by else ""
    when = f" on {evidence.on}" if evidence.on else ""
    tool = f" with {evidence.instrument}" if evidence.instrument else ""
    known = "from the papers" if evidence.known == "papers" else evidence.known
    return f"{known}{who}{when}{tool}"


def _unit(text: str) -> str:
    """The unit a quantity or a limit ends with, singular."""
    return _NUMBER.sub("", _OPERATOR.sub("", text)).removesuffix("s")


def _unique(words: Iterable[str]) -> list[str]:
    return list(dict.fromkeys(words))
