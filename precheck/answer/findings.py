"""Units and results as findings for the record."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence

from precheck.answer.bearing import bears
from precheck.answer.changes import changed_of, plain_key, touched
from precheck.answer.evidence import evidence_of
from precheck.answer.judging import Judged
from precheck.answer.record import Finding
from precheck.engine.logic import BAD, BESIDE, LIMITED, weightiest
from precheck.engine.plan import Unit, UnitKey
from precheck.engine.results import Combined
from precheck.model.catalogue import Limit, Use
from precheck.rulebook.book import Rulebook
from precheck.rulebook.places import words_of_place


def weighs(key: UnitKey, uses: Sequence[Use], classes: Mapping[str, Mapping[UnitKey, str]]) -> str:
    """What a unit means for the uses asked, the weightiest first."""
    return weightiest(classes[use.id][key] for use in uses)


def limits_of(unit: Unit, uses: Sequence[Use], judged: Judged) -> tuple[Limit, ...]:
    """The limits that a limited unit puts on the uses asked."""
    out: list[Limit] = []
    for use in uses:
        if judged.results.classes[use.id][unit.key] == LIMITED:
            out += unit.effects.limits_at(use.id)
    return tuple(dict.fromkeys(out))


def finding(unit: Unit, uses: Sequence[Use], judged: Judged, book: Rulebook) -> Finding:
    rule = unit.rule
    cite = rule.cites[0]
    source = book.sources.get(cite.source)
    return Finding(
        rule=rule.id,
        title=rule.title,
        requires=rule.requires,
        step=step_words(unit),
        place=unit.place,
        place_words=words_of_place(book, unit.place),
        state=judged.results.states[unit.key].value,
        fine=judged.results.fine[unit.key],
        weighs=weighs(unit.key, uses, judged.results.classes),
        source=cite.source,
        source_title=source.title if source else "",
        clause=cite.clause,
        checked=cite.checked,
        cite_note=cite.note,
        consequence=rule.consequence,
        fix=rule.fix,
        chain=rule.chain or "",
        system=rule.system,
        blocks=unit.effects.lowest_block or "",
        bears=bears(unit.effects.blocks, book),
        limits=tuple(limit_words(limit, book) for limit in limits_of(unit, uses, judged)),
        cautions=rule.cautions,
        evidence=evidence_of(unit, judged.cells),
        changed=tuple(changed_of(c, book) for c in judged.selection.in_force if touched(unit, c)),
        state_without=judged.untouched.states[plain_key(unit, judged)].value,
        weighs_without=weighs(plain_key(unit, judged), uses, judged.untouched.classes),
    )


def step_words(unit: Unit) -> str:
    """Which step of a graded rule, by the limit it holds; empty for a plain rule."""
    if len(unit.rule.steps) == 1:
        return ""
    if unit.step.words:
        return unit.step.words
    return "; ".join(t.written for t in unit.step.condition.tests)


def limit_words(limit: Limit, book: Rulebook) -> str:
    kind = book.limit_kinds[limit.kind]
    return kind.words if kind.take == "flag" else f"{kind.words}: {limit.words}"


def combined_finding(combined: Combined, book: Rulebook) -> Finding:
    """A combination rule that fired, as a finding of the floor."""
    count = book.policy.combine
    requires = (
        f"Fewer than {count} limits of different rules on one chain ({combined.chain}): each was allowed on "
        "the premise that the rest of the chain is sound."
    )
    return Finding(
        rule=f"combined-limits-{combined.chain}",
        title=f"{len(combined.rules)} limits at once on what must {combined.chain.replace('-', ' ')}",
        requires=requires,
        step="",
        place="vehicle",
        place_words="the vehicle",
        state="fails",
        fine="fails",
        weighs=BAD,
        source="floor",
        source_title=book.sources["floor"].title if "floor" in book.sources else "",
        clause="combined-limits",
        checked="memory",
        cite_note="",
        consequence="",
        fix="Mend at least one of them.",
        chain=combined.chain,
        system="",
        blocks=next(u.id for u in book.rungs() if u.id in combined.blocks),
        bears=bears(combined.blocks, book),
        limits=(),
        cautions=(),
        evidence=(),
        combined_from=tuple(f"{book.rules[r].title} ({r})" if r in book.rules else r for r in combined.rules),
    )


def ordered(findings: Iterable[Finding], book: Rulebook) -> list[Finding]:
    """By what they block, lowest use first; then by rule and place as the rulebook has them."""
    ranks = {u.id: (u.rank, u.side) for u in book.uses.values()}
    rules = {name: i for i, name in enumerate(book.rules)}
    return sorted(
        findings, key=lambda f: (*ranks.get(f.blocks, (99, True)), rules.get(f.rule, -1), f.place, f.step)
    )


def worst_of_each(findings: Iterable[Finding], book: Rulebook) -> list[Finding]:
    """Of the failing steps of one rule at one place, the one that weighs most; all else as it is.

    What blocks stands before what limits, and that before what bears on other uses; among those, the
    step that blocks the lowest use.
    """
    ranks = {u.id: (u.rank, u.side) for u in book.uses.values()}
    order = (BAD, LIMITED, BESIDE)
    kept: dict[tuple[str, str], Finding] = {}
    for found in findings:
        if found.weighs not in order:
            continue
        key = (found.rule, found.place)
        other = kept.get(key)
        if other is None or _weight(found, order, ranks) < _weight(other, order, ranks):
            kept[key] = found
    return list(kept.values())


def _weight(
    found: Finding, order: Sequence[str], ranks: Mapping[str, tuple[int, bool]]
) -> tuple[int, int, bool]:
    return (order.index(found.weighs), *ranks.get(found.blocks, (99, True)))
