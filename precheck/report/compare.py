"""A comparison in plain text: where you were on the first screen, then each thing that moved."""

from __future__ import annotations

import shlex
from collections.abc import Iterable, Sequence

from precheck.answer.compare_record import Compared, NeverLine, NoteLine, ReadingMoved, ResultMoved, UseMoved
from precheck.report.compare_head import head
from precheck.report.lines import Page, capital, counted, listed
from precheck.report.putoff import put_off_section
from precheck.report.trend import trend_section

_WHOLE = "the vehicle"
_HEADINGS = {
    "new": "FOUND SINCE, AND AGAINST A RULE",
    "worse": "WORSE",
    "mended": "MENDED",
    "better": "BETTER",
    "run out": "RUN OUT: THESE READINGS COUNT NO MORE",
    "work done": "MADE VOID BY WORK: LOOK AGAIN",
    "struck": "STRUCK",
    "cannot tell": "CANNOT BE TOLD ANY MORE",
    "gone": "NO LONGER IN THE FILE, OR AT NO PLACE OF THIS VEHICLE",
    "changed": "ANOTHER VALUE",
}
_SHORT = {"first look": "LOOKED AT FOR THE FIRST TIME", "confirmed": "LOOKED AT AGAIN, AND THE SAME"}


def render(found: Compared, width: int = 80, *, letters: bool = False) -> str:
    """The whole comparison. The same record gives the same bytes."""
    page = Page(width, letters)
    lay_out(found, page)
    return page.text()


def lay_out(found: Compared, page: Page) -> None:
    """Everything there is to say, in order."""
    head(found, page)
    _found(found, page)
    _verdicts(found.ladder, page)
    for kind, heading in _HEADINGS.items():
        _readings([m for m in found.readings if m.kind == kind], heading, page)
    for kind, heading in _SHORT.items():
        _short([m for m in found.readings if m.kind == kind], heading, page)
    _results(found, page)
    _never(found, page)
    put_off_section(found, page)
    trend_section(found.trends, page)
    _notes(found.notes, f"NOTES SINCE {found.day_then}", page)
    _watch(found, page)
    _ending(found, page)
    page.heading(found.headline_now)


# -- verdicts ------------------------------------------------------------------------------------------


def _verdicts(ladder: Iterable[UseMoved], page: Page) -> None:
    page.heading("VERDICTS, THEN AND NOW (rules against it, rules that wait)")
    same: dict[str, list[str]] = {}
    for use in ladder:
        if use.then is use.now:
            same.setdefault(use.now.value, []).append(f"{use.use} {_move(use)}")
            continue
        then = f"{use.then.value} ({use.bad_then}, {use.open_then})"
        now = f"{use.now.value} ({use.bad_now}, {use.open_now})"
        page.say(f"{use.use}: {then} -> {now}; moved by {use.says}", 2)
    for verdict, uses in same.items():
        page.say(f"{verdict}, as it was: {listed(uses)}", 2)


def _move(use: UseMoved) -> str:
    then, now = f"({use.bad_then}, {use.open_then})", f"({use.bad_now}, {use.open_now})"
    return now if then == now else f"{then} -> {now}"


# -- readings --------------------------------------------------------------------------------------------


def _readings(moved: Sequence[ReadingMoved], heading: str, page: Page) -> None:
    if not moved:
        return
    page.heading(f"{heading} ({len(moved)})")
    groups: dict[tuple[object, ...], list[ReadingMoved]] = {}
    for m in moved:
        key = (m.point, m.then, m.then_on, m.now, m.now_on, m.by, m.blocks, m.rules, m.work, m.note, m.why)
        groups.setdefault(key, []).append(m)
    for group in groups.values():
        _reading(group, page)


def _reading(group: Sequence[ReadingMoved], page: Page) -> None:
    first = group[0]
    places = listed(m.place_words for m in group if m.place_words != _WHOLE)
    where = f", {places}" if places else ""
    page.say(f"- {first.point}{where}: {_values(first)}", 2)
    for line in _about(first):
        page.say(line, 4)


def _values(m: ReadingMoved) -> str:
    now = f"{listed(m.now)} ({_when(m.now_on, m.by)})" if m.now else ""
    then = f"{listed(m.then)}{f' ({m.then_on})' if m.then_on else ''}" if m.then else ""
    if m.kind == "run out":
        return f"{m.why}; read {_when(m.now_on, m.by)}"
    if not now:
        return then or "no value"
    return f"{then} -> {now}" if then and (m.then, m.then_on) != (m.now, m.now_on) else now


def _when(on: str, by: str) -> str:
    return " by ".join(word for word in (on, by) if word) or "vehicle block"


