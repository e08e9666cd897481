"""Work: every finding in one repair, sizes as written, days ahead, and what is looked at again."""

from __future__ import annotations

import re
from datetime import date, timedelta
from html import unescape
from pathlib import Path

import pytest

from precheck.answer.describe import describe, known_ids
from precheck.answer.gate import Gate, Request
from precheck.answer.judging import judge_for
from precheck.answer.mending import AfterWork, WorkAnswer
from precheck.answer.remedies import Desk
from precheck.answer.supposing import suppose
from precheck.answer.work import Unreadable, work
from precheck.engine.logic import BAD
from precheck.model.catalogue import Day
from precheck.model.document import Document
from precheck.model.rules import State
from precheck.read.files import read_file
from precheck.read.strict_yaml import read_yaml
from precheck.report.html.work import work_page
from precheck.report.work import render
from precheck.rulebook.load import load_quickly
from precheck.rulebook.places import all_places
from precheck.settle.check import check

BOOK = load_quickly()
FIXTURES = Path(__file__).resolve().parents[2] / "fixtures"
DAY = Day(date(2026, 11, 14), True)

HEAD = """\
condition: 1
vehicle:
  called: Invented
  region: us
  vehicle-class: light truck
  build-date: 1966-04
  gross-weight-rating: 7500 lb
  brake-circuit-layout: one hydraulic circuit
  front-brake-type: drum
  rear-brake-type: drum
  rear-wheels: single
  spare-wheel: not fitted
  driven-wheels: rear
  shocks: fitted
visits:
"""


def fixture(name: str) -> Document:
    source, problems = read_file(FIXTURES / name, name)
    assert source is not None, problems
    document, problems = check(source, BOOK, DAY)
    assert document is not None, problems
    return document


def document(visits: str) -> Document:
    source, problems = read_yaml((HEAD + visits).encode(), "made-up.yaml")
    assert source is not None, problems
    found, problems = check(source, BOOK, DAY)
    assert found is not None, problems
    return found


def ask(doc: Document, *uses: str) -> WorkAnswer:
    return work(doc, BOOK, Request(DAY, uses))


# -- repairs --------------------------------------------------------------------------------------


@pytest.mark.parametrize("name", ["juniper.yaml", "heron.yaml", "linnet.yaml", "dunlin.yaml"])
@pytest.mark.parametrize("use", ["yard", "proving", "everyday", "towing"])
def test_every_finding_of_the_gate_is_in_exactly_one_repair(name: str, use: str) -> None:
    doc = fixture(name)
    answer = Gate(doc, BOOK, Request(DAY, (use,))).answer()
    found = ask(doc, use)
    asked = [(a.rule, a.place, a.step) for r in found.repairs for a in r.asked_by]
    assert len(asked) == len(set(asked))
    blocking = [(f.rule, f.place, f.step) for f in answer.blocking]
    assert set(blocking) <= set(asked)
    for repair in found.repairs:
        assert set(blocking) & {(a.rule, a.place, a.step) for a in repair.asked_by}
    waiting = {(a.rule, a.place, a.step) for w in found.waits if w.kind != "ahead" for a in w.asked_by}
    assert not waiting & set(asked)
    rest = {(f.rule, f.place, f.step) for f in (*answer.limited, *answer.beside)}
    assert rest <= waiting | set(asked)


def test_mending_what_is_listed_removes_all_that_stands_against_the_use() -> None:
    """Each remedy changes readings that a repair names, and all together leave nothing against it."""
    doc = fixture("juniper.yaml")
    found = ask(doc)
    (target,) = found.target
    assert target == "proving"
    named = {(line.point, line.place) for r in found.repairs for line in r.found}
    use = BOOK.uses[target]
    for _ in range(3):  # the second side of a pair moves only after the first
        judged = Gate(doc, BOOK, Request(DAY, (target,))).judged(use)
        bad = [u for u in judged.units if judged.results.classes[target][u.key] == BAD]
        if not bad:
            break
        desk = Desk(doc, BOOK, DAY, use, None, judged)
        remedies = [desk.remedies(unit)[0] for unit in bad]
        assert {(m.point, m.place) for r in remedies for m in r.moves} <= named
        mended, jotted = suppose(doc, tuple(dict.fromkeys(r.jot for r in remedies)), BOOK, DAY)
        assert mended is not None, jotted.problems
        doc = mended
    assert Gate(doc, BOOK, Request(DAY, (target,))).answer().blocking == ()


