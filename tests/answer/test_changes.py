"""Local rule files and acceptances: what they may change, what they may not, and that all of it is shown."""

from __future__ import annotations

import json
from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest

from precheck.answer.gate import Request, gate
from precheck.answer.record import Answer
from precheck.model.catalogue import Day
from precheck.model.document import Document
from precheck.model.problem import Problem, Problems
from precheck.model.rules import Verdict
from precheck.read.strict_yaml import read_yaml
from precheck.report import as_json, text
from precheck.rulebook.book import Rulebook
from precheck.rulebook.load import extend, load_quickly
from precheck.settle.check import check
from tests.support.goodvalues import document, good_readings

DAY = date(2026, 11, 14)
LIBRARY = load_quickly()


def few(book: Rulebook) -> Rulebook:
    """The rules of tires and of local files alone: enough here, and quick."""
    return replace(book, rules={n: r for n, r in book.rules.items() if r.system in ("tires", "own")})


BOOK = few(LIBRARY)
SOUND = {"tire-tread-depth": "8/32 in", "tire-size-marking": "7.00-16", "tire-date-code": "1424"}
READINGS = good_readings(LIBRARY, "proving") | {
    (name, place): value
    for name, value in SOUND.items()
    for place in ("left-front", "right-front", "left-rear", "right-rear")
}
READINGS["gross-weight-rating", "vehicle"] = "7500 lb"

LAW = """\
rules: 1
source: {id: county, title: Made-up ordinance, kind: law, publisher: made up, edition: "1",
  address: https://county.invalid/1, binds: road}
"""
OWN = LAW.replace("https://county.invalid/1", "none").replace("id: county", "id: mine")
FOR_A_TIME = "because: made up for a test, until: 2026-12-31, by: a test"


def local(tmp_path: Path, *texts: str) -> Rulebook:
    files = []
    for number, body in enumerate(texts):
        files.append(tmp_path / f"local-{number}.yaml")
        files[-1].write_text(body, encoding="utf-8")
    return few(extend(LIBRARY, files))


def problems(tmp_path: Path, *texts: str) -> list[Problem]:
    with pytest.raises(Problems) as stop:
        local(tmp_path, *texts)
    return list(stop.value.problems)


def codes(tmp_path: Path, *texts: str) -> list[str]:
    return [p.code for p in problems(tmp_path, *texts)]


def read(book: Rulebook, body: str) -> Document:
    source, wrong = read_yaml(body.encode(), "made-up.yaml")
    assert source is not None, wrong
    found, wrong = check(source, book, Day(DAY, True))
    assert found is not None, wrong
    return found


def refused(body: str, book: Rulebook = BOOK) -> list[tuple[str, int, int]]:
    source, wrong = read_yaml(body.encode(), "made-up.yaml")
    assert source is not None, wrong
    _, found = check(source, book, Day(DAY, True))
    return [(p.code, p.mark.line, p.mark.column) for p in found]


def answer(
    book: Rulebook, use: str, other: dict[tuple[str, str], str] | None = None, tail: str = "", on: date = DAY
) -> Answer:
    body = document(book, {**READINGS, **(other or {})}, "2026-11-14") + tail
    return gate(read(book, body), book, Request(Day(on, True), (use,), full=True))


def blocking_proving(book: Rulebook, name: str) -> Rulebook:
    """The rulebook with one rule that blocks proving, whatever it blocked before."""
    rule = book.rules[name]
    effects = LIBRARY.rules["floor-tire-bulge"].steps[0].effects
    step = replace(rule.steps[0], effects=effects)
    return replace(book, rules={**book.rules, name: replace(rule, steps=(step,))})


def all_in(found: Answer, *words: str) -> bool:
    """Whether the text and the JSON both say every one of these."""
    page = " ".join(text.render(found, 400).split())
    data = json.dumps(json.loads(as_json.render(found)))
    return all(word in page and word in data for word in words)


