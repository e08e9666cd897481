"""`precheck show`: coverage, rules on one measure strictest first, changes of local files."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from precheck.answer.coverage import coverage, judged_points, rule_lines
from precheck.cli.main import main
from precheck.model.rules import Op
from precheck.rulebook.load import load_quickly

BOOK = load_quickly()
LOCAL = Path(__file__).resolve().parents[2] / "fixtures" / "local"


def said(capsys: pytest.CaptureFixture[str], *arguments: str) -> str:
    assert main(["show", *arguments]) == 0
    return capsys.readouterr().out


def test_coverage_counts_every_rule_once_and_every_clause_has_a_word() -> None:
    tables = coverage(BOOK)
    for name in ("by system", "by source"):
        heads, rows = tables[name]
        assert sum(int(row[heads.index("rules")]) for row in rows) == len(BOOK.rules)
    heads, rows = tables["by source"]
    assert {row[heads.index("without a word")] for row in rows} == {"0"}
    heads, rows = tables["by use"]
    assert [row[0] for row in rows] == list(BOOK.uses)


def test_points_no_rule_judges_are_read_by_none() -> None:
    names = {row[0] for row in coverage(BOOK)["points no rule judges"][1]}
    assert names
    assert not names & judged_points(BOOK)


def test_coverage_as_text_and_as_json_say_the_same(capsys: pytest.CaptureFixture[str]) -> None:
    text = said(capsys, "coverage")
    data = json.loads(said(capsys, "coverage", "--as", "json"))
    assert list(data) == list(coverage(BOOK))
    for name, rows in data.items():
        assert name.upper() in text
        assert rows


def test_tread_strictest_first() -> None:
    """49 CFR 393.75(b) 4/32 in, 570.9(a) 2/32 in; 1.6 mm lies between: 2/32 in is 1.5875 mm."""
    lines = [line for line in rule_lines(BOOK, "tire-tread-depth") if line[0].startswith("  ")]
    found = [(label.strip(), text.split()[0].rstrip(",:")) for label, text in lines]
    order = [label for label, _ in found if label.startswith("at least")]
    assert order.index("at least 4/32 in") < order.index("at least 2/32 in")
    if "at least 1.6 mm" in order:
        assert (
            order.index("at least 4/32 in") < order.index("at least 1.6 mm") < order.index("at least 2/32 in")
        )
    assert ("at least 2/32 in", "us-570-9a-tread") in found
    assert ("at least 4/32 in", "us-393-75b-front") in found


NUMBERS = [n for n, p in BOOK.points.items() if not p.fact and p.dimension]


@pytest.mark.parametrize("name", NUMBERS)
def test_limits_of_one_side_never_get_stricter_down_the_list(name: str) -> None:
    """On the exact values: the printed order against the rules' own limits."""
    sides: dict[tuple[str, bool], list[float]] = {}
    limits = {
        (t.written, r.id, n): t
        for r in BOOK.rules.values()
        for n, s in enumerate(r.steps, 1)
        for t in s.condition.tests
        if t.measure == name and t.limit is not None and t.bound is None and t.over is None
    }
    for label, text in rule_lines(BOOK, name):
        if not label.startswith("  "):
            continue
        rule = text.split()[0].rstrip(",:")
        step = int(text.split(", step ")[1].split()[0].rstrip(":")) if ", step " in text else 1
        test = limits.get((label.strip(), rule, step))
        if test is not None and test.limit is not None:
            lower = test.op in (Op.AT_LEAST, Op.MORE_THAN)
            sides.setdefault((test.cell, lower), []).append(float(-test.limit if lower else test.limit))
    for found in sides.values():
        assert found == sorted(found)


def test_a_changed_rule_shows_its_change(capsys: pytest.CaptureFixture[str]) -> None:
    text = " ".join(said(capsys, "us-570-9b-size", "--rules", str(LOCAL / "county.yaml")).split())
    assert "changed: set aside, from 2026-10-01, until 2027-03-31, by an invented roads office" in text
    assert "tires of one size cannot be had this winter" in text
    assert "as stated by" in text


def test_a_wrong_word_is_near_coverage(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["show", "coverge"]) == 2
    assert "coverage" in capsys.readouterr().err