def test_floor_and_law_on_one_finding_are_one_repair() -> None:
    found = ask(fixture("juniper.yaml"), "occasional")
    (hose,) = [r for r in found.repairs if "brake-hose" in r.parts]
    assert {a.source for a in hose.asked_by} == {"floor", "us-49cfr570"}
    assert hose.use == "proving"
    assert hose.uses == ("proving", "occasional")
    assert hose.where == ("right front",)
    assert hose.together == ("left front",)
    assert hose.position == "wheel-off"
    assert hose.found[0].written == ("cracked to fabric",)
    (tire,) = [r for r in found.repairs if "tire" in r.parts]
    assert {"floor-tire-tread", "us-570-9a-tread"} <= {a.rule for a in tire.asked_by}
    assert tire.use == "occasional"
    assert tire.pair == "match"


def test_the_lowest_use_stands_first() -> None:
    found = ask(fixture("juniper.yaml"), "everyday")
    ranks = [BOOK.uses[r.use].rank for r in found.repairs]
    assert ranks == sorted(ranks)
    assert len(set(ranks)) > 1
    assert [r.number for r in found.repairs] == list(range(1, len(found.repairs) + 1))
    for repair in found.repairs:
        order = [(BOOK.uses[use].rank, BOOK.uses[use].side) for use in repair.uses]
        assert order == sorted(order)
        assert repair.uses[0] == repair.use


def test_repairs_in_one_position_at_one_axle_are_told_of_each_other() -> None:
    doc = document("""\
  - on: 2026-11-10
    by: RO
    readings:
      wheel-cylinder-leak: {lf: dry, rf: dry, lr: drops fall, rr: dry}
      brake-hardware: {lr: missing}
      brake-drum-surface: {lf: cracked, rf: smooth, lr: smooth, rr: smooth}
""")
    found = ask(doc, "proving")
    by_part = {name: r for r in found.repairs for name in r.parts}
    assert by_part["wheel-cylinder"].beside == (by_part["brake-spring-set"].number,)
    assert by_part["brake-spring-set"].beside == (by_part["wheel-cylinder"].number,)
    assert by_part["brake-drum"].beside == ()
    assert by_part["wheel-cylinder"].together == ("right rear",)


def test_nothing_known_against_it_promises_nothing() -> None:
    found = ask(document("  - {on: 2026-11-10, by: RO}\n"), "proving")
    assert found.repairs == ()
    text = render(found)
    assert "NOTHING THAT IS KNOWN STANDS AGAINST proving" in text
    assert "What was not looked at may still do so" in text
    assert found.exit_code == 3


def test_too_many_limits_on_one_chain_are_a_repair_of_their_own() -> None:
    """Several rungs may be blocked by them: that is one thing to mend."""
    doc = fixture("juniper.yaml")
    answer = Gate(doc, BOOK, Request(DAY, ("everyday",))).answer()
    combined = {f.rule for f in answer.blocking if f.combined_from}
    found = [r for r in ask(doc, "everyday").repairs if r.asked_by[0].rule.startswith("combined-limits-")]
    assert combined
    assert sorted(r.asked_by[0].rule for r in found) == sorted(combined)
    assert all("They are: " in r.what[0] for r in found)


# -- sizes ----------------------------------------------------------------------------------------

SHOCKS = """\
  - on: 2026-11-10
    by: RO
    readings:
      shock-leak: {lf: dry, rf: dry, lr: drops fall, rr: dry}
      shock-extended-length: {lf: 15 in, lr: {is: 20 3/8 in, with: tape}, rr: 517.0 mm}
      shock-collapsed-length: {lr: 12.50 in}
      shock-eye-diameter: {left-rear-top: 5/8 in, left-rear-bottom: 16 mm, left-front-top: 1/2 in}
      shock-eye-width: {left-rear-top: 1 1/4 in}
"""