WORN = {("tire-tread-depth", "left-front"): "1/32 in"}  # fails 49 CFR 570.9(a): at least 2/32 in
SHALLOW = {("tire-tread-depth", "left-front"): "2/32 in"}
MIXED = {("tire-size-marking", "left-front"): "7.50-16"}  # fails 570.9(b)
OLD = {("tire-date-code", "left-front"): "0109"}  # over 17 years


# -- each kind of change ------------------------------------------------------------------------


def test_without_a_file_nothing_is_changed() -> None:
    found = answer(BOOK, "proving")
    assert (found.verdict, found.changes, found.without_changes) == (Verdict.GO, (), "")


def test_tightening_needs_no_standing_and_shows_both_results(tmp_path: Path) -> None:
    line = "tighten:\n  - {rule: us-570-9a-tread, limit: {at-least: 3/32 in}, because: gravel}\n"
    book = local(tmp_path, OWN + line)
    found = [f for f in answer(book, "occasional", SHALLOW).findings if f.rule == "us-570-9a-tread"]
    old, front = (f for f in found if f.place == "left-front")
    assert (old.state, old.changed) == ("meets", ())
    assert (front.state, front.state_without) == ("fails", "meets")
    assert front.changed[0].limit == "at least 3/32 in"
    assert front.changed[0].limit_was == "at least 2/32 in"
    assert all_in(answer(book, "occasional", SHALLOW), "gravel", "local-0.yaml:5", "at least 2/32 in")


def test_tightening_lets_nothing_go_that_was_open(tmp_path: Path) -> None:
    """1/4 in of room is on both sides of `0.2 to 0.3 in`: open. That it surely fails 3/8 in, which would
    only limit proving, closes nothing."""
    line = "tighten:\n  - {rule: floor-tire-clearance, step: 1, limit: {at-least: 3/8 in}, because: chains}\n"
    unclear = {("tire-clearance", "left-front"): "0.2 to 0.3 in"}
    before, after = answer(BOOK, "proving", unclear), answer(local(tmp_path, OWN + line), "proving", unclear)
    assert before.verdict is after.verdict is Verdict.UNDECIDED
    states = [f.state for f in after.findings if f.rule == "floor-tire-clearance" and f.place == "left-front"]
    assert states == ["cannot tell", "meets", "fails"]


def test_loosening_by_a_law_shows_until_why_and_by_whom(tmp_path: Path) -> None:
    line = f"loosen:\n  - {{rule: us-570-9a-tread, limit: {{at-least: 1/32 in}}, {FOR_A_TIME}}}\n"
    book = local(tmp_path, LAW + line)
    found = answer(book, "occasional", WORN)
    front = next(f for f in found.findings if f.rule == "us-570-9a-tread" and f.place == "left-front")
    assert (front.state, front.state_without) == ("meets", "fails")
    assert all_in(found, "made up for a test", "2026-12-31", "a test", "local-0.yaml:5", "as stated by")


def test_a_rule_set_aside_counts_as_set_aside_and_never_as_met(tmp_path: Path) -> None:
    line = f"set-aside:\n  - {{rule: us-570-9b-size, {FOR_A_TIME}}}\n"
    book = local(tmp_path, LAW + line)
    before, after = answer(BOOK, "occasional", MIXED), answer(book, "occasional", MIXED)
    aside = [f for f in after.findings if f.rule == "us-570-9b-size"]
    assert {f.state for f in aside} == {f.weighs for f in aside} == {"set aside"}
    assert [f.state_without for f in aside if f.place == "front"] == ["fails"]
    assert dict(after.counts)["set aside"] == len(aside) == 2
    assert sum(n for _, n in after.counts) == sum(n for _, n in before.counts)
    assert dict(after.counts)["meets"] == dict(before.counts)["meets"] - 1  # the rear axle, met before


