"""Compare: what became of each reading, and whether vehicle, rules or day moved the verdict."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest

from precheck.answer.compare import compare, day_of_last_visit
from precheck.answer.compare_record import Compared, ReadingMoved, UseMoved
from precheck.answer.corners import Past, found_by, same_rules, up_to
from precheck.answer.gate import Request, gate
from precheck.model.catalogue import Day
from precheck.model.document import Document
from precheck.model.rules import Verdict
from precheck.rulebook.book import Rulebook
from tests.support import minibook as mini
from tests.support.written import library, read, visit

THEN, NOW = date(2026, 5, 1), date(2026, 6, 1)
RULES = [
    mini.simple("tread-depth", mini.at_least("tread", "2/32 in"), family="road-wheels"),
    mini.simple("soft-pedal", mini.one_of("pedal", "firm"), ("proving",), ("proving",)),
]
BOOK = mini.book(RULES)
WHEELS = ("left-front", "right-front", "left-rear", "right-rear")


def treads(on: date, depth: str = "7/32 in", *places: str) -> object:
    return mini.visit(on, *(mini.claim("tread", depth, p) for p in places or WHEELS))


def between(
    document: Document,
    then: date = THEN,
    now: date = NOW,
    use: str = "yard",
    book: Rulebook = BOOK,
    sources: tuple[str, ...] | None = (),
) -> Compared:
    past = same_rules(up_to(document, then), document, Day(then, True), book)
    return compare(document, book, Request(Day(now, True), (use,), sources), past)


def kinds(found: Compared) -> dict[tuple[str, str], str]:
    return {(m.point, m.place): m.kind for m in found.readings}


def use(found: Compared, name: str) -> UseMoved:
    return next(line for line in found.ladder if line.use == name)


def reading(found: Compared, point: str, place: str) -> ReadingMoved:
    return next(m for m in found.readings if (m.point, m.place) == (point, place))


# -- what moved the verdict ------------------------------------------------------------------------------


def test_the_day_alone() -> None:
    """Treads last 90 days: read in February they are gone by June, and nobody did anything."""
    found = between(mini.document(treads(date(2026, 2, 15))))
    assert (found.verdict_then, found.verdict_now) == (Verdict.GO, Verdict.UNDECIDED)
    assert (use(found, "yard").moved_by, use(found, "yard").says) == (("day",), "the day alone")
    assert set(kinds(found).values()) == {"run out"}


def test_what_was_found_alone() -> None:
    found = between(mini.document(treads(THEN), treads(NOW, "1/32 in", "left-front")))
    assert (found.verdict_then, found.verdict_now) == (Verdict.GO, Verdict.NO_GO)
    assert use(found, "yard").moved_by == ("vehicle",)
    assert kinds(found) == {("tread", "left-front"): "worse"}
    (moved,) = found.results
    assert (moved.rule, moved.place, moved.moved_by, moved.by_reading) == (
        "tread-depth", "left-front", ("vehicle",), True,
    )  # fmt: skip


def test_either_alone_would_have() -> None:
    """One wheel's reading is struck by unknown, all run out besides: each alone leaves it undecided."""
    unknown = mini.visit(date(2026, 5, 20), mini.claim("tread", "unknown", "left-front"))
    found = between(mini.document(treads(date(2026, 2, 15)), unknown))
    assert use(found, "yard").moved_by == ("vehicle", "day")
    assert not use(found, "yard").together
    assert "each alone would" in use(found, "yard").says


def test_only_both_together() -> None:
    """A tire of week 20 of 2016 is fitted: not ten years old in May, ten in June. Either alone is a GO."""
    book = mini.book([mini.simple("ten", mini.less_than("age", "10 year"), family="road-wheels")])
    codes = [mini.claim("date-code", "2420", place) for place in WHEELS]
    change = mini.visit(date(2026, 5, 10), done=[mini.work("tire-changed", "left-front")])
    fitted = mini.visit(date(2026, 5, 11), mini.claim("date-code", "2016", "left-front"))
    found = between(mini.document(mini.visit(THEN, *codes), change, fitted), book=book)
    assert (found.verdict_then, found.verdict_now) == (Verdict.GO, Verdict.NO_GO)
    line = use(found, "yard")
    assert (line.moved_by, line.together) == (("vehicle", "day"), True)
    assert line.says == "what was found and done and the day, together"


