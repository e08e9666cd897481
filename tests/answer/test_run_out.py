"""Readings run out: on the last day of one the answer is GO, on the next it is not, and it says which."""

from __future__ import annotations

from datetime import date
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
MORNING = "  - on: 2026-11-14"  # its readings count for their own day, or for a week


def answer(on: date, drives: str = "") -> Answer:
    """The record that is GO for its first drive, with the look of that morning taken again on the day."""
    before, morning = READY.rstrip("\n").split(MORNING)
    text = f"{before}{drives}  - on: {on}{morning}\n"
    source, problems = read_yaml(text.encode(), "ready.yaml")
    assert source is not None, problems
    document, problems = check(source, BOOK, Day(on, True))
    assert document is not None, problems
    return Gate(document, BOOK, Request(Day(on, True), ("proving",))).answer()


def whys(found: Answer) -> dict[str, set[str]]:
    """Why each reading is missing, without the old value."""
    return {gap.point: {why.split(" (was ")[0] for _, why in gap.places} for gap in found.gaps}


def test_thirty_days_run_through_the_thirtieth() -> None:
    """Wheels turned by hand on the 1st of November count through the 1st of December."""
    last = answer(date(2026, 12, 1))
    assert last.verdict is Verdict.GO
    assert any(line.startswith("brake-free-turn (") for line in last.first_to_run_out)
    days = [line for line in last.first_to_run_out if "last day" in line]
    assert all(line.endswith("last day 2026-12-01") for line in days)
    after = answer(date(2026, 12, 2))
    assert after.verdict is Verdict.UNDECIDED
    assert "run out after 2026-12-01" in whys(after)["brake-free-turn"]
    for point, why in whys(after).items():
        assert BOOK.points[point].lasts.days == 30
        assert why <= {"run out after 2026-12-01", "no reading"}


@pytest.mark.parametrize(
    ("point", "last", "after"),
    [
        ("brake-straight-stop", date(2026, 12, 9), date(2026, 12, 10)),  # 30 days from the 9th
        ("wheel-cylinder-leak", date(2027, 1, 30), date(2027, 1, 31)),  # 90 days from the 1st
        ("brake-hose-condition", date(2027, 11, 1), date(2027, 11, 2)),  # 12 months from the 1st
    ],
)
def test_each_ends_on_its_own_day(point: str, last: date, after: date) -> None:
    assert point not in whys(answer(last))
    assert whys(answer(after))[point] == {f"run out after {last}"}


def test_the_morning_look_ends_at_midnight() -> None:
    found = answer(date(2026, 11, 14))
    assert found.verdict is Verdict.GO
    assert "brake-pedal-feel (the vehicle): last day 2026-11-14" in found.first_to_run_out


def test_a_rest_names_the_events_that_end_it() -> None:
    found = {r.point: r for r in answer(date(2026, 11, 14)).rests_on}
    assert "a drive went badly" in found["brake-straight-stop"].ends_with
    assert found["brake-straight-stop"].until == "2026-12-09"


def test_a_drive_ends_what_was_taken_before_it() -> None:
    drive = "  - {on: 2026-11-14, by: RO, drove: {miles: 4}}\n"
    before = answer(date(2026, 11, 14), drive)
    assert before.verdict is Verdict.GO  # the look came after it
    text = READY.rstrip("\n") + "\n" + drive
    source, _ = read_yaml(text.encode(), "ready.yaml")
    assert source is not None
    day = Day(date(2026, 11, 14), True)
    document, problems = check(source, BOOK, day)
    assert document is not None, problems
    after = Gate(document, BOOK, Request(day, ("proving",))).answer()
    assert after.verdict is Verdict.UNDECIDED
    assert whys(after) == {"tire-pressure-cold": {"void since driven on 2026-11-14"}}


# -- by distance ----------------------------------------------------------------------------------

FAR = {"wheel-bearing-play", "drag-link-play", "tie-rod-end-play"}  # 3,000 miles, read on 1 November


def odometer(first: str, second: str) -> str:
    return "".join(
        f"  - {{on: {on}, by: RO, readings: {{odometer-reading: {shown}}}}}\n"
        for on, shown in (("2026-10-31", first), ("2026-11-10", second))
    )


@pytest.mark.parametrize(
    ("drives", "verdict"),
    [
        ("  - {on: 2026-11-10, by: RO, drove: {miles: 3000}}\n", Verdict.GO),
        ("  - {on: 2026-11-10, by: RO, drove: {miles: 3001}}\n", Verdict.UNDECIDED),
        (odometer("41000 mi", "44000 mi"), Verdict.GO),
        (odometer("41000 mi", "44001 mi"), Verdict.UNDECIDED),
        # The larger of the two counts, whichever it is.
        (
            odometer("41000 mi", "41010 mi") + "  - {on: 2026-11-11, drove: {miles: 3001}}\n",
            Verdict.UNDECIDED,
        ),
        (odometer("41000 mi", "44001 mi") + "  - {on: 2026-11-11, drove: {miles: 1}}\n", Verdict.UNDECIDED),
    ],
    ids=["drives at", "drives over", "odometer at", "odometer over", "more by drives", "more by odometer"],
)
def test_three_thousand_miles_and_one_more(drives: str, verdict: Verdict) -> None:
    found = answer(date(2026, 11, 14), drives)
    assert found.verdict is verdict
    if verdict is not Verdict.GO:
        assert set(whys(found)) >= FAR
        assert all(whys(found)[point] == {"run out by distance driven"} for point in FAR)


def test_without_odometer_and_drives_time_ends_what_distance_would() -> None:
    for point in BOOK.points.values():
        if point.lasts.miles is not None:
            assert point.lasts.days or point.lasts.months, point.id


@pytest.mark.parametrize(
    ("drives", "end"),
    [
        ("", "3000 miles from now"),
        ("  - {on: 2026-11-10, by: RO, drove: {miles: 12.5}}\n", "2987 miles from now"),
        (odometer("41000 mi", "43999.5 mi"), "0 miles from now, odometer 44000 mi"),
        (
            odometer("41000 mi", "41100 mi") + "  - {on: 2026-11-11, drove: {miles: 50}}\n",
            "2850 miles from now, odometer 44000 mi",
        ),
    ],
)
def test_what_driving_ends_first_is_told_with_the_miles_left(drives: str, end: str) -> None:
    told = [line for line in answer(date(2026, 11, 14), drives).first_to_run_out if "from now" in line]
    assert {line.split(" (")[0] for line in told} >= FAR
    assert all(line.endswith(f": {end}") for line in told)
