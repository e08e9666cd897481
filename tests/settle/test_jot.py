"""Jotted lines: what is read, what is refused and where, and that no line ends in a traceback.

Expected readings: the meaning of each line as a person wrote it here (no source; the grammar is ours).
"""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from precheck.model.catalogue import Day, Kind
from precheck.model.document import Claim
from precheck.model.problem import Mark
from precheck.rulebook.load import load_quickly
from precheck.rulebook.places import places_of
from precheck.settle.jot import Jotted, Vehicle, Where, read_jot
from precheck.settle.jotmatch import EVERYDAY

BOOK = load_quickly()
DAY = Day(date(2026, 11, 14), True)
HERE = Where(DAY.date, 0, "RO")
PICKUP = Vehicle({"vehicle-class": "light truck", "rear-wheels": "single", "spare-wheel": "not fitted"}, {})
DUALS = Vehicle({**PICKUP.facts, "rear-wheels": "dual"}, {})


def jot(*lines: str, vehicle: Vehicle = PICKUP) -> Jotted:
    return read_jot(lines, BOOK, vehicle, DAY, HERE)


GOOD = [
    ("lr tread 6 5 6", "tire-tread-depth@left-rear: 6 32nds in, 5 32nds in, 6 32nds in"),
    ("tread 6 5 6 lr", "tire-tread-depth@left-rear: 6 32nds in, 5 32nds in, 6 32nds in"),
    ("6, 5, 6 tread left rear", "tire-tread-depth@left-rear: 6 32nds in, 5 32nds in, 6 32nds in"),
    ("lf tread 6 5 6 mm", "tire-tread-depth@left-front: 6 mm, 5 mm, 6 mm"),
    ("lf tread 7/32 6/32 7/32 in", "tire-tread-depth@left-front: 7/32 in, 6/32 in, 7/32 in"),
    ("lf tread [7/32 in, 6 mm]", "tire-tread-depth@left-front: 7/32 in, 6 mm"),
    ("rr pressure 33 psi", "tire-pressure-cold@right-rear: 33 psi"),
    ("rr pressure 33", "tire-pressure-cold@right-rear: 33 psi"),
    ("lr max pressure 45", "tire-maximum-pressure@left-rear: 45 psi"),
    ("front recommended pressure 30", "tire-pressure-recommended@front: 30 psi"),
    ("lf pressure 2.1 bar told", "tire-pressure-cold@left-front: 2.1 bar told"),
    ("lf pressure at least 30 psi", "tire-pressure-cold@left-front: at least 30 psi"),
    ("lf pressure 30 to 32", "tire-pressure-cold@left-front: 30 to 32 psi"),
    ('frame left rear rail pitted "at a hanger"', 'frame-rust@left-rear-rail: pitted "at a hanger"'),
    ("left-rear-rail rust pitted with hammer", "frame-rust@left-rear-rail: pitted with hammer"),
    ("rear wheels dual", "rear-wheels: dual"),
    ("front brakes drum", "front-brake-type: drum"),
    ("system voltage 12 V negative ground", "system-voltage: 12 V negative ground"),
    ("build date 1966-04", "build-date: 1966-04"),
    ("called Juniper's brother", "called: Juniper's brother"),
    ("lf date code 1417", "tire-date-code@left-front: 1417"),
    ("lf date code 0512", "tire-date-code@left-front: 0512"),
    ("lr size 7.00-16", "tire-size-marking@left-rear: 7.00-16"),
    ("lr flat", "tire-standing@left-rear: flat"),
    ("brake pedal firm", "brake-pedal-feel: firm"),
    ("brake pedal unknown feel", "brake-pedal-feel: unknown"),
    ("front bulge no", "tire-bulge@left-front: no; tire-bulge@right-front: no"),
    ("bulge no", "tire-bulge: no"),
    ("front bumper loose", "bumper-security@front: loose"),
    ("lf valve sound with cap with lamp", "tire-valve@left-front: sound with cap with lamp"),
    ("brake lining lr 1 3/16 in", "brake-lining-thickness@left-rear: 1 3/16 in"),
    ("steering free play 3", "steering-free-play: 3 in"),
    ("lf pressure 130 psi sure", "tire-pressure-cold@left-front: 130 psi sure"),
    ("tire-pressure-cold@left-rear: 36 psi", "tire-pressure-cold@left-rear: 36 psi"),
    ("tire-pressure-cold@lr 36 psi", "tire-pressure-cold@lr: 36 psi"),
    ("tire-pressure-cold left-rear 36", "tire-pressure-cold@left-rear: 36 psi"),
    ("tire-pressure-cold: lr 36", "tire-pressure-cold@left-rear: 36 psi"),
    ("frame-wall-thickness@behind-cab: 2 mm", "frame-wall-thickness@behind-cab: 2 mm"),
    ("hood latch both hold", "hood-latch: both hold"),
    ("hood fitted", "hood: fitted"),
    ("straight stop pulls", "brake-straight-stop: pulls, must be held"),
    ("lf lug nuts loose 0", "wheel-fasteners-loose@left-front: 0"),
    ("lf tyre tread 6", "tire-tread-depth@left-front: 6 32nds in"),
    ("done wheel cylinder replaced lr", "done wheel-cylinder-replaced left-rear"),
    ("done tire-changed at lr and rr", "done tire-changed left-rear right-rear"),
    ("done brake-adjusted", "done brake-adjusted"),
    ('strike lr tread 6 "typed wrong"', 'strike tire-tread-depth@left-rear: 6 32nds in "typed wrong"'),
]  # fmt: skip


