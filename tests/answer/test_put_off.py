"""Put off: a plan with a reason and an end. It changes no verdict, and it comes back by itself."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest

from precheck.answer.gate import Gate, Request
from precheck.answer.record import Answer
from precheck.cli.main import main
from precheck.model.catalogue import Day
from precheck.model.document import Document
from precheck.model.problem import Problem
from precheck.model.record import replace
from precheck.read.strict_yaml import read_yaml
from precheck.report.text import render
from precheck.rulebook.load import load_quickly
from precheck.settle.check import check

BOOK = load_quickly()
FIXTURES = Path(__file__).resolve().parents[2] / "fixtures"
ON = date(2026, 11, 14)
HOSE = "floor-brake-hose"  # the right front one is cracked to fabric
PLAN = "{rule: floor-brake-hose, at: rf, because: the new one is on its way, until: 2026-12-01, by: RO%s}"


def read(
    *entries: str, name: str = "juniper.yaml", on: date = ON
) -> tuple[Document | None, tuple[Problem, ...]]:
    text = (FIXTURES / name).read_text(encoding="utf-8").rstrip("\n")
    plans = "\nput-off:\n" + "".join(f"  - {entry}\n" for entry in entries) if entries else ""
    source, problems = read_yaml((text + plans).encode(), name)
    assert source is not None, problems
    return check(source, BOOK, Day(on, True))


def answer(*entries: str, use: str = "proving", name: str = "juniper.yaml", on: date = ON) -> Answer:
    document, problems = read(*entries, name=name, on=on)
    assert document is not None, problems
    return Gate(document, BOOK, Request(Day(on, True), (use,) if use else ())).answer()


def standing(found: Answer) -> str:
    (line,) = found.put_off
    return line.standing


def text(found: Answer) -> str:
    return " ".join(render(found).split())


@pytest.mark.parametrize("use", ["", "yard", "proving", "everyday"])
def test_it_changes_nothing_but_what_is_told_of_it(use: str) -> None:
    plain, planned = answer(use=use), answer(PLAN % ", use: proving", use=use)
    assert replace(planned, put_off=()) == plain
    assert len(planned.put_off) == 1


def test_it_is_told_in_its_section_and_beside_its_finding() -> None:
    found = answer(PLAN % "")
    assert standing(found) == "put off"
    (line,) = found.put_off
    assert [(p.place, p.state) for p in line.at] == [("right-front", "fails")]
    assert line.against
    said = text(found)
    assert "PUT OFF (1) A plan only: it changes nothing in the answer." in said
    assert "Put off at right front by RO until 2026-12-01 (the new one is on its way)" in said
    assert "It bears on the use asked for all the same." in said


@pytest.mark.parametrize(
    ("shown", "words"),
    [("48199 mi", "put off"), ("48200 mi", "its distance has come"), ("77571 km", "its distance has come")],
)
def test_its_distance_comes_with_the_odometer(shown: str, words: str) -> None:
    """48200 mi are 77570.3808 km, by the international mile of 1.609344 km."""
    text_of = (FIXTURES / "juniper.yaml").read_text(encoding="utf-8").rstrip("\n")
    visit = f"\n  - on: {ON}\n    by: RO\n    readings: {{odometer-reading: {shown}}}\n"
    plan = f"put-off:\n  - {PLAN % ', odometer: 48200 mi'}\n"
    source, _ = read_yaml((text_of + visit + plan).encode(), "juniper.yaml")
    assert source is not None
    document, problems = check(source, BOOK, Day(ON, True))
    assert document is not None, problems
    found = Gate(document, BOOK, Request(Day(ON, True), ("proving",))).answer()
    assert standing(found) == words
    assert "until 2026-12-01, or when the odometer shows 48200 mi" in text(found)


@pytest.mark.parametrize(
    "odometer", ["48200", "48200 psi", "soon", "at least 48200 mi", "40000 mi to 48200 mi"]
)
def test_what_is_no_distance_is_refused(odometer: str) -> None:
    document, problems = read(PLAN % f", odometer: {odometer}")
    assert document is None
    assert len(problems) == 1
    assert problems[0].expected


def test_compare_tells_what_is_put_off(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    text_of = (FIXTURES / "juniper.yaml").read_text(encoding="utf-8").rstrip("\n")
    path = tmp_path / "juniper.yaml"
    path.write_text(f"{text_of}\nput-off:\n  - {PLAN % ''}\n", encoding="utf-8")
    main(["compare", str(path), "--since", "2026-10-03", "--on", str(ON), "--for", "proving"])
    said = " ".join(capsys.readouterr().out.split())
    assert "Put off: Brake hoses until 2026-12-01 (put off)." in said
    assert "PUT OFF (1)" in said
    assert said.index("Put off: Brake hoses") < said.index("VERDICTS, THEN AND NOW")  # on the first screen


@pytest.mark.parametrize(
    ("on", "words"), [(date(2026, 11, 30), "put off"), (date(2026, 12, 1), "its day has come")]
)
def test_its_day_comes_by_itself(on: date, words: str) -> None:
    found = answer(PLAN % "", on=on)
    assert standing(found) == words
    assert ("That day has come" in text(found)) is (words != "put off")


@pytest.mark.parametrize(
    ("use", "words"),
    [
        ("yard", "put off"),
        ("proving", "put off"),
        ("occasional", "its use is asked for"),
        ("everyday", "its use is asked for"),
        ("", "put off"),
    ],
)
def test_its_use_comes_by_itself(use: str, words: str) -> None:
    assert standing(answer(PLAN % ", use: occasional", use=use)) == words


def test_what_is_mended_may_be_taken_out() -> None:
    found = answer(PLAN % "", name="juniper-ready.yaml")
    assert standing(found) == "not found any more"
    assert found.put_off[0].at == ()
    assert "Not found any more: the entry can be taken out." in text(found)


def test_what_nobody_knows_now_is_not_called_mended() -> None:
    found = answer(PLAN % "", name="juniper-ready.yaml", on=date(2028, 1, 1))
    assert standing(found) == "not known now"


def test_a_plan_for_a_rule_that_does_not_judge_here_says_so() -> None:
    found = answer("{rule: gb-cu-27-4-tread-car, because: made up, until: 2026-12-01}")
    assert standing(found) == "its rule does not judge here"


@pytest.mark.parametrize(
    ("entry", "code", "near"),
    [
        ("{rule: floor-brake-hoses, because: x, until: 2026-12-01}", "unknown-rule", "floor-brake-hose"),
        (
            "{rule: floor-brake-hose, at: right-frnt, because: x, until: 2026-12-01}",
            "unknown-place",
            "right-front",
        ),
        (
            "{rule: floor-brake-hose, because: x, until: 2026-12-01, use: ocasional}",
            "unknown-word",
            "occasional",
        ),
        ("{rule: floor-brake-hose, because: x}", "missing-key", ""),
        ("{rule: floor-brake-hose, until: 2026-12-01}", "missing-key", ""),
        ("{rule: floor-brake-hose, because: x, untill: 2026-12-01}", "unknown-key", "until"),
    ],
)
def test_what_matches_nothing_is_refused_with_what_is_near(entry: str, code: str, near: str) -> None:
    document, problems = read(entry)
    assert document is None
    found = next(p for p in problems if p.code == code)
    assert found.mark.line > 1
    assert not near or near in found.near


@pytest.mark.parametrize("verb", ["gate", "why", "work", "compare"])
@pytest.mark.parametrize("form", ["text", "json", "html"])
def test_it_stays_in_every_report(
    verb: str, form: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    text_of = (FIXTURES / "juniper.yaml").read_text(encoding="utf-8").rstrip("\n")
    path = tmp_path / "juniper.yaml"
    path.write_text(f"{text_of}\nput-off:\n  - {PLAN % ''}\n", encoding="utf-8")
    more = ["--since", "2026-10-03"] if verb == "compare" else []
    main([verb, str(path), *more, "--on", str(ON), "--for", "proving", "--as", form])
    said = " ".join(capsys.readouterr().out.split())
    assert "the new one is on its way" in said
    assert "2026-12-01" in said
