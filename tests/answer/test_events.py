"""Events take trust back: one line in a record that is GO, and it is GO no more until somebody looked."""

from __future__ import annotations

from datetime import date, timedelta
from pathlib import Path

import pytest

from precheck.answer.gate import Gate, Request
from precheck.answer.record import Answer
from precheck.model.catalogue import Day
from precheck.model.rules import Verdict
from precheck.read.strict_yaml import read_yaml
from precheck.rulebook.load import load_quickly
from precheck.settle.check import check

BOOK = load_quickly()
READY = (Path(__file__).resolve().parents[2] / "fixtures" / "juniper-ready.yaml").read_text(encoding="utf-8")
ON = date(2026, 11, 14)
GO, NO_GO, UNDECIDED = Verdict.GO, Verdict.NO_GO, Verdict.UNDECIDED


def answer(added: str = "", use: str = "proving", on: date = ON) -> Answer:
    """For the record that is GO for its first road drive, with lines added at its end."""
    source, problems = read_yaml((READY.rstrip("\n") + "\n" + added).encode(), "ready.yaml")
    assert source is not None, problems
    document, problems = check(source, BOOK, Day(on, True))
    assert document is not None, problems
    return Gate(document, BOOK, Request(Day(on, True), (use,))).answer()


def happened(event: str, at: str = "", then: str = "") -> str:
    """A visit of the same day with the event, and one after it with what was read then."""
    line = f"  - on: {ON}\n    by: RO\n    done: [{{work: {event}{f', at: {at}' if at else ''}}}]\n"
    return line + (f"  - on: {ON}\n    by: RO\n    readings: {{{then}}}\n" if then else "")


def verdicts(found: Answer) -> dict[str, Verdict]:
    return {line.use: line.verdict for line in found.ladder}


def gaps(found: Answer) -> dict[str, dict[str, str]]:
    return {gap.point: dict(gap.places) for gap in found.gaps}


def test_without_an_event_it_is_go() -> None:
    assert verdicts(answer())["proving"] is GO


# The event; what some of the missing readings are; whether private ground is left open to it.
EVENTS = [
    (
        "drive-went-badly",
        ["tire-pressure-cold", "brake-lining-thickness", "brake-free-turn", "brake-straight-stop"],
        GO,
    ),
    ("stood-90-days", ["wheel-cylinder-leak", "rolls-free", "brake-free-turn"], UNDECIDED),
    ("load-changed", ["load-secured"], GO),
    ("load-shifted", ["load-secured"], GO),
    ("struck", ["wheel-face-condition", "wheel-crack", "axle-held", "tie-rod-straightness"], UNDECIDED),
    (
        "collision",
        ["brake-hose-condition", "fuel-tank-security", "belt-anchorage", "steering-lock-reach"],
        UNDECIDED,
    ),
    ("flooded", ["wheel-bearing-feel", "brake-lining-contamination", "brake-straight-stop"], UNDECIDED),
    ("overheated", ["coolant-level", "cooling-leak"], GO),
    ("run-low", ["tire-run-low", "tire-bulge", "tire-pressure-cold"], UNDECIDED),
    ("underside-cleaned", ["frame-rust", "frame-repair", "brake-line-rust"], GO),
    ("underside-coated", ["frame-rust", "frame-crack", "fuel-tank-leak"], GO),
]


@pytest.mark.parametrize(("event", "missing", "yard"), EVENTS, ids=[e[0] for e in EVENTS])
def test_one_line_takes_the_road_back(event: str, missing: list[str], yard: Verdict) -> None:
    found = answer(happened(event))
    assert found.verdict is UNDECIDED
    assert verdicts(found)["yard"] is yard
    open_now = gaps(found)
    assert set(missing) <= set(open_now)
    words = BOOK.works[event].words
    for point in missing:
        assert set(open_now[point].values()) == {f"void since {words} on {ON}"}


@pytest.mark.parametrize("event", [w.id for w in BOOK.works.values() if w.event and w.id != "drive"])
def test_an_event_leaves_the_rest_alone(event: str) -> None:
    """Beside what it ended, only what was never read: what may stand in its place."""
    ended = {name for name, by in BOOK.ends.items() if event in by}
    for point, places in gaps(answer(happened(event))).items():
        assert point in ended or set(places.values()) == {"no reading"}