def test_the_headline_counts_what_a_go_leans_on(tmp_path: Path) -> None:
    line = f"set-aside:\n  - {{rule: us-570-9b-size, {FOR_A_TIME}}}\n"
    found = answer(blocking_proving(local(tmp_path, LAW + line), "us-570-9b-size"), "proving", MIXED)
    assert found.headline == "GO, with 1 rule set aside, for proving on 2026-11-14"
    assert (found.verdict, found.without_changes, found.exit_code) == (Verdict.GO, "NO-GO", 0)
    ladder = {line.use: (line.verdict.value, line.without_changes) for line in found.ladder}
    assert ladder["proving"] == ("GO", "NO-GO")


def test_a_change_that_makes_no_difference_is_not_in_the_headline(tmp_path: Path) -> None:
    line = f"set-aside:\n  - {{rule: us-570-9b-size, {FOR_A_TIME}}}\n"
    found = answer(local(tmp_path, LAW + line), "proving")
    assert found.headline == "GO for proving on 2026-11-14"
    assert found.without_changes == "GO"
    assert len(found.changes) == 1


def test_an_added_rule_is_shown_as_stated_by_its_file(tmp_path: Path) -> None:
    rule = """\
add:
  - id: my-tread
    title: My own tread
    cite: {source: mine, clause: my own, checked: memory}
    requires: Every tire keeps 1 in.
    measure: tire-tread-depth
    at: road-wheels
    limit: {at-least: 10/32 in}
    blocks: [proving]
    asks: proving
"""
    found = answer(local(tmp_path, OWN + rule), "proving")
    assert found.verdict is Verdict.NO_GO
    assert [f.rule for f in found.blocking] == ["my-tread"] * 4
    assert all_in(found, "as stated by", "local-0.yaml")


# -- days ----------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("span", "standing", "words"),
    [
        ("from: 2026-11-14, until: 2026-11-14", "in force", ""),
        ("until: 2026-11-13", "ended", "ended on 2026-11-13"),
        ("from: 2026-11-15, until: 2026-12-31", "not yet started", "starts on 2026-11-15"),
    ],
)
def test_both_ends_are_included_and_what_does_not_count_says_so(
    tmp_path: Path, span: str, standing: str, words: str
) -> None:
    line = f"set-aside:\n  - {{rule: us-570-9b-size, because: made up, by: a test, {span}}}\n"
    found = answer(local(tmp_path, LAW + line), "occasional", MIXED)
    assert [c.standing for c in found.changes] == [standing]
    state = next(f.state for f in found.findings if f.rule == "us-570-9b-size" and f.place == "front")
    assert state == ("set aside" if standing == "in force" else "fails")
    assert any(words in n for n in found.notices) if words else not found.notices
    assert not words or all_in(found, words, "local-0.yaml:5")


def test_a_change_of_a_rule_that_does_not_judge_here_says_so(tmp_path: Path) -> None:
    line = f"set-aside:\n  - {{rule: us-393-75b-front, {FOR_A_TIME}}}\n"
    found = answer(local(tmp_path, LAW + line), "proving")
    assert found.changes[0].standing == "its rule does not judge here"
    assert found.without_changes == ""
    assert any("does not judge here" in n for n in found.notices)


# -- refused -------------------------------------------------------------------------------------


