"""Checks across the whole rulebook: every name leads somewhere, nothing asks for the impossible."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping

from precheck.model.catalogue import VEHICLE, Point
from precheck.model.problem import Mark, Problem
from precheck.model.rules import Part, Rule, Step, Test
from precheck.read.near import near
from precheck.read.shape import Shape
from precheck.rulebook import parts
from precheck.rulebook.book import Rulebook
from precheck.rulebook.places import all_places

Found = tuple[str, Mark, str, str, str, tuple[str, ...]]


def check(book: Rulebook, shapes: Mapping[str, Shape]) -> tuple[Problem, ...]:
    """Every problem, each at its file; those of a rule at the rule's line."""
    out = []
    for file, mark, code, found, expected, close in (
        *_points(book),
        *_places(book),
        *_lists(book),
        *_words(book),
        *_parts(book),
        *_uses(book),
        *_rules(book),
        *_registers(book),
    ):
        text = shapes[file].source.line(mark) if file in shapes else ""
        out.append(Problem(file, mark, code, found, expected, "", close, text))
    return tuple(out)


_TOP = Mark(1, 1)


def _missing(
    file: str, mark: Mark, what: str, names: Iterable[str], known: Iterable[str], where: str
) -> Iterator[Found]:
    """One finding for each name that is not known."""
    choices = list(known)
    for name in names:
        if name not in choices:
            yield file, mark, "unknown-name", f"{where}: no {what} '{name}'", f"a {what}", near(name, choices)


def _file_of(point: Point) -> str:
    return "rules/facts.yaml" if point.fact else f"rules/points/{point.system}.yaml"


def _points(book: Rulebook) -> Iterator[Found]:
    families = {VEHICLE, *book.families}
    for point in book.points.values():
        file, where = _file_of(point), point.id
        yield from _missing(file, _TOP, "family of places", [point.family], families, where)
        yield from _missing(file, _TOP, "access position", [point.access], book.access, where)
        yield from _missing(file, _TOP, "work or event", point.ends, book.works, where)
        yield from _missing(file, _TOP, "caution", point.cautions, book.cautions, where)
        if point.opens is not None:
            yield from _missing(file, _TOP, "use", [point.opens], book.uses, where)
            if not point.states:
                yield file, _TOP, "fact", f"{where} is asked and has no states", "kind: states", ()
    for value in book.derived.values():
        file = "rules/derived.yaml"
        names = {*book.points, *book.derived}
        yield from _missing(file, _TOP, "point", value.inputs, names, value.id)
        yield from _missing(file, _TOP, "family of places", [value.family], families, value.id)
        gather = dict(value.gather)
        yield from _missing(file, _TOP, "family of places", gather.values(), families, value.id)
        for name in value.inputs:
            if name in names and not _readable(book, gather.get(name, value.family), name):
                found = f"{value.id}: {name} is taken at '{book.family_of(name)}'"
                yield file, _TOP, "place", found, "a family it can be read at; gather: for several places", ()


def _places(book: Rulebook) -> Iterator[Found]:
    for family in book.families.values():
        for place in all_places(family):
            where = f"{family.id}: {place.id}"
            for fact, words in place.when:
                point = book.points.get(fact)
                if point is None or not point.fact:
                    yield (
                        "rules/places.yaml",
                        _TOP,
                        "unknown-name",
                        f"{where}: no fact '{fact}'",
                        "a fact",
                        (),
                    )
                    continue
                yield from _missing("rules/places.yaml", _TOP, f"state of {fact}", words, point.states, where)
                first = book.rungs()[0].id
                if point.default is None and point.opens != first:
                    yield (
                        "rules/places.yaml",
                        _TOP,
                        "place-fact",
                        f"{where} hangs on {fact}, which may stay unknown unnoticed",
                        f"a default, or asks: {first}",
                        (),
                    )


def _lists(book: Rulebook) -> Iterator[Found]:
    """A listed family without a list for some class would silently have no places there."""
    classes = book.points["vehicle-class"].states if "vehicle-class" in book.points else ()
    for family in book.families.values():
        lists = {name for name, _ in family.by_class}
        lacking = [c for c in classes if c not in lists] if "any" not in lists else []
        if family.kind == "listed" and lacking:
            found = f"{family.id} has no list for {', '.join(lacking)}"
            yield (
                "rules/places.yaml",
                _TOP,
                "listed-family",
                found,
                "a list for each class, or any: [...]",
                (),
            )