def test_every_event_is_tried_here() -> None:
    events = {w.id for w in BOOK.works.values() if w.event}
    assert events <= {"drive", *(e[0] for e in EVENTS)}


# -- it pulled to the right -----------------------------------------------------------------------

PULL = 'brake-straight-stop: "pulls, must be held"'
HOT = "hub-drum-temperature: {lf: 95 degF, rf: 200 degF, lr: 90 degF, rr: 90 degF}"


def read_after(readings: str) -> str:
    return f"  - on: {ON}\n    by: RO\n    drove: {{miles: 4}}\n    readings: {{{readings}}}\n"


def test_a_pull_and_one_hot_drum_end_the_go_of_the_same_day() -> None:
    found = answer(read_after(f"{PULL}, {HOT}"))
    assert found.verdict is NO_GO
    assert {f.rule for f in found.blocking} == {"floor-brake-straight", "floor-hub-heat"}


def test_a_pull_alone_and_a_hot_drum_alone_end_it_too() -> None:
    assert answer(read_after(PULL)).verdict is NO_GO
    assert answer(read_after(HOT)).verdict is NO_GO


def test_a_hot_drum_is_not_forgotten_overnight() -> None:
    found = answer(read_after(HOT), on=ON + timedelta(days=1))
    assert found.verdict is NO_GO
    assert [f.rule for f in found.blocking] == ["floor-hub-heat"]


def test_it_goes_back_to_the_yard_and_gathers_both_front_wheels() -> None:
    """Named at the wheel it pulls to, because the fault may lie on the other side."""
    found = answer(happened("drive-went-badly", "right-front"))
    assert (found.verdict, found.highest) == (UNDECIDED, "yard")
    open_now = gaps(found)
    for point in (
        "tire-pressure-cold",
        "brake-lining-thickness",
        "brake-drum-surface",
        "brake-hose-condition",
        "brake-free-turn",
    ):
        assert set(open_now[point]) == {"left-front", "right-front"}
    assert set(open_now["brake-straight-stop"]) == {"vehicle"}
    assert not any("rear" in place for places in open_now.values() for place in places)


AGAIN = (
    "tire-pressure-cold: {lf: 31 psi, rf: 30 psi}, tire-run-low: {lf: 'no', rf: 'no'},"
    " brake-lining-thickness: {lf: 5/32 in, rf: 5/32 in}, brake-lining-state: clean and even,"
    " brake-lining-contamination: none, brake-drum-surface: smooth, brake-hardware: complete and free,"
    " brake-hose-condition: sound, brake-free-turn: free, brake-acts-at-wheel: acts,"
    " wheel-cylinder-leak: dry, wheel-bearing-play: {lf: 0 in, rf: 0 in}, wheel-bearing-feel: smooth,"
    " wheel-fasteners-loose: {lf: 0, rf: 0}, steering-free-play: 1 1/2 in, steering-bind: even and free,"
    " tie-rod-end-play: {left-outer: 0 in, right-outer: 0 in},"
    " drag-link-play: {box-end: 0 in, wheel-end: 0 in}, kingpin-play: {lf: 0 in, rf: 0 in},"
    " spring-center-bolt: seated, spring-u-bolt-state: tight"
)


def test_once_they_are_in_the_stop_is_asked_for_and_then_it_is_go_again() -> None:
    event = ("drive-went-badly", "right-front")
    found = answer(happened(*event, then=AGAIN))
    assert (found.verdict, set(gaps(found))) == (UNDECIDED, {"brake-straight-stop"})
    found = answer(happened(*event, then=f"{AGAIN}, brake-straight-stop: straight"))
    assert (found.verdict, gaps(found)) == (GO, {})


# -- stood for more than 90 days ------------------------------------------------------------------


def test_standing_needs_no_line_of_its_own() -> None:
    """What 90 days of standing ends runs out by time no later, so the dates alone say it."""
    for point in BOOK.works["stood-90-days"].voids:
        assert (BOOK.points[point].lasts.days or 999) <= 90, point
    found = answer(on=ON + timedelta(days=91))
    assert found.verdict is UNDECIDED
    assert {"wheel-cylinder-leak", "rolls-free", "brake-free-turn"} <= set(gaps(found))