@pytest.mark.parametrize(("line", "echo"), GOOD, ids=[g[0] for g in GOOD])
def test_a_line_means(line: str, echo: str) -> None:
    got = jot(line)
    assert not got.problems
    echoes = [item.echo.replace("@lr:", "@left-rear:") for item in got.items]
    assert echoes == [echo.replace("@lr:", "@left-rear:")]


def plain(claim: Claim) -> Claim:
    """A claim without where in a line it stands."""
    return replace(claim, mark=Mark(1, 1))


@pytest.mark.parametrize("line", [g[0] for g in GOOD])
def test_an_echo_means_the_same_again(line: str) -> None:
    one = jot(line)
    again = jot("; ".join(item.echo for item in one.items))
    assert not again.problems
    assert [plain(c) for c in again.claims] == [plain(c) for c in one.claims]
    assert [(d.work, d.at) for d in again.done] == [(d.work, d.at) for d in one.done]


# line, code, column, what must be among found, expected, write and near
BAD = [
    ("lr presure 36 psi", "jot-words", 4, "pressure"),
    ("lr tread 7/32", "no-unit", 10, "7/32 in"),
    ("lr tread 1,5 mm", "comma", 10, "1.5 mm"),
    ("lr tread 6 5/32 6/32", "jot-words", 12, "a ; between readings"),
    ("lr tread 6 lf tread 5", "jot-words", 12, "second place"),
    ("lr tread", "no-value", 9, "32nds in"),
    ("lr tread 5 psi", "wrong-dimension", 10, "length"),
    ("lr pressure 36 pis", "unknown-unit", 13, "psi"),
    ("lr leak dry", "jot-ambiguous", 1, "shock-leak"),
    ("steering 3 in", "jot-ambiguous", 1, "idler-arm-play"),
    ("oil pressure 45", "jot-ambiguous", 1, "oil-pressure-hot-idle"),
    ("tire bulge maybe", "unknown-state", 12, "unknown"),
    ("lf valve sound", "unknown-state", 10, "sound with cap"),
    ("front pressure 36 psi", "place-missing", 1, "tire-pressure-cold@left-front: 36 psi"),
    ("pressure 36 psi", "place-missing", 10, "tire-pressure-cold@left-front: 36 psi"),
    ("spare pressure 36 psi", "unknown-place", 1, "left-front"),
    ("lro pressure 36 psi", "unknown-place", 1, "left-rear"),
    ("6 5 6", "jot-words", 1, "what was looked at"),
    ("pedal frim", "jot-unclear", 7, "brake-pedal-feel: firm"),
    ("horn works", "unknown-state", 6, "horn-action"),
    ("drove 4 mi", "jot-words", 1, "--drove '4 mi'"),
    ("pulls to the left", "jot-words", 1, "brake-straight-stop: pulls, must be held"),
    ("exhaust outlet behind or beside", "unknown-state", 16, "clear of cab"),
    ("grfx blurb", "jot-words", 1, "grfx"),
    ("foo@bar: 3", "unknown-point", 1, "foo"),
    ("tire-tread: 5", "unknown-point", 1, "tire-tread-depth"),
    ("tire-pressure-cold@left-raer: 36 psi", "unknown-place", 20, "left-rear"),
    ("tire-pressure-cold@left-rear: lots", "not-a-number", 31, "not a measurement"),
    ("tire-pressure-cold@left-rear:", "no-value", 29, "psi"),
    ('lr tread 6 "open', "unclosed-note", 12, 'closing "'),
    ('"just a note"', "note-alone", 1, "a reading"),
    ("rr date code same as lr", "same-as", 1, "value of its own"),
    ("rr tread same as lr; lr tread 6", "same-as", 18, "permanent"),
    ("done brake", "jot-ambiguous", 6, "brake-adjusted"),
    ("done bananas", "unknown-work", 6, "work"),
    ("done", "unknown-work", 5, "work"),
    ("lr tread 6\x1b[31m", "control-character", 11, "U+001B"),
    ("lf tread \u2153 in", "fraction-sign", 10, "1/3"),
]  # fmt: skip


@pytest.mark.parametrize(("line", "code", "column", "says"), BAD, ids=[b[0] for b in BAD])
def test_a_line_is_refused(line: str, code: str, column: int, says: str) -> None:
    got = jot(line)
    problem = got.problems[0]
    assert (problem.code, problem.mark) == (code, Mark(1, column))
    assert says in " ".join([problem.found, problem.expected, problem.write, *problem.near])
    assert problem.text == line
    assert not [item for item in got.items if item.written in line.split("; ")[:1]]