SIZE = "rule: us-570-9b-size"
TREAD = "rule: us-570-9a-tread"
REFUSED = [
    (OWN, "loosen", f"{TREAD}, limit: {{at-least: 1 mm}}, {FOR_A_TIME}", "standing", 12),
    (OWN, "set-aside", f"{SIZE}, {FOR_A_TIME}", "standing", 12),
    (LAW, "set-aside", f"rule: floor-tire-cut, {FOR_A_TIME}", "floor", 12),
    (LAW, "loosen", f"rule: floor-tire-bulge, limit: {{is: yes}}, {FOR_A_TIME}", "floor", 12),
    (LAW, "set-aside", f"rule: answer-region, {FOR_A_TIME}", "built-in-rule", 12),
    (LAW, "set-aside", f"rule: law-besides-the-floor, {FOR_A_TIME}", "built-in-rule", 12),
    (LAW, "set-aside", f"rule: combined-limits-stop, {FOR_A_TIME}", "built-in-rule", 12),
    (LAW, "set-aside", f"rule: us-570-9b-sise, {FOR_A_TIME}", "unknown-rule", 12),
    (LAW, "set-aside", f"{SIZE}, because: x, by: x", "missing-key", 5),
    (LAW, "set-aside", f"{SIZE}, because: x, until: 2026-12-31", "missing-key", 5),
    (LAW, "set-aside", f"{SIZE}, by: x, until: 2026-12-31", "missing-key", 5),
    (LAW, "set-aside", f"{SIZE}, by: x, because: , until: 2026-12-31", "not-text", 43),
    (LAW, "set-aside", f"{SIZE}, because: x, by: x, until: soon", "not-a-date", 54),
    (LAW, "set-aside", f"{SIZE}, because: x, by: x, until: 2026-12-31, from: 2027-01-01", "ends-before", 54),
    (OWN, "tighten", f"{TREAD}, limit: {{at-least: 1/32 in}}, because: x", "not-tighter", 36),
    (OWN, "tighten", f"{TREAD}, limit: {{more-than: 1.58 mm}}, because: x", "not-tighter", 36),
    (OWN, "tighten", f"{TREAD}, limit: {{at-most: 2/32 in}}, because: x", "not-tighter", 36),
    (OWN, "tighten", "rule: floor-tire-cut, limit: {is: none}, because: x", "which-step", 12),
    (OWN, "tighten", "rule: floor-tire-cut, step: 4, limit: {is: none}, because: x", "which-step", 34),
    (LAW, "loosen", f"{TREAD}, limit: {{at-least: 2/32 in}}, {FOR_A_TIME}", "not-looser", 36),
]


@pytest.mark.parametrize(("head", "word", "entry", "code", "column"), REFUSED)
def test_refused_at_its_place(
    tmp_path: Path, head: str, word: str, entry: str, code: str, column: int
) -> None:
    found = problems(tmp_path, f"{head}{word}:\n  - {{{entry}}}\n")
    assert [(p.code, p.mark.line, p.mark.column) for p in found] == [(code, 5, column)]


def test_an_unknown_rule_names_the_nearest(tmp_path: Path) -> None:
    found = problems(tmp_path, f"{LAW}set-aside:\n  - {{rule: us-570-9b-sise, {FOR_A_TIME}}}\n")
    assert found[0].near[0] == "us-570-9b-size"


@pytest.mark.parametrize(
    "limit",
    [
        "{at-least: 2/32 in}",
        "{at-least: 1.5875 mm}",
        "{more-than: 2/32 in}",
        "{between: [2/32 in, 20/32 in]}",
    ],
)
def test_the_same_limit_and_stricter_ones_are_tighter(tmp_path: Path, limit: str) -> None:
    book = local(tmp_path, f"{OWN}tighten:\n  - {{rule: us-570-9a-tread, limit: {limit}, because: x}}\n")
    assert len(book.changes) == 1


def test_two_changes_to_one_rule_name_both_places(tmp_path: Path) -> None:
    one = "tighten:\n  - {rule: us-570-9a-tread, limit: {at-least: 3/32 in}, because: x}\n"
    two = one + "  - {rule: us-570-9a-tread, limit: {at-least: 4/32 in}, because: x}\n"
    assert codes(tmp_path, OWN + two) == ["changed-twice"]
    found = problems(tmp_path, LAW + one, OWN + one)
    assert [p.code for p in found] == ["changed-twice"]
    assert found[0].file.endswith("local-1.yaml")
    assert "local-0.yaml:5" in found[0].found


