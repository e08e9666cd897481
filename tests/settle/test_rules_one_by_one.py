"""The rules of settling in design section 4, one small document each.

Expected values: the design's text. Dates are near the day judged, 2026-06-01.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from datetime import date, timedelta
from pathlib import Path

import pytest

from precheck.model.catalogue import VEHICLE, Use
from precheck.model.document import Known, Visit
from precheck.model.settled import Cell, Settled, Status
from precheck.read.files import read_file
from precheck.rulebook.load import load_quickly
from precheck.settle.check import check
from precheck.settle.settle import settle
from tests.support.minibook import (
    BOOK,
    DAY,
    LIGHT_TRUCK,
    MILE,
    PROVING,
    YARD,
    claim,
    clear,
    day,
    document,
    missed,
    visit,
    work,
)

VALUE, MISSING, UNCLEAR = Status.VALUE, Status.MISSING, Status.UNCLEAR
LF, RF = "left-front", "right-front"


def ago(days: int) -> date:
    return DAY - timedelta(days=days)


def settled(
    *visits: Visit,
    use: Use = YARD,
    on: date = DAY,
    facts: Mapping[str, str] = LIGHT_TRUCK,
    listed: Mapping[str, tuple[str, ...]] | None = None,
) -> Settled:
    return settle(document(*visits, facts=facts, listed=listed), BOOK, day(on), use, tuple(BOOK.points))


def cell(
    point: str,
    *visits: Visit,
    at: str = LF,
    use: Use = YARD,
    on: date = DAY,
    facts: Mapping[str, str] = LIGHT_TRUCK,
) -> Cell:
    place = VEHICLE if BOOK.points[point].family == VEHICLE else at
    return settled(*visits, use=use, on=on, facts=facts).cells[point, place]


def words(found: Cell) -> list[str]:
    return [v.written for v in found.values]


# -- later wins -------------------------------------------------------------------------------


def test_pumped_and_written_again_the_same_day() -> None:
    found = cell(
        "pressure",
        visit(DAY, claim("pressure", "24 psi", LF)),
        visit(DAY, claim("pressure", "36 psi", LF)),
    )
    assert words(found) == ["36 psi"]


def test_file_order_decides_within_a_day() -> None:
    found = cell("pressure", visit(DAY, claim("pressure", "36 psi", LF), claim("pressure", "24 psi", LF)))
    assert words(found) == ["24 psi"]


def test_date_goes_before_file_order() -> None:
    late, early = visit(ago(1), claim("oil", "milky")), visit(ago(9), claim("oil", "clear"))
    assert words(cell("oil", late, early)) == ["milky"]


def test_a_later_worse_reading_wins_as_well() -> None:
    found = cell("oil", visit(ago(9), claim("oil", "clear")), visit(ago(1), claim("oil", "milky")))
    assert words(found) == ["milky"]


def test_the_reading_passed_over_is_kept_to_be_shown() -> None:
    found = cell("oil", visit(ago(9), claim("oil", "clear")), visit(ago(1), claim("oil", "milky")))
    assert [c.values[0].written for c, _ in found.passed_over] == ["clear"]


def test_all_readings_of_a_list_are_kept() -> None:
    found = cell("tread", visit(DAY, claim("tread", ["6/32 in", "5/32 in", "6/32 in"], LF)))
    assert words(found) == ["6/32 in", "5/32 in", "6/32 in"]


# -- work and driving -------------------------------------------------------------------------


def test_work_voids_the_readings_of_its_own_visit() -> None:
    found = cell("tread", visit(DAY, claim("tread", "8/32 in", LF), done=[work("tire-changed", LF)]))
    assert (found.status, found.why) == (MISSING, f"void since tire changed on {DAY}")


def test_work_does_not_void_what_is_read_after_it() -> None:
    found = cell(
        "tread",
        visit(ago(2), claim("tread", "1/32 in", LF), done=[work("tire-changed", LF)]),
        visit(ago(1), claim("tread", "8/32 in", LF)),
    )
    assert words(found) == ["8/32 in"]


@pytest.mark.parametrize(
    ("at", "void"),
    [((LF,), True), ((RF,), False), (("front",), True), (("rear",), False), ((), True), ((RF, LF), True)],
    ids=["there", "the other side", "its axle", "the other axle", "no place said", "two places"],
)
def test_work_voids_at_the_places_it_touches(at: tuple[str, ...], void: bool) -> None:
    seen = visit(DAY, claim("tread", "8/32 in", LF), done=[work("tire-changed", *at)])
    assert (cell("tread", seen).status is MISSING) is void


@pytest.mark.parametrize(
    ("at", "void"),
    [
        ((LF,), True),
        ((RF,), True),
        (("front",), True),
        (("rear",), False),
        (("left-rear",), False),
        ((), True),
    ],
    ids=["there", "its mate", "its axle", "the other axle", "a wheel of the other axle", "no place said"],
)
def test_where_one_wheel_tells_nothing_without_its_mate_both_are_void(
    at: tuple[str, ...], void: bool
) -> None:
    seen = visit(DAY, claim("nut-torque", "4 count", LF), done=[work("bad-drive", *at)])
    assert (cell("nut-torque", seen).status is MISSING) is void


def test_work_at_a_wheel_voids_what_is_read_for_its_axle() -> None:
    """Taken from the design: a value of the axle belongs to both of its ends."""
    points = [p for p in BOOK.points.values() if p.id == "pressure-wanted"]
    assert points[0].family == "axles"
    ends = {**BOOK.ends, "pressure-wanted": frozenset({"tire-changed"})}
    book = replace(BOOK, ends=ends)
    paper = document(
        visit(
            ago(1), claim("pressure-wanted", "36 psi", "front"), claim("pressure-wanted", "36 psi", "rear")
        ),
        visit(DAY, done=[work("tire-changed", LF)]),
    )
    cells = settle(paper, book, day(), YARD, ["pressure-wanted"]).cells
    assert cells["pressure-wanted", "front"].status is MISSING
    assert cells["pressure-wanted", "rear"].status is VALUE


def test_work_everywhere_voids_everywhere() -> None:
    seen = visit(DAY, claim("hose", "sound", LF), claim("hose", "sound", "rear"))
    opened = visit(DAY, done=[work("brakes-opened", LF)])
    for place in (LF, "rear"):
        assert cell("hose", seen, opened, at=place).status is MISSING


def test_work_at_a_place_of_no_relation_voids_all() -> None:
    """Nobody can tell how far it reached."""
    seen = visit(DAY, claim("traces", "dry", LF), claim("traces", "dry", "left-rear"))
    done = visit(DAY, done=[work("cylinder-replaced", "left-rail")])
    assert cell("traces", seen, done).status is MISSING
    assert cell("traces", seen, done, at="left-rear").status is MISSING


def test_work_of_another_kind_voids_nothing() -> None:
    found = cell("tread", visit(DAY, claim("tread", "8/32 in", LF), done=[work("tank-repaired", LF)]))
    assert found.status is VALUE


def test_a_point_of_the_vehicle_is_void_wherever_the_work_was() -> None:
    found = cell("pedal", visit(DAY, claim("pedal", "firm"), done=[work("cylinder-replaced", LF)]))
    assert found.status is MISSING


def test_driving_comes_after_the_readings_of_its_visit() -> None:
    assert cell("tank-leak", visit(DAY, claim("tank-leak", "dry"), drove=MILE)).status is MISSING
    assert cell("tank-leak", visit(DAY, claim("tank-leak", "dry"), drove=0)).status is VALUE
    assert cell("tank-leak", visit(DAY, claim("tank-leak", "dry"))).status is VALUE


def test_driving_ends_only_what_it_ends() -> None:
    assert cell("hose", visit(DAY, claim("hose", "sound", LF), drove=MILE)).status is VALUE


# -- struck readings --------------------------------------------------------------------------


def test_a_struck_reading_does_not_count() -> None:
    found = cell(
        "oil",
        visit(ago(2), claim("oil", "dark")),
        visit(ago(1), claim("oil", "milky", struck="typed wrong")),
    )
    assert words(found) == ["dark"]


def test_a_struck_entry_strikes_the_earlier_reading_of_that_value() -> None:
    found = cell(
        "oil",
        visit(ago(3), claim("oil", "dark")),
        visit(ago(2), claim("oil", "milky")),
        visit(ago(1), claim("oil", "milky", struck="typed wrong")),
    )
    assert words(found) == ["dark"]
    assert [why for _, why in found.passed_over] == ["struck: typed wrong"] * 2


def test_striking_strikes_one_reading_not_all_of_that_value() -> None:
    found = cell(
        "oil",
        visit(ago(9), claim("oil", "milky")),
        visit(ago(2), claim("oil", "milky")),
        visit(ago(1), claim("oil", "milky", struck="written twice")),
    )
    assert found.claim is not None
    assert found.claim.on == ago(9)


def test_striking_is_for_one_place() -> None:
    seen = visit(ago(2), claim("bulge", "yes", LF), claim("bulge", "yes", RF))
    mended = visit(ago(1), claim("bulge", "yes", LF, struck="typed wrong"))
    assert cell("bulge", seen, mended).status is MISSING
    assert words(cell("bulge", seen, mended, at=RF)) == ["yes"]


# -- a word for all places --------------------------------------------------------------------


def test_a_reading_without_place_speaks_for_places_without_their_own() -> None:
    seen = visit(DAY, claim("bulge", "no"), claim("bulge", "yes", RF))
    assert words(cell("bulge", seen)) == ["no"]
    assert words(cell("bulge", seen, at=RF)) == ["yes"]


def test_own_place_wins_whatever_the_order_in_the_visit() -> None:
    seen = visit(DAY, claim("bulge", "yes", RF), claim("bulge", "no"))
    assert words(cell("bulge", seen, at=RF)) == ["yes"]


@pytest.mark.parametrize(
    ("point", "found", "all_good"), [("bulge", "yes", "no"), ("traces", "grease", "dry")]
)
def test_a_word_for_all_does_not_clear_a_finding(point: str, found: str, all_good: str) -> None:
    seen, blanket = visit(ago(2), claim(point, found, LF)), visit(ago(1), claim(point, all_good))
    held = cell(point, seen, blanket)
    assert held.status is MISSING
    assert "say it by name" in held.why
    assert words(cell(point, seen, blanket, at=RF)) == [all_good]


def test_said_by_name_the_finding_is_cleared() -> None:
    found = cell(
        "bulge",
        visit(ago(3), claim("bulge", "yes", LF)),
        visit(ago(2), claim("bulge", "no")),
        visit(ago(1), claim("bulge", "no", LF)),
    )
    assert words(found) == ["no"]


def test_after_voiding_work_the_word_for_all_counts() -> None:
    found = cell(
        "bulge",
        visit(ago(3), claim("bulge", "yes", LF), done=[work("tire-changed", LF)]),
        visit(ago(2), claim("bulge", "no")),
    )
    assert words(found) == ["no"]


def test_a_worse_word_for_all_counts_everywhere() -> None:
    found = cell(
        "hose", visit(ago(3), claim("hose", "fine lines", LF)), visit(ago(2), claim("hose", "deep cracks"))
    )
    assert words(found) == ["deep cracks"]


# -- nothing found ----------------------------------------------------------------------------


def test_nothing_found_gives_the_clear_state() -> None:
    found = cell("hose", visit(DAY, *clear("brakes", "under")))
    assert words(found) == ["sound"]
    assert found.claim is not None
    assert found.claim.clear_of == "under"


def test_nothing_found_speaks_only_for_its_system_and_access() -> None:
    looked = settled(visit(DAY, *clear("brakes", "under")))
    said = {point for (point, _), found in looked.cells.items() if found.claim and found.claim.clear_of}
    assert said == {"hose", "traces"}


def test_nothing_found_says_no_number_and_clears_no_test() -> None:
    looked = settled(visit(DAY, *clear("tires", "ground")))
    assert looked.cells["tread", LF].status is MISSING
    assert looked.cells["construction", LF].status is MISSING
    assert looked.cells["bulge", LF].status is VALUE


def test_nothing_found_is_beaten_by_a_written_reading_of_the_visit() -> None:
    seen = visit(DAY, claim("hose", "deep cracks", LF), *clear("brakes", "under"))
    assert words(cell("hose", seen)) == ["deep cracks"]
    assert words(cell("hose", seen, at="rear")) == ["sound"]


def test_nothing_found_is_beaten_by_a_word_for_all_of_the_visit() -> None:
    seen = visit(DAY, claim("hose", "fine lines"), *clear("brakes", "under"))
    assert words(cell("hose", seen)) == ["fine lines"]


@pytest.mark.parametrize("by_name", [True, False])
def test_nothing_found_never_clears_an_earlier_finding(by_name: bool) -> None:
    found = visit(ago(2), claim("hose", "fine lines", LF if by_name else None))
    held = cell("hose", found, visit(ago(1), *clear("brakes", "under")))
    assert held.status is MISSING
    assert held.why == (
        f"'nothing found' on {ago(1)} does not clear 'fine lines' of {ago(2)}; say it by name"
    )


def test_nothing_found_does_not_clear_a_finding_that_ran_out() -> None:
    """A crack does not go away by waiting."""
    found = visit(ago(300), claim("hose", "deep cracks", LF))
    assert cell("hose", found, visit(ago(1), *clear("brakes", "under"))).status is MISSING


def test_nothing_found_after_the_work_counts() -> None:
    found = cell(
        "hose",
        visit(ago(2), claim("hose", "deep cracks", LF), done=[work("brakes-opened", LF)]),
        visit(ago(1), *clear("brakes", "under")),
    )
    assert words(found) == ["sound"]


@pytest.mark.parametrize("place", [None, LF])
def test_nothing_found_says_nothing_where_it_was_not_reached(place: str | None) -> None:
    looked = visit(DAY, *clear("brakes", "under"), not_reached=[missed("hose", place, "behind the shield")])
    found = cell("hose", looked)
    assert found.status is MISSING
    assert found.why == f"not reached on {DAY}: behind the shield"
    assert (cell("hose", looked, at="rear").status is MISSING) is (place is None)


@pytest.mark.parametrize(
    ("seen", "status"),
    [("bare or paint", VALUE), ("thin film", VALUE), ("thick coating hides metal", UNCLEAR),
     ("cannot be seen", UNCLEAR)],
)  # fmt: skip
def test_nothing_found_under_a_coating_tells_nothing(seen: str, status: Status) -> None:
    looked = visit(DAY, *clear("frame", "under-running"), claim("underside-visibility", seen, "left-rail"))
    found = cell("rail-rust", looked, at="left-rail")
    assert found.status is status
    assert found.why.startswith("hidden:") is (status is UNCLEAR)
    assert cell("rail-rust", looked, at="right-rail").status is VALUE


def test_a_hidden_area_hides_what_has_no_area_of_its_own() -> None:
    hidden = claim("underside-visibility", "cannot be seen", "crossmembers")
    assert cell("tank-leak", visit(DAY, *clear("fuel", "under"), hidden)).status is UNCLEAR
    assert cell("tank-leak", visit(DAY, claim("tank-leak", "dry"), hidden)).status is VALUE


# -- unknown, not reached, asked back ---------------------------------------------------------


@pytest.mark.parametrize("point", ["oil", "tread", "date-code", "size", "brake-actuation", "weight-rating"])
def test_unknown_always_gives_cannot_tell(point: str) -> None:
    found = cell(point, visit(DAY, claim(point, "unknown", LF)))
    assert found.status is UNCLEAR
    assert found.why


def test_unknown_of_a_fact_does_not_fall_back_to_its_default() -> None:
    found = cell("spare-wheel", facts={**LIGHT_TRUCK, "spare-wheel": "unknown"})
    assert found.status is UNCLEAR


def test_a_fact_without_answer_falls_back_to_its_default() -> None:
    found = cell("spare-wheel")
    assert words(found) == ["not fitted"]
    assert found.defaulted


def test_a_fact_without_default_stays_open() -> None:
    assert cell("brake-actuation").status is MISSING


def test_why_it_was_not_reached_is_told() -> None:
    found = cell("tread", visit(ago(1), not_reached=[missed("tread", None, "wheels sunk in")]))
    assert found.why == f"not reached on {ago(1)}: wheels sunk in"


def test_not_reached_later_leaves_an_earlier_reading() -> None:
    found = cell(
        "tread",
        visit(ago(5), claim("tread", "6/32 in", LF)),
        visit(ago(1), not_reached=[missed("tread", None, "wheels sunk in")]),
    )
    assert words(found) == ["6/32 in"]


def test_an_implausible_value_cannot_tell_until_it_is_confirmed() -> None:
    found = cell(
        "tread", visit(DAY, claim("tread", "6 in", LF, why_unknown="more than a tread is likely to be"))
    )
    assert found.status is UNCLEAR
    assert "more than a tread" in found.why


def test_nothing_said_is_not_measured() -> None:
    found = cell("tread")
    assert (found.status, found.why) == (MISSING, "no reading")


# -- how it is known --------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("point", "written", "known", "yard", "proving"),
    [
        ("bulge", "no", Known.SEEN, VALUE, VALUE),
        ("bulge", "no", Known.MEASURED, VALUE, VALUE),
        ("bulge", "no", Known.TOLD, VALUE, MISSING),
        ("bulge", "no", Known.PAPERS, MISSING, MISSING),
        ("bulge", "no", Known.SAME_AS, MISSING, MISSING),
        ("lamp", "works", Known.TOLD, VALUE, VALUE),  # be-seen is none of the chains
        ("oil", "clear", Known.TOLD, VALUE, VALUE),  # on no chain
        ("construction", "radial", Known.TOLD, VALUE, VALUE),  # permanent
        ("construction", "radial", Known.PAPERS, VALUE, VALUE),
        ("date-code", "1417", Known.SAME_AS, VALUE, VALUE),
        ("pressure-wanted", "36 psi", Known.PAPERS, VALUE, VALUE),
        ("brake-actuation", "air", Known.TOLD, VALUE, VALUE),
        ("brake-actuation", "air", Known.PAPERS, VALUE, VALUE),
    ],
)
def test_what_each_use_takes(point: str, written: str, known: Known, yard: Status, proving: Status) -> None:
    place = {"axles": "front", "lamps": "left-stop"}.get(BOOK.points[point].family, LF)
    seen = visit(DAY, claim(point, written, place, known=known))
    assert cell(point, seen, at=place).status is yard
    assert cell(point, seen, at=place, use=PROVING).status is proving


def test_told_only_names_who_told_and_when() -> None:
    found = cell("bulge", visit(ago(4), claim("bulge", "no", LF, known=Known.TOLD)), use=PROVING)
    assert found.why == f"told only by RO on {ago(4)}: proving needs it measured or seen"


@pytest.mark.parametrize("known", [Known.TOLD, Known.PAPERS])
def test_hearsay_never_replaces_what_was_seen(known: Known) -> None:
    found = cell(
        "oil", visit(ago(9), claim("oil", "milky")), visit(ago(1), claim("oil", "clear", known=known))
    )
    assert words(found) == ["milky"]


def test_hearsay_counts_once_the_sure_reading_has_run_out() -> None:
    found = cell(
        "bulge",
        visit(ago(31), claim("bulge", "yes", LF)),
        visit(ago(1), claim("bulge", "no", LF, known=Known.TOLD)),
    )
    assert words(found) == ["no"]


def test_a_sure_reading_replaces_hearsay() -> None:
    found = cell(
        "oil", visit(ago(9), claim("oil", "clear", known=Known.TOLD)), visit(ago(1), claim("oil", "milky"))
    )
    assert words(found) == ["milky"]


def test_a_dated_fact_wins_over_the_short_form() -> None:
    told = claim("rear-wheels", "dual", known=Known.TOLD)
    assert words(cell("rear-wheels", visit(ago(9), told))) == ["dual"]


# -- running out ------------------------------------------------------------------------------


@pytest.mark.parametrize(("days", "counts"), [(0, True), (30, True), (31, False)])
def test_days_run_through_date_plus_n(days: int, counts: bool) -> None:
    found = cell("bulge", visit(ago(days), claim("bulge", "no", LF)))
    assert (found.status is VALUE) is counts
    if counts:
        assert found.runs_out == ago(days) + timedelta(days=30)
    else:
        assert found.why == f"run out after {ago(days) + timedelta(days=30)} (was no)"


@pytest.mark.parametrize(
    ("read", "last"),
    [
        (date(2025, 8, 31), date(2026, 2, 28)),  # no 31st of February: the month's last day
        (date(2023, 8, 31), date(2024, 2, 29)),
        (date(2025, 12, 1), date(2026, 6, 1)),
        (date(2024, 2, 29), date(2024, 8, 29)),
    ],
)
def test_months_run_by_the_calendar(read: date, last: date) -> None:
    seen = visit(read, claim("hose", "sound", LF))
    assert cell("hose", seen, on=last).status is VALUE
    assert cell("hose", seen, on=last + timedelta(days=1)).status is MISSING


@pytest.mark.parametrize(("days", "counts"), [(0, True), (1, False)])
def test_each_drive_means_the_same_date(days: int, counts: bool) -> None:
    assert (cell("pedal", visit(ago(days), claim("pedal", "firm"))).status is VALUE) is counts


@pytest.mark.parametrize(("miles", "counts"), [(100, True), (101, False)])
def test_miles_by_the_drives_written(miles: int, counts: bool) -> None:
    found = cell(
        "nut-torque",
        visit(ago(9), claim("nut-torque", "90 count", LF), drove=MILE),
        visit(ago(1), drove=(miles - 1) * MILE),
    )
    assert (found.status is VALUE) is counts


@pytest.mark.parametrize(("shown", "counts"), [("41100 mi", True), ("41101 mi", False)])
def test_miles_by_the_odometer(shown: str, counts: bool) -> None:
    found = cell(
        "nut-torque",
        visit(ago(9), claim("nut-torque", "90 count", LF), claim("odometer-reading", "41000 mi")),
        visit(ago(1), claim("odometer-reading", shown)),
    )
    assert (found.status is VALUE) is counts


def test_whichever_ends_first() -> None:
    """Tread: 90 days and 3000 miles."""
    seen = visit(ago(1), claim("tread", "6/32 in", LF), drove=3001 * MILE)
    assert cell("tread", seen).status is MISSING
    assert cell("tread", visit(ago(91), claim("tread", "6/32 in", LF))).status is MISSING
    assert cell("tread", visit(ago(90), claim("tread", "6/32 in", LF))).status is VALUE


def test_a_permanent_mark_does_not_run_out() -> None:
    found = cell("date-code", visit(date(1999, 1, 1), claim("date-code", "1417", LF)))
    assert found.status is VALUE
    assert found.runs_out is None


def test_the_old_value_is_still_shown() -> None:
    found = cell("bulge", visit(ago(31), claim("bulge", "no", LF)))
    assert found.claim is not None
    assert found.claim.values[0].written == "no"


# -- the day ----------------------------------------------------------------------------------


def test_a_visit_after_the_day_does_not_count_and_is_looking_back() -> None:
    visits = visit(ago(1), claim("oil", "clear")), visit(DAY + timedelta(days=1), claim("oil", "milky"))
    assert words(cell("oil", *visits)) == ["clear"]
    assert settled(*visits).looking_back
    assert not settled(*visits, on=DAY + timedelta(days=1)).looking_back


@pytest.mark.parametrize("given", [True, False])
def test_a_visit_after_the_day_is_a_problem_unless_the_day_was_named(tmp_path: Path, given: bool) -> None:
    file = tmp_path / "later.yaml"
    file.write_text("condition: 1\nvisits:\n  - on: 2026-06-02\n    readings: {}\n", encoding="utf-8")
    source, problems = read_file(file, "later.yaml")
    assert source is not None
    book = load_quickly()
    found, problems = check(source, book, day(given=given))
    assert [p.code for p in problems] == ([] if given else ["visit-after-day"])
    assert (found is None) is not given


# -- better by itself, permanent marks --------------------------------------------------------


def watched(*visits: Visit) -> list[tuple[str, str]]:
    return [(w.point, w.words) for w in settled(*visits).watch]


def test_better_by_itself_goes_on_the_watch_list() -> None:
    before, after = (
        visit(ago(20), claim("tread", "3/32 in", LF)),
        visit(ago(1), claim("tread", "6/32 in", LF)),
    )
    [(point, why)] = watched(before, after)
    assert point == "tread"
    assert why.startswith("better by itself: '3/32 in'")
    assert words(cell("tread", before, after)) == ["6/32 in"]


def test_a_better_state_by_itself_is_watched_too() -> None:
    assert watched(visit(ago(20), claim("oil", "milky")), visit(ago(1), claim("oil", "clear")))


def test_worse_or_the_same_is_not_watched() -> None:
    assert not watched(visit(ago(20), claim("oil", "clear")), visit(ago(1), claim("oil", "milky")))
    assert not watched(visit(ago(20), claim("oil", "dark")), visit(ago(1), claim("oil", "dark")))


def test_after_work_better_is_no_wonder() -> None:
    before = visit(ago(20), claim("tread", "3/32 in", LF), done=[work("tire-changed", LF)])
    assert not watched(before, visit(ago(1), claim("tread", "9/32 in", LF)))


def test_what_people_set_is_not_watched() -> None:
    before, after = visit(DAY, claim("pressure", "24 psi", LF)), visit(DAY, claim("pressure", "36 psi", LF))
    assert not watched(before, after)


def test_a_permanent_mark_read_differently_cannot_be_told() -> None:
    before = visit(ago(20), claim("date-code", "1417", LF))
    found = cell("date-code", before, visit(ago(1), claim("date-code", "1471", LF)))
    assert found.status is UNCLEAR
    assert "'1417'" in found.why
    assert "'1471'" in found.why


def test_a_permanent_mark_read_the_same_twice_is_fine() -> None:
    before = visit(ago(20), claim("date-code", "1417", LF))
    assert cell("date-code", before, visit(ago(1), claim("date-code", "1417", LF))).status is VALUE


def test_after_work_a_permanent_mark_may_differ() -> None:
    before = visit(ago(20), claim("date-code", "1417", LF), done=[work("tire-changed", "front")])
    assert words(cell("date-code", before, visit(ago(1), claim("date-code", "2024", LF)))) == ["2024"]


def test_striking_the_wrong_one_settles_a_permanent_mark() -> None:
    found = cell(
        "date-code",
        visit(ago(20), claim("date-code", "1471", LF)),
        visit(ago(2), claim("date-code", "1417", LF)),
        visit(ago(1), claim("date-code", "1471", LF, struck="turned round")),
    )
    assert words(found) == ["1417"]


def test_a_fact_may_change() -> None:
    found = cell("service", visit(ago(1), claim("service", "commercial")), facts={"service": "private"})
    assert words(found) == ["commercial"]


# -- places -----------------------------------------------------------------------------------


def tires(**facts: str) -> list[str]:
    return [place for point, place in settled(facts={**LIGHT_TRUCK, **facts}).cells if point == "tread"]


def test_single_rear_wheels_and_no_spare() -> None:
    assert tires() == [LF, RF, "left-rear", "right-rear"]


def test_dual_rear_wheels() -> None:
    rear = ["left-rear-outer", "left-rear-inner", "right-rear-outer", "right-rear-inner"]
    assert tires(**{"rear-wheels": "dual"}) == [LF, RF, *rear]


def test_a_spare_exists_only_if_fitted() -> None:
    assert "spare" in tires(**{"spare-wheel": "fitted"})
    assert "spare" not in tires(**{"spare-wheel": "not fitted"})


def test_places_follow_a_later_answer() -> None:
    changed = visit(ago(1), claim("rear-wheels", "dual"))
    assert ("tread", "left-rear-outer") in settled(changed).cells


def test_listed_places_come_from_the_class_or_the_document() -> None:
    def hoses(facts: Mapping[str, str], listed: Mapping[str, tuple[str, ...]] | None = None) -> list[str]:
        found = settled(facts=facts, listed=listed)
        return [place for point, place in found.cells if point == "hose"]

    assert hoses({"vehicle-class": "car"}) == [LF, "rear"]
    assert hoses(LIGHT_TRUCK) == [LF, RF, "rear"]
    assert hoses(LIGHT_TRUCK, {"brake-hoses": ("middle", "rear")}) == ["middle", "rear"]


def test_spots_are_those_written() -> None:
    spots = visit(DAY, claim("wall", "2 mm", "behind-cab"), claim("wall", "3 mm", "hanger"))
    assert [place for point, place in settled(spots).cells if point == "wall"] == ["behind-cab", "hanger"]
    assert not [1 for point, _ in settled().cells if point == "wall"]


# -- through the reader: dual wheels, same-as -------------------------------------------------


def read(tmp_path: Path, text: str) -> tuple[object, list[str]]:
    file = tmp_path / "written.yaml"
    file.write_text(text, encoding="utf-8")
    source, _ = read_file(file, "written.yaml")
    assert source is not None
    found, problems = check(source, load_quickly(), day())
    return found, [f"{p.code}: {p.found} | {p.expected} | {', '.join(p.near)}" for p in problems]


DUAL = "condition: 1\nvehicle: {vehicle-class: light truck, rear-wheels: dual}\nvisits:\n  - on: 2026-06-01\n"


def test_plain_left_rear_is_a_problem_on_dual_wheels_and_both_are_offered(tmp_path: Path) -> None:
    found, problems = read(tmp_path, DUAL + "    readings: {tire-pressure-cold: {lr: 40 psi}}\n")
    assert found is None
    [problem] = problems
    assert "left-rear-outer" in problem
    assert "left-rear-inner" in problem


def test_dual_wheels_by_their_short_names(tmp_path: Path) -> None:
    _, problems = read(tmp_path, DUAL + "    readings: {tire-pressure-cold: {lro: 40 psi, lri: 40 psi}}\n")
    assert problems == []


def test_a_spare_that_is_not_fitted_has_no_readings(tmp_path: Path) -> None:
    text = DUAL.replace("dual", "dual, spare-wheel: not fitted")
    _, problems = read(tmp_path, text + "    readings: {tire-pressure-cold: {spare: 40 psi}}\n")
    assert [p.split(":")[0] for p in problems] == ["unknown-place"]


def test_same_as_takes_the_value_of_its_target(tmp_path: Path) -> None:
    marks = "    readings: {tire-date-code: {left-front: 1417, right-front: {same-as: left-front}}}\n"
    found, problems = read(tmp_path, DUAL + marks)
    assert problems == []
    claims = found.visits[0].claims  # type: ignore[attr-defined]
    assert [(c.place, c.known, c.values[0].written) for c in claims] == [
        (LF, Known.SEEN, "1417"),
        (RF, Known.SAME_AS, "1417"),
    ]


@pytest.mark.parametrize(
    "marks",
    [
        "{tire-pressure-cold: {left-front: 40 psi, right-front: {same-as: left-front}}}",
        "{tire-date-code: {right-front: {same-as: left-front}}}",
        "{tire-date-code: {left-front: {same-as: right-front}, right-front: {same-as: left-front}}}",
        "{tire-date-code: {left-front: unknown, right-front: {same-as: left-front}}}",
    ],
    ids=["no permanent mark", "nothing written there", "each other", "unknown there"],
)
def test_same_as_is_refused(tmp_path: Path, marks: str) -> None:
    _, problems = read(tmp_path, DUAL + f"    readings: {marks}\n")
    assert problems
    assert {p.split(":")[0] for p in problems} == {"same-as"}


def test_same_as_of_another_visit_is_refused(tmp_path: Path) -> None:
    first = "    readings: {tire-date-code: {left-front: 1417}}\n  - on: 2026-06-01\n"
    _, problems = read(
        tmp_path, DUAL + first + "    readings: {tire-date-code: {right-front: {same-as: left-front}}}\n"
    )
    assert {p.split(":")[0] for p in problems} == {"same-as"}


def test_same_as_of_a_struck_reading_is_refused(tmp_path: Path) -> None:
    marks = "{left-front: {is: 1417, void: of another truck}, right-front: {same-as: left-front}}"
    _, problems = read(tmp_path, DUAL + f"    readings: {{tire-date-code: {marks}}}\n")
    assert {p.split(":")[0] for p in problems} == {"same-as"}


def test_same_as_of_a_value_that_is_asked_back_is_asked_back_too(tmp_path: Path) -> None:
    marks = "{axle-weight-rating: {front: 90000 lb, rear: {same-as: front}}}"
    found, problems = read(tmp_path, DUAL + f"    readings: {marks}\n")
    assert problems == []
    claims = found.visits[0].claims  # type: ignore[attr-defined]
    assert [bool(c.why_unknown) for c in claims] == [True, True]


@pytest.mark.parametrize("written", ["0.1 in", "unknown", "{is: 0.1 in, note: at the hanger}"])
def test_a_spot_must_have_a_name(tmp_path: Path, written: str) -> None:
    """Without one there is no place where the finding could be judged."""
    _, problems = read(tmp_path, DUAL + f"    readings: {{frame-wall-thickness: {written}}}\n")
    assert [p.split(":")[0] for p in problems] == ["place-missing"]


def test_a_fact_has_one_answer(tmp_path: Path) -> None:
    _, problems = read(tmp_path, "condition: 1\nvehicle: {rear-wheels: [single, dual]}\n")
    assert [p.split(":")[0] for p in problems] == ["one-answer"]
    _, problems = read(tmp_path, "condition: 1\nvehicle: {rear-wheels: [dual, dual]}\n")
    assert problems == []