def test_the_rest_of_a_line_is_kept() -> None:
    """Story 1: one typing error does not throw away the evening."""
    got = jot("lr tread 6 5 6; rr presure 33 psi;; frame left rear rail pitted", "lf flat; lf nonsense 3")
    assert [i.echo.split(":")[0] for i in got.items] == [
        "tire-tread-depth@left-rear",
        "frame-rust@left-rear-rail",
        "tire-standing@left-front",
    ]
    assert [p.mark for p in got.problems] == [Mark(1, 20), Mark(2, 13)]


def test_a_fact_said_in_a_line_makes_the_places_of_the_line() -> None:
    got = jot("lro pressure 36 psi; rear wheels dual")
    assert not got.problems
    assert [c.place for c in got.claims] == ["left-rear-outer", "vehicle"]


def test_plain_left_rear_of_duals_is_offered_both_tires() -> None:
    (problem,) = jot("lr pressure 36 psi", vehicle=DUALS).problems
    assert problem.near == ("left-rear-outer", "left-rear-inner")
    assert problem.mark == Mark(1, 1)


def test_one_point_at_several_places() -> None:
    got = jot("pressure lf 31 rf 30 lr 27 rr 37 psi")
    assert [(c.place, c.values[0].written) for c in got.claims] == [
        ("left-front", "31 psi"),
        ("right-front", "30 psi"),
        ("left-rear", "27 psi"),
        ("right-rear", "37 psi"),
    ]
    bar = jot("pressure lf 2.1 rf 2.0 bar")
    assert [c.values[0].written for c in bar.claims] == ["2.1 bar", "2.0 bar"]


def test_same_as_takes_the_value_of_the_same_line() -> None:
    got = jot("rf date code same as lf; lf date code 1417")
    assert [c.values[0].written for c in got.claims] == ["1417", "1417"]
    assert got.claims[0].same_as == "left-front"


def test_an_unlikely_value_is_asked_back_and_not_changed() -> None:
    got = jot("lr pressure 400 psi")
    (item,) = got.items
    assert "more than a tire-pressure-cold is likely" in item.asked
    assert item.claims[0].why_unknown
    assert item.claims[0].values[0].written == "400 psi"
    assert not jot("lr pressure 400 psi sure").items[0].asked


def test_a_struck_reading_says_why() -> None:
    (claim,) = jot('strike lr tread 6 "typed wrong"').claims
    assert claim.struck == "typed wrong"


def test_everyday_words_name_points_there_are() -> None:
    assert set(EVERYDAY.values()) <= set(BOOK.points)


def usual(kind: Kind) -> str:
    return {Kind.NUMBER: "3", Kind.DATE: "1999-05", Kind.DATE_CODE: "1417"}.get(kind, "X7")


def test_the_full_name_of_any_point_is_never_taken_for_another() -> None:
    """Every point of the library with its words, a short place and a value, in changing order."""
    wrong = []
    for number, point in enumerate(BOOK.points.values()):
        family = BOOK.families.get(point.family)
        if family and family.kind == "spots":
            continue
        places = places_of(point.family, BOOK, PICKUP.facts.get, {}) if family else ()
        if family and not places:
            continue
        at = (places[0].short or places[0].id.replace("-", " ")) if places else ""
        for value in {point.states[0], point.states[-1]} if point.states else {usual(point.kind)}:
            parts = [at, point.id.replace("-", " "), value]
            line = " ".join(parts if number % 2 or point.kind is Kind.TEXT else [*parts[1:], at])
            got = jot(line).claims
            place = places[0].id if places else "vehicle"
            if [(c.point, c.place) for c in got] != [(point.id, place)]:
                wrong.append(line)
    assert wrong == []


WORDS = sorted(
    {w for p in BOOK.points.values() for w in p.id.split("-")}
    | {w for p in BOOK.points.values() for s in p.states for w in s.split()}
    | {"lf", "rf", "lr", "rr", "lro", "front", "rear", "left", "same", "as", "told", "sure", "with", "done",
       "strike", "unknown", "6", "5/32", "1", "-3", "36psi", "psi", "in", "mm", "at", "least", "to", ";", ",",
       '"', "[", "]", "1417", "1966-04", "@", ":", "tire-pressure-cold@left-rear:", "tire-tread-depth:"}
)  # fmt: skip
line_of_words = st.lists(st.sampled_from(WORDS), max_size=9).map(" ".join)


@settings(deadline=None)
@given(st.one_of(line_of_words, st.text(max_size=60)))
@example("done done done")
@example("strike strike")
@example("@@@:")
@example("same as same as")
@example("tire-pressure-cold@: 3 psi")
@example("with with with")
def test_any_line_gives_items_or_problems(line: str) -> None:
    for vehicle in (PICKUP, Vehicle({}, {})):
        got = jot(line, vehicle=vehicle)
        assert got == jot(line, vehicle=vehicle)
        assert all(1 <= p.mark.column <= len(line) + 1 for p in got.problems)
        for item in got.items:
            again = jot(item.echo, vehicle=vehicle)
            if item.claims and all(c.known.value != "same-as" for c in item.claims):
                assert [plain(c) for c in again.claims] == [plain(c) for c in item.claims], item.echo