def test_a_shock_is_told_with_its_place_eyes_and_both_lengths_as_written() -> None:
    found = ask(document(SHOCKS), "everyday")
    (shock,) = [p for p in found.parts if p.part == "shock"]
    assert shock.count == 2
    assert shock.places == ("left rear", "right rear")
    assert shock.found_at == ("left rear",)
    sizes = {(s.point, s.place): s.written for s in shock.sizes}
    assert sizes == {
        ("shock-extended-length", "left-rear"): ("20 3/8 in",),
        ("shock-extended-length", "right-rear"): ("517.0 mm",),
        ("shock-collapsed-length", "left-rear"): ("12.50 in",),
        ("shock-eye-diameter", "left-rear-top"): ("5/8 in",),
        ("shock-eye-diameter", "left-rear-bottom"): ("16 mm",),
        ("shock-eye-width", "left-rear-top"): ("1 1/4 in",),
    }
    missing = {(s.point, s.place) for s in shock.missing}
    assert ("shock-collapsed-length", "right-rear") in missing
    assert not any(place.startswith(("left-front", "right-front")) for _, place in missing)
    text = " ".join(render(found, parts_only=True).split())
    for written in ("20 3/8 in (measured by RO on 2026-11-10 with tape)", "517.0 mm", "12.50 in", "5/8 in"):
        assert written in text
    assert "2 x shock absorber - left rear, right rear" in text
    assert "both sides of the axle together" in text


@pytest.mark.parametrize("name", ["juniper.yaml", "heron.yaml", "linnet.yaml", "dunlin.yaml"])
def test_sizes_stand_byte_for_byte_in_the_document(name: str) -> None:
    text = (FIXTURES / name).read_text(encoding="utf-8")
    found = ask(fixture(name), "everyday")
    written = [
        w
        for p in found.parts
        for s in p.sizes
        for w in s.written
        if s.known != "taken by default, nobody said"
    ]
    assert written
    assert all(w in text for w in written)


def test_no_part_is_converted_or_rounded() -> None:
    found = ask(document(SHOCKS.replace("20 3/8 in", "0517.250 mm")), "everyday")
    (shock,) = [p for p in found.parts if p.part == "shock"]
    assert ("0517.250 mm",) in [s.written for s in shock.sizes]


def test_as_many_fasteners_as_are_missing() -> None:
    doc = document("""\
  - on: 2026-11-14
    by: RO
    readings:
      wheel-fasteners-missing: {lf: 0, rf: 0, lr: 2, rr: 1}
""")
    found = ask(doc, "proving")
    counts = {p.places: p.count for p in found.parts if p.part == "wheel-fastener"}
    assert sum(counts.values()) == 3


# -- what may wait ----------------------------------------------------------------------------------


def test_the_day_a_tire_turns_is_the_day_on_which_the_judgement_does() -> None:
    doc = fixture("juniper.yaml")
    ahead = [w for w in ask(doc).waits if w.kind == "ahead"]
    (tires,) = [w for w in ahead if any(a.rule == "tire-trade-ten" for a in w.asked_by)]
    turn = date.fromisoformat(tires.day)

    def states(on: date) -> set[State]:
        judged = judge_for(doc, BOOK, Day(on, True), BOOK.uses["proving"], None, only=("tire-trade-ten",))
        return {judged.results.states["tire-trade-ten", p, 0] for p in ("left-front", "right-front")}

    assert states(turn - timedelta(days=1)) == {State.MEETS}
    assert State.MEETS not in states(turn)
    assert "stands against loaded, towing, motorway, everyday" in " ".join(tires.then)
    # Week 14 of 2017 lies between 2017-03-26 and 2017-04-15 however weeks are counted.
    assert date(2027, 3, 27) <= turn <= date(2027, 4, 16)
    fails = date.fromisoformat(tires.until.split("fails from ")[1].split(" ")[0])
    assert states(fails) == {State.FAILS}
    assert states(fails - timedelta(days=1)) != {State.FAILS}


