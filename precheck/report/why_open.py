"""What is open, in plain text: results grouped by what to do about them, the shortest way first."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from precheck.answer.explain import Move, Result
from precheck.report.lines import Page, counted, listed

_WHOLE = "the vehicle"
Group = list[Result]


def open_groups(results: Sequence[Result], page: Page) -> None:
    """Each thing to look at, measure or answer once, with the rules that wait for it and what meets them."""
    groups: dict[tuple[tuple[str, str], ...], Group] = {}
    for result in results:
        groups.setdefault(_key(result), []).append(result)
    for number, (key, group) in enumerate(groups.items(), 1):
        page.blank()
        lead = f"{number}. "
        if not key:
            page.say(f"{lead}Not by a reading", 0, len(lead))
        else:
            page.say(f"{lead}{_what(group)}", 0, len(lead))
        _rules(group, page, len(lead))


def _key(result: Result) -> tuple[tuple[str, str], ...]:
    if not result.remedies:
        return ()
    return tuple(dict.fromkeys((m.kind, m.point) for m in result.remedies[0].moves))


def _what(group: Group) -> str:
    moves: dict[tuple[str, str], list[Move]] = {}
    for result in group:
        for move in result.remedies[0].moves:
            moves.setdefault((move.kind, move.point), []).append(move)
    return " and ".join(_one(found) for found in moves.values())


def _one(moves: Sequence[Move]) -> str:
    first = moves[0]
    if first.kind == "answer":
        return f"answer {first.point}: {first.question or first.point}"
    places = list(dict.fromkeys(m.place_words for m in moves if m.place_words != _WHOLE))
    where = f" at {listed(places)}" if places else ""
    tool = f" with {first.instrument}" if first.instrument else ""
    verb = {"look": "look at", "measure": "measure"}.get(first.kind, first.kind)
    return f"{verb} {first.point}{where}{tool}"


def _rules(group: Group, page: Page, indent: int) -> None:
    """Rules by what meets them; a rule told once for all its places and steps."""
    lines: dict[str, list[Result]] = {}
    for result in group:
        lines.setdefault(result.finding.rule, []).append(result)
    page.say(f"{counted(len(lines), 'rule waits', 'rules wait')}:", indent)
    for results in lines.values():
        found = results[0].finding
        enough = list(dict.fromkeys(e for r in results for e in _enough(r)))
        meets = f": {'; '.join(enough)}" if enough else ""
        page.say(f"- {found.title} ({found.rule}; {found.source} {found.clause}){meets}", indent + 2)
        for result in results:
            if result.nothing_to_do:
                page.say(result.nothing_to_do, indent + 4)
    for why in dict.fromkeys(_why(group)):
        page.say(f"why: {why}", indent)
    line = next((r.remedies[0].jot for r in group if r.remedies and r.remedies[0].jot), "")
    if line and group[0].remedies[0].moves[0].kind != "answer":
        page.say(f'such as: suppose "{line}"', indent)


def _enough(result: Result) -> Iterable[str]:
    """What meets one result, in a few words."""
    if not result.remedies:
        return
    for move in result.remedies[0].moves:
        if move.kind == "answer" and result.remedies[0].comes_to != "meets" and result.remedies[0].note:
            yield f"does not apply with {' / '.join(move.accepted)}"
        else:
            step = f"step {result.number}: " if result.steps > 1 else ""
            wanted = move.wanted or " / ".join(move.accepted) or move.to
            yield f"{step}meets with {wanted}"


def _why(results: Iterable[Result]) -> Iterable[str]:
    """Why there is no value, where it is not simply that nobody looked."""
    for result in results:
        for comparison in result.comparisons:
            for reading in comparison.readings:
                if reading.status != "value" and reading.why not in ("", "no reading"):
                    where = "" if reading.place_words == _WHOLE else f" at {reading.place_words}"
                    yield f"{reading.point}{where}: {reading.why}"
