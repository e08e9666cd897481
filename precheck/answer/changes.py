"""What local rule files and acceptances did to this answer, beside the result without them."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import date

from precheck.answer.judging import Judged
from precheck.answer.record import Changed, ChangedPlace, ChangeLine
from precheck.engine.logic import BAD, LIMITED, OPEN, weightiest
from precheck.engine.plan import Unit, UnitKey
from precheck.model.catalogue import Use
from precheck.model.changes import Change, ChangeKind, Standing
from precheck.model.document import Document
from precheck.rulebook.book import Rulebook
from precheck.rulebook.changes import limit_words, plain_tests
from precheck.rulebook.places import words_of_place

AGAINST = (BAD, OPEN, LIMITED)
NOT_HERE = "its rule does not judge here"
_DONE = {
    ChangeKind.TIGHTEN: "tightened",
    ChangeKind.LOOSEN: "loosened",
    ChangeKind.SET_ASIDE: "set aside",
    ChangeKind.ACCEPT: "accepted",
}


def change_lines(
    judged: Judged, document: Document, book: Rulebook, uses: Sequence[Use], day: date
) -> tuple[ChangeLine, ...]:
    """Every change of the files and the document, in force or not."""
    found = (*book.changes, *document.accepted)
    return tuple(_line(change, judged, book, uses, day) for change in found)


def _line(change: Change, judged: Judged, book: Rulebook, uses: Sequence[Use], day: date) -> ChangeLine:
    rule = book.rules[change.rule]
    standing = change.on(day).value
    if change.on(day) is Standing.IN_FORCE and change not in judged.selection.in_force:
        standing = NOT_HERE
    live = standing == Standing.IN_FORCE.value
    units = [u for u in judged.units if touched(u, change)] if live else []
    effects = [_effect(u, judged, book, uses) for u in units]
    changed = changed_of(change, book)
    return ChangeLine(
        rule=rule.id,
        title=rule.title,
        standing=standing,
        uses=change.uses,
        covers=len({u.place for u in units}),
        effects=tuple(e for e in effects if (e.state, e.weighs) != (e.state_without, e.weighs_without)),
        change=changed,
    )


def changed_of(change: Change, book: Rulebook) -> Changed:
    """A change as it is shown: what was done, where it is written, why, by whom, for how long."""
    source = book.sources.get(change.source)
    was = limit_words(plain_tests(book.rules[change.rule].steps[change.step])) if change.tests else ""
    return Changed(
        kind=_DONE[change.kind],
        where=change.where,
        because=change.because,
        by=change.by,
        since=str(change.start) if change.start else "",
        until=str(change.until) if change.until else "",
        source=source.title if source else "",
        step=change.step + 1 if change.tests and len(book.rules[change.rule].steps) > 1 else 0,
        limit=limit_words(change.tests or ()),
        limit_was=was,
    )


def touched(unit: Unit, change: Change) -> bool:
    """Whether a change bears on a unit: its rule, and its step or place where the change names one."""
    if unit.rule.id != change.rule:
        return False
    if change.kind is ChangeKind.ACCEPT:
        return unit.place in change.places
    if change.kind is ChangeKind.TIGHTEN:
        return unit.number == len(unit.rule.steps) - 1  # the step that was put beside the old one
    return change.tests is None or unit.number == change.step


def plain_key(unit: Unit, judged: Judged) -> UnitKey:
    """The key under which a unit stands in what is judged without changes."""
    if unit.key in judged.untouched.states:
        return unit.key
    old = next(c for c in judged.selection.in_force if c.kind is ChangeKind.TIGHTEN and touched(unit, c))
    return (unit.rule.id, unit.place, old.step)


def _effect(unit: Unit, judged: Judged, book: Rulebook, uses: Sequence[Use]) -> ChangedPlace:
    key, without, names = unit.key, plain_key(unit, judged), [use.id for use in uses]
    return ChangedPlace(
        place=unit.place,
        place_words=words_of_place(book, unit.place),
        step=without[2] + 1 if len(book.rules[unit.rule.id].steps) > 1 else 0,
        state=judged.results.states[key].value,
        weighs=weightiest(judged.results.classes[name][key] for name in names),
        state_without=judged.untouched.states[without].value,
        weighs_without=weightiest(judged.untouched.classes[name][without] for name in names),
    )


def leaned_on(judged: Judged, uses: Sequence[Use]) -> str:
    """What of the verdict for these uses leans on changes that loosen, in words; empty where nothing."""
    names = [use.id for use in uses]
    counted: dict[ChangeKind, set[tuple[str, str]]] = {}
    for change in judged.selection.in_force:
        if change.kind is ChangeKind.TIGHTEN:
            continue
        for unit in (u for u in judged.units if touched(u, change)):
            plain = plain_key(unit, judged)
            without = weightiest(judged.untouched.classes[name][plain] for name in names)
            now = weightiest(judged.results.classes[name][unit.key] for name in names)
            if without in AGAINST and now != without:
                place = unit.place if change.kind is ChangeKind.ACCEPT else ""
                counted.setdefault(change.kind, set()).add((unit.rule.id, place))
    parts = [_count(kind, len(counted[kind])) for kind in reversed(ChangeKind) if kind in counted]
    return " and ".join([", ".join(parts[:-1]), parts[-1]] if len(parts) > 1 else parts)


def _count(kind: ChangeKind, number: int) -> str:
    if kind is ChangeKind.ACCEPT:
        return f"{number} accepted finding{'s' if number != 1 else ''}"
    return f"{number} rule{'s' if number != 1 else ''} {_DONE[kind]}"


def notices(lines: Iterable[ChangeLine]) -> tuple[str, ...]:
    """A line for each change that does nothing on this day, with the reason."""
    out = []
    for line in lines:
        change = line.change
        when = {
            Standing.ENDED.value: f"ended on {change.until}",
            Standing.NOT_YET.value: f"starts on {change.since}",
            NOT_HERE: "is for a rule that does not judge here",
        }.get(line.standing)
        if when:
            out.append(
                f"{change.where}: {line.rule} {change.kind}: this {when}, so it does nothing on this day."
            )
    return tuple(out)
