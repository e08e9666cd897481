"""Anything that has an id, as plain lines: points, facts, rules, sources, uses, places, work, cautions."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence

from precheck.answer.bearing import bears
from precheck.answer.changes import changed_of
from precheck.answer.coverage import rule_lines
from precheck.answer.findings import limit_words
from precheck.answer.gaps import lasts_words
from precheck.model.catalogue import Derived, Point, Source, Use
from precheck.model.parts import PAIR_WORDS, PartKind
from precheck.model.rules import Cite, Effects, Part, Rule
from precheck.read.quantity import format_quantity
from precheck.rulebook.book import Rulebook
from precheck.rulebook.places import all_places

Table = tuple[tuple[str, ...], Sequence[tuple[str, ...]]]


def listing(book: Rulebook, what: str) -> Table:
    """Headings and rows of one list; `what` is a key of LISTS."""
    return LISTS[what](book)


def describe(book: Rulebook, name: str) -> list[tuple[str, str]]:
    """(label, text) lines for an id; empty where nothing has it."""
    if name in book.rules:
        return list(_rule(book, book.rules[name]))
    if name in book.points:
        return list(_point(book, book.points[name]))
    if name in book.derived:
        return list(_derived(book, book.derived[name]))
    if name in book.sources:
        return list(_source(book, book.sources[name]))
    if name in book.uses:
        return list(_use(book, book.uses[name]))
    return list(_small(book, name))


def known_ids(book: Rulebook) -> list[str]:
    groups = (
        book.rules, book.points, book.derived, book.sources, book.uses, book.families, book.works,
        book.cautions, book.regions, book.parts, book.hands,
    )  # fmt: skip
    return [name for group in groups for name in group]


# -- lists ------------------------------------------------------------------------------------


def _points(book: Rulebook) -> Table:
    rows = [(p.id, p.system, p.family, p.access) for p in book.points.values() if not p.fact]
    return ("point", "system", "at", "access"), rows


def _facts(book: Rulebook) -> Table:
    rows = [
        (p.id, p.question, " / ".join(p.states) or p.dimension or p.kind.value, p.default or "")
        for p in book.points.values()
        if p.fact
    ]
    return ("fact", "question", "answers", "if not said"), rows


def _rules(book: Rulebook) -> Table:
    rows = [(r.id, r.title, r.system, f"{r.source} {r.cites[0].clause}") for r in book.rules.values()]
    return ("rule", "title", "system", "cited"), rows


def _sources(book: Rulebook) -> Table:
    rows = []
    for source in book.sources.values():
        clauses = [c for c in book.clauses if c.source == source.id]
        ruled = sum(1 for c in clauses if c.rules)
        rules = sum(1 for r in book.rules.values() if r.source == source.id)
        rows.append(
            (source.id, source.kind, source.region or "any", str(rules), f"{ruled} of {len(clauses)}")
        )
    return ("source", "kind", "region", "rules", "clauses with rules"), rows


def _uses(book: Rulebook) -> Table:
    rows = [
        (
            u.id,
            u.words,
            "side use" if u.side else "rung",
            str(len(u.must_look)),
            "" if u.floor_complete else "pending",
        )
        for u in book.uses.values()
    ]
    return ("use", "words", "kind", "must look", "floor"), rows


def _places(book: Rulebook) -> Table:
    rows = [(f.id, f.kind, f.words, ", ".join(p.id for p in all_places(f))) for f in book.families.values()]
    return ("family", "kind", "words", "places"), rows


def _cautions(book: Rulebook) -> Table:
    return ("caution", "text"), [(c.id, c.text) for c in book.cautions.values()]


def _parts(book: Rulebook) -> Table:
    return ("part", "words", "for findings of"), [
        (p.id, p.words, ", ".join(p.points)) for p in book.parts.values()
    ]


def _part(part: PartKind) -> Iterator[tuple[str, str]]:
    yield "part", part.id
    yield "what", part.words
    yield "for findings of", ", ".join(part.points)
    yield "one each at", part.family
    yield "the counter asks", ", ".join(part.quote)
    yield "renewed together", PAIR_WORDS[part.pair]
    yield "buy with it", "; ".join(part.buy)
    yield "compare before fitting", "; ".join(part.compare)
    yield "known by", part.checked


def _work(book: Rulebook) -> Table:
    rows = [(w.id, w.words, "event" if w.event else "work") for w in book.works.values()]
    return ("work", "words", "kind"), rows


def _regions(book: Rulebook) -> Table:
    return ("region", "words", "includes"), [
        (r.id, r.words, ", ".join(r.includes)) for r in book.regions.values()
    ]


LISTS: dict[str, Callable[[Rulebook], Table]] = {
    "points": _points,
    "facts": _facts,
    "rules": _rules,
    "sources": _sources,
    "uses": _uses,
    "places": _places,
    "work": _work,
    "parts": _parts,
    "cautions": _cautions,
    "regions": _regions,
}


# -- one thing --------------------------------------------------------------------------------

Lines = Iterator[tuple[str, str]]


def _point(book: Rulebook, point: Point) -> Lines:
    yield ("fact" if point.fact else "point", point.id)
    yield "what", point.observe
    yield "question", point.question
    yield "system", point.system
    if point.states:
        yield ("states, best first" if point.ordered else "states"), " / ".join(point.states)
    if point.unit:
        yield "unit", f"{point.unit.name} ({point.dimension})"
    yield "at", point.family
    access = book.access.get(point.access)
    yield "position", access.words if access else point.access
    yield "with", point.instrument
    yield "counts for", lasts_words(point)
    yield "ended by", ", ".join(book.works[w].words for w in sorted(book.ends.get(point.id, ())))
    if point.plausible:
        yield "asked back outside", _plausible(point)
    yield "nothing found means", point.clear or ""
    yield "if not said", point.default or ""
    yield "asked from", point.opens or ""
    yield "chain", point.chain or ""
    yield "about", point.about
    yield from rule_lines(book, point.id)


def _plausible(point: Point) -> str:
    assert point.plausible is not None
    ends = [
        "any" if e is None or point.unit is None else format_quantity(e, point.unit)
        for e in (point.plausible.low, point.plausible.high)
    ]
    return f"{ends[0]} to {ends[1]}"


def _derived(book: Rulebook, value: Derived) -> Lines:
    yield "derived value", value.id
    yield "what", value.words
    families = dict(value.gather)
    words = [f"{n} of {book.families[families[n]].words}" if n in families else n for n in value.inputs]
    optional = [
        f"{w} (if known)" if n in value.optional else w for n, w in zip(value.inputs, words, strict=True)
    ]
    yield "from", ", ".join(optional)
    yield "formula", value.formula
    yield "source", value.source
    yield "at", value.family
    yield from rule_lines(book, value.id)


def _rule(book: Rulebook, rule: Rule) -> Lines:
    yield "rule", rule.id
    yield "title", rule.title
    for cite in rule.cites:
        yield "cited", cite_words(book, cite)
    yield "requires", rule.requires
    for term in rule.applies:
        yield "applies where", f"{term.measure}: {term.written}"
    yield "at", rule.family
    for number, step in enumerate(rule.steps, 1):
        label = "limit" if len(rule.steps) == 1 else f"step {number}"
        yield label, condition_words(step.condition)
        for line in effect_lines(book, step.effects):
            yield "", line
    yield "chain", rule.chain or ""
    yield "the source says", rule.consequence
    yield "to do", rule.fix
    yield "cautions", " ".join(book.cautions[c].text for c in rule.cautions if c in book.cautions)
    for change in (changed_of(c, book) for c in book.changes if c.rule == rule.id):
        limit = f" to {change.limit} instead of {change.limit_was}" if change.limit else ""
        span = [f"{word} {day}" for word, day in (("from", change.since), ("until", change.until)) if day]
        by = f"by {change.by}" if change.by else ""
        yield "changed", ", ".join(part for part in (f"{change.kind}{limit}", *span, by) if part)
        yield "", f"because: {change.because}"
        yield "", f"{change.where}: {change.source}"
    yield "cases", f"precheck rules prove --all --rule {rule.id}"
    yield "file", f"{rule.file}:{rule.mark.line}"


def cite_words(book: Rulebook, cite: Cite) -> str:
    source = book.sources.get(cite.source)
    title = source.title if source else cite.source
    note = f"; {cite.note}" if cite.note else ""
    return f"{title}, {cite.clause} (checked: {cite.checked}{note})"


def condition_words(part: Part) -> str:
    """A condition as a sentence part."""
    tests = [f"{_measure(t.cell)} {t.written}" for t in part.tests]
    inner = [f"({condition_words(p)})" if p.parts else condition_words(p) for p in part.parts]
    words = (" or " if part.any_of else " and ").join([*tests, *inner])
    terms = " and ".join(f"{t.measure} {t.written}" for t in part.applies)
    return f"{words} (where {terms})" if terms else words


def _measure(cell: str) -> str:
    name, _, rest = cell.partition("|")
    if not rest or rest.startswith("less "):
        return name
    take, _, over = rest.split("|")[0].partition(":")
    return f"{take} of {name} over {over.split(':')[0]}"


def effect_lines(book: Rulebook, effects: Effects) -> Iterator[str]:
    if effects.lowest_block:
        yield f"failing blocks {bears(effects.blocks, book)}"
    for use, limits in effects.limits:
        yield f"failing limits {use}: {'; '.join(limit_words(limit, book) for limit in limits)}"
    if effects.lowest_ask:
        yield f"asked from {effects.lowest_ask}"


def _source(book: Rulebook, source: Source) -> Lines:
    yield "source", source.id
    yield "title", source.title
    yield "kind", source.kind
    yield "publisher", source.publisher
    yield "edition", source.edition
    yield "address", source.address
    yield "region", source.region or "any"
    yield "binds", source.binds
    yield "service", source.service or ""
    if source.by_name:
        yield "judges", "only when it is chosen by name"
    yield "note", source.note
    clauses = [c for c in book.clauses if c.source == source.id]
    ruled = [c for c in clauses if c.rules]
    yield "coverage", f"{len(ruled)} of {len(clauses)} clauses have rules"
    for clause in clauses:
        state = ", ".join(clause.rules) if clause.rules else f"{clause.status}: {clause.why}"
        yield f"  {clause.clause}", f"{clause.words} -> {state}"


def _use(book: Rulebook, use: Use) -> Lines:
    yield ("side use" if use.side else "use"), use.id
    yield "what", use.words
    yield "includes", ", ".join(use.includes)
    yield "limits", "; ".join(limit_words(limit, book) for limit in use.limits)
    yield "lifts", ", ".join(use.lifts)
    if not use.floor_complete:
        yield "floor", "not all written yet: no GO is given for it"
    yield "must look", str(len(use.must_look))
    for name in use.must_look:
        point = book.points[name]
        today = " (on the day)" if name in use.same_day else ""
        yield f"  {name}", f"{point.question if point.fact else point.observe}{today}"


def _small(book: Rulebook, name: str) -> Lines:
    if name in book.families:
        family = book.families[name]
        yield "places", family.id
        yield "what", family.words
        yield "kind", family.kind
        for place in all_places(family):
            when = " and ".join(f"{fact} is {' or '.join(words)}" for fact, words in place.when)
            short = f" ({place.short})" if place.short else ""
            yield f"  {place.id}", f"{place.words}{short}{f', where {when}' if when else ''}"
    elif name in book.works:
        work = book.works[name]
        yield ("event" if work.event else "work"), work.id
        yield "what", work.words
        yield "ends readings of", ", ".join(sorted(p for p, ends in book.ends.items() if name in ends))
        yield "look again at", ", ".join(work.again)
        for later in work.later:
            yield "and later", f"{later.point}, {later.words}"
        yield "besides", work.advice
    elif name in book.parts:
        yield from _part(book.parts[name])
    elif name in book.hands:
        hand = book.hands[name]
        yield "whose work", hand.words
        yield "for findings of", ", ".join(hand.points)
        yield "known by", hand.checked
    elif name in book.cautions:
        caution = book.cautions[name]
        yield "caution", caution.id
        yield "text", caution.text
        yield "source", f"{caution.source} (checked: {caution.checked})"
    elif name in book.regions:
        region = book.regions[name]
        yield "region", region.id
        yield "what", region.words
        yield "includes", ", ".join(region.includes)
        yield "who inspects", region.inspects
        yield "ask", region.ask
