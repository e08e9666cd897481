"""Loader of rules/uses.yaml: the ladder, side uses, kinds of limit and the policy of the verdict."""

from __future__ import annotations

from collections.abc import Mapping

from precheck.model.catalogue import Limit, LimitKind, Use
from precheck.model.document import Known
from precheck.model.node import Node
from precheck.read.near import near
from precheck.read.shape import Shape
from precheck.rulebook.book import Policy
from precheck.rulebook.points import CHAINS

_KNOWN = tuple(k.value for k in Known)


def read_limit_kind(shape: Shape, node: Node) -> LimitKind | None:
    got = shape.keys(node, "a kind of limit", ("id", "words", "take"), ("dimension",))
    if got is None:
        return None
    take = shape.word(got.get("take"), "take", ("lowest", "flag", "list")) or "list"
    if (take == "lowest") != ("dimension" in got):
        shape.note(node, "dimension", "dimension and take do not go together", "take: lowest with dimension:")
    return LimitKind(
        shape.text(got.get("id"), "id") or "",
        shape.text(got.get("words"), "words") or "",
        take,
        shape.text(got.get("dimension"), "dimension") or "",
    )


def read_limits(shape: Shape, node: Node | None, kinds: Mapping[str, LimitKind]) -> tuple[Limit, ...]:
    """The limits a GO may carry: `{speed: 35 mph, dry: yes, look-again: [brake hoses]}`."""
    out: list[Limit] = []
    for entry in shape.map(node, "limits", "limits: {proving: {speed: 35 mph}}"):
        name = entry.key.text
        kind = kinds.get(name)
        if kind is None:
            shape.note(
                entry.key,
                "unknown-limit",
                f"'{name}' is no kind of limit",
                f"one of: {', '.join(kinds)}",
                close=near(name, list(kinds)),
            )
        elif kind.take == "flag":
            if shape.flag(entry.value, name):
                out.append(Limit(name, kind.words))
        elif kind.take == "list":
            out += [Limit(name, words) for words in shape.words(entry.value, name)]
        else:
            quantity = shape.quantity(entry.value, name, kind.dimension)
            if quantity is not None:
                out.append(Limit(name, quantity.written, quantity.value.low))
    return tuple(out)


def read_uses(shape: Shape, root: Node) -> tuple[dict[str, LimitKind], dict[str, Use], Policy | None]:
    top = shape.keys(
        root, "uses.yaml", ("limit-kinds", "uses", "knowing", "combine", "turn-back"), ("severity",)
    )
    if top is None:
        return {}, {}, None
    kinds = {}
    for node in shape.items(top.get("limit-kinds"), "limit-kinds"):
        kind = read_limit_kind(shape, node)
        if kind:
            kinds[kind.id] = kind
    uses = _uses(shape, top.get("uses"), kinds)
    return kinds, uses, _policy(shape, top)


def _uses(shape: Shape, node: Node | None, kinds: Mapping[str, LimitKind]) -> dict[str, Use]:
    uses: dict[str, Use] = {}
    for item in shape.items(node, "uses"):
        got = shape.keys(
            item,
            "a use",
            ("id", "words"),
            ("side", "on", "includes", "lifts", "limits", "must-look", "same-day", "floor"),
        )
        if got is None:
            continue
        name = shape.text(got.get("id"), "id") or ""
        side = shape.flag(got.get("side"), "side")
        rank = sum(1 for u in uses.values() if not u.side)
        if side:
            under = uses.get(shape.word(got.get("on"), "on", tuple(uses)) or "")
            if under is None:
                shape.note(item, "missing-key", "a side use without 'on'", "on: RUNG")
                continue
            rank = under.rank
        uses[name] = Use(
            name,
            shape.text(got.get("words"), "words") or "",
            side,
            rank,
            shape.words(got.get("includes"), "includes"),
            read_limits(shape, got.get("limits"), kinds),
            shape.words(got.get("must-look"), "must-look"),
            shape.words(got.get("same-day"), "same-day"),
            shape.word(got.get("floor"), "floor", ("pending",)) is None,
            shape.words(got.get("lifts"), "lifts", tuple(kinds)),
        )
    return uses


def _policy(shape: Shape, top: Mapping[str, Node]) -> Policy | None:
    knowing = shape.keys(top.get("knowing"), "knowing", ("yard", "from-proving-on-chains", "chains"))
    combine = shape.keys(top.get("combine"), "combine", ("limits", "chains"))
    if knowing is None or combine is None:
        return None
    severity = []
    for node in shape.items(top.get("severity"), "severity") if "severity" in top else ():
        row = shape.keys(node, "a severity row", ("when", "blocks"), ("why",))
        if row:
            words = [shape.text(row.get(k), k) or "" for k in ("when", "blocks", "why")]
            severity.append((words[0], words[1], words[2]))
    accepted = [
        frozenset(Known(w) for w in shape.words(knowing.get(key), key, _KNOWN))
        for key in ("yard", "from-proving-on-chains")
    ]
    return Policy(
        accepted[0],
        accepted[1],
        frozenset(shape.words(knowing.get("chains"), "chains", CHAINS)),
        shape.whole(combine.get("limits"), "limits") or 3,
        shape.words(combine.get("chains"), "chains", CHAINS),
        shape.words(top.get("turn-back"), "turn-back"),
        tuple(severity),
    )