def stricter() -> Rulebook:
    return mini.book([mini.simple("tread-depth", mini.at_least("tread", "8/32 in"), family="road-wheels")])


def test_the_rules_alone() -> None:
    document = mini.document(treads(THEN))
    old = up_to(document, THEN)
    past = Past(old, Day(THEN, True), BOOK, old, document)
    found = compare(document, stricter(), Request(Day(NOW, True), ("yard",), ()), past)
    assert (found.verdict_then, found.verdict_now) == (Verdict.GO, Verdict.NO_GO)
    assert (use(found, "yard").moved_by, found.rules_moved) == (("rules",), True)
    assert {r.moved_by for r in found.results if r.rule == "tread-depth"} == {("rules",)}
    assert all(not r.by_reading for r in found.results if r.rule == "tread-depth")


def test_rules_and_vehicle_together() -> None:
    """9/32 meets either rule, and 6/32 the old one: it takes the new reading under the new rule."""
    document = mini.document(treads(THEN, "9/32 in"), treads(date(2026, 5, 20), "6/32 in", "left-front"))
    old = up_to(document, THEN)
    past = Past(old, Day(THEN, True), BOOK, old, document)
    found = compare(document, stricter(), Request(Day(NOW, True), ("yard",), ()), past)
    assert found.verdict_now is Verdict.NO_GO
    assert use(found, "yard").moved_by == ("vehicle", "rules")
    assert use(found, "yard").together
    assert use(found, "yard").says == "what was found and done and the rules, together"


def test_nothing_moved() -> None:
    found = between(mini.document(treads(THEN)))
    assert found.results == ()
    assert found.readings == ()
    assert all(line.moved_by == () and line.then is line.now for line in found.ladder)


def test_both_sides_are_what_the_gate_says() -> None:
    document = mini.document(treads(date(2026, 4, 1)), treads(date(2026, 5, 20), "1/32 in", "left-rear"))
    found = between(document)
    request = Request(Day(NOW, True), ("yard",), ())
    now = gate(document, BOOK, request)
    then = gate(up_to(document, THEN), BOOK, replace(request, day=Day(THEN, True)))
    assert (found.headline_now, found.exit_code) == (now.headline, now.exit_code)
    assert found.headline_then == then.headline
    assert [(u.then, u.now) for u in found.ladder] == [
        (a.verdict, b.verdict) for a, b in zip(then.ladder, now.ladder, strict=True)
    ]


def test_a_tire_crosses_ten_years_by_the_day_alone() -> None:
    """Week 14 of 2017 is ten years old in April 2027: no reading tells of it, so the result does."""
    book = library()
    document = read(visit("2026-11-14", "tire-date-code: {lf: 1417}"), date(2026, 11, 14))
    found = between(document, date(2026, 11, 14), date(2027, 10, 14), "everyday", book, None)
    ten = next(r for r in found.results if r.rule == "tire-trade-ten")
    assert (ten.state_then, ten.state_now, ten.moved_by) == ("meets", "fails", ("day",))
    assert not ten.by_reading
    assert ten.values == ("tire-age: 9 years 7 months -> 10 years 6 months; limit: at most 10 years",)


def test_looking_back_is_never_go() -> None:
    found = between(mini.document(treads(THEN), treads(date(2026, 7, 1))), use="yard")
    assert found.looking_back
    assert found.verdict_now is Verdict.UNDECIDED
    assert [v.on for v in found.visits] == [str(THEN)]


# -- what became of a reading ------------------------------------------------------------------------------


def wheel(*visits: object, then: date = THEN, now: date = NOW) -> ReadingMoved:
    return reading(between(mini.document(*visits), then, now), "tread", "left-front")


def test_first_readings() -> None:
    assert wheel(treads(NOW)).kind == "first look"
    found = wheel(treads(NOW, "1/32 in"))
    assert (found.kind, found.blocks, found.rules) == ("new", "yard", ("tread-depth",))