def _words(book: Rulebook) -> Iterator[Found]:
    for work in book.works.values():
        yield from _missing(
            "rules/work.yaml",
            _TOP,
            "point",
            (*work.voids, *work.again, *(x.point for x in work.later)),
            book.points,
            work.id,
        )
    for region in book.regions.values():
        yield from _missing("rules/regions.yaml", _TOP, "region", region.includes, book.regions, region.id)
    for source in book.sources.values():
        if source.region is not None and not source.own:
            yield from _missing(
                "rules/sources.yaml", _TOP, "region", [source.region], book.regions, source.id
            )
    for access in book.access.values():
        yield from _missing("rules/places.yaml", _TOP, "caution", access.cautions, book.cautions, access.id)
        if access.needs is not None:
            yield from _missing("rules/places.yaml", _TOP, "use", [access.needs], book.uses, access.id)


def _parts(book: Rulebook) -> Iterator[Found]:
    """Words of rules/parts.yaml; an added file cannot change them."""
    known: dict[str, Iterable[str]] = {"point": book.points, "family of places": book.families}
    for where, what, name in parts.wrong(book):
        yield from _missing(parts.FILE, _TOP, what, [name], known[what], where)
    for where, found in parts.twice(book):
        yield parts.FILE, _TOP, "part-twice", f"{where}: {found}", "a point in one part only", ()


def _uses(book: Rulebook) -> Iterator[Found]:
    file = "rules/uses.yaml"
    asked = _asked(book)
    for use in book.uses.values():
        yield from _missing(file, _TOP, "use", use.includes, book.uses, use.id)
        yield from _missing(file, _TOP, "point", use.must_look, book.points, use.id)
        yield from _missing(file, _TOP, "entry of must-look", use.same_day, use.must_look, use.id)
        for name in use.must_look:
            if name in book.points and name not in asked.get(use.id, ()):
                yield (
                    file,
                    _TOP,
                    "must-look",
                    f"{use.id}: no floor rule asks for {name}",
                    "a rule that asks it",
                    (),
                )
        if use.must_look:
            for name in sorted(asked.get(use.id, set()) - set(use.must_look)):
                yield file, _TOP, "must-look", f"{use.id}: {name} is asked and not listed", "an entry", ()


def _asked(book: Rulebook) -> dict[str, set[str]]:
    """For each use, the points and facts without which floor rules leave it open."""
    out: dict[str, set[str]] = {}
    for rule in book.rules.values():
        if not rule.floor:
            continue
        for step in rule.steps:
            names = _leaves(book, _wanted(step.condition))
            for name in step.effects.asks:
                out.setdefault(name, set()).update(names)
    for point in book.points.values():
        if point.opens:
            for use in book.uses.values():
                if use.rank >= book.uses[point.opens].rank:
                    out.setdefault(use.id, set()).add(point.id)
    return out


def _first_tests(part: Part) -> Iterator[Test]:
    """The tests a reading is always wanted for: all of an all-of, only the first branch of an any-of."""
    yield from part.tests
    for inner in part.parts[:1] if part.any_of else part.parts:
        yield from _first_tests(inner)


def _wanted(part: Part) -> set[str]:
    """The values a condition always wants, those that set its limits included."""
    tests = list(_first_tests(part))
    return {t.measure for t in tests} | {t.bound.of for t in tests if t.bound}


def _leaves(book: Rulebook, names: Iterable[str]) -> set[str]:
    out = set()
    for name in names:
        derived = book.derived.get(name)
        point = book.points.get(name)
        if derived:
            out |= _leaves(book, (i for i in derived.inputs if i not in derived.optional))
        elif point is None or point.default is None:  # a fact with a default is never missing
            out.add(name)
    return out


