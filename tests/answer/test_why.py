"""Why: what may be asked, what is said of it, close calls, margins in two units, names that match nothing.

Expected numbers are arithmetic on the readings given here (no source).
"""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest

from precheck.answer.explain import Explanation, Result
from precheck.answer.gate import Request, gate
from precheck.answer.supposing import suppose
from precheck.answer.why import NoSuch, explain
from precheck.model.document import Document
from precheck.model.rules import Rule
from precheck.rulebook.book import Rulebook
from tests.support import minibook as mini

TREAD = mini.simple("tread-depth", mini.at_least("tread", "2/32 in"), family="road-wheels")


def asked(rule: Rule, lines: list[str], what: str | None = None, use: str = "proving") -> Explanation:
    book = mini.book([rule])
    document, jotted = suppose(mini.document(), lines, book, mini.day())
    assert document is not None, jotted.problems
    return explain(document, book, Request(mini.day(), (use,), ()), what)


def one(rule: Rule, lines: list[str], what: str) -> Result:
    (result,) = asked(rule, lines, what).results
    return result


def test_the_verdict_is_that_of_the_gate() -> None:
    book = mini.book([TREAD])
    document, _ = suppose(mini.document(), ["lf tread 1/32 in"], book, mini.day())
    assert document is not None
    request = Request(mini.day(), ("proving",), ())
    why, answer = explain(document, book, request), gate(document, book, request)
    assert (why.verdict, why.headline, why.exit_code) == (answer.verdict, answer.headline, answer.exit_code)
    assert {(r.finding.rule, r.finding.place) for r in why.against} == {
        (f.rule, f.place) for f in answer.blocking
    }


def test_a_margin_in_the_persons_unit_and_in_the_limits() -> None:
    bar = mini.simple("p", mini.at_least("pressure", "36 psi"), family="road-wheels")
    rule = replace(bar, steps=(replace(bar.steps[0], condition=mini.all_of(
        replace(mini.at_least("pressure", "36 psi"), unit=mini.UNITS.index["psi"]))),))  # fmt: skip
    (compared,) = one(rule, ["lf pressure 200 kPa"], "p@lf").comparisons
    assert compared.compared == "200 kPa"
    assert compared.margin.endswith("kPa short")
    assert compared.margin_limit.endswith("psi short")


@pytest.mark.parametrize(
    ("reading", "close"),
    [
        ("1.5 mm", True),  # 0.0875 mm short of 1.5875 mm, read to 0.1 mm
        ("1.6 mm", True),  # 0.0125 mm to spare
        ("1.60 mm", False),  # the same, read to 0.01 mm
        ("3/32 in", False),  # one step to spare
        ("2/32 in", True),  # exactly at the limit
    ],
)
def test_a_close_call_is_a_margin_below_the_step_of_the_reading(reading: str, close: bool) -> None:
    result = one(TREAD, [f"lf tread {reading}"], "tread-depth@lf")
    assert bool(result.close) is close
    if close:
        assert "measure again with a finer instrument" in result.close


def test_counting_is_never_a_close_call() -> None:
    rule = mini.simple("torque", mini.at_least("nut-torque", "80 count"), family="wheels")
    assert not one(rule, ["lf nut torque 80 count"], "torque@lf").close


def test_what_is_met_by_a_hair_is_told_with_the_verdict() -> None:
    lines = [f"{p} tread 2/32 in" for p in ("lf", "rf", "lr", "rr")]
    why = asked(TREAD, lines, use="yard")
    assert [r.finding.place for r in why.close_calls] == [
        "left-front",
        "right-front",
        "left-rear",
        "right-rear",
    ]


def test_a_rule_that_does_not_apply_names_the_term() -> None:
    rule = mini.simple("r", mini.one_of("pedal", "firm"), applies=[mini.one_of("brake-actuation", "air")])
    result = one(rule, ["brake actuation hydraulic; pedal sinks"], "r")
    assert result.finding.state == "does not apply"
    assert result.decided_by == "brake-actuation is hydraulic, and it applies where air"
    assert not result.remedies


def test_readings_passed_over_are_shown_with_the_reason() -> None:
    result = one(TREAD, ["lf tread 9/32 in", "lf tread 1/32 in"], "tread-depth@lf")
    (reading,) = result.comparisons[0].readings
    assert reading.written == ("1/32 in",)
    (line,) = reading.passed_over
    assert "'9/32 in'" in line
    assert "later or surer" in line


def test_a_point_by_itself_and_at_a_place() -> None:
    everywhere = asked(TREAD, ["lf tread 9/32 in"], "tread")
    assert len(everywhere.readings) == len(everywhere.results) == 4
    here = asked(TREAD, ["lf tread 9/32 in"], "tread@left front")
    assert here.asked == "tread@left-front"
    assert [r.finding.state for r in here.results] == ["meets"]


def test_a_point_no_rule_reads_has_its_reading_shown() -> None:
    why = asked(TREAD, ["pedal sinks"], "pedal")
    assert [r.written for r in why.readings] == [("sinks",)]
    assert why.not_judged == "No rule that judges here reads pedal."


def test_what_rests_on_a_derived_value_is_found_from_its_reading() -> None:
    rule = mini.simple("old", mini.at_most("age", "10 year"), family="road-wheels")
    assert one(rule, ["lf date-code 1410"], "date-code@lf").finding.rule == "old"
    assert one(rule, ["lf date-code 1410"], "age@lf").finding.rule == "old"


@pytest.mark.parametrize(
    ("name", "near"),
    [
        ("tread-deth", "tread-depth"),
        ("tread-depth@left-frnt", "left-front"),
        ("tread@rear", "rr"),
        ("tread@", ""),
        ("", ""),
        ("@lf", ""),
        ("\x1b[31m", ""),
    ],
)
def test_a_name_that_matches_nothing_is_refused_with_near_ones(name: str, near: str) -> None:
    with pytest.raises(NoSuch) as caught:
        asked(TREAD, ["lf tread 9/32 in"], name)
    assert not near or near in caught.value.near


def test_looking_back_is_still_looking_back() -> None:
    book: Rulebook = mini.book([TREAD])
    later = mini.document(mini.visit(mini.DAY, mini.claim("tread", "1/32 in", "left-front")))
    early: Document = replace(later)
    why = explain(early, book, Request(mini.day(date(2026, 5, 1)), ("proving",), ()), "tread-depth@lf")
    assert why.looking_back
    assert [r.finding.state for r in why.results] == ["not measured"]
