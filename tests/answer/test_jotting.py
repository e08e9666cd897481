"""What a line says and what the file then says are the same readings; and how visits are made of items."""

from __future__ import annotations

from datetime import date

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from precheck.answer.jotrecord import NotWritten
from precheck.answer.jotting import Wish, jot
from precheck.model.catalogue import VEHICLE, Day, Kind, Point
from precheck.model.document import Claim, Document
from precheck.model.node import Entry, Items, Map, Node, Text
from precheck.model.problem import Mark
from precheck.model.record import replace
from precheck.read.strict_yaml import read_yaml
from precheck.read.write import on_one_line
from precheck.rulebook.load import load_quickly
from precheck.rulebook.places import places_of
from precheck.settle.check import check
from precheck.settle.jot import Where, read_jot, vehicle_of

BOOK = load_quickly()
DAY = Day(date(2026, 11, 14), True)
FACTS = "{vehicle-class: light truck, rear-wheels: single, spare-wheel: not fitted, region: us}"
TEXT = f"condition: 1\nvehicle: {FACTS}\nvisits:\n  - on: 2026-09-12\n    by: RO\n"
MAKE_PLACES = {fact for f in BOOK.families.values() for p in f.places for fact, _ in p.when}
MAKE_PLACES |= {"vehicle-class"}
POINTS = [p for p in BOOK.points.values() if p.id not in MAKE_PLACES]


def read(data: bytes) -> Document:
    source, problems = read_yaml(data, "car.yaml")
    assert source is not None, problems
    document, problems = check(source, BOOK, DAY)
    assert document is not None, problems
    return document


START = read(TEXT.encode())
VEHICLE_FACTS = vehicle_of(START, BOOK, DAY)


def plain(claims: tuple[Claim, ...]) -> list[str]:
    """Readings without where they stand, in no order."""
    return sorted(repr(replace(c, mark=Mark(1, 1), visit=0)) for c in claims)


def places(point: Point) -> list[str]:
    if point.family == VEHICLE:
        return [""]
    if BOOK.families[point.family].kind == "spots":
        return ["behind-cab", "2nd-rivet", "no"]
    found = places_of(point.family, BOOK, VEHICLE_FACTS.facts.get, VEHICLE_FACTS.listed)
    return [p.id for p in found] + ([""] if point.states else [])


@st.composite
def values(draw: st.DrawFn, point: Point) -> str:
    if draw(st.integers(0, 9)) == 0:
        return "unknown"
    if point.states:
        return draw(st.sampled_from(point.states))
    if point.kind is Kind.DATE:
        return draw(st.sampled_from(["1966", "1966-04", "2024-02-29"]))
    if point.kind is Kind.DATE_CODE:
        return draw(st.sampled_from(["1417", "0512", "317"]))
    if point.kind is Kind.NUMBER:
        units = [u.name for u in BOOK.units.units if u.dimension == point.dimension]
        number = st.sampled_from(["0", "1", "36", "3.10", "0.5", "7/32", "1 3/16", "at least 3", "4 to 6"])
        count = 1 if point.fact else draw(st.integers(1, 3))
        return ", ".join(
            f"{draw(number)} {draw(st.sampled_from(units))}".removesuffix(" count") for _ in range(count)
        )
    return draw(st.sampled_from(["7.00-16", "NO", "0512", "Ann's axle", "yes: no", "a, b", "1e3", "null"]))


@st.composite
def said(draw: st.DrawFn) -> str:
    """One reading in its exact form, with whatever may be said beside it."""
    point = draw(st.sampled_from(POINTS))
    place = draw(st.sampled_from(places(point) or [""]))
    line = f"{point.id}{'@' + place if place else ''}: {draw(values(point))}"
    line += draw(st.sampled_from(["", "", " told", " seen", " sure", " with a #2 lamp", " told sure"]))
    note = draw(st.text("ab: #{}[],'&*!|>%@`\\-?~\u00e9\u4e00\U0001f697", max_size=12))
    strike = draw(st.sampled_from(["", "", "", "strike "]))
    return f'{strike}{line} "{note}"' if note.strip() else f"{strike}{line}"


@settings(deadline=None, max_examples=80)
@given(st.lists(said(), min_size=1, max_size=6), st.sampled_from(["\n", "\r\n"]), st.booleans())
def test_the_file_says_what_the_lines_said(lines: list[str], line_end: str, closed: bool) -> None:
    old = TEXT.replace("\n", line_end)
    data = (old if closed else old.rstrip()).encode()
    wish = Wish(tuple(lines), "jot", DAY)
    expected = read_jot(lines, BOOK, VEHICLE_FACTS, DAY, Where(DAY.date, 1, "RO"))
    new, record = jot(data, "car.yaml", BOOK, wish)
    assert new.startswith(data)
    assert [k.echo for k in record.kept] == [item.echo for item in expected.items]
    assert [r.problem for r in record.refused] == list(expected.problems)
    after = read(new)
    assert after.visits[0] == START.visits[0]
    assert plain(tuple(c for v in after.visits[1:] for c in v.claims)) == plain(expected.claims)


