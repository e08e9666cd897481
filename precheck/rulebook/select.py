"""Which sources and rules judge this vehicle on one day, with the changes that count then."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

from precheck.model.catalogue import Region, Source
from precheck.model.changes import Aside, Change
from precheck.model.record import dataclass
from precheck.model.rules import Rule
from precheck.rulebook.book import Rulebook
from precheck.rulebook.changes import STANDING, apply
from precheck.rulebook.questions import questions


@dataclass(frozen=True, slots=True)
class Selection:
    """`judged` and `left_out` are sources, the latter with the reason; `law` True where one besides
    the floor judges.

    `rules` judge, those of `aside` without counting; `untouched` are the same rules as their files have
    them; `in_force` are the changes between the two.
    """

    rules: tuple[Rule, ...]
    judged: tuple[Source, ...]
    left_out: tuple[tuple[Source, str], ...]
    region: Region | None
    untouched: tuple[Rule, ...]
    aside: Aside
    in_force: tuple[Change, ...]

    @property
    def law(self) -> bool:
        return any(not s.floor and s.binds != "nobody" and is_law(s) for s in self.judged)


def is_law(source: Source) -> bool:
    """Every source of the library that binds; of local files only what stands as law or regulation."""
    return not source.own or STANDING[source.kind] >= STANDING["regulation"]


def select(
    book: Rulebook,
    region: str | None,
    service: str | None,
    chosen: Sequence[str] | None,
    day: date,
    accepted: Sequence[Change] = (),
) -> Selection:
    """The floor always; then the sources chosen, or those of the region; own files always.

    A source for a kind of service judges only that service unless it is chosen by name, one marked
    `by-name` only where it is chosen. Changes of local files and the findings that the document accepts
    count on the days they name.
    """
    here = _with_included(book, region)
    judged, left_out = [], []
    with_rules = book.with_rules
    for source in book.sources.values():
        if source.id not in with_rules:
            continue
        why = _why_not(source, here, service, chosen)
        if why:
            left_out.append((source, why))
        else:
            judged.append(source)
    names = {s.id for s in judged}
    rules = book.rules_of(names)
    applied = apply((*questions(book), *rules), (*book.changes, *accepted), day)
    return Selection(
        applied.rules,
        tuple(judged),
        tuple(left_out),
        book.regions.get(region or ""),
        applied.untouched,
        applied.aside,
        applied.in_force,
    )


def _why_not(source: Source, here: Sequence[str], service: str | None, chosen: Sequence[str] | None) -> str:
    if source.floor or source.own:
        return ""
    if chosen is not None:
        return "" if source.id in chosen else "not chosen with --sources"
    if source.by_name:
        return f"judges only when it is chosen by name: --sources {source.id},..."
    if source.region is not None and source.region not in here:
        return f"for region {source.region}" + ("" if here else "; no region is answered")
    if source.service is not None and source.service != service:
        return f"for {source.service} service; this vehicle's service is {service or 'not answered'}"
    return ""


def _with_included(book: Rulebook, region: str | None) -> tuple[str, ...]:
    out: list[str] = []
    todo = [region] if region else []
    while todo:
        name = todo.pop()
        if name in book.regions and name not in out:
            out.append(name)
            todo += book.regions[name].includes
    return tuple(out)