def test_better_with_and_without_work() -> None:
    by_itself = wheel(treads(THEN, "1/32 in"), treads(NOW, "7/32 in"))
    assert (by_itself.kind, by_itself.by_itself) == ("better", True)
    change = mini.visit(date(2026, 5, 10), done=[mini.work("tire-changed", "left-front")])
    mended = wheel(treads(THEN, "1/32 in"), change, treads(NOW, "7/32 in"))
    assert (mended.kind, mended.by_itself, mended.work) == ("mended", False, "tire changed on 2026-05-10")
    assert (mended.state_then, mended.state_now) == ("fails", "meets")


def test_mended_and_not_looked_at_again() -> None:
    change = mini.visit(date(2026, 5, 10), done=[mini.work("tire-changed", "left-front")])
    found = wheel(treads(THEN, "1/32 in"), change)
    assert (found.kind, found.now, found.why) == ("mended", (), "void since tire changed on 2026-05-10")
    assert wheel(treads(THEN), change).kind == "work done"


def test_mended_before_and_looked_at_since() -> None:
    change = mini.visit(THEN, done=[mini.work("tire-changed", "left-front")])
    found = wheel(treads(date(2026, 4, 1), "1/32 in"), change, treads(NOW, "7/32 in"))
    assert (found.kind, found.then, found.now) == ("mended", ("1/32 in",), ("7/32 in",))


def test_struck() -> None:
    wrong = mini.visit(NOW, mini.claim("tread", "7/32 in", "left-front", struck="typed wrong"))
    found = wheel(treads(THEN), wrong)
    assert (found.kind, found.why) == ("struck", "struck: typed wrong")


def test_run_out_also_where_it_was_read_since() -> None:
    found = wheel(treads(date(2026, 5, 10)), now=date(2026, 12, 1))
    assert (found.kind, found.then, found.now) == ("run out", (), ("7/32 in",))


def test_said_to_be_unknown_now() -> None:
    assert wheel(treads(THEN), treads(NOW, "unknown", "left-front")).kind == "cannot tell"


def test_the_same_again_and_another_word() -> None:
    assert wheel(treads(THEN), treads(NOW)).kind == "confirmed"
    document = mini.document(
        mini.visit(THEN, mini.claim("construction", "bias", "left-front")),
        mini.visit(date(2026, 5, 10), done=[mini.work("tire-changed", "left-front")]),
        mini.visit(NOW, mini.claim("construction", "radial", "left-front")),
    )
    assert kinds(between(document))["construction", "left-front"] == "changed"


def test_a_fact_that_is_answered() -> None:
    seen = mini.visit(NOW, mini.claim("brake-actuation", "hydraulic"))
    assert kinds(between(mini.document(seen)))["brake-actuation", "vehicle"] == "first look"


@pytest.mark.parametrize("point", ["pressure"])
def test_what_anybody_sets_is_not_better_by_itself(point: str) -> None:
    visits = [
        mini.visit(d, mini.claim(point, v, "left-front")) for d, v in ((NOW, "36 psi"), (THEN, "20 psi"))
    ]
    found = reading(between(mini.document(*visits)), point, "left-front")
    assert (found.kind, found.by_itself) == ("better", False)


def two(old: Document, new: Document) -> Compared:
    past = same_rules(old, new, Day(THEN, True), BOOK)
    return compare(new, BOOK, Request(Day(THEN, True), ("yard",), ()), past)


def test_a_reading_taken_out_of_the_newer_file_is_told() -> None:
    found = two(mini.document(treads(THEN)), mini.document(treads(THEN, "7/32 in", *WHEELS[1:])))
    gone = reading(found, "tread", "left-front")
    assert (gone.kind, gone.then, gone.now, gone.why) == ("gone", ("7/32 in",), (), "no reading")


def test_a_fact_taken_out_and_a_place_that_is_no_more() -> None:
    spare = {**mini.LIGHT_TRUCK, "spare-wheel": "fitted"}
    on_spare = mini.visit(THEN, mini.claim("tread", "7/32 in", "spare"))
    found = two(mini.document(on_spare, facts=spare), mini.document(on_spare))
    assert kinds(found) == {("spare-wheel", "vehicle"): "gone", ("tread", "spare"): "gone"}