def test_what_waits_says_what_ends_it() -> None:
    waits = ask(fixture("juniper.yaml")).waits
    tread = next(w for w in waits if any(a.rule == "us-570-9a-tread" for a in w.asked_by))
    assert tread.kind == "limits"
    assert tread.until.startswith("until it is to be used for occasional")
    wiring = next(w for w in waits if w.asked_by[0].rule == "floor-wiring")
    assert wiring.kind == "watch"
    assert wiring.parts == ()
    assert wiring.day == "2027-10-03"  # seen on 2026-10-03, counts for twelve months (rules/points)


# -- after work: the rows of the list, each as it was asked for ---------------------------------------

PEDAL = ("brake-pedal-reserve", "brake-pedal-feel", "brake-pedal-sink")
ROWS: list[tuple[str, tuple[str, ...], tuple[str, ...], tuple[tuple[str, str], ...]]] = [
    ("wheel-removed", ("wheel-fastener-torque",), ("wheel-fastener-torque", "tire-clearance"),
     (("wheel-torque-retried", "50 to 100 miles"),)),
    ("wheel-bearing-adjusted",
     ("wheel-bearing-play", "hub-seal-leak", "hub-drum-temperature"),
     ("wheel-bearing-play", "hub-seal-leak", "wheel-fastener-torque"),
     (("hub-drum-temperature", "5 miles"),)),
    ("tire-changed",
     ("tire-size-marking", "tire-date-code", "tire-load-rating", "tire-speed-limit", "tire-pressure-cold",
      "tire-tread-depth", "speedometer-error", "tire-clearance"),
     ("tire-size-marking", "tire-date-code", "tire-load-rating", "tire-speed-limit", "tire-pressure-cold",
      "tire-tread-depth", "speedometer-error", "tire-clearance", "headlamp-aim", "brake-straight-stop"), ()),
    ("brake-hydraulics-opened",
     (*PEDAL, "brake-fluid-level", "brake-fluid-type", "brake-fluid-traces", "master-cylinder-leak"),
     (*PEDAL, "brake-pressure-test", "stop-lamp", "brake-straight-stop"),
     (("brake-fluid-level", "next morning"),)),
    ("wheel-cylinder-replaced", (*PEDAL, "wheel-cylinder-leak", "brake-fluid-level"),
     (*PEDAL, "brake-pressure-test", "stop-lamp", "brake-straight-stop"),
     (("brake-fluid-level", "next morning"),)),
    ("brake-shoes-replaced",
     ("brake-lining-thickness", "brake-adjusters", "brake-free-turn", "parking-brake-hold",
      "brake-straight-stop", "brake-stop-distance"),
     ("brake-lining-thickness", "brake-adjusters", "brake-free-turn", "parking-brake-hold",
      "brake-straight-stop", "brake-stop-distance", "hub-drum-temperature"), ()),
    ("brake-hose-replaced", ("brake-hose-clearance", *PEDAL),
     ("brake-hose-clearance", "brake-pressure-test", "brake-fluid-traces"), ()),
    ("parking-brake-work", ("parking-brake-hold", "brake-free-turn"),
     ("parking-brake-hold", "brake-free-turn", "driveline-vibration"), ()),
    ("steering-joint-replaced",
     ("wheel-toe", "steering-free-play", "steering-locking-pins", "steering-bind"),
     ("wheel-toe", "steering-free-play", "steering-locking-pins", "steering-bind", "brake-hose-clearance"),
     ()),
    ("kingpins-replaced", ("kingpin-play", "hub-seal-leak", "hub-drum-temperature"),
     ("kingpin-play", "hub-seal-leak"), (("hub-drum-temperature", "5 miles"),)),
    ("ball-joint-replaced", ("ball-joint-play", "hub-seal-leak", "hub-drum-temperature"),
     ("ball-joint-play", "hub-seal-leak"), (("hub-drum-temperature", "5 miles"),)),
    ("spring-work",
     ("ride-height", "axle-squareness", "spring-u-bolt-torque", "brake-hose-clearance",
      "shock-mount-distance-drop", "shock-mount-distance-bump", "headlamp-aim", "joint-angle-side",
      "joint-angle-top"),
     ("ride-height", "axle-squareness", "spring-u-bolt-torque", "brake-hose-clearance",
      "shock-mount-distance-drop", "shock-mount-distance-bump", "headlamp-aim", "joint-angle-side",
      "joint-angle-top"),
     (("spring-u-bolt-torque", "50 to 100 miles"),)),
    ("shock-replaced",
     ("shock-extended-length", "shock-collapsed-length", "shock-retainer", "brake-hose-clearance",
      "tire-clearance"),
     ("shock-mount-distance-drop", "shock-mount-distance-bump", "brake-hose-clearance", "tire-clearance"),
     ()),
    ("frame-welded",
     ("frame-repair", "frame-crack", "brake-line-rust", "fuel-line-rust", "wiring-insulation",
      "fuel-tank-leak", "frame-diagonal-difference"),
     ("brake-line-rust", "fuel-line-rust", "wiring-chafe", "body-mount"), (("frame-crack", "100 miles"),)),
    ("exhaust-work", ("exhaust-leak", "exhaust-support", "exhaust-clearance", "cabin-carbon-monoxide"),
     ("exhaust-leak", "cabin-carbon-monoxide"), ()),
    ("fuel-system-work", ("fuel-leak-running", "throttle-return"),
     ("fuel-leak-running", "throttle-return"), ()),
    ("wiring-work", ("charge-voltage", "circuit-protection", "headlamp-low", "tail-lamp", "stop-lamp"),
     ("charge-voltage", "circuit-protection", "headlamp-low", "tail-lamp", "stop-lamp"), ()),
    ("voltage-converted", ("charge-voltage", "circuit-protection"),
     ("charge-voltage", "circuit-protection"), ()),
    ("driveshaft-removed", ("driveshaft-fasteners", "driveline-vibration"),
     ("driveshaft-fasteners", "driveline-vibration"), (("driveshaft-fasteners", "50 miles"),)),
    ("door-latch-work", ("door-hold-shut", "door-open-inside"), ("door-hold-shut", "door-open-inside"), ()),
    ("underside-cleaned",
     ("underside-visibility", "frame-rust", "frame-crack", "brake-line-rust", "fuel-line-rust"),
     ("underside-visibility", "frame-rust", "frame-crack", "brake-line-rust", "fuel-line-rust"), ()),
    ("underside-coated",
     ("underside-visibility", "frame-rust", "frame-crack", "brake-line-rust", "fuel-line-rust"),
     ("underside-visibility",), ()),
    ("stood-90-days",
     ("engine-turns", "vermin-evidence", "fuel-condition", "wheel-cylinder-leak"),
     ("engine-turns", "vermin-evidence", "fuel-condition", "wheel-cylinder-leak"), ()),
]  # fmt: skip