def _about(m: ReadingMoved) -> list[str]:
    lines = []
    if m.by_itself:
        lines.append("better by itself: no work between; look again before you trust it")
    if m.work:
        lines.append(f"work between: {m.work}{'' if m.now else '; not looked at again yet'}")
    if m.rules and m.kind in ("new", "worse"):
        lines.append(f"{f'stops {m.blocks}' if m.blocks else 'puts limits or is watched'}: {listed(m.rules)}")
    elif m.rules and m.kind == "mended":
        lines.append(f"it failed: {listed(m.rules)}")
    elif m.rules:
        lines.append(f"{'fails' if m.state_now == 'fails' else 'failed then'}: {listed(m.rules)}")
    if m.note:
        lines.append(f"note: {m.note}")
    if m.why and m.kind != "run out":
        lines.append(m.why)
    return lines


def _short(moved: Sequence[ReadingMoved], heading: str, page: Page) -> None:
    """Points with their places and values, one paragraph."""
    if not moved:
        return
    page.heading(f"{heading} ({len(moved)})")
    points: dict[str, dict[str, list[str]]] = {}
    for m in moved:
        places = points.setdefault(m.point, {}).setdefault(listed(m.now), [])
        places += [] if m.place_words == _WHOLE else [m.place_words]
    said = []
    for point, values in points.items():
        parts = [f"{value}{f' ({listed(places)})' if places else ''}" for value, places in values.items()]
        said.append(f"{point}: {listed(parts)}")
    page.say("; ".join(said) + ".", 2, 0)


# -- results that no reading tells of ----------------------------------------------------------------------


def _results(found: Compared, page: Page) -> None:
    silent = [r for r in found.results if not r.by_reading]
    groups: dict[str, list[ResultMoved]] = {}
    for result in silent:
        groups.setdefault(_by(result), []).append(result)
    for words, results in groups.items():
        page.heading(f"MOVED BY {words} ({counted(len(results), 'result')})")
        for r in results:
            where = "" if r.place_words == _WHOLE else f", {r.place_words}"
            step = f", step '{r.step}'" if r.step else ""
            states = f"{r.state_then or 'not judged'} -> {r.state_now or 'not judged'}"
            page.say(f"- {r.title}{where} ({r.rule}{step}; {r.source} {r.clause}): {states}", 2)
            for line in r.values:
                page.say(line, 4)


def _by(result: ResultMoved) -> str:
    names = {"day": "THE DAY", "vehicle": "WHAT WAS FOUND AND DONE", "rules": "THE RULES"}
    words = [names[factor] for factor in result.moved_by]
    if result.together:
        return " AND ".join(words) + ", TOGETHER"
    return f"{words[0]} ALONE" if len(words) == 1 else " OR ".join(words)


# -- never looked at, notes, watch -------------------------------------------------------------------------


def _never(found: Compared, page: Page) -> None:
    if not found.never:
        return
    page.heading(
        f"NEVER LOOKED AT, AND {listed(found.shown_for)} ASKS FOR IT ({counted(found.never_now, 'reading')}, "
        f"{found.never_then} then)"
    )
    groups: dict[str, list[NeverLine]] = {}
    for line in found.never:
        groups.setdefault(line.access_words, []).append(line)
    for access, lines in groups.items():
        said = [f"{line.point}{f' ({len(line.at)} places)' if len(line.at) > 1 else ''}" for line in lines]
        page.say(f"{capital(access)}: {listed(said)}.", 2)
        for line in lines:
            for reason in line.reasons:
                page.say(f"{line.point}: {reason}", 4)
    page.say(f"How to take them: {command('sheet', found)}", 2)


def command(verb: str, found: Compared) -> str:
    """The command line of another verb for the same file and the use that comes next."""
    return f"precheck {verb} {shlex.quote(found.file)} --for {found.next_use}"


def _notes(notes: Sequence[NoteLine], heading: str, page: Page) -> None:
    if notes:
        page.heading(f"{heading} ({len(notes)})")
    for note in notes:
        page.say(f"- {_when(note.on, note.by)}, {note.about}: {note.text} (line {note.line})", 2)


def _found(found: Compared, page: Page) -> None:
    if not found.find:
        return
    _notes(found.found, f"NOTES WITH '{found.find}'", page)
    if not found.found:
        page.heading(f"NOTES WITH '{found.find}' (0)")
        page.say("None in this file, up to the day.", 2)


def _watch(found: Compared, page: Page) -> None:
    if found.watch:
        page.heading(f"WATCH ({len(found.watch)})")
    for line in found.watch:
        page.say(f"- {'' if line.since else 'as before: '}{line.words}", 2)


def _ending(found: Compared, page: Page) -> None:
    page.heading("WHAT THIS IS NOT")
    page.say(
        "This compares the owner's own pre-checks. It is no inspection, and it gives no right to drive. "
        "Local inspection law and licensed inspectors decide.",
        2,
    )
    rules = found.rules_digest
    if found.rules_moved:
        rules = f"{rules} now, {found.rules_digest_then} then"
    page.say(f"precheck {found.version}, rules {rules}", 2)