@given(st.text(max_size=40))
def test_any_text_that_can_be_written_reads_back(text: str) -> None:
    if any("\ud800" <= char <= "\udfff" for char in text):
        return
    text_of = Text(text, False, Mark(1, 1))
    for node in (
        text_of,
        Items((text_of, text_of), Mark(1, 1)),
        Map((Entry(Text("b", True, Mark(1, 1)), text_of),), Mark(1, 1)),
    ):
        source, problems = read_yaml(f"a: {on_one_line(node)}\n".encode(), "x")
        assert source is not None, problems
        assert isinstance(source.root, Map)
        assert texts(source.root) == ["a", *texts(node)]


def texts(node: Node) -> list[str]:
    """Every text in it, in order; one that would count as nothing is marked."""
    if isinstance(node, Text):
        return [f"nothing: {node.text}" if node.empty else node.text]
    if isinstance(node, Items):
        return [text for item in node.items for text in texts(item)]
    return [text for e in node.entries for text in (e.key.text, *texts(e.value))]


def test_the_same_as_another_place_stands_in_the_visit_of_that_place() -> None:
    lines = ("lf date code 1417; done tire changed lr; rf date code same as lf; lr date code 1020",)
    new, record = jot(TEXT.encode(), "car.yaml", BOOK, Wish(lines, "jot", DAY))
    assert not record.refused
    one, two = read(new).visits[1:]
    assert [(c.place, c.values[0].written) for c in one.claims] == [
        ("left-front", "1417"),
        ("right-front", "1417"),
    ]
    assert [c.place for c in two.claims] == ["left-rear"]


def test_a_place_that_has_a_value_already_is_not_lost_to_a_same_as() -> None:
    """Both cannot stand in one visit, and the target stands in the first; what does not fit is told."""
    lines = ("rf date code 1400; lf date code 1417; rf date code same as lf",)
    new, record = jot(TEXT.encode(), "car.yaml", BOOK, Wish(lines, "jot", DAY))
    claims = [c for v in read(new).visits[1:] for c in v.claims]
    assert [(c.place, c.values[0].written) for c in claims] == [
        ("right-front", "1400"),
        ("left-front", "1417"),
    ]
    (refused,) = record.refused
    assert refused.said == "rf date code same as lf"
    assert record.exit_code == 2


def test_many_places_stand_below_each_other() -> None:
    lines = tuple(f'{at} pressure 31 psi "{"x" * 20}"' for at in ("lf", "rf", "lr", "rr"))
    new, _ = jot(TEXT.encode(), "car.yaml", BOOK, Wish(lines, "jot", DAY))
    added = new[len(TEXT) :].decode().splitlines()
    assert added[3:6] == [
        "    readings:",
        "      tire-pressure-cold:",
        f"        left-front: {{is: 31 psi, note: {'x' * 20}}}",
    ]
    assert len(read(new).visits[1].claims) == 4


def test_a_file_that_would_be_too_large_is_not_written() -> None:
    big = TEXT.encode() + b"# long\n" * ((2_000_000 - len(TEXT)) // 7)
    new, record = jot(big, "car.yaml", BOOK, Wish(("brake pedal firm",), "jot", DAY))
    assert new == big
    assert [r.said for r in record.refused] == ["brake pedal firm"]
    assert "larger than" in record.refused[0].problem.found


def test_nobody_named_is_asked_for() -> None:
    with pytest.raises(NotWritten, match="--by NAME"):
        jot(TEXT.replace("    by: RO\n", "").encode(), "car.yaml", BOOK, Wish(("hood fitted",), "jot", DAY))


@pytest.mark.parametrize(
    ("lines", "own"),
    [
        (("straight stop pulls; done drive-went-badly",), ("brake-straight-stop",)),
        (("done drive-went-badly; straight stop pulls",), ()),
        (
            ("hood fitted; lf wheel bearing feel smooth; done wheel-bearing-adjusted lf",),
            ("wheel-bearing-feel@left-front",),
        ),
    ],
)  # fmt: skip
def test_what_is_said_before_work_of_the_same_jot_is_told(
    lines: tuple[str, ...], own: tuple[str, ...]
) -> None:
    _, record = jot(TEXT.encode(), "car.yaml", BOOK, Wish(lines, "jot", DAY))
    assert not record.refused
    assert record.same_jot == own