@pytest.mark.parametrize(("name", "voids", "again", "later"), ROWS, ids=[row[0] for row in ROWS])
def test_work_voids_and_asks_what_practice_says(
    name: str, voids: tuple[str, ...], again: tuple[str, ...], later: tuple[tuple[str, str], ...]
) -> None:
    kind = BOOK.works[name]
    assert {p for p in voids if name not in BOOK.ends.get(p, ())} == set()
    assert set(again) - set(kind.again) == set()
    for point, words in later:
        assert any(x.point == point and words in x.words for x in kind.later), point


def left(doc: Document) -> dict[str, AfterWork]:
    return {a.work: a for a in ask(doc, "yard").open_work}


def points(work_left: AfterWork) -> set[tuple[str, str]]:
    return {(look.point, look.when) for look in work_left.again}


WHEEL = """\
  - on: 2026-10-01
    by: RO
    readings: {wheel-fastener-torque: {lr: 90 lbf-ft}}
    done: [{work: wheel-removed, at: lr}]
"""
TORQUE = (
    "  - {on: 2026-10-02, by: RO, readings: {wheel-fastener-torque: {%s: 90 lbf-ft}}, drove: {miles: %d}}\n"
)
AGAIN = '  - {on: 2026-10-09, by: RO, readings: {wheel-torque-retried: {lr: "yes"}}}\n'