def test_a_local_file_is_never_the_floor_nor_a_rule_of_it(tmp_path: Path) -> None:
    line = f"set-aside:\n  - {{rule: us-570-9b-size, {FOR_A_TIME}}}\n"
    assert codes(tmp_path, LAW.replace("binds: road}", "binds: road, floor: yes}") + line) == ["floor"]
    rule = (
        "add:\n  - {id: answer-region, title: x, cite: {source: county, clause: x, checked: memory}, "
        "requires: x, measure: tire-bulge, limit: {is: yes}, blocks: []}\n"
    )
    assert codes(tmp_path, LAW + rule) == ["duplicate-id"]
    assert codes(
        tmp_path, LAW + rule.replace("answer-region", "mine").replace("source: county", "source: floor")
    ) == ["foreign-source"]


def test_a_file_that_does_nothing_is_refused(tmp_path: Path) -> None:
    assert codes(tmp_path, LAW) == ["empty"]


def test_an_own_file_is_no_law_to_judge_by(tmp_path: Path) -> None:
    """Without a region's law, a road use is GO only with a law's own file; both are shown as stated by it."""
    line = "tighten:\n  - {rule: floor-tire-bulge, limit: {is: no}, because: x}\n"
    rule = (
        "add:\n  - {id: r, title: x, cite: {source: %s, clause: x, checked: memory}, requires: x, "
        "measure: tire-bulge, at: road-wheels, limit: {is: no}, blocks: [proving]}\n"
    )
    there = {("region", "vehicle"): "elsewhere"}
    own = local(tmp_path, OWN + line + rule % "mine")
    law = local(tmp_path, LAW + line + rule % "county")
    assert answer(own, "proving", there).verdict is Verdict.UNDECIDED
    assert answer(law, "proving", there).verdict is Verdict.GO


# -- accepted findings -----------------------------------------------------------------------------

TEN = "tire-trade-ten"  # blocks motorway, loaded, towing; limits occasional
ACCEPT = (
    "accepted:\n  - {rule: tire-trade-ten, at: %s, by: RO, because: made up for a test, until: %s, use: %s}\n"
)


def weighs(found: Answer, rule: str = TEN, place: str = "left-front") -> tuple[str, str]:
    return next((f.state, f.weighs) for f in found.findings if (f.rule, f.place) == (rule, place))


def test_an_accepted_finding_still_fails_and_does_not_block() -> None:
    tail = ACCEPT % ("lf", "2026-12-31", "motorway")
    before, after = answer(BOOK, "motorway", OLD), answer(BOOK, "motorway", OLD, tail)
    assert weighs(before) == ("fails", "bad")
    assert weighs(after) == ("fails", "limited")  # by occasional, which motorway is judged with
    assert TEN in {f.rule for f in before.blocking}
    assert TEN not in {f.rule for f in after.blocking}
    assert all_in(after, "made up for a test", "2026-12-31", "RO", "accepted", "motorway")


def test_it_is_accepted_at_its_place_and_for_its_use_only() -> None:
    tail = ACCEPT % ("lf", "2026-12-31", "motorway")
    both = OLD | {("tire-date-code", "right-front"): "0109"}
    assert weighs(answer(BOOK, "motorway", both, tail), place="right-front") == ("fails", "bad")
    assert weighs(answer(BOOK, "towing", OLD, tail)) == ("fails", "bad")
    assert weighs(answer(BOOK, "everyday", OLD, tail)) == ("fails", "bad")
    everyday = ACCEPT % ("lf", "2026-12-31", "everyday")
    assert weighs(answer(BOOK, "everyday", OLD, everyday)) == ("fails", "set aside")


def test_an_acceptance_takes_off_no_limits() -> None:
    tail = ACCEPT % ("lf", "2026-12-31", "[everyday, motorway]")
    before, after = answer(BOOK, "occasional", OLD), answer(BOOK, "occasional", OLD, tail)
    assert weighs(after) == weighs(before) == ("fails", "limited")
    assert after.limits == before.limits


