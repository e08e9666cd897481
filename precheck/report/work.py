"""The work on a vehicle in plain text: repairs in order, what may wait, parts, what to look at again."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from itertools import groupby

from precheck.answer.mending import AfterWork, AskedBy, FoundLine, LookAgain, Repair, Waits, WorkAnswer
from precheck.report.findings import CHECKED
from precheck.report.lines import Page, counted, listed
from precheck.report.missing import Cautions
from precheck.report.putoff import put_off_section
from precheck.report.work_parts import KNOWN, parts_section

_KINDS = {
    "limits": "Only puts limits",
    "other use": "Stands against other uses only",
    "watch": "Holds up no use; watch it",
    "ahead": "Meets now, and will not by age alone",
    "change": "Accepted, loosened or set aside, and only for a time",
}


def render(found: WorkAnswer, width: int = 80, *, letters: bool = False, parts_only: bool = False) -> str:
    """The record as text. `parts_only`: the list for the counter alone."""
    page = Page(width, letters)
    lay_out(found, page, parts_only)
    return page.text()


def lay_out(found: WorkAnswer, page: Page, parts_only: bool = False) -> None:
    """Everything there is to say, in order."""
    cautions = Cautions(found.cautions)
    _head(found, page)
    if found.asked_after:
        for work in found.asked_after:
            _asked_after(work, page)
        _cautions(cautions, page)
    elif parts_only:
        parts_section(found.parts, page)
    else:
        _repairs(found, cautions, page)
        _waits(found, page)
        put_off_section(found, page)
        parts_section(found.parts, page)
        _open_work(found.open_work, page)
        _cautions(cautions, page)
    _ending(found, page)


def _head(found: WorkAnswer, page: Page) -> None:
    page.say(f"Day: {found.day} ({'given with --on' if found.day_given else 'today'})")
    if found.called:
        page.say(f"Vehicle: {found.called}")
    page.say(f"File: {found.file}")
    if found.asked_after:
        page.say("Asked: what this work would make void; nothing is written.")
        return
    named = listed(found.uses) if found.uses else "none named"
    page.say(f"Use: {named}; told about {listed(found.target)}")
    page.blank()
    page.say(found.headline)
    for notice in found.notices:
        page.say(f"Note: {notice}", 2)


# -- what to mend ---------------------------------------------------------------------------------


def _repairs(found: WorkAnswer, cautions: Cautions, page: Page) -> None:
    target = listed(found.target)
    if not found.repairs:
        page.heading(f"NOTHING THAT IS KNOWN STANDS AGAINST {target}")
        page.say("What was not looked at may still do so: ask the gate, and see the sheet.", 2)
        return
    page.heading(f"WHAT TO MEND FIRST, FOR {target} ({counted(len(found.repairs), 'repair')})")
    page.say("Left and right are those of the seated driver.", 2)
    for (use, position), group in groupby(found.repairs, key=lambda r: (r.use, r.position_words)):
        here = list(group)
        page.blank()
        where = f"; {position}" if position else ""
        page.say(f"Holds up {use}{where} ({len(here)}):", 2)
        cautions.before((name for r in here for name in r.cautions), page, 4)
        for repair in here:
            _repair(repair, page)
    if found.missing:
        page.blank()
        page.say(
            f"When all of this is mended, {counted(found.missing, 'reading is', 'readings are')} still "
            f"missing for {target}.",
            2,
        )


def _repair(repair: Repair, page: Page) -> None:
    indent = 6
    where = f" - {listed(repair.where)}" if repair.where else ""
    page.blank()
    page.say(f"Repair {repair.number}: {repair.title}{where}", 4)
    _found(repair.found, page, indent)
    for words in repair.what:
        page.say(f"To do: {words}", indent)
    if repair.together:
        page.say(f"Together with it: {listed(repair.together)}; both sides alike.", indent)
    elif repair.pair == "match":
        page.say("The new one must be like the other of its axle.", indent)
    for words in repair.hands:
        page.say(f"Whose work: {words}", indent)
    if len(repair.uses) > 1:
        page.say(f"Holds up: {listed(repair.uses)}", indent)
    _asked_by(repair.asked_by, page, indent)
    if repair.beside:
        names = listed(str(number) for number in repair.beside)
        page.say(f"In the same position: {names}", indent)
    if repair.done:
        page.say(f"When it is done, write: {repair.done}", indent)


def _found(lines: Sequence[FoundLine], page: Page, indent: int) -> None:
    """The readings as written; places that read alike together."""
    groups: dict[tuple[str, str], list[str]] = {}
    for line in lines:
        where = groups.setdefault((line.point, _reading(line)), [])
        if line.place != "vehicle":
            where.append(line.place_words)
    for (point, words), places in groups.items():
        page.say(f"Found: {point}{f', {listed(places)}' if places else ''}: {words}", indent)


def _reading(line: FoundLine) -> str:
    """The values as written, with who took them how."""
    who = f" by {line.by}" if line.by else ""
    when = f" on {line.on}" if line.on else ""
    tool = f" with {line.instrument}" if line.instrument else ""
    known = KNOWN.get(line.known, line.known)
    note = f"; note: {line.note}" if line.note else ""
    taken = f" ({known}{who}{when}{tool}{note})" if line.known else ""
    return f"{listed(line.written) or 'no value'}{taken}"


def _asked_by(asked: Sequence[AskedBy], page: Page, indent: int) -> None:
    """Each rule once, with its places where it is not about all of them alike."""
    for group in _by_rule(asked):
        first = group[0]
        places = listed(a.place_words for a in group if a.place != "vehicle")
        needs = f" wants {'; '.join(first.needs)}" if first.needs else ""
        where = f", {places}" if places and len({a.place for a in asked}) > 1 else ""
        blocks = f"stands against {first.bears}" if first.blocks else "holds up no use"
        page.say(f"Asked by: {_source(first)}: {first.rule}{where}{needs}; {blocks}", indent)
        for line in group:
            if line.close:
                page.say(f"Close call{_at(line)}: {line.close}", indent)


def _at(asked: AskedBy) -> str:
    return f", {asked.place_words}" if asked.place != "vehicle" else ""


def _by_rule(asked: Iterable[AskedBy]) -> list[list[AskedBy]]:
    groups: dict[tuple[str, str], list[AskedBy]] = {}
    for line in asked:
        groups.setdefault((line.rule, line.step), []).append(line)
    return list(groups.values())


def _source(asked: AskedBy) -> str:
    if asked.source == "floor":
        return f"the floor ({asked.clause}; common practice, {_checked(asked)})"
    return f"{asked.source_title or asked.source}, {asked.clause} ({asked.kind}; {_checked(asked)})"


def _checked(asked: AskedBy) -> str:
    return "from memory" if asked.checked == "memory" else CHECKED.get(asked.checked, asked.checked)


# -- what may wait ----------------------------------------------------------------------------------


def _waits(found: WorkAnswer, page: Page) -> None:
    if not found.waits:
        return
    page.heading(f"WHAT MAY WAIT, AND UNTIL WHEN ({len(found.waits)})")
    for kind, group in groupby(found.waits, key=lambda w: w.kind):
        here = list(group)
        page.blank()
        page.say(f"{_KINDS[kind]} ({len(here)}):", 2)
        for wait in here:
            _wait(wait, page)
    if found.horizon:
        page.blank()
        page.say(
            f"Looked ahead to {found.horizon}, the readings taken as they are. Wear, rust and leaks give no "
            "date: look again.",
            2,
        )


def _wait(wait: Waits, page: Page) -> None:
    where = f" - {listed(wait.where)}" if wait.where else ""
    page.say(f"- {wait.title}{where}: {wait.until}", 4)
    _found(wait.found, page, 6)
    if wait.kind in ("ahead", "change"):
        for words in wait.then:
            page.say(f"From then: {words}", 6)
    if wait.limits:
        page.say(f"Until then only within: {'; '.join(wait.limits)}", 6)
    if wait.kind not in ("ahead", "change") and wait.day:
        page.say(f"The reading counts through {wait.day}; then look again.", 6)
    lead = "If it gets worse" if wait.kind == "watch" else "To do then"
    for words in wait.what:
        page.say(f"{lead}: {words}", 6)
    for words in wait.hands:
        page.say(f"Whose work: {words}", 6)
    _asked_by(wait.asked_by, page, 6)


# -- after work ----------------------------------------------------------------------------------------


def _open_work(works: Sequence[AfterWork], page: Page) -> None:
    if not works:
        return
    page.heading(f"DONE, AND NOT LOOKED AT AGAIN YET ({len(works)})")
    for work in works:
        at = f" - {listed(work.places)}" if work.places else ""
        page.blank()
        page.say(f"{work.on}: {work.words}{at} ({work.work})", 2)
        _looks(work, page)


def _asked_after(work: AfterWork, page: Page) -> None:
    at = f" - {listed(work.places)}" if work.places else ""
    page.heading(f"AFTER THIS WORK: {work.words}{at} ({work.work})")
    _looks(work, page, "Would make void")


def _looks(work: AfterWork, page: Page, void: str = "Made void, and not taken again") -> None:
    if work.advice:
        page.say(work.advice, 4)
    if work.voids:
        page.say(f"{void} ({len(work.voids)}):", 4)
        for look in work.voids:
            page.say(f"- {_look(look)}", 6)
    if work.again:
        page.say(f"Look at again ({len(work.again)}):", 4)
    for position, group in groupby(work.again, key=lambda look: (look.when, look.position_words)):
        when, where = position
        page.say(f"{where}{f'; {when}' if when else ''}:", 6)
        for look in group:
            page.say(f"- {_look(look)}", 8)


def _look(look: LookAgain) -> str:
    at = f" - {listed(look.places)}" if look.places else ""
    tool = f"; with {look.instrument}" if look.instrument else ""
    was = f"; was {'; '.join(look.was)}" if look.was else ""
    return f"{look.point}{at}: {look.words}{tool}{was}"


# -- the end ---------------------------------------------------------------------------------------------


def _cautions(cautions: Cautions, page: Page) -> None:
    if cautions.left:
        page.heading(f"CAUTIONS ({cautions.left})")
        cautions.remaining(page, 2)
    cautions.unsourced(page)


def _ending(found: WorkAnswer, page: Page) -> None:
    page.heading("WHAT THIS IS NOT")
    page.say("An order of work from the owner's own record. It is no inspection and no repair manual.", 2)
    page.say("Parts and pairs are common practice, from memory; the vehicle's own handbook goes before.", 2)
    if found.region:
        page.say(f"Here ({found.region}): {found.inspects} {found.ask}", 2)
    page.say(f"precheck {found.version}, rules {found.rules_digest}", 2)
    if not found.asked_after:
        page.blank()
        page.say(found.headline)
