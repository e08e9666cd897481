"""Loaders of points, facts and derived values."""

from __future__ import annotations

from collections.abc import Mapping

from precheck.model.catalogue import VEHICLE, Derived, Kind, Lasts, Point
from precheck.model.node import Map, Node, Text
from precheck.model.quantity import Enclosure, Unit
from precheck.read.shape import Shape

CHAINS = ("stop", "steer", "hold-road", "see", "fire", "gas", "be-seen", "stay-in")
_KINDS = tuple(k.value for k in Kind)
_BETTER = {"higher": 1, "lower": -1}
_POINT_NEEDS = ("id", "observe", "kind", "at", "access", "lasts")
_POINT_KEYS = [
    "dimension",
    "unit",
    "states",
    "ordered",
    "clear",
    "with",
    "ends",
    "better",
    "adjustable",
    "plausible",
    "chain",
    "cautions",
    "about",
]
# fmt: off
_FACT_KEYS = (
    "dimension", "unit", "states", "ordered", "default", "asks", "access", "ends", "about",
)
# fmt: on


def read_lasts(shape: Shape, node: Node | None) -> Lasts:
    if node is None:
        return Lasts()
    if isinstance(node, Text):
        shape.word(node, "lasts", ("permanent",))
        return Lasts()
    got = shape.keys(node, "lasts", (), ("days", "months", "miles", "each-drive"))
    if not got:
        if got is not None and isinstance(node, Map) and not node.entries:
            shape.note(node, "lasts", "lasts says nothing", "permanent, or {days: 90}")
        return Lasts()
    miles = shape.quantity(got.get("miles"), "miles", "length")
    return Lasts(
        shape.whole(got.get("days"), "days"),
        shape.whole(got.get("months"), "months"),
        miles.value.low if miles else None,
        shape.flag(got.get("each-drive"), "each-drive"),
    )


def _plausible(shape: Shape, node: Node | None, dimension: str) -> tuple[Enclosure | None, str]:
    if node is None:
        return None, ""
    got = shape.keys(node, "plausible", (), ("from", "to", "slip"))
    if got is None:
        return None, ""
    low = shape.quantity(got.get("from"), "from", dimension)
    high = shape.quantity(got.get("to"), "to", dimension)
    slip = shape.text(got.get("slip"), "slip") or ""
    ends = (low.value.low if low else None, high.value.high if high else None)
    return Enclosure(*ends), slip


def _states(shape: Shape, got: Mapping[str, Node], node: Node, kind: Kind) -> tuple[str, ...]:
    states = shape.words(got.get("states"), "states")
    if (kind is Kind.STATES) != bool(states):
        shape.note(node, "states", "states and kind do not go together", "kind: states with states: [...]")
    if "unknown" in states:
        shape.note(node, "states", "'unknown' is a state", "no such state: it is allowed everywhere")
    if len(set(states)) != len(states):
        shape.note(node, "states", "a state stands twice", "each state once")
    return states


def read_point(shape: Shape, node: Node, system: str) -> Point | None:
    got = shape.keys(node, "a point", _POINT_NEEDS, _POINT_KEYS)
    if got is None:
        return None
    kind_word = shape.word(got.get("kind"), "kind", _KINDS)
    name = shape.text(got.get("id"), "id")
    if kind_word is None or name is None:
        return None
    kind = Kind(kind_word)
    dimension = _dimension(shape, got, node, kind)
    plausible, slip = _plausible(shape, got.get("plausible"), dimension)
    states = _states(shape, got, node, kind)
    clear = shape.word(got.get("clear"), "clear", states)
    better = shape.word(got.get("better"), "better", tuple(_BETTER))
    return Point(
        id=name,
        system=system,
        observe=shape.text(got.get("observe"), "observe") or name,
        kind=kind,
        family=shape.text(got.get("at"), "at") or VEHICLE,
        access=shape.text(got.get("access"), "access") or "ground",
        states=states,
        ordered=shape.flag(got.get("ordered"), "ordered"),
        clear=clear,
        dimension=dimension,
        unit=unit_of(shape, got.get("unit"), dimension),
        instrument=shape.text(got.get("with"), "with") or "",
        lasts=read_lasts(shape, got.get("lasts")),
        ends=shape.words(got.get("ends"), "ends"),
        better=_BETTER.get(better or "", 0),
        adjustable=shape.flag(got.get("adjustable"), "adjustable"),
        plausible=plausible,
        slip=slip,
        chain=shape.word(got.get("chain"), "chain", CHAINS),
        cautions=shape.words(got.get("cautions"), "cautions"),
        about=shape.text(got.get("about"), "about") or "",
    )