def test_a_look_that_does_not_clear_a_finding_is_told() -> None:
    rust = mini.visit(THEN, mini.claim("rail-rust", "pitted", "left-rail"))
    look = mini.visit(NOW, *mini.clear("frame", "under-running"))
    held = reading(between(mini.document(rust, look)), "rail-rust", "left-rail")
    assert held.kind == "cannot tell"
    assert "say it by name" in held.why


def test_every_result_that_differs_is_there_and_no_other() -> None:
    """Against the full records of two gates, which share nothing with the comparison but the judging."""
    book, then, now = library(), date(2026, 11, 14), date(2027, 10, 14)
    visits = visit("2026-11-14", "tire-date-code: {lf: 1417, rf: 2024}, tire-pressure-cold: {lf: 30 psi}")
    document = read(visits + visit("2027-10-01", "tire-tread-depth: {lf: 1/32 in, rf: 9/32 in}"), now)
    request = Request(Day(now, True), ("everyday",), full=True)
    old = gate(up_to(document, then), book, replace(request, day=Day(then, True)))
    states = [
        {(f.rule, f.place, f.step): (f.fine, f.weighs) for f in g.findings}
        for g in (old, gate(document, book, request))
    ]
    differ = {k for k in states[0].keys() | states[1].keys() if states[0].get(k) != states[1].get(k)}
    found = between(document, then, now, "everyday", book, None)
    assert {(r.rule, r.place, r.step) for r in found.results} == differ
    assert differ


# -- two files, notes, never looked at ----------------------------------------------------------------------


def test_an_older_file_and_a_newer_one_are_compared_as_one_vehicle() -> None:
    old = mini.document(treads(THEN))
    new = mini.document(treads(THEN), treads(NOW, "1/32 in", "left-front"))
    past = same_rules(old, new, Day(day_of_last_visit(old, NOW), True), BOOK)
    found = compare(new, BOOK, Request(Day(NOW, True), ("yard",), ()), past)
    assert kinds(found) == kinds(between(new)) == {("tread", "left-front"): "worse"}


def test_never_looked_at_then_and_now() -> None:
    found = between(mini.document(treads(NOW, "7/32 in", "left-front")))
    assert (found.never_then, found.never_now) == (4, 3)
    assert [(line.point, line.at) for line in found.never] == [
        ("tread", ("left rear", "right front", "right rear"))
    ]


def test_what_ran_out_was_looked_at_once() -> None:
    found = between(mini.document(treads(date(2026, 2, 15))))
    assert found.never == ()


NOTED = (
    "  - {on: 2026-05-01, by: RO, note: barn was cold, readings: {frame-rust: {left-rear-rail: "
    "{is: pitted, note: Behind the HANGER}}}, not-reached: {fan-blade: hood jammed}}\n"
    "  - {on: 2026-05-20, by: MK, done: [{work: brake-adjusted, note: three clicks}]}\n"
)


def test_notes_in_free_words_are_found_again() -> None:
    document = read(NOTED, NOW)
    past = same_rules(up_to(document, THEN), document, Day(THEN, True), library())
    request = Request(Day(NOW, True), ("yard",))
    found = compare(document, library(), request, past, find="hanger")
    assert [(n.on, n.text, n.line) for n in found.found] == [("2026-05-01", "Behind the HANGER", 5)]
    assert [(n.by, n.text, n.about) for n in found.notes] == [("MK", "three clicks", "brakes adjusted")]
    texts = [n.text for n in compare(document, library(), request, past, find="AR").found]
    assert texts == ["barn was cold", "Behind the HANGER"]
    by_point = compare(document, library(), request, past, find="fan-blade").found
    assert [n.text for n in by_point] == ["hood jammed"]


def test_found_by_keeps_the_order_of_visits() -> None:
    document = mini.document(treads(date(2026, 4, 1)), treads(date(2026, 5, 10)), treads(date(2026, 5, 20)))
    moved = found_by(document, THEN)
    assert [v.on for v in moved.visits] == [date(2026, 4, 1), THEN, THEN]
    assert [v.claims[0].on for v in moved.visits] == [date(2026, 4, 1), THEN, THEN]
    assert [v.index for v in moved.visits] == [0, 1, 2]


def test_the_same_record_twice() -> None:
    document = mini.document(treads(date(2026, 2, 15)), treads(NOW, "1/32 in", "left-front"))
    assert between(document) == between(document)