def test_what_was_looked_at_since_disappears() -> None:
    after = "after 50 to 100 miles"
    here = left(document(WHEEL))["wheel-removed"]
    assert points(here) >= {("wheel-fastener-torque", ""), ("wheel-torque-retried", after)}
    torque = next(look for look in here.again if look.point == "wheel-fastener-torque")
    assert torque.places == ("left rear",)
    assert torque.was == ("90 lbf-ft on 2026-10-01",)
    other = left(document(WHEEL + TORQUE % ("rf", 0)))["wheel-removed"]
    assert ("wheel-fastener-torque", "") in points(other)
    same = left(document(WHEEL + TORQUE % ("lr", 0)))["wheel-removed"]
    assert ("wheel-fastener-torque", "") not in points(same)
    assert ("wheel-torque-retried", after) in points(same)


@pytest.mark.parametrize(("miles", "done"), [(49, False), (50, True), (80, True)])
def test_a_second_look_counts_only_after_the_miles(miles: int, done: bool) -> None:
    found = left(document(WHEEL + TORQUE % ("lr", miles) + AGAIN)).get("wheel-removed")
    open_points = {look.point for look in found.again} if found else set()
    assert ("wheel-torque-retried" not in open_points) is done


@pytest.mark.parametrize(("day", "done"), [("2026-10-01", False), ("2026-10-02", True)])
def test_the_level_is_looked_at_the_next_morning(day: str, done: bool) -> None:
    doc = document(
        "  - {on: 2026-10-01, by: RO, done: [{work: brake-hose-replaced, at: lf}]}\n"
        f"  - {{on: {day}, by: RO, readings: {{brake-fluid-level: {{chamber-1: full}}}}}}\n"
    )
    found = points(left(doc)["brake-hose-replaced"])
    assert ("brake-fluid-level", "") not in found
    assert (("brake-fluid-level", "the next morning") not in found) is done


def test_the_same_work_again_is_told_once() -> None:
    twice = WHEEL + "  - {on: 2026-10-05, by: RO, done: [{work: wheel-removed, at: lr}]}\n"
    found = [a for a in ask(document(twice), "yard").open_work if a.work == "wheel-removed"]
    assert [a.on for a in found] == ["2026-10-05"]


def test_a_struck_reading_is_no_look() -> None:
    struck = (
        "  - {on: 2026-10-02, by: RO, readings: {wheel-fastener-torque: "
        "{lr: {is: 90 lbf-ft, void: typed wrong}}}}\n"
    )
    found = left(document(WHEEL + struck))["wheel-removed"]
    assert ("wheel-fastener-torque", "") in points(found)


def test_what_work_would_make_void_is_what_it_does_make_void() -> None:
    """Asked before, and the cells after it was done: the same points and places."""
    doc = fixture("juniper.yaml")
    found = work(doc, BOOK, Request(DAY), "brake-hose-replaced@lf").asked_after[0]
    told = {look.point for look in found.voids}
    assert told == {"brake-hose-condition", "brake-fluid-traces", "brake-pedal-feel", "brake-fluid-level"}
    done, _ = suppose(doc, ("done brake-hose-replaced lf",), BOOK, DAY)
    assert done is not None
    use = BOOK.uses["everyday"]
    before, after = (judge_for(d, BOOK, DAY, use, None).settled.cells for d in (doc, done))
    void = {key for key, cell in after.items() if before[key].values and cell.why.startswith("void since")}
    assert {point for point, _ in void} == told
    assert ("brake-hose-condition", "left-front") in void
    assert ("brake-hose-condition", "right-front") not in void


def test_work_that_is_none_is_refused_with_what_is_near() -> None:
    with pytest.raises(Unreadable) as got:
        work(fixture("juniper.yaml"), BOOK, Request(DAY), "brake-hos@lf")
    assert "brake-hose-replaced" in got.value.problems[0].near


def test_the_gate_says_what_made_a_reading_void() -> None:
    answer = Gate(fixture("juniper.yaml"), BOOK, Request(DAY, ("proving",))).answer()
    (gap,) = [g for g in answer.gaps if g.point == "wheel-cylinder-leak"]
    assert dict(gap.places)["left-rear"].startswith("void since wheel cylinder or caliper replaced")
    assert "on 2026-10-03" in dict(gap.places)["left-rear"]


