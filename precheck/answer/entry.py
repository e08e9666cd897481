"""What a jotted line found, as the lines of visits in a condition document.

A visit holds each point once and counts its work after its readings. So what says a point again at the same
place, or is read after work, begins a further visit of the same day; nothing jotted is ever left out for it.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from precheck.model.catalogue import VEHICLE
from precheck.model.document import Claim, Done
from precheck.model.node import Map, Node
from precheck.model.record import dataclass, field
from precheck.read.write import flow, on_one_line, quoted
from precheck.settle.jot import Item

_WIDEST = 100  # a reading of several places stands on one line up to this width


@dataclass(frozen=True, slots=True)
class Extra:
    """One more entry of a visit: `key` is not-reached or nothing-found, `said` what was said for it."""

    key: str
    name: str
    place: str
    value: str
    said: str


@dataclass(frozen=True, slots=True)
class Entries:
    """What the visits of one jot hold. `drove` is a distance as it is written, or empty."""

    items: tuple[Item, ...]
    extras: tuple[Extra, ...] = ()
    drove: str = ""


@dataclass(slots=True)
class _Group:
    """One visit in the making: point -> its value, or the values of its places."""

    whole: dict[str, Node] = field(default_factory=dict)
    placed: dict[str, dict[str, Node]] = field(default_factory=dict)
    done: list[Done] = field(default_factory=list)

    def takes(self, item: Item) -> bool:
        if item.point in self.whole:
            return False
        here = self.placed.get(item.point)
        return here is None or (_placed(item) and not any(c.place in here for c in item.claims))

    def take(self, item: Item) -> None:
        assert item.node is not None
        if not _placed(item):
            self.whole[item.point] = item.node
            return
        assert isinstance(item.node, Map)
        inner = item.node.entries[0].value  # all places of one item have the same value
        self.placed.setdefault(item.point, {}).update((c.place or "", inner) for c in item.claims)


def visit_lines(entries: Entries, on: str, by: str, indent: str) -> list[str]:
    """The lines of the visits at an indent, without line ends; empty where there is nothing to write."""
    groups = _groups(entries.items)
    out: list[str] = []
    for number, group in enumerate(groups):
        first, last = number == 0, number == len(groups) - 1
        out += [f"{indent}- on: {on}", f"{indent}  by: {quoted(by)}"]
        out += _readings(group, f"{indent}  ")
        if first:
            out += _extras(entries.extras, f"{indent}  ")
        if last and entries.drove:
            out.append(f"{indent}  drove: {quoted(entries.drove)}")
        if group.done:
            out.append(f"{indent}  done:")
            out += [f"{indent}    - {{work: {quoted(d.work)}{_at(d)}}}" for d in group.done]
    return out


def _groups(items: Sequence[Item]) -> list[_Group]:
    """The visits, in order. What is the same as another place goes where that place's value is."""
    groups = [_Group()]
    for item in items:
        if item.done is not None:
            groups[-1].done.append(item.done)
        elif not _same_as(item):
            if groups[-1].done or not groups[-1].takes(item):
                groups.append(_Group())
            groups[-1].take(item)
    for item in items:
        if _same_as(item):
            target = item.claims[0].same_as
            holding = [g for g in groups if target in g.placed.get(item.point, {}) and g.takes(item)]
            (holding or groups)[-1].take(item)
    return groups


def _same_as(item: Item) -> bool:
    return any(claim.same_as for claim in item.claims)


def _placed(item: Item) -> bool:
    return all(_has_place(claim) for claim in item.claims)


def _has_place(claim: Claim) -> bool:
    return claim.place is not None and claim.place != VEHICLE


def _readings(group: _Group, indent: str) -> Iterable[str]:
    if not group.whole and not group.placed:
        return
    yield f"{indent}readings:"
    for point, node in group.whole.items():
        yield f"{indent}  {quoted(point)}: {on_one_line(node)}"
    for point, places in group.placed.items():
        yield from _by_place(point, {place: on_one_line(node) for place, node in places.items()}, indent)


def _by_place(name: str, places: dict[str, str], indent: str) -> Iterable[str]:
    """On one line where there is room, else a line for each place."""
    parts = [f"{quoted(place)}: {text}" for place, text in places.items()]
    line = f"{indent}  {quoted(name)}: {{{', '.join(parts)}}}"
    if len(line) <= _WIDEST or len(parts) == 1:
        yield line
        return
    yield f"{indent}  {quoted(name)}:"
    yield from (f"{indent}    {part}" for part in parts)


def _extras(extras: Sequence[Extra], indent: str) -> Iterable[str]:
    """`not-reached` with its reasons, `nothing-found` with the places looked from."""
    for key in dict.fromkeys(extra.key for extra in extras):
        mine = [extra for extra in extras if extra.key == key]
        yield f"{indent}{key}:"
        for name in dict.fromkeys(extra.name for extra in mine):
            here = [extra for extra in mine if extra.name == name]
            if key == "nothing-found":
                yield f"{indent}  {quoted(name)}: {flow([extra.value for extra in here])}"
            elif here[-1].place:
                yield from _by_place(name, {e.place: quoted(e.value) for e in here if e.place}, indent)
            else:
                yield f"{indent}  {quoted(name)}: {quoted(here[-1].value)}"


def _at(done: Done) -> str:
    if not done.at:
        return ""
    return f", at: {quoted(done.at[0]) if len(done.at) == 1 else flow(done.at)}"