def test_what_nobody_looked_at_cannot_be_accepted() -> None:
    tail = ACCEPT % ("lf", "2026-12-31", "[occasional, motorway]")
    unread = {("tire-date-code", "left-front"): "unknown"}
    assert weighs(answer(BOOK, "occasional", unread, tail)) == ("cannot tell", "open")


def test_the_verdict_line_counts_accepted_findings() -> None:
    """Where only an accepted finding stands in the way."""
    book = blocking_proving(BOOK, TEN)
    tail = ACCEPT % ("lf", "2026-12-31", "proving")
    found = answer(book, "proving", OLD, tail)
    assert found.headline == "GO, with 1 accepted finding, for proving on 2026-11-14"
    assert (found.exit_code, found.without_changes) == (0, "NO-GO")
    late = gate(
        read(
            book, document(book, {**READINGS, **OLD}, "2026-11-14") + ACCEPT % ("lf", "2026-11-13", "proving")
        ),
        book,
        Request(Day(DAY, True), ("proving",)),
    )
    assert late.verdict is Verdict.NO_GO
    assert "ended on 2026-11-13" in late.notices[0]


VEHICLE = "condition: 1\nvehicle: {region: us, vehicle-class: light truck, rear-wheels: single}\n"


SAID = "by: x, because: x, until: 2026-12-31, use: proving"
NOT_ACCEPTED = [
    (f"rule: floor-tire-cut, at: lf, {SAID}", "floor", 12),
    (f"rule: us-570-9a-tread, at: lf, {SAID}", "law", 12),
    (f"rule: answer-region, {SAID}", "built-in-rule", 12),
    (f"rule: tire-trade-tenn, at: lf, {SAID}", "unknown-rule", 12),
    (f"rule: tire-trade-ten, at: zz, {SAID}", "unknown-place", 32),
    (f"rule: tire-trade-ten, {SAID}", "missing-key", 5),
    ("rule: tire-trade-ten, at: lf, because: x, until: 2026-12-31, use: proving", "missing-key", 5),
    ("rule: tire-trade-ten, at: lf, by: x, because: x, use: proving", "missing-key", 5),
    (f"rule: tire-trade-ten, at: lf, {SAID.replace('proving', 'road')}", "unknown-word", 79),
    (f"rule: tire-trade-ten, at: lf, {SAID.replace('2026-12-31', '31.12.2026')}", "not-a-date", 62),
]


@pytest.mark.parametrize(("entry", "code", "column"), NOT_ACCEPTED)
def test_an_acceptance_is_refused_at_its_place(entry: str, code: str, column: int) -> None:
    assert refused(f"{VEHICLE}accepted:\n  - {{{entry}}}\n") == [(code, 4, column)]


def test_a_finding_is_accepted_once() -> None:
    entry = "  - {rule: tire-trade-ten, at: lf, by: x, because: x, until: 2026-12-31, use: %s}\n"
    assert refused(f"{VEHICLE}accepted:\n{entry % 'motorway'}{entry % 'towing'}") == []
    assert refused(f"{VEHICLE}accepted:\n{entry % 'motorway'}{entry % 'everyday'}") == []
    found = refused(f"{VEHICLE}accepted:\n{entry % 'motorway'}{entry % 'motorway'}")
    assert [code for code, _, _ in found] == ["accepted-twice"]


def test_a_rule_may_be_tightened_and_its_finding_accepted(tmp_path: Path) -> None:
    line = "tighten:\n  - {rule: tire-trade-ten, limit: {at-most: 8 years}, because: x}\n"
    tail = ACCEPT % ("lf", "2026-12-31", "everyday")
    found = answer(local(tmp_path, OWN + line), "everyday", OLD, tail)
    mine = [f for f in found.findings if (f.rule, f.place) == (TEN, "left-front")]
    assert [(f.state, f.weighs) for f in mine] == [("fails", "set aside")] * 2
    assert [len(f.changed) for f in mine] == [1, 2]  # the old step is accepted, the new one tightened too
    assert {f.state_without for f in mine} == {"fails"}