def _rules(book: Rulebook) -> Iterator[Found]:
    families = {VEHICLE, *book.families}
    single = {p.id for f in book.families.values() for p in all_places(f)}
    for rule in book.rules.values():
        where = rule.id
        here = (rule.file, rule.mark)
        yield from _missing(*here, "source", [c.source for c in rule.cites], book.sources, where)
        yield from _missing(*here, "caution", rule.cautions, book.cautions, where)
        yield from _missing(*here, "family or place", [rule.family], {*families, *single}, where)
        for number, step in enumerate(rule.steps, 1):
            yield from _step(book, rule, number, step)
        known = rule.family in families or rule.family in single
        for test in _tests(rule):
            yield from _test(book, rule, test, known)


def _tests(rule: Rule) -> Iterator[Test]:
    yield from rule.applies
    for step in rule.steps:
        yield from _all_tests(step.condition)


def _all_tests(part: Part) -> Iterator[Test]:
    yield from part.applies
    yield from part.tests
    for inner in part.parts:
        yield from _all_tests(inner)


def _test(book: Rulebook, rule: Rule, test: Test, known: bool) -> Iterator[Found]:
    """`known`: whether the place of the rule is one; if not, that alone is told."""
    here = (rule.file, rule.mark)
    names = {*book.points, *book.derived}
    if test.bound:
        yield from _missing(*here, "point", [test.bound.of], names, rule.id)
        words = [row.word for row in test.bound.rows if row.word is not None]
        point = book.points.get(test.bound.of)
        yield from _missing(*here, "state", words, point.states if point else (), rule.id)
    if test.over:
        yield from _missing(*here, "family of places", [test.over.family], book.families, rule.id)
    reads = [test.measure] if known and not test.over else []
    reads += [test.bound.of] if known and test.bound and test.bound.of in names else []
    for name in reads:
        if not _readable(book, rule.family, name):
            family = book.family_of(name)
            yield (
                *here,
                "place",
                f"{rule.id}: {name} is taken at '{family}', and the rule is judged at '{rule.family}'",
                f"at: {family}, or over: {{take: ..., at: {family}}}",
                (),
            )


def _readable(book: Rulebook, where: str, measure: str) -> bool:
    """Whether every place of a family (or the one place `where`) leads to a place of the measure."""
    family = book.family_of(measure)
    if family in (VEHICLE, where):
        return True
    known = {p.id for p in all_places(book.families[family])} if family in book.families else set()
    if where in book.families:
        places = all_places(book.families[where])
        return bool(places) and all(p.id in known or p.up in known for p in places)
    if where == VEHICLE:
        return False
    ups = {p.up for f in book.families.values() for p in all_places(f) if p.id == where}
    return where in known or bool(ups & known)


def _step(book: Rulebook, rule: Rule, number: int, step: Step) -> Iterator[Found]:
    here = (rule.file, rule.mark)
    effects = step.effects
    if effects.lowest_ask is None:
        return
    asked = book.uses[effects.lowest_ask]
    bears = effects.blocks | {use for use, _ in effects.limits}
    lowest = min((book.uses[u].rank for u in bears), default=None)
    if lowest is not None and asked.rank < lowest:
        yield (
            *here,
            "asks",
            f"{rule.id}, step {number}: asked from {asked.id}, below every use it blocks or limits",
            "asks: not below the lowest use that a failure blocks or limits",
            (),
        )
    for test in _all_tests(step.condition):
        for name in _leaves(book, [test.measure]):
            point = book.points.get(name)
            needs = book.access[point.access].needs if point and point.access in book.access else None
            if needs is not None and book.uses[needs].rank >= asked.rank:
                yield (
                    *here,
                    "asks",
                    f"{rule.id}: {name} takes a drive that is itself '{needs}', and is asked from {asked.id}",
                    f"asks: above {needs}",
                    (),
                )


def _registers(book: Rulebook) -> Iterator[Found]:
    registered = {(c.source, c.clause) for c in book.clauses}
    for clause in book.clauses:
        file = f"rules/{clause.source}/clauses.yaml"
        yield from _missing(file, _TOP, "rule", clause.rules, book.rules, clause.clause)
    for rule in book.rules.values():
        for cite in rule.cites:
            source = book.sources.get(cite.source)
            if source and not source.own and (cite.source, cite.clause) not in registered:
                found = f"{rule.id}: {cite.source} has no clause '{cite.clause}' in its register"
                yield rule.file, rule.mark, "clause", found, "a line of clauses.yaml", ()