def test_parts_and_hands_have_ids_of_their_own_and_can_be_shown() -> None:
    ids = known_ids(BOOK)
    named = [*BOOK.parts, *BOOK.hands]
    assert all(ids.count(name) == 1 for name in named)
    for part in BOOK.parts.values():
        lines = dict(describe(BOOK, part.id))
        assert lines["for findings of"] == ", ".join(part.points)
    assert dict(describe(BOOK, "wheel-removed"))["and later"].endswith("after 50 to 100 miles")


def test_every_part_is_asked_for_by_a_point_and_fits_a_place() -> None:
    """Each point of a part lies at the places of the part, or leads to them."""
    for part in BOOK.parts.values():
        assert part.points
        for name in part.points:
            family = BOOK.points[name].family
            if "vehicle" in (family, part.family):
                continue
            here = {p.id for p in all_places(BOOK.families[part.family])}
            ups = {p.up for p in all_places(BOOK.families[part.family])}
            places = {p.id for p in all_places(BOOK.families[family])}
            above = {p.up for p in all_places(BOOK.families[family])}
            assert places & here or places & ups or above & here, (part.id, name)


@pytest.mark.parametrize(("after", "parts"), [(None, False), (None, True), ("spring-work", False)])
def test_the_page_says_what_the_text_says(after: str | None, parts: bool) -> None:
    found = work(fixture("juniper.yaml"), BOOK, Request(DAY, ("everyday",)), after)
    page = work_page(found, parts_only=parts)
    body = unescape(re.sub(r"<[^>]*>", " ", page.split("<body", 1)[1]))
    there = " ".join(body.split()).casefold()
    lines = [
        line.strip().removeprefix("- ") for line in render(found, 100_000, parts_only=parts).splitlines()
    ]
    assert [line for line in lines if " ".join(line.split()).casefold() not in there] == []


def test_an_acceptance_may_wait_until_its_last_day() -> None:
    text = (FIXTURES / "juniper.yaml").read_text(encoding="utf-8")
    text += (
        "accepted:\n  - {rule: tire-trade-ten, at: left-rear, by: RO, because: new tires in spring, "
        "until: 2026-12-31, use: motorway}\n"
    )
    source, problems = read_yaml(text.encode(), "made-up.yaml")
    assert source is not None, problems
    doc, problems = check(source, BOOK, DAY)
    assert doc is not None, problems
    (wait,) = [w for w in ask(doc, "motorway").waits if w.kind == "change"]
    assert wait.day == "2027-01-01"
    assert wait.until.startswith("accepted by RO for motorway through 2026-12-31 (new tires in spring")
    assert wait.where == ("left rear",)
    assert wait.then == ("it fails (bad) as before",)
    assert "Accepted, loosened or set aside, and only for a time (1)" in render(ask(doc, "motorway"))


def test_of_several_limits_the_strictest_holds_until_then() -> None:
    """Two rules limit the speed for the same rust: 25 and 35 mph (rules of the floor)."""
    waits = ask(fixture("heron.yaml")).waits
    rust = next(w for w in waits if any(f.point == "frame-rust" for f in w.found) and w.limits)
    speeds = {words for a in rust.asked_by for words in a.limits if words.startswith("top speed")}
    assert speeds == {"top speed: 25 mph", "top speed: 35 mph"}
    assert [words for words in rust.limits if words.startswith("top speed")] == ["top speed: 25 mph"]
    assert rust.hands


def test_a_number_just_under_says_that_the_gauge_cannot_tell() -> None:
    """1.5 mm against 2/32 in, which is 1.5875 mm: short by less than the tenth it was read to."""
    found = ask(fixture("juniper.yaml"), "occasional")
    (tire,) = [r for r in found.repairs if "tire" in r.parts]
    tread = {a.rule: a for a in tire.asked_by}["us-570-9a-tread"]
    assert tread.needs == ("at least 2/32 in",)
    assert "0.0875 mm" in tread.close
    assert "measure again" in tread.close
    text = " ".join(render(found).split())
    assert "3/32 in, 1.5 mm, 2/32 in (measured by RO on 2026-10-03)" in text
    assert f"Close call, left rear: {tread.close}" in text