def read_fact(shape: Shape, node: Node) -> Point | None:
    got = shape.keys(node, "a fact", ("id", "observe", "kind", "question"), _FACT_KEYS)
    if got is None:
        return None
    kind_word = shape.word(got.get("kind"), "kind", _KINDS)
    name = shape.text(got.get("id"), "id")
    if kind_word is None or name is None:
        return None
    kind = Kind(kind_word)
    dimension = _dimension(shape, got, node, kind)
    states = _states(shape, got, node, kind)
    default = shape.text(got.get("default"), "default")
    if default is not None and states and default not in states:
        shape.note(node, "default", f"the default '{default}' is no state of this fact", ", ".join(states))
    return Point(
        id=name,
        system="identity",
        observe=shape.text(got.get("observe"), "observe") or name,
        kind=kind,
        family=VEHICLE,
        access=shape.text(got.get("access"), "access") or "papers",
        states=states,
        ordered=shape.flag(got.get("ordered"), "ordered"),
        dimension=dimension,
        unit=unit_of(shape, got.get("unit"), dimension),
        ends=shape.words(got.get("ends"), "ends"),
        fact=True,
        question=shape.text(got.get("question"), "question") or "",
        default=default,
        opens=shape.text(got.get("asks"), "asks"),
        about=shape.text(got.get("about"), "about") or "",
    )


def _dimension(shape: Shape, got: Mapping[str, Node], node: Node, kind: Kind) -> str:
    if kind in (Kind.DATE, Kind.DATE_CODE):
        return "date"
    dimension = shape.text(got.get("dimension"), "dimension")
    if (kind is Kind.NUMBER) != (dimension is not None):
        shape.note(node, "dimension", "dimension and kind do not go together", "kind: number with dimension:")
    return dimension or ""


def unit_of(shape: Shape, node: Node | None, dimension: str) -> Unit | None:
    """The unit a node names; it must be of the dimension."""
    word = shape.text(node, "unit")
    if word is None or node is None:
        return None
    assert shape.units is not None
    unit = shape.units.get(word)
    if unit is None or unit.dimension != dimension:
        shape.note(node, "unknown-unit", f"'{word}' is no unit of {dimension}", "a unit of rules/units.yaml")
        return None
    return unit


def read_derived(shape: Shape, node: Node) -> Derived | None:
    got = shape.keys(
        node,
        "a derived value",
        ("id", "words", "from", "function", "at", "formula", "source"),
        ("dimension", "unit", "states", "gather", "optional"),
    )
    if got is None:
        return None
    dimension = shape.text(got.get("dimension"), "dimension") or ""
    inputs = shape.words(got.get("from"), "from")
    gather = [
        (e.key.text, shape.text(e.value, e.key.text) or "")
        for e in shape.map(got.get("gather"), "gather", "gather: {POINT: FAMILY}")
    ]
    optional = shape.words(got.get("optional"), "optional")
    for name in (*(name for name, _ in gather), *optional):
        if name not in inputs:
            shape.note(
                node, "derived", f"'{name}' is not in from", "a name that stands in from", close=inputs
            )
    return Derived(
        shape.text(got.get("id"), "id") or "",
        shape.text(got.get("words"), "words") or "",
        inputs,
        shape.text(got.get("function"), "function") or "",
        dimension,
        unit_of(shape, got.get("unit"), dimension),
        shape.text(got.get("at"), "at") or VEHICLE,
        shape.text(got.get("formula"), "formula") or "",
        shape.text(got.get("source"), "source") or "",
        shape.words(got.get("states"), "states"),
        tuple(gather),
        optional,
    )
